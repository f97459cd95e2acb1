"""A parallel X as a solid model, measured: the independent check of its geometry.

One tube is swept along its path from the middle of the joint to an exit (arc, straight, arc,
straight), outside and bore, and cut with a half space; the rest is its mirror image. Swept arcs
are true tori and cylinders. Lengths in mm inside, SI in what is returned.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from build123d import (
    Box,
    Circle,
    Edge,
    Face,
    GeomType,
    JernArc,
    Line,
    Part,
    Plane,
    Pos,
    Vector,
    Wire,
    sweep,
)
from measures import FAR, MM, area, flat, length, reach_along, volume


class Shape(NamedTuple):
    """What the solid is built from: mm and degrees, nothing of the package."""

    od: float
    wall: float
    clr: float
    half_angle: float
    straight: float
    return_clr: float
    end: float
    cutback: float
    kerf: float = 1.5

    @property
    def plane(self) -> float:
        return self.clr + self.od / 2 - self.cutback * self.od


def path(shape: Shape) -> list[Edge]:
    main = JernArc((shape.clr, 0, 0), (0, 1, 0), shape.clr, shape.half_angle)
    parts = [main]
    if shape.straight:
        parts.append(Line(parts[-1] @ 1, parts[-1] @ 1 + (parts[-1] % 1) * shape.straight))
    last = parts[-1]
    parts.append(JernArc(last @ 1, last % 1, shape.return_clr, -shape.half_angle))
    if shape.end:
        parts.append(Line(parts[-1] @ 1, parts[-1] @ 1 + (parts[-1] % 1) * shape.end))
    return parts


def tube(shape: Shape, radius: float) -> Part:
    profile = Plane(origin=(shape.clr, 0, 0), z_dir=(0, 1, 0)) * Circle(radius)
    return sweep(profile.face(), path=Wire(path(shape)))


def beyond(x: float) -> Part:
    return Pos(x + FAR / 4, 0, 0) * Box(FAR / 2, FAR, FAR)


def curved(faces: list[Face]) -> list[Edge]:
    """Return the edges that lie on the tube: all but the straight one in the middle plane."""
    return [edge for face in faces for edge in face.edges() if edge.geom_type != GeomType.LINE]


def measured(shape: Shape) -> dict[str, float]:
    """Return every quantity of the joint as the solid has it [SI], by its name in ParallelX."""
    outer, bore = tube(shape, shape.od / 2), tube(shape, shape.od / 2 - shape.wall)
    metal = outer - bore
    x = shape.plane
    cut = flat((x, 0, 0), (1, 0, 0))
    window, opening = cut.intersect(bore), cut.intersect(outer)
    land = cut.intersect(metal)
    middle = flat((0, 0, 0), (0, 1, 0)).intersect(bore - beyond(x))
    slug = metal & beyond(x + shape.kerf)
    found = {
        "opening_length": 2 * max(reach_along(face, (0, 1, 0)) for face in opening),
        "opening_height": 2 * max(reach_along(face, (0, 0, 1)) for face in opening),
        "bore_opening_length": 2 * max(reach_along(face, (0, 1, 0)) for face in window),
        "bore_opening_height": 2 * max(reach_along(face, (0, 0, 1)) for face in window),
        "opening_seam": 2 * length(curved(opening)),
        "narrowest_perimeter": 2 * length(curved(middle)),
        "slug_length": 2 * reach_along(slug, (0, 1, 0)),
        "slug_height": 2 * reach_along(slug, (0, 0, 1)),
        "slug_depth": reach_along(slug, (1, 0, 0)) - x - shape.kerf,
        "cut_depth": reach_along(outer, (1, 0, 0)) - x,
    }
    found |= _exits(shape, outer, found["opening_length"] / 2)
    si = {name: value * MM for name, value in found.items()}
    si["window_area"] = 2 * area(window) * MM**2
    si["land_area"] = 2 * area(land) * MM**2
    si["narrowest_area"] = 2 * area(middle) * MM**2
    si["slug_volume"] = 2 * volume(slug) * MM**3
    si["metal_volume"] = 4 * volume(metal - beyond(x)) * MM**3
    si["inside_volume"] = 4 * volume(bore - beyond(x)) * MM**3
    si["past_the_plane"] = 2 * volume(outer & beyond(x)) * MM**3
    si["metal_left_angle"] = math.radians(shape.half_angle) - math.atan2(
        found["opening_length"] / 2, x
    )
    return si


def _exits(shape: Shape, outer: Part, tip: float) -> dict[str, float]:
    (face,) = (f for f in outer.faces() if f.geom_type == GeomType.PLANE and f.normal_at().Y > 0.9)
    assert abs(face.normal_at().Y - 1) < 1e-12  # the exits are parallel
    spacing = 2 * (shape.plane - face.center().X)
    turn = math.radians(shape.half_angle)
    heel = (shape.clr + shape.od / 2) * Vector(math.cos(turn), math.sin(turn), 0)
    return {
        "spacing": spacing,
        "gap": spacing - shape.od,
        "outside_width": 2 * (shape.plane + reach_along(face, (-1, 0, 0))),
        "overall_length": 2 * face.center().Y,
        "centreline_length": 2 * length([edge for part in path(shape) for edge in part.edges()]),
        "run_on": (Vector(shape.plane, tip, 0) - heel).length,  # of use when it does run on
    }
