"""Figures of finished results, in one quiet style. No physics: every number exists in a result.

Ink, two greys and one blue that prints as a dark grey; labels beside the lines rather than
legends; axes in the unit system in use.
"""

from __future__ import annotations

import io
import math
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from exhaust import show
from exhaust.cutmath.pose import Measure, Pose, Role

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from exhaust.choices import MergeComparison, TubeComparison

INK, GREY, PALE = "#1a1a1a", "#767676", "#d9d9d9"
ACCENT = "#1f5a8c"

STYLE: dict[str, Any] = {
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
            self.figure.savefig(buffer, format=form, dpi=110, metadata=metadata)
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
    everything = np.vstack([shape.points for shape in one.shapes])
    wide, tall = np.ptp(everything, axis=0)
    width = 6.4
    height = min(max(width * tall / wide + 1.1, 2.4), 6.4)
    figure, (axes,) = _axes(width, height)
    _draw(axes, one)
    return Picture(figure, one.title)


def _draw(axes: Axes, one: Pose) -> None:
    from matplotlib.patches import Polygon

    for shape in one.shapes:
        look = dict(_FILL[shape.role])
        closed = shape.closed and shape.role != "centre"
        axes.add_patch(Polygon(shape.points, closed=closed, fill=closed, **look))
    for measure in one.measures:
        _dimension(axes, measure)
    for note in one.notes:
        arrow = {"arrowstyle": "-", "color": GREY, "linewidth": 0.7}
        target = note.points_to or note.at
        axes.annotate(
            note.text,
            xy=target,
            xytext=note.at,
            ha="center",
            va="center",
            fontsize=8.5,
            arrowprops=arrow if note.points_to else None,
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0},
            zorder=6,
        )
    axes.set_title(f"{one.title} ({one.seen_from})")
    axes.set_aspect("equal")
    axes.autoscale_view()
    axes.margins(0.06)
    axes.set_axis_off()


def _dimension(axes: Axes, measure: Measure) -> None:
    (x0, y0), (x1, y1) = measure.start, measure.end
    arrow = {"arrowstyle": "<->", "color": INK, "linewidth": 0.8, "shrinkA": 0, "shrinkB": 0}
    axes.annotate("", xy=measure.start, xytext=measure.end, arrowprops=arrow, zorder=5)
    text = f"{measure.label} {show.cut_length(measure.value)}".strip()
    turn = math.degrees(math.atan2(y1 - y0, x1 - x0))
    upright = abs(turn) > 45 and abs(turn) < 135
    axes.text(
        (x0 + x1) / 2,
        (y0 + y1) / 2,
        text,
        ha="left" if upright else "center",
        va="center",
        fontsize=8.5,
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.2},
        zorder=6,
    )


def _scaled(values: Any, kind: str) -> Any:
    look = show.style(kind)
    return (np.asarray(values, dtype=float) - look.offset) / look.scale
