"""What a measured opening shows: the closed forms, undone."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from exhaust.errors import ExhaustError
from exhaust.geometry.shown import leg_offset_shown, offset_shown, plane_shown, tip_distance

HEEL = 0.127  # R + a of a 63.5 mm tube at 1.5 D


@given(theta=st.floats(0.2, 1.5), plane=st.floats(0.065, 0.1269))
@settings(max_examples=200, deadline=None)
def test_a_tip_shows_the_plane_that_left_it(theta: float, plane: float) -> None:
    """Exact: there and back, on the bend and past it on the straight end, to a picometre."""
    assert plane_shown(HEEL, theta, tip_distance(HEEL, theta, plane)) == pytest.approx(
        plane, abs=1e-12
    )


@given(theta=st.floats(0.3, 1.4), tip=st.floats(0.02, 0.2))
@settings(max_examples=60, deadline=None)
def test_a_root_finder_shows_the_same_plane(theta: float, tip: float) -> None:
    """Independent: the forward form searched by Brent's method, to a nanometre."""
    found = brentq(lambda plane: tip_distance(HEEL, theta, plane) - tip, -1.0, HEEL, xtol=1e-13)
    assert plane_shown(HEEL, theta, tip) == pytest.approx(float(found), abs=1e-9)


def test_a_half_turn_has_no_straight_end_to_run_onto() -> None:
    assert plane_shown(HEEL, math.pi / 2, 0.1) == pytest.approx(math.sqrt(0.127**2 - 0.1**2))
    with pytest.raises(ExhaustError, match="tip must be less than 127 mm"):
        plane_shown(HEEL, math.pi / 2, 0.13)


def test_heights_and_run_outs_are_undone() -> None:
    """Exact: right triangles in the tube's section and along the leg."""
    assert offset_shown(0.05, 0.08) == pytest.approx(0.03, abs=1e-15)  # 3, 4, 5
    assert leg_offset_shown(0.05, math.pi / 6, 0.08) == pytest.approx(0.01, abs=1e-15)
    with pytest.raises(ExhaustError, match="height must be between zero and the tube's own 100 mm"):
        offset_shown(0.05, 0.101)
    for wrong in (0.0, -0.01, math.nan):
        with pytest.raises(ExhaustError, match="run_out must be more than zero"):
            leg_offset_shown(0.05, 0.3, wrong)
        with pytest.raises(ExhaustError, match="tip must be more than zero"):
            plane_shown(HEEL, 0.7, wrong)
