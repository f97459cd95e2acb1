"""A straight leg, mitred and then sliced along the joint: a quarter of a splayed X.

Axes: y runs along the joint towards the leg's end, x across it towards the other side; the leg
comes in at `angle` to y. Its mitre goes through the middle of the leg, where x = y = 0; for legs of
equal angle it is the plane y = 0. The slice is the plane x = plane and takes the heel of the mitre.
Slice and mitre meet in the seam's corner, as far from the leg's axis as `offset` everywhere along
it: measured square to the leg, g of the mitre opening is g of the diameter. `rho` [m] is the radius
of the surface that is meant, `radius` outside or `bore`. All shapes are ideal: round tube of even
wall.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from exhaust.errors import broken
from exhaust.geometry import mitre, segment
from exhaust.geometry.elbow import SLACK
from exhaust.geometry.saddle import mm


@dataclass(frozen=True, slots=True)
class MitredLeg:
    """A mitred leg and how much of its heel is gone.

    `radius` of the outer wall [m], `wall` [m], `angle` of the leg to the joint [rad]: half of the
    included angle; `mitre` of its face from square [rad]: the same, or the bisector's; `cutback` as
    a share of the mitre opening, from its heel.

    Raises `ExhaustError` for a tube or an angle that cannot be, and for a cut that opens no bore or
    leaves none.

    >>> theta = math.radians(22.5)
    >>> leg = MitredLeg(0.03175, 0.001651, theta, theta, 1 / 3)
    >>> [round(x * 1e3, 3) for x in (leg.opening, leg.take_off, leg.kept_width, leg.offset)]
    [68.732, 22.911, 45.821, 10.583]
    """

    radius: float
    wall: float
    angle: float
    mitre: float
    cutback: float

    def __post_init__(self) -> None:
        if not 0.0 < self.radius < math.inf:
            raise broken("must be more than zero", mm(self.radius)).named("radius")
        if not 0.0 < self.wall < self.radius:
            rule = f"must be between zero and radius {mm(self.radius)}"
            raise broken(rule, mm(self.wall)).named("wall")
        for name, value in (("angle", self.angle), ("mitre", self.mitre)):
            if not 0.0 < value < math.pi / 2.0:
                got = f"{math.degrees(value):.6g} deg"
                raise broken("must be between 0 and 90 deg", got).named(name)
        if not abs(self.offset) < self.bore:
            least = self.wall / (2.0 * self.radius)
            rule = f"must be between {least:.4g} and {1 - least:.4g} to open the bore and leave"
            raise broken(f"{rule} some", f"{self.cutback:.4g}").named("cutback")

    @property
    def bore(self) -> float:
        """Radius of the inside [m]."""
        return self.radius - self.wall

    @property
    def opening(self) -> float:
        """Mitre opening, the long axis of its face [m]."""
        return mitre.mitre_opening(2.0 * self.radius, self.mitre)

    @property
    def take_off(self) -> float:
        """What the slice takes off the mitre opening [m]."""
        return mitre.take_off(self.opening, self.cutback)

    @property
    def kept_width(self) -> float:
        """What is left of the mitre opening, outer edge to slice [m]."""
        return mitre.kept_width(self.opening, self.cutback)

    @property
    def offset(self) -> float:
        """Signed distance of the corner from the leg's axis, square to it [m]: a (1 - 2g)."""
        return self.radius * (1.0 - 2.0 * self.cutback)

    @property
    def tilt(self) -> float:
        """How far the mitre's plane leans off square to the joint [rad]: angle - mitre."""
        return self.angle - self.mitre

    @property
    def plane(self) -> float:
        """Distance of the slice from the middle of the mitre, across the joint [m]."""
        return self.offset * math.cos(self.tilt) / math.cos(self.mitre)

    @property
    def corner(self) -> float:
        """How far along the joint the corner lies from the middle of the mitre [m]."""
        return self.offset * math.sin(self.tilt) / math.cos(self.mitre)

    @property
    def spread(self) -> float:
        """Length along the leg between slice and mitre for each distance past the corner [m/m]."""
        return 1.0 / math.tan(self.angle) + math.tan(self.mitre)


def check_surface(leg: MitredLeg, rho: float) -> None:
    """Refuse a radius [m] outside the outer wall, or one that the cut misses."""
    if not abs(leg.offset) < rho <= leg.radius + SLACK:
        rule = f"must be between {mm(abs(leg.offset))} and {mm(leg.radius)} to meet the cut"
        raise broken(rule, mm(rho)).named("rho")


def run_out(leg: MitredLeg, rho: float) -> float:
    """Return how far the opening runs along the joint, corner to tip [m].

    (rho - offset) / sin(angle); outside and with a mitre of the same angle: take-off / tan(angle)
    [mitred].

    >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
    >>> round(run_out(leg, leg.radius) * 1e3, 3), round(run_out(leg, leg.bore) * 1e3, 3)
    (55.311, 50.997)
    """
    check_surface(leg, rho)
    return (rho - leg.offset) / math.sin(leg.angle)


def run_out_on_wall(leg: MitredLeg) -> float:
    """Return how much of the heel line the slice takes, from the mitre's long point [m].

    (a - offset)(cot(angle) + tan(mitre)); with a mitre of the same angle take-off / sin(angle)
    [mitred].

    >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
    >>> round(run_out_on_wall(leg) * 1e3, 3)
    59.868
    """
    return (leg.radius - leg.offset) * leg.spread


def tip_at(leg: MitredLeg) -> float:
    """Return how far along the leg's axis the tip lies from the middle of the mitre [m].

    >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
    >>> round(tip_at(leg) * 1e3, 3)
    46.717
    """
    return run_out_on_wall(leg) - leg.radius * math.tan(leg.mitre)


def least_length(leg: MitredLeg, clamp: float = 0.0) -> float:
    """Return the shortest leg, middle of the mitre to its square end on the centreline [m].

    It leaves `clamp` [m] of round tube beyond the tip for the vice, run-out on the wall + clamp
    from the long point, and no less than the mitre's short point needs [mitred].

    >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
    >>> round(least_length(leg) * 1e3, 3), round(least_length(leg, 0.05) * 1e3, 3)
    (46.717, 96.717)
    """
    if not 0.0 <= clamp < math.inf:
        raise broken("must not be less than zero", mm(clamp)).named("clamp")
    return max(tip_at(leg), leg.radius * math.tan(leg.mitre)) + clamp


def seam_height(leg: MitredLeg, rho: float) -> float:
    """Return the height of the opening at its corner [m]: 2 sqrt(rho² - offset²).

    Outside 2 D sqrt(g (1 - g)); past the widest point (g > 0.5) it is not the greatest [mitred].

    >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
    >>> round(seam_height(leg, leg.radius) * 1e3, 3), round(seam_height(leg, leg.bore) * 1e3, 3)
    (59.868, 56.354)
    """
    check_surface(leg, rho)
    return segment.chord(rho, leg.offset)


def opening_height(leg: MitredLeg, rho: float) -> float:
    """Return the greatest height of the opening [m]: at the corner, or 2 rho for g over a half.

    >>> deep = MitredLeg(0.03175, 0.001651, math.radians(45), math.radians(45), 0.6)
    >>> opening_height(deep, deep.radius), round(seam_height(deep, deep.radius), 5)
    (0.0635, 0.06222)
    """
    check_surface(leg, rho)
    return segment.chord(rho, max(leg.offset, 0.0))


def after_kerf(leg: MitredLeg, kerf: float) -> MitredLeg:
    """Return the leg sliced a blade's width [m] nearer its heel: the fallen piece's own face.

    Raises `ExhaustError` when the blade takes the whole cut in the bore.

    >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
    >>> round((leg.take_off - after_kerf(leg, 0.0015).take_off) * 1e3, 3)
    1.5
    """
    square = math.cos(leg.mitre) / math.cos(leg.tilt)  # of a move of the slice, to the leg's axis
    most = (leg.bore - leg.offset) / square
    if not 0.0 <= kerf < most:
        rule = f"must be between zero and {mm(most)}, the cut in the bore"
        raise broken(rule, mm(kerf)).named("kerf")
    return replace(leg, cutback=leg.cutback - kerf * square / (2.0 * leg.radius))


def exit_offset(leg: MitredLeg, length: float) -> float:
    """Return how far the middle of the leg's end is from the joint's plane [m].

    plane + length sin(angle), `length` from the middle of the mitre along the centreline [m].

    >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
    >>> round(2 * exit_offset(leg, 0.2) * 1e3, 3)
    175.984
    """
    return leg.plane + length * math.sin(leg.angle)


def end_reach(leg: MitredLeg, length: float) -> float:
    """Return how far along the joint the leg's end reaches from the mitre, at its corner [m].

    length cos(angle) + a sin(angle); the corner is the one towards the other side.

    >>> leg = MitredLeg(0.03175, 0.001651, math.radians(22.5), math.radians(22.5), 1 / 3)
    >>> round(end_reach(leg, 0.2) * 1e3, 3)
    196.926
    """
    return length * math.cos(leg.angle) + leg.radius * math.sin(leg.angle)
