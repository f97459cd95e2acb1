"""Drawings to scale: a piece in the saw, a joint from above and across."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from exhaust import show
from exhaust.cutmath.plan import plan
from exhaust.cutmath.pose import Measure, Pose, Role
from exhaust.plots.style import ACCENT, GREY, INK, PALE, STYLE, Picture

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


# Sizes of drawings with full lettering, before a sheet of paper shrinks them [in].
WIDE, NARROW = 6.4, 5.0
TALL = 5.8
BESIDE = 4.5  # on a sheet of paper, beside another
TITLE = 0.45
ALONE = 2.5  # on a sheet of paper
ROW = 8.8  # of drawings side by side, their lettering counted
GAP = 0.3
NEAR = 0.02  # to that row
LETTER = 0.075  # of lettering, in the middle
LOW = 1.8  # less is too small to read: they stand one under the other instead


def pose(one: Pose) -> Picture:
    """Return the drawing of one piece in the saw, to scale with its dimensions."""
    wide, tall = _extent(one)
    width = WIDE if wide >= 0.8 * tall else NARROW
    return _picture(one, min(TALL, width * tall / wide))


def side_by_side(poses: Sequence[Pose]) -> tuple[Picture, ...]:
    """Return drawings of one height that stand beside each other on a sheet of paper.

    One under the other, where lettering would leave too little for the drawings.
    """
    if len(poses) == 1:
        wide, tall = _extent(poses[0])
        return (_picture(poses[0], min(ALONE, WIDE * tall / wide)),)
    ratios = sum(wide / tall for wide, tall in map(_extent, poses))
    room = ROW - GAP * (len(poses) - 1)
    height = min(BESIDE, room / ratios)
    while height > LOW:
        found = tuple(_picture(one, height) for one in poses)
        over = sum(_width(one) for one in found) - room
        if over <= NEAR:
            return found
        height -= over / ratios  # lettering beside a drawing does not shrink with it
    return tuple(pose(one) for one in poses)


def _width(picture: Picture) -> float:
    """Return how wide a drawing is, its lettering counted [in]."""
    return float(picture.figure.get_tightbbox().width)


def _extent(one: Pose) -> tuple[float, float]:
    """Return (width, height) of a drawing with the margin about it [m]."""
    (left, bottom), (right, top) = _limits(one)
    return right - left, top - bottom


def _limits(one: Pose) -> Any:
    points = _points(one)
    low, high = points.min(axis=0), points.max(axis=0)
    margin = 0.08 * max(high - low)
    return low - margin, high + margin


def _picture(one: Pose, height: float) -> Picture:
    """Return a drawing, so many inches high below its title."""
    import matplotlib as mpl
    from matplotlib.figure import Figure

    wide, tall = _extent(one)
    with mpl.rc_context(STYLE):
        figure = Figure(figsize=(height * wide / tall, height + TITLE))
        axes = figure.add_axes((0.0, 0.0, 1.0, height / (height + TITLE)))
        _draw(axes, one, height / tall)
        (left, bottom), (right, top) = _limits(one)
        axes.set_xlim(left, right)
        axes.set_ylim(bottom, top)
    return Picture(figure, one.title)


def _points(one: Pose) -> Any:
    parts = [shape.points for shape in one.shapes] + [measure.path for measure in one.measures]
    return np.vstack([*parts, *(np.array([note.at]) for note in one.notes)])


def _draw(axes: Axes, one: Pose, scale: float) -> None:
    """Draw shapes, dimensions and notes at `scale` [in/m], to see what lettering has room for."""
    from matplotlib.patches import Polygon

    for shape in one.shapes:
        closed = shape.closed and shape.role != "centre"
        axes.add_patch(Polygon(shape.points, closed=closed, fill=closed, **_FILL[shape.role]))
    middle = float(np.mean(_points(one)[:, 0]))
    for measure in one.measures:
        _dimension(axes, measure, -1 if measure.path[:, 0].mean() < middle else 1, scale)
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


def _dimension(axes: Axes, measure: Measure, outward: int, scale: float) -> None:
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
    x, y = path[len(path) // 3] if len(path) > 2 else path.mean(axis=0)
    along = path[-1] - path[0]
    upright = abs(along[1]) > abs(along[0])
    words = [word for word in (measure.label, show.cut_length(measure.value)) if word]
    room = float(np.hypot(*along)) * scale / LETTER
    turned = upright and room > max(map(len, words))
    text = "\n".join(words) if upright and room < len(" ".join(words)) else " ".join(words)
    axes.annotate(
        text,
        xy=(x, y),
        xytext=(4 * outward, 0) if upright else (0, 4 if len(path) == 2 else 8),
        textcoords="offset points",
        ha=("center" if not upright else "left" if outward > 0 else "right"),
        va="center" if upright else "bottom",
        rotation=90 if turned else 0,
        multialignment="center",
        bbox=_BEHIND,
        zorder=6,
    )


def joint_plan(x: Joint) -> tuple[Picture, Picture]:
    """Return the joint to scale, from above and across its middle, with its dimensions."""
    above, middle = plan(x)
    return pose(above), pose(middle)
