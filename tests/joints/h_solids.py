"""An H pipe as a solid model, measured: the independent check of its geometry.

Cylinders in space, cut with one another; lengths in mm inside, SI in what is returned.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import NamedTuple

from build123d import Edge, Face, GeomType, Part, Plane, Solid, Vector
from measures import MM, area, flat, length, reach_along, volume

Point = tuple[float, float, float]

NEAR = 1e-6  # [mm] of a surface


class HShape(NamedTuple):
    """What the solid is built from: mm and degrees, nothing of the package."""

    od: float
    wall: float
    other_od: float
    other_wall: float
    spacing: float
    angle: float
    offset: float
    splay: float
    length: float
    gap: float = 0.0

    @property
    def along(self) -> Vector:
        turn = math.radians(self.angle)
        return Vector(math.sin(turn), math.cos(turn), 0)

    def primary(self, side: int) -> tuple[Vector, Vector]:
        """Return a point of the axis of one primary, on the middle line, and its direction."""
        lean = math.radians(self.splay / 2)
        return (
            Vector(side * self.spacing / 2, 0, 0),
            Vector(side * math.sin(lean), math.cos(lean), 0),
        )

    def crossing(self, side: int) -> float:
        """Return how far along the balance tube from the middle it crosses an axis."""
        point, way = self.primary(side)
        across = Vector(way.Y, -way.X, 0)
        return point.dot(across) / self.along.dot(across)


def cylinder(start: Vector, way: Vector, radius: float, height: float) -> Solid:
    return Solid.make_cylinder(radius, height, Plane(origin=start, z_dir=way))


def primary(shape: HShape, side: int, radius: float, longer: float = 0.0) -> Solid:
    point, way = shape.primary(side)
    height = shape.length + 2 * longer
    return cylinder(point - way * (height / 2), way, radius, height)


def balance(shape: HShape, radius: float) -> Solid:
    low, high = shape.crossing(-1), shape.crossing(1)
    lifted = Vector(0, 0, shape.offset)
    return cylinder(shape.along * low + lifted, shape.along, radius, high - low)


def one(shape: Part | Solid) -> Solid:
    (solid,) = shape.solids()
    return solid


def ends(body: Solid, shape: HShape) -> tuple[list[Face], list[Face]]:
    """Return the saddles of a balance tube, all but its own wall, on either primary.

    One saddle is two faces where a cylinder of the solid starts and ends on it.
    """
    axis = (Vector(0, 0, shape.offset), shape.along)
    found = [face for face in body.faces() if _off(face, axis, shape.other_od / 2) > NEAR]
    first = [face for face in found if face.center().dot(shape.along) < 0]
    return first, [face for face in found if face.center().dot(shape.along) > 0]


def rim(faces: list[Face]) -> float:
    """Return the length round faces of a cylinder, without the lines where it starts and ends."""
    return length([e for face in faces for e in face.edges() if e.geom_type != GeomType.LINE])


def _off(face: Face, axis: tuple[Vector, Vector], radius: float) -> float:
    """Return how far three points of a face are off a cylinder, the farthest of them."""
    point, way = axis
    found = []
    for u, v in ((0.2, 0.3), (0.6, 0.8), (0.5, 0.5)):
        beside = face.position_at(u, v) - point
        found.append(abs((beside - way * beside.dot(way)).length - radius))
    return max(found)


def cap(plug: Solid, shape: HShape, radius: float) -> list[Face]:
    """Return what of a plug of the balance tube's bore lies on the first primary."""
    axis = shape.primary(-1)
    return [face for face in plug.faces() if _off(face, axis, radius) < NEAR]


def xyz(vector: Vector) -> Point:
    return (vector.X, vector.Y, vector.Z)


def farthest(parts: Iterable[Face | Edge], way: Point) -> float:
    return max(reach_along(part, way) for part in parts)  # type: ignore[arg-type]


def measured(shape: HShape) -> dict[str, float]:
    """Return every quantity of the joint as the solid has it [SI], by its name in HPipe."""
    a, ai = shape.od / 2, shape.od / 2 - shape.wall
    r, ri = shape.other_od / 2, shape.other_od / 2 - shape.other_wall
    sides = (-1, 1)
    outer = [primary(shape, side, a) for side in sides]
    bores = [primary(shape, side, ai) for side in sides]
    body = one(balance(shape, r) - outer[0] - outer[1])
    tube_bore = balance(shape, ri)
    plugs = [one(tube_bore & solid) for solid in (outer[0], bores[0], outer[1], bores[1])]
    passage = one(tube_bore - bores[0] - bores[1])
    u, back = xyz(shape.along), xyz(-shape.along)
    first, last = ends(body, shape)
    near, far = farthest(first, u), -farthest(last, back)
    blank = reach_along(body, u) + reach_along(body, back)
    middle = (near + far) / 2
    found = {
        "balance_length": shape.crossing(1) - shape.crossing(-1),
        "blank_length": blank,
        "clear_length": far - near,
        "first_piece": reach_along(body, back) + middle - shape.gap / 2,
        "second_piece": reach_along(body, u) - middle - shape.gap / 2,
        "notch_depth": max(near + farthest(first, back), farthest(last, u) - far),
        "first_seam": rim(first),
        "second_seam": rim(last),
    }
    found |= _hole(shape, plugs)
    found |= _exits(shape, outer)
    si = {name: value * MM for name, value in found.items()}
    si["hole_area"] = area(cap(plugs[0], shape, a)) * MM**2
    si["opening_area"] = area(cap(plugs[1], shape, ai)) * MM**2
    holes = volume(plugs[0]) - volume(plugs[1]) + volume(plugs[2]) - volume(plugs[3])
    metal = sum(volume(solid) for solid in outer) - sum(volume(solid) for solid in bores)
    si["primary_metal"] = (metal - holes) * MM**3
    kept = volume(body) - volume(one(tube_bore - outer[0] - outer[1]))
    si["balance_metal"] = (kept - shape.gap * math.pi * (r * r - ri * ri)) * MM**3
    si["balance_volume"] = volume(passage) * MM**3
    si["inside_volume"] = (volume(passage) + sum(volume(solid) for solid in bores)) * MM**3
    return si


def _hole(shape: HShape, plugs: list[Solid]) -> dict[str, float]:
    a, holes = shape.od / 2, []
    for side, plug in zip((-1, 1), (plugs[0], plugs[2]), strict=True):
        _, way = shape.primary(side)
        edges = [edge for edge in plug.edges() if _on_primary(edge, shape, side)]
        holes.append(farthest(edges, xyz(way)) + farthest(edges, xyz(-way)))
    edges = [edge for edge in plugs[0].edges() if _on_primary(edge, shape, -1)]
    top, bottom = farthest(edges, (0, 0, 1)), farthest(edges, (0, 0, -1))
    return {
        "hole_length": max(holes),
        "hole_width": a * (math.asin(top / a) + math.asin(bottom / a)),
    }


def _on_primary(edge: Edge, shape: HShape, side: int) -> bool:
    """Return whether an edge lies on the outer wall of a primary."""
    point, way = shape.primary(side)
    for u in (0.1, 0.5, 0.77):
        beside = edge.position_at(u) - point
        if abs((beside - way * beside.dot(way)).length - shape.od / 2) > NEAR:
            return False
    return True


def _exits(shape: HShape, outer: list[Solid]) -> dict[str, float]:
    entries, exits = [], []
    for solid in outer:
        flats = sorted(
            (f for f in solid.faces() if f.geom_type == GeomType.PLANE), key=lambda f: f.center().Y
        )
        entries.append(flats[0])
        exits.append(flats[-1])
    across = (exits[1].center() - exits[0].center()).length
    return {
        "entry_spacing": (entries[1].center() - entries[0].center()).length,
        "exit_spacing": across,
        "spacing": across,
        "entry_gap": entries[0].distance_to(entries[1]),
        "gap": exits[0].distance_to(exits[1]),
        "outside_width": reach_along(outer[1], (1, 0, 0)) + reach_along(outer[0], (-1, 0, 0)),
        "overall_length": reach_along(outer[0], (0, 1, 0)) + reach_along(outer[0], (0, -1, 0)),
        "height": 2 * reach_along(outer[0], (0, 0, 1)),
    }


def line_length(shape: HShape, clock: float) -> float:
    """Return the length of one line along the outside of the balance tube [m]."""
    v = Vector(-shape.along.Y, shape.along.X, 0)
    r = shape.other_od / 2
    low, high = shape.crossing(-1), shape.crossing(1)
    start = v * (r * math.cos(clock)) + Vector(0, 0, r * math.sin(clock) + shape.offset)
    line = Edge.make_line(start + shape.along * low, start + shape.along * high)
    for side in (-1, 1):
        line = (line - primary(shape, side, shape.od / 2)).edge()
    return line.length * MM


def opening_height(shape: HShape, y: float) -> float:
    """Return the height of the opening in the first primary's bore, `y` mm along it [m]."""
    point, way = shape.primary(-1)
    ai = shape.od / 2 - shape.wall
    ri = shape.other_od / 2 - shape.other_wall
    plug = one(balance(shape, ri) & primary(shape, -1, ai))
    section = flat(xyz(point + way * y), xyz(way))
    pieces = [piece for face in cap(plug, shape, ai) for piece in section.intersect(face) or ()]
    edges = [edge for piece in pieces for edge in piece.edges()]
    return sum(reach_along(e, (0, 0, 1)) + reach_along(e, (0, 0, -1)) for e in edges) * MM
