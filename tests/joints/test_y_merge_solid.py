"""Every quantity of a Y merge against a solid model of the same joint.

Independent: OpenCascade (through build123d) sweeps, cuts and measures; the package calls neither.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from measures import area, flat, length
from solids import beyond
from y_solids import Shape, leg, measured

from exhaust import Bend, Tube, YMerge
from exhaust.geometry import elbow_measures
from exhaust.stock import material

SOLID = 1e-6  # OpenCascade builds intersections to 1e-7 mm; its integrals are asked to 1e-10

# od, wall, clr, return clr, tangent [mm], bend angle [deg], cutback, outlet od, wall, straight
# [mm], how the legs are placed [mm]; no return clr: splayed
CASES: dict[str, tuple[Any, ...]] = {
    "same size": (63.5, 1.651, 95.25, 95.25, 0, 90, 0.5, 63.5, 1.651, 0, {}),
    "stepped": (63.5, 1.651, 95.25, 95.25, 0, 90, 0.34563, 76.2, 1.651, 120, {"spacing": 180}),
    "splayed": (57.15, 1.651, 85.725, 0, 30, 90, 0.4132, 63.5, 1.651, 100, {"spacer": 60}),
    "splayed, wide": (50.8, 1.2446, 76.2, 0, 0, 60, 0.5, 50.8, 1.2446, 0, {"outside_width": 120}),
    "on to the straight": (63.5, 1.651, 63.5, 0, 40, 90, 0.5, 63.5, 1.651, 0, {"spacer": 40}),
    "trimmed": (63.5, 1.651, 95.25, 63.5, 12, 90, 0.40, 70.0, 1.651, 50, {"gap": 30}),
    "two lobes": (63.5, 1.651, 95.25, 95.25, 0, 90, 0.55, 63.5, 1.651, 0, {"spacer": 20}),
}

NAMES = (
    "opening_length",
    "opening_height",
    "bore_opening_length",
    "bore_opening_height",
    "opening_seam",
    "cut_depth",
    "outline_length",
    "spacing",
    "gap",
    "outside_width",
    "overall_length",
    "leg_length",
    "window_area",
    "land_area",
    "face_area",
    "inside_volume",
)


def text(value: float, unit: str = "mm") -> str:
    return f"{value:.12g} {unit}"


def joint(case: tuple[Any, ...]) -> YMerge:
    od, wall, clr, back, tangent, angle, cutback, out, out_wall, straight, way = case
    stock = Tube(od=text(od), wall=text(wall))
    bends = [
        Bend(stock, clr=text(r), angle=text(angle, "deg"), tangent=text(tangent))
        for r in (clr, back)
        if r
    ]
    return YMerge(
        bends[0],
        outlet=Tube(od=text(out), wall=text(out_wall)),
        cutback=cutback,
        legs="parallel" if back else "splayed",
        return_bend=bends[1] if back else None,
        outlet_straight=text(straight),
        **{name: text(value) for name, value in way.items()},
    )


def solid_of(case: tuple[Any, ...], y: YMerge) -> Shape:
    """Return the solid's shape; the spacer and the trimmed angle are what the package found."""
    od, wall, clr, back, tangent, _, cutback, *outlet, _ = case
    angle, spacer = math.degrees(y.half_angle), y.spacer * 1e3
    return Shape(od, wall, clr, angle, spacer, back, tangent, cutback, *outlet)


def compare(case: tuple[Any, ...]) -> None:
    y = joint(case)
    solid = measured(solid_of(case, y))
    for name in NAMES:
        assert getattr(y, name) == pytest.approx(solid[name], rel=SOLID), name
    for name in ("slug_length", "slug_height", "slug_depth", "slug_volume", "sawn_opening_length"):
        assert getattr(y, name)("1.5 mm") == pytest.approx(solid[name], rel=SOLID), name
    density = material(y.tube.material).density
    metal = solid["legs_metal"] + solid["outlet_metal"]
    assert y.mass == pytest.approx(density * metal, rel=SOLID)
    assert y.narrowest_area == pytest.approx(min(solid["face_area"], y.outlet.flow_area), rel=SOLID)
    # the outline's own length and the outlet's middle line are all that stretch is about
    round_it = math.pi * (y.outlet.od - y.outlet.wall)
    assert y.stretch == pytest.approx(round_it / solid["outline_length"] - 1, abs=SOLID)
    if y.run_on == 0.0:
        assert y.left_behind_tip() == pytest.approx(solid["left_behind_tip"], abs=SOLID * y.tube.od)
    # nothing of a leg but its slug is past the plane: the legs never touch beyond the tip
    slug = elbow_measures.removed_volume(y.elbow, y.elbow.radius) / 2
    assert solid["past_the_plane"] == pytest.approx(slug, rel=SOLID)


@pytest.mark.parametrize("name", CASES)
def test_every_quantity_is_the_solids(name: str) -> None:
    compare(CASES[name])


@pytest.mark.parametrize("name", ["stepped", "on to the straight", "two lobes"])
def test_the_profile_is_the_solids_section_by_section(name: str) -> None:
    """Square to the centreline, from the outlet's face back: through the bend's axis, then
    square to the straight."""
    y = joint(CASES[name])
    shape = solid_of(CASES[name], y)
    bore = leg(shape, shape.od / 2 - shape.wall)
    (window,) = flat((shape.plane, 0, 0), (1, 0, 0)).intersect(bore)
    kept = bore - beyond(shape.plane)
    along = y.profile(101)
    turn, compared = math.radians(shape.half_angle), 0
    for position, leg_area, height in zip(*along, strict=True):
        way = (y.leg_length - position) * 1e3
        psi, past = min(way / shape.clr, turn), max(way - shape.clr * turn, 0.0)
        if way < 1.0 or past >= shape.straight or compared == 8:
            continue
        heading = (-math.sin(psi), math.cos(psi), 0.0)
        section = flat(tuple(past * part for part in heading), heading)
        solid = area(section.intersect(kept)) * 1e-6
        assert leg_area == pytest.approx(solid, rel=SOLID)
        if height:
            cut = length(section.intersect(window)) * 1e-3
            assert height == pytest.approx(cut, rel=SOLID)
            compared += 1
    assert compared > 3


GRID = [
    (od, wall, ratio * od, back * od, 12.0, angle, cutback, 1.1 * od, wall, 40.0, {"spacer": 90.0})
    for od, wall in ((50.8, 1.2446), (76.2, 1.651))
    for ratio, back in ((1.0, 1.5), (1.5, 0.0), (2.0, 2.0))
    for angle in (60.0, 90.0, 120.0)
    for cutback in (0.35, 0.45, 0.55)
]


@pytest.mark.slow
@pytest.mark.parametrize("case", GRID)
def test_a_grid_of_merges_is_the_solids(case: tuple[Any, ...]) -> None:
    compare(case)
