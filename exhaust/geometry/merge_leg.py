"""One leg of a merge: half of a sliced elbow, from the outlet's face out past the tip.

The bend is halved in its middle; the sawn face meets the outlet and the slice starts there. Axes
and symbols are those of `elbow`: the face is y = 0, the opening runs from it to the tip.
"""

from __future__ import annotations

import math

from exhaust.errors import broken
from exhaust.geometry.elbow import SlicedElbow, onto_straight, tip_angle
from exhaust.geometry.shown import tip_distance


def left_behind_tip(elbow: SlicedElbow, short: float = 0.0, deeper: float = 0.0) -> float:
    """Return the heel left between the tip of the opening and the end of the half bend [m].

    (R + a)(theta - phi), cos phi = plane/(R + a); below zero it is what the opening runs on to a
    straight end, ((R + a) cos theta - plane)/sin theta [spiric]. With `short` [rad] the half bend
    turns less than it should, with `deeper` [m] the cut is deeper: both take of it.

    >>> half = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.5)
    >>> round(left_behind_tip(half) * 1e3, 2)
    7.96
    >>> round(left_behind_tip(half, short=math.radians(1), deeper=0.0011) * 1e3, 2)
    4.09
    """
    heel, theta = elbow.clr + elbow.radius, elbow.half_angle - short
    if not 0.0 < theta < math.pi:
        rule = f"must be less than {math.degrees(elbow.half_angle):.6g} deg, all of the half bend"
        raise broken(rule, f"{math.degrees(short):.6g} deg").named("short")
    plane = elbow.plane - deeper
    if not -heel < plane < heel:
        rule = f"must keep the cut within {heel * 1e3:.6g} mm of the bend's axis"
        raise broken(rule, f"{deeper * 1e3:.6g} mm").named("deeper")
    if plane < heel * math.cos(theta):
        return (plane - heel * math.cos(theta)) / math.sin(theta)
    return heel * (theta - math.acos(plane / heel))


def taken_per_angle(elbow: SlicedElbow) -> float:
    """Return what of `left_behind_tip` goes when the half bend turns less by one [m/rad].

    R + a; on a straight end (R + a - plane cos theta)/sin² theta [spiric].

    >>> half = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.5)
    >>> round(taken_per_angle(half) * math.radians(1) * 1e3, 2)
    2.22
    """
    heel, theta = elbow.clr + elbow.radius, elbow.half_angle
    if onto_straight(elbow, elbow.radius):
        return (heel - elbow.plane * math.cos(theta)) / math.sin(theta) ** 2
    return heel


def taken_per_depth(elbow: SlicedElbow) -> float:
    """Return what of `left_behind_tip` goes when the cut is deeper by one [m/m]: 1/sin phi.

    On a straight end, where the tip moves along the leg, 1/sin theta [spiric].

    >>> half = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.5)
    >>> round(taken_per_depth(half), 3)
    1.512
    """
    if onto_straight(elbow, elbow.radius):
        return 1.0 / math.sin(elbow.half_angle)
    return 1.0 / math.sin(tip_angle(elbow, elbow.radius))


def sawn_plane(elbow: SlicedElbow, kerf: float) -> float:
    """Return the distance of the cut from the bend's axis for a half sawn with `kerf` [m].

    The depth is measured from the heel of the sawn face, which the kerf has brought to
    sqrt((R + a)² - k²/4) from the axis [spiric].

    >>> half = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.5)
    >>> round((half.plane - sawn_plane(half, 0.003)) * 1e3, 4)
    0.0089
    """
    heel = elbow.clr + elbow.radius
    if not 0.0 <= kerf < 2.0 * heel:
        rule = f"must be between zero and {2e3 * heel:.6g} mm"
        raise broken(rule, f"{kerf * 1e3:.6g} mm").named("kerf")
    return math.sqrt((heel - kerf / 2.0) * (heel + kerf / 2.0)) - elbow.depth


def sawn_opening_length(elbow: SlicedElbow, kerf: float) -> float:
    """Return the length of one leg's opening, sawn face to tip, when halving took `kerf` [m].

    sqrt((R + a)² - plane²) - k/2: the kerf comes off the face's end, half on each leg, and what
    is left behind the tip stays [spiric]. On straight ends (R + a - plane cos theta)/sin theta
    instead of the root.

    >>> half = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.5)
    >>> [round(sawn_opening_length(half, k) * 1e3, 3) for k in (0.0, 0.0015)]
    [84.003, 83.255]
    """
    heel, plane = elbow.clr + elbow.radius, sawn_plane(elbow, kerf)
    return tip_distance(heel, elbow.half_angle, plane) - kerf / 2.0


def end_width(radius: float, angle: float) -> float:
    """Return how wide a square-cut leg's end lies across the joint [m]: D cos(angle).

    `angle` [rad] between the leg and the joint's long direction.

    >>> round(end_width(0.03175, math.pi / 4) * 1e3, 2)
    44.9
    """
    return 2.0 * radius * math.cos(angle)


def end_reach(radius: float, angle: float) -> float:
    """Return how far a square-cut leg's end reaches past its centre, along the joint [m].

    a sin(angle), `angle` [rad] between the leg and the joint's long direction.

    >>> round(end_reach(0.03175, math.pi / 4) * 1e3, 2)
    22.45
    """
    return radius * math.sin(angle)
