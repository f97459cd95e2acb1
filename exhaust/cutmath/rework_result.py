"""What was really cut, and the answer to it, as a result."""

from __future__ import annotations

from typing import NamedTuple

import attrs

from exhaust.cutmath.sawn import Named, SawnPiece, reading
from exhaust.joints import Joint
from exhaust.joints.parallel_x_rules import Asked
from exhaust.show import Column, Fact, Result, System, Table, facts_html, items_html, quantity
from exhaust.stock import Saw

LEAVE, RECUT, MATES, SCRAP = "leave it", "recut it", "recut the mates", "scrap it"


class Cut(NamedTuple):
    """A piece as it was measured: the share that the measure shows, and the reading's own doubt."""

    named: Named
    way: str
    size: float  # [m]
    share: float
    low: float
    high: float

    @classmethod
    def of(cls, named: Named, asked: Asked) -> Cut:
        """Return what a measure of a piece shows."""
        piece, size = named.piece, float(asked.value)
        off = min(reading(size), size / 2.0)
        ends = sorted(piece.shown(asked.name, size + each) for each in (-off, off))
        return cls(named, asked.name, size, piece.shown(asked.name, size), *ends)

    @property
    def piece(self) -> SawnPiece:
        """The piece."""
        return self.named.piece

    @property
    def deeper(self) -> float:
        """How much deeper it is cut than it should be, less than nought: shallower [m]."""
        return self.piece.depth(self.share) - self.piece.depth(self.piece.share)

    @property
    def doubt(self) -> float:
        """How much of that the reading alone may make, either way [m]."""
        return self.piece.across * (self.high - self.low) / 2.0

    @property
    def per_depth(self) -> float:
        """Change of the measure for a cut deeper by one [m/m]."""
        step = 1e-6
        before, after = (
            self.piece.size(self.way, self.share + each) for each in (-step / 2.0, step / 2.0)
        )
        return (after - before) / (self.piece.across * step)

    @property
    def within_the_reading(self) -> bool:
        """Whether the measure cannot be told from the one that was wanted."""
        return self.low <= self.piece.share <= self.high


@attrs.frozen(kw_only=True, repr=False)
class Rework(Result):
    """What a measured cut shows, and what to do: `verdict` and `reason`.

    `cutback` is the share that was really cut off, `wanted` what should have been, `band` what the
    reading alone may make of it; `deeper` how much deeper the cut is [m], less than nought:
    shallower. `settings` is what to set and measure now; `after` the joint that comes of it, None
    for a scrapped piece; `warnings` what to mind.
    """

    joint: Joint
    saw: Saw
    piece: str
    verdict: str
    cutback: float
    wanted: float
    band: tuple[float, float]
    deeper: float
    shown: tuple[Fact, ...]
    settings: tuple[Fact, ...]
    after: Joint | None
    reason: str
    warnings: tuple[str, ...]
    assumptions: tuple[str, ...]
    title: str = "Rework"

    def facts(self) -> list[Fact]:
        """Return the verdict, what the measure shows, what to set, then what it costs the gas."""
        return [Fact("Verdict", self.verdict), *self.shown, *self.settings, *self._areas()]

    @property
    def changed(self) -> Joint | None:
        """The joint that comes of it where it is another one."""
        return None if self.after == self.joint else self.after

    def _areas(self) -> list[Fact]:
        if self.changed is None:
            return []
        found = []
        for name, key in (("Narrowest area", "narrowest"), ("Window", "window")):
            for when, joint in (("before", self.joint), ("after", self.changed)):
                area, share = (float(getattr(joint, f"{key}_{what}")) for what in ("area", "ratio"))
                of = "two tubes" if key == "narrowest" else "one tube"
                note = f"{quantity(share, 'percent')} of {of}"
                found.append(Fact(f"{name}, {when}", area, "area", note))
        return found

    def rows(self) -> Table | None:
        """Return the joint's dimensions before and after; none where none changes."""
        if self.changed is None:
            return None
        rows = []
        for name, key in DIMENSIONS:
            if not hasattr(self.joint, key):
                continue
            before, after = (float(getattr(joint, key)) for joint in (self.joint, self.changed))
            rows.append((name, before, after, after - before))
        columns = (
            Column("dimension", "Dimension"),
            Column("before", "Before", "cut"),
            Column("after", "After", "cut"),
            Column("change", "Change", "tube"),
        )
        return Table(columns, tuple(rows))

    def body_html(self, system: System | None = None) -> str:
        """Return what was found, what to set, what it costs, and what to mind."""
        parts = [facts_html(self.shown, system)]
        if self.settings:
            parts.append(f"<h5>Set and measure</h5>{facts_html(self.settings, system)}")
        rows = self.rows()
        if rows is not None:
            parts.append(f"<h5>What it costs</h5>{facts_html(self._areas(), system)}")
            parts.append(rows.html(system))
        return "".join(parts) + items_html("Mind", self.warnings)


DIMENSIONS = (
    ("Opening length of the joint", "opening_length"),
    ("Straight between the bends", "spacer"),
    ("Spacing at the entry", "entry_spacing"),
    ("Spacing", "spacing"),
    ("Gap between the tubes", "gap"),
    ("Outside width", "outside_width"),
    ("Overall length", "overall_length"),
)
