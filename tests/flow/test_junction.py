"""Identities of the merge: no outside source needed."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust.errors import ExhaustError
from exhaust.flow.junction import mean_loss, merge_losses


def test_parallel_streams_into_the_summed_area_lose_nothing():
    losses = merge_losses([0.5, 0.5], [0.5, 0.5], 0.0)
    assert losses == pytest.approx([0.0, 0.0], abs=1e-15)


def test_one_straight_tube_loses_nothing():
    assert merge_losses([1.0], [1.0], 0.0) == pytest.approx([0.0], abs=1e-15)


def test_one_tube_into_a_larger_one_is_borda_carnot():
    """K on the outlet's head is (1/f - 1)^2: exact, and known since 1766."""
    f = np.array([[0.25], [0.5], [0.9]])
    assert merge_losses([1.0], f, 0.0) == pytest.approx((1 / f - 1) ** 2, rel=1e-12)


def test_a_dead_leg_changes_nothing_in_the_straight_one():
    assert merge_losses([0.0, 1.0], [0.5, 1.0], [0.7, 0.0])[1] == pytest.approx(0.0, abs=1e-15)


def test_many_inlets_and_many_cases_at_once():
    q = np.full(4, 0.25)
    f = np.array([0.25, 0.5, 1.0])[:, None]
    losses = merge_losses(q, f, 0.0)
    assert losses.shape == (3, 4)
    # four equal parallel legs: K = (1 - 1/(4 f))^2, by hand
    expected = (1 - 1 / (4 * f)) ** 2 * np.ones(4)
    assert losses == pytest.approx(expected, abs=1e-12)


shares = st.floats(0.01, 1.0)
areas = st.floats(0.05, 3.0)
angles = st.floats(0.0, np.pi / 2)


@given(st.lists(st.tuples(shares, areas, angles), min_size=1, max_size=5))
def test_no_merge_creates_total_pressure(inlets):
    """Second law: sum q K is not below nought, whatever a single K does."""
    q, f, angle = (np.array(column) for column in zip(*inlets, strict=True))
    q = q / q.sum()
    mean = float(mean_loss(q, merge_losses(q, f, angle)))
    floor = float(np.sum(q * (1 - q / f) ** 2))
    assert mean >= floor - 1e-9 * (1 + abs(mean))


def test_second_law_on_a_grid_where_fitted_pairs_break_it():
    q = np.linspace(0.0, 1.0, 101)[:, None, None]
    f = np.linspace(0.1, 1.5, 29)[None, :, None]
    angle = np.radians([10.0, 30.0, 45.0, 60.0, 90.0])
    q, f, angle = np.broadcast_arrays(q, f, angle)
    flows = np.stack([q, 1 - q], axis=-1)
    areas = np.stack([f, np.ones_like(f)], axis=-1)
    turns = np.stack([angle, np.zeros_like(angle)], axis=-1)
    losses = merge_losses(flows, areas, turns)
    assert mean_loss(flows, losses).min() >= -1e-12
    assert losses.min() < -0.5  # one inlet alone may well gain


@pytest.mark.parametrize(
    ("flow", "area", "words"),
    [
        ([0.5, 0.6], [1.0, 1.0], "flow_share must be shares that add up to one"),
        ([-0.5, 1.5], [1.0, 1.0], "flow_share must be shares that add up to one"),
        ([0.5, 0.5], [1.0, 0.0], "area_share must be more than zero"),
    ],
)
def test_refusals(flow, area, words):
    with pytest.raises(ExhaustError, match=words):
        merge_losses(flow, area, 0.0)


def test_a_single_number_is_not_a_list_of_inlets():
    with pytest.raises(ExhaustError, match="flow_share must list its inlets"):
        merge_losses(1.0, 1.0, 0.0)
