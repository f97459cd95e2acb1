"""A bend with its heel sliced off by a flat cut: the half of a parallel X.

Axes: the bend's axis is z through the origin; x points at the heel in the middle of the bend; y
runs along the joint. The cut is the plane x = plane, parallel to the chord through the bend's two
ends. `rho` [m] is the radius of the surface that is meant: `radius` for the outer wall, `bore`
for the inside. All shapes are ideal: round tube of even wall.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from exhaust.errors import broken
from exhaust.geometry import segment
from exhaust.geometry.shown import tip_distance

SLACK = 1e-9  # [m]; lengths this close to a limit are on it


@dataclass(frozen=True, slots=True)
class SlicedElbow:
    """A bend, and how much of its heel is gone.

    `clr` centreline radius [m], `radius` of the outer wall [m], `wall` [m], `half_angle` of the
    bend [rad], `straight` left on each end [m], `cutback` as a share of the outside diameter,
    from the heel in the middle of the bend.

    Raises `ExhaustError` for a tube or bend that cannot be, for a cut that opens no bore or
    leaves none, and for a cut that runs past the straight ends.

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> round(elbow.depth * 1e3, 3), round(elbow.plane * 1e3, 3), round(elbow.offset * 1e3, 3)
    (19.05, 107.95, 12.7)
    """

    clr: float
    radius: float
    wall: float
    half_angle: float
    straight: float
    cutback: float

    def __post_init__(self) -> None:
        if not 0.0 < self.radius < self.clr:
            rule = f"must be between zero and clr {_mm(self.clr)}"
            raise broken(rule, _mm(self.radius)).named("radius")
        if not 0.0 < self.wall < self.radius:
            rule = f"must be between zero and radius {_mm(self.radius)}"
            raise broken(rule, _mm(self.wall)).named("wall")
        if not 0.0 < self.half_angle < math.pi:
            got = f"{math.degrees(self.half_angle):.6g} deg"
            raise broken("must be between 0 and 180 deg", got).named("half_angle")
        if not self.straight >= 0.0:
            raise broken("must not be less than zero", _mm(self.straight)).named("straight")
        if not abs(self.offset) < self.bore:
            least = self.wall / (2.0 * self.radius)
            rule = (
                f"must be between {least:.4g} and {1 - least:.4g} to open the bore and leave some"
            )
            raise broken(rule, f"{self.cutback:.4g}").named("cutback")
        if run_on(self) > self.straight + SLACK:
            rule = f"runs {_mm(run_on(self))} past the end of the bend"
            raise broken(rule, f"{self.cutback:.4g} on {_mm(self.straight)} of straight").named(
                "cutback"
            )

    @property
    def bore(self) -> float:
        """Radius of the inside [m]."""
        return self.radius - self.wall

    @property
    def depth(self) -> float:
        """Depth of the cut from the heel, f D [m]; in the bore it is one wall less."""
        return 2.0 * self.radius * self.cutback

    @property
    def plane(self) -> float:
        """Distance of the cut from the bend's axis, R + a - f D [m]."""
        return self.clr + self.offset

    @property
    def offset(self) -> float:
        """Signed distance of the cut from the centreline in the middle, a (1 - 2f) [m]."""
        return self.radius * (1.0 - 2.0 * self.cutback)


def _mm(value: float) -> str:
    return f"{value * 1e3:.6g} mm"


def check_surface(elbow: SlicedElbow, rho: float) -> None:
    """Refuse a radius [m] outside the outer wall, or one that the cut misses."""
    if not abs(elbow.offset) < rho <= elbow.radius + SLACK:
        rule = f"must be between {_mm(abs(elbow.offset))} and {_mm(elbow.radius)} to meet the cut"
        raise broken(rule, _mm(rho)).named("rho")


def reach(clr: float, radius: float, half_angle: float) -> float:
    """Return the largest cutback whose opening stays inside the bend (one or more: any does).

    f = (R + a)(1 - cos theta) / D [spiric].

    >>> [round(reach(clr, 0.03175, math.pi / 4), 4) for clr in (0.0635, 0.09525)]
    [0.4393, 0.5858]
    """
    return (clr + radius) * (1.0 - math.cos(half_angle)) / (2.0 * radius)


def tip_angle(elbow: SlicedElbow, rho: float) -> float:
    """Return the bend angle from the middle to a tip of the opening [rad].

    cos phi = plane / (R + rho) [spiric]; past `half_angle` the tip is on the straight end instead.

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> round(math.degrees(tip_angle(elbow, elbow.radius)), 3)
    31.788
    """
    check_surface(elbow, rho)
    return math.acos(elbow.plane / (elbow.clr + rho))


def onto_straight(elbow: SlicedElbow, rho: float) -> bool:
    """Return whether the opening of the surface `rho` runs past the end of the bend.

    >>> onto_straight(SlicedElbow(0.0635, 0.03175, 0.001651, math.pi / 4, 0.02, 0.5), 0.03175)
    True
    """
    return elbow.plane < (elbow.clr + rho) * math.cos(elbow.half_angle)


def run_on(elbow: SlicedElbow) -> float:
    """Return how far the opening runs along the heel line of a straight end [m]; none is zero.

    u = ((R + a) cos theta - plane) / sin theta [spiric].

    >>> round(run_on(SlicedElbow(0.05715, 0.028575, 0.001651, math.pi / 4, 0.02, 0.5)) * 1e3, 3)
    4.903
    """
    if not onto_straight(elbow, elbow.radius):
        return 0.0
    heel = (elbow.clr + elbow.radius) * math.cos(elbow.half_angle)
    return (heel - elbow.plane) / math.sin(elbow.half_angle)


def straight_offset(elbow: SlicedElbow) -> float:
    """Return the signed distance of the cut from the centreline at the bend's end [m].

    plane / cos theta - R [spiric], for a half angle under 90 degrees.
    """
    return elbow.plane / math.cos(elbow.half_angle) - elbow.clr


def opening_length(elbow: SlicedElbow, rho: float) -> float:
    """Return the length of the opening from tip to tip [m].

    2 sqrt((R + rho)² - plane²), on straight ends 2 (R + rho - plane cos theta)/sin theta [spiric].

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> round(opening_length(elbow, elbow.radius) * 1e3, 3)
    133.803
    """
    check_surface(elbow, rho)
    return 2.0 * tip_distance(elbow.clr + rho, elbow.half_angle, elbow.plane)


def opening_length_per_depth(elbow: SlicedElbow) -> float:
    """Return how much longer the outer opening gets for a cut deeper by one [m/m].

    2 plane/tip with the tip inside the bend, 2/tan theta on straight ends [spiric].

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> round(opening_length_per_depth(elbow), 3)
    3.227
    """
    if onto_straight(elbow, elbow.radius):
        return 2.0 / math.tan(elbow.half_angle)
    return 4.0 * elbow.plane / opening_length(elbow, elbow.radius)


def opening_height(elbow: SlicedElbow, rho: float) -> float:
    """Return the greatest height of the opening [m].

    2 sqrt(rho² - h²) in the middle for h = a (1 - 2f) >= 0; a cut past the widest point has
    2 rho, at `highest_at` on either side of the middle [spiric].

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> round(opening_height(elbow, elbow.radius) * 1e3, 3)
    58.199
    """
    check_surface(elbow, rho)
    return middle_height(elbow, rho) if elbow.offset >= 0.0 else 2.0 * rho


def middle_height(elbow: SlicedElbow, rho: float) -> float:
    """Return the height of the opening in the middle, y = 0 [m], 2 sqrt(rho² - h²) [spiric].

    >>> deep = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.55)
    >>> round(middle_height(deep, deep.radius) * 1e3, 3), opening_height(deep, deep.radius)
    (63.182, 0.0635)
    """
    check_surface(elbow, rho)
    return segment.chord(rho, elbow.offset)


def highest_at(elbow: SlicedElbow) -> float:
    """Return how far from the middle the opening is highest [m]: sqrt(R² - plane²), or zero.

    >>> deep = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.55)
    >>> round(highest_at(deep) * 1e3, 2)
    24.39
    """
    if elbow.offset >= 0.0:
        return 0.0
    if elbow.plane < elbow.clr * math.cos(elbow.half_angle):
        theta = elbow.half_angle
        return (elbow.clr - elbow.plane * math.cos(theta)) / math.sin(theta)
    return math.sqrt((elbow.clr - elbow.plane) * (elbow.clr + elbow.plane))


def throat_area(elbow: SlicedElbow) -> float:
    """Return the flow area left in one tube in the middle, where it is least [m^2].

    kept_area(bore, a (1 - 2f)): the cut is measured from the outside, the area in the bore.

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> round(2 * throat_area(elbow) * 1e6, 1)
    4328.5
    """
    return segment.kept_area(elbow.bore, elbow.offset)


def throat_perimeter(elbow: SlicedElbow) -> float:
    """Return the length of wall that the gas touches in the middle of one tube [m].

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> round(2 * throat_perimeter(elbow) * 1e3, 2)
    241.56
    """
    return segment.kept_arc(elbow.bore, elbow.offset)


def after_kerf(elbow: SlicedElbow, kerf: float) -> SlicedElbow:
    """Return the same bend sliced a blade's width [m] nearer the heel: the slug's own face.

    Raises `ExhaustError` when the blade takes the whole depth in the bore.

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> slug = after_kerf(elbow, 0.0015)
    >>> round(slug.depth * 1e3, 2), round(opening_length(slug, slug.radius) * 1e3, 3)
    (17.55, 128.836)
    """
    if not 0.0 <= kerf < elbow.depth - elbow.wall:
        rule = f"must be between zero and {_mm(elbow.depth - elbow.wall)}, the cut in the bore"
        raise broken(rule, _mm(kerf)).named("kerf")
    return replace(elbow, cutback=elbow.cutback - kerf / (2.0 * elbow.radius))
