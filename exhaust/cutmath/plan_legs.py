"""What follows a sliced bend to the end of a leg, from above: a straight and a return."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from exhaust.cutmath.pose import BendView, Points, Shape, arc
from exhaust.joints import ParallelX


class Leg(NamedTuple):
    """A leg beside the seam, x = 0, from the middle of its bend at y = 0. Lengths [m], [rad].

    `back` is the return's centreline radius; nought where the leg stays splayed.
    """

    plane: float  # from the bend's axis to the seam
    clr: float
    radius: float  # outside radius of the tube
    half_angle: float
    spacer: float
    back: float
    end: float  # straight at the far end


def pieces(x: ParallelX) -> tuple[Points, list[Shape]]:
    """Return the right-hand main bend, and what follows it to one exit; the seam is x = 0.

    >>> from exhaust import Bend, Tube
    >>> bend = Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")
    >>> _, after = pieces(ParallelX(bend, cutback=0.3))
    >>> [shape.role for shape in after]
    ['kept', 'kept', 'kept', 'centre']
    """
    a, theta, clr = x.tube.od / 2, x.half_angle, float(x.bend.clr)
    kept, _ = BendView(clr, a, theta, theta).sliced(x.cut_depth)
    face = clr + a - x.cut_depth
    main = np.column_stack((face - kept[:, 1], kept[:, 0]))
    back = x.return_bend
    leg = Leg(face, clr, a, theta, x.spacer, float(back.clr), float(back.tangent))
    return main, leg_shapes(leg)


def leg_shapes(leg: Leg) -> list[Shape]:
    """Return the straight, the return, the straight at its end, and the centreline.

    >>> [len(shape.points) for shape in leg_shapes(Leg(0.1, 0.1, 0.03, 0.8, 0.05, 0.0, 0.0))]
    [4, 2]
    """
    a, theta = leg.radius, leg.half_angle
    heading = np.array([math.sin(theta), math.cos(theta)])
    normal = np.array([math.cos(theta), -math.sin(theta)])
    start = np.array([leg.plane - leg.clr * math.cos(theta), leg.clr * math.sin(theta)])
    after = start + leg.spacer * heading
    straight = Shape("kept", _band(start, after, normal * a))
    if leg.back == 0.0:
        return [straight, Shape("centre", np.vstack((start, after)), closed=False)]
    centre = after - leg.back * normal
    out = centre + np.array([leg.back, 0.0])
    tip = out + np.array([0.0, leg.end])
    inner, outer = (centre + _sweep(radius, theta) for radius in (leg.back - a, leg.back + a))
    line = np.vstack((start, after, centre + _sweep(leg.back, theta), tip))
    return [
        straight,
        Shape("kept", np.vstack((inner, outer[::-1]))),
        Shape("kept", _band(out, tip, np.array([a, 0.0]))),
        Shape("centre", line, closed=False),
    ]


def _band(start: Points, end: Points, half: Points) -> Points:
    return np.array([start - half, start + half, end + half, end - half])


def _sweep(radius: float, theta: float) -> Points:
    """An arc from the leg's heading to straight ahead, about the return's centre."""
    return arc(radius, math.pi / 2 + theta, math.pi / 2, 41)
