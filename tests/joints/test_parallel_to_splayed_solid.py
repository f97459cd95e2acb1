"""Every quantity of half a parallel X with splayed legs against a solid model of the same joint.

Independent: OpenCascade (through build123d) sweeps, cuts and measures; the package calls neither.
"""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import pytest
from solids import Shape, path
from splayed_solids import Half, Legs, bend, measured, measured_leg, mitred, ray, section, swept

from exhaust import Bend, ParallelToSplayedX, Tube
from exhaust.stock import material

SOLID = 1e-6  # OpenCascade builds intersections to 1e-7 mm; its integrals are asked to 1e-10


class Case(NamedTuple):
    """od, wall, clr, return clr [mm], cutback, included angle [deg], leg [mm], the rest."""

    od: float
    wall: float
    clr: float
    back: float
    cutback: float
    angle: float
    length: float
    legs: str = "mitred"
    way: tuple[str, float] = ("spacer", 30.0)
    parallel_end: str = "entry"
    tangent: float = 0.0


CASES = {
    "usual": Case(63.5, 1.651, 95.25, 95.25, 0.30, 45, 200),
    "a third, wide": Case(63.5, 1.651, 95.25, 63.5, 1 / 3, 70, 150, way=("gap", 90.0)),
    "parallel at the exit": Case(76.2, 1.2446, 114.3, 114.3, 0.25, 30, 220, parallel_end="exit"),
    "legs past the widest point": Case(63.5, 1.651, 95.25, 95.25, 0.40, 90, 150),
    "both past the widest point": Case(63.5, 1.651, 95.25, 95.25, 0.55, 60, 200),
    "trimmed bends": Case(63.5, 1.651, 95.25, 95.25, 0.30, 60, 200, way=("spacing", 120.0)),
    "butted": Case(63.5, 1.651, 95.25, 95.25, 0.30, 70, 200, "butted"),
    "butted, opening onto the leg": Case(63.5, 1.651, 95.25, 95.25, 0.30, 45, 200, "butted"),
    "butted, parallel at the exit": Case(
        50.8, 1.651, 76.2, 76.2, 0.55, 90, 150, "butted", ("spacer", 40.0), "exit", 12.0
    ),
}

NAMES = (
    *("opening_length", "opening_height", "bore_opening_length", "window_area"),
    *("narrowest_area", "inside_volume", "overall_length", "centreline_length"),
    *("entry_spacing", "entry_gap", "entry_outside_width", "spacing", "gap", "outside_width"),
)
LEG_NAMES = (
    *("mitre_opening", "kept_width", "take_off", "seam_height", "run_out", "run_out_on_wall"),
    *("long_side", "short_side", "left_beyond_tip"),
)


def text(value: float, unit: str = "mm") -> str:
    return f"{value:.12g} {unit}"


def joint(case: Case) -> ParallelToSplayedX:
    tube = Tube(od=text(case.od), wall=text(case.wall))
    stock = [Bend(tube, clr=text(r), tangent=text(case.tangent)) for r in (case.clr, case.back)]
    way: dict[str, Any] = {case.way[0]: text(case.way[1])}
    return ParallelToSplayedX(
        stock[0],
        cutback=case.cutback,
        included_angle=text(case.angle, "deg"),
        leg_length=text(case.length),
        return_bend=stock[1],
        legs=case.legs,
        parallel_end=case.parallel_end,
        **way,
    )


def halves_of(case: Case, x: ParallelToSplayedX) -> tuple[Half, Half]:
    """Return the solid's halves, entry first; spacer and trimmed angle are the package's."""
    turned = math.degrees(x.parallel.half_angle)
    shape = Shape(
        *(case.od, case.wall, case.clr, turned, x.parallel.spacer * 1e3),
        *(case.back, case.tangent, case.cutback),
    )
    leg_way = 1 if case.parallel_end == "entry" else -1
    bent = swept(path(shape), shape, -leg_way)
    if case.legs == "butted":
        leg = swept(bend(shape, case.angle / 2, case.length), shape, leg_way)
    else:
        opening = case.od / math.cos(math.radians(case.angle / 2))
        share = (opening - (case.od - case.cutback * case.od)) / opening  # left as wide as the bend
        same = (case.angle / 2,) * 2, (share,) * 2, (case.length,) * 2
        leg = mitred(Legs(case.od, case.wall, *same, False), 0, leg_way, 0.0)
    return (bent, leg) if leg_way > 0 else (leg, bent)


def compare(case: Case) -> None:
    x = joint(case)
    halves = halves_of(case, x)
    solid = measured(halves)
    for name in NAMES:
        assert getattr(x, name) == pytest.approx(solid[name], rel=SOLID), name
    assert x.seams[0].length == pytest.approx(solid["opening_seam"], rel=SOLID)
    if case.legs == "mitred":
        assert x.seams[1].length == pytest.approx(solid["mitre_seam"], rel=SOLID)
        leg = measured_leg(halves[case.parallel_end == "entry"], case.od)
        for name in LEG_NAMES:
            assert getattr(x.leg, name) == pytest.approx(leg[name], rel=SOLID), name
    expected = solid["width"], solid["overall_length"], solid["height"]
    assert x.envelope == pytest.approx(expected, rel=SOLID)
    assert x.mass == pytest.approx(material("304").density * solid["metal_volume"], rel=SOLID)
    assert solid["width_mismatch"] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("name", CASES)
def test_every_quantity_is_the_solids(name: str) -> None:
    compare(CASES[name])


@pytest.mark.parametrize("name", ["usual", "a third, wide", "legs past the widest point"])
def test_steps_are_the_solids_ray_by_ray(name: str) -> None:
    """Rays from the middle of the bend's section, square to its wall; the leg's edge against it."""
    case = CASES[name]
    x = joint(case)
    bent, leg = halves_of(case, x)
    middle = -(0.5 - case.cutback) * case.od
    around = x.step_round(9)
    for angle, step in zip(around.angle, around.step, strict=True):
        off = float(angle) * (1 - 1e-9) + 1e-9  # not through a corner of the solid
        proud = ray(leg.outer_face, middle, off) - ray(bent.outer_face, middle, off)
        assert step == pytest.approx(proud * 1e-3, abs=1e-9)


def test_the_legs_profile_is_the_solids_section_by_section() -> None:
    case = CASES["usual"]
    x = joint(case)
    _, leg = halves_of(case, x)
    along = x.profile(25)
    cosine = math.cos(math.radians(case.angle / 2))
    start = x.centreline_length - x.leg.centreline
    seen = 0
    for position, leg_area, height in zip(*along, strict=True):
        y = (position - start) * cosine * 1e3
        if y < 0.1 or height == 0.0:
            continue
        solid_area, solid_height = section(leg, y)
        assert leg_area == pytest.approx(solid_area * cosine * 1e-6, rel=SOLID)
        assert height == pytest.approx(solid_height * 1e-3, rel=SOLID)
        seen += 1
    assert seen >= 5


GRID = [
    Case(od, wall, 1.5 * od, ratio * od, cutback, angle, 350, legs)
    for od, wall, ratio in ((50.8, 1.2446, 1.0), (101.6, 2.108, 2.0))
    for cutback in (0.2, 1 / 3, 0.5)
    for angle in (20, 50, 90)
    for legs in ("mitred", "butted")
]


@pytest.mark.slow
@pytest.mark.parametrize("case", GRID)
def test_a_grid_of_joints_is_the_solids(case: Case) -> None:
    compare(case)
