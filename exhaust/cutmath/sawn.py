"""Pieces that lose their heel to one cut, and what a measurement of the cut says of its depth."""

from __future__ import annotations

import math
from typing import NamedTuple

import attrs

from exhaust.errors import broken, typed
from exhaust.geometry.elbow import SlicedElbow
from exhaust.geometry.shown import leg_offset_shown, offset_shown, plane_shown, tip_distance
from exhaust.geometry.splayed import MitredLeg
from exhaust.joints import HPipe, Joint, ParallelToSplayedX, ParallelX, SplayedX, YMerge
from exhaust.joints.bent_end import BentEnd
from exhaust.joints.parallel_x_rules import Asked, in_unit_of, text
from exhaust.stock import Saw

WAYS = ("opening_length", "opening_height", "kept")
SAME = 1e-9  # of a cutback; far below what a shop can measure
USE = {
    "opening_length": "an opening grows with the cut and ends where the tube does",
    "opening_height": "measure across the middle of the opening",
    "kept": "measure from the throat or the outer edge to the cut face",
}
CALIPER = 150e-3  # longest that the usual caliper opens; common practice, no source [m]
READING = 0.25e-3  # how well a caliper reads a sawn edge; common practice, no source [m]
ON_EDGE = "a sawn edge is read to 0.25 mm, a long one to 0.5 mm (common practice, no source)"
RULE = 0.5e-3  # how well a rule does, or a caliper in two goes; common practice, no source [m]


def reading(size: float) -> float:
    """Return how far off the reading of a sawn edge of this `size` [m] may be, either way [m].

    >>> reading(0.1), reading(0.2)
    (0.00025, 0.0005)
    """
    return READING if size <= CALIPER else RULE


def a_joint(joint: object) -> None:
    """Refuse what is no joint."""
    if not isinstance(joint, (ParallelX, SplayedX, ParallelToSplayedX, YMerge, HPipe)):
        raise broken("must be a joint", typed(joint), "for example ParallelX(…)").named("joint")


class SawnPiece:
    """One piece and its cut; a piece adds `radius`, `share` and what its shape makes of a share.

    A share is of what the cut is measured on, the tube's diameter or the leg's mitre opening.
    """

    radius: float  # of the outer wall [m]
    bore: float  # radius of the inside [m]
    tips: int = 1  # of its opening
    gauge: str = "length of the opening"

    @property
    def share(self) -> float:
        """Share that is to come off it."""
        raise NotImplementedError

    @property
    def across(self) -> float:
        """What the share is of [m]."""
        raise NotImplementedError

    def opening_length(self, share: float) -> float:
        """Return the length of its opening, outside [m]."""
        raise NotImplementedError

    def share_of_length(self, length: float) -> float:
        """Return the share that an opening of `length` [m] shows."""
        raise NotImplementedError

    def opening_height(self, share: float) -> float:
        """Return the greatest height of its opening, outside [m]."""
        offset = max(self.radius * (1.0 - 2.0 * share), 0.0)
        return 2.0 * math.sqrt((self.radius - offset) * (self.radius + offset))

    def kept(self, share: float) -> float:
        """Return what is kept of it beside the cut, in the middle of the joint [m]."""
        return self.across * (1.0 - share)

    def depth(self, share: float) -> float:
        """Return how deep the cut is, from the heel [m]."""
        return self.across * share

    def size(self, way: str, share: float) -> float:
        """Return what is measured one of the `WAYS` [m]."""
        measure = {"opening_length": self.opening_length, "opening_height": self.opening_height}
        return measure.get(way, self.kept)(share)

    def words(self, way: str) -> str:
        """Return what is measured one of the `WAYS`."""
        return {"opening_length": self.gauge, "kept": "width that is kept"}.get(
            way, "height of the opening"
        )

    def shown(self, way: str, size: float) -> float:
        """Return the share that a `size` [m] measured one of the `WAYS` shows."""
        if way == "opening_length":
            found = self.share_of_length(size)
        elif way == "opening_height":
            found = (1.0 - offset_shown(self.radius, size) / self.radius) / 2.0
        else:
            found = 1.0 - size / self.across
        return self.share if abs(found - self.share) < SAME else found


@attrs.frozen
class BendPiece(SawnPiece):
    """A bend sliced at the heel: `ends`, the angle from the middle to each end of the opening.

    `halved` is the kerf that sawing it in half took, where the opening starts at that face [m].

    >>> bend = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> piece = BendPiece(bend, (bend.half_angle, bend.half_angle))
    >>> round(piece.shown("opening_length", 0.137), 4), round(piece.shown("kept", 0.0437), 4)
    (0.3159, 0.3118)
    """

    bend: SlicedElbow
    ends: tuple[float, ...]
    halved: float = 0.0

    @property
    def radius(self) -> float:  # type: ignore[override]
        """Radius of the outer wall [m]."""
        return self.bend.radius

    @property
    def bore(self) -> float:  # type: ignore[override]
        """Radius of the inside [m]."""
        return self.bend.bore

    @property
    def tips(self) -> int:  # type: ignore[override]
        """How many tips its opening has: two, one where it is halved."""
        return len(self.ends)

    @property
    def share(self) -> float:
        """Share of the diameter that is to come off it."""
        return self.bend.cutback

    @property
    def across(self) -> float:
        """The diameter [m]."""
        return 2.0 * self.bend.radius

    @property
    def _heel(self) -> float:
        return self.bend.clr + self.bend.radius

    @property
    def _start(self) -> float:
        """Distance of the heel from the bend's axis where the depth is measured [m]."""
        if not self.halved:
            return self._heel
        half = self.halved / 2.0
        return math.sqrt((self._heel - half) * (self._heel + half))

    def opening_length(self, share: float) -> float:
        """Return the length of the opening, outside [m]."""
        plane = self._start - self.depth(share)
        tips = sum(tip_distance(self._heel, angle, plane) for angle in self.ends)
        return tips - self.halved / 2.0

    def run_on(self, share: float, angle: float) -> float:
        """Return how far the opening runs onto the straight past an end [m]; none is zero."""
        past = self._heel * math.cos(angle) - (self._start - self.depth(share))
        return max(past, 0.0) / math.sin(angle)

    def share_of_length(self, length: float) -> float:
        """Return the share that an opening of `length` [m] shows."""
        if len(set(self.ends)) == 1:
            tip = (length + self.halved / 2.0) / len(self.ends)
            return (self._start - plane_shown(self._heel, self.ends[0], tip)) / self.across
        from scipy.optimize import brentq

        def over(share: float) -> float:
            return self.opening_length(share) - length

        return float(brentq(over, 0.0, 1.0, xtol=1e-14, rtol=1e-14))


@attrs.frozen
class LegPiece(SawnPiece):
    """A mitred leg with its heel sliced off; its opening runs from the mitre to the tip.

    >>> theta = math.radians(22.5)
    >>> piece = LegPiece(MitredLeg(0.03175, 0.001651, theta, theta, 1 / 3))
    >>> round(piece.shown("opening_length", 0.058), 4)
    0.3495
    """

    leg: MitredLeg
    gauge = "run-out, corner to tip"

    @property
    def radius(self) -> float:  # type: ignore[override]
        """Radius of the outer wall [m]."""
        return self.leg.radius

    @property
    def bore(self) -> float:  # type: ignore[override]
        """Radius of the inside [m]."""
        return self.leg.bore

    @property
    def share(self) -> float:
        """Share of the mitre opening that is to come off it."""
        return self.leg.cutback

    @property
    def across(self) -> float:
        """The mitre opening [m]."""
        return self.leg.opening

    def opening_length(self, share: float) -> float:
        """Return the run-out along the joint, corner to tip [m]."""
        return 2.0 * self.radius * share / math.sin(self.leg.angle)

    def share_of_length(self, length: float) -> float:
        """Return the share that a run-out of `length` [m] shows."""
        offset = leg_offset_shown(self.radius, self.leg.angle, length)
        return (1.0 - offset / self.radius) / 2.0


def checked(piece: SawnPiece, asked: Asked) -> None:
    """Refuse a measure that no cut through the piece can leave."""
    least, most = sorted((piece.size(asked.name, 0.0), piece.size(asked.name, 1.0)))
    if asked.name == "opening_height":
        least, most = 0.0, 2.0 * piece.radius
        if most - reading(most) <= asked.value <= most + reading(most):
            rule = "is as high as the tube, give or take the reading, and says no more"
            raise broken(rule, text(asked.value), "measure the opening_length instead").named(
                asked.name
            )
    if not least < asked.value < most:
        low, high = (in_unit_of(asked.value, size) for size in (max(least, 0.0), most))
        rule = f"must be between {low} and {high} on this piece"
        raise broken(rule, text(asked.value), USE[asked.name]).named(asked.name)


class Named(NamedTuple):
    """A piece, its marks on the cut sheet, what it is, and what its cut must match."""

    piece: SawnPiece
    labels: str
    what: str
    mates: str


def sawn_pieces(joint: Joint, saw: Saw) -> tuple[Named, ...]:
    """Return the pieces of `joint` that lose their heel, each kind once; none for an H pipe.

    >>> from exhaust import Bend, Tube
    >>> x = ParallelX(Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in"), cutback=0.28)
    >>> [(one.labels, one.what) for one in sawn_pieces(x, Saw(kerf="1.1 mm"))]
    [('A', 'main bend')]
    """
    if isinstance(joint, ParallelX):
        half = joint.half_angle
        return (Named(BendPiece(joint.elbow, (half, half)), "A", "main bend", "the other bend"),)
    if isinstance(joint, YMerge):
        cut = BendPiece(joint.elbow, (joint.half_angle,), float(saw.kerf))
        return (Named(cut, "A", "half bend", "the other leg"),)
    if isinstance(joint, SplayedX):
        legs = [LegPiece(end.leg) for end in joint.ends]
        if joint.entry.leg == joint.exit.leg:
            return (Named(legs[0], "A B", "leg", "the other three legs"),)
        return tuple(
            Named(leg, label, f"leg of the {end}", "the other three legs")
            for leg, label, end in zip(legs, "AB", ("entry", "exit"), strict=True)
        )
    return _half_parallel(joint) if isinstance(joint, ParallelToSplayedX) else ()


def _half_parallel(joint: ParallelToSplayedX) -> tuple[Named, ...]:
    cut, half = joint.parallel.elbow, joint.parallel.half_angle
    if isinstance(joint.leg, BentEnd):
        bend = BendPiece(cut, (half, joint.leg.angle))
        return (Named(bend, "A", "main bend", "the other bend"),)
    return (
        Named(BendPiece(cut, (half, half)), "A", "main bend", "the other bend and both legs"),
        Named(LegPiece(joint.leg.leg), "D", "leg", "the halved X"),
    )
