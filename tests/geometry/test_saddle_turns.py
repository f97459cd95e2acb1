"""Where a saddle's edge turns round: other finders, flush and nearly flush sides, a refusal.

Lengths over the primary's radius: the kernel only needs one unit.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from exhaust.errors import ExhaustError
from exhaust.geometry import saddle, saddle_edge, saddle_measures, saddle_turns
from exhaust.geometry.saddle import Crossing, Saddle

DEGREE = math.pi / 180
ALIKE = 1e-9  # another finder
FLUSH = 1e-7  # the same where its square root of a difference has lost half of the digits
CLOCK = np.linspace(-math.pi, math.pi, 721)

Curve = Callable[[float], float]


def least(curve: Curve) -> float:
    """Independent: scipy's bounded search around the three lowest of 720 samples."""
    values = np.array([curve(c) for c in CLOCK])
    found = [float(values.min())]
    dips = np.flatnonzero((values <= np.roll(values, 1)) & (values <= np.roll(values, -1)))
    for k in dips[np.argsort(values[dips])[:3]]:
        around = (CLOCK[k] - 0.01, CLOCK[k] + 0.01)
        got = minimize_scalar(curve, bounds=around, method="bounded", options={"xatol": 1e-12})
        found.append(float(got.fun))
    return min(found)


def height(primary: float, q: float) -> float:
    return math.sqrt(max((primary - q) * (primary + q), 0.0))


ratios, degrees = st.floats(0.1, 1.0), st.floats(15.0, 165.0)
shares = st.floats(-1.0, 1.0)


@given(ratios, degrees, shares)
@example(0.5, 60.0, 1.0)  # flush with one side: a kink there
@example(0.5, 60.0, 1.0 - 1e-9)
@example(0.5, 90.000001, 0.4)
@example(0.5, 60.0, 1e-12)
@example(0.25, 60.0, 0.1)  # level² A = lean² rho along the primary: two roots together at a side
def test_spans_by_another_finder(ratio: float, deg: float, share: float) -> None:
    crossing = Crossing(1.0, ratio, deg * DEGREE, share * (1.0 - ratio))
    sine, cosine = math.sin(crossing.angle), math.cos(crossing.angle)

    def on_tube(c: float) -> float:
        root = height(1.0, ratio * math.sin(c) + crossing.offset)
        return (root + ratio * math.cos(c) * cosine) / sine

    def along(c: float) -> float:
        root = height(1.0, ratio * math.sin(c) + crossing.offset)
        return (root * cosine + ratio * math.cos(c)) / sine

    for span, curve in (
        (saddle.span_on_tube(crossing), on_tube),
        (saddle.span_on_primary(crossing), along),
    ):
        near = FLUSH if ratio + abs(crossing.offset) > 1.0 - 1e-8 else ALIKE
        assert span[0] == pytest.approx(least(curve), abs=near)
        assert span[1] == pytest.approx(-least(lambda c, f=curve: -f(c)), abs=near)  # type: ignore[misc]


@pytest.mark.parametrize("deg", [45.0, 75.0, 89.9, 110.0])
@pytest.mark.parametrize("side", [1.0, -1.0])
def test_a_flush_side_is_the_long_point(deg: float, side: float) -> None:
    """Exact: there the surfaces touch on the primary's own axis, and the edge has a kink."""
    crossing = Crossing(1.0, 0.4, deg * DEGREE, side * 0.6)
    assert saddle.span_on_tube(crossing)[0] == pytest.approx(0.0, abs=1e-15)


@given(st.floats(0.3, 0.95), st.floats(0.02, 0.2), st.floats(40.0, 140.0), shares)
def test_long_point_of_a_straight_edge_by_another_finder(
    ratio: float, wall: float, deg: float, share: float
) -> None:
    """Independent: of the greatest over 41 radii of the wall, refined by a search over the wall."""
    offset = share * (1.0 - ratio)
    joint = Saddle(1.0, 1e-6, ratio, wall * ratio, deg * DEGREE, offset)
    sine, cosine = math.sin(joint.angle), math.cos(joint.angle)

    def of(rho: float, c: float) -> float:
        root = height(1.0, rho * math.sin(c) + offset)
        return (root + rho * math.cos(c) * cosine) / sine

    def seat(c: float) -> float:
        ends = (joint.bore, joint.radius)
        inner = minimize_scalar(
            lambda rho: -of(rho, c), bounds=ends, method="bounded", options={"xatol": 1e-10}
        )
        return max(-float(inner.fun), *(of(rho, c) for rho in ends))

    low, high = saddle_edge.edge_span(joint, "straight")
    seats = np.array([seat(c) for c in CLOCK[::8]])
    k = int(np.argmin(seats))
    around = (CLOCK[::8][k] - 0.08, CLOCK[::8][k] + 0.08)
    got = minimize_scalar(seat, bounds=around, method="bounded", options={"xatol": 1e-9})
    assert low == pytest.approx(min(float(got.fun), float(seats.min())), abs=1e-7)
    assert high >= seats.max() - 1e-12


@given(st.floats(0.2, 0.95), st.floats(60.0, 120.0), st.floats(0.0, 50.0), shares)
def test_lines_between_splayed_primaries_are_one_curve(
    ratio: float, deg: float, splay: float, share: float
) -> None:
    """Independent: both ends' distances added line by line, and scipy's search."""
    first = Saddle(1.0, 0.01, ratio, 0.02, (deg + splay / 2) * DEGREE, share * (1 - ratio) * 0.9)
    tube = saddle_measures.between(6.0, first, splay * DEGREE)

    def line(c: float) -> float:
        taken = 0.0
        for end in (tube.first, tube.second):
            root = height(1.0, ratio * math.sin(c) + end.offset)
            taken += (root + ratio * math.cos(c) * math.cos(end.angle)) / math.sin(end.angle)
        return tube.length - taken

    shortest, longest = saddle_measures.line_lengths(tube)
    assert shortest == pytest.approx(least(line), abs=ALIKE)
    assert longest == pytest.approx(-least(lambda c: -line(c)), abs=ALIKE)


@given(ratios, degrees, shares)
def test_every_turn_of_a_fine_sampling_is_found(ratio: float, deg: float, share: float) -> None:
    """Between two samples where the curve stops rising or falling there is a turn."""
    crossing = Crossing(1.0, ratio, deg * DEGREE, share * (1.0 - ratio))
    turns = np.array(saddle.curve_along(crossing).turns())
    curve = saddle.hole(crossing, CLOCK)[1]
    rises = np.diff(curve)
    real = np.abs(rises) > 1e-12  # a flatter step is rounding
    for k in np.flatnonzero((rises[1:] * rises[:-1] < 0) & real[1:] & real[:-1]):
        away = np.mod(turns - CLOCK[k + 1] + math.pi, 2 * math.pi) - math.pi
        assert np.abs(away).min() <= 0.5 * DEGREE + 1e-9


@given(st.floats(0.2, 0.95), st.floats(20.0, 160.0), st.floats(-0.95, 0.95))
def test_heights_close_to_a_tip_grow_as_its_square_root(
    ratio: float, deg: float, share: float
) -> None:
    """Exact near a tip: four times as far from it is twice as high, however near."""
    crossing = Crossing(1.0, ratio, deg * DEGREE, share * (1.0 - ratio))
    for tip, way in zip(saddle.span_on_primary(crossing), (1.0, -1.0), strict=True):
        near, far = saddle_measures.opening_height(crossing, [tip + way * 1e-9, tip + way * 4e-9])
        assert near > 0.0
        assert far / near == pytest.approx(2.0, rel=1e-3)


def test_turns_that_did_not_settle_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(saddle_turns, "STEPS", 0)
    with pytest.raises(ExhaustError, match=r"turns did not settle on the long and short .* offset"):
        saddle.span_on_tube(Crossing(1.0, 0.5, 60 * DEGREE, 0.2))
