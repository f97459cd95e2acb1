"""Truncated circles: closed forms, and what is refused."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust.errors import ExhaustError
from exhaust.geometry import segment
from exhaust.geometry.quadrature import integral


@given(st.floats(1e-3, 10.0), st.floats(-1.0, 1.0))
def test_removed_and_kept_make_the_circle(radius: float, share: float) -> None:
    """Exact: the two pieces are the circle; and turning the circle round swaps them."""
    h = share * radius
    whole = math.pi * radius**2
    both = segment.removed_area(radius, h) + segment.kept_area(radius, h)
    assert both == pytest.approx(whole, rel=1e-14)
    turned = segment.removed_area(radius, -h)
    assert segment.kept_area(radius, h) == pytest.approx(turned, rel=1e-12, abs=1e-14 * whole)


@given(st.floats(-0.99, 0.99))
def test_area_grows_by_the_chord(share: float) -> None:
    """Invariant: d(kept)/dh is the chord (central difference, error of its square)."""
    step = 1e-5
    rise = segment.kept_area(1.0, share + step) - segment.kept_area(1.0, share - step)
    assert rise / (2 * step) == pytest.approx(segment.chord(1.0, share), rel=1e-6)


def test_a_chord_that_misses_takes_nothing_or_everything() -> None:
    assert segment.removed_area(2.0, 2.5) == 0.0
    assert segment.kept_area(2.0, 2.5) == pytest.approx(4 * math.pi, rel=1e-15)
    assert segment.kept_area(2.0, -2.5) == 0.0
    assert segment.kept_arc(2.0, -2.0) == 0.0


def test_a_sliver_keeps_its_digits() -> None:
    """Leading term of the series: a segment of height e has the area 4/3 sqrt(2 e³), r = 1."""
    e = 1e-8
    exact = 4 / 3 * math.sqrt(2 * e**3)
    assert segment.removed_area(1.0, 1.0 - e) == pytest.approx(exact, rel=1e-4)


@pytest.mark.parametrize(
    ("radius", "height", "words"),
    [(0.0, 0.0, "radius must be more than zero"), (1.0, math.nan, "height must be a number")],
)
def test_what_is_no_circle_is_refused(radius: float, height: float, words: str) -> None:
    with pytest.raises(ExhaustError, match=words):
        segment.removed_area(radius, height)


def test_a_chord_off_the_circle_has_no_length() -> None:
    with pytest.raises(ExhaustError, match="height must be between -50 and 50 mm"):
        segment.chord(0.05, -0.051)
    for height in (0.05, -0.05):  # a tangent is the last that has one: nought
        assert segment.chord(0.05, height) == 0.0


def test_quadrature_is_exact_for_its_degree() -> None:
    """Exact: n nodes integrate x^(2n-1) without error; x^40 to 1/41 with 21 nodes."""
    assert integral(lambda x: x**40, 0.0, 1.0, nodes=21) == pytest.approx(1 / 41, rel=1e-13)
