"""Toro E.F. (2009) Riemann Solvers and Numerical Methods for Fluid Dynamics, 3rd ed., chapter 4.

Five Riemann problems at gamma 1.4 (table 4.1) and what lies between their waves (tables 4.2 and
4.3); from memory, as worked out again to the digits in data/published. The exact solution that the
shock tubes of tests/pulse are held to is held to them here.
"""

import pytest
from exact import middle

from exhaust.published import values
from exhaust.published.pulses import met

PRINTED = 2e-5  # five printed figures and more
BEHIND = values("toro", "velocity behind a wave")


def side(value):
    return tuple(value.inputs[name] for name in ("density", "velocity", "pressure"))


@pytest.mark.parametrize("case", range(5))
def test_the_exact_solution_that_shock_tubes_are_held_to_is_toros(case: int):
    left, right = BEHIND[2 * case : 2 * case + 2]
    assert (left.inputs["side"], right.inputs["side"]) == ("left", "right")
    expected = left.inputs["pressure_behind"], left.number
    assert middle(side(left), side(right), 1.4) == pytest.approx(expected, rel=PRINTED, abs=1e-12)


@pytest.mark.parametrize("flux", values("toro", "flux where two pipes meet"), ids=repr)
def test_what_leaves_one_pipe_enters_the_other(flux):
    _, left, right = met(**flux.inputs)
    assert left == pytest.approx(-right, rel=2 * PRINTED, abs=1e-6)
