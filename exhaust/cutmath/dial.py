"""What a saw's dial can be set to, and what joint comes of it."""

from __future__ import annotations

import math
from typing import NamedTuple

from exhaust.errors import broken
from exhaust.show import quantity
from exhaust.stock import DEGREE, Saw
from exhaust.units import SI

NEAR = 1e-9  # an angle so close to a mark is on it [rad]
LEAST = 2.5 * DEGREE  # of a mitre that makes a splay [rad]


class Dial(NamedTuple):
    """How a saw is set for one angle from square [rad].

    `dial` as read on it, `wedge` the angle of a block between fence and tube for what is beyond it.
    """

    dial: float
    wedge: float


def on_dial(angle: float, saw: Saw) -> float:
    """Return the angle nearest to `angle` [rad] that is a whole number of steps of the dial.

    >>> saw = Saw(kerf="1.1 mm")
    >>> [round(math.degrees(on_dial(math.radians(each), saw)), 6) for each in (22.5, 22.7, -6.25)]
    [22.5, 22.5, -6.0]
    """
    steps = round(angle / saw.angle_step)
    found = steps * float(saw.angle_step)
    return angle if abs(found - angle) < NEAR else found


def mitre_on_dial(angle: float, saw: Saw) -> float:
    """Return the mitre [rad] that the dial can show, or refuse a dial too coarse for it.

    >>> round(math.degrees(mitre_on_dial(math.radians(28.9), Saw(kerf="1.1 mm"))), 6)
    29.0
    """
    found = on_dial(angle, saw)
    if found < LEAST:
        step = quantity(float(saw.angle_step), "angle")
        raise broken(
            f"is too coarse to come near a mitre of {quantity(angle, 'angle')}",
            step,
            "use a finer dial or a wider splay",
        ).named("angle_step")
    return found


def dialled(angle: float, saw: Saw) -> Dial:
    """Return how to set `saw` for `angle` [rad] from square, either way.

    >>> [round(math.degrees(x), 6) for x in dialled(math.radians(60), Saw(kerf="1.1 mm"))]
    [45.0, 15.0]
    """
    size = abs(angle)
    if size <= saw.largest_angle + NEAR:
        return Dial(size, 0.0)
    most = math.floor(saw.largest_angle / saw.angle_step + NEAR) * float(saw.angle_step)
    return Dial(most, size - most)


def in_degrees(angle: float) -> SI:
    """Return `angle` [rad] as an argument in degrees.

    >>> in_degrees(math.radians(45)).written()
    '45 deg'
    """
    return SI(angle, "angle", "deg", DEGREE)
