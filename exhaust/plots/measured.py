"""The figure of readings at the test port over what was predicted."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from exhaust import show
from exhaust.choices.measured_words import named, value
from exhaust.plots.style import ACCENT, GREY, INK, PALE, STYLE, Picture, axes_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from exhaust.choices import MeasuredComparison

BESIDE = 0.3  # of the range of speeds, left for the words behind the last
ALONE = 100.0  # on either side of a single speed [rpm]
POINTS: dict[str, Any] = {"markersize": 4.5, "capsize": 3, "linewidth": 1.2}


def measured_back_pressure(answer: MeasuredComparison) -> Picture:
    """Return the readings, each with what the gauge may be off by, over the predicted band.

    Dashed, the prediction with the one assumption moved that would have to, if it can be told.
    """
    import matplotlib as mpl

    with mpl.rc_context(STYLE):
        figure, (axes,) = axes_of(6.4, 2.7)
        _draw(axes, answer)
        unit = show.style("pressure").unit
        axes.set_title(f"Pressure at the test port, gauge [{unit}]")
        axes.set_xlabel("engine speed [rpm]")
    return Picture(figure, "back pressure as read at the test port, and the band predicted there")


def _draw(axes: Axes, answer: MeasuredComparison) -> None:
    scale, rpm = show.style("pressure").scale, show.style("speed").scale
    points, off = answer.points, answer.readings.gauge_accuracy / scale
    speeds = np.array([point.speed / rpm for point in points])
    bands = np.array([point.predicted for point in points]) / scale
    read = np.array([point.read for point in points]) / scale
    wide = np.array([-ALONE, ALONE]) if len(points) == 1 else np.zeros(1)
    x = (speeds[:, None] + wide).ravel()
    low, middle, high = np.repeat(bands, len(wide), axis=0).T
    axes.fill_between(x, low, high, color=PALE, linewidth=0)
    axes.plot(x, middle, color=GREY)
    axes.errorbar(speeds, read, yerr=off, fmt="o", color=ACCENT, **POINTS)
    if answer.choice is not None:
        axes.plot(speeds, answer.choice.pressures / scale, color=INK, linestyle="--")
        _name_moved(axes, answer, speeds, scale)
    axes.set_xticks(speeds)
    span = x[-1] - x[0]
    axes.set_xlim(x[0] - 0.06 * span, x[-1] + BESIDE * span)
    axes.set_ylim(bottom=min(0.0, *(read - off)))
    ends = [("predicted,\nwith its band", middle[-1], GREY), ("read", read[-1], ACCENT)]
    _label(axes, x[-1], ends)


def _name_moved(axes: Axes, answer: MeasuredComparison, speeds: np.ndarray, scale: float) -> None:
    """Write beside the dashed line what was moved, and to what."""
    choice = answer.choice
    assert choice is not None
    place = (len(speeds) - 1) // 2
    ends = (place, min(place + 1, len(speeds) - 1))
    at = [float(np.mean([each[end] for end in ends])) for each in (speeds, choice.pressures)]
    words = f"{named(choice)}\n{value(answer, choice, choice.needed.middle)}"
    above = at[1] > np.mean([answer.points[end].predicted.middle for end in ends])
    away: tuple[int, int] = (-6, 4) if above else (6, -4)  # from the band
    look: Any = {"ha": "right", "va": "bottom"} if above else {"ha": "left", "va": "top"}
    axes.annotate(words, (at[0], at[1] / scale), away, textcoords="offset points", **look)


def _label(axes: Axes, x: float, ends: list[tuple[str, float, str]]) -> None:
    """Write each line's name behind its end, clear of the other's."""
    gap = 0.13 * (axes.get_ylim()[1] - axes.get_ylim()[0])
    height = -np.inf
    for words, y, colour in sorted(ends, key=lambda end: end[1]):
        height = max(y, height + gap)
        axes.annotate(
            words,
            (x, height),
            (9, 0),
            textcoords="offset points",
            va="center",
            color=colour,
            fontweight="bold" if colour == ACCENT else "normal",
        )
