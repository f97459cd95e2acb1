"""Half of a parallel X, and two straight legs that go on from it apart.

The X is sawn in half across its middle, where its sides run along the joint: each face is a round
section with the slice taken off. A leg meets it with a mitre of its own angle, kept as wide as the
bend, edge to edge at the outside (`mitred_leg`, `meeting`); or the bend turns on by the leg's angle
past the middle and the leg is butted square to it (`butted_leg`), which leaves no mismatch.
"""

from __future__ import annotations

import math
from dataclasses import replace

from exhaust.geometry import mitre
from exhaust.geometry.elbow import SlicedElbow
from exhaust.geometry.mismatch import Face, Meeting
from exhaust.geometry.splayed import MitredLeg


def mitred_leg(elbow: SlicedElbow, angle: float) -> MitredLeg:
    """Return the leg at `angle` [rad] whose kept width is the halved bend's, (1 - f) D [mitred].

    >>> bend = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> leg = mitred_leg(bend, math.radians(22.5))
    >>> round(leg.cutback, 6), round(leg.take_off * 1e3, 3), round(leg.kept_width * 1e3, 3)
    (0.353284, 24.282, 44.45)
    """
    cutback = mitre.leg_cutback(elbow.cutback, angle)
    return MitredLeg(elbow.radius, elbow.wall, angle, angle, cutback)


def butted_leg(elbow: SlicedElbow, angle: float, length: float) -> SlicedElbow:
    """Return the bend that turns on by `angle` [rad] past the middle to a leg of `length` [m].

    Its measures for a whole joint are twice those of the two legs' end. Raises `ExhaustError` where
    the opening runs past that angle and the leg: cos(tip) = 1 - f D/(R + a) [spiric].

    >>> bend = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> round(math.degrees(butted_leg(bend, math.radians(35), 0.2).half_angle), 1)
    35.0
    """
    return replace(elbow, half_angle=angle, straight=length)


def meeting(elbow: SlicedElbow, leg: MitredLeg) -> Meeting:
    """Return the halved bend's face and the mitred leg's, outer edge to outer edge.

    Outer walls: deepest inward step a [1 - sqrt(1 - tan²(t/2))], whatever the cutback; none at
    a tan²(t/2) past the middle; outward from there to the seam [mitred].

    >>> bend = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 1 / 3)
    >>> worst = meeting(bend, mitred_leg(bend, math.radians(35))).steps
    >>> round(worst.inward * 1e3, 3), round(worst.outward * 1e3, 3)
    (-1.619, 1.589)
    """
    faces = Face(1.0, elbow.offset), Face(math.cos(leg.mitre), leg.offset)
    return Meeting(*faces, elbow.radius)


def exit_offset(leg: SlicedElbow) -> float:
    """Return how far the middle of a butted leg's end is from the joint's plane [m].

    a (1 - 2f) + R (1 - cos(angle)) + length sin(angle).

    >>> bend = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> round(2 * exit_offset(butted_leg(bend, math.radians(35), 0.2)) * 1e3, 3)
    289.282
    """
    turn = leg.half_angle
    out = leg.clr * (1.0 - math.cos(turn)) + leg.straight * math.sin(turn)
    return leg.offset + out


def end_reach(leg: SlicedElbow) -> float:
    """Return how far along the joint a butted leg's end reaches from the middle [m].

    R sin(angle) + length cos(angle) + a sin(angle): at the corner towards the other side.

    >>> bend = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> round(end_reach(butted_leg(bend, math.radians(35), 0.2)) * 1e3, 3)
    236.675
    """
    turn = leg.half_angle
    return (leg.clr + leg.radius) * math.sin(turn) + leg.straight * math.cos(turn)
