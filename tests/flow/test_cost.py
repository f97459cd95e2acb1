"""Cost of back pressure: Heywood's ideal cycle (eq. 6.3, from memory) and its slope."""

import numpy as np
import pytest

from exhaust.flow.cost import (
    MECHANICAL_EFFICIENCY,
    Breathing,
    filling_cost,
    ideal_volumetric_efficiency,
    power_cost,
    pumping_cost,
)

# bmep 10 bar, intake 1 bar, compression 10: the round numbers of the rule of thumb
ENGINE = Breathing(1000e3, 100e3, 10.0)


def test_no_back_pressure_fills_the_ideal_cylinder():
    assert float(ideal_volumetric_efficiency(10, 1.0)) == pytest.approx(1.0, rel=1e-14)


def test_ten_kilopascals():
    """1 % by pumping, 0.794 % by filling, 1.937 % together at a gross work of 1180 kPa."""
    assert float(pumping_cost(10e3, ENGINE)) == pytest.approx(0.0100, rel=1e-12)
    assert float(filling_cost(10e3, ENGINE)) == pytest.approx(0.00794, abs=6e-6)
    # gross work there is 1180 kPa, here 1000/0.85 = 1176 kPa: 0.3 % of half the answer
    assert float(power_cost(10e3, ENGINE)) == pytest.approx(0.01937, rel=0.003)


def test_filling_is_the_slope_of_the_ideal_cycle():
    step = float(ideal_volumetric_efficiency(9.5, 1.0) - ideal_volumetric_efficiency(9.5, 1.2))
    engine = Breathing(1000e3, 90e3, 9.5)
    assert float(filling_cost(0.2 * 90e3, engine)) == pytest.approx(step, rel=1e-12)


def test_a_turbine_multiplies_the_cost():
    turbo = ENGINE._replace(expansion_ratio=2.0)
    ratio = float(power_cost(5e3, turbo) / power_cost(5e3, ENGINE))
    assert ratio == pytest.approx(2.0, rel=1e-12)


def test_parts_add_up_for_arrays():
    p = np.array([1e3, 5e3, 20e3])
    whole = pumping_cost(p, ENGINE) + filling_cost(p, ENGINE) / MECHANICAL_EFFICIENCY
    assert power_cost(p, ENGINE) == pytest.approx(whole, rel=1e-12)
