"""Where the tubes come out: worked values, round trips, limits, the kerf of a halved bend."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust.errors import ExhaustError
from exhaust.geometry import crossover, elbow
from exhaust.geometry.crossover import Quarter

DEGREE = math.pi / 180
QUARTER_TURN = 45 * DEGREE
EXACT = 1e-12  # closed forms in double precision


def offset(radius: float, cutback: float) -> float:
    return radius * (1 - 2 * cutback)


# cutback, straight: spacing, length, centreline, spacing per degree [mm]; 63.5 on clr 95.25.
# Closed form and solid model, worked case.
WORKED = [
    (0.30, 30.0, 179.41872323911824, 311.8340905032674, 359.2367002544278, 5.442531599243998),
    (0.25, 0.0, 143.34231636792538, 269.40768363207457, 299.2367002544278, 4.702051109550936),
]


@pytest.mark.parametrize(("f", "s", "spacing", "length", "centreline", "per_degree"), WORKED)
def test_exits_as_worked(
    f: float, s: float, spacing: float, length: float, centreline: float, per_degree: float
) -> None:
    q = Quarter(offset(31.75, f), 95.25, 95.25, QUARTER_TURN, s)
    assert crossover.spacing(q) == pytest.approx(spacing, rel=EXACT)
    assert crossover.straight_for(q, spacing) == pytest.approx(s, abs=1e-12)
    assert crossover.overall_length(q) == pytest.approx(length, rel=EXACT)
    assert crossover.centreline_length(q) == pytest.approx(centreline, rel=EXACT)
    assert crossover.spacing_per_angle(q) * DEGREE == pytest.approx(per_degree, rel=EXACT)


def test_trap_9_a_negative_straight_is_not_a_short_leg() -> None:
    """Spacing 120 mm, f = 0.30: s would be -12.0 at 45°, so 41.26°. Closed form and solid model,
    worked case. Taking s = -12.0 for an answer, or as zero, fails here."""
    q = Quarter(offset(31.75, 0.30), 95.25, 95.25, QUARTER_TURN)
    assert crossover.straight_for(q, 120.0) == pytest.approx(-12.015382131827206, rel=EXACT)
    theta = crossover.trimmed_half_angle(q, 120.0)
    assert theta / DEGREE == pytest.approx(41.26162305419518, rel=EXACT)
    at = q._replace(half_angle=theta)
    assert crossover.spacing(at) == pytest.approx(120.0, rel=EXACT)
    assert crossover.overall_length(at) == pytest.approx(251.26885998865833, rel=EXACT)


@given(st.floats(60.0, 400.0), st.floats(60.0, 400.0), st.floats(5.0, 90.0), st.floats(0.0, 300.0))
def test_spacing_and_straight_undo_each_other(r: float, r2: float, deg: float, s: float) -> None:
    """Round trip; a straight is found to a few parts in 1e12 of the spacing over sin theta."""
    q = Quarter(12.7, r, r2, deg * DEGREE, s)
    wanted = crossover.spacing(q)
    got = crossover.straight_for(q, wanted)
    assert got == pytest.approx(s, abs=1e-13 * wanted / math.sin(q.half_angle) + 1e-12)


@given(st.floats(60.0, 400.0), st.floats(60.0, 400.0), st.floats(5.0, 90.0))
def test_trimmed_angle_gives_the_spacing_asked(r: float, r2: float, deg: float) -> None:
    """Round trip; also that the two radii count, not twice the first."""
    wanted = crossover.spacing(Quarter(12.7, r, r2, deg * DEGREE))
    theta = crossover.trimmed_half_angle(Quarter(12.7, r, r2, QUARTER_TURN), wanted)
    assert crossover.spacing(Quarter(12.7, r, r2, theta)) == pytest.approx(wanted, rel=EXACT)
    assert theta == pytest.approx(deg * DEGREE, rel=1e-9)


@given(st.floats(5.0, 85.0), st.floats(0.0, 200.0))
def test_spacing_per_angle_is_the_slope(deg: float, s: float) -> None:
    """Central difference of the spacing; its own error is 2e-9 at this step."""
    q = Quarter(12.7, 95.25, 120.0, deg * DEGREE, s, end=15.0)
    step = 1e-4
    up, down = (q._replace(half_angle=q.half_angle + k * step) for k in (1, -1))
    slope = (crossover.spacing(up) - crossover.spacing(down)) / (2 * step)
    assert crossover.spacing_per_angle(q) == pytest.approx(slope, rel=1e-7)


@pytest.mark.parametrize(
    ("clr_over_od", "cutback", "over_od"),
    [(1.5, 0.30, 1.30), (1.5, 0.25, 1.25), (1.0, 0.30, 1.20), (1.0, 0.375, 1.25)],
)
def test_least_spacing_in_round_numbers(clr_over_od: float, cutback: float, over_od: float) -> None:
    """Exact, both bends alike: D (1 + f) at 1.5 D, D (1 + 2f/3) at 1.0 D."""
    q = Quarter(offset(0.5, cutback), clr_over_od, clr_over_od, QUARTER_TURN)
    assert crossover.least_spacing(q, 0.5) == pytest.approx(over_od, rel=EXACT)


@given(st.floats(1.0, 3.0), st.floats(0.6, 3.0), st.floats(20.0, 80.0))
def test_least_spacing_has_the_tip_at_the_end_of_the_bend(
    clr: float, back: float, deg: float
) -> None:
    """Both branches: trimmed to the tip, or straight as long as the run-on; one at the limit."""
    theta = deg * DEGREE
    most = elbow.reach(clr, 0.5, theta)
    for cutback in (0.7 * most, most, 1.2 * most):
        if not 0.03 < cutback < 0.95:
            continue
        q = Quarter(offset(0.5, cutback), clr, back, theta)
        least = crossover.least_spacing(q, 0.5)
        assert least > 1.0  # the tubes never touch
        if cutback <= most:
            half = crossover.trimmed_half_angle(q, least)
            straight = 0.0
        else:
            half, straight = theta, crossover.straight_for(q, least)
        cut = elbow.SlicedElbow(clr, 0.5, 0.02, half, straight + 1e-6, cutback)
        assert elbow.run_on(cut) == pytest.approx(straight, abs=1e-6)
        if cutback <= most:
            assert elbow.tip_angle(cut, 0.5) == pytest.approx(half, rel=1e-7)


@given(st.floats(1.0, 3.0), st.floats(0.6, 3.0), st.floats(20.0, 60.0))
def test_least_spacing_is_continuous_across_the_bend_end(
    clr: float, back: float, deg: float
) -> None:
    most = elbow.reach(clr, 0.5, deg * DEGREE)
    below, above = (
        crossover.least_spacing(
            Quarter(offset(0.5, most * (1 + k * 1e-9)), clr, back, deg * DEGREE), 0.5
        )
        for k in (-1, 1)
    )
    assert below == pytest.approx(above, rel=1e-7)


def test_a_spacing_that_no_angle_gives_is_refused() -> None:
    q = Quarter(12.7e-3, 95.25e-3, 95.25e-3, QUARTER_TURN)
    with pytest.raises(ExhaustError, match=r"spacing must be between 25\.4 and 787\.4 mm"):
        crossover.trimmed_half_angle(q, 0.02)


def test_halved_bend_as_worked() -> None:
    """Kerf 3 mm in 63.5 on clr 95.25; closed form and solid model, worked case [mm]."""
    low, high = crossover.halved_face(95.25, 31.75, 3.0)
    assert high == pytest.approx(126.99114142332921, rel=EXACT)
    assert low == pytest.approx(63.48228099241551, rel=EXACT)
    assert high - low == pytest.approx(63.5088604309137, rel=EXACT)
    assert crossover.halved_length_lost(95.25, 3.0) == pytest.approx(1.5000620070442494, rel=EXACT)


def test_trap_8_the_kerf_of_a_halved_bend_costs_length_by_its_end() -> None:
    """Inward it moves the exits as a straight of -k/2 each; a halved 90 leaves two 45s."""
    q = Quarter(12.7, 95.25, 95.25, QUARTER_TURN, 30.0)
    nearer = crossover.spacing(q) - crossover.spacing(q._replace(straight=30.0 - 1.5))
    assert crossover.halved_spacing_lost(QUARTER_TURN, 3.0) == pytest.approx(nearer, rel=1e-11)
    outward = q._replace(end=-1.5)
    assert crossover.spacing(outward) == crossover.spacing(q)
    assert crossover.overall_length(q) - crossover.overall_length(outward) == pytest.approx(3.0)


def test_a_kerf_wider_than_the_bend_is_refused() -> None:
    with pytest.raises(ExhaustError, match="kerf must be between zero and 127 mm"):
        crossover.halved_face(95.25e-3, 31.75e-3, 0.2)
    with pytest.raises(ExhaustError, match="kerf must be between zero"):
        crossover.halved_spacing_lost(QUARTER_TURN, -1e-3)
