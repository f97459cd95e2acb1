"""Toro E.F. (2009) Riemann Solvers and Numerical Methods for Fluid Dynamics, 3rd ed., chapter 4.

Five Riemann problems at gamma 1.4 (table 4.1) and what lies between their waves (tables 4.2 and
4.3); from memory, as worked out again to the digits given here.
"""

import numpy as np
import pytest
from exact import middle

GAMMA = 1.4
# left and right density, velocity, pressure; then pressure, velocity, left and right density
TABLE = {
    1: ((1.0, 0.0, 1.0), (0.125, 0.0, 0.1), (0.30313, 0.92745, 0.42632, 0.26557)),
    2: ((1.0, -2.0, 0.4), (1.0, 2.0, 0.4), (0.00189387, 0.0, 0.0218521, 0.0218521)),
    3: ((1.0, 0.0, 1000.0), (1.0, 0.0, 0.01), (460.894, 19.5975, 0.57506, 5.99924)),
    4: ((1.0, 0.0, 0.01), (1.0, 0.0, 100.0), (46.0950, -6.19633, 5.99242, 0.57511)),
    5: (
        (5.99924, 19.5975, 460.894),
        (5.99242, -6.19633, 46.0950),
        (1691.64, 8.68975, 14.2823, 31.0426),
    ),
}
PRINTED = 2e-5  # five printed figures and more


def _half(side: tuple[float, float, float], outward: float) -> tuple[float, float, float, float]:
    """Return a side as a pipe's end has it: velocity out of the pipe, and the speed of sound."""
    rho, u, p = side
    return rho, outward * u, p, float(np.sqrt(GAMMA * p / rho))


@pytest.mark.parametrize("case", TABLE)
def test_the_exact_solution_that_shock_tubes_are_held_to_is_toros(case: int):
    left, right, (p, u, _, _) = TABLE[case]
    assert middle(left, right, GAMMA) == pytest.approx((p, u), rel=PRINTED, abs=1e-12)


@pytest.mark.parametrize("case", TABLE)
def test_the_wave_behind_a_pipes_end_reaches_toros_middle_from_either_side(case: int):
    from exhaust.pulse.waves import behind

    left, right, (p, u, rho_left, rho_right) = TABLE[case]
    for side, outward, rho in ((left, 1.0, rho_left), (right, -1.0, rho_right)):
        got = behind(p, _half(side, outward), GAMMA)
        pace = np.sqrt(GAMMA * p / rho)  # what five figures of pressure can move the speed by
        assert got[0] == pytest.approx(outward * u, abs=PRINTED * max(pace, abs(u)))
        assert got[1] == pytest.approx(rho, rel=PRINTED)


@pytest.mark.parametrize("momentum", [True, False])
@pytest.mark.parametrize("case", [1, 2, 3, 4])
def test_two_pipes_that_meet_straight_solve_toros_problems(case: int, momentum: bool):
    """A junction of two like pipes in line is a Riemann problem, by either model.

    In the fifth both waves run down the second pipe: the junction feels nothing of its middle.
    """
    from exhaust.pulse.junctions import MOST_TRIES, meet

    left, right, (p, u, rho_left, rho_right) = TABLE[case]
    halves = np.array([_half(left, 1.0), _half(right, -1.0)])
    axis = np.array([[-1.0, 0.0, 0.0], [1.0, 0.0, 0.0]]) if momentum else np.zeros((0, 3))
    legs = np.zeros((2, 5))
    start = 0.5 * (left[2] + right[2])
    P, tries = meet(start, 0.75, (np.ones(2), axis), halves, legs, (GAMMA, 1.0))
    assert tries < MOST_TRIES
    assert pytest.approx(p, rel=PRINTED) == P
    passed = u * (rho_left if u > 0 else rho_right)
    assert legs[:, 2] == pytest.approx([passed, -passed], rel=2 * PRINTED, abs=1e-6)
