"""Identities of junctions that divide, join and reverse: no outside source needed."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from exhaust.errors import ExhaustError
from exhaust.flow.junction import (
    dividing_losses,
    lateral_losses,
    leg_pressures,
    mean_loss,
    merge_losses,
)

RHO = 1.2
shares = st.floats(0.01, 1.0)
areas = st.floats(0.05, 3.0)
turns = st.floats(0.0, np.pi)


def planar(*degrees: float) -> np.ndarray:
    """Unit vectors out of the junction at angles in the plane."""
    a = np.radians(np.array(degrees))
    return np.stack([np.cos(a), np.sin(a)], axis=-1)


# One inlet, several outlets


def test_one_straight_tube_loses_nothing():
    assert dividing_losses([1.0], [1.0], 0.0) == pytest.approx([0.0], abs=1e-15)


def test_no_side_flow_costs_the_straight_leg_nothing():
    losses = dividing_losses([1.0, 0.0], [1.0, 0.5], [0.0, 0.7])
    assert losses[0] == pytest.approx(0.0, abs=1e-15)


def test_parallel_outlets_that_keep_the_speed_lose_nothing():
    assert dividing_losses([0.3, 0.7], [0.3, 0.7], 0.0) == pytest.approx([0, 0], abs=1e-15)


def test_one_tube_into_a_larger_one_is_borda_carnot():
    f = np.array([[1.5], [2.0], [4.0]])
    assert dividing_losses([1.0], f, 0.0) == pytest.approx((1 - 1 / f) ** 2, rel=1e-12)


@given(st.lists(st.tuples(shares, areas, turns), min_size=1, max_size=5))
def test_no_outlet_gains_total_pressure(outlets):
    q, f, angle = (np.array(column) for column in zip(*outlets, strict=True))
    q = q / q.sum()
    losses = dividing_losses(q, f, angle)
    assert np.all(losses >= (1 - q / f) ** 2 - 1e-9 * (1 + losses))


def test_a_sharper_turn_costs_more():
    losses = dividing_losses([1.0], [1.0], np.linspace(0, np.pi, 50)[:, None])
    assert np.all(np.diff(losses[:, 0]) > 0)


# The handbook's lateral


def grid() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    q = np.linspace(0.0, 1.0, 201)[:, None, None]
    f = np.linspace(0.02, 1.0, 99)[None, :, None]
    angle = np.radians(np.linspace(30, 90, 41))[None, None, :]
    q, f, angle = np.broadcast_arrays(q, f, angle)
    return q, f, angle


def test_lateral_creates_no_total_pressure_on_its_whole_range():
    q, f, angle = grid()
    losses = lateral_losses(q, f, angle)
    flows = np.stack([q, 1 - q], axis=-1)
    assert mean_loss(flows, losses).min() >= 0.0
    assert losses.min() < -0.5  # one leg alone may well gain


def test_lateral_without_side_flow_costs_the_straight_leg_nothing():
    _, f, angle = grid()
    assert lateral_losses(0.0, f, angle)[..., 1] == pytest.approx(0.0, abs=1e-15)


@given(st.floats(0, 1), st.floats(0.02, 0.3), st.floats(30, 60))
def test_lateral_of_a_small_leg_is_the_momentum_balance(q, f, degrees):
    """Below the step of A and up to 60 degrees the handbook's pair is Levin's momentum balance."""
    angle = np.radians(degrees)
    balance = merge_losses([q, 1 - q], [f, 1.0], [angle, 0.0])
    size = 1 + (q / f) ** 2
    assert lateral_losses(q, f, angle) == pytest.approx(balance, abs=1e-9 * size)


def test_no_cliff_at_the_step_of_the_factor_or_anywhere():
    """No two neighbours on a fine grid differ by more than the steepest slope allows."""
    q = np.linspace(0.2, 0.8, 25)[:, None]
    for angle in np.radians([30, 45, 60, 75, 90]):
        coarse, fine = (
            np.abs(np.diff(lateral_losses(q, np.linspace(0.28, 0.42, n), angle), axis=1)).max()
            for n in (141, 281)
        )
        # A cliff would stay as high on the finer grid; a slope halves.
        assert fine < 0.55 * coarse
    q = np.linspace(0.3, 0.5, 201)
    assert np.abs(np.diff(lateral_losses(q, 0.8, np.pi / 4), axis=0)).max() < 0.01
    angle = np.radians(np.linspace(55, 90, 141))
    assert np.abs(np.diff(lateral_losses(0.5, 0.8, angle), axis=0)).max() < 0.01


# Any number of legs, either way


def test_equal_areas_straight_through_cost_nothing():
    p0 = leg_pressures([0.1, -0.1], 0.002, planar(180, 0), RHO)
    assert p0[0] == pytest.approx(p0[1], rel=1e-12)
    assert p0[0] == pytest.approx(RHO * 50**2 / 2, rel=1e-12)  # 0.1 / 0.002 m/s


@pytest.mark.parametrize("sign", [1, -1])
def test_a_dead_leg_costs_nothing_and_feels_the_static_pressure(sign):
    p0 = leg_pressures(np.array([0.1, -0.1, 0.0]) * sign, 0.002, planar(180, 0, 70), RHO)
    assert p0[0] == pytest.approx(p0[1], rel=1e-12)
    assert p0[2] == pytest.approx(0.0, abs=1e-9)


def test_nothing_flows():
    assert leg_pressures([0.0, 0.0, 0.0], 0.002, planar(180, 0, 70), RHO).tolist() == [0, 0, 0]


@given(
    st.lists(st.tuples(areas, st.floats(0, 1.5)), min_size=2, max_size=4),
    st.lists(st.floats(0.15, 1.0), min_size=4, max_size=4),
)
def test_one_outlet_is_the_merge(legs, flows):
    f, angle = (np.array(column) for column in zip(*legs, strict=True))
    q = np.array(flows[: len(f)])
    q = q / q.sum()
    assume(q.max() <= 0.9)  # beyond it the merge shades into a turn
    axis = np.vstack([planar(*(180 + np.degrees(angle))), planar(0)])
    p0 = leg_pressures([*q, -1.0], [*f, 1.0], axis, RHO)
    expected = merge_losses(q, f, angle)
    assert (p0[:-1] - p0[-1]) / (RHO / 2) == pytest.approx(
        expected, abs=1e-9 * (1 + np.max((q / f) ** 2))
    )


@given(st.lists(st.tuples(shares, areas, turns), min_size=1, max_size=4))
def test_one_inlet_is_the_split(legs):
    q, f, angle = (np.array(column) for column in zip(*legs, strict=True))
    q = q / q.sum()
    axis = np.vstack([planar(180), planar(*np.degrees(angle))])
    p0 = leg_pressures([1.0, *-q], [1.0, *f], axis, RHO)
    expected = dividing_losses(q, f, angle)
    # The angle comes back from a cosine: its rounding near 0 and 180 degrees is 1e-8.
    assert (p0[0] - p0[1:]) / (RHO / 2) == pytest.approx(expected, abs=1e-6 * (1 + expected.max()))


vectors = st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda v: np.linalg.norm(v) > 0.1)
junctions = st.lists(st.tuples(st.floats(-1, 1), areas, vectors), min_size=2, max_size=6)


def unpacked(legs: list[tuple]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    flow, area, axis = (np.array(column) for column in zip(*legs, strict=True))
    flow = np.round(flow - flow.mean(), 6)
    flow[-1] = -flow[:-1].sum()
    return flow, area, axis / np.linalg.norm(axis, axis=-1, keepdims=True)


@given(junctions)
def test_no_junction_creates_total_pressure(legs):
    """Second law in space: what comes in carries at least the power of what goes out.

    The floor is that of outlets that expand suddenly from the speed of the mixed momentum.
    """
    flow, area, axis = unpacked(legs)
    p0 = leg_pressures(flow, area, axis, RHO)
    into, out, u = np.maximum(flow, 0), np.maximum(-flow, 0), np.abs(flow) / area
    mixed = np.linalg.norm((into * u) @ axis) / max(into.sum(), 1e-300)
    floor = RHO / 2 * np.sum(out * (u - mixed) ** 2)
    assert np.sum(flow * p0) >= floor - 1e-9 * np.sum(np.abs(flow * p0))


def test_second_law_on_a_grid_of_both_ways_of_flow():
    """A wye's three flows round the whole circle, its angle and area: all six ways of flowing."""
    way = np.linspace(0, 2 * np.pi, 241)[:, None, None]
    angle = np.radians(np.linspace(0, 180, 37))[None, :, None]
    area = np.array([0.1, 0.3, 0.35, 0.5, 0.8, 1.0, 1.5])[None, None, :]
    way, angle, area = np.broadcast_arrays(way, angle, area)
    flow = np.stack([np.cos(way + k * 2 * np.pi / 3) for k in range(3)], axis=-1)
    areas_of = np.stack([np.ones_like(area), np.ones_like(area), area], axis=-1)
    side = np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    axis = np.stack([np.broadcast_to(v, side.shape) for v in ([-1, 0], [1, 0])] + [side], axis=-2)
    p0 = leg_pressures(flow - flow.mean(axis=-1, keepdims=True), areas_of, axis, 1.0)
    lost = np.sum(flow * p0, axis=-1)
    assert lost.shape == (241, 37, 7)
    assert lost.min() >= -1e-12


@given(junctions.filter(lambda legs: len(legs) > 2))
def test_nothing_jumps_when_a_leg_reverses(legs):
    """One leg at a trickle in and at a trickle out: pressures differ by no more than it can do."""
    flow, area, axis = unpacked(legs)
    flow[1] += flow[0]
    flow[0] = 0.0
    size = 1 + np.max((flow / area) ** 2)
    trickle = 1e-9
    assume(np.sum(np.abs(flow)) > 0.1)
    shift = np.zeros_like(flow)
    shift[0], shift[1] = trickle, -trickle
    p_in, p_out = (leg_pressures(flow + s * shift, area, axis, RHO) for s in (1, -1))
    # Slopes reach 1e4 for a leg of a twentieth; an angle from its cosine adds a root near 0.
    assert np.max(np.abs(p_in - p_out)) < 1e-3 * size


def test_a_sweep_through_reversal_is_smooth():
    """A 45 degree lateral, its side leg from a fifth in to a fifth out; the straight leg takes
    the rest: differences halve with the step, as a cliff's would not."""
    highest = []
    for n in (401, 801):
        side = np.linspace(0.2, -0.2, n)
        flow = np.stack([np.ones(n), side, -1 - side], axis=-1)
        p0 = leg_pressures(flow, [1.0, 0.5, 1.0], planar(180, 135, 0), RHO)
        highest.append(np.abs(np.diff(p0, axis=0)).max())
    assert highest[1] < 0.55 * highest[0]


@given(junctions, st.floats(0.1, 10))
def test_pressure_goes_with_the_square_of_flow(legs, factor):
    flow, area, axis = unpacked(legs)
    once = leg_pressures(flow, area, axis, RHO)
    more = leg_pressures(flow * factor, area, axis, RHO)
    assert more == pytest.approx(once * factor**2, rel=1e-6, abs=1e-9 * (1 + np.abs(more).max()))


@given(junctions, st.floats(0, 2 * np.pi))
def test_turning_the_whole_junction_changes_nothing(legs, angle):
    flow, area, axis = unpacked(legs)
    c, s = np.cos(angle), np.sin(angle)
    turned = axis @ np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]])
    here, there = (leg_pressures(flow, area, e, RHO) for e in (axis, turned))
    assert there == pytest.approx(here, abs=1e-6 * (1 + np.abs(here).max()))


def test_four_legs_opposed_in_pairs_lose_the_heads_that_meet():
    """Two equal streams head on, out at right angles: no momentum is left to drive the outlets,
    which leave with p0 = -rho u^2/2: by hand."""
    p0 = leg_pressures([1.0, 1.0, -1.0, -1.0], 1.0, planar(0, 180, 90, 270), 2.0)
    assert p0 == pytest.approx([1.0, 1.0, -1.0, -1.0], abs=1e-12)


def test_many_junctions_at_once():
    flow = np.array([[0.1, -0.06, -0.04], [-0.1, 0.03, 0.07]])
    many = leg_pressures(flow, 0.002, planar(180, 0, 60), np.array([1.2, 0.4]))
    one = leg_pressures(flow[1], 0.002, planar(180, 0, 60), 0.4)
    assert many.shape == (2, 3)
    assert many[1] == pytest.approx(one)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: dividing_losses(1.0, 1.0, 0.0), "flow_share must list its outlets"),
        (lambda: dividing_losses([0.5, 0.6], 1.0, 0.0), "flow_share must be shares that add up"),
        (lambda: dividing_losses([1.0], [0.0], 0.0), "area_share must be more than zero"),
        (lambda: dividing_losses([1.0], [1.0], 3.5), "angle must be between 0 and 180 degrees"),
        (lambda: lateral_losses(1.5, 0.5, 1.0), "side_share must be between 0 and 1 .got 1.5"),
        (lambda: lateral_losses(0.5, 1.5, 1.0), "area_share must be above 0 and up to 1"),
        (lambda: lateral_losses(0.5, 0.5, 0.2), "angle must be between 30 and 90 degrees"),
        (
            lambda: leg_pressures([0.1, -0.2], 1.0, planar(180, 0), RHO),
            "flow must add up to nought",
        ),
        (lambda: leg_pressures([1, -1], [1, 0], planar(180, 0), RHO), "area must be more than"),
        (lambda: leg_pressures([1, -1], 1.0, [[-1, 0], [2, 0]], RHO), "axis must be one long"),
        (lambda: leg_pressures([1, -1], 1.0, [-1, 1], RHO), "axis must list a vector for each"),
        (lambda: leg_pressures([1, -1], 1.0, planar(180, 0), 0.0), "density must be more than"),
        (
            lambda: leg_pressures([np.nan, -1], 1.0, planar(180, 0), RHO),
            "flow must add up to nought",
        ),
    ],
)
def test_refusals(call, words):
    with pytest.raises(ExhaustError, match=words):
        call()
