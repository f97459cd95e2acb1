"""White F.M. (2011), Fluid Mechanics 7th ed., example 6.6; Moody's chart (from memory).

Head lost in 1000 ft of 6 in asphalted cast iron, e/D = 0.0008, water at 6 ft/s, Re 2.7e5: White
reads f = 0.02 off Moody's chart, h/L = 0.0224; Colebrook gives 0.0198 and 0.0222.
"""

import pytest

from exhaust.flow.friction import darcy_factor


def test_friction_factor_of_the_example():
    # The chart is read to half a unit of its third figure at best.
    assert float(darcy_factor(2.7e5, 0.0008)) == pytest.approx(0.02, abs=5e-4)


def test_head_lost_in_the_example():
    slope = float(darcy_factor(2.7e5, 0.0008)) / 0.5 * 6.0**2 / (2 * 32.2)
    assert slope == pytest.approx(0.0224, rel=0.015)  # the chart's reading error


def test_laminar_flow_is_hagen_poiseuille():
    assert float(darcy_factor(1000.0, 0.0)) == pytest.approx(0.064, rel=1e-12)
