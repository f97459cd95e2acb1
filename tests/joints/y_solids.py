"""A Y merge as a solid model, measured: the independent check of its geometry.

One leg is swept along its path from the outlet's face to its end (arc, straight and, for parallel
legs, an arc back and a straight end), outside, bore and middle of the wall, and cut with a half
space; the other leg is its mirror image. Lengths in mm inside, SI in what is returned.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from build123d import Circle, Cylinder, Edge, GeomType, JernArc, Line, Part, Plane, Wire, sweep
from measures import MM, area, flat, length, reach_along, volume
from solids import beyond, curved


class Shape(NamedTuple):
    """What the solid is built from: mm and degrees, nothing of the package."""

    od: float
    wall: float
    clr: float
    half_angle: float
    straight: float
    return_clr: float  # 0: the legs stay splayed
    end: float
    cutback: float
    outlet_od: float
    outlet_wall: float
    outlet_straight: float
    kerf: float = 1.5

    @property
    def plane(self) -> float:
        return self.clr + self.od / 2 - self.cutback * self.od


def path(shape: Shape) -> list[Edge]:
    parts: list[Edge] = [JernArc((shape.clr, 0, 0), (0, 1, 0), shape.clr, shape.half_angle)]

    def go_on(distance: float) -> None:
        if distance:
            parts.append(Line(parts[-1] @ 1, parts[-1] @ 1 + (parts[-1] % 1) * distance))

    go_on(shape.straight)
    if shape.return_clr:
        last = parts[-1]
        parts.append(JernArc(last @ 1, last % 1, shape.return_clr, -shape.half_angle))
        go_on(shape.end)
    return parts


def leg(shape: Shape, radius: float) -> Part:
    profile = Plane(origin=(shape.clr, 0, 0), z_dir=(0, 1, 0)) * Circle(radius)
    return sweep(profile.face(), path=Wire(path(shape)))


def measured(shape: Shape) -> dict[str, float]:
    """Return every quantity of the merge as the solid has it [SI], by its name in YMerge."""
    a, ai, x = shape.od / 2, shape.od / 2 - shape.wall, shape.plane
    outer, bore, middle = (leg(shape, r) for r in (a, ai, a - shape.wall / 2))
    metal = outer - bore
    cut, face = flat((x, 0, 0), (1, 0, 0)), flat((0, 0, 0), (0, 1, 0))
    window, opening = cut.intersect(bore), cut.intersect(outer)
    slug = metal & beyond(x + shape.kerf)
    tip = max(reach_along(one, (0, 1, 0)) for one in opening)
    found = {
        "opening_length": tip,
        "opening_height": 2 * max(reach_along(one, (0, 0, 1)) for one in opening),
        "bore_opening_length": max(reach_along(one, (0, 1, 0)) for one in window),
        "bore_opening_height": 2 * max(reach_along(one, (0, 0, 1)) for one in window),
        "opening_seam": length(curved(opening)),
        "slug_length": reach_along(slug, (0, 1, 0)),
        "slug_height": 2 * reach_along(slug, (0, 0, 1)),
        "slug_depth": reach_along(slug, (1, 0, 0)) - x - shape.kerf,
        "cut_depth": reach_along(outer, (1, 0, 0)) - x,
        "outline_length": 2 * length(curved(face.intersect(middle - beyond(x)))),
        "sawn_opening_length": _sawn(shape, outer),
    }
    found |= _ends(shape, outer)
    si = {name: value * MM for name, value in found.items()}
    si["window_area"] = area(window) * MM**2
    si["land_area"] = area(cut.intersect(metal)) * MM**2
    si["face_area"] = 2 * area(face.intersect(bore - beyond(x))) * MM**2
    si["slug_volume"] = volume(slug) * MM**3
    si["past_the_plane"] = volume(outer & beyond(x)) * MM**3
    si["legs_metal"] = 2 * volume(metal - beyond(x)) * MM**3
    hollow = 2 * volume(bore - beyond(x))
    si["outlet_metal"] = 0.0
    if shape.outlet_straight:
        radius, straight = shape.outlet_od / 2, shape.outlet_straight
        inside = Cylinder(radius - shape.outlet_wall, straight)
        hollow += volume(inside)
        si["outlet_metal"] = volume(Cylinder(radius, straight) - inside) * MM**3
    si["inside_volume"] = hollow * MM**3
    return si


def _sawn(shape: Shape, outer: Part) -> float:
    """Return the opening of a half bend that halving took half a kerf from, face to tip."""
    at = shape.kerf / 2
    (face,) = flat((0, at, 0), (0, 1, 0)).intersect(outer)
    plane = reach_along(face, (1, 0, 0)) - shape.cutback * shape.od
    opening = flat((plane, 0, 0), (1, 0, 0)).intersect(outer)
    return max(reach_along(one, (0, 1, 0)) for one in opening) - at


def _ends(shape: Shape, outer: Part) -> dict[str, float]:
    flats = [one for one in outer.faces() if one.geom_type == GeomType.PLANE]
    end = max(flats, key=lambda one: one.center().Y)
    return {
        "spacing": 2 * (shape.plane - end.center().X),
        "gap": 2 * (shape.plane - reach_along(end, (1, 0, 0))),
        "outside_width": 2 * (shape.plane + reach_along(outer, (-1, 0, 0))),
        "overall_length": reach_along(outer, (0, 1, 0)) + shape.outlet_straight,
        "leg_length": length([edge for part in path(shape) for edge in part.edges()]),
        "left_behind_tip": (shape.clr + shape.od / 2)
        * (math.radians(shape.half_angle) - math.atan2(_tip(shape, outer), shape.plane)),
    }


def _tip(shape: Shape, outer: Part) -> float:
    opening = flat((shape.plane, 0, 0), (1, 0, 0)).intersect(outer)
    return max(reach_along(one, (0, 1, 0)) for one in opening)
