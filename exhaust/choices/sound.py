"""The answer about sound: options by engine order, against each other alone."""

from __future__ import annotations

from collections.abc import Mapping

import attrs
import numpy as np

from exhaust import tables
from exhaust.bands import Verdict
from exhaust.choices.orders import at_microphones
from exhaust.choices.simulation import Simulation
from exhaust.choices.waves import FloatArray
from exhaust.errors import broken, nearest
from exhaust.pulse.cycle import STEADY
from exhaust.show import Column, Fact, Result, Table, quantity, spread

FLOOR = -40.0  # against the loudest order; less is not shown [dB]
MOST_ORDERS = 14  # in the table
RATE = 44100  # samples of a clip [1/s]
FADE = 0.1  # in which a clip rises and dies [s]
PEAK = 0.9  # of full scale, of the loudest option


@attrs.frozen(kw_only=True, eq=False)
class Heard:
    """One option; levels by order [dB], nought at the loudest order of the first option.

    `together` is all open ends heard as one, `apart` each by itself; `ends` [ends, orders] the
    complex amplitudes that each sends [kg/s^2].
    """

    name: str
    together: tuple[float, ...]
    apart: tuple[float, ...]
    quieter: Verdict  # than the first option, to the ear [dB]; better is quieter
    ends: np.ndarray = attrs.field(repr=False)

    @property
    def loudest_order(self) -> float:
        """The order that is loudest, each end by itself."""
        return 0.5 * int(np.argmax(self.apart))


@attrs.frozen(kw_only=True, repr=False, eq=False)
class SoundComparison(Result):
    """How options sound against each other at one engine speed; no noise measurement.

    `orders` and their `frequencies` [Hz]; `options` with the first one's loudest order at nought;
    `worth_hearing` the least difference worth deciding on [dB].
    """

    simulations: Mapping[str, Simulation]
    orders: tuple[float, ...]
    frequencies: tuple[float, ...]
    options: tuple[Heard, ...]
    worth_hearing: float

    title = "Sound at the open ends"

    @property
    def speed(self) -> float:
        """Speed of the crank [rad/s]."""
        return next(iter(self.simulations.values())).flow.duty.speed

    @property
    def choice(self) -> Heard:
        """The quietest of those that are better than the first; the first if none is."""
        better = [one for one in self.options[1:] if one.quieter.word == "better"]
        return max(better, key=lambda one: one.quieter.difference.middle, default=self.options[0])

    @property
    def reason(self) -> str:  # type: ignore[override]
        """How the options differ to the ear, and which to build for quiet."""
        first = self.options[0]
        worth = quantity(self.worth_hearing, "decibel")
        against = "; ".join(_against(one) for one in self.options[1:])
        said = f"At {quantity(self.speed, 'speed')}, against {first.name} (worth hearing: {worth}):"
        choice = self.choice
        why = "the quietest" if choice is not first else "nothing else is surely quieter"
        return f"{said} {against}. For quiet there build {choice.name}: {why}."

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What was assumed; first, what this is not."""
        most = quantity(self.frequencies[-1], "frequency")
        said = [
            "This is no noise measurement: options are compared with each other alone, at the open "
            "ends, and nothing is said of how loud any of them is.",
            f"An open end sounds as its mass flow changes, up to {most}, as far as the cells follow"
            " it; the jet's own hiss, the wall, the ground and the car's body are left out.",
            "Waves favour one option at one speed and another at the next: compare at several "
            "before building for quiet.",
            "A silencer counts as tube with a loss: a real one takes away most of what is heard "
            "here, and not each order alike.",
            "The band runs from all ends heard as one, where opposite pulses cancel, to each by "
            "itself; where one listens decides. Levels in all are weighed as the ear does (A).",
            "A clip is a steady engine at two microphones 45 degrees to either side behind, the "
            "ends 1 m apart, every option at one scale (common practice).",
        ]
        left = [name for name, one in self.simulations.items() if one.outcome != STEADY]
        said += [f"The cycle of {name} does not repeat: its last one counts." for name in left]
        return (*said, *tables.cautions("sound"))

    def facts(self) -> list[Fact]:
        """Return the headline lines."""
        found = [Fact("for quiet build", self.choice.name, note="at this speed")]
        for one in self.options:
            order = one.loudest_order
            hertz = self.frequencies[self.orders.index(order)]
            note = f"{quantity(hertz, 'frequency')}, each end by itself"
            found.append(Fact(f"loudest order of {one.name}", f"{order:g}", "text", note))
        for one in self.options[1:]:
            band = one.quieter.difference
            note = f"{spread(band.low, band.high, 'decibel')}; {one.quieter.word}"
            found.append(Fact(f"{one.name} is quieter by", band.middle, "decibel", note))
        return found

    def rows(self) -> Table:
        """Return the orders that are loudest in any option, low to high."""
        columns = [Column("order", "order"), Column("frequency", "frequency", "frequency")]
        for n, one in enumerate(self.options, start=1):
            columns += [
                Column(f"option_{n}_together", f"{one.name}, ends as one", "decibel"),
                Column(f"option_{n}_apart", f"{one.name}, each end", "decibel"),
            ]
        loudest = np.max([one.apart for one in self.options], axis=0)
        shown = sorted(np.argsort(loudest)[::-1][:MOST_ORDERS].tolist())
        rows = [
            (
                f"{self.orders[n]:g}",
                self.frequencies[n],
                *(_level(level[n]) for one in self.options for level in (one.together, one.apart)),
            )
            for n in shown
            if loudest[n] > FLOOR
        ]
        return Table(tuple(columns), tuple(rows))

    def signal(self, name: str, seconds: float = 3.0) -> FloatArray:
        """Return the sound of an option at two microphones, arrays [2, samples] of RATE [1/s].

        All options at one scale, the loudest just below full scale.
        """
        if name not in self.simulations:
            known = nearest(name, dict.fromkeys(self.simulations))
            raise broken("is none of the options", repr(name), known).named("name")
        hertz = np.array(self.frequencies)
        cycle = np.linspace(0.0, 4 * np.pi, 32 * len(hertz))
        peak = max(np.max(np.abs(at_microphones(one.ends, hertz, cycle))) for one in self.options)
        (option,) = (one for one in self.options if one.name == name)
        time = np.arange(int(seconds * RATE)) / RATE
        fade = np.clip(np.minimum(time, time[::-1]) / FADE, 0.0, 1.0)
        heard = at_microphones(option.ends, hertz, time * self.speed)
        return np.asarray(PEAK / peak * fade * heard)


def _against(one: Heard) -> str:
    band = one.quieter.difference
    if band.middle < 0:
        size, how = spread(-band.high, -band.low, "decibel"), "louder"
    else:
        size, how = spread(band.low, band.high, "decibel"), "quieter"
    middle = quantity(abs(band.middle), "decibel")
    return f"{one.name} is {middle} ({size}) {how}, {one.quieter.word}"


def _level(level: float) -> float | str:
    """Return a level, or a dash for one that nobody hears beside the others."""
    return level if level > FLOOR else "–"
