"""Where the tubes of a parallel X come out: spacing and length from bends and straights.

One quarter of the joint runs from the middle: half of the main bend, a straight, half of the
return bend, the straight end that it came with. The main bend turns out by the half angle and the
return bend turns back by the same.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from exhaust.errors import broken
from exhaust.geometry.elbow import reach


class Quarter(NamedTuple):
    """One quarter of a parallel X.

    `offset` of the joint's plane from the centreline in the middle, a (1 - 2f) [m]; `clr` of the
    main bend and `return_clr` of the return bend [m]; `half_angle` that each turns [rad];
    `straight` between them and `end` straight after the return bend [m].
    """

    offset: float
    clr: float
    return_clr: float
    half_angle: float
    straight: float = 0.0
    end: float = 0.0

    @property
    def both(self) -> float:
        """The two centreline radii together, R + R2 [m]."""
        return self.clr + self.return_clr


def spacing(quarter: Quarter) -> float:
    """Return the distance between the tubes at the exits, centre to centre [m].

    2 [a(1-2f) + (R + R2)(1 - cos theta) + s sin theta] [spiric].

    >>> a = Quarter(0.0127, 0.09525, 0.09525, math.pi / 4, 0.030)
    >>> round(spacing(a) * 1e3, 3)
    179.419
    """
    out = quarter.both * (1.0 - math.cos(quarter.half_angle))
    return 2.0 * (quarter.offset + out + quarter.straight * math.sin(quarter.half_angle))


def straight_for(quarter: Quarter, wanted: float) -> float:
    """Return the straight that gives the spacing `wanted` [m]; less than zero: trim the angle.

    The straight of `quarter` itself is not used.

    >>> a = Quarter(0.0127, 0.09525, 0.09525, math.pi / 4)
    >>> round(straight_for(a, 0.17941872) * 1e3, 3), round(straight_for(a, 0.120) * 1e3, 3)
    (30.0, -12.015)
    """
    short = wanted / 2.0 - spacing(quarter._replace(straight=0.0)) / 2.0
    return short / math.sin(quarter.half_angle)


def trimmed_half_angle(quarter: Quarter, wanted: float) -> float:
    """Return the half angle to trim all bends to for the spacing `wanted` without straight [rad].

    cos theta = 1 - (CC/2 - a(1-2f))/(R + R2) [spiric]. The half angle and the straight of
    `quarter` itself are not used. Raises `ExhaustError` for a spacing that no angle under 180
    degrees gives.

    >>> a = Quarter(0.0127, 0.09525, 0.09525, math.pi / 4)
    >>> round(math.degrees(trimmed_half_angle(a, 0.120)), 3)
    41.262
    """
    cosine = 1.0 - (wanted / 2.0 - quarter.offset) / quarter.both
    if not -1.0 < cosine < 1.0:
        low, high = 2e3 * quarter.offset, 2e3 * (quarter.offset + 2.0 * quarter.both)
        rule = f"must be between {low:.6g} and {high:.6g} mm for bends without a straight"
        raise broken(rule, f"{wanted * 1e3:.6g} mm").named("spacing")
    return math.acos(cosine)


def least_spacing(quarter: Quarter, radius: float) -> float:
    """Return the least spacing that leaves the whole opening in its tube [m].

    With the tip at the very end of the bend, D [1 + 2f (R2 - a)/(R + a)] [spiric]; a cut that the
    bend cannot take needs its run-on in straight, 2 [R2 - (R2 - a) cos theta]. `radius` is that
    of the outer wall; the straight of `quarter` itself is not used.

    >>> a = Quarter(0.0127, 0.09525, 0.09525, math.pi / 4)
    >>> round(least_spacing(a, 0.03175) * 1e3, 3)
    82.55
    """
    depth = radius - quarter.offset  # of the cut, f D
    inward = quarter.return_clr - radius
    if depth <= 2.0 * radius * reach(quarter.clr, radius, quarter.half_angle):
        return 2.0 * (radius + depth * inward / (quarter.clr + radius))
    return 2.0 * (quarter.return_clr - inward * math.cos(quarter.half_angle))


def deepest_cutback(quarter: Quarter, radius: float, wanted: float) -> float:
    """Return the largest cutback that the spacing `wanted` [m] leaves room for; one or more: any.

    f = (CC/2 - a)(R + a)/(D (R2 - a)), where `least_spacing` is `wanted`; from the spacing of a
    whole bend's reach on, straights make room for any [spiric]. `radius` is that of the outer
    wall; offset and straight of `quarter` itself are not used.

    >>> a = Quarter(0.0127, 0.09525, 0.09525, math.pi / 4)
    >>> round(deepest_cutback(a, 0.03175, 0.08255), 6)
    0.3
    """
    inward = quarter.return_clr - radius
    if wanted >= 2.0 * (quarter.return_clr - inward * math.cos(quarter.half_angle)):
        return 1.0
    return (wanted / 2.0 - radius) * (quarter.clr + radius) / (2.0 * radius * inward)


def overall_length(quarter: Quarter) -> float:
    """Return the length of the joint from exit to exit [m].

    2 [(R + R2) sin theta + s cos theta + end straights] [spiric].

    >>> a = Quarter(0.0127, 0.09525, 0.09525, math.pi / 4, 0.030)
    >>> round(overall_length(a) * 1e3, 3)
    311.834
    """
    theta = quarter.half_angle
    along = quarter.both * math.sin(theta) + quarter.straight * math.cos(theta)
    return 2.0 * (along + quarter.end)


def centreline_length(quarter: Quarter) -> float:
    """Return the length of one tube along its centreline, exit to exit [m].

    2 [(R + R2) theta + s + end straights] [spiric].

    >>> a = Quarter(0.0127, 0.09525, 0.09525, math.pi / 4, 0.030)
    >>> round(centreline_length(a) * 1e3, 3)
    359.237
    """
    return 2.0 * (quarter.both * quarter.half_angle + quarter.straight + quarter.end)


def spacing_per_angle(quarter: Quarter) -> float:
    """Return the change of spacing when every half bend turns more by the same angle [m/rad].

    2 [(R + R2) sin theta + s cos theta] [spiric]. A whole bend that measures one degree over puts
    half a degree into each of its halves.

    >>> a = Quarter(0.0127, 0.09525, 0.09525, math.pi / 4, 0.030)
    >>> round(spacing_per_angle(a) * math.radians(1) * 1e3, 3)
    5.443
    """
    return overall_length(quarter._replace(end=0.0))


def halved_face(clr: float, radius: float, kerf: float) -> tuple[float, float]:
    """Return where the sawn face of a halved bend starts and ends, from the bend's axis [m].

    Half of the kerf comes off each half; the face stays parallel to the radial plane, so that
    sqrt((R ∓ a)² - k²/4) are its edges [spiric] and it is a trace wider than the tube.

    >>> low, high = halved_face(0.09525, 0.03175, 0.003)
    >>> round((high - low) * 1e3, 4)
    63.5089
    """
    half = _half_kerf(clr - radius, kerf)
    return math.sqrt((clr - radius) ** 2 - half**2), math.sqrt((clr + radius) ** 2 - half**2)


def halved_length_lost(clr: float, kerf: float) -> float:
    """Return the centreline that each half of a sawn bend has lost [m]: R asin(k / 2R) [spiric].

    The angle of the half is not changed: kerf costs length.

    >>> round(halved_length_lost(0.09525, 0.003) * 1e3, 4)
    1.5001
    """
    return clr * math.asin(_half_kerf(clr, kerf) / clr)


def halved_spacing_lost(half_angle: float, kerf: float) -> float:
    """Return how much nearer the exits come when sawn faces meet the main bend [m]: k sin theta.

    A sawn face there acts as a straight of -k/2 [spiric]; at the exits it only shortens the part.

    >>> round(halved_spacing_lost(math.pi / 4, 0.003) * 1e3, 3)
    2.121
    """
    return 2.0 * _half_kerf(math.inf, kerf) * math.sin(half_angle)


def _half_kerf(most: float, kerf: float) -> float:
    if not 0.0 <= kerf < 2.0 * most:
        rule = f"must be between zero and {2e3 * most:.6g} mm"
        raise broken(rule, f"{kerf * 1e3:.6g} mm").named("kerf")
    return kerf / 2.0
