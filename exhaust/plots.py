"""Figures of finished results, in one quiet style. No physics: every number exists in a result.

Ink, two greys and one blue that prints as a dark grey; labels beside the lines rather than
legends; axes in the unit system in use.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from exhaust import show
from exhaust.bands import Band
from exhaust.cutmath.plan import plan
from exhaust.cutmath.pose import Measure, Pose, Role

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from exhaust.choices import MergeComparison, TubeComparison
    from exhaust.joints import ParallelX

INK, GREY, PALE = "#1a1a1a", "#767676", "#d9d9d9"
ACCENT = "#1f5a8c"

STYLE: Any = {
    "font.family": "DejaVu Sans",
    "font.size": 9,
    "axes.titlesize": 9.5,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "axes.edgecolor": GREY,
    "axes.labelcolor": INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.linewidth": 0.8,
    "axes.grid": True,
    "axes.axisbelow": True,
    "grid.color": PALE,
    "grid.linewidth": 0.6,
    "lines.linewidth": 1.4,
    "hatch.linewidth": 0.5,
    "savefig.bbox": "tight",
    "savefig.pad_inches": 0.03,
    "savefig.dpi": 110,
    "svg.fonttype": "path",
    "svg.hashsalt": "exhaust",
}


class Picture(NamedTuple):
    """A finished figure that shows itself in a notebook and saves the same bytes each time."""

    figure: Figure
    caption: str

    def svg(self) -> str:
        """Return the figure as SVG text."""
        return self._saved("svg", {"Date": None}).decode()

    def _repr_png_(self) -> bytes:
        return self._saved("png", {"Software": None})

    def _saved(self, form: str, metadata: dict[str, Any]) -> bytes:
        import matplotlib as mpl

        buffer = io.BytesIO()
        with mpl.rc_context(STYLE):
            self.figure.savefig(buffer, format=form, metadata=metadata)
        return buffer.getvalue()

    def __repr__(self) -> str:
        return f"<figure: {self.caption}>"


def _axes(width: float, height: float, panels: int = 1) -> tuple[Figure, list[Axes]]:
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(STYLE):
        figure = Figure(figsize=(width, height), layout="constrained")
        return figure, list(figure.subplots(1, panels, squeeze=False)[0])


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
        figure, (axes,) = _axes(width, height)
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


def joint_plan(x: ParallelX) -> tuple[Picture, Picture]:
    """Return the joint to scale, from above and across its middle, with its dimensions."""
    above, middle = plan(x)
    return pose(above), pose(middle)


def tube_comparison(answer: TubeComparison) -> Picture:
    """Return the power cost and the back pressure of each tube; the choice in blue."""
    import matplotlib as mpl

    options = [one for one in answer.options if not one.choked]
    names = [one.tube.name for one in options]
    chosen = names.index(answer.choice.name)
    best = next(one for one in options if one.tube == answer.best)
    with mpl.rc_context(STYLE):
        figure, (left, right) = _axes(7.2, 0.28 * len(options) + 1.3, panels=2)
        _ranges(left, [one.power_cost for one in options], names, chosen, "percent")
        worth = 100 * (best.power_cost.middle + answer.limits.worth_having)
        left.axvline(worth, color=GREY, linewidth=0.9, linestyle=(0, (5, 3)), zorder=1)
        left.set_title("Power cost [%], with its band")
        left.set_xlabel("dashed: worth having above the best")
        values = [one.back_pressure for one in options]
        _ranges(right, [Band(value, value, value) for value in values], names, chosen, "pressure")
        right.set_title(f"Back pressure, gauge [{show.style('pressure').unit}]")
        right.set_xlabel("where the pipe starts")
        right.set_yticklabels([])
    return Picture(figure, "power cost and back pressure of each tube")


def merge_comparison(answer: MergeComparison) -> Picture:
    """Return the power cost of each merge and the cutback it asks for; the choice in blue."""
    import matplotlib as mpl

    options = [one for one in answer.options if not one.choked]
    names = [one.outlet.name for one in options]
    chosen = names.index(answer.choice.name)
    with mpl.rc_context(STYLE):
        figure, (left, right) = _axes(7.2, 0.36 * len(options) + 1.2, panels=2)
        _ranges(left, [one.power_cost for one in options], names, chosen, "percent")
        left.set_title("Power cost of the merge [%]")
        left.set_xlabel("steady flow, with its band")
        cutbacks = [one.forming.cutback for one in options]
        _ranges(right, [Band(cut, cut, cut) for cut in cutbacks], names, chosen, "percent")
        right.set_title("Cutback [% of the diameter]")
        right.set_xlabel("that needs no stretching to fit the outlet")
        right.set_yticklabels([])
    return Picture(figure, "power cost and cutback of each merge")


def _ranges(
    axes: Axes, bands: Sequence[Band], names: Sequence[str], chosen: int, kind: str
) -> None:
    """Draw one range a line, smallest on top; what is far off the scale is written there."""
    scale = show.style(kind).scale
    highs = sorted((band.high / scale for band in bands), reverse=True)
    limit = min(1.12 * highs[0], 4.0 * highs[-min(3, len(highs))])
    for line, band in enumerate(bands):
        colour = ACCENT if line == chosen else INK
        low, middle, high = (value / scale for value in band)
        text = show.number(band.middle, kind)
        if high > limit:
            axes.text(0.99 * limit, line, f"{text} →", ha="right", va="center", color=GREY)
            continue
        axes.plot([low, high], [line, line], color=colour, linewidth=3.0, alpha=0.45)
        axes.plot(middle, line, "o", color=colour, markersize=6 if line == chosen else 4)
        axes.annotate(
            text,
            (high, line),
            xytext=(6, 0),
            textcoords="offset points",
            va="center",
            color=colour,
            fontweight="bold" if line == chosen else "normal",
        )
    axes.set_xlim(0.0, limit)
    axes.set_ylim(len(bands) - 0.5, -0.5)
    axes.set_yticks(range(len(bands)), list(names))
    axes.get_yticklabels()[chosen].set_fontweight("bold")
    axes.grid(visible=False, axis="y")
