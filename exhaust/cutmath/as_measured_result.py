"""What was measured beside what was wanted, as a result."""

from __future__ import annotations

from typing import NamedTuple

import attrs

from exhaust.cutmath.cutsheet import CutSheet
from exhaust.cutmath.measured import Measured
from exhaust.joints import Joint
from exhaust.show import Column, Fact, Result, System, Table, facts_html, items_html, quantity
from exhaust.stock import Saw


class Reading(NamedTuple):
    """One reading beside its nominal value [SI]; `tolerance` either way, none where none is set."""

    name: str
    piece: str
    measured: float
    nominal: float
    kind: str = "tube"
    tolerance: float | None = None
    least: bool = False  # the nominal value is the least that will do
    source: str = ""

    @property
    def difference(self) -> float:
        """Measured less nominal."""
        return self.measured - self.nominal

    @property
    def within(self) -> bool | None:
        """Whether it is within its tolerance; None where there is none."""
        if self.least:
            return self.difference >= 0.0
        return None if self.tolerance is None else abs(self.difference) <= self.tolerance + 1e-12


class Change(NamedTuple):
    """A setting at the saw, before and after [SI]."""

    step: str
    parts: str
    name: str
    before: float
    after: float
    kind: str

    @property
    def moved(self) -> float:
        """After less before."""
        return self.after - self.before


COLUMNS = (
    Column("reading", "Reading"),
    Column("piece", "Piece"),
    Column("measured", "Measured", "tube"),
    Column("nominal", "Nominal", "tube"),
    Column("difference", "Difference", "tube"),
    Column("tolerance", "Tolerance", "tube"),
    Column("within", "Within it"),
)
IN_PLANE = (
    "The saw cuts in the plane of the bends: its settings follow the diameter from heel to throat, "
    "not the mean of the two."
)
BY_VOLUME = (
    "The least wall at the heel is what keeps the metal's volume, t R/(R + a); good bends thin by "
    "15 to 20 % only (common practice)."
)
WORST = 8  # changes that are shown; `changes` has all


@attrs.frozen(kw_only=True, repr=False)
class AsMeasured(Result):
    """The joint that the readings make, its cut sheet for the cuts left, and what moved.

    `described` is the joint as it was written, `joint` as it was measured, on `saw`; `sheet` its
    cut sheet; `readings` beside their nominal values; `changes` of settings, the most first;
    `warnings` what to mind.
    """

    described: Joint
    measured: Measured
    joint: Joint
    saw: Saw
    sheet: CutSheet
    readings: tuple[Reading, ...]
    changes: tuple[Change, ...]
    warnings: tuple[str, ...]
    title: str = "As measured"

    @property
    def reason(self) -> str:  # type: ignore[override]
        """What the readings change, in a sentence."""
        out = [one.name.lower() for one in self.readings if one.within is False]
        words = f"Out of tolerance: {', '.join(out)}. " if out else ""
        if not self.changes:
            return words + "The readings change no setting at the saw"
        most = self.changes[0]
        return words + (
            f"{len(self.changes)} settings move; the most is {most.step.lower()}, "
            f"{most.name[:1].lower()}{most.name[1:]}: {quantity(most.before, most.kind)} becomes "
            f"{quantity(most.after, most.kind)}"
        )

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What stands for what was not measured."""
        sources = dict.fromkeys(one.source for one in self.readings if one.source)
        return (
            "What was not measured is as the job says; returns are taken to be as the main bends "
            "unless they were measured.",
            *((IN_PLANE,) if self.measured.ovality is not None else ()),
            *((BY_VOLUME,) if self.measured.heel_wall is not None else ()),
            *(f"Tolerance: {source}." for source in sources),
        )

    def facts(self) -> list[Fact]:
        """Return the settings that move, the most first."""
        found = []
        for one in self.changes[:WORST]:
            plus = "+" if one.moved > 0 else ""
            note = f"was {quantity(one.before, one.kind)}, {plus}{quantity(one.moved, one.kind)}"
            found.append(Fact(f"{one.step} ({one.parts}): {one.name}", one.after, one.kind, note))
        return found

    def rows(self) -> Table:
        """Return every reading beside its nominal value; angles are in degrees."""
        rows = []
        for one in self.readings:
            cells: list[float | str] = [one.measured, one.nominal, one.difference]
            tolerance = one.tolerance if one.tolerance is not None else "–"
            cells.append("at least" if one.least else tolerance)
            if one.kind == "angle":
                cells = [c if isinstance(c, str) else quantity(c, "angle") for c in cells]
            within = {True: "yes", False: "no", None: "–"}[one.within]
            rows.append((one.name, one.piece, *cells, within))
        return Table(COLUMNS, tuple(rows))

    def body_html(self, system: System | None = None) -> str:
        """Return the readings, what changes at the saw, and what to mind."""
        parts = [self.rows().html(system)]
        if self.changes:
            parts.append(f"<h5>What changes at the saw</h5>{facts_html(self.facts(), system)}")
        return "".join(parts) + items_html("Mind", self.warnings)
