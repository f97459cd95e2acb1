"""What a measured opening shows: how deep the cut is that left it.

The other way round from `elbow`, `merge_leg` and `splayed`, in closed form. Distances are those of
the outer wall.
"""

from __future__ import annotations

import math

from exhaust.errors import broken
from exhaust.geometry.saddle import mm


def tip_distance(heel: float, half_angle: float, plane: float) -> float:
    """Return how far a tip of the opening lies from the middle of the joint [m].

    sqrt(heel² - plane²), on a straight end (heel - plane cos theta)/sin theta [spiric]. `heel` is
    the heel's distance R + rho from the bend's axis [m], `plane` the cut's [m], `half_angle` what
    the bend turns from the middle to that end [rad].

    >>> round(2 * tip_distance(0.127, math.pi / 4, 0.10795) * 1e3, 3)
    133.803
    """
    if plane < heel * math.cos(half_angle):
        return (heel - plane * math.cos(half_angle)) / math.sin(half_angle)
    return math.sqrt((heel - plane) * (heel + plane))


def plane_shown(heel: float, half_angle: float, tip: float) -> float:
    """Return the distance of the cut from the bend's axis [m] that a `tip` at that distance shows.

    sqrt(heel² - tip²), past heel sin(theta) on a straight end (heel - tip sin theta)/cos theta
    [spiric].

    >>> round(plane_shown(0.127, math.pi / 4, 0.0669015) * 1e3, 3)
    107.95
    >>> round(plane_shown(0.127, math.pi / 4, tip_distance(0.127, math.pi / 4, 0.08)), 12)
    0.08
    """
    bent = heel if half_angle >= math.pi / 2.0 else heel * math.sin(half_angle)
    most = math.inf if half_angle < math.pi / 2.0 else heel
    if not 0.0 < tip < most:
        rule = "must be more than zero" if most == math.inf else f"must be less than {mm(most)}"
        raise broken(rule, mm(tip)).named("tip")
    if tip > bent:
        return (heel - tip * math.sin(half_angle)) / math.cos(half_angle)
    return math.sqrt((heel - tip) * (heel + tip))


def offset_shown(radius: float, height: float) -> float:
    """Return the distance of the cut from the tube's axis [m] that an opening's `height` shows.

    sqrt(a² - (height/2)²) [segments]. An opening as high as the tube shows no more than that the
    cut has reached the axis.

    >>> round(offset_shown(0.03175, 0.0581989) * 1e3, 3)
    12.7
    """
    half = height / 2.0
    if not 0.0 < half <= radius:
        rule = f"must be between zero and the tube's own {mm(2.0 * radius)}"
        raise broken(rule, mm(height), "measure across the middle of the opening").named("height")
    return math.sqrt((radius - half) * (radius + half))


def leg_offset_shown(radius: float, angle: float, run_out: float) -> float:
    """Return the offset of a leg's long cut at its corner [m] that its `run_out` shows.

    a - run_out sin(angle) [mitred]; `run_out` along the joint, corner to tip [m], `angle` of the
    leg to the joint [rad].

    >>> round(leg_offset_shown(0.03175, math.radians(22.5), 0.055311) * 1e3, 3)
    10.583
    """
    if not run_out > 0.0:
        raise broken("must be more than zero", mm(run_out)).named("run_out")
    return radius - run_out * math.sin(angle)
