"""Two sawn faces that meet along a joint: bends with the heel sliced, straight legs."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from exhaust.geometry import fit
from exhaust.geometry.elbow import SlicedElbow
from exhaust.geometry.fit import BentWall, Number, Outline, StraightWall, Wall
from exhaust.geometry.quadrature import Array
from exhaust.geometry.splayed import MitredLeg

STATIONS = 19  # from one side of the opening round its tip to the other


class Face(NamedTuple):
    """A sawn face: the wall that it cuts, and how its plane leans off the drawing's [rad]."""

    wall: Wall
    slant: Number
    lean: Number


class Meeting(NamedTuple):
    """Two faces along a seam: how far `apart` at each station [n, m], and the worst `step` [n]."""

    apart: Array
    step: Array


def meeting(first: Face, second: Face, edge: Outline) -> Meeting:
    """Return how two faces meet along the edge as drawn, neither yet drawn together.

    >>> face = Face(StraightWall(np.array([[0.03]]), 0.01, 0.4), 0.01, 0.0)
    >>> met = meeting(face, face, leg_edge(0.03, 0.01, 0.4))
    >>> round(float(np.ptp(met.apart)) * 1e3, 3), bool(met.step[0] < 1e-12)  # run-out 50 mm
    (1.0, True)
    """
    outside, other = (fit.reach(face.wall, edge) for face in (first, second))
    t, z = edge.t + outside * edge.normal_t, edge.z + outside * edge.normal_z
    y, up = t * np.cos(first.slant), z * np.cos(first.lean)
    apart = y * (np.tan(first.slant) + np.tan(second.slant)) + up * (
        np.tan(first.lean) + np.tan(second.lean)
    )
    return Meeting(-apart, np.asarray(np.max(np.abs(outside - other), axis=-1)))


def leg_edge(radius: float, offset: float, sine: float) -> Outline:
    """Return the edge of a straight leg along the joint, from its corner out.

    >>> round(float(leg_edge(0.03, 0.01, 0.4).t.max()), 9)
    0.05
    """
    last = math.acos(offset / radius)
    turn = np.linspace(-last, last, STATIONS)
    t = (radius * np.cos(turn) - offset) / sine
    return fit.outline(StraightWall(radius, offset, sine), t, radius * np.sin(turn))


def bend_edge(cut: SlicedElbow, start: float | None = None) -> Outline:
    """Return the edge of a sliced bend: of one end, or with `start` of both.

    `start` is the bend angle to the other end's straight [rad].

    >>> cut = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> edge = bend_edge(cut, math.pi / 4)
    >>> round(float(edge.t.max() - edge.t.min()) * 1e3, 3)
    133.803
    """
    last = math.acos(cut.offset / cut.radius)
    turn = np.linspace(-last, last, STATIONS)
    r = cut.clr + cut.radius * np.cos(turn)
    up = cut.radius * np.sin(turn)
    parts = []
    for side, angle in ((1.0, cut.half_angle), (-1.0, start)):
        if angle is None:
            continue
        t = np.sqrt(np.maximum(r**2 - cut.plane**2, 0.0))
        beyond = t > cut.plane * math.tan(angle) if angle < math.pi / 2 else np.zeros(t.shape, bool)
        straight = (r - cut.plane * math.cos(angle)) / math.sin(angle)
        parts.append(side * np.where(beyond, straight, t))
    end = start if start is not None else cut.half_angle
    wall = BentWall(cut.radius, cut.clr, cut.plane, end=cut.half_angle, start=end)
    return fit.outline(wall, np.concatenate(parts), np.tile(up, len(parts)))


class BendSlips(NamedTuple):
    """How one sliced bend is off: arrays [n, 1] or nought [m, rad]."""

    depth: Number
    slant: Number
    lean: Number
    roll: Number
    od: Number
    angle: Number  # of the whole bend


def bend_face(cut: SlicedElbow, off: BendSlips, start: float | None = None) -> Face:
    """Return the face of a bend whose slice is `off`, the bend itself held true.

    A bend that rolls against the stop is cut to its depth, but askew: the plane turns about the
    bend's axis. A blade that slants turns it about the middle of the cut.
    """
    plane = sliced_at(cut, off)
    slant = off.slant + off.roll
    other = cut.half_angle if start is None else start
    wall = BentWall(
        cut.radius + off.od / 2.0,
        cut.clr,
        plane,
        slant,
        off.lean,
        cut.half_angle + off.angle / 2.0,
        other + off.angle / 2.0,
    )
    return Face(wall, slant, off.lean)


def sliced_at(cut: SlicedElbow, off: BendSlips) -> Number:
    """Return where the plane of a slice meets the bend's middle, from its axis [m]."""
    middle = cut.clr + cut.radius + off.od / 2.0 - cut.depth - off.depth
    return middle * np.cos(off.slant) / np.cos(off.slant + off.roll)


class LegSlips(NamedTuple):
    """How one mitred leg is off: arrays [n, 1] or nought [m, rad]."""

    depth: Number  # of the long cut: its kept width is less by it
    mitre: Number  # more than it should be
    mitre_lean: Number
    slant: Number  # of the long cut to the mitre's face
    lean: Number
    clocking: Number
    od: Number


class Leg(NamedTuple):
    """A mitred leg and how it is `off`; `kept` width that the long cut is set to [m]."""

    drawn: MitredLeg
    kept: Number
    off: LegSlips

    @property
    def radius(self) -> Number:
        """Radius of the wall [m]."""
        return self.drawn.radius + self.off.od / 2.0

    @property
    def mitre(self) -> Number:
        """Mitre as sawn [rad]."""
        return self.drawn.mitre + self.off.mitre

    @property
    def angle(self) -> Number:
        """Angle between the leg and its long cut as sawn [rad]: mitre's and cut's own errors."""
        return self.drawn.angle + self.off.mitre + self.off.slant

    @property
    def offset(self) -> Number:
        """Distance of the corner from the leg's axis [m]: kept width from the outer edge."""
        return (self.kept - self.off.depth) * np.cos(self.mitre) - self.radius

    @property
    def long_cut(self) -> Face:
        """The face along the joint, the leg held true; rolled by clocking, cos(angle) of it."""
        lean = self.off.lean + self.off.clocking * math.cos(self.drawn.angle)
        across = np.sin(lean) * math.cos(self.drawn.angle)
        wall = StraightWall(self.radius, self.offset, np.sin(self.angle), across, np.cos(lean))
        return Face(wall, self.off.mitre + self.off.slant, lean)

    def mitred(self, hand: int = 1) -> Face:
        """Return the mitre's face; the origin is the long cut. `hand` -1: it lies turned over."""
        lean = hand * self.off.mitre_lean
        across, rise = np.sin(lean) * np.sin(self.mitre), np.cos(lean)
        wall = StraightWall(self.radius, self.offset, np.cos(self.mitre), across, rise)
        return Face(wall, self.off.mitre, lean)

    def end_offset(self, length: float) -> Array:
        """Return how far the middle of the leg's end is from the long cut's plane [n, 1] [m]."""
        beyond = length + self.offset * np.tan(self.mitre)
        return np.asarray(self.offset * np.cos(self.angle) + beyond * np.sin(self.angle))


def mitre_edge(radius: float, offset: float, cosine: float, last: float = math.pi) -> Outline:
    """Return the edge of a sliced mitre face, from its corner round the outer edge and back.

    `last` [rad], from the outer edge, is where another face that is not its like ends before it.

    >>> round(-float(mitre_edge(0.03, 0.01, 0.9).t.min()), 6)  # its kept width
    0.044444
    """
    first = max(math.acos(offset / radius), math.pi - last)
    turn = np.linspace(first, 2.0 * math.pi - first, 2 * STATIONS - 1)
    t = (radius * np.cos(turn) - offset) / cosine
    return fit.outline(StraightWall(radius, offset, cosine), t, radius * np.sin(turn))
