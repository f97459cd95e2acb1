"""Every quantity of a splayed X against a solid model of the same joint.

Independent: OpenCascade (through build123d) cuts cylinders and measures; the package calls neither.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import pytest
from splayed_solids import Half, Legs, measured, measured_leg, ray, section

from exhaust import SplayedX, Tube
from exhaust.stock import material

SOLID = 1e-6  # OpenCascade builds intersections to 1e-7 mm; its integrals are asked to 1e-10


class Case(NamedTuple):
    """od, wall [mm], included angles [deg], cutback, lengths of legs [mm], how they are mitred."""

    od: float
    wall: float
    angles: tuple[float, float]
    cutback: float
    lengths: tuple[float, float]
    unequal: str = "bisector"


CASES = {
    "usual": Case(63.5, 1.651, (45, 45), 1 / 3, (200, 200)),
    "thin and shallow": Case(76.2, 1.2446, (30, 30), 0.25, (180, 260)),
    "square": Case(63.5, 1.651, (90, 90), 1 / 3, (150, 150)),
    "past the widest point": Case(63.5, 1.651, (60, 60), 0.6, (200, 200)),
    "steep": Case(50.8, 1.651, (120, 120), 0.3, (160, 140)),
    "bisector": Case(63.5, 1.651, (45, 70), 1 / 3, (200, 180)),
    "bisector, narrower on": Case(57.15, 1.651, (80, 20), 0.3, (180, 300)),
    "bisector, deep": Case(63.5, 1.651, (50, 100), 0.55, (220, 180)),
    "plain": Case(63.5, 1.651, (45, 70), 1 / 3, (200, 180), "plain"),
    "plain, narrower on": Case(63.5, 1.651, (70, 45), 1 / 3, (180, 200), "plain"),
    "plain, deep": Case(63.5, 1.651, (45, 90), 0.55, (200, 180), "plain"),
    "equal width": Case(63.5, 1.651, (45, 70), 1 / 3, (200, 180), "equal width"),
    "equal width, narrower on": Case(63.5, 1.651, (70, 45), 0.4, (180, 200), "equal width"),
    "equal width, past the widest": Case(63.5, 1.651, (30, 90), 1 / 3, (250, 180), "equal width"),
}

NAMES = (
    *("opening_length", "opening_height", "bore_opening_length", "window_area", "land_area"),
    *("narrowest_area", "inside_volume", "overall_length", "centreline_length"),
    *("entry_spacing", "entry_gap", "entry_outside_width"),
    *("spacing", "gap", "outside_width", "turning"),
)
LEG_NAMES = (
    *("mitre_opening", "kept_width", "take_off", "seam_height", "run_out", "run_out_on_wall"),
    *("long_side", "short_side", "left_beyond_tip"),
)


def text(value: float, unit: str = "mm") -> str:
    return f"{value:.12g} {unit}"


def joint(case: Case) -> SplayedX:
    return SplayedX(
        Tube(od=text(case.od), wall=text(case.wall)),
        included_angle=text(case.angles[0], "deg"),
        exit_angle=text(case.angles[1], "deg"),
        cutback=case.cutback,
        leg_length=text(case.lengths[0]),
        exit_leg_length=text(case.lengths[1]),
        unequal=case.unequal,
    )


def halves_of(case: Case) -> tuple[Half, Half]:
    """Return the solid's halves; an exit leg of equal width loses what is more than the entry's."""
    shares = [case.cutback, case.cutback]
    if case.unequal == "equal width":
        openings = [case.od / math.cos(math.radians(angle / 2)) for angle in case.angles]
        wide = openings[0] - case.cutback * openings[0]
        shares[1] = (openings[1] - wide) / openings[1]
    angles = case.angles[0] / 2, case.angles[1] / 2
    on_bisector = case.unequal == "bisector"
    return Legs(case.od, case.wall, angles, tuple(shares), case.lengths, on_bisector).halves()


def compare(case: Case) -> None:
    x, halves = joint(case), halves_of(case)
    solid = measured(halves)
    for name in NAMES:
        assert getattr(x, name) == pytest.approx(solid[name], rel=SOLID), name
    assert x.seams[0].length == pytest.approx(solid["opening_seam"], rel=SOLID)
    assert x.seams[1].length == pytest.approx(solid["mitre_seam"], rel=SOLID)
    assert x.weld_length == pytest.approx(solid["opening_seam"] + 2 * solid["mitre_seam"])
    assert x.width_mismatch == pytest.approx(solid["width_mismatch"], abs=1e-9)
    expected = solid["width"], solid["overall_length"], solid["height"]
    assert x.envelope == pytest.approx(expected, rel=SOLID)
    assert x.mass == pytest.approx(material("304").density * solid["metal_volume"], rel=SOLID)
    assert x.window_ratio * x.tube.flow_area == pytest.approx(solid["window_area"], rel=SOLID)
    for end, half in zip(x.ends, halves, strict=True):
        leg = measured_leg(half, case.od)
        for name in LEG_NAMES:
            assert getattr(end, name) == pytest.approx(leg[name], rel=SOLID), name
        slug = end.removed_volume(end.radius) - end.removed_volume(end.leg.bore)
        assert slug == pytest.approx(leg["slug_volume"], rel=SOLID)


@pytest.mark.parametrize("name", CASES)
def test_every_quantity_is_the_solids(name: str) -> None:
    compare(CASES[name])


@pytest.mark.parametrize("name", ["usual", "bisector", "plain", "past the widest point"])
def test_the_profile_is_the_solids_section_by_section(name: str) -> None:
    """A section of the solid across the joint, its area times the cosine of its leg's angle."""
    case = CASES[name]
    x, halves = joint(case), halves_of(case)
    along = x.profile(17)
    checked = 0
    for position, leg_area, height in zip(*along, strict=True):
        from_middle = (position - x.entry.length) * 1e3
        exit_ = int(from_middle > 0)
        cosine = math.cos(math.radians(case.angles[exit_] / 2))
        y = from_middle * cosine
        if height == 0.0 or abs(y) < 8.0:  # a tilted mitre cuts into sections near the middle
            continue
        solid_area, solid_height = section(halves[exit_], y)
        assert leg_area == pytest.approx(solid_area * cosine * 1e-6, rel=SOLID)
        assert height == pytest.approx(solid_height * 1e-3, rel=SOLID)
        checked += 1
    assert checked >= 5


@pytest.mark.parametrize("name", ["plain", "plain, narrower on", "equal width", "plain, deep"])
def test_steps_are_the_solids_ray_by_ray(name: str) -> None:
    """Rays from one radius inside the outer edge of the face of the smaller angle."""
    case = CASES[name]
    x, halves = joint(case), halves_of(case)
    squarer = min(x.ends, key=lambda end: end.mitre_angle)
    start = -squarer.kept_width * 1e3 + case.od / 2
    around = x.step_round(9)
    for angle, step in zip(around.angle, around.step, strict=True):
        off = float(angle) * (1 - 1e-9) + 1e-9  # not through a corner of the solid
        first, second = (ray(half.outer_face, start, off) for half in halves)
        assert step == pytest.approx((second - first) * 1e-3, abs=1e-9)
    worst = x.steps
    assert np.all(around.step <= worst.outward + 1e-12)
    assert np.all(around.step >= worst.inward - 1e-12)


GRID = [
    Case(od, wall, angles, cutback, (350, 350), unequal)
    for od, wall in ((50.8, 1.2446), (101.6, 2.108))
    for angles in ((20, 20), (45, 60), (90, 40))
    for cutback in (0.2, 1 / 3, 0.5)
    for unequal in ("bisector", "plain", "equal width")
    if (angles, cutback, unequal) != ((90, 40), 0.2, "equal width")  # nothing to take off the exit
]


@pytest.mark.slow
@pytest.mark.parametrize("case", GRID)
def test_a_grid_of_joints_is_the_solids(case: Case) -> None:
    compare(case)
