"""Figures of steady flow: along the pipe, over engine speeds, and where a band comes from."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from exhaust import show
from exhaust.choices.doubts import NAMES
from exhaust.plots.style import ACCENT, GREY, INK, STYLE, Picture, axes_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from exhaust.choices import FlowThrough, SpeedComparison

MOST_SHARES = 6  # inputs shown; the others are a hair each
SIDE_BY_SIDE = 7  # names that stand level below the drawing
LEAST_SHARE = 0.06  # of the drawing for a place, so that its name can be read


def flow_along(answer: FlowThrough) -> Picture:
    """Return gas and wall temperature and pressure lost from place to place."""
    import matplotlib as mpl

    places = answer.places
    with mpl.rc_context(STYLE):
        figure, (upper, lower) = axes_of(7.2, 4.4, panels=2, stacked=True)
        least = LEAST_SHARE * sum(place.length for place in places)
        ends = np.cumsum([0.0, *(max(place.length, least) for place in places)])
        _temperatures(upper, answer, ends)
        unit = show.style("pressure")
        lost = [place.total_pressure_loss / unit.scale for place in places]
        middles = (ends[:-1] + ends[1:]) / 2
        lower.bar(middles, lost, width=0.86 * np.diff(ends), color=GREY)
        for x, value in zip(middles, lost, strict=True):
            text = show.number(value * unit.scale, "pressure")
            lower.annotate(text, (x, value), (0, 2), textcoords="offset points", ha="center")
        lower.set_title(f"Total pressure lost there [{unit.unit}]")
        lower.set_ylim(0.0, 1.2 * max(lost))
        if len(places) <= SIDE_BY_SIDE:
            lower.set_xticks(middles, [_wrapped(place.name) for place in places])
        else:
            lower.set_xticks(middles, [place.name for place in places])
            lower.tick_params("x", labelrotation=30)
            for name in lower.get_xticklabels():
                name.set(ha="right", rotation_mode="anchor")
        lower.set_xlim(ends[0], ends[-1])
        lower.grid(visible=False, axis="x")
    return Picture(figure, "gas and wall along the pipe, and where its pressure goes")


def _temperatures(axes: Axes, answer: FlowThrough, ends: np.ndarray) -> None:
    unit = show.style("temperature")

    def shown(kelvin: float) -> float:
        return (kelvin - unit.offset) / unit.scale

    for place, left, right in zip(answer.places, ends[:-1], ends[1:], strict=True):
        gas = [shown(place.start_temperature), shown(place.end_temperature)]
        axes.plot([left, right], gas, color=ACCENT)
        axes.axvline(right, color=GREY, linewidth=0.6, zorder=1)
        if place.wall_temperature is not None:
            wall = shown(place.wall_temperature)
            axes.plot([left, right], [wall, wall], color=INK, linewidth=2.2)
            text = show.number(place.wall_temperature, "temperature")
            at = ((left + right) / 2, wall)
            axes.annotate(text, at, (0, -10), textcoords="offset points", ha="center")
    first = answer.places[0]
    axes.annotate(
        f"gas {show.number(first.start_temperature, 'temperature')}",
        (ends[0], shown(first.start_temperature)),
        (4, 4),
        textcoords="offset points",
        color=ACCENT,
    )
    last = answer.places[-1]
    axes.annotate(
        show.number(last.end_temperature, "temperature"),
        (ends[-1], shown(last.end_temperature)),
        (-4, 5),
        textcoords="offset points",
        color=ACCENT,
        ha="right",
    )
    axes.set_title(f"Gas (blue) and wall (black) [{unit.unit}]")
    axes.margins(y=0.18)
    axes.set_xlim(ends[0], ends[-1])
    axes.set_xticks([])


def _wrapped(name: str, width: int = 14) -> str:
    """Return a name on short lines."""
    lines = [""]
    for word in name.split():
        if lines[-1] and len(lines[-1]) + len(word) >= width:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return "\n".join(lines)


def over_speeds(answer: SpeedComparison) -> Picture:
    """Return back pressure and its cost over engine speeds; the system's own tube in blue."""
    import matplotlib as mpl

    with mpl.rc_context(STYLE):
        figure, (left, right) = axes_of(7.2, 3.0, panels=2)
        _curves(left, answer, "pressure")
        left.set_title(f"Back pressure, gauge [{show.style('pressure').unit}]")
        _curves(right, answer, "percent")
        right.set_title("Power cost [%]; shaded: its band")
        for axes in (left, right):
            axes.set_xlabel("engine speed [rpm]")
            axes.set_ylim(bottom=0.0)
    return Picture(figure, "back pressure and power cost over engine speeds")


def _curves(axes: Axes, answer: SpeedComparison, kind: str) -> None:
    scale, rpm = show.style(kind).scale, show.style("speed").scale
    own = answer.system.tube
    for tube in answer.tubes:
        points = answer.of(tube)
        bands = [one.back_pressure if kind == "pressure" else one.power_cost for one in points]
        x = [one.speed / rpm for one in points]
        low, middle, high = (np.array(values) / scale for values in zip(*bands, strict=True))
        colour = ACCENT if tube == own else INK
        if tube == own or len(answer.tubes) == 1:
            axes.fill_between(x, low, high, color=colour, alpha=0.18, linewidth=0)
        axes.plot(x, middle, color=colour)
        axes.annotate(
            tube.name.split(" x ")[0],
            (x[-1], middle[-1]),
            (3, 0),
            textcoords="offset points",
            va="center",
            color=colour,
            fontweight="bold" if tube == own else "normal",
        )
    axes.margins(x=0.0)
    axes.set_xlim(right=1.16 * axes.get_xlim()[1])


def band_shares(answer: FlowThrough) -> Picture:
    """Return how much of the band each input explains, largest first."""
    import matplotlib as mpl

    shares = [one for one in answer.contributions.items() if one[1] > 0][:MOST_SHARES]
    with mpl.rc_context(STYLE):
        figure, (axes,) = axes_of(5.4, 0.26 * len(shares) + 0.7)
        values = [100 * share for _, share in shares]
        axes.barh(range(len(shares)), values, color=[ACCENT, *[GREY] * (len(shares) - 1)])
        for line, (_, share) in enumerate(shares):
            text = show.quantity(share, "percent")
            axes.annotate(
                text, (100 * share, line), (4, 0), textcoords="offset points", va="center"
            )
        axes.set_yticks(range(len(shares)), [NAMES[name] for name, _ in shares])
        axes.set_ylim(len(shares) - 0.5, -0.5)
        axes.set_xlim(0.0, 1.15 * max(values))
        axes.set_title("What moves the answer most [% of its band]")
        axes.grid(visible=False, axis="y")
    return Picture(figure, "which inputs the band of the power cost comes from")
