"""Pieces with sawn faces as clouds of points on their real surfaces: the fit by brute force.

Knows nothing of the package. A tube is swept along its path, a cut is a plane turned by rotation
matrices, its edge is found point by point by halving intervals, pieces are brought round by half
turns. How far faces stand apart and edges step off each other is then measured on the points. m.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np

X, Y, Z = np.eye(3)
Surface = Callable[[Any, Any], Any]  # (way along, turn round the tube) -> points [n, 3]
DENSE = 2000  # points round an edge
FAR = 0.5


def turned(points: Any, axis: Any, angle: float, about: Any = (0.0, 0.0, 0.0)) -> Any:
    """Rodrigues' rotation of points [n, 3] about a line."""
    axis = np.asarray(axis, float) / np.linalg.norm(axis)
    p = np.asarray(points, float) - about
    cross, along = np.cross(axis, p), np.outer(p @ axis, axis).reshape(p.shape)
    return about + p * math.cos(angle) + cross * math.sin(angle) + along * (1 - math.cos(angle))


class Plane(NamedTuple):
    """A sawn face: a point on it and its normal."""

    point: Any
    normal: Any

    def turned(self, axis: Any, angle: float, about: Any = (0.0, 0.0, 0.0)) -> Plane:
        """Return it rotated about a line."""
        return Plane(turned(self.point, axis, angle, about), turned(self.normal, axis, angle))

    def moved(self, by: Any) -> Plane:
        return Plane(np.asarray(self.point) + by, self.normal)

    def level(self, points: Any) -> Any:
        """Signed distance of points from it."""
        return (points - self.point) @ self.normal

    def along(self, points: Any, direction: Any) -> Any:
        """How far points are from it in a direction."""
        return -self.level(points) / (np.asarray(direction) @ self.normal)


def bend(clr: float, radius: float, end: float) -> Surface:
    """A bend about z through the origin, its middle on x, with straight ends past `end`."""

    def at(way: Any, turn: Any) -> Any:
        angle = np.clip(way / clr, -end, end)
        past = way - angle * clr
        out = clr + radius * np.cos(turn)
        x = out * np.cos(angle) - past * np.sin(angle)
        y = out * np.sin(angle) + past * np.cos(angle)
        return np.stack([x, y, radius * np.sin(turn) + 0.0 * x], axis=-1)

    return at


def leg(radius: float, angle: float) -> Surface:
    """A straight tube through the origin that leaves the joint at `angle` to y, to minus x."""
    axis = np.array([-math.sin(angle), math.cos(angle), 0.0])
    side = np.array([math.cos(angle), math.sin(angle), 0.0])

    def at(way: Any, turn: Any) -> Any:
        ring = np.multiply.outer(radius * np.cos(turn), side)
        return ring + np.multiply.outer(radius * np.sin(turn), Z) + np.multiply.outer(way, axis)

    return at


def edge(surface: Surface, cut: Plane, start: float, stop: float) -> Any:
    """Points where the surface meets the plane between two places of its way [n, 3].

    Where only some lines along the tube meet it they are those of one range, and its points crowd
    towards the range's ends, where the edge runs square to the lines.
    """
    turn = np.linspace(-math.pi, math.pi, 720, endpoint=False)
    meets = _meets(surface, cut, start, stop, turn)
    if meets.all():
        turn = np.linspace(-math.pi, math.pi, 3 * DENSE, endpoint=False)  # evenly
    else:
        inside = turn[meets]
        ends = [
            _last(surface, cut, start, stop, x, d) for x, d in ((inside[0], -1), (inside[-1], 1))
        ]
        middle, half = (ends[0] + ends[1]) / 2.0, (ends[1] - ends[0]) / 2.0
        turn = middle + half * np.sin(np.linspace(-math.pi / 2, math.pi / 2, DENSE))
        turn = turn[_meets(surface, cut, start, stop, turn)]
    low, high = np.full(turn.size, start), np.full(turn.size, stop)
    first = cut.level(surface(low, turn)) > 0.0
    for _ in range(48):
        middle = (low + high) / 2.0
        same = (cut.level(surface(middle, turn)) > 0.0) == first
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    return surface(low, turn)


def _meets(surface: Surface, cut: Plane, start: float, stop: float, turn: Any) -> Any:
    level = [cut.level(surface(np.full(turn.size, way), turn)) > 0.0 for way in (start, stop)]
    return level[0] != level[1]


def _last(surface: Surface, cut: Plane, start: float, stop: float, turn: float, side: int) -> float:
    """The last turn from `turn` to one side whose line meets the plane."""
    inside, outside = turn, turn + side * 0.01
    for _ in range(48):
        middle = (inside + outside) / 2.0
        met = _meets(surface, cut, start, stop, np.array([middle]))[0]
        inside, outside = (middle, outside) if met else (inside, middle)
    return inside


class Piece(NamedTuple):
    """A sawn face of a piece and the points of its edge."""

    cut: Plane
    points: Any

    def placed(self, axis: Any, angle: float = math.pi) -> Piece:
        """Return the piece brought round by a turn about a line through the origin."""
        return Piece(self.cut.turned(axis, angle), turned(self.points, axis, angle))

    def moved(self, by: Any) -> Piece:
        """Return the piece pushed along."""
        return Piece(self.cut.moved(by), self.points + by)


def gaps(first: Piece, second: Piece, direction: Any) -> Any:
    """How far the second face stands off each point of the first's edge, along a direction."""
    return second.cut.along(first.points, direction)


def opened(*stand: Any) -> float:
    """The widest gap when faces are pushed together until they touch."""
    every = np.concatenate(stand)
    return float(every.max() - every.min())


def stepped(first: Piece, second: Piece, direction: Any) -> float:
    """The largest way from a point of the first's edge to the nearest of the second's, seen along.

    Points of the first beyond the ends of the second have no neighbour: leave them out before.
    """
    from scipy.spatial import cKDTree

    keep = [n for n in range(3) if abs(np.asarray(direction)[n]) < 0.5]
    found, _ = cKDTree(second.points[:, keep]).query(first.points[:, keep])
    return float(found.max())


def end_of(lengths: list[tuple[float, float, float]]) -> Any:
    """End of a path of (length, turn in, turn out) pieces that starts along y: x to the left.

    Integrated in short steps; every piece turns evenly from one heading to the other.
    """
    at = np.zeros(2)
    for length, first, last in lengths:
        heading = np.linspace(first, last, 4001)
        middle = (heading[1:] + heading[:-1]) / 2.0
        at = at + length * np.array([-np.sin(middle).mean(), np.cos(middle).mean()])
    return at
