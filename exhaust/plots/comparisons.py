"""Figures of options weighed against each other: one line each, its band, the choice in blue."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from exhaust import show
from exhaust.bands import Band
from exhaust.plots.style import ACCENT, GREY, INK, STYLE, Picture, axes_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from exhaust.choices import MergeComparison, TubeComparison


def tube_comparison(answer: TubeComparison) -> Picture:
    """Return the power cost and the back pressure of each tube; the choice in blue."""
    import matplotlib as mpl

    options = [one for one in answer.options if not one.choked]
    names = [one.tube.name for one in options]
    chosen = names.index(answer.choice.name)
    best = next(one for one in options if one.tube == answer.best)
    with mpl.rc_context(STYLE):
        figure, (left, right) = axes_of(7.2, 0.28 * len(options) + 1.3, panels=2)
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
        figure, (left, right) = axes_of(7.2, 0.36 * len(options) + 1.2, panels=2)
        _ranges(left, [one.power_cost for one in options], names, chosen, "percent")
        left.set_title("Power cost [%] of the whole")
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
