"""The usual mistakes with a sliced elbow: each test fails when its mistake is made."""

from __future__ import annotations

import math

import numpy as np
import pytest

from exhaust.errors import ExhaustError
from exhaust.geometry import elbow, elbow_measures, segment
from exhaust.geometry.elbow import SlicedElbow

DEGREE = math.pi / 180
QUARTER_TURN = 45 * DEGREE
EXACT = 1e-12  # closed forms and settled quadrature in double precision

A = SlicedElbow(95.25, 31.75, 1.651, QUARTER_TURN, 0.0, 0.3)
B = SlicedElbow(57.15, 28.575, 1.651, QUARTER_TURN, 20.0, 0.5)  # runs on to the straight
DEEP = SlicedElbow(95.25, 31.75, 1.651, QUARTER_TURN, 0.0, 0.55)  # two lobes
DEEP_ON = SlicedElbow(57.15, 28.575, 1.651, QUARTER_TURN, 40.0, 0.65)  # two lobes on straights
U = SlicedElbow(95.25, 31.75, 1.651, 90 * DEGREE, 0.0, 0.6)


def _plainly(cut: SlicedElbow, count: int) -> tuple[float, float]:
    """Return area and length by the trap: even strips in y, straight to the tips."""
    tip = elbow.opening_length(cut, cut.radius) / 2
    y = np.linspace(-tip, tip, count)
    r = np.hypot(cut.plane, y)
    z = np.sqrt(np.maximum(cut.radius**2 - (r - cut.clr) ** 2, 0.0))
    return float(2 * np.trapezoid(z, y)), float(2 * np.hypot(np.diff(y), np.diff(z)).sum())


def test_trap_16_plain_quadrature_stalls_at_the_tips() -> None:
    """With 1000 strips the plain rule misses what 64 nodes in u have to the last digits."""
    area, length = 6371.683120985229, 318.23402677786646  # closed form and solid, worked case
    plain_area, plain_length = _plainly(A, 1001)
    assert abs(plain_area / area - 1) > 1e-6
    assert abs(plain_length / length - 1) > 1e-6
    assert elbow_measures.opening_area(A, A.radius) == pytest.approx(area, rel=1e-10)
    assert elbow_measures.curve_length(A, A.radius) == pytest.approx(length, rel=1e-10)


def test_trap_1_the_cut_is_measured_outside_and_the_throat_inside() -> None:
    """Right: radius of the bore, distance of the outside cut. Bore depth is f D - t.

    Adding up strips of the bore disc gives 0.7604 of two bores at f = 0.30; taking f of the bore
    gives 1.7 % less, and the same only at f = 0.5, where the cut goes through the centre.
    """
    x = np.linspace(-A.bore, A.offset, 200001)
    middles = (x[1:] + x[:-1]) / 2
    strips = float(np.sum(2 * np.sqrt(A.bore**2 - middles**2) * np.diff(x)))
    assert A.bore - A.offset == pytest.approx(A.depth - A.wall)
    assert elbow.throat_area(A) == pytest.approx(strips, rel=1e-6)
    slip = segment.kept_area(A.bore, A.bore * (1 - 2 * 0.3))
    assert slip / elbow.throat_area(A) - 1 == pytest.approx(-0.017, abs=5e-4)
    half = SlicedElbow(95.25, 31.75, 1.651, QUARTER_TURN, 0.0, 0.5)
    assert elbow.throat_area(half) == pytest.approx(math.pi * half.bore**2 / 2, rel=EXACT)


def test_trap_4_the_spiric_ends_with_the_bend() -> None:
    """At 1.0 D a 90 takes no more than 0.4393; past that the tips lie on the straight ends."""
    limit = elbow.reach(63.5, 31.75, QUARTER_TURN)
    assert limit == pytest.approx(0.4393, abs=5e-5)
    with pytest.raises(ExhaustError, match="past the end of the bend"):
        SlicedElbow(63.5, 31.75, 1.651, QUARTER_TURN, 0.0, 0.44)
    spiric = 2 * math.sqrt((B.clr + B.radius) ** 2 - B.plane**2)
    assert elbow.opening_length(B, B.radius) > 1.002 * spiric
    # 1.2071 D is the least clr that takes half off
    assert elbow.reach(1.2072, 0.5, QUARTER_TURN) > 0.5 > elbow.reach(1.2070, 0.5, QUARTER_TURN)


@pytest.mark.parametrize("cut", [DEEP, DEEP_ON, U])
def test_trap_5_past_the_widest_point_there_are_two_lobes(cut: SlicedElbow) -> None:
    """The opening is highest beside the middle, a whole diameter; less than a half tube is left."""
    assert elbow.opening_height(cut, cut.radius) == 2 * cut.radius
    assert elbow.middle_height(cut, cut.radius) < 2 * cut.radius
    assert 2 * elbow.throat_area(cut) < math.pi * cut.bore**2
    y, z = elbow_measures.outline(cut, cut.radius, count=4000)
    assert abs(y[int(np.argmax(z))]) == pytest.approx(elbow.highest_at(cut), rel=2e-3)
    assert float(z.max()) == pytest.approx(cut.radius, rel=1e-6)
    assert float(z[np.argmin(np.abs(y))]) * 2 == pytest.approx(
        elbow.middle_height(cut, cut.radius), rel=1e-4
    )


def test_trap_10_bends_of_two_radii_cut_alike_do_not_match() -> None:
    """Exact: at one share of the diameter the openings are equally high in the middle, their tips
    (R + a)² - plane² apart, a larger clr the longer: 133.8 mm at 1.5 D, 166.1 at 2.5 D."""
    far = SlicedElbow(158.75, 31.75, 1.651, QUARTER_TURN, 0.0, 0.3)
    for rho in (A.radius, A.bore):
        assert elbow.middle_height(far, rho) == pytest.approx(
            elbow.middle_height(A, rho), rel=EXACT
        )
        lengths = [elbow.opening_length(cut, rho) for cut in (A, far)]
        tips = [2 * math.sqrt((cut.clr + rho) ** 2 - cut.plane**2) for cut in (A, far)]
        assert lengths == pytest.approx(tips, rel=EXACT)
        assert lengths[1] > 1.2 * lengths[0]
        apart = [elbow_measures.opening_area(cut, rho) for cut in (A, far)]
        assert apart[1] > 1.2 * apart[0]


def test_trap_7_the_kerf_falls_in_the_slug() -> None:
    """Slug depth f D - k; sawing on the kept side loses k of width instead, and k of spacing
    for each piece."""
    kerf = 1.5
    slug = elbow.after_kerf(A, kerf)
    assert slug.depth == pytest.approx(A.depth - kerf, rel=EXACT)
    kept_side = SlicedElbow(95.25, 31.75, 1.651, QUARTER_TURN, 0.0, 0.3 + kerf / 63.5)
    assert kept_side.plane == pytest.approx(A.plane - kerf, rel=EXACT)
    assert elbow.opening_length(slug, slug.radius) < elbow.opening_length(A, A.radius)
    with pytest.raises(ExhaustError, match="kerf must be between zero"):
        elbow.after_kerf(A, 18.0)
    with pytest.raises(ExhaustError, match="kerf must be between zero"):
        elbow.after_kerf(A, A.depth - A.wall)  # all that there is of it in the bore
