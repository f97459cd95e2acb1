"""What is known of a joint's fit, as a result to look at."""

from __future__ import annotations

import math
from typing import NamedTuple

import attrs

from exhaust.cutmath.fit.model import ANGLES, KINDS
from exhaust.cutmath.fit.tolerances import Tolerances
from exhaust.joints import Joint
from exhaust.show import Column, Fact, Result, Table, quantity
from exhaust.stock import DEGREE, MILLIMETRE, Saw


class Chance(NamedTuple):
    """A chance found by sampling, with the range that the number of samples leaves (95 %)."""

    low: float
    middle: float
    high: float


def chance_of(hits: int, samples: int) -> Chance:
    """Return the chance that `hits` of `samples` show, with Wilson's interval at 95 % [wilson].

    None of a thousand is not "never": the interval says up to 0.4 %.

    >>> [round(each, 4) for each in chance_of(0, 1000)]
    [0.0, 0.0, 0.0038]
    """
    z, share = 1.959963984540054, hits / samples
    middle = share + z**2 / (2 * samples)
    half = z * math.sqrt(share * (1 - share) / samples + (z / (2 * samples)) ** 2)
    whole = 1 + z**2 / samples
    low, high = max((middle - half) / whole, 0.0), min((middle + half) / whole, 1.0)
    return Chance(min(low, share), share, max(high, share))


class Effect(NamedTuple):
    """What one kind of error does to one seam by itself [m].

    Errors of several pieces are added as squares: they are off each in its own way.
    """

    seam: str
    kind: str
    gap: float  # at its tolerance
    step: float | None
    gap_rate: float  # first order: for a degree of it, or for a millimetre
    step_rate: float | None


class SeamRow(NamedTuple):
    """One seam: median and 95 % of gap and step [m]; nothing for the step of a saddle."""

    name: str
    gap: tuple[float, float]
    step: tuple[float, float] | None
    chance: Chance
    most: Effect


class EndRow(NamedTuple):
    """One end: median and 95 % of the size of its spacing's error [m], and what makes most."""

    name: str
    error: tuple[float, float]
    most: str | None


@attrs.frozen(kw_only=True, repr=False)
class FitUp(Result):
    """What the saw's and the shop's errors do to a joint: `seams`, `ends`, the `chance`.

    `joint` as this saw's dial makes it; `turned` the second piece's turn, `other_chance` that of
    the other way; `held` the gap all round that a jig on the spacing leaves, 95 % [m]; `effects`
    of each error by itself; `advice` in order.
    """

    joint: Joint
    saw: Saw
    tolerances: Tolerances
    turned: str
    chance: Chance
    other_chance: Chance
    seams: tuple[SeamRow, ...]
    ends: tuple[EndRow, ...]
    held: float
    effects: tuple[Effect, ...]
    advice: tuple[str, ...]
    samples: int
    reason: str
    assumptions: tuple[str, ...]
    title: str = "Fit-up to expect"

    def facts(self) -> tuple[Fact, ...]:
        """Return the chance, the turn, and of 19 in 20: the spacing's error, the gap in a jig."""
        chance = self.chance
        found = [
            Fact("Gap allowed", float(self.tolerances.gap), "tube"),
            Fact("Chance that every seam is within it", chance.middle, "percent"),
            Fact("Chance that every seam is within it, low", chance.low, "percent"),
            Fact("Chance that every seam is within it, high", chance.high, "percent"),
            Fact("Second piece turned", self.turned),
        ]
        for end in self.ends:
            typical = quantity(end.error[0], "tube")
            note = f"typically {typical}; {_mostly(end.most)}"
            name = f"Spacing off at {end.name}, faces pulled flat"
            found.append(Fact(name, end.error[1], "tube", note))
        note = "more than the gaps below"
        found.append(Fact("Gap by depth if a jig holds the spacing", self.held, "tube", note))
        return tuple(found)

    def rows(self) -> Table:
        """Return each seam with its gap and step, what makes most of it, and its chance."""
        columns = (
            Column("seam", "Seam"),
            Column("gap_typical", "Gap, typical", "tube"),
            Column("gap_worst", "Gap, worst", "tube"),
            Column("step_typical", "Step, typical", "tube"),
            Column("step_worst", "Step, worst", "tube"),
            Column("most", "Most of the gap from"),
            Column("within", "Within the gap", "percent"),
        )
        none = (math.nan, math.nan)
        rows = tuple(
            (
                seam.name,
                *seam.gap,
                *(seam.step or none),
                KINDS[seam.most.kind] if seam.gap[1] > 1e-9 else "–",
                seam.chance.middle,
            )
            for seam in self.seams
        )
        return Table(columns, rows)

    def each_error(self) -> Table:
        """Return what each error does by itself: at its tolerance, and for each unit of it."""
        columns = (
            Column("seam", "Seam"),
            Column("error", "Error"),
            Column("tolerance", "Tolerance"),
            Column("gap", "Gap at it", "tube"),
            Column("step", "Step at it", "tube"),
            Column("gap_per_degree", "Gap for a degree", "tube"),
            Column("gap_per_length", "Gap over its length", "ratio"),
        )
        rows = []
        for one in self.effects:
            angle = one.kind in ANGLES
            per_length = one.gap_rate / MILLIMETRE
            rates = (one.gap_rate, math.nan) if angle else (math.nan, per_length)
            tolerance = getattr(self.tolerances, one.kind)
            shown = quantity(float(tolerance), "angle" if angle else "tube")
            step = math.nan if one.step is None else one.step
            rows.append((one.seam, KINDS[one.kind], shown, one.gap, step, *rates))
        return Table(columns, tuple(rows))


def _mostly(kind: str | None) -> str:
    return "nothing is off" if kind is None else f"mostly {KINDS[kind]}"


def per_unit(kind: str) -> float:
    """Return the unit that an error's rate is for: a degree or a millimetre, in SI."""
    return DEGREE if kind in ANGLES else MILLIMETRE
