"""Drawings to scale: a piece in the saw, a joint from above and across."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from exhaust import show
from exhaust.cutmath.plan import plan
from exhaust.cutmath.pose import Measure, Pose, Role
from exhaust.plots.style import ACCENT, GREY, INK, PALE, STYLE, Picture, axes_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from exhaust.joints import Joint

_FILL: dict[Role, dict[str, Any]] = {
    "kept": {"facecolor": "#f2f2f2", "edgecolor": INK, "linewidth": 1.4, "zorder": 2},
    "waste": {"facecolor": "white", "edgecolor": GREY, "linewidth": 1.0, "hatch": "////"},
    "blade": {"facecolor": ACCENT, "edgecolor": ACCENT, "linewidth": 0.8, "zorder": 4},
    "stop": {"facecolor": "#bfbfbf", "edgecolor": INK, "linewidth": 1.0, "zorder": 3},
    "deck": {"facecolor": PALE, "edgecolor": GREY, "linewidth": 0.6, "zorder": 1},
    "centre": {"edgecolor": GREY, "linewidth": 0.8, "linestyle": (0, (9, 3, 2, 3)), "zorder": 3},
}


def pose(one: Pose) -> Picture:
    """Return the drawing of one piece in the saw, to scale with its dimensions."""
    import matplotlib as mpl

    points = _points(one)
    low, high = points.min(axis=0), points.max(axis=0)
    wide, tall = high - low
    margin = 0.08 * max(wide, tall)
    width = 6.4 if wide >= 0.8 * tall else 5.0
    height = min((width * (tall + 2 * margin) / (wide + 2 * margin)) + 0.4, 6.2)
    with mpl.rc_context(STYLE):
        figure, (axes,) = axes_of(width, height)
        _draw(axes, one)
        axes.set_xlim(low[0] - margin, high[0] + margin)
        axes.set_ylim(low[1] - margin, high[1] + margin)
    return Picture(figure, one.title)


def _points(one: Pose) -> Any:
    parts = [shape.points for shape in one.shapes] + [measure.path for measure in one.measures]
    return np.vstack([*parts, *(np.array([note.at]) for note in one.notes)])


def _draw(axes: Axes, one: Pose) -> None:
    from matplotlib.patches import Polygon

    for shape in one.shapes:
        closed = shape.closed and shape.role != "centre"
        axes.add_patch(Polygon(shape.points, closed=closed, fill=closed, **_FILL[shape.role]))
    middle = float(np.mean(_points(one)[:, 0]))
    for measure in one.measures:
        _dimension(axes, measure, outward=-1 if measure.path[:, 0].mean() < middle else 1)
    for note in one.notes:
        arrow = {"arrowstyle": "-", "color": GREY, "linewidth": 0.7}
        axes.annotate(
            note.text,
            xy=note.points_to or note.at,
            xytext=note.at,
            ha="center",
            va="center",
            arrowprops=arrow if note.points_to else None,
            bbox=_BEHIND,
            zorder=6,
        )
    axes.set_title(f"{one.title}\n{one.seen_from}")
    axes.set_aspect("equal")
    axes.set_axis_off()


_BEHIND = {"facecolor": "white", "edgecolor": "none", "pad": 1.0, "alpha": 0.85}


def _dimension(axes: Axes, measure: Measure, outward: int) -> None:
    """Draw a dimension; the text of an upright one stands on its outer side (-1 left, 1 right)."""
    path = measure.path
    if measure.feet is not None:
        for foot, end in zip(measure.feet, (path[0], path[-1]), strict=True):
            axes.plot(*np.array([foot, end]).T, color=GREY, linewidth=0.6, zorder=3)
    axes.plot(*path.T, color=INK, linewidth=0.8, zorder=5)
    head = {"arrowstyle": "-|>", "color": INK, "linewidth": 0.8, "shrinkA": 0, "shrinkB": 0}
    for tip, before in ((path[0], path[1]), (path[-1], path[-2])):
        start = tip + (before - tip) * min(1.0, 1e-3 / np.linalg.norm(before - tip))
        axes.annotate("", xy=tuple(tip), xytext=tuple(start), arrowprops=head, zorder=5)
    x, y = path[len(path) // 2] if len(path) > 2 else path.mean(axis=0)
    along = path[-1] - path[0]
    upright = abs(along[1]) > abs(along[0])
    axes.annotate(
        f"{measure.label} {show.cut_length(measure.value)}".strip(),
        xy=(x, y),
        xytext=(5 * outward, 0) if upright else (0, 4 if len(path) == 2 else 8),
        textcoords="offset points",
        ha=("center" if not upright else "left" if outward > 0 else "right"),
        va="center" if upright else "bottom",
        bbox=_BEHIND,
        zorder=6,
    )


def joint_plan(x: Joint) -> tuple[Picture, Picture]:
    """Return the joint to scale, from above and across its middle, with its dimensions."""
    above, middle = plan(x)
    return pose(above), pose(middle)
