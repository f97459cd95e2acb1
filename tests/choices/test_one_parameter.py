"""The fit of one parameter to readings, against the closed form of least squares."""

import math

import numpy as np
import pytest
from scipy.stats import chi2

from exhaust.bands import Band, draw
from exhaust.choices.one_parameter import by_chance, misfit, moves

ACCURACY = 300.0  # of the gauge, the middle 90 % [Pa]


class Straight:
    """Pressures that go straight with three inputs: their least squares have a closed form."""

    def __init__(self):
        self.flows = (None,) * 4
        self.bands = {
            "gas_temperature": Band(850.0, 900.0, 950.0),
            "slope": Band(-0.1, 0.0, 0.1),
            "bow": Band(-0.1, 0.0, 0.1),
        }
        self.base = np.array([2e3, 4e3, 6e3, 9e3])
        self.rises = {
            "gas_temperature": np.array([5.0, 8.0, 14.0, 20.0]),  # [Pa/K]
            "slope": np.array([3e3, 2e3, 1e3, 0.0]),
            "bow": np.array([2e3, 1e3, 200.0, 0.0]),
        }

    def middle(self):
        return {name: np.array([band.middle]) for name, band in self.bands.items()}

    def sampled(self, samples=256, seed=1):
        return draw(self.bands, (), samples, seed)

    def pressure(self, inputs):
        off = {name: inputs[name] - band.middle for name, band in self.bands.items()}
        return self.base[:, None] + sum(np.outer(self.rises[name], off[name]) for name in off)

    def covariance(self, *names):
        """Of the inputs named, and of the gauge: half of its variance its zero."""
        found = (ACCURACY / 1.6449) ** 2 * (0.5 * np.eye(4) + 0.5)
        for name in names:
            one = self.rises[name] * (self.bands[name].high - self.bands[name].middle) / 1.6449
            found = found + np.outer(one, one)
        return found


def test_value_band_and_likelihood_are_those_of_least_squares_in_closed_form():
    """(g' C^-1 r)/(g' C^-1 g), and 1.645/sqrt(g' C^-1 g) to either side (any textbook).

    128 samples know a covariance to a few percent.
    """
    model = Straight()
    g = model.rises["gas_temperature"]
    off = 100 * g + 0.2 * model.rises["slope"] + np.array([150.0, -200.0, 100.0, 50.0])  # [Pa]
    found = next(
        one for one in moves(model, model.base + off, ACCURACY) if one.name == "gas_temperature"
    )
    weight = np.linalg.inv(model.covariance("slope", "bow"))
    best, half = g @ weight @ off / (g @ weight @ g), 1.6449 / math.sqrt(g @ weight @ g)
    assert found.needed.middle - 900 == pytest.approx(best, rel=0.02)
    assert found.needed.high - found.needed.middle == pytest.approx(half, rel=0.05)
    assert found.needed.middle - found.needed.low == pytest.approx(half, rel=0.05)
    # How filling bends the curve grows with the pressure.
    larger = np.linalg.norm(model.base + best * g) / np.linalg.norm(model.base)
    gauge = model.covariance()
    weight = np.linalg.inv(gauge + larger**2 * (model.covariance("slope", "bow") - gauge))
    left = off - g @ weight @ off / (g @ weight @ g) * g
    assert found.likelihood == pytest.approx(chi2.sf(left @ weight @ left, 3), rel=0.03)


def test_shares_of_the_band_add_up_and_are_those_of_its_squares():
    model = Straight()
    squares = {
        name: float(np.sum((rise * (model.bands[name].high - model.bands[name].middle)) ** 2))
        for name, rise in model.rises.items()
    }
    for one in moves(model, model.base, ACCURACY):
        assert one.share == pytest.approx(squares[one.name] / sum(squares.values()), rel=1e-6)


def test_chi_squared_is_that_of_a_table():
    """5 % of the chi-squared distribution: 3.841, 5.991, 7.815 (any table)."""
    for freedom, value in ((1, 3.841), (2, 5.991), (3, 7.815)):
        assert by_chance(value, freedom) == pytest.approx(0.05, abs=1e-4)
    assert misfit(np.array([1.0, 2.0]), np.diag([1.0, 4.0])) == pytest.approx(2.0)
