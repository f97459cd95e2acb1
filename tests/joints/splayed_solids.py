"""Splayed joints as solid models, measured: the independent check of their geometry.

The joint's plane is x = 0, its middle y = 0; one side lies at x < 0 and the other is its mirror
image. A side is two halves, each a whole tube that ends at the mitre: a cylinder cut by a half
space, or a bend swept on its path. The joint's plane cuts them. mm and degrees inside, SI in what
is returned; nothing of the package is called.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, NamedTuple

from build123d import (
    Align,
    Box,
    Cylinder,
    Edge,
    Face,
    JernArc,
    Line,
    Part,
    Plane,
    Pos,
    Vector,
    Wire,
    sweep,
)
from build123d import Circle as Disc
from measures import FAR, MM, area, flat, length, reach_along, volume
from solids import Shape, beyond, curved


@dataclass(frozen=True)
class Half:
    """The entry half (y < 0, `way` -1) or the exit half (y > 0, `way` 1) of the left side."""

    outer: Part  # whole: not yet cut by the joint's plane
    bore: Part
    outer_face: Face  # at the mitre, whole
    bore_face: Face
    heading: Vector  # of the path at its end
    end: Vector  # of the path
    path: float  # length of it
    way: int

    @property
    def metal(self) -> Part:
        return (self.outer - self.bore) - beyond(0.0)


class Legs(NamedTuple):
    """Two mitred legs of one tube: mm, and degrees of a leg to the joint."""

    od: float
    wall: float
    angles: tuple[float, float]
    shares: tuple[float, float]
    lengths: tuple[float, float]
    on_bisector: bool

    def halves(self) -> tuple[Half, Half]:
        lean = (self.angles[1] - self.angles[0]) / 2 if self.on_bisector else 0.0
        return (
            mitred(self, 0, -1, lean),
            mitred(self, 1, 1, lean),
        )


def block(origin: Vector, normal: Vector) -> Part:
    """Return the half space that `normal` points into, as a block."""
    lying = Plane(origin=origin, z_dir=normal)
    return lying * Box(FAR, FAR, FAR, align=(Align.CENTER, Align.CENTER, Align.MIN))


def rod(start: Vector, heading: Vector, radius: float, long: float) -> Part:
    upright = (Align.CENTER, Align.CENTER, Align.MIN)
    return Plane(origin=start, z_dir=heading) * Cylinder(radius, long, align=upright)


def mitred(legs: Legs, index: int, way: int, lean: float) -> Half:
    """A leg whose mitre plane is square to the joint, or leans by `lean` degrees (exit's way)."""
    turn, tilt = math.radians(legs.angles[index]), math.radians(lean)
    heading = Vector(-math.sin(turn), way * math.cos(turn), 0)
    across = Vector(math.cos(tilt), math.sin(tilt), 0)  # in the mitre plane, to the other side
    normal = Vector(-math.sin(tilt), math.cos(tilt), 0) * way
    long_axis = legs.od / heading.dot(normal)
    start = Vector(-(0.5 - legs.shares[index]) * long_axis * across.X, 0, 0)
    behind = 3 * long_axis
    made = []
    for radius in (legs.od / 2, legs.od / 2 - legs.wall):
        whole = rod(start - heading * behind, heading, radius, behind + legs.lengths[index])
        face = flat(tuple(start), tuple(normal)).intersect(whole)
        made.append((whole & block(start, normal), one(face)))
    (outer, outer_face), (bore, bore_face) = made
    end = start + heading * legs.lengths[index]
    return Half(outer, bore, outer_face, bore_face, heading, end, legs.lengths[index], way)


def one(found: Any) -> Face:
    """Return the one face of what a boolean returned."""
    (face,) = found.faces() if hasattr(found, "faces") else found
    return face


def swept(edges: list[Edge], shape: Shape, way: int) -> Half:
    """A bend and what follows it, from the middle of the joint; `shape` gives tube and slice."""
    made = []
    for radius in (shape.od / 2, shape.od / 2 - shape.wall):
        profile = Plane(origin=(shape.clr, 0, 0), z_dir=(0, 1, 0)) * Disc(radius)
        part = Pos(-shape.plane, 0, 0) * sweep(profile.face(), path=Wire(edges))
        if way < 0:
            part = part.mirror(Plane.XZ)
        face = (
            Plane(origin=(shape.clr - shape.plane, 0, 0), z_dir=(0, way, 0)) * Disc(radius)
        ).face()
        made.append((Part(part.wrapped), face))
    (outer, outer_face), (bore, bore_face) = made
    last = edges[-1]
    end, heading = last @ 1 - Vector(shape.plane, 0, 0), last % 1
    if way < 0:
        end, heading = Vector(end.X, -end.Y, 0), Vector(heading.X, -heading.Y, 0)
    return Half(outer, bore, outer_face, bore_face, heading, end, length(edges), way)


def kept(face: Face) -> Face:
    """Return the part of a face that the joint's plane leaves."""
    return one(face.cut(beyond(0.0)))


def measured(halves: tuple[Half, Half]) -> dict[str, float]:
    """Return every quantity of the joint as the solid has it [SI], by its name in the package."""
    plane = flat((0, 0, 0), (1, 0, 0))
    openings = [one(plane.intersect(half.outer)) for half in halves]
    windows = [one(plane.intersect(half.bore)) for half in halves]
    faces = [half.outer_face for half in halves]
    open_to_both = kept(one(halves[0].bore_face.intersect(halves[1].bore_face)))
    along, across = (0.0, 1.0, 0.0), (1.0, 0.0, 0.0)
    back = (0.0, -1.0, 0.0)
    found = {
        "opening_length": reach_along(openings[0], back) + reach_along(openings[1], along),
        "opening_height": 2 * max(reach_along(face, (0, 0, 1)) for face in openings),
        "bore_opening_length": reach_along(windows[0], back) + reach_along(windows[1], along),
        "opening_seam": length(curved(openings)),
        "mitre_seam": max(length(curved([kept(face)])) for face in faces),
        "overall_length": reach_along(halves[0].outer, back) + reach_along(halves[1].outer, along),
        "centreline_length": sum(half.path for half in halves),
        "width_mismatch": -reach_along(faces[0], (-1, 0, 0)) + reach_along(faces[1], (-1, 0, 0)),
    }
    for name, half in zip(("entry_", ""), halves, strict=True):
        end = one(max(half.outer.faces(), key=lambda f, h=half: f.center().dot(h.heading)))
        found[f"{name}spacing"] = -2 * end.center().X
        found[f"{name}gap"] = -2 * reach_along(end, across)
        found[f"{name}outside_width"] = 2 * reach_along(end, (-1, 0, 0))
    wide = max(reach_along(half.outer, (-1, 0, 0)) for half in halves)
    si = {name: value * MM for name, value in found.items()}
    si["width"], si["height"] = 2 * wide * MM, 2 * reach_along(halves[0].outer, (0, 0, 1)) * MM
    si["window_area"] = area(windows) * MM**2
    si["land_area"] = area(openings) * MM**2 - si["window_area"]
    si["narrowest_area"] = 2 * area([open_to_both]) * MM**2
    si["metal_volume"] = 2 * sum(volume(half.metal) for half in halves) * MM**3
    si["inside_volume"] = 2 * sum(volume(half.bore - beyond(0.0)) for half in halves) * MM**3
    si["turning"] = sum(math.acos(half.heading.dot(Vector(0, half.way, 0))) for half in halves)
    return si


def measured_leg(half: Half, od: float) -> dict[str, float]:
    """Return what is sawn and measured on a mitred leg, by its name in `MitredEnd` [SI]."""
    face, heading = half.outer_face, half.heading
    kept_face = kept(face)
    normal = face.normal_at()
    in_face = Vector(0, 0, 1).cross(normal)
    if in_face.X < 0:
        in_face = -in_face  # to the other side
    whole, left = ([reach_along(f, tuple(s * in_face)) for s in (1, -1)] for f in (face, kept_face))
    metal = half.outer - half.bore
    slug = metal & beyond(0.0)
    middle = face.center().dot(heading)
    long_point = reach_along(metal, tuple(-1 * heading)) + middle  # behind the middle
    tip = reach_along(slug, tuple(heading)) - middle
    opening = one(flat((0, 0, 0), (1, 0, 0)).intersect(half.outer))
    corner = kept_face.edges().sort_by(lambda e: -e.center().X)[0]
    end = half.path
    outer_edge = normal * normal.dot(face.center()) - in_face * whole[1]
    found = {
        "mitre_opening": sum(whole),
        "kept_width": sum(left),
        "take_off": whole[0] - left[0],
        "seam_height": length([corner]),
        "run_out": reach_along(opening, (0, half.way, 0)) - half.way * corner.center().Y,
        "run_out_on_wall": long_point + tip,
        "long_side": long_point + end,
        "short_side": end - (outer_edge.dot(heading) - middle),
        "left_beyond_tip": end - tip,
        "slug_volume": volume(slug) * MM**2,
    }
    assert abs(sum(reach_along(face, (0, 0, s)) for s in (1, -1)) - od) < 1e-6
    return {name: value * MM for name, value in found.items()}


def ray(face: Face, start: float, angle: float) -> float:
    """Return how far from (start, 0) a ray in the plane y = 0 goes in a face [mm]."""
    way = Vector(-math.cos(angle), 0, math.sin(angle))
    line = Edge.make_line(Vector(start, 0, 0), Vector(start, 0, 0) + way * FAR / 4)
    inside = line.intersect(face)
    return length(list(inside.edges()) if hasattr(inside, "edges") else list(inside))


def section(half: Half, y: float) -> tuple[float, float]:
    """Return (area in the bore, height of the window) in the plane square to the joint [mm]."""
    cut = one(flat((0, y, 0), (0, 1, 0)).intersect(half.bore - beyond(0.0)))
    straight = [e for e in cut.edges() if abs(e.center().X) < 1e-6]
    return area([cut]), length(straight)


def bend(shape: Shape, turn: float, straight: float) -> list[Edge]:
    """Return the path of a bend that turns by `turn` degrees, and of its straight."""
    first = JernArc((shape.clr, 0, 0), (0, 1, 0), shape.clr, turn)
    return [first, Line(first @ 1, first @ 1 + (first % 1) * straight)]
