"""How sawn edges meet when the cuts are off: gaps between faces, steps between edges.

Every number of an error may be an array of samples [n, 1]; stations along a seam are arrays [m].
A cut is off by its depth, by `slant` about the vertical and by `lean` about the joint's long
direction. `t` [m] runs along the joint in the cut's own plane and `z` [m] up in it; a wall is the
round surface that the plane cuts, and the edge is where it does.
"""

from __future__ import annotations

import math
from typing import NamedTuple, Protocol

import numpy as np
import numpy.typing as npt

from exhaust.geometry.quadrature import Array

STEPS = 3  # of Newton's method: edges off by a twentieth of the radius settle to 1e-9 of it
FLAT = 1e-12  # [m]; an edge that runs so level has its middle there

Number = float | Array


def tilted_tips(distance: Number, outer: Number, tilt: Number) -> tuple[Array, Array]:
    """Return where a plane tilted about its middle leaves a circle: y+ and y- [m].

    y = [-d T ± sqrt(r²(1 + T²) - d²)]/(1 + T²), T = tan(tilt) [fit]. With the cut's distance from
    the bend's axis and R + a they are the tips of an opening; with its offset and a, its sides.

    >>> up, down = tilted_tips(0.10795, 0.127, math.radians(0.5))
    >>> round(float(up) * 1e3, 4), round(float(down) * 1e3, 4)
    (65.9635, -67.8475)
    """
    slope = np.tan(tilt)
    spread = 1.0 + slope**2
    half = np.sqrt(np.square(outer) * spread - np.square(distance))
    middle = -np.asarray(distance) * slope
    return (middle + half) / spread, (middle - half) / spread


def step_per_depth(normal: npt.ArrayLike) -> Array:
    """Return the step normal to the outline for one of depth: n/sqrt(1 - n²) [fit].

    `normal` is the part of the wall's unit normal that stands on the cut.

    >>> step_per_depth([0.0, 0.6]).round(2).tolist()
    [0.0, 0.75]
    """
    n = np.asarray(normal, float)
    return np.asarray(n / np.sqrt((1.0 - n) * (1.0 + n)))


class Wall(Protocol):
    """A round wall as a cut's plane sees it."""

    @property
    def radius(self) -> Number:
        """Radius of the wall [m]."""

    def across(self, t: Array, z: Array) -> tuple[Array, Array, Array, Array]:
        """Return how far a point of the plane is from the tube's axis.

        In the bend's plane [m], up [m], and the change of the first with t and with z.
        """


class StraightWall(NamedTuple):
    """A straight tube: `offset` of the plane's origin from its axis [m], and its slopes.

    The distance in the leg's plane grows by `per_t` along the cut and by `per_z` up it; height
    grows by `rise` up it, the cosine of the lean.

    >>> leg = StraightWall(0.03175, 0.01, math.sin(0.4))
    >>> float(leg.across(np.array(0.05), np.array(0.0))[0].round(6))
    0.029471
    """

    radius: Number
    offset: Number
    per_t: Number
    per_z: Number = 0.0
    rise: Number = 1.0

    def across(self, t: Array, z: Array) -> tuple[Array, Array, Array, Array]:
        """Return distances from the axis and their slopes, as `Wall` says."""
        w = self.offset + self.per_t * t + self.per_z * z
        up = z * self.rise
        return w, up, np.broadcast_to(self.per_t, w.shape), np.broadcast_to(self.per_z, w.shape)


class BentWall(NamedTuple):
    """A bend with straight ends, cut by the plane x = plane + y tan(slant) + z tan(lean).

    `clr`, `radius` of the wall, `plane` from the bend's axis [m]; `end` and `start` the bend angles
    from the middle to its straight ends, for y more and less than zero [rad].

    >>> bend = BentWall(0.03175, 0.09525, 0.10795)
    >>> w = bend.across(np.array(0.0), np.array(0.0))[0]
    >>> round(float(w), 5)
    0.0127
    """

    radius: Number
    clr: float
    plane: Number
    slant: Number = 0.0
    lean: Number = 0.0
    end: Number = math.pi
    start: Number = math.pi

    def across(self, t: Array, z: Array) -> tuple[Array, Array, Array, Array]:
        """Return distances from the axis and their slopes, as `Wall` says."""
        y = t * np.cos(self.slant)
        x = self.plane + t * np.sin(self.slant) + z * np.sin(self.lean)
        side = np.where(y < 0.0, -1.0, 1.0)
        turn = np.where(y < 0.0, self.start, self.end)
        r = np.hypot(x, y)
        bent = np.arctan2(np.abs(y), x) < turn
        along_x = np.where(bent, x / r, np.cos(turn))
        along_y = np.where(bent, y / r, side * np.sin(turn))
        w = np.where(bent, r, x * np.cos(turn) + np.abs(y) * np.sin(turn)) - self.clr
        per_t = along_x * np.sin(self.slant) + along_y * np.cos(self.slant)
        return w, z * np.cos(self.lean), per_t, along_x * np.sin(self.lean)


class Outline(NamedTuple):
    """Stations on the edge of a wall as drawn [m], and the normals there, in the cut's plane."""

    t: Array
    z: Array
    normal_t: Array
    normal_z: Array


def outline(wall: Wall, t: npt.ArrayLike, z: npt.ArrayLike) -> Outline:
    """Return the outline through points of the edge of `wall`, with its outward normals.

    >>> edge = outline(StraightWall(0.03, 0.0, 0.6), [0.0, 0.05], [0.03, 0.0])
    >>> edge.normal_t.tolist(), edge.normal_z.tolist()
    ([0.0, 1.0], [1.0, 0.0])
    """
    at, up = np.asarray(t, float), np.asarray(z, float)
    w, height, per_t, per_z = wall.across(at, up)
    normal_t, normal_z = w * per_t, w * per_z + height
    size = np.hypot(normal_t, normal_z)
    return Outline(at, up, normal_t / size, normal_z / size)


def reach(wall: Wall, edge: Outline) -> Array:
    """Return how far outside the drawn edge the edge of `wall` lies, along the normals [m].

    Exact: Newton's method on the distance from the tube's axis. [n, m] for samples at stations.

    >>> drawn = StraightWall(0.03, 0.0, 0.6)
    >>> edge = outline(drawn, [0.05], [0.0])
    >>> round(float(reach(drawn._replace(offset=-0.0003), edge)[0]), 6)  # 0.3 mm over 0.6
    0.0005
    """
    found = np.zeros(np.broadcast_shapes(np.shape(wall.radius), edge.t.shape))
    for _ in range(STEPS):
        t, z = edge.t + found * edge.normal_t, edge.z + found * edge.normal_z
        w, up, per_t, per_z = wall.across(t, z)
        size = np.hypot(w, up)
        rise = up * edge.normal_z + w * (per_t * edge.normal_t + per_z * edge.normal_z)
        found = found - (size - wall.radius) * size / rise
    return np.asarray(found)


def open_gap(*faces: Array) -> Array:
    """Return the widest gap [n] when faces are drawn together until they first touch [m].

    Each of `faces` [n, m] is how far apart a part of them stands at its stations, before that.

    >>> open_gap(np.array([[0.0, 1.0, 3.0]]), np.array([[-1.0]])).tolist()
    [4.0]
    """
    highest = np.max([np.max(face, axis=-1) for face in faces], axis=0)
    return np.asarray(highest - np.min([np.min(face, axis=-1) for face in faces], axis=0))


def round_wedge(od: Number, first: Number, second: Number) -> Array:
    """Return the widest gap [n] between round faces at an angle: D hypot(tan, tan) [fit].

    `first` and `second` [rad] are how far they lean apart about two axes square to each other.

    >>> round(float(round_wedge(0.0635, math.radians(1), 0.0)) * 1e3, 3)
    1.108
    """
    return np.asarray(od * np.hypot(np.tan(first), np.tan(second)))


class Seat(NamedTuple):
    """A notched tube on its primary, seated until it touches; arrays [n, m] round the tube.

    `axial` gap along the tube and `normal` gap, the shortest way to the primary's wall [m]; `out`
    [n] is how far the tube stands out along its axis for it [m].
    """

    axial: Array
    normal: Array
    out: Array


class Seating(NamedTuple):
    """How a tube sits on its primary: radii of the walls, angle, offset [m, rad]; `twist` [rad].

    The twist turns the tube about its own axis.
    """

    primary: Number
    rho: Number
    angle: Number
    offset: Number = 0.0
    twist: Number = 0.0

    def meets_at(self, clock: Array) -> Array:
        """Return how far from the primary's axis the tube's lines meet it [m]; -inf: they miss.

        s = [sqrt(A² - (rho sin c + e)²) + rho cos c cos g]/sin g [saddle].
        """
        side = self.rho * np.sin(clock + self.twist) + self.offset
        room = np.square(self.primary) - np.square(side)
        lean = self.rho * np.cos(clock + self.twist) * np.cos(self.angle)
        met = (np.sqrt(np.maximum(room, 0.0)) + lean) / np.sin(self.angle)
        return np.asarray(np.where(room < -(FLAT**2), -np.inf, met))


def seated(notch: Array, clock: Array, at: Seating) -> Seat:
    """Return the gaps of a tube notched to `notch` [m] at each `clock` [rad], seated `at`.

    `notch` is the ordinate `meets_at` that it was cut to, [m] or [n, m].

    >>> clock = np.linspace(-math.pi, math.pi, 361)
    >>> notch = Seating(0.03175, 0.0254, math.pi / 2).meets_at(clock)
    >>> twisted = Seating(0.03175, 0.0254, math.pi / 2, twist=math.radians(1))
    >>> round(float(seated(notch, clock, twisted).axial.max()) * 1e3, 3)
    0.443
    """
    meets = at.meets_at(clock)
    out = np.max(meets - notch, axis=-1)
    edge = notch + out[..., None]
    axial = np.where(np.isfinite(meets), edge - meets, 0.0)
    side = at.rho * np.sin(clock + at.twist) + at.offset
    lean = at.rho * np.cos(clock + at.twist) * np.cos(at.angle)
    normal = np.hypot(edge * np.sin(at.angle) - lean, side) - at.primary
    return Seat(axial, normal, out)
