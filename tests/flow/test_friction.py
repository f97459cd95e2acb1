import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust.errors import ExhaustError
from exhaust.flow.friction import (
    ROUGHNESS,
    darcy_factor,
    quick_darcy_factor,
    reynolds_number,
)


def test_reynolds_number_is_density_velocity_diameter_over_viscosity():
    mass_flow, diameter, viscosity, density = 0.2, 0.06, 4e-5, 0.4
    velocity = mass_flow / density / (np.pi / 4 * diameter**2)
    expected = density * velocity * diameter / viscosity
    assert float(reynolds_number(mass_flow, diameter, viscosity)) == pytest.approx(expected)


def test_arrays_broadcast():
    factors = darcy_factor(np.array([[1e4], [1e5], [1e6]]), np.array([0.0, 1e-3]))
    assert factors.shape == (3, 2)
    assert factors[1, 1] == float(darcy_factor(1e5, 1e-3))


@given(st.floats(3e3, 1e7), st.floats(1e-6, 1e-2), st.floats(1.01, 3.0))
def test_rougher_is_never_smoother(reynolds, roughness, times):
    assert darcy_factor(reynolds, roughness * times) >= darcy_factor(reynolds, roughness)


@pytest.mark.parametrize("factor", [darcy_factor, quick_darcy_factor])
@pytest.mark.parametrize("roughness", [0.0, 1e-3, 0.05])
def test_loss_rises_with_flow_and_never_jumps(factor, roughness):
    """f Re^2 goes with the pressure that a flow costs: through laminar, transition and beyond."""
    Re = np.linspace(500.0, 8000.0, 3001)
    cost = factor(Re, roughness) * Re**2
    assert np.all(np.diff(cost) > 0)
    assert np.max(np.diff(np.log(cost))) < 0.02  # of a step; a jump at Re 2040 is 0.4
    assert factor(np.array([2000.0]), roughness)[0] == pytest.approx(0.032)


def test_roughness_band_lies_in_what_handbooks_give():
    # New stainless 0.002 mm (White table 6.1, from memory); commercial steel 0.046 mm (Moody):
    # tube in service is neither smoother than the first nor much rougher than the second.
    assert ROUGHNESS.low == pytest.approx(0.002e-3)
    assert 0.046e-3 < ROUGHNESS.high < 0.06e-3
    assert ROUGHNESS.middle == pytest.approx(np.sqrt(ROUGHNESS.low * ROUGHNESS.high))


@pytest.mark.parametrize(
    ("reynolds", "roughness", "words"),
    [
        (0.0, 0.0, "reynolds must be more than zero"),
        (1e5, -1e-4, "relative_roughness must be between 0 and 0.05"),
        (1e5, 0.06, "relative_roughness must be between 0 and 0.05"),
    ],
)
def test_refusals(reynolds, roughness, words):
    with pytest.raises(ExhaustError, match=words):
        darcy_factor(reynolds, roughness)
