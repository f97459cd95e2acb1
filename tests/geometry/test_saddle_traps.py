"""The usual mistakes with saddles and outlines: each test fails when its mistake is made."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.special import ellipe

from exhaust.errors import ExhaustError
from exhaust.geometry import saddle, saddle_edge, saddle_measures, unroll
from exhaust.geometry.saddle import Crossing, Saddle
from exhaust.geometry.saddle_measures import between

DEGREE = math.pi / 180
EXACT = 1e-12  # closed forms and settled quadrature in double precision

A = Saddle(31.75, 1.651, 25.4, 1.651)
B = Saddle(38.1, 1.651, 25.4, 1.651, 60 * DEGREE)


def test_trap_11_a_skew_blank_is_longer_than_its_longest_line() -> None:
    """Worked at 60°, closed form at 45°: its two long points are on opposite sides of the tube."""
    tube = between(230.0, B)
    assert saddle_measures.blank_length(tube) == pytest.approx(208.78, abs=5e-3)
    assert saddle_measures.line_lengths(tube)[1] == pytest.approx(200.00, abs=5e-3)
    tube = between(220.0, Saddle(31.75, 1.651, 25.4, 1.651, 45 * DEGREE))
    blank, longest = 220 * math.sqrt(2) - 2 * 19.05, (220 - 2 * 19.05) * math.sqrt(2)
    assert saddle_measures.blank_length(tube) == pytest.approx(blank, rel=EXACT)
    assert saddle_measures.line_lengths(tube)[1] == pytest.approx(longest, rel=EXACT)
    assert blank > longest + 15.0


@pytest.mark.parametrize(("offset", "on_axis"), [(0.0, True), (10.0, True), (18.0, False)])
def test_trap_11_the_short_point_misses_the_widest_line(offset: float, on_axis: bool) -> None:
    """CC - 2A while the tube still covers the primary's axis, else CC - 2 sqrt(A² - (|e| - r)²)."""
    tube = between(180.0, Saddle(31.75, 1.651, 12.7, 1.651, offset=offset))
    short = saddle_measures.line_lengths(tube)[0]
    far = 0.0 if on_axis else offset - 12.7
    assert short == pytest.approx(180.0 - 2 * math.sqrt(31.75**2 - far**2), rel=EXACT)
    assert (short > 180.0 - 2 * 31.75 + 0.1) is not on_axis


def test_trap_12_the_arc_is_the_outsides_and_the_height_depends_on_the_edge() -> None:
    """Worked: at its sides a straight-through edge marked with the outside radius stands 2.02 mm
    into the primary; the bore is right for a square tube, and wrong by 0.953 mm for a 60° one."""
    side, acute = [math.pi / 2], [0.0]
    deep = saddle_edge.edge_at(A, side, "straight") - saddle_edge.edge_at(A, side, "saddle")
    assert float(deep[0]) == pytest.approx(2.022, abs=5e-4)
    assert saddle_edge.edge_at(A, side, "straight") == saddle_edge.edge_at(A, side, "feather")
    early = saddle_edge.edge_at(B, acute, "straight") - saddle_edge.edge_at(B, acute, "feather")
    assert float(early[0]) == pytest.approx(0.953, abs=5e-4)
    steep = Saddle(31.75, 1.651, 25.4, 1.651, 45 * DEGREE)
    early = saddle_edge.edge_at(steep, acute) - saddle_edge.edge_at(steep, acute, "feather")
    assert float(early[0]) == pytest.approx(1.651, abs=5e-4)
    for edge in saddle_edge.EDGES:
        flat = unroll.saddle_outline(A, [0.0, 2 * math.pi], edge, paper=0.3)
        assert flat.arc[1] == pytest.approx(math.pi * (50.8 + 0.3), rel=EXACT)
        assert flat.arc[1] == pytest.approx(unroll.wrap_length(25.4, 0.3), rel=EXACT)
    assert unroll.wrap_length(25.4) == pytest.approx(159.59290680236148, rel=EXACT)  # worked


def test_trap_12_equal_tubes_would_be_buried_by_a_third_of_their_radius() -> None:
    """Exact: the bore of an equal tube meets the primary sqrt(A² - ri²) out, its outside at 0."""
    equal = Saddle(31.75, 1.651, 31.75, 1.651)
    side = [math.pi / 2]
    deep = saddle_edge.edge_at(equal, side, "straight") - saddle_edge.edge_at(equal, side)
    assert float(deep[0]) == pytest.approx(math.sqrt(31.75**2 - 30.099**2), rel=EXACT)
    assert float(deep[0]) > 0.3 * 31.75


def test_trap_13_a_tube_past_the_side_has_no_saddle() -> None:
    with pytest.raises(ExhaustError, match="must stay within 31750 mm, the primary's radius"):
        Crossing(31.75, 31.751)
    with pytest.raises(ExhaustError, match="must stay within"):
        Crossing(31.75, 25.4, math.pi / 2, 6.351)
    assert saddle.meets_at(Crossing(31.75, 25.4, math.pi / 2, 6.35), math.pi / 2) < 1e-6


@pytest.mark.parametrize("inch", [1.0, 1.75, 2.0, 2.375, 2.5, 3.0, 4.0])
def test_trap_13_equal_tubes_end_in_a_feather_edge_not_in_nan(inch: float) -> None:
    """The same tube by the inch and by the millimetre can differ in its last digit, either way."""
    radius = inch * 0.0254 / 2
    for rho in (radius, math.nextafter(radius, 0.0), math.nextafter(radius, 1.0)):
        c = Crossing(radius, rho)
        clock = np.radians([90.0, -90.0, 0.0])
        # a last digit of 1e-17 m in the radius is 1e-9 m of its root
        assert saddle.meets_at(c, clock) == pytest.approx([0.0, 0.0, radius], abs=2e-9)
        assert np.all(np.isfinite(saddle.slope(c, clock)))
        assert saddle_measures.hole_area(c) == pytest.approx(4 * rho**2, rel=1e-9)


def test_trap_15_elliptic_integrals_take_the_square_of_the_modulus() -> None:
    """The edge of a mitre is an ellipse, 4 (a/cos t) E(m = sin² t); E(sin t) is short of it."""
    for deg in (10.0, 22.5, 45.0):
        theta = deg * DEGREE
        clock = np.linspace(0.0, 2 * math.pi, 4001)
        points = unroll.wrapped(unroll.mitre_outline(31.75, theta, clock), 31.75)
        edge = np.linalg.norm(np.diff(points, axis=0), axis=1).sum()
        right = 4 * 31.75 / math.cos(theta) * ellipe(math.sin(theta) ** 2)
        assert edge == pytest.approx(right, rel=1e-6)  # 4000 chords
        assert abs(4 * 31.75 / math.cos(theta) * ellipe(math.sin(theta)) / edge - 1) > 1e-3


def test_trap_16_plain_quadrature_stalls_at_the_sides() -> None:
    """The hole of worked case A by 1000 even strips in z misses what the clock has to the end."""
    hole, c = 1933.6800448160511, A.hole
    z = np.linspace(-c.rho, c.rho, 1001)
    width = 2 * np.sqrt(np.maximum(c.rho**2 - z**2, 0.0)) * c.primary / np.sqrt(c.primary**2 - z**2)
    assert abs(np.trapezoid(width, z) / hole - 1) > 1e-5
    assert saddle_measures.hole_area(c) == pytest.approx(hole, rel=1e-11)


def test_trap_2_the_share_is_of_the_ellipse_and_square_to_the_leg_of_the_diameter() -> None:
    """A 90° splay cut to a third of its long axis, 89.803 mm: 29.934 taken off (worked). Measured
    square to the leg that is a third of the diameter; a third of D along the ellipse is 0.236."""
    cut = unroll.HeelCut(31.75, 45 * DEGREE, 45 * DEGREE, 1 / 3)
    flat = unroll.heel_outline(cut, [unroll.heel_corner(cut)])
    (corner,) = unroll.wrapped(flat, 31.75)
    across = (31.75 - corner[0]) / math.cos(45 * DEGREE)  # along the ellipse, from its far end
    assert across == pytest.approx(29.934, abs=5e-4)
    assert 31.75 - corner[0] == pytest.approx(63.5 / 3, rel=EXACT)
    assert pytest.approx(0.236, abs=5e-4) == 63.5 / 3 / 89.803


def test_trap_3_the_leg_leans_by_half_of_the_included_angle() -> None:
    """Worked, 60° included: the slice runs out 42.333 mm along the joint; 30° is cut, not 60."""
    cut = unroll.HeelCut(31.75, 30 * DEGREE, 30 * DEGREE, 1 / 3)
    (tip,) = unroll.wrapped(unroll.heel_outline(cut, [0.0]), 31.75)
    joint = tip[2] * math.cos(30 * DEGREE) + tip[0] * math.sin(30 * DEGREE)
    assert joint == pytest.approx(42.333, abs=5e-4)


def test_trap_4_ordinates_past_the_bends_end_are_on_the_straight() -> None:
    """Worked: a half-off cut of 57.15 on clr 57.15 runs 4.903 mm on to the straight end."""
    cut = unroll.SlicedElbow(57.15, 28.575, 1.651, 45 * DEGREE, 20.0, 0.5)
    table = unroll.bend_ordinates(cut, [0.0, 70 * DEGREE])
    assert table.on_straight[0] == pytest.approx(4.902694910377633, rel=EXACT)
    assert table.angle[0] == 45 * DEGREE
    spiric = (cut.clr + cut.radius) * math.acos(cut.plane / (cut.clr + cut.radius))
    assert abs(table.along_heel[0] - spiric) > 0.05
    assert table.on_straight[1] == 0.0


def test_trap_5_past_the_widest_point_the_sides_are_on_the_far_half() -> None:
    deep = unroll.SlicedElbow(95.25, 31.75, 1.651, 45 * DEGREE, 0.0, 0.55)
    assert unroll.cut_clock(deep) > math.pi / 2
    table = unroll.bend_ordinates(deep, [math.pi / 2, unroll.cut_clock(deep), math.pi])
    assert table.along_centreline[0] > 0.0
    assert table.along_centreline[1] == pytest.approx(0.0, abs=1e-5)
    assert math.isnan(table.along_centreline[2])
