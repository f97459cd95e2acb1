"""Two sliced tubes into one: worked values, the exact half, and the isoperimetric rule."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust.errors import ExhaustError
from exhaust.geometry import merge
from exhaust.geometry.merge import Ring

MM = 1e-3
WALL = 1.651 * MM
EXACT = 1e-12  # closed forms in double precision

# od, wall, outlet od, wall [mm]: zero-stretch cutback outside and mid-wall.
# Closed form and solid model, worked case.
ZERO = [
    (63.5, 1.651, 63.5, 1.651, 0.5, 0.5),
    (57.15, 1.651, 63.5, 1.651, 0.41318, 0.41320),
    (63.5, 1.651, 76.2, 1.651, 0.3454915028125263, 0.3456298793002925),
    (63.5, 1.2446, 88.9, 1.651, 0.20611, 0.21095),
    (47.3, 1.2446, 63.5, 1.2446, 0.24379, 0.244485),
]


@pytest.mark.parametrize(("od", "wall", "out", "out_wall", "outer", "middle"), ZERO)
def test_zero_stretch_cutback(
    od: float, wall: float, out: float, out_wall: float, outer: float, middle: float
) -> None:
    """Rounded to five places where the worked case is."""
    assert merge.zero_stretch_cutback(Ring(od), Ring(out)) == pytest.approx(outer, abs=6e-6)
    got = merge.zero_stretch_cutback(Ring(od, wall), Ring(out, out_wall))
    assert got == pytest.approx(middle, abs=6e-6)


@given(st.floats(0.02, 0.2), st.floats(0.01, 0.1))
def test_half_off_makes_one_tube_of_the_same_size_exactly(od: float, share: float) -> None:
    """Common practice, and exact: half off each, no stretch, whatever the wall."""
    tube = Ring(od, share * od)
    assert merge.zero_stretch_cutback(tube, tube) == 0.5
    assert abs(merge.stretch(tube, 0.5, tube)) <= 1e-15
    assert merge.area_after(tube, 0.5) == pytest.approx(merge.area_before(tube, 0.5), rel=EXACT)


# cutback: stretch outside, mid-wall, 63.5 x 1.651 into 76.2 x 1.651. Closed form and solid model,
# worked case.
STRETCH = {
    0.25: (-0.1, -0.1026291949939988),
    0.30: (-0.04911311796809992, -0.05047743370870528),
    1 / 3: (-0.013439337078398728, -0.0139291464924719),
    0.40: (0.06365210292634194, 0.06510753949457593),
    0.50: (0.2, 0.20533880903490775),
}


@pytest.mark.parametrize("cutback", STRETCH)
def test_stretch_as_worked(cutback: float) -> None:
    outer, middle = STRETCH[cutback]
    tube, out = Ring(63.5, 1.651), Ring(76.2, 1.651)
    assert merge.stretch(Ring(63.5), cutback, Ring(76.2)) == pytest.approx(outer, rel=1e-10)
    assert merge.stretch(tube, cutback, out) == pytest.approx(middle, rel=1e-10)


def test_areas_as_worked() -> None:
    """63.5 x 1.651 into 76.2: closed form and solid model, worked case [mm²]."""
    for ring, out, perimeter, before, after in (
        (Ring(63.5), Ring(76.2), 239.38936020354225, 4392.830364120315, 4560.3673118774805),
        (
            Ring(63.5, 1.651),
            Ring(76.2, 1.651),
            234.2025907324655,
            4196.309383740659,
            4364.8922341286425,
        ),
    ):
        f = merge.zero_stretch_cutback(ring, out)
        assert merge.outline_perimeter(ring, f) == pytest.approx(perimeter, rel=EXACT)
        assert merge.area_before(ring, f) == pytest.approx(before, rel=EXACT)
        assert merge.area_after(ring, f) == pytest.approx(after, rel=EXACT)


@given(st.floats(0.05, 0.95))
def test_outline_against_a_polygon(cutback: float) -> None:
    """Independent: perimeter and area of the outline drawn as a polygon of 4000 sides."""
    tube = Ring(0.0635, WALL)
    radius, h = tube.middle, tube.od / 2 * (1 - 2 * cutback)
    beta = math.acos(h / radius)
    count = 2000
    angles = [beta + 2 * (math.pi - beta) * k / count for k in range(count + 1)]
    points = [(radius * math.cos(t) - h, radius * math.sin(t)) for t in angles]
    length = sum(math.dist(p, q) for p, q in pairwise(points))
    closed = [*points, points[0]]
    area = abs(sum(p[0] * q[1] - q[0] * p[1] for p, q in pairwise(closed))) / 2
    assert merge.outline_perimeter(tube, cutback) == pytest.approx(2 * length, rel=1e-5)
    assert merge.area_before(tube, cutback) == pytest.approx(2 * area, rel=1e-5)


@given(st.floats(0.05, 0.95))
def test_a_circle_holds_the_most(cutback: float) -> None:
    """Invariant: forming the outline round never loses area (isoperimetric)."""
    tube = Ring(0.0635, WALL)
    before, after = merge.area_before(tube, cutback), merge.area_after(tube, cutback)
    assert after >= before * (1 - 1e-12)


@given(st.floats(0.3, 1.9), st.floats(0.02, 0.08))
def test_zero_stretch_is_where_stretch_is_zero(share: float, wall: float) -> None:
    """Invariant, for outlets from a third to nearly twice the tube, walls not alike."""
    tube, out = Ring(1.0, 0.03), Ring(share, wall)
    f = merge.zero_stretch_cutback(tube, out)
    assert abs(merge.stretch(tube, f, out)) < 1e-12
    assert (f > 0.5) == (out.middle < tube.middle)


def test_a_deeper_cut_needs_more_stretch() -> None:
    tube, out = Ring(0.0635, WALL), Ring(0.0762, WALL)
    growth = [merge.stretch(tube, f / 100, out) for f in range(20, 80, 5)]
    assert growth == sorted(growth)


@given(st.floats(0.3, 1.5), st.floats(-0.2, 0.3))
def test_cutback_for_stretch_is_where_the_stretch_is_that(share: float, growth: float) -> None:
    tube, out = Ring(1.0, 0.03), Ring(share, 0.02)
    f = merge.cutback_for_stretch(tube, out, growth)
    assert merge.stretch(tube, f, out) == pytest.approx(growth, abs=1e-12)


def test_both_legs_cut_too_deep_as_worked() -> None:
    """63.5 into 76.2 by the outside, 0.5 mm too deep on both: perimeter 239.389 becomes 237.292
    (first order -2.1029), 0.0088 of stretch. Closed form and solid model, worked case."""
    tube, out, right = Ring(63.5), Ring(76.2), 0.3454915028125263
    deep = right + 0.5 / 63.5
    assert merge.outline_perimeter(tube, deep) == pytest.approx(237.29196760949523, rel=EXACT)
    assert merge.stretch(tube, deep, out) == pytest.approx(0.008838868905578057, rel=1e-9)
    first_order = merge.stretch_per_depth(tube, right, out) * merge.outline_perimeter(tube, right)
    assert first_order * 0.5 == pytest.approx(2.1029244484765344, rel=1e-9)
    near = merge.stretch(tube, right + 1e-6 / 63.5, out) / 1e-6
    assert merge.stretch_per_depth(tube, right, out) == pytest.approx(near, rel=1e-5)


def test_bore_when_formed_as_worked() -> None:
    """63.5 x 1.651 into 76.2 and into its own size, no stretch: worked case [mm²]. Stretched, the
    wall keeps its volume: area of metal in the section as before (exact)."""
    tube, out = Ring(63.5, 1.651), Ring(76.2, 1.651)
    f = merge.zero_stretch_cutback(tube, out)
    assert merge.formed_bore_area(tube, f, out) == pytest.approx(4173.698834578179, rel=EXACT)
    assert merge.formed_bore_area(tube, 0.5, tube) == pytest.approx(2846.125239342735, rel=EXACT)
    bore = math.sqrt(merge.formed_bore_area(tube, 0.5, out) / math.pi)
    wall = 2 * (out.middle - bore)
    metal = 2 * math.pi * out.middle * wall
    assert metal == pytest.approx(merge.outline_perimeter(tube, 0.5) * tube.wall, rel=EXACT)


def test_what_cannot_merge_is_refused() -> None:
    with pytest.raises(ExhaustError, match="middle diameter of the outlet must be between"):
        merge.zero_stretch_cutback(Ring(0.05), Ring(0.1))
    with pytest.raises(ExhaustError, match=r"cutback must be between 0\.01 and 0\.99"):
        merge.outline_perimeter(Ring(0.1, 0.002), 0.005)
    with pytest.raises(ExhaustError, match=r"growth must be more than -1 \(got -2\)"):
        merge.cutback_for_stretch(Ring(0.05), Ring(0.05), -2.0)
    with pytest.raises(ExhaustError, match=r"growth must be more than -1 \(got -1\)"):
        merge.cutback_for_stretch(Ring(0.05), Ring(0.05), -1.0)
    with pytest.raises(ExhaustError, match="wall must be less than half of od 100 mm"):
        merge.stretch(Ring(0.1), 0.5, Ring(0.1, 0.06))


def test_a_wall_is_less_than_half_of_the_tube() -> None:
    """As thick as it may be it still merges like any other: half off, no stretch."""
    thick = Ring(0.06, 0.029)
    assert merge.zero_stretch_cutback(thick, thick) == pytest.approx(0.5)
    with pytest.raises(ExhaustError, match="wall must be less than half of od 60 mm"):
        merge.zero_stretch_cutback(Ring(0.06, 0.03), Ring(0.06, 0.002))
