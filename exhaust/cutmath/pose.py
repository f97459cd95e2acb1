"""A piece as it sits in the saw: shapes to scale, ready to draw. Plain SI coordinates [m]."""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]  # (n, 2) [m]
MIRRORS = (np.array([1.0, 1.0]), np.array([-1.0, 1.0]))  # a side of a joint, and the other
Role = Literal["kept", "waste", "blade", "stop", "deck", "centre"]


class Shape(NamedTuple):
    """A polyline or a closed area, and what it stands for."""

    role: Role
    points: Points
    closed: bool = True


class Measure(NamedTuple):
    """A dimension line along `path`, straight or curved; `value` [m] is what it reads.

    `feet` are the points it measures between, where the line itself stands off.
    """

    path: Points
    value: float
    label: str = ""
    feet: Points | None = None


def across(start: tuple[float, float], end: tuple[float, float]) -> Points:
    """Return a straight path from `start` to `end`."""
    return np.array([start, end])


class Note(NamedTuple):
    """A word at a place, with a line from `at` to `points_to` when given."""

    at: tuple[float, float]
    text: str
    points_to: tuple[float, float] | None = None


class Pose(NamedTuple):
    """One view of one piece in the saw."""

    title: str
    seen_from: str
    shapes: tuple[Shape, ...]
    measures: tuple[Measure, ...]
    notes: tuple[Note, ...]

    def turned(self, angle: float) -> Pose:
        """Return the pose turned by `angle` [rad] about the origin."""
        c, s = math.cos(angle), math.sin(angle)
        matrix = np.array([[c, s], [-s, c]])

        def turn(point: tuple[float, float]) -> tuple[float, float]:
            x, y = np.array(point) @ matrix
            return float(x), float(y)

        def turned_measure(m: Measure) -> Measure:
            feet = None if m.feet is None else m.feet @ matrix
            return m._replace(path=m.path @ matrix, feet=feet)

        def turned_note(n: Note) -> Note:
            target = None if n.points_to is None else turn(n.points_to)
            return n._replace(at=turn(n.at), points_to=target)

        return self._replace(
            shapes=tuple(shape._replace(points=shape.points @ matrix) for shape in self.shapes),
            measures=tuple(turned_measure(measure) for measure in self.measures),
            notes=tuple(turned_note(note) for note in self.notes),
        )


def arc(radius: float, start: float, end: float, count: int = 61) -> Points:
    """Return an arc about the bend's centre; angles [rad] are from the middle of the bend.

    The middle of the bend points up (+y), its ends to the left and right.
    """
    angles = np.linspace(start, end, count)
    return np.column_stack((radius * np.sin(angles), radius * np.cos(angles)))


class BendView(NamedTuple):
    """A bend seen square to its plane, heel up, its centre at the origin."""

    clr: float
    radius: float  # outside radius of the tube
    left: float  # angle to the left end [rad]
    right: float  # angle to the right end [rad]
    left_straight: float = 0.0
    right_straight: float = 0.0

    def end(self, radius: float, side: int) -> tuple[float, float]:
        """Return the corner at `radius` of the end on `side` (-1 left, +1 right)."""
        angle, straight = (
            (self.right, self.right_straight) if side > 0 else (self.left, self.left_straight)
        )
        s, c = math.sin(angle), math.cos(angle)
        return side * (radius * s + straight * c), radius * c - straight * s

    def outline(self) -> Points:
        """Return the closed outline, anticlockwise from the left heel corner."""
        outer, inner = self.clr + self.radius, self.clr - self.radius
        heel = arc(outer, -self.left, self.right)
        throat = arc(inner, self.right, -self.left)
        corners = [
            np.array([self.end(outer, 1), self.end(inner, 1)]),
            np.array([self.end(inner, -1), self.end(outer, -1)]),
        ]
        return np.vstack((heel, corners[0], throat, corners[1]))

    def centreline(self) -> Points:
        """Return the centreline from end to end."""
        ends = np.array([self.end(self.clr, -1)]), np.array([self.end(self.clr, 1)])
        return np.vstack((ends[0], arc(self.clr, -self.left, self.right), ends[1]))

    def sliced(self, depth: float) -> tuple[Points, Points]:
        """Return (kept, slug): the outline below and above a cut square to the middle.

        `depth` [m] is from the heel at mid-bend to the cut. A cut that runs onto the straight
        ends meets them where it should.
        """
        level = self.clr + self.radius - depth
        outline = self.outline()
        return clipped(outline, level, keep_below=True), clipped(outline, level, keep_below=False)


def clipped(outline: Points, level: float, keep_below: bool) -> Points:
    """Return the part of a closed outline on one side of the line y = `level`."""
    sign = 1.0 if keep_below else -1.0
    kept: list[tuple[float, float]] = []
    for here, ahead in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        inside, next_inside = sign * (level - here[1]) >= 0, sign * (level - ahead[1]) >= 0
        if inside:
            kept.append((float(here[0]), float(here[1])))
        if inside != next_inside:
            share = (level - here[1]) / (ahead[1] - here[1])
            kept.append((float(here[0] + share * (ahead[0] - here[0])), level))
    return np.array(kept)


def box(left: float, bottom: float, right: float, top: float) -> Points:
    """Return the corners of an upright rectangle."""
    return np.array([(left, bottom), (right, bottom), (right, top), (left, top)])


def halves_of_ring(outer: float, inner: float, level: float) -> tuple[Points, Points]:
    """Return the wall of a tube, in section, below and above the line y = `level`.

    Each circle of the lower part starts just after the gap that the cut leaves in it.
    """
    below, above = [], []
    for circle in (arc(outer, -math.pi, math.pi, 181), arc(inner, math.pi, -math.pi, 181)):
        inside = circle[:, 1] <= level
        start = int(inside[: int(np.argmin(inside))].sum())
        below.append(np.roll(circle[inside], -start, axis=0))
        above.append(circle[~inside])
    return np.vstack(below), np.vstack(above)


def cut_faces(outer: float, inner: float, level: float) -> list[Shape]:
    """Return both sides' walls where two tubes, each cut at `level`, close on the seam, x = 0.

    >>> [len(shape.points) for shape in cut_faces(0.03, 0.028, 0.01)]
    [222, 222]
    """
    kept, _ = halves_of_ring(outer, inner, level)
    side = np.column_stack((level - kept[:, 1], kept[:, 0]))
    return [Shape("kept", side * mirror) for mirror in MIRRORS]


def middle_of(points: Points) -> tuple[float, float]:
    """Return the mean of some points, where a word about them can stand.

    >>> middle_of(across((0.0, 0.0), (2.0, 4.0)))
    (1.0, 2.0)
    """
    x, y = points.mean(axis=0)
    return float(x), float(y)
