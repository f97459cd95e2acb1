"""Two sawn faces that meet: what both leave open, and how far their edges step apart.

A face is the tube's round section stretched across the joint by 1/cos(mitre), and cut off by the
joint's plane. `u` [m] runs across the joint in the faces' own plane, towards the other side, and is
nought at the joint's plane; it lies at w = cosine u + offset in the tube's own section.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from exhaust.geometry import segment
from exhaust.geometry.quadrature import Array
from exhaust.geometry.zeros import zeros

SAMPLES = 361  # rays between which the steepest change of a step is looked for


class Face(NamedTuple):
    """A sawn face: `cosine` of its mitre, and `offset` of the cut in the tube's own section [m].

    >>> third = Face(math.cos(math.radians(22.5)), 0.03175 / 3)
    >>> round(-third.edge(0.03175) * 1e3, 3)
    45.821
    """

    cosine: float
    offset: float

    def across(self, u: float) -> float:
        """Return where `u` lies in the tube's own section [m]."""
        return self.cosine * u + self.offset

    def height(self, radius: float, u: float) -> float:
        """Return the height of the wall of `radius` above the middle at `u` [m]."""
        w = self.across(u)
        return math.sqrt(max((radius - w) * (radius + w), 0.0))

    def area(self, radius: float, low: float, high: float) -> float:
        """Return the area inside the wall of `radius` between two places [m^2]."""
        kept = [segment.kept_area(radius, self.across(u)) for u in (low, high)]
        return (kept[1] - kept[0]) / self.cosine

    def edge(self, radius: float) -> float:
        """Return u of its outer edge [m]: less than nought."""
        return (-radius - self.offset) / self.cosine


def overlap_area(first: Face, second: Face, radius: float) -> float:
    """Return the area that lies inside both faces, as far as the joint's plane [m^2].

    `radius` of the walls that are meant [m]. Where the walls cross, w is the same or opposite:
    u = -(offset1 + offset2)/(cosine1 + cosine2) or its like with a minus [mitred]. Inside of both
    is inside of the one that is lower there.

    >>> angle = math.radians(22.5)
    >>> bend, leg = Face(1.0, 0.0127), Face(math.cos(angle), 0.0889 * math.cos(angle) / 2 - 0.03175)
    >>> round(overlap_area(bend, leg, 0.03175) * 1e6, 2)
    2332.25
    """
    left = max(first.edge(radius), second.edge(radius))
    stops = {left, 0.0}
    for same in (1.0, -1.0):
        slope = first.cosine - same * second.cosine
        if slope != 0.0:
            stops.add((same * second.offset - first.offset) / slope)
    total = 0.0
    for low, high in pairwise(sorted(u for u in stops if left <= u <= 0.0)):
        middle = (low + high) / 2.0
        lower = min(first, second, key=lambda face: face.height(radius, middle))
        total += lower.area(radius, low, high)
    return total


class Steps(NamedTuple):
    """How far the second face's edge steps off the first's, at its worst either way.

    `inward` [m] (zero or less) and `outward` [m] (zero or more) along rays from one radius inside
    the squarer face's outer edge; where, as angles from that edge [rad]. `at_seam` is how much
    higher the second stands at the joint's plane, top only [m].
    """

    inward: float
    inward_at: float
    outward: float
    outward_at: float
    at_seam: float


class Meeting(NamedTuple):
    """Two faces that meet in the joint's plane, on tubes of one outside `radius` [m].

    >>> angle = math.radians(22.5)
    >>> bend, leg = Face(1.0, 0.0127), Face(math.cos(angle), 0.0889 * math.cos(angle) / 2 - 0.03175)
    >>> worst = Meeting(bend, leg, 0.03175).steps
    >>> round(worst.inward * 1e3, 3), round(math.degrees(worst.inward_at), 2)
    (-0.634, 60.66)
    >>> round(worst.outward * 1e3, 3), round(worst.at_seam * 1e3, 3)
    (1.152, 1.253)
    """

    first: Face
    second: Face
    radius: float

    @property
    def origin(self) -> float:
        """u that the rays come from: one radius inside the outer edge of the squarer face [m].

        On a face that is sawn square that is its middle, and a ray is square to the wall.
        """
        squarer = self.first if self.first.cosine >= self.second.cosine else self.second
        return squarer.edge(self.radius) + self.radius

    @property
    def last_angle(self) -> float:
        """The last ray that meets both walls, from the outer edge [rad]."""
        highest = max(face.height(self.radius, 0.0) for face in (self.first, self.second))
        return math.atan2(highest, self.origin)

    def step(self, angle: npt.ArrayLike) -> Array:
        """Return how far the second face's edge is outside the first's on each ray [m].

        `angle` from the outer edge [rad]; the two sides, above and below, are alike.
        """
        at = np.asarray(angle, dtype=float)
        return self._ray(self.second, at)[0] - self._ray(self.first, at)[0]

    def _rate(self, angle: Array) -> Array:
        return self._ray(self.second, angle)[1] - self._ray(self.first, angle)[1]

    def _ray(self, face: Face, angle: Array) -> tuple[Array, Array]:
        """Return the ray's length to the wall [m], and its change with the angle [m/rad].

        (cosine (origin - r cos A) + offset)² + (r sin A)² = a².
        """
        c, level = face.cosine, face.across(self.origin)
        sine, cosine = np.sin(angle), np.cos(angle)
        q = (c * cosine) ** 2 + sine**2
        half = c * level * cosine
        room = (self.radius - level) * (self.radius + level)
        r = (half + np.sqrt(half**2 + q * room)) / q
        dq, dhalf = 2.0 * (1.0 - c**2) * sine * cosine, -c * level * sine
        return r, (2.0 * r * dhalf - r**2 * dq) / (2.0 * (q * r - half))

    @property
    def steps(self) -> Steps:
        """The worst steps either way, and the one at the seam."""
        at = self._turns()
        step = self.step(at)
        low, high = int(np.argmin(step)), int(np.argmax(step))
        height = [face.height(self.radius, 0.0) for face in (self.first, self.second)]
        return Steps(
            min(float(step[low]), 0.0),
            float(at[low]),
            max(float(step[high]), 0.0),
            float(at[high]),
            height[1] - height[0],
        )

    def _turns(self) -> Array:
        """Return the angles where a step may be worst: the ends and where it turns round [rad]."""
        ends = np.array([0.0, self.last_angle])
        return np.concatenate([ends, turning_points(self._rate, self.last_angle)])


def turning_points(rate: Callable[[Array], Array], end: float) -> Array:
    """Return where a function stops rising or falling between 0 and `end`, from its slope.

    >>> [round(float(x), 9) for x in turning_points(np.cos, 6.0)]
    [1.570796327, 4.71238898]
    """
    samples = np.linspace(0.0, end, SAMPLES)
    up = rate(samples) > 0.0
    at = np.flatnonzero(up[1:] != up[:-1])
    return zeros(rate, samples[at], samples[at + 1])
