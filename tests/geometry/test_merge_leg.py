"""One leg of a merge: what is left behind its tip, what slips and the kerf take of it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust.errors import ExhaustError
from exhaust.geometry import elbow, merge_leg
from exhaust.geometry.elbow import SlicedElbow

DEGREE = math.pi / 180
EXACT = 1e-12  # closed forms in double precision
SLOPE = 1e-6  # central differences over 1e-5 of the size

HALF = SlicedElbow(95.25, 31.75, 1.651, 45 * DEGREE, 0.0, 0.5)
ON = SlicedElbow(63.5, 31.75, 1.651, 45 * DEGREE, 30.0, 0.5)  # runs on to the straight


def test_left_behind_the_tip_as_worked() -> None:
    """3.590 deg of 45 left at a half, 10.818 at 0.3455; 13.21 deg or 29.28 mm at 0.30. Closed
    form and solid model, worked cases [mm]."""
    heel = 95.25 + 31.75
    for cutback, left in ((0.5, 3.590377890729137), (0.3454915028125263, 10.817707459729021)):
        cut = SlicedElbow(95.25, 31.75, 1.651, 45 * DEGREE, 0.0, cutback)
        got = merge_leg.left_behind_tip(cut)
        assert got == pytest.approx(heel * left * DEGREE, rel=1e-10)
    shallow = SlicedElbow(95.25, 31.75, 1.651, 45 * DEGREE, 0.0, 0.3)
    assert merge_leg.left_behind_tip(shallow) == pytest.approx(29.28456556300685, rel=EXACT)


def test_past_the_end_it_is_what_runs_on() -> None:
    """4.903 mm on to the straight of a 57.15 bend at 1.0 D, half off; worked case."""
    cut = SlicedElbow(57.15, 28.575, 1.651, 45 * DEGREE, 20.0, 0.5)
    assert merge_leg.left_behind_tip(cut) == pytest.approx(-4.902694910377633, rel=EXACT)
    assert merge_leg.left_behind_tip(cut) == pytest.approx(-elbow.run_on(cut), rel=EXACT)


@pytest.mark.parametrize("cut", [HALF, ON])
def test_what_slips_take_is_the_slope(cut: SlicedElbow) -> None:
    step = 1e-4
    by_depth = [merge_leg.left_behind_tip(cut, deeper=d) for d in (-step, step)]
    taken = (by_depth[0] - by_depth[1]) / (2 * step)
    assert merge_leg.taken_per_depth(cut) == pytest.approx(taken, rel=SLOPE)
    by_angle = [merge_leg.left_behind_tip(cut, short=d) for d in (-step / 100, step / 100)]
    taken = (by_angle[0] - by_angle[1]) / (2 * step / 100)
    assert merge_leg.taken_per_angle(cut) == pytest.approx(taken, rel=SLOPE)


@given(st.floats(0.05, 0.95))
def test_the_tip_leaves_the_bend_without_a_jump(cutback: float) -> None:
    """Invariant: at the end of the bend the arc and the straight read the same, with one slope."""
    cut = SlicedElbow(95.25, 31.75, 1.651, 45 * DEGREE, 500.0, cutback)
    to_the_end = cut.plane - (cut.clr + cut.radius) * math.cos(cut.half_angle)  # of more depth
    before, after = (
        merge_leg.left_behind_tip(cut, deeper=to_the_end + step) for step in (-1e-6, 1e-6)
    )
    assert before == pytest.approx(1e-6 / math.sin(45 * DEGREE), rel=1e-3)
    assert after == pytest.approx(-1e-6 / math.sin(45 * DEGREE), rel=1e-3)


def test_trap_8_the_kerf_of_halving_comes_off_the_opening() -> None:
    """Sawn face to tip is half a kerf less, but for the 0.009 mm by which the face is wider at
    3 mm (worked case: its edge stands 126.99114142 from the axis); nothing of it is an angle."""
    sawn = merge_leg.sawn_opening_length(HALF, 3.0)
    whole = elbow.opening_length(HALF, HALF.radius) / 2
    edge = 126.99114142332921  # worked case
    assert merge_leg.sawn_plane(HALF, 3.0) == pytest.approx(edge - 31.75, rel=EXACT)
    assert sawn == pytest.approx(math.sqrt(127.0**2 - (edge - 31.75) ** 2) - 1.5, rel=EXACT)
    assert whole - sawn == pytest.approx(1.5, abs=0.011)
    # taken as an angle about the bend's axis it would be k/2R of arc on the heel: 2 mm
    assert abs(whole - sawn - 1.5) < 0.02 * (3.0 / 2 / 95.25 * 127.0)
    on = merge_leg.sawn_opening_length(ON, 0.0)
    assert on == pytest.approx(elbow.opening_length(ON, ON.radius) / 2, rel=EXACT)


def test_the_end_of_a_splayed_leg() -> None:
    """Exact: a square-cut end seen from the joint's long direction; round again at both limits."""
    assert merge_leg.end_width(31.75, 60 * DEGREE) == pytest.approx(31.75, rel=EXACT)
    assert merge_leg.end_reach(31.75, 30 * DEGREE) == pytest.approx(15.875, rel=EXACT)
    assert merge_leg.end_width(31.75, 0.0) == 63.5
    assert merge_leg.end_reach(31.75, 0.0) == 0.0


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ExhaustError, match="short must be less than 45 deg"):
        merge_leg.left_behind_tip(HALF, short=46 * DEGREE)
    with pytest.raises(ExhaustError, match="deeper must keep the cut within"):
        merge_leg.left_behind_tip(HALF, deeper=300.0)
    with pytest.raises(ExhaustError, match="kerf must be between zero"):
        merge_leg.sawn_plane(HALF, -1.0)
