"""One end of a joint where two mitred straight legs go apart, and what any such end answers."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, NamedTuple

import attrs

from exhaust import units
from exhaust.errors import RuleError, broken
from exhaust.geometry import mitre, splayed, splayed_measures
from exhaust.geometry.mismatch import Face
from exhaust.geometry.quadrature import Array
from exhaust.geometry.splayed import MitredLeg
from exhaust.units import SI

if TYPE_CHECKING:
    import pint

    Length = str | float | pint.Quantity[Any]

NO_CLAMP = SI(0.0, "length")


class Half(NamedTuple):
    """One side of an end, section by section from the middle of the joint; arrays [count + 1].

    `position` along its path, `leg_area` and `window_height` as in `shared.Profile`.
    """

    position: Array
    leg_area: Array
    window_height: Array


class SplayedEnd:
    """What both kinds of end answer; they add where their legs end and what the cut leaves."""

    @property
    def angle(self) -> float:
        """Angle of a leg to the joint's long direction [rad]."""
        raise NotImplementedError

    @property
    def radius(self) -> float:
        """Outside radius of a leg [m]."""
        raise NotImplementedError

    @property
    def exit_offset(self) -> float:
        """Distance of the middle of a leg's end from the joint's plane [m]."""
        raise NotImplementedError

    @property
    def spacing(self) -> float:
        """Distance between the two legs' ends, centre to centre [m]."""
        return 2.0 * self.exit_offset

    @property
    def gap(self) -> float:
        """Clear distance between the two ends, at their near corners [m]."""
        return 2.0 * (self.exit_offset - self.radius * math.cos(self.angle))

    @property
    def outside_width(self) -> float:
        """Width over the two ends, at their far corners [m]."""
        return 2.0 * (self.exit_offset + self.radius * math.cos(self.angle))


@attrs.frozen
class MitredEnd(SplayedEnd):
    """An end of two mitred legs: `leg` as `geometry` has it, and its `length` [m].

    The length runs on the centreline, from the middle of the mitre to the square end.

    >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
    >>> end = MitredEnd(leg, 0.2)
    >>> [round(x * 1e3, 2) for x in (end.mitre_opening, end.take_off, end.kept_width, end.spacing)]
    [68.73, 22.91, 45.82, 175.98]
    """

    leg: MitredLeg
    length: float

    # At the saw

    @property
    def angle(self) -> float:
        """Angle of a leg to the joint's long direction, half of the included angle [rad]."""
        return self.leg.angle

    @property
    def radius(self) -> float:
        """Outside radius of a leg [m]."""
        return self.leg.radius

    @property
    def cutback(self) -> float:
        """Share of the mitre opening that the long cut takes off."""
        return self.leg.cutback

    @property
    def mitre_angle(self) -> float:
        """Angle of the mitre from a square cut [rad]."""
        return self.leg.mitre

    @property
    def long_cut_angle(self) -> float:
        """Angle of the long cut, along the joint, from a square cut [rad]: 90 degrees - angle."""
        return mitre.long_cut(self.leg.angle)

    @property
    def tilt(self) -> float:
        """Blade from square for the long cut with the mitre face on the fence [rad]; signed.

        More than zero: the cut leans away from the leg's end on its way from the outer edge.
        """
        return self.leg.tilt

    @property
    def mitre_opening(self) -> float:
        """Long axis of the mitre's face, outside [m]."""
        return self.leg.opening

    @property
    def take_off(self) -> float:
        """What the long cut takes off the mitre opening, from the heel [m]."""
        return self.leg.take_off

    @property
    def kept_width(self) -> float:
        """What it leaves of the mitre opening, from the outer edge [m]."""
        return self.leg.kept_width

    @property
    def long_side(self) -> float:
        """Leg along its heel line before the long cut, from the long point [m]."""
        return self.length + mitre.point_beyond(self.radius, self.leg.mitre)

    @property
    def short_side(self) -> float:
        """Leg along its throat line, from the short point at the outer edge [m]."""
        return self.length - mitre.point_beyond(self.radius, self.leg.mitre)

    @property
    def run_out(self) -> float:
        """Length of this leg's opening along the joint, from the mitre to the tip, outside [m]."""
        return splayed.run_out(self.leg, self.leg.radius)

    @property
    def bore_run_out(self) -> float:
        """The same in the bore [m]."""
        return splayed.run_out(self.leg, self.leg.bore)

    @property
    def run_out_on_wall(self) -> float:
        """What the long cut takes off the heel line, from the long point to the tip [m]."""
        return splayed.run_out_on_wall(self.leg)

    @property
    def left_beyond_tip(self) -> float:
        """Round tube between the tip and the leg's end, along the heel line [m]."""
        return self.length - splayed.tip_at(self.leg)

    @property
    def seam_height(self) -> float:
        """Height of the opening at the mitre, outside [m]."""
        return splayed.seam_height(self.leg, self.leg.radius)

    def smallest_length(self, clamp: Length = NO_CLAMP) -> float:
        """Return the shortest `length` that leaves `clamp` of round tube beyond the tip [m].

        >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
        >>> round(MitredEnd(leg, 0.2).smallest_length("2 in") * 1e3, 2)
        97.52
        """
        try:
            held = units.length(clamp)
        except RuleError as error:
            raise error.named("clamp") from error
        if held < 0.0:
            got = held.written() if isinstance(held, SI) else f"{held:g}"
            raise broken("must not be less than zero", got).named("clamp")
        return splayed.least_length(self.leg, held)

    # What the gas sees, and where the legs end

    @property
    def face(self) -> Face:
        """The sliced mitre face, as `geometry` has faces that meet."""
        return Face(math.cos(self.leg.mitre), self.leg.offset)

    def window(self, rho: float) -> float:
        """Return this end's part of the opening between the sides on the surface `rho` [m^2]."""
        return splayed_measures.opening_area(self.leg, rho)

    @property
    def opening_seam(self) -> float:
        """Length of this end's part of the seam round the opening [m]."""
        return splayed_measures.opening_seam(self.leg, self.leg.radius)

    @property
    def exit_offset(self) -> float:
        """Distance of the middle of a leg's end from the joint's plane [m]."""
        return splayed.exit_offset(self.leg, self.length)

    @property
    def reach(self) -> float:
        """How far along the joint the ends reach from the mitre, at their near corners [m]."""
        return splayed.end_reach(self.leg, self.length)

    @property
    def centreline(self) -> float:
        """Length of a leg along its centreline [m]."""
        return self.length

    def removed_volume(self, rho: float) -> float:
        """Return the volume that the long cut takes off a leg inside the surface `rho` [m^3]."""
        return splayed_measures.removed_volume(self.leg, rho)

    def half(self, count: int, other: float) -> Half:
        """Return the sections of one side from the corner out; `other` the far leg's angle [rad].

        The corner of a tilted mitre lies off the middle: on the far leg's path if below zero.
        """
        leg = self.leg
        end = self.length * math.cos(leg.angle) - leg.corner
        distance = splayed_measures.stations(splayed.run_out(leg, leg.bore), end, count)
        from_middle = distance + leg.corner
        cosine = [math.cos(leg.angle) if y >= 0.0 else math.cos(other) for y in from_middle]
        return Half(from_middle / cosine, *splayed_measures.along(leg, distance))
