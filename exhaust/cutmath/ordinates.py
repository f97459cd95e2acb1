"""Where a cut on a bend meets its wall, clock position by clock position: marks in place of a wrap.

A sheet cannot be laid on a bend; a tape along its heel and a tape round the tube can.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import attrs
import numpy as np

from exhaust.errors import broken
from exhaust.geometry.elbow import SlicedElbow
from exhaust.geometry.unroll import bend_ordinates, cut_clock
from exhaust.joints import Joint, ParallelToSplayedX, ParallelX, YMerge
from exhaust.joints.bent_end import BentEnd
from exhaust.show import Column, Fact, Result, Table
from exhaust.stock import DEGREE

BENT = (ParallelX, ParallelToSplayedX, YMerge)  # joints with a cut on a bend
STEP = 15.0  # between clock positions [deg]
NEAR = 1e-9  # [m]; ends whose marks differ by no more are marked alike


class Sliced(NamedTuple):
    """One way from the middle of a sliced bend: where it goes and the bend as `geometry` has it."""

    towards: str
    elbow: SlicedElbow


@attrs.frozen(kw_only=True, repr=False)
class Ordinates(Result):
    """Marks for the slice of a bend: how far along the heel, how far round from it.

    >>> from exhaust import Bend, ParallelX, Tube
    >>> x = ParallelX(Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in"), cutback=0.28)
    >>> ordinates(x)
    <Ordinates: cut depth 0.840 in (27/32), from the middle to the tip, along the heel 3.213 in ...
    """

    joint: Joint
    ways: tuple[Sliced, ...]

    title = "Marks for the slice of a bend"

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What the marks assume."""
        return (
            "The marks are for round tube and bends true to their clr: measure the opening after "
            "the cut, which is the gauge.",
        )

    def facts(self) -> list[Fact]:
        """Return the depth of the cut, its tips on the heel, and where it is widest."""
        found = [Fact("cut depth", self.ways[0].elbow.depth, "cut", "from the heel, mid-bend")]
        for way in self.ways:
            tip = bend_ordinates(way.elbow, [0.0])
            name = "from the middle to the tip, along the heel"
            note = f"towards {way.towards}"
            found.append(Fact(name, float(tip.along_heel[0]), "cut", note))
        elbow = self.ways[0].elbow
        clock = cut_clock(elbow)
        note = "round the outside, mid-bend, either side of the heel line"
        found.append(Fact("from the heel to the cut", elbow.radius * clock, "cut", note))
        return found

    def rows(self) -> Table:
        """Return a mark on each clock position, from the tip on the heel round to mid-bend."""
        columns = (
            Column("towards", "Towards"),
            Column("clock", "Clock from the heel, both sides", "angle"),
            Column("round", "Round from the heel", "cut"),
            Column("along_heel", "From the middle along the heel", "cut"),
            Column("along_wall", "From the middle along the wall there", "cut"),
            Column("to_end", "On the heel, short of the bend's end", "cut"),
        )
        return Table(columns, tuple(row for way in self.ways for row in _marks(way)))


def _marks(way: Sliced) -> list[tuple[float | str, ...]]:
    """Return the rows of one way; the last is where the cut is widest, in mid-bend."""
    elbow = way.elbow
    widest = cut_clock(elbow)
    clock = np.arange(0.0, math.degrees(widest) - STEP / 5.0, STEP) * DEGREE
    at = bend_ordinates(elbow, clock)
    whole = (elbow.clr + elbow.radius) * elbow.half_angle
    columns = (clock, elbow.radius * clock, at.along_heel, at.along_wall, whole - at.along_heel)
    found = [(way.towards, *row) for row in np.column_stack(columns).tolist()]
    return [*found, (way.towards, widest, elbow.radius * widest, 0.0, 0.0, whole)]


def ordinates(joint: Joint) -> Ordinates:
    """Return the marks for the slice of the joint's bends, or refuse a joint that has none.

    >>> from exhaust import Bend, Tube, YMerge
    >>> y = YMerge(Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in"))
    >>> [[cell if isinstance(cell, str) else round(cell / 0.0254, 3) for cell in row[2:5]]
    ...  for row in ordinates(y).rows().rows][:2]
    [[0.0, 4.336, 4.336], [0.393, 4.278, 4.241]]
    """
    ways = _ways(joint)
    if not ways:
        rule = "has no cut on a bend"
        raise broken(rule, type(joint).__name__, "its cuts have templates").named("joint")
    return Ordinates(joint=joint, ways=ways)


def _ways(joint: Joint) -> tuple[Sliced, ...]:
    if isinstance(joint, ParallelX):
        return (Sliced("either end", joint.elbow),)
    if isinstance(joint, YMerge):
        return (Sliced("the leg's end", joint.elbow),)
    if isinstance(joint, ParallelToSplayedX):
        first = Sliced("the parallel end", joint.parallel.elbow)
        if isinstance(joint.leg, BentEnd):
            return _unlike((first, Sliced("the splayed end", joint.leg.leg)))
        return (first,)
    return ()


def _unlike(ways: Sequence[Sliced]) -> tuple[Sliced, ...]:
    """Return the ways that differ; one where both ends of the bend are marked alike."""
    first, second = (_marks(way) for way in ways)
    whole = [row[1:5] for row in first], [row[1:5] for row in second]
    same = len(first) == len(second) and np.allclose(*whole, rtol=0.0, atol=NEAR)
    return (ways[0]._replace(towards="either end"),) if same else tuple(ways)
