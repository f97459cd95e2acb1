"""Every quantity of a parallel X against a solid model of the same joint.

Independent: OpenCascade (through build123d) sweeps, cuts and measures; the package calls neither.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from measures import area, flat, length
from solids import Shape, beyond, measured, tube

from exhaust import Bend, ParallelX, Tube
from exhaust.geometry import elbow_measures
from exhaust.stock import material

SOLID = 1e-6  # OpenCascade builds intersections to 1e-7 mm; its integrals are asked to 1e-10

# od, wall, clr, return clr, tangent [mm], angle [deg], cutback, how the spacing is given [mm]
CASES: dict[str, tuple[float, float, float, float, float, float, float, dict[str, float]]] = {
    "usual": (63.5, 1.651, 95.25, 95.25, 0.0, 90.0, 0.30, {"spacer": 30.0}),
    "shallow, ends on": (76.2, 1.2446, 114.3, 114.3, 25.0, 90.0, 0.25, {}),
    "runs on to the straight": (57.15, 1.651, 57.15, 57.15, 20.0, 90.0, 0.50, {"spacer": 20.0}),
    "outside runs on, bore not": (57.15, 1.651, 57.15, 57.15, 20.0, 90.0, 0.445, {"spacer": 20.0}),
    "trimmed": (63.5, 1.651, 95.25, 95.25, 0.0, 90.0, 0.30, {"spacing": 120.0}),
    "another return": (63.5, 1.651, 95.25, 63.5, 10.0, 90.0, 0.28, {"gap": 90.0}),
    "two lobes": (63.5, 1.651, 95.25, 95.25, 0.0, 90.0, 0.55, {"outside_width": 260.0}),
    "two lobes on straights": (50.8, 1.651, 50.8, 76.2, 0.0, 90.0, 0.60, {"spacer": 40.0}),
    "shallow bends": (63.5, 1.651, 127.0, 127.0, 0.0, 60.0, 0.30, {"spacer": 50.0}),
    "half turns": (63.5, 1.651, 95.25, 95.25, 0.0, 180.0, 0.30, {"spacer": 15.0}),
}

NAMES = (
    "opening_length",
    "opening_height",
    "bore_opening_length",
    "bore_opening_height",
    "opening_seam",
    "narrowest_perimeter",
    "cut_depth",
    "spacing",
    "gap",
    "outside_width",
    "overall_length",
    "centreline_length",
    "window_area",
    "land_area",
    "narrowest_area",
    "inside_volume",
)


def text(value: float, unit: str = "mm") -> str:
    return f"{value:.12g} {unit}"


def joint(case: tuple[Any, ...]) -> ParallelX:
    od, wall, clr, back, tangent, angle, cutback, way = case
    stock = Tube(od=text(od), wall=text(wall))
    bends = [
        Bend(stock, clr=text(r), angle=text(angle, "deg"), tangent=text(tangent))
        for r in (clr, back)
    ]
    given = {name: text(value) for name, value in way.items()}
    return ParallelX(bends[0], cutback=cutback, return_bend=bends[1], **given)


def solid_of(case: tuple[Any, ...], x: ParallelX) -> Shape:
    """Return the solid's shape; the spacer and the trimmed angle are what the package found."""
    od, wall, clr, back, tangent, _, cutback, _ = case
    return Shape(od, wall, clr, math.degrees(x.half_angle), x.spacer * 1e3, back, tangent, cutback)


def compare(case: tuple[Any, ...]) -> None:
    x = joint(case)
    shape = solid_of(case, x)
    solid = measured(shape)
    for name in NAMES:
        assert getattr(x, name) == pytest.approx(solid[name], rel=SOLID), name
    for name in ("slug_length", "slug_height", "slug_depth", "slug_volume"):
        assert getattr(x, name)("1.5 mm") == pytest.approx(solid[name], rel=SOLID), name
    density = material(x.tube.material).density
    assert x.mass == pytest.approx(density * solid["metal_volume"], rel=SOLID)
    assert x.window_ratio * x.tube.flow_area == pytest.approx(solid["window_area"], rel=SOLID)
    assert x.narrowest_ratio * 2 * x.tube.flow_area == pytest.approx(
        solid["narrowest_area"], rel=SOLID
    )
    if x.run_on:
        assert x.run_on == pytest.approx(solid["run_on"], rel=SOLID)
        assert x.metal_left_angle < 0
    else:
        assert x.metal_left_angle == pytest.approx(solid["metal_left_angle"], abs=SOLID)
        heel = x.elbow.clr + x.elbow.radius
        assert x.metal_left_arc == pytest.approx(heel * x.metal_left_angle)
    # nothing of the tube but the slug is past the plane: the returns never touch
    slug = elbow_measures.removed_volume(x.elbow, x.elbow.radius)
    assert solid["past_the_plane"] == pytest.approx(slug, rel=SOLID)


@pytest.mark.parametrize("name", CASES)
def test_every_quantity_is_the_solids(name: str) -> None:
    compare(CASES[name])


@pytest.mark.parametrize("name", ["usual", "runs on to the straight", "two lobes"])
def test_sections_are_the_solids_and_least_in_the_middle(name: str) -> None:
    x = joint(CASES[name])
    shape = solid_of(CASES[name], x)
    kept = tube(shape, shape.od / 2 - shape.wall) - beyond(shape.plane)
    for share in (0.0, 0.1, 0.25, 0.4):
        y = share * shape.od
        solid = area(flat((0, y, 0), (0, 1, 0)).intersect(kept)) * 1e-6
        got = elbow_measures.section_area(x.elbow, y * 1e-3, x.elbow.bore)
        assert got == pytest.approx(solid, rel=SOLID)
        assert 2 * solid >= x.narrowest_area * (1 - SOLID)


@pytest.mark.parametrize("name", ["usual", "runs on to the straight", "two lobes"])
def test_the_profile_is_the_solids_section_by_section(name: str) -> None:
    """Square to the centreline: through the bend's axis, then square to the straight."""
    x = joint(CASES[name])
    shape = solid_of(CASES[name], x)
    bore = tube(shape, shape.od / 2 - shape.wall)
    window = flat((shape.plane, 0, 0), (1, 0, 0)).intersect(bore)
    kept = bore - beyond(shape.plane)
    along = x.profile(201)
    turn = math.radians(shape.half_angle)
    for station in range(101, 131, 3):
        way = (along.position[station] - x.centreline_length / 2) * 1e3
        psi, past = min(way / shape.clr, turn), max(way - shape.clr * turn, 0.0)
        if past >= shape.straight:
            break
        heading = (-math.sin(psi), math.cos(psi), 0.0)
        section = flat(tuple(past * part for part in heading), heading)
        solid = area(section.intersect(kept)) * 1e-6
        assert along.leg_area[station] == pytest.approx(solid, rel=SOLID)
        if along.window_height[station]:
            cut = length(section.intersect(window[0])) * 1e-3
            assert along.window_height[station] == pytest.approx(cut, rel=SOLID)


def test_spacing_per_degree_is_the_solids_slope() -> None:
    """Every half bend turned 0.01° more and less; the difference's own error is 5e-9."""
    case = CASES["usual"]
    x = joint(case)
    shape = solid_of(case, x)
    more, less = (measured(shape._replace(half_angle=45 + d))["spacing"] for d in (0.01, -0.01))
    slope = (more - less) / math.radians(0.02)
    assert x.spacing_per_degree == pytest.approx(slope, rel=SOLID)


def test_at_the_least_spacing_the_tip_meets_the_end_of_the_bend() -> None:
    """Worked case: 82.55 mm for 63.5 on clr 95.25 at 0.30 (closed form and solid model)."""
    case = (*CASES["trimmed"][:-1], {"spacing": 82.55})
    x = joint(case)
    solid = measured(solid_of(case, x))
    assert x.least_spacing == pytest.approx(82.55e-3, rel=1e-12)
    assert solid["spacing"] == pytest.approx(82.55e-3, rel=SOLID)
    assert abs(solid["metal_left_angle"]) < SOLID
    compare(case)


GRID = [
    (od, wall, ratio * od, back * od, 12.0, angle, cutback, {"spacer": spacer})
    for od, wall in ((50.8, 1.2446), (76.2, 1.651), (101.6, 2.108))
    for ratio, back in ((1.0, 1.5), (1.5, 1.0), (2.0, 2.0))
    for angle in (60.0, 90.0, 120.0)
    for cutback, spacer in ((0.20, 60.0), (1 / 3, 60.0), (0.5, 80.0), (0.7, 400.0))
]


@pytest.mark.slow
@pytest.mark.parametrize("case", GRID)
def test_a_grid_of_joints_is_the_solids(case: tuple[Any, ...]) -> None:
    compare(case)
