"""Every quantity of an H pipe against a solid model of the same joint.

Independent: OpenCascade (through build123d) cuts cylinders and measures; the package calls neither.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from h_solids import HShape, line_length, measured, opening_height

from exhaust import HPipe, SplitJoint, Tube
from exhaust.geometry import saddle, saddle_measures
from exhaust.stock import material

SOLID = 1e-6  # OpenCascade builds intersections to 1e-7 mm; its integrals are asked to 1e-10

# od, wall, balance od, balance wall, spacing, angle, offset, splay, length, gap of the split
CASES = {
    "square": HShape(63.5, 1.651, 50.8, 1.651, 180.0, 90.0, 0.0, 0.0, 250.0),
    "skew": HShape(76.2, 1.651, 50.8, 1.651, 230.0, 60.0, 0.0, 0.0, 400.0),
    "offset": HShape(76.2, 1.651, 50.8, 1.2446, 200.0, 90.0, -8.0, 0.0, 300.0),
    "offset more than its radius": HShape(76.2, 1.651, 25.4, 1.2446, 150.0, 90.0, 20.0, 0.0, 300.0),
    "skew and offset, split": HShape(63.5, 1.651, 50.8, 1.651, 220.0, 105.0, 5.0, 0.0, 400.0, 3.0),
    "nearly equal": HShape(63.5, 1.651, 63.4, 1.651, 200.0, 90.0, 0.0, 0.0, 300.0),
    "nearly equal, skew": HShape(63.5, 1.651, 63.0, 1.651, 200.0, 70.0, 0.0, 0.0, 300.0),
    "equal": HShape(63.5, 1.651, 63.5, 1.651, 200.0, 90.0, 0.0, 0.0, 300.0),
    "splayed": HShape(63.5, 1.651, 50.8, 1.651, 200.0, 90.0, 0.0, 20.0, 350.0),
    "splayed, skew, offset, split": HShape(
        76.2, 2.108, 50.8, 1.2446, 240.0, 75.0, 6.0, 14.0, 450.0, 2.0
    ),
}

NAMES = (
    *("balance_length", "blank_length", "clear_length", "notch_depth"),
    *("hole_length", "hole_width", "hole_area"),
    *("entry_spacing", "exit_spacing", "spacing", "entry_gap", "gap", "outside_width"),
    *("overall_length", "balance_volume", "inside_volume"),
)


def text(value: float, unit: str = "mm") -> str:
    return f"{value:.12g} {unit}"


def joint(shape: HShape) -> HPipe:
    split = SplitJoint(kind="V-band", length="30 mm", gap=text(shape.gap)) if shape.gap else None
    return HPipe(
        Tube(od=text(shape.od), wall=text(shape.wall)),
        balance_tube=Tube(od=text(shape.other_od), wall=text(shape.other_wall), material="409"),
        spacing=text(shape.spacing),
        angle=text(shape.angle, "deg"),
        offset=text(shape.offset),
        splay=text(shape.splay, "deg"),
        length=text(shape.length),
        split=split,
    )


def compare(shape: HShape) -> None:
    h, solid = joint(shape), measured(shape)
    for name in NAMES:
        assert getattr(h, name) == pytest.approx(solid[name], rel=SOLID), name
    if h.split is None:
        assert h.pieces == pytest.approx([solid["blank_length"]], rel=SOLID)
    else:
        pieces = [solid["first_piece"], solid["second_piece"]]
        assert h.pieces == pytest.approx(pieces, rel=SOLID)
    seams = [length for seam in h.seams[: 2 if h.splay else 1] for length in [seam.length]]
    found = [solid["first_seam"], solid["second_seam"]]
    assert [seams[0], seams[-1]] == pytest.approx(found, rel=SOLID)
    bands = 2 * math.pi * shape.other_od * 1e-3 if h.split else 0.0
    assert h.weld_length == pytest.approx(sum(found) + bands, rel=SOLID)
    opening = saddle_measures.hole_area(h.saddles[0].opening)
    assert opening == pytest.approx(solid["opening_area"], rel=SOLID)
    expected = (
        material("304").density * solid["primary_metal"]
        + material("409").density * solid["balance_metal"]
    )
    assert h.mass == pytest.approx(expected, rel=SOLID)
    room = (solid["outside_width"], solid["overall_length"], solid["height"])
    assert tuple(h.envelope) == pytest.approx(room, rel=SOLID)


@pytest.mark.parametrize("name", CASES)
def test_every_quantity_is_the_solids(name: str) -> None:
    compare(CASES[name])


@pytest.mark.parametrize("name", ["square", "skew", "offset more than its radius", "splayed"])
def test_every_line_along_the_balance_tube_is_the_solids(name: str) -> None:
    """A line cut with the primaries; the shortest and the longest of them bound all."""
    shape, clocks = CASES[name], np.radians(np.arange(0.0, 360.0, 45.0))
    h = joint(shape)
    solid = [line_length(shape, clock) for clock in clocks]
    ends = [saddle.meets_at(end.outside, clocks) for end in h.saddles]
    assert h.balance_length - ends[0] - ends[1] == pytest.approx(solid, rel=SOLID)
    assert h.shortest_line <= min(solid) * (1 + SOLID)
    assert h.longest_line >= max(solid) * (1 - SOLID)


@pytest.mark.parametrize("name", ["square", "skew", "skew and offset, split"])
def test_the_opening_is_as_high_as_the_solids(name: str) -> None:
    shape = CASES[name]
    h = joint(shape)
    along = h.profile(21)
    for k in (6, 10, 14):
        y = (along.position[k] - h.centreline_length / 2) * 1e3
        assert along.window_height[k] == pytest.approx(opening_height(shape, y), rel=SOLID)


GRID = [
    HShape(od, wall, share * od, wall, 3.2 * od, angle, off * od, splay, 8 * od)
    for od, wall in ((50.8, 1.2446), (88.9, 1.651))
    for share in (0.4, 0.75, 0.95)
    for angle in (50.0, 90.0, 115.0)
    for off in (0.0, 0.02)
    for splay in (0.0, 12.0)
]


@pytest.mark.slow
@pytest.mark.parametrize("shape", GRID)
def test_a_grid_of_joints_is_the_solids(shape: HShape) -> None:
    compare(shape)
