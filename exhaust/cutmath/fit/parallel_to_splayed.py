"""The fit of half a parallel X and the two legs that go on from it."""

from __future__ import annotations

import numpy as np

from exhaust.cutmath.fit.faces import (
    Face,
    Meeting,
    bend_edge,
    bend_face,
    meeting,
    mitre_edge,
)
from exhaust.cutmath.fit.legs import Pair, leg_errors, pair
from exhaust.cutmath.fit.model import Error, Fitted, SeamFit, Slips, errors, worse
from exhaust.cutmath.fit.parallel_x import SLICED, Sides, sides
from exhaust.cutmath.fit.returns import SQUARE, Butt, butts, half_turns, halved, way
from exhaust.geometry import fit
from exhaust.geometry.crossover import Quarter
from exhaust.geometry.fit import Outline, StraightWall
from exhaust.geometry.quadrature import Array
from exhaust.joints import ParallelToSplayedX
from exhaust.joints.bent_end import BentEnd
from exhaust.joints.splayed_end import MitredEnd

FACED = errors(blade_angle="facing slant,facing lean", halving="facing")  # the X sawn in half
LEG = "legs"


class HalfParallelFit:
    """What both kinds of leg share: the halved parallel X and the butts of its returns."""

    def __init__(self, x: ParallelToSplayedX) -> None:
        self.x = x
        self.parallel = x.parallel
        self.piece = self.parallel.seams[1].count == 8
        self.end = x.parallel_end

    @property
    def errors(self) -> tuple[Error, ...]:
        """Everything that may be off on the parallel half."""
        found = SLICED + errors(bend_angle="bend A angle,bend B angle")
        found += halved("return") + errors(od="return A,return B")
        return found + (SQUARE if self.piece else ())

    @property
    def other_end(self) -> str:
        """The end that the legs are at."""
        return "exit" if self.end == "entry" else "entry"

    def parallel_end(self, slips: Slips, both: Sides) -> tuple[SeamFit, Array]:
        """Return the butts of the returns, and the error of the spacing there [n]."""
        quarter, found = self.parallel.quarter, []
        spacing = -self.parallel.spacing + slips.nothing
        for number, (side, turn) in enumerate(zip("AB", half_turns(slips, "return"), strict=True)):
            off = both.off[number]
            angle = off.angle / 2.0 - turn + slips("square slant")
            lean = slips("halving lean") + slips("square lean")
            found.append(Butt(angle, lean, off.od, slips(f"return {side}")))
            at = way(quarter, off.angle / 2.0, turn)
            spacing = spacing + both.end_offset(number, at, -1.0)
        return butts(float(self.x.tube.od), found), spacing[:, 0]


class MitredFit(HalfParallelFit):
    """Legs that are mitred and stood on the X sawn in half."""

    def __init__(self, x: ParallelToSplayedX) -> None:
        super().__init__(x)
        assert isinstance(x.leg, MitredEnd)
        self.leg = x.leg
        cut = self.parallel.elbow
        self.edge = mitre_edge(cut.radius, cut.offset, 1.0, x.meeting.last_angle)
        whole = mitre_edge(cut.radius, cut.offset, 1.0)
        self.corners = Outline(*(each[[0, -1]] for each in whole))  # past where the leg's edge ends

    @property
    def errors(self) -> tuple[Error, ...]:
        """Everything that may be off."""
        return super().errors + FACED + leg_errors(LEG, settings=(LEG,))

    def fitted(self, slips: Slips, turned: int) -> Fitted:
        """Return what `slips` do to the seams and to the spacing at both ends."""
        x, both = self.x, sides(slips, self.parallel.elbow, turned)
        widths = [self._width(both, number) for number in (0, 1)]
        kept = (widths[0] + widths[1]) / 2.0  # the legs' cut is set from the X as measured
        legs = pair(self.leg.leg, kept, slips, LEG, LEG, turned=turned)
        butted, parallel = self.parallel_end(slips, both)
        seams = {
            x.seams[0].name: worse(self._tacked(both), legs.seam),
            x.seams[1].name: self._stood(slips, both, legs),
            x.seams[2].name: butted,
        }
        splayed = (legs.spacing(self.leg.length) - self.leg.spacing + slips.nothing)[:, 0]
        held = np.maximum(both.held, legs.held[:, 0])
        return Fitted(seams, {self.end: parallel, self.other_end: splayed}, held)

    def _width(self, both: Sides, number: int) -> Array:
        """Kept width of one sliced bend in the middle [n, 1]."""
        cut, off = both.cut, both.off[number]
        return np.asarray(2.0 * cut.radius + off.od - cut.depth - off.depth)

    def _tacked(self, both: Sides) -> SeamFit:
        """The kept half of a seam that was tacked whole: it touches where the whole one does."""
        start = both.cut.half_angle
        faces = [bend_face(both.cut, off, start) for off in both.off]
        whole = meeting(faces[0], faces[1], bend_edge(both.cut, start))
        kept = whole.apart[:, : whole.apart.shape[1] // 2]
        gap = np.max(kept, axis=-1) - np.min(whole.apart, axis=-1)
        return SeamFit(np.asarray(gap), whole.step)

    def _stood(self, slips: Slips, both: Sides, legs: Pair) -> SeamFit:
        """Both legs, tacked to each other, stood on the sawn face of the X."""
        slant = slips("facing") + slips("facing slant")
        met: list[Meeting] = []
        corners: list[Array] = []
        for number, hand in ((0, 1), (1, -1)):
            cut, off = both.cut, both.off[number]
            radius = cut.radius + off.od / 2.0
            wall = StraightWall(radius, self._width(both, number) - radius, 1.0)
            face = Face(wall, -hand * slant, -slips("facing lean"))
            leg = legs.legs[number].mitred(hand)
            met.append(meeting(face, leg, self.edge))
            corners.append(meeting(face, leg, self.corners).apart)
        gap = fit.open_gap(*(one.apart for one in met), *corners)
        return SeamFit(gap, np.maximum(met[0].step, met[1].step))


class ButtedFit(HalfParallelFit):
    """Bends that turn on past the middle, legs butted square to them."""

    def __init__(self, x: ParallelToSplayedX) -> None:
        super().__init__(x)
        assert isinstance(x.leg, BentEnd)
        self.leg = x.leg

    @property
    def errors(self) -> tuple[Error, ...]:
        """Everything that may be off; the splayed ends are trimmed as bends are halved."""
        trims = errors(halving="trim A,trim B", blade_angle="trim slant,trim lean")
        return super().errors + trims + errors(od=f"{LEG} A,{LEG} B")

    def fitted(self, slips: Slips, turned: int) -> Fitted:
        """Return what `slips` do to the seams and to the spacing at both ends."""
        x, both = self.x, sides(slips, self.parallel.elbow, turned)
        start = self.leg.angle
        faces = [bend_face(both.cut, off, start) for off in both.off]
        met = meeting(faces[0], faces[1], bend_edge(both.cut, start))
        butted, parallel = self.parallel_end(slips, both)
        found, splayed = [], -self.leg.spacing + slips.nothing
        leg = self.leg.leg
        quarter = Quarter(leg.offset, leg.clr, 0.0, leg.half_angle, leg.straight)
        for number, side in enumerate("AB"):
            off, turn = both.off[number], slips(f"trim {side}") + slips("trim slant")
            found.append(Butt(turn, slips("trim lean"), off.od, slips(f"{LEG} {side}")))
            splayed = splayed + both.end_offset(number, way(quarter, turn, 0.0), 1.0)
        seams = {
            x.seams[0].name: SeamFit(fit.open_gap(met.apart), met.step),
            x.seams[1].name: butts(float(x.tube.od), found),
            x.seams[2].name: butted,
        }
        return Fitted(seams, {self.end: parallel, self.other_end: splayed[:, 0]}, both.held)
