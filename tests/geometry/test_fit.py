"""Sawn edges that are off: closed forms, values measured on a solid model, and limits.

"Solid" beside a value: measured on an OpenCascade model (torus, cylinder, half spaces), to 1e-8.
Lengths in mm where they are compared.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from exhaust.geometry import fit
from exhaust.geometry.fit import BentWall, Seating, StraightWall

# 63.5 x 1.651 on a 95.25 bend, sliced at 0.3
A, R, PLANE = 0.03175, 0.09525, 0.10795
H = PLANE - R
HALF_DEGREE = math.radians(0.5)
SOLID = 1e-8  # relative
ROUND = np.linspace(-math.pi, math.pi, 7201)
SQUARE = Seating(A, 0.0254, math.pi / 2)


def mm(value: object) -> float:
    return float(np.ravel(value)[0]) * 1e3


def one_station(wall: BentWall | StraightWall, t: float, z: float) -> fit.Outline:
    return fit.outline(wall, [t], [z])


@pytest.mark.parametrize(
    ("distance", "outer", "up", "down"),
    [
        (PLANE, R + A, 65.96349200605757, -67.8474792809618),  # solid: tips of the opening
        (H, A, 28.98763590531818, -29.20928146720737),  # solid: its sides
    ],
)
def test_a_tilted_plane_leaves_the_wall_where_the_solid_says(
    distance: float, outer: float, up: float, down: float
) -> None:
    high, low = fit.tilted_tips(distance, outer, HALF_DEGREE)
    assert mm(high) == pytest.approx(up, rel=SOLID)
    assert mm(low) == pytest.approx(down, rel=SOLID)
    square = math.sqrt(outer**2 - distance**2) * 1e3
    assert np.allclose([mm(x) for x in fit.tilted_tips(distance, outer, 0.0)], [square, -square])


def test_the_walls_edge_has_the_tilted_planes_tips_and_sides() -> None:
    """Distances along the tilted plane: y over the tilt's cosine."""
    drawn = BentWall(A, R, PLANE)
    tip, side = math.sqrt((R + A) ** 2 - PLANE**2), math.sqrt(A**2 - H**2)
    slant, lean = drawn._replace(slant=HALF_DEGREE), drawn._replace(lean=HALF_DEGREE)
    for wall, at, expected in (
        (slant, (tip, 0.0), 65.96349200605757),
        (slant, (-tip, 0.0), 67.8474792809618),
        (lean, (0.0, side), 28.98763590531818),
        (lean, (0.0, -side), 29.20928146720737),
    ):
        grown = mm(fit.reach(wall, one_station(drawn, *at))) + math.hypot(*at) * 1e3
        assert grown == pytest.approx(expected / math.cos(HALF_DEGREE), rel=1e-9)


def test_a_deeper_cut_steps_out_at_tip_and_side_as_on_the_solid() -> None:
    drawn, deep = BentWall(A, R, PLANE), BentWall(A, R, PLANE - 0.5e-3)
    tip, side = math.sqrt((R + A) ** 2 - PLANE**2), math.sqrt(A**2 - H**2)
    at_tip = fit.reach(deep, one_station(drawn, tip, 0.0))
    at_side = fit.reach(deep, one_station(drawn, 0.0, side))
    assert mm(at_tip) == pytest.approx(0.8001311483476, rel=SOLID)  # solid
    assert mm(at_side) == pytest.approx(0.2131416719390, rel=1e-7)  # solid
    leg = math.radians(22.5)
    run_out, offset = 55.3112e-3, A / 3
    drawn_leg = StraightWall(A, offset, math.sin(leg))
    deep_leg = drawn_leg._replace(offset=offset - 0.5e-3 * math.cos(leg))
    edge = one_station(drawn_leg, (A - offset) / math.sin(leg), 0.0)
    assert edge.t[0] == pytest.approx(run_out, rel=1e-5)
    assert mm(fit.reach(deep_leg, edge)) == pytest.approx(1.2071067811865, rel=SOLID)  # solid
    corner = one_station(drawn_leg, 0.0, math.sqrt(A**2 - offset**2))
    first_order = offset / math.sqrt(A**2 - offset**2) * math.cos(leg) * 0.5e-3
    stepped = fit.reach(deep_leg, corner._replace(normal_t=np.zeros(1), normal_z=np.ones(1)))
    assert mm(stepped) == pytest.approx(0.1593320370510, rel=SOLID)  # solid
    assert mm(stepped) == pytest.approx(mm(first_order), rel=0.03)  # second order is 2.5 %


def test_the_step_is_n_over_root_one_less_n_squared_all_round() -> None:
    """Closed form in the wall's normal; the edge itself for a thousandth of a millimetre."""
    small = 1e-6
    drawn, deep = BentWall(A, R, PLANE), BentWall(A, R, PLANE - small)
    turn = np.linspace(-1.1, 1.1, 23)
    r = R + A * np.cos(turn)
    edge = fit.outline(drawn, np.sqrt(r**2 - PLANE**2), A * np.sin(turn))
    normal = np.cos(turn) * PLANE / r
    expected = fit.step_per_depth(normal) * small
    assert np.allclose(fit.reach(deep, edge), expected, rtol=1e-4)
    tip = math.acos(PLANE / (R + A))
    assert fit.step_per_depth([math.cos(tip)])[0] == pytest.approx(1 / math.tan(tip))
    assert fit.step_per_depth([H / A])[0] == pytest.approx(H / math.sqrt(A**2 - H**2))


def test_a_bend_goes_over_into_its_straight_end_without_a_break() -> None:
    """Just before and just past the bend's end the wall is as far away; a cut runs on."""
    wall = BentWall(A, 0.0635, 0.0635, end=math.pi / 4, start=math.pi / 4)
    y = 0.0635 * np.array([1.0 - 1e-9, 1.0 + 1e-9])
    w = wall.across(y, np.zeros(2))[0]
    assert w[0] == pytest.approx(w[1], abs=1e-9)
    straight = (0.0635 + A - 0.0635 * math.cos(math.pi / 4)) / math.sin(math.pi / 4)
    assert mm(fit.reach(wall, one_station(wall, straight, 0.0))) == pytest.approx(0.0, abs=1e-9)


def test_wedges_and_faces_drawn_together() -> None:
    tip = math.sqrt((R + A) ** 2 - PLANE**2)
    y = np.linspace(-tip, tip, 41)
    assert mm(fit.open_gap(y * math.tan(HALF_DEGREE))) == pytest.approx(
        2e3 * tip * math.tan(HALF_DEGREE)
    )
    shifted = fit.open_gap(np.array([[0.0, 1.0]]), np.array([[5.0, 5.5]]))
    assert shifted[0] == 5.5
    assert mm(fit.round_wedge(0.0635, 0.03, 0.04)) == pytest.approx(
        63.5 * math.hypot(math.tan(0.03), math.tan(0.04))
    )


# The saddle: 50.8 on 63.5, square and centred


def spread(cut: Seating, at: Seating) -> float:
    """Greatest gap along the tube once it touches [mm]."""
    return mm(fit.seated(cut.meets_at(ROUND), ROUND, at).axial.max())


def test_a_short_notch_stands_off_by_its_depth_along_the_tube_less_square_to_the_wall() -> None:
    """Seated it does not: depth is no error of shape."""
    cut = SQUARE.meets_at(ROUND)
    seat = fit.seated(cut + 0.5e-3, ROUND, SQUARE)
    assert mm(seat.out) == pytest.approx(-0.5)
    assert mm(seat.axial.max()) == pytest.approx(0.0, abs=1e-9)
    held = np.hypot(cut + 0.5e-3, 0.0254 * np.sin(ROUND)) - A
    side = np.argmin(np.abs(ROUND - math.pi / 2))
    assert mm(held[side]) == pytest.approx(0.30249600265, rel=SOLID)  # solid
    first_order = 0.5e-3 * np.sqrt(1 - (0.0254 * np.sin(ROUND) / A) ** 2)
    assert np.allclose(held, first_order, rtol=0.01)
    assert held.min() == pytest.approx(held[side])


def test_crossing_twist_and_offset_open_what_the_differences_of_s_say() -> None:
    """Exact differences of s, worked beside the code: 0.88672, 0.44329 and 1.33461 mm."""
    one = math.radians(1.0)
    crossing = spread(SQUARE, SQUARE._replace(angle=math.pi / 2 + one))
    assert crossing == pytest.approx(0.8867172984, rel=1e-6)
    assert crossing == pytest.approx(50.8 * one, rel=2e-4)  # d times the error
    twist = spread(SQUARE, SQUARE._replace(twist=one))
    assert twist == pytest.approx(0.4432910822, rel=1e-5)
    offset = spread(SQUARE, SQUARE._replace(offset=0.5e-3))
    assert offset == pytest.approx(1.3346124617, rel=1e-6)
    assert 2.5 < offset / 0.5 < 3.5


@pytest.mark.parametrize("angle", [90.0, 60.0])
@pytest.mark.parametrize("offset", [0.0, 0.004])
def test_twist_opens_twice_the_steepest_slope(angle: float, offset: float) -> None:
    """2 max|s'| for a small twist, the slope from s itself by differences."""
    at = Seating(A, 0.0254, math.radians(angle), offset)
    small = 1e-6
    slope = np.gradient(at.meets_at(ROUND), ROUND)
    expected = (slope.max() - slope.min()) * small * 1e3
    assert spread(at, at._replace(twist=small)) == pytest.approx(expected, rel=1e-4)
    if angle == 90.0 and offset == 0.0:  # max|s'| is the notch's depth
        depth = A - math.sqrt(A**2 - 0.0254**2)
        assert expected == pytest.approx(2e3 * depth * small, rel=1e-5)


def test_a_tube_rolled_about_the_primarys_axis_fits_as_before() -> None:
    """The primary is round about its axis: points of the edge, rolled, still lie on it."""
    s = SQUARE.meets_at(ROUND)
    edge = np.array([s, 0.0254 * np.cos(ROUND), 0.0254 * np.sin(ROUND)])
    for roll in np.radians([0.5, 3.0]):
        turn = np.array(
            [
                [math.cos(roll), 0, math.sin(roll)],
                [0, 1, 0],
                [-math.sin(roll), 0, math.cos(roll)],
            ]
        )
        x, _, z = turn @ edge
        assert np.allclose(np.hypot(x, z), A, rtol=1e-12)


@pytest.mark.parametrize("ratio", [0.8, 0.9, 0.98])
def test_near_full_size_nothing_is_as_bad_as_the_offset(ratio: float) -> None:
    """Half a millimetre up against half a millimetre of every other error at the tube's rim."""
    at = SQUARE._replace(rho=ratio * A)
    small, rim = 0.5e-3, 0.5e-3 / (ratio * A)
    errors = {
        "offset": at._replace(offset=small),
        "angle": at._replace(angle=math.pi / 2 + rim),
        "twist": at._replace(twist=rim),
        "rho": at._replace(rho=min(at.rho + small / 2, A)),
    }
    gaps = {name: spread(at, error) for name, error in errors.items()}
    assert max(gaps, key=gaps.__getitem__) == "offset"


def test_where_the_tube_hangs_over_the_primary_nothing_holds_it() -> None:
    """Full size and 1 mm high: lines past the primary's side touch nothing; the gap is finite."""
    full = SQUARE._replace(rho=A)
    seat = fit.seated(full.meets_at(ROUND), ROUND, full._replace(offset=1e-3))
    assert np.all(np.isfinite(seat.normal))
    assert seat.normal.min() > -1e-12
    assert np.isneginf(full._replace(offset=1e-3).meets_at(np.array([math.pi / 2])))[0]


def test_samples_are_worked_out_as_one_by_one() -> None:
    off = np.linspace(-1e-3, 1e-3, 5)[:, None]
    drawn = BentWall(A, R, PLANE)
    turn = np.linspace(-1.0, 1.0, 7)
    edge = fit.outline(drawn, np.sqrt((R + A * np.cos(turn)) ** 2 - PLANE**2), A * np.sin(turn))
    together = fit.reach(drawn._replace(plane=PLANE - off), edge)
    apart = [fit.reach(drawn._replace(plane=PLANE - float(one)), edge) for one in off[:, 0]]
    assert np.allclose(together, apart, rtol=0.0, atol=1e-15)
