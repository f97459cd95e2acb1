"""Where functions cross nought: known roots, another finder, jumps, and a refusal."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from exhaust.errors import ExhaustError
from exhaust.geometry import zeros as module
from exhaust.geometry.zeros import zeros

LAST = 4e-16  # of the place: two last bits


def test_known_roots_side_by_side() -> None:
    """Exact: square roots as zeros of x² - n, all at once, to the last bits."""
    n = np.arange(2.0, 200.0)
    found = zeros(lambda x: x**2 - n, np.ones(n.shape), n)
    assert found == pytest.approx(np.sqrt(n), rel=LAST)


@given(st.floats(0.0, 0.999), st.floats(0.01, 6.2))
def test_keplers_equation_as_another_finder_has_it(eccentric: float, mean: float) -> None:
    """Independent: scipy's Brent method, at its own tightest tolerance."""

    def kepler(x: float) -> float:
        return x - eccentric * math.sin(x) - mean

    (found,) = zeros(
        lambda x: x - eccentric * np.sin(x) - mean, np.array([-1.0]), np.array([8.0])
    ).tolist()
    assert abs(kepler(found)) <= 4e-15  # last digits of terms up to 8
    assert found == pytest.approx(brentq(kepler, -1.0, 8.0, xtol=1e-15, rtol=1e-15), abs=1e-11)


def test_a_steep_root_a_jump_and_an_end() -> None:
    left, right = np.array([0.0]), np.array([1.0])
    steep = zeros(lambda x: np.tanh(1e9 * (x - 1 / 3)), left, right)
    assert steep == pytest.approx([1 / 3], rel=LAST)
    jump = zeros(lambda x: np.where(x < 1 / 7, -1.0, 2.0), left, right)
    assert jump == pytest.approx([1 / 7], rel=2 * LAST)
    assert zeros(lambda x: x, left, right).tolist() == [0.0]
    assert zeros(lambda x: 1.0 - x, left, right).tolist() == [1.0]
    assert zeros(lambda x: x, np.array([]), np.array([])).size == 0


def test_a_value_lost_in_rounding_is_nought() -> None:
    """A double root at the end of a bracket, whose sign is rounding: it is the end."""
    calls = []

    def grazing(x: np.ndarray) -> np.ndarray:  # type: ignore[type-arg]
        calls.append(x)
        return x**2 - 1e-17

    (found,) = zeros(grazing, np.array([0.0]), np.array([0.1]), nought=2e-17).tolist()
    assert found == 0.0
    assert len(calls) <= 4


def test_what_does_not_settle_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "STEPS", 3)
    with pytest.raises(ExhaustError, match=r"zeros of a function did not settle in 3 steps \(got"):
        zeros(lambda x: np.exp(9 * x) - 2.0, np.array([-5.0]), np.array([3.0]))
