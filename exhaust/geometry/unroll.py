"""Outlines of cuts rolled flat, to wrap round a tube, and ordinates of a cut on a bend.

An outline is where a cut runs on the outside of a tube: arc round the tube from its clock angle
0, height along it. Paper has a thickness, and its middle keeps its length: the arc is
clock (radius + paper/2), once round pi (diameter + paper), whatever the radius the height
belongs to.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from exhaust.errors import broken
from exhaust.geometry.elbow import SlicedElbow
from exhaust.geometry.saddle import Array, Crossing, Saddle, clock_angles, hole, mm
from exhaust.geometry.saddle_edge import edge_at


class Outline(NamedTuple):
    """A cut rolled flat [m]: `arc` round the tube and `height` along it, one for each point."""

    arc: Array
    height: Array


def wrap_length(radius: float, paper: float = 0.0) -> float:
    """Return the length of a sheet that goes once round a tube [m], pi (d + paper) [unrolled].

    `radius` of the tube's outside and thickness of the `paper` [m].

    >>> round(wrap_length(0.0254) * 1e3, 3), round(wrap_length(0.0254, 0.0003) * 1e3, 3)
    (159.593, 160.535)
    """
    if not 0.0 < radius < math.inf:
        raise broken("must be more than zero", mm(radius)).named("radius")
    if not 0.0 <= paper < radius:
        raise broken("must be between zero and the tube's radius", mm(paper)).named("paper")
    return math.pi * (2.0 * radius + paper)


def wrapped(outline: Outline, radius: float, paper: float = 0.0) -> Array:
    """Return an outline wrapped back on its tube: points x, y, z [n, 3] in m, z along the tube.

    Clock angle 0 is on x. `radius` and `paper` as the outline was made with.

    >>> flat = mitre_outline(0.03175, math.radians(30), [0.0, math.pi / 2])
    >>> (wrapped(flat, 0.03175) * 1e3).round(3).tolist()
    [[31.75, 0.0, -18.331], [0.0, 31.75, -0.0]]
    """
    clock = np.asarray(outline.arc) * (2.0 * math.pi / wrap_length(radius, paper))
    around = (radius * np.cos(clock), radius * np.sin(clock))
    return np.column_stack([*around, np.asarray(outline.height)])


def _rolled(radius: float, paper: float, clock: Array, height: Array) -> Outline:
    return Outline(clock * (wrap_length(radius, paper) / (2.0 * math.pi)), height)


def mitre_outline(radius: float, mitre: float, clock: npt.ArrayLike, paper: float = 0.0) -> Outline:
    """Return a flat cut `mitre` [rad] from square: a sinusoid, -a cos c tan(mitre) [unrolled].

    `radius` of the outside [m]; the tube that is kept runs to larger heights, and is longest at
    clock angle 0. Height 0 is where the cut meets the tube's axis.

    >>> flat = mitre_outline(0.03175, math.radians(22.5), [0.0, math.pi / 2, math.pi])
    >>> (flat.height * 1e3).round(3).tolist()
    [-13.151, -0.0, 13.151]
    """
    at = clock_angles(clock)
    return _rolled(radius, paper, at, -radius * np.cos(at) * math.tan(_mitre(mitre)))


def _mitre(mitre: float) -> float:
    if not abs(mitre) < math.pi / 2.0:
        got = f"{math.degrees(mitre):.6g} deg"
        raise broken("must be less than 90 deg from square", got).named("mitre")
    return mitre


class HeelCut(NamedTuple):
    """Two flat cuts on the end of a straight leg that meet in a corner.

    `radius` of the outside [m]; `mitre` of the end face from square [rad]; `lean` of the flat
    along the side to the leg's axis [rad], half of the included angle; `cutback` g, the share of
    the mitre ellipse's long axis that the flat takes off. Measured square to the leg it is the
    same share of the diameter.
    """

    radius: float
    mitre: float
    lean: float
    cutback: float

    @property
    def offset(self) -> float:
        """Distance of the corner from the leg's axis [m], a (1 - 2g), at every radius."""
        return self.radius * (1.0 - 2.0 * self.cutback)


def heel_corner(cut: HeelCut) -> float:
    """Return the clock angle of the corner, either side of the heel line [rad].

    cos c = 1 - 2g on the outside [unrolled].

    >>> cut = HeelCut(0.03175, math.radians(30), math.radians(30), 1 / 3)
    >>> round(math.degrees(heel_corner(cut)), 3)
    70.529
    """
    if not 0.0 < cut.cutback < 1.0:
        raise broken("must be between 0 and 1", f"{cut.cutback:g}").named("cutback")
    if not 0.0 < cut.lean < math.pi / 2.0:
        got = f"{math.degrees(cut.lean):.6g} deg"
        raise broken("must be between 0 and 90 deg", got).named("lean")
    return math.acos(1.0 - 2.0 * cut.cutback)


def heel_outline(cut: HeelCut, clock: npt.ArrayLike, paper: float = 0.0) -> Outline:
    """Return the end of a leg mitred and sliced along its heel: the higher of two sinusoids.

    Mitre -a cos c tan(mitre); flat (a cos c - w)/tan(lean) - w tan(mitre), w = a (1 - 2g)
    [unrolled]. Clock angle 0 is the heel line, in the middle of the flat; the leg runs to larger
    heights from where the mitre meets its axis.

    >>> cut = HeelCut(0.03175, math.radians(30), math.radians(30), 1 / 3)
    >>> flat = heel_outline(cut, [0.0, heel_corner(cut), math.pi])
    >>> (flat.height * 1e3).round(3).tolist()
    [30.551, -6.11, 18.331]
    """
    heel_corner(cut)  # refuses a lean or a cutback that cannot be
    at = clock_angles(clock)
    end = mitre_outline(cut.radius, cut.mitre, at, paper)
    rise = cut.radius * np.cos(at) - cut.offset
    flat = rise / math.tan(cut.lean) - cut.offset * math.tan(cut.mitre)
    return end._replace(height=np.maximum(end.height, flat))


def saddle_outline(
    saddle: Saddle, clock: npt.ArrayLike, edge: str = "saddle", paper: float = 0.0
) -> Outline:
    """Return the notch of a tube that sits on a primary, heights from the primary's axis.

    `edge` says how the edge is made and with it which radius of the wall the height belongs to,
    as in `saddle_edge.edge_at`; the arc is the outside's in every case. Clock angle 0 is the side
    towards the primary's y; the tube runs to larger heights.

    >>> flat = saddle_outline(Saddle(0.03175, 0.001651, 0.0254, 0.001651), [0.0, math.pi / 2])
    >>> (flat.arc * 1e3).round(3).tolist(), (flat.height * 1e3).round(3).tolist()
    ([0.0, 39.898], [31.75, 19.05])
    """
    at = clock_angles(clock)
    return _rolled(saddle.radius, paper, at, edge_at(saddle, at, edge))


def hole_outline(crossing: Crossing, clock: npt.ArrayLike, paper: float = 0.0) -> Outline:
    """Return the hole in a primary, to wrap round the primary.

    `crossing` is `saddle.hole` for a hole to the tube's inside, `saddle.outside` for the tube's
    own footprint. `clock` goes round the tube; arc (A + paper/2) asin((rho sin c + e)/A), from the
    side that faces the tube, and height along the primary from the crossing of the axes [saddle].

    >>> flat = hole_outline(Crossing(0.03175, 0.023749), [0.0, math.pi / 2])
    >>> (flat.arc * 1e3).round(3).tolist(), (flat.height * 1e3).round(3).tolist()
    ([0.0, 26.83], [23.749, 0.0])
    """
    turn, y = hole(crossing, clock)
    return _rolled(crossing.primary, paper, turn, y)


class BendOrdinates(NamedTuple):
    """Where a flat cut on a bend meets the outer wall, one for each clock position.

    `clock` round the section from the heel line [rad]; `angle` turned from the middle of the bend,
    the bend's end where the cut is on the straight [rad]; distances from the middle [m]:
    `along_heel` on the heel line and `along_centreline` at the same section, `along_wall` on the
    wall at that clock position; `on_straight` how far past the bend's end. Nan where the cut
    misses the wall.
    """

    clock: Array
    angle: Array
    along_heel: Array
    along_centreline: Array
    along_wall: Array
    on_straight: Array


def cut_clock(elbow: SlicedElbow) -> float:
    """Return the clock angle from the heel line at which the cut's sides are [rad].

    cos b = 1 - 2f, at the middle of the bend; the cut misses the wall from there on [spiric].

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> round(math.degrees(cut_clock(elbow)), 3)
    66.422
    """
    return math.acos(elbow.offset / elbow.radius)


def bend_ordinates(elbow: SlicedElbow, clock: npt.ArrayLike) -> BendOrdinates:
    """Return where the cut of a sliced bend meets its outer wall at clock angles `clock` [rad].

    At r = R + a cos b from the bend's axis, cos(angle) = plane/r; past the bend's end the line
    goes on straight, (r cos theta - plane)/sin theta [spiric]. Both ways from the middle alike.

    >>> elbow = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 0.3)
    >>> table = bend_ordinates(elbow, np.radians([0.0, 30.0, 60.0, 90.0]))
    >>> (table.along_heel * 1e3).round(2).tolist()
    [70.46, 63.0, 30.43, nan]
    """
    at = clock_angles(clock)
    theta = elbow.half_angle
    distance = elbow.clr + elbow.radius * np.cos(at)
    met = distance >= elbow.plane
    far = np.where(met, distance, elbow.plane)
    turned = np.arctan2(np.sqrt((far - elbow.plane) * (far + elbow.plane)), elbow.plane)
    past = np.maximum(far * math.cos(theta) - elbow.plane, 0.0) / math.sin(theta)
    turned = np.where(past > 0.0, theta, turned)
    columns = (
        turned,
        (elbow.clr + elbow.radius) * turned + past,
        elbow.clr * turned + past,
        far * turned + past,
        past,
    )
    return BendOrdinates(at, *(np.where(met, column, math.nan) for column in columns))
