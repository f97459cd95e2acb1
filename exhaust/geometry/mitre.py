"""A tube sawn at a mitre: its opening, what comes off it, and what a measured opening says.

A mitre [rad] is counted from a square cut. The sawn face is an ellipse; its long axis is the mitre
opening. A cutback is a share of that opening, taken from its heel, which is the long point. Every
opening here may be the nominal one or one that was measured.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from exhaust.errors import broken
from exhaust.geometry.saddle import mm


def mitre_opening(od: float, mitre: float) -> float:
    """Return the long axis of a mitred tube's face [m]: D / cos(mitre) [mitred].

    `od` [m], `mitre` [rad] from square, under 90 degrees.

    >>> round(mitre_opening(0.0635, math.radians(22.5)) * 1e3, 3)
    68.732
    """
    return _length("od", od) / math.cos(checked_mitre(mitre))


def mitre_shown(od: float, opening: float) -> float:
    """Return the mitre that a measured `opening` shows [rad]: acos(D / opening) [mitred].

    Both [m], each as measured: the tube's own diameter square to the opening, not the nominal one.

    >>> round(math.degrees(mitre_shown(0.0635, 0.0695)), 2)
    23.98
    """
    _length("od", od)
    if not od <= opening < math.inf:
        rule = f"must be at least od {mm(od)}"
        raise broken(rule, mm(opening), "measure along the long axis").named("opening")
    return math.acos(od / opening)


def take_off(opening: float, cutback: float) -> float:
    """Return what comes off a mitre opening, from its heel [m]: g times the opening [mitred].

    >>> round(take_off(0.068732, 1 / 3) * 1e3, 3)
    22.911
    """
    return _length("opening", opening) * checked_share(cutback)


def kept_width(opening: float, cutback: float) -> float:
    """Return what is left of a mitre opening, outer edge to the cut [m]: (1 - g) of it [mitred].

    >>> round(kept_width(0.068732, 1 / 3) * 1e3, 3)
    45.821
    """
    return _length("opening", opening) * (1.0 - checked_share(cutback))


def take_off_for(opening: float, kept: float) -> float:
    """Return what must come off `opening` to keep the width `kept` [m]: their difference.

    Raises `ExhaustError` for a width that the opening does not have.

    >>> round(take_off_for(0.0775192, 0.0458213) * 1e3, 3)
    31.698
    """
    _length("opening", opening)
    if not 0.0 < kept < opening:
        rule = f"must be between zero and the opening, {mm(opening)}"
        raise broken(rule, mm(kept), "measure both openings again").named("kept")
    return opening - kept


def cutback_for(opening: float, kept: float) -> float:
    """Return the cutback of `opening` that keeps the width `kept` [m]: 1 - kept/opening [mitred].

    >>> round(cutback_for(0.0775192, 0.0458213), 4)
    0.4089
    """
    return take_off_for(opening, kept) / opening


def halved_opening(od: float, cutback: float) -> float:
    """Return the width of a parallel X sawn in half, edge to edge [m]: 2 (1 - f) D [mitred].

    `cutback` as a share of the diameter, as the parallel X was sliced.

    >>> round(halved_opening(0.0635, 0.3) * 1e3, 3)
    88.9
    """
    return 2.0 * _length("od", od) * (1.0 - checked_share(cutback))


def cutback_shown(od: float, halved: float) -> float:
    """Return the cutback that a measured halved opening shows: 1 - X/(2 D) [mitred].

    >>> round(cutback_shown(0.0635, 0.0889), 6)
    0.3
    """
    _length("od", od)
    if not 0.0 < halved < 2.0 * od:
        rule = f"must be between zero and two diameters, {mm(2.0 * od)}"
        raise broken(rule, mm(halved), "measure over both tubes").named("halved")
    return 1.0 - halved / (2.0 * od)


def leg_take_off(opening: float, halved: float) -> float:
    """Return what must come off each leg to meet a halved X [m]: opening - X/2 [mitred].

    `opening` of the mitred leg and `halved` opening of the X [m], as measured. Half of what the
    two openings together are wider than the X.

    >>> round(leg_take_off(0.0687319, 0.0889) * 1e3, 3)
    24.282
    """
    return take_off_for(opening, halved / 2.0)


def leg_cutback(cutback: float, angle: float) -> float:
    """Return the cutback of a leg that meets a parallel X: g = 1 - (1 - f) cos(angle) [mitred].

    `cutback` of the X as a share of the diameter, `angle` of the leg to the joint [rad]. It passes
    a half where cos(angle) < 1/(2 (1 - f)).

    >>> round(leg_cutback(0.3, math.radians(22.5)), 6)
    0.353284
    """
    return 1.0 - (1.0 - checked_share(cutback)) * math.cos(checked_mitre(angle))


def point_beyond(radius: float, mitre: float) -> float:
    """Return how far a mitre's long point is past its centreline, along the tube [m]: a tan(mitre).

    Its short point is as far the other way [mitred].

    >>> round(point_beyond(0.03175, math.radians(22.5)) * 1e3, 3)
    13.151
    """
    return _length("radius", radius) * math.tan(checked_mitre(mitre))


def kerf_along(kerf: float, mitre: float) -> float:
    """Return the length of tube that a mitre cut turns to dust [m]: k / cos(mitre) [mitred].

    >>> round(kerf_along(0.0011, math.radians(45)) * 1e3, 3)
    1.556
    """
    if not 0.0 <= kerf < math.inf:
        raise broken("must not be less than zero", mm(kerf), "measure a test cut").named("kerf")
    return kerf / math.cos(checked_mitre(mitre))


def long_cut(angle: float) -> float:
    """Return how far from square a cut along the joint is on a leg [rad]: 90 degrees - angle.

    `angle` of the leg to the joint [rad]. It is past the dial of most saws: lay the mitre face on
    the fence instead and saw square to that.

    >>> round(math.degrees(long_cut(math.radians(22.5))), 1)
    67.5
    """
    return math.pi / 2.0 - checked_mitre(angle)


class Bisector(NamedTuple):
    """The mitre that two legs at different angles share, and the tilt of its plane [rad].

    The plane is y = x tan(tilt), x across the joint away from its outer edge, y towards the first
    leg's end. With the mitre face on the fence, the cut along the joint is `tilt` from square: one
    way for the first leg, the other way for the second.
    """

    mitre: float
    tilt: float


def bisector(first: float, second: float) -> Bisector:
    """Return the mitre that leaves no mismatch between legs at two angles to the joint [rad].

    mitre = (first + second)/2 on both, tilt = (first - second)/2 [mitred]: both faces are then the
    same ellipse.

    >>> found = bisector(math.radians(22.5), math.radians(35))
    >>> round(math.degrees(found.mitre), 3), round(math.degrees(found.tilt), 3)
    (28.75, -6.25)
    """
    checked_mitre(first)
    checked_mitre(second)
    return Bisector((first + second) / 2.0, (first - second) / 2.0)


def checked_mitre(mitre: float) -> float:
    """Return an angle from square [rad] if it is one that can be sawn, 0 to under 90 degrees."""
    if not 0.0 <= mitre < math.pi / 2.0:
        got = f"{math.degrees(mitre):.6g} deg"
        raise broken("must be from 0 to under 90 deg", got).named("mitre")
    return mitre


def checked_share(cutback: float) -> float:
    """Return a cutback if it is a share, 0 to 1."""
    if not 0.0 <= cutback <= 1.0:
        raise broken("must be between 0 and 1", f"{cutback:.4g}").named("cutback")
    return cutback


def _length(name: str, value: float) -> float:
    if not 0.0 < value < math.inf:
        raise broken("must be more than zero", mm(value)).named(name)
    return value
