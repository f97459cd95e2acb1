"""Figures of simulated pulses: what passes at each place over a cycle, how crossovers differ."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from exhaust import show
from exhaust.plots.style import ACCENT, GREY, INK, PALE, STYLE, Picture, axes_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from exhaust.choices import Simulation
    from exhaust.choices.balance_tubes import BalanceTubeComparison
    from exhaust.choices.crossovers import CrossoverComparison
    from exhaust.choices.waves import Wave
    from exhaust.stock import Tube

TURN = 180  # degrees between ticks
TIGHT = 0.055  # of the panel's height: nearer labels would touch


def waves(answer: Simulation) -> Picture:
    """Return pressure at a port, where the sides meet and at the tips, over one cycle."""
    import matplotlib as mpl

    fired = min(answer.cylinders, key=lambda one: one.fires).number
    port = answer.wave(f"cylinder {fired}")
    collectors, meeting = answer.of("collector"), answer.of("leg") or answer.of("joint")
    panels = [("At the port and the collector", [port, *collectors[:1]])]
    if meeting:
        panels.append(("Where the two sides meet", list(meeting[:2])))
    with mpl.rc_context(STYLE):
        figure, axes = axes_of(7.2, 1.75 * (len(panels) + 1), panels=len(panels) + 1, stacked=True)
        unit = show.style("pressure")
        for panel, (title, shown) in zip(axes, panels, strict=False):
            outside = answer.flow.ambient_pressure
            lines = [(one.name, (one.pressure - outside) / unit.scale) for one in shown]
            _traced(panel, shown[0], lines)
            panel.set_title(f"{title}: pressure, gauge [{unit.unit}]")
        tips, unit = answer.of("outlet"), show.style("mass_flow")
        lines = [(one.name, one.mass_flow / unit.scale) for one in tips[:2]]
        _traced(axes[-1], tips[0], lines)
        axes[-1].set_title(f"At the tips: flow [{unit.unit}]")
        axes[-1].set_xlabel(f"crank angle from where cylinder {fired} fires [°]")
    return Picture(figure, f"pulses at {show.quantity(answer.flow.duty.speed, 'speed')}")


def _traced(axes: Axes, wave: Wave, lines: Sequence[tuple[str, np.ndarray]]) -> None:
    """Draw up to two lines against crank angle, the first in ink, the second in blue."""
    degrees = np.degrees(wave.angle)
    for (name, values), colour in zip(lines, (INK, ACCENT), strict=False):
        axes.plot(degrees, values, color=colour, linewidth=1.1, label=name)
    axes.set_xlim(0, 720)
    axes.set_xticks(range(0, 721, TURN))
    axes.margins(y=0.08)
    bottom, top = axes.get_ylim()
    ends = _apart([float(values[-1]) for _, values in lines[:2]], 2 * TIGHT * (top - bottom))
    for (name, _), end, colour in zip(lines, ends, (INK, ACCENT), strict=False):
        axes.annotate(
            name,
            (720, end),
            (5, 0),
            textcoords="offset points",
            va="center",
            color=colour,
            annotation_clip=False,
        )


def two_streams(answer: Simulation) -> Picture:
    """Return the flow of the two streams where they meet, over one cycle; shaded, both at once."""
    import matplotlib as mpl

    kind = show.style("mass_flow")
    with mpl.rc_context(STYLE):
        figure, (axes,) = axes_of(7.2, 2.8)
        shown = (answer.of("leg") or answer.of("joint"))[:2]
        flows = [one.mass_flow / kind.scale for one in shown]
        degrees = np.degrees(shown[0].angle)
        axes.fill_between(degrees, np.maximum(np.minimum(*flows), 0.0), color=PALE, linewidth=0)
        _traced(axes, shown[0], [(one.name, flow) for one, flow in zip(shown, flows, strict=True)])
        axes.axhline(0.0, color=GREY, linewidth=0.8)
        axes.set_xlabel("crank angle [°]; shaded: both at once")
        axes.set_title(f"Flow of the two streams where they meet [{kind.unit}]")
    return Picture(figure, "flow of the two streams where they meet, over one cycle")


def crossover_comparison(answer: CrossoverComparison) -> Picture:
    """Return what each crossover gains and how uneven it leaves the note; choices in blue."""
    import matplotlib as mpl

    options = answer.options
    names = [one.name for one in options]
    with mpl.rc_context(STYLE):
        figure, (left, right) = axes_of(7.2, 0.3 * len(options) + 1.2, panels=2)
        _bands(left, [one.gain for one in options], names, names.index(answer.choice))
        worth = 100 * answer.pulses.worth_having
        left.axvline(worth, color=GREY, linewidth=0.9, linestyle=(0, (5, 3)), zorder=1)
        left.set_title("Power gained [%]")
        left.set_xlabel("dashed: worth having")
        halves = [one.half_orders for one in options]
        _bands(right, halves, names, names.index(answer.evenest))
        right.set_title("Half orders at the tips [%]")
        right.set_xlabel("of the pulsation; less is more even")
        right.set_yticklabels([])
        right.set_xlim(0.0, 118.0)
    return Picture(figure, "power gained and half orders left by each crossover")


def _bands(axes: Axes, bands: Sequence[Sequence[float]], names: Sequence[str], chosen: int) -> None:
    """Draw one band a line, the first on top, the chosen one in blue."""
    scale = show.style("percent").scale
    for line, band in enumerate(bands):
        colour = ACCENT if line == chosen else INK
        low, middle, high = (value / scale for value in band)
        axes.plot([low, high], [line, line], color=colour, linewidth=3.0, alpha=0.45)
        axes.plot(middle, line, "o", color=colour, markersize=6 if line == chosen else 4)
        axes.annotate(
            show.number(band[1], "percent"),
            (high, line),
            (6, 0),
            textcoords="offset points",
            va="center",
            color=colour,
            fontweight="bold" if line == chosen else "normal",
        )
    axes.axvline(0.0, color=GREY, linewidth=0.8, zorder=1)
    axes.set_ylim(len(bands) - 0.5, -0.5)
    axes.set_yticks(range(len(bands)), list(names))
    axes.get_yticklabels()[chosen].set_fontweight("bold")
    axes.margins(x=0.15)
    axes.grid(visible=False, axis="y")


def balance_tubes(answer: BalanceTubeComparison) -> Picture:
    """Return half orders by place for each size, and where the pressure swings most without."""
    import matplotlib as mpl

    scale, unit = show.style("run").scale, show.style("run").unit
    pressure = show.style("pressure")
    with mpl.rc_context(STYLE):
        figure, (upper, lower) = axes_of(7.2, 4.4, panels=2, stacked=True)
        lines = _by_size(answer)
        ends = _apart([y[-1] for _, _, y in lines], 6.0)
        for (size, x, y), end in zip(lines, ends, strict=True):
            chosen = size == answer.chosen.tube
            colour = ACCENT if chosen else INK
            upper.plot(np.array(x) / scale, y, "o-", color=colour, markersize=4)
            upper.annotate(
                size.name,
                (x[-1] / scale, end),
                (8, 0),
                textcoords="offset points",
                va="center",
                color=colour,
                fontweight="bold" if chosen else "normal",
            )
        none = 100 * answer.without.half_orders.middle
        upper.axhline(none, color=GREY, linewidth=0.9, linestyle=(0, (5, 3)))
        lowest = min(min(y) for _, _, y in lines)
        upper.set_ylim(max(10 * np.floor(lowest / 10) - 10, 0.0), 105.0)
        upper.set_title("Half orders [% of the pulsation at the tips]; dashed: without")
        lower.plot(answer.position / scale, answer.swing / pressure.scale, color=INK)
        lower.axvline(answer.chosen.distance / scale, color=ACCENT, linewidth=1.0)
        lower.set_ylim(bottom=0.0)
        lower.set_title(f"Pressure between the banks without a tube, rms [{pressure.unit}]")
        lower.set_xlabel(f"distance from the collector [{unit}]; blue: the tube to fit")
        for axes in (upper, lower):
            axes.set_xlim(0.0, float(answer.position[-1]) / scale)
    return Picture(figure, "half orders by size and place of the balance tube")


def _by_size(answer: BalanceTubeComparison) -> list[tuple[Tube, list[float], list[float]]]:
    """Return each size with its places [m] and half orders there [%]."""
    found: dict[Tube, tuple[list[float], list[float]]] = {}
    for one in answer.options:
        assert one.tube is not None
        x, y = found.setdefault(one.tube, ([], []))
        x.append(one.distance)
        y.append(100 * one.half_orders.middle)
    return [(size, x, y) for size, (x, y) in found.items()]


def _apart(heights: Sequence[float], least: float) -> list[float]:
    """Return heights pushed up so that each is at least so far over the one below it."""
    found = list(heights)
    order = sorted(range(len(found)), key=found.__getitem__)
    for below, above in pairwise(order):
        found[above] = max(found[above], found[below] + least)
    return found
