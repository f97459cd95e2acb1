"""Lengths, areas and volumes of a saddle, and the tube between two: other integrals, closed forms.

Lengths in mm: the kernel only needs one unit.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import ellipe

from exhaust.geometry import saddle, saddle_measures
from exhaust.geometry.saddle import Crossing, Saddle
from exhaust.geometry.saddle_measures import between

DEGREE = math.pi / 180
EXACT = 1e-12  # closed forms and settled quadrature in double precision
ALIKE = 1e-9  # two routes in double precision, one of them with a root of a difference

A = Saddle(31.75, 1.651, 25.4, 1.651)
B = Saddle(38.1, 1.651, 25.4, 1.651, 60 * DEGREE)
OFF = Saddle(38.1, 1.651, 25.4, 1.651, 75 * DEGREE, 6.0)
FAR_OFF = Saddle(38.1, 1.651, 12.7, 1.2446, 90 * DEGREE, 20.0)  # offset more than its radius
EQUAL = Saddle(31.75, 1.651, 31.75, 1.651, 70 * DEGREE)
EVERY = (A, B, OFF, FAR_OFF, EQUAL)
BETWEEN = {"A": between(180.0, A), "B": between(230.0, B)}


def test_the_tube_between_two_primaries_as_worked() -> None:
    a, b = BETWEEN["A"], BETWEEN["B"]
    assert saddle_measures.blank_length(a) == pytest.approx(141.9, rel=EXACT)
    assert saddle_measures.blank_length(b) == pytest.approx(208.7849971987332, rel=EXACT)
    assert saddle_measures.blank_length(a, "straight") == pytest.approx(137.85513084609232)
    assert saddle_measures.blank_length(b, "straight") == pytest.approx(205.99605861789877)
    assert saddle_measures.line_lengths(a) == pytest.approx((116.5, 141.9), rel=EXACT)
    assert saddle_measures.line_lengths(b) == pytest.approx(
        (177.5929428027289, 199.9986058314489), rel=EXACT
    )


@pytest.mark.parametrize("joint", EVERY)
def test_integrals_by_adaptive_quadrature_over_z(joint: Saddle) -> None:
    """Independent: the same areas and volumes as integrals over height, by scipy's quad."""
    for c in (joint.outside, joint.hole, joint.opening):
        sine = math.sin(c.angle)

        def strip(z: float, c: Crossing = c) -> float:
            return 2 * math.sqrt(max(c.rho**2 - z**2, 0.0)) * c.primary

        def height(z: float, c: Crossing = c) -> float:
            return math.sqrt(max(c.primary**2 - (z + c.offset) ** 2, 1e-300))

        area = quad(lambda z: strip(z) / height(z), -c.rho, c.rho, limit=400)[0] / sine
        volume = quad(lambda z: strip(z) * height(z), -c.rho, c.rho)[0] / c.primary / sine
        assert saddle_measures.hole_area(c) == pytest.approx(area, rel=1e-7)
        assert saddle_measures.plunge_volume(c) == pytest.approx(volume, rel=1e-8)
    plug = saddle_measures.plunge_volume(joint.hole) - saddle_measures.plunge_volume(joint.opening)
    assert saddle_measures.plug_volume(joint) == plug
    areas = [saddle_measures.hole_area(c) for c in (joint.hole, joint.opening)]
    assert min(areas) * joint.primary_wall * 0.8 < plug < max(areas) * joint.primary_wall


@pytest.mark.parametrize("joint", EVERY)
def test_seam_by_straight_pieces(joint: Saddle) -> None:
    """Independent: 20 000 chords between points in space are short by less than 1e-7."""
    clock = np.linspace(-math.pi, math.pi, 20001)
    turn, y = saddle.hole(joint.outside, clock)
    points = joint.primary * np.cos(turn), y, joint.primary * np.sin(turn)
    chords = np.sqrt(sum(np.diff(axis) ** 2 for axis in points)).sum()
    assert saddle_measures.seam_length(joint.outside) == pytest.approx(chords, rel=1e-7)


@pytest.mark.parametrize("deg", [30.0, 60.0, 90.0, 120.0])
def test_equal_tubes_have_closed_forms(deg: float) -> None:
    """Exact: two half ellipses in the planes that halve the angles; kinks at the sides."""
    r, half = 31.75, deg * DEGREE / 2
    c = Crossing(r, r, 2 * half)
    acute = 2 * r / math.sin(half) * ellipe(math.cos(half) ** 2)
    obtuse = 2 * r / math.cos(half) * ellipe(math.sin(half) ** 2)
    sine = math.sin(c.angle)
    assert saddle_measures.seam_length(c) == pytest.approx(acute + obtuse, rel=EXACT)
    assert saddle_measures.hole_area(c) == pytest.approx(4 * r * r / sine, rel=EXACT)
    assert saddle_measures.plunge_volume(c) == pytest.approx(8 * r**3 / 3 / sine, rel=EXACT)
    assert saddle.width_round(c) == pytest.approx(math.pi * r, rel=EXACT)
    assert saddle.span_on_tube(c)[0] == pytest.approx(0.0, abs=1e-14)


@pytest.mark.parametrize("power", [-2, -4, -6, -8, -9, -10, -12])
def test_nearly_equal_tubes_have_settled_integrals(power: int) -> None:
    """Independent: scipy's adaptive rule in x, t = w sinh x, which spreads the narrow round."""
    r, primary = 1.0, 1.0 + 10.0**power
    c = Crossing(primary, r)
    w = math.sqrt((primary - r) * (primary + r)) / r
    most = math.asinh(math.pi / 2 / w)

    def spread(function: Callable[[float, float], float]) -> float:
        def stretched(x: float) -> float:
            t = w * math.sinh(x)
            height = r * math.hypot(w, math.sin(t))
            return function(t, height) * w * math.cosh(x)

        return 4 * quad(stretched, 0.0, most, epsabs=1e-13, epsrel=1e-13, limit=400)[0]

    seam = spread(lambda t, h: math.hypot(r, r * r * math.sin(t) * math.cos(t) / h))
    area = spread(lambda t, h: primary * (r * math.sin(t)) ** 2 / h)
    volume = spread(lambda t, h: (r * math.sin(t)) ** 2 * h)
    assert saddle_measures.seam_length(c) == pytest.approx(seam, rel=ALIKE)
    assert saddle_measures.hole_area(c) == pytest.approx(area, rel=ALIKE)
    assert saddle_measures.plunge_volume(c) == pytest.approx(volume, rel=ALIKE)


# The opening as the gas has it


@pytest.mark.parametrize("joint", EVERY)
def test_the_opening_is_as_high_as_points_that_are_inside_the_tube(joint: Saddle) -> None:
    """Independent: points of the primary's bore, tried for their distance from the tube's axis."""
    c = joint.opening
    low, high = saddle.span_on_primary(c)
    y = np.linspace(low, high, 23)[1:-1]
    z = (np.arange(40000) + 0.5) / 20000 * c.primary - c.primary
    x = np.sqrt(c.primary**2 - z**2)
    beside = -x[None, :] * math.cos(c.angle) + y[:, None] * math.sin(c.angle)
    inside = np.hypot(beside, z - c.offset) < c.rho
    counted = inside.sum(axis=1) * c.primary / 20000
    assert saddle_measures.opening_height(c, y) == pytest.approx(counted, abs=8 * c.primary / 20000)


@given(st.floats(0.1, 1.0), st.floats(20.0, 160.0), st.floats(-1.0, 1.0))
@settings(deadline=None, max_examples=40)
def test_openings_add_up_to_the_tubes_own_section(ratio: float, deg: float, share: float) -> None:
    """Exact: integral of the height over y is pi rho²/sin g; 500 middles, good to 1e-3."""
    c = Crossing(1.0, ratio, deg * DEGREE, share * (1.0 - ratio))
    low, high = saddle.span_on_primary(c)
    u = (np.arange(500) + 0.5) / 500 * math.pi
    y = (low + high) / 2 - (high - low) / 2 * np.cos(u)
    weight = (high - low) / 2 * np.sin(u) * math.pi / 500
    got = float(np.sum(saddle_measures.opening_height(c, y) * weight))
    assert got == pytest.approx(math.pi * ratio**2 / math.sin(c.angle), rel=1e-3)
    assert saddle_measures.opening_height(c, [low - 0.1, high + 0.1]).tolist() == [0.0, 0.0]


# The tube between two primaries


@given(st.floats(0.2, 0.9), st.floats(60.0, 120.0), st.floats(0.0, 50.0), st.floats(-1.0, 1.0))
def test_the_tube_between_by_points_in_space(
    ratio: float, deg: float, splay: float, share: float
) -> None:
    """Independent: axes as lines in the plane; the ends of every line on both outer walls."""
    first_angle = (deg + splay / 2) * DEGREE
    assume(20 * DEGREE < math.pi - first_angle + splay * DEGREE < 160 * DEGREE)
    first = Saddle(1.0, 0.01, ratio, 0.02, first_angle, share * (1.0 - ratio) * 0.9)
    tube = between(6.0, first, splay * DEGREE)
    u = np.array([math.sin(deg * DEGREE), math.cos(deg * DEGREE)])
    v = np.array([-u[1], u[0]])
    lean = splay * DEGREE / 2
    hits = []
    for side in (-1, 1):  # t u is on the axis through (side 3, 0) along (side sin, cos)
        matrix = np.array([u, [-side * math.sin(lean), -math.cos(lean)]]).T
        hits.append(np.linalg.solve(matrix, np.array([side * 3.0, 0.0]))[0])
    assert tube.length == pytest.approx(hits[1] - hits[0], rel=1e-12)
    clock = np.linspace(-math.pi, math.pi, 73)
    ends = (
        hits[0] + saddle.meets_at(tube.first.outside, clock),
        hits[1] - saddle.meets_at(tube.second.outside, clock),
    )
    for side, end in zip((-1, 1), ends, strict=True):
        x, y = end[:, None].T * u[:, None] + first.radius * np.cos(clock) * v[:, None]
        z = first.radius * np.sin(clock) + first.offset
        from_axis = (x - side * 3.0) * math.cos(lean) - side * y * math.sin(lean)
        assert np.hypot(from_axis, z) == pytest.approx(1.0, abs=ALIKE)
    lines = ends[1] - ends[0]
    shortest, longest = saddle_measures.line_lengths(tube)
    assert shortest <= lines.min() + 1e-12
    assert longest >= lines.max() - 1e-12
    blank = saddle_measures.blank_length(tube)
    assert blank >= ends[1].max() - ends[0].min() - 1e-12
    assert blank >= longest - 1e-12
    assert saddle_measures.clear_length(tube) <= shortest + 1e-12
