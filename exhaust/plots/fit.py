"""The figure of a joint's fit: which error opens how much of a gap, seam by seam."""

from __future__ import annotations

from typing import TYPE_CHECKING

from exhaust import show
from exhaust.cutmath.fit.model import KINDS
from exhaust.plots.style import ACCENT, GREY, INK, STYLE, Picture, axes_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from exhaust.cutmath.fit import FitUp

SLIGHT = 0.02  # of the gap allowed: an error that opens less is not drawn
BEHIND = {"facecolor": "white", "edgecolor": "none", "pad": 0.8}


def fit_shares(answer: FitUp) -> Picture:
    """Return the gap that each error opens by itself at its tolerance; the largest in blue."""
    import matplotlib as mpl

    scale = show.style("tube").scale
    allowed = float(answer.tolerances.gap)
    seen = [one for one in answer.effects if one.gap > SLIGHT * allowed]
    lines = len(seen) + len(answer.seams)
    largest = max([allowed, *(one.gap for one in seen)]) / scale
    with mpl.rc_context(STYLE):
        figure, (axes,) = axes_of(6.4, 0.24 * lines + 0.9)
        axes.axvline(allowed / scale, color=INK, linewidth=0.9, linestyle=(0, (5, 3)))
        _bars(axes, answer, SLIGHT * allowed)
        axes.set_xlim(0.0, 1.12 * largest)
        axes.set_title(f"Gap that each error opens by itself [{show.style('tube').unit}]")
        axes.set_xlabel("each at its tolerance; dashed: the gap that the weld may have")
        axes.grid(visible=False, axis="y")
        axes.tick_params(axis="y", length=0.0)
    return Picture(figure, "which error opens how much of each seam, by itself")


def _bars(axes: Axes, answer: FitUp, least: float) -> None:
    """Draw a bar a line under the name of its seam; leave out what opens less than `least` [m]."""
    scale, line = show.style("tube").scale, 0.0
    ticks: list[float] = []
    names: list[str] = []
    heads: list[int] = []
    for seam in answer.seams:
        heads.append(len(ticks))
        ticks.append(line)
        names.append(seam.name[:1].upper() + seam.name[1:])
        colour = ACCENT
        for one in answer.effects:
            if one.seam != seam.name or one.gap <= least:
                continue
            line += 1.0
            axes.barh(line, one.gap / scale, height=0.7, color=colour, zorder=2)
            axes.annotate(
                show.number(one.gap, "tube"),
                (one.gap / scale, line),
                (5, 0),
                textcoords="offset points",
                va="center",
                bbox=BEHIND,
            )
            ticks.append(line)
            names.append(KINDS[one.kind])
            colour = GREY
        line += 1.15
    axes.set_yticks(ticks, names)
    for head in heads:
        axes.get_yticklabels()[head].set_fontweight("bold")
    axes.set_ylim(line - 0.6, -0.7)
