"""The fit of a parallel X: two sliced bends back to back, and the butts of their returns."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from exhaust.cutmath.fit.faces import BendSlips, bend_edge, bend_face, meeting, sliced_at
from exhaust.cutmath.fit.model import Error, Fitted, SeamFit, Slips, errors
from exhaust.cutmath.fit.returns import SQUARE, Butt, Way, butts, half_turns, halved, way
from exhaust.geometry import fit
from exhaust.geometry.elbow import SlicedElbow
from exhaust.geometry.quadrature import Array
from exhaust.joints import ParallelX

SLICED = errors(
    depth="depth A,depth B",
    blade_angle="slice slant,slice lean",
    clocking="roll A,roll B",
    od="bend A,bend B",
)


def bend_slips(slips: Slips, side: str, turned: int) -> BendSlips:
    """Return how the sliced bend of `side` "A" or "B" is off; B is turned by `turned`."""
    slant, lean = slips("slice slant"), slips("slice lean")
    if side == "B":
        slant, lean = turned * slant, -turned * lean
    return BendSlips(
        depth=slips(f"depth {side}"),
        slant=slant,
        lean=lean,
        roll=slips(f"roll {side}"),
        od=slips(f"bend {side}"),
        angle=slips(f"bend {side} angle"),
    )


class Sides(NamedTuple):
    """Both sliced bends of a joint as they are."""

    cut: SlicedElbow
    off: tuple[BendSlips, BendSlips]

    @property
    def held(self) -> Array:
        """What both cuts are too deep: the gap where a jig holds the spacing [n]."""
        planes = [self.cut.plane - sliced_at(self.cut, off) for off in self.off]
        return np.asarray(np.maximum(planes[0] + planes[1], 0.0)[:, 0])

    def end_offset(self, side: int, at: Way, end: float) -> Array:
        """Return how far a tube's end `at` is from its own sawn face's plane [n, 1] [m].

        `end` is 1 at the exit, -1 at the entry.
        """
        off, cut = self.off[side], self.cut
        slant = off.slant + off.roll
        across = sliced_at(cut, off) - cut.clr + at.drop
        return np.asarray((across + end * at.along * np.tan(slant)) * np.cos(slant))


def sides(slips: Slips, cut: SlicedElbow, turned: int) -> Sides:
    """Return both sliced bends, the second turned by `turned`."""
    return Sides(cut, (bend_slips(slips, "A", turned), bend_slips(slips, "B", turned)))


def slice_seam(both: Sides, start: float | None = None) -> SeamFit:
    """Return the seam of two sliced bends: of one end, or of both, with `start`'s angle [rad]."""
    first, second = (bend_face(both.cut, off, start) for off in both.off)
    met = meeting(first, second, bend_edge(both.cut, start))
    return SeamFit(fit.open_gap(met.apart), met.step)


class ParallelFit:
    """A parallel X as its errors see it."""

    def __init__(self, x: ParallelX) -> None:
        self.x = x
        self.piece = x.seams[1].count == 8

    @property
    def errors(self) -> tuple[Error, ...]:
        """Everything that may be off."""
        found = SLICED + errors(bend_angle="bend A angle,bend B angle")
        found += halved("return A", "return B")
        found += errors(od="A entry,A exit,B entry,B exit")
        return found + (SQUARE if self.piece else ())

    def fitted(self, slips: Slips, turned: int) -> Fitted:
        """Return what `slips` do to the seams and to the spacing at both ends."""
        x, both = self.x, sides(slips, self.x.elbow, turned)
        found: list[Butt] = []
        ends = {"entry": -x.spacing + slips.nothing, "exit": -x.spacing + slips.nothing}
        for number, side in enumerate("AB"):
            off = both.off[number]
            turns = dict(zip(("exit", "entry"), half_turns(slips, f"return {side}"), strict=True))
            for end, sign in (("entry", -1.0), ("exit", 1.0)):
                angle = off.angle / 2.0 - turns[end] + slips("square slant")
                lean = slips("halving lean") + slips("square lean")
                found.append(Butt(angle, lean, off.od, slips(f"{side} {end}")))
                at = way(x.quarter, off.angle / 2.0, turns[end])
                ends[end] = ends[end] + both.end_offset(number, at, sign)
        seams = {
            x.seams[0].name: slice_seam(both, x.half_angle),
            x.seams[1].name: butts(float(x.tube.od), found),
        }
        return Fitted(seams, {end: error[:, 0] for end, error in ends.items()}, both.held)
