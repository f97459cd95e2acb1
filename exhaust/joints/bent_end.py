"""One end of a joint where bends turn apart past the middle, with straight legs butted on."""

from __future__ import annotations

import math

import attrs

from exhaust.geometry import (
    elbow,
    elbow_measures,
    elbow_sections,
    parallel_to_splayed,
    splayed_measures,
)
from exhaust.geometry.elbow import SlicedElbow
from exhaust.geometry.mismatch import Face
from exhaust.joints.splayed_end import Half, SplayedEnd


@attrs.frozen
class BentEnd(SplayedEnd):
    """An end of two straight legs butted square to bends: `leg` as `geometry` has it.

    Its half angle is the leg's angle, and its straight the leg's length past the bend.

    >>> bend = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> end = BentEnd(parallel_to_splayed.butted_leg(bend, math.radians(35), 0.2))
    >>> round(end.spacing * 1e3, 2), round(end.left_beyond_tip * 1e3, 2)
    (289.28, 207.12)
    """

    leg: SlicedElbow

    @property
    def angle(self) -> float:
        """Angle of a leg to the joint's long direction [rad]."""
        return self.leg.half_angle

    @property
    def radius(self) -> float:
        """Outside radius of a leg [m]."""
        return self.leg.radius

    @property
    def face(self) -> Face:
        """The bend's own section in the middle, as `geometry` has faces that meet."""
        return Face(1.0, self.leg.offset)

    @property
    def run_out(self) -> float:
        """Length of this end's part of the opening, middle to tip, outside [m]."""
        return elbow.opening_length(self.leg, self.leg.radius) / 2.0

    @property
    def bore_run_out(self) -> float:
        """The same in the bore [m]."""
        return elbow.opening_length(self.leg, self.leg.bore) / 2.0

    @property
    def left_beyond_tip(self) -> float:
        """Round tube between the tip and the leg's end, along the heel [m]."""
        turn = self.angle - elbow.tip_angle(self.leg, self.leg.radius)
        over = elbow.run_on(self.leg)
        bent = 0.0 if over else (self.leg.clr + self.leg.radius) * turn
        return bent + self.leg.straight - over

    def window(self, rho: float) -> float:
        """Return this end's part of the opening between the sides on the surface `rho` [m^2]."""
        return elbow_measures.opening_area(self.leg, rho) / 2.0

    @property
    def opening_seam(self) -> float:
        """Length of this end's part of the seam round the opening [m]."""
        return elbow_measures.curve_length(self.leg, self.leg.radius) / 2.0

    @property
    def exit_offset(self) -> float:
        """Distance of the middle of a leg's end from the joint's plane [m]."""
        return parallel_to_splayed.exit_offset(self.leg)

    @property
    def reach(self) -> float:
        """How far along the joint the ends reach from the middle, at their near corners [m]."""
        return parallel_to_splayed.end_reach(self.leg)

    @property
    def centreline(self) -> float:
        """Length of bend and leg along their centreline, from the middle [m]."""
        return self.leg.clr * self.leg.half_angle + self.leg.straight

    def removed_volume(self, rho: float) -> float:
        """Return the volume that the slice takes off a side inside the surface `rho` [m^3]."""
        return elbow_measures.removed_volume(self.leg, rho) / 2.0

    def half(self, count: int, other: float = 0.0) -> Half:
        """Return the sections of one side from the middle out."""
        return sliced_half(self.leg, self.centreline, count)


def sliced_half(cut: SlicedElbow, end: float, count: int) -> Half:
    """Return the sections of one side of a sliced bend, from its middle to `end` [m] of its path.

    >>> bend = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> half = sliced_half(bend, 0.15, 2)
    >>> [round(float(x) * 1e3, 1) for x in half.window_height]
    [54.6, 0.0, 0.0]
    """
    theta, outer = cut.half_angle, cut.clr + cut.bore
    if elbow.onto_straight(cut, cut.bore):
        past = (outer * math.cos(theta) - cut.plane) / math.sin(theta)
        tip = cut.clr * theta + past
    else:
        tip = cut.clr * elbow.tip_angle(cut, cut.bore)
    position = splayed_measures.stations(tip, end, count)
    return Half(position, *elbow_sections.along(cut, position))
