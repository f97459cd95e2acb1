"""The finished joint as a solid: its tubes outside, less their bores.

Axes [mm]: y runs along the joint from entry to exit, x across it from one side to the other, z is
square to both; the origin is in the middle, of a merge in its outlet's face. Every tube is a true
cylinder or torus of round section and even wall; weld metal, and a merge's forming, are left out.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from build123d import (
    Align,
    Box,
    Circle,
    Cylinder,
    Edge,
    JernArc,
    Line,
    Plane,
    Vector,
    Wire,
    sweep,
)

from exhaust.errors import broken, typed
from exhaust.geometry import saddle
from exhaust.geometry.crossover import Quarter
from exhaust.joints import HPipe, Joint, ParallelToSplayedX, ParallelX, SplayedX, YMerge
from exhaust.joints.bent_end import BentEnd
from exhaust.joints.splayed_end import MitredEnd
from exhaust.stock import Tube

if TYPE_CHECKING:
    from build123d import Part, Shape

    Half = Callable[[float], Part]

MM = 1e3
FAR = 2e4  # [mm]; no joint is larger
METAL, GAS = "metal", "gas"


def body(joint: Joint, what: str) -> Shape[Any]:
    """Return the "metal" of a joint of any kind, or the "gas" that it holds, as a solid [mm].

    It is one piece where its parts touch; a split joint's gap leaves two of metal.
    """
    if isinstance(joint, HPipe):
        return _h_pipe(joint, what)
    if isinstance(joint, YMerge):
        return _y_merge(joint, what)
    entry, leaving = (_sliced(end, joint.tube, what) for end in _ends(joint))
    side = entry.mirror(Plane.XZ).fuse(leaving)
    return _both(side)


def _ends(joint: Joint) -> tuple[Half, Half]:
    """Return what one side is made of from the middle to the entry and to the exit."""
    if isinstance(joint, ParallelX):
        return _bent(joint.quarter), _bent(joint.quarter)
    if isinstance(joint, SplayedX):
        return _mitred(joint.entry), _mitred(joint.exit)
    if isinstance(joint, ParallelToSplayedX):
        leg = _butted(joint.leg) if isinstance(joint.leg, BentEnd) else _mitred(joint.leg)
        ends = _bent(joint.parallel.quarter), leg
        return ends if joint.parallel_end == "entry" else ends[::-1]
    raise broken("has no solid yet", typed(joint)).named("joint")


def _pipe(half: Half, tube: Tube, what: str) -> Shape[Any]:
    """Return a pipe's wall, or what its bore holds."""
    bore = half(tube.inside_diameter / 2.0 * MM)
    return bore if what == GAS else half(tube.od / 2.0 * MM).cut(bore)


def _sliced(half: Half, tube: Tube, what: str) -> Shape[Any]:
    """Return one end of one side, cut off at the joint's plane x = 0."""
    return _pipe(half, tube, what).cut(_beyond(Vector(0, 0, 0), Vector(1, 0, 0)))


def _both(side: Shape[Any]) -> Shape[Any]:
    """Return a side and its like, welded together; they touch in the joint's plane alone."""
    return side.fuse(side.mirror(Plane.YZ), glue=True)


def _beyond(origin: Vector, normal: Vector) -> Part:
    """Return the half space that `normal` points into, as a block."""
    return Plane(origin=origin, z_dir=normal) * Box(
        FAR, FAR, FAR, align=(Align.CENTER, Align.CENTER, Align.MIN)
    )


def _rod(start: Vector, way: Vector, radius: float, length: float) -> Part:
    upright = (Align.CENTER, Align.CENTER, Align.MIN)
    return Plane(origin=start, z_dir=way) * Cylinder(radius, length, align=upright)


def _bent(quarter: Quarter) -> Half:
    """Return a side from the middle out: half a bend, a straight, half a return bend, its end."""
    turns = [(quarter.clr, quarter.half_angle), (quarter.return_clr, -quarter.half_angle)]
    straights = (quarter.straight, quarter.end)
    return _swept(quarter.offset, [*zip(turns, straights, strict=True)])


def _butted(end: BentEnd) -> Half:
    leg = end.leg
    return _swept(leg.offset, [((leg.clr, leg.half_angle), leg.straight)])


def _swept(offset: float, parts: list[tuple[tuple[float, float], float]]) -> Half:
    """Return a side that starts `offset` from the joint's plane: bends (clr, turn) and straights.

    Lengths in [m], turns in [rad], the first outward.
    """
    edges: list[Edge] = []
    at, way = Vector(-offset * MM, 0, 0), Vector(0, 1, 0)
    for (clr, turn), straight in parts:
        if clr:
            edges.append(JernArc(at, way, clr * MM, math.degrees(turn)))
            at, way = edges[-1] @ 1, edges[-1] % 1
        if straight:
            edges.append(Line(at, at + way * straight * MM))
            at = edges[-1] @ 1
    start = Plane(origin=(-offset * MM, 0, 0), z_dir=(0, 1, 0))
    return lambda radius: sweep((start * Circle(radius)).face(), path=Wire(edges))


def _mitred(end: MitredEnd) -> Half:
    """Return a straight leg from its mitre's plane out."""
    leg = end.leg
    middle = Vector(-leg.plane * MM, 0, 0)
    way = Vector(-math.sin(leg.angle), math.cos(leg.angle), 0)
    square = Vector(-math.sin(leg.tilt), math.cos(leg.tilt), 0)
    behind = (2.0 * leg.radius * math.tan(leg.mitre) + leg.radius) * MM

    def half(radius: float) -> Part:
        whole = _rod(middle - way * behind, way, radius, behind + end.length * MM)
        return whole.cut(_beyond(middle, square * -1.0))

    return half


def _y_merge(joint: YMerge, what: str) -> Shape[Any]:
    legs = _both(_sliced(_bent(joint.quarter), joint.tube, what))
    if not joint.outlet_straight:
        return legs
    face, back, length = Vector(0, 0, 0), Vector(0, -1, 0), joint.outlet_straight * MM
    return legs.fuse(_pipe(lambda radius: _rod(face, back, radius, length), joint.outlet, what))


def _h_pipe(joint: HPipe, what: str) -> Shape[Any]:
    """Return primaries and balance tube; outside it goes to their axes, as does its bore."""
    lean, length = joint.splay / 2.0, joint.centreline_length * MM
    across = joint.balance_spacing / 2.0 * MM
    along, lifted = _direction(joint.angle, 1), Vector(0, 0, joint.offset * MM)
    # from the middle out to either axis, by the sines of the triangle with the midway line
    reach = [across * math.cos(lean) / math.sin(end.angle) for end in joint.saddles]

    def filled(primary: float, balance: float) -> Shape[Any]:
        found = _rod(lifted - along * reach[0], along, balance * MM, sum(reach))
        for side in (-1, 1):
            way = _direction(lean, side)
            start = Vector(side * across, 0, 0) - way * (length / 2.0)
            found = found.fuse(_rod(start, way, primary * MM, length))
        return found

    tube, other = joint.tube, joint.balance_tube
    bores = filled(tube.inside_diameter / 2.0, other.inside_diameter / 2.0)
    if what == GAS:
        return bores
    metal = filled(tube.od / 2.0, other.od / 2.0).cut(bores)
    if joint.split is None or not joint.split.gap:
        return metal
    low, high = (saddle.span_on_tube(end.outside)[1] * MM for end in joint.saddles)
    gap = joint.split.gap * MM
    start = lifted + along * ((reach[1] - high - reach[0] + low - gap) / 2.0)
    return metal.cut(_rod(start, along, other.od * MM, gap))


def _direction(angle: float, side: int) -> Vector:
    """Return the direction at `angle` [rad] to y, towards the side with x as `side`."""
    return Vector(side * math.sin(angle), math.cos(angle), 0)
