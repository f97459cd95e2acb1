"""Flat saw cuts that rough out a saddle before it is ground, and what they leave to grind.

The end of the tube is cut like a roof: a plane on the side towards y and one on the other, with
the tube rolled about its axis for each. Axes and clock angles are those of `saddle`.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from exhaust.geometry.saddle import Array, Saddle, clock_angles, meets_at

COARSE = np.linspace(-math.pi, math.pi, 181)  # [rad]; to choose by
ROUND = np.linspace(-math.pi, math.pi, 1441)  # [rad]; to cut by
ROLLS = np.radians(np.arange(-75.0, 76.0, 5.0))  # tried where top and bottom are unlike
SIDES = (1, -1)  # towards y, and away from it


class FlatCut(NamedTuple):
    """One plane through the end of a tube of `radius` [m].

    `side` 1 towards y, -1 away from it; `angle` from square [rad]; `line`, the clock angle of the
    line that it is cut towards, deepest there for an angle more than zero [rad]; `middle` from
    the primary's axis to the plane, on the tube's own axis [m]; `left` the most it leaves to grind
    on its side, `most` if its side is left square [m].
    """

    radius: float
    side: int
    angle: float
    line: float
    middle: float
    left: float
    most: float

    def at(self, clock: npt.ArrayLike) -> Array:
        """Return where the plane cuts each line, from the primary's axis along the tube [m].

        middle + radius tan(angle) cos(clock - line).

        >>> cut = FlatCut(0.02, -1, math.pi / 4, math.pi, 0.01, 0.0, 0.0)
        >>> cut.at([math.pi, math.pi / 2, 0.0]).round(9).tolist()
        [0.03, 0.01, -0.01]
        """
        lean = self.radius * math.tan(self.angle)
        return np.asarray(self.middle + lean * np.cos(clock_angles(clock) - self.line))


def flat_cuts(
    saddle: Saddle, angles: npt.ArrayLike, square: float, clear: float
) -> tuple[FlatCut, FlatCut]:
    """Return the flat cuts on the side towards y and on the other that leave least to grind.

    `angles` [n] that a saw can be set to, either way from square [rad]; `square` from the
    primary's axis to where the tube is sawn square [m]; each plane stays `clear` of the finished
    edge all round [m]. For tubes as wide as each other the two mitres of g/2 and 90 deg - g/2
    are the saddle itself, s = rho (|cos c| + cos c cos g)/sin g [saddle].

    >>> equal = Saddle(0.0254, 0.001651, 0.0254, 0.001651)
    >>> cuts = flat_cuts(equal, np.radians([0, 30, 45, 60]), 0.0, 0.0)
    >>> [(cut.side, round(math.degrees(cut.angle)), abs(round(cut.left, 9))) for cut in cuts]
    [(1, 45, 0.0), (-1, 45, 0.0)]
    """
    lean = np.tan(np.atleast_1d(np.asarray(angles, dtype=float)))
    first, second = (_side(saddle, lean, square, clear, side) for side in SIDES)
    return first, second


def _side(saddle: Saddle, lean: Array, square: float, clear: float, side: int) -> FlatCut:
    """Return the plane that leaves the least most on its side; of such, the least in all."""
    edge = meets_at(saddle.outside, COARSE)  # of the wall, its outside is what a plane nears first
    own = side * np.cos(COARSE) >= -1e-12
    best = (math.inf, math.inf, 0.0, 0.0)
    for roll in ROLLS if saddle.offset else (0.0,):
        line = roll if side > 0 else math.pi - roll
        tilted = saddle.radius * lean[:, None] * np.cos(COARSE - line)
        planes = tilted + (edge - tilted).min(axis=1)[:, None] - clear
        left = (edge - np.maximum(planes, square))[:, own]
        most, mean = left.max(axis=1).round(9), left.mean(axis=1)
        least = int(np.lexsort((mean, most))[0])
        best = min(best, (float(most[least]), float(mean[least]), line, float(lean[least])))
    return _cut(saddle, (best[2], math.atan(best[3])), square, clear, side)


def _cut(
    saddle: Saddle, tilt: tuple[float, float], square: float, clear: float, side: int
) -> FlatCut:
    """Return the plane of a `tilt`, its line and angle, with what it leaves."""
    edge, (line, angle) = meets_at(saddle.outside, ROUND), tilt
    plane = FlatCut(saddle.radius, side, angle, line, 0.0, 0.0, 0.0)
    middle = float((edge - plane.at(ROUND)).min()) - clear
    own = side * np.cos(ROUND) >= -1e-12
    left = (edge - np.maximum(plane.at(ROUND) + middle, square))[own]
    return plane._replace(
        middle=middle, left=float(left.max()), most=float(edge[own].max() - square)
    )


def edge_angle(saddle: Saddle) -> float:
    """Return the angle of the sharpest edge of the saddled tube [rad]; none is a feather.

    Between the outsides of tube and primary: the least acos of
    q sin c/A - cos c cos g sqrt(1 - q²/A²), q = rho sin c + e; acos((rho + |e|)/A) if square.

    >>> round(math.degrees(edge_angle(Saddle(0.0508, 0.001651, 0.0254, 0.001651))), 6)
    60.0
    """
    share = (saddle.radius * np.sin(ROUND) + saddle.offset) / saddle.primary
    lean = np.cos(ROUND) * math.cos(saddle.angle) * np.sqrt(np.maximum(1.0 - share**2, 0.0))
    return math.acos(min(float((share * np.sin(ROUND) - lean).max()), 1.0))


def short_point(saddle: Saddle) -> float:
    """Return the clock angle of the tube's short point outside [rad], where the notch is deepest.

    Of two alike that nearer y, so 0 for a square and centred tube.

    >>> leant = Saddle(0.0381, 0.001651, 0.0254, 0.001651, math.radians(120))
    >>> round(math.degrees(abs(short_point(leant))), 3)
    180.0
    """
    fine = np.linspace(-math.pi, math.pi, 14401)
    edge = meets_at(saddle.outside, fine)
    deepest = fine[edge >= edge.max() - 1e-12]
    return float(deepest[np.argmin(np.abs(deepest))])
