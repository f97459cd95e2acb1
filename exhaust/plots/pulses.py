"""Figures of pulses: what a merge saves over engine speeds, and from where."""

from __future__ import annotations

from typing import TYPE_CHECKING

from exhaust import show
from exhaust.plots.style import ACCENT, GREY, INK, STYLE, Picture, axes_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from exhaust.bands import Band
    from exhaust.choices.pulsed_merges import PulsedMerge, PulsedMergeComparison
    from exhaust.stock import Tube


def merges_in_pulses(answer: PulsedMergeComparison) -> Picture:
    """Return what each larger outlet saves, joint and pipe apart, and at which speeds."""
    import matplotlib as mpl

    lines = [line for one in answer.options[1:] for line in _lines(one, answer.choice)]
    with mpl.rc_context(STYLE):
        figure, (left, right) = axes_of(7.2, 0.24 * len(lines) + 1.6, panels=2)
        _gains(left, lines)
        left.set_title("Saves against the same size [%]")
        left.set_xlabel("of power, mean over the speeds, with its band")
        _over_speeds(right, answer)
        right.set_title("At each speed [%]")
        right.set_xlabel("engine speed [rpm]; shaded: to one pressure")
    return Picture(figure, "what larger outlets save in pulses")


def _lines(one: PulsedMerge, choice: Tube) -> list[tuple[str, Band, str]]:
    """Return name, gain and colour of the whole, the joint and the pipe."""
    colour = ACCENT if one.outlet == choice else INK
    found = [(one.outlet.name, one.gain.difference, colour)]
    if one.parted is not None:
        parts = zip(("joint", "pipe after it"), one.parted, strict=True)
        found += [(name, part.difference, GREY) for name, part in parts]
    return found


def _gains(axes: Axes, lines: list[tuple[str, Band, str]]) -> None:
    scale = show.style("percent").scale
    for line, (_, band, colour) in enumerate(lines):
        low, middle, high = (value / scale for value in band)
        axes.plot([low, high], [line, line], color=colour, linewidth=3.0, alpha=0.45)
        axes.plot(middle, line, "o", color=colour, markersize=5)
        text = show.number(band.middle, "percent")
        axes.annotate(
            text, (high, line), (6, 0), textcoords="offset points", va="center", color=colour
        )
    axes.axvline(0.0, color=GREY, linewidth=0.8, zorder=1)
    axes.set_ylim(len(lines) - 0.5, -0.5)
    axes.set_yticks(range(len(lines)), [name for name, _, _ in lines])
    for label, (_, _, colour) in zip(axes.get_yticklabels(), lines, strict=True):
        label.set_color(colour)
    axes.margins(x=0.15)
    axes.grid(visible=False, axis="y")


def _over_speeds(axes: Axes, answer: PulsedMergeComparison) -> None:
    percent, rpm = show.style("percent").scale, show.style("speed").scale
    x = [speed / rpm for speed in answer.speeds]
    for one in answer.options[1:]:
        chosen = one.outlet == answer.choice
        colour = ACCENT if chosen else INK
        gain, other = ([v / percent for v in by] for by in (one.by_speed, one.other_by_speed))
        axes.fill_between(x, gain, other, color=colour, alpha=0.15, linewidth=0)
        axes.plot(x, gain, color=colour)
        axes.annotate(
            one.outlet.name.split(" x ")[0],
            (x[-1], gain[-1]),
            (3, 0),
            textcoords="offset points",
            va="center",
            color=colour,
            fontweight="bold" if chosen else "normal",
        )
    axes.axhline(0.0, color=GREY, linewidth=0.8, zorder=1)
    axes.margins(x=0.0)
    axes.set_xlim(right=x[-1] + 0.2 * (x[-1] - x[0]))
