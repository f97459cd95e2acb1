"""Colebrook C.F. (1939), J. Inst. Civ. Eng. 11, 133: friction in rough pipes (from memory).

The equation is solved here afresh, by bracketing: the library that the package calls is not used.
"""

import math

import pytest
from scipy.optimize import brentq

from exhaust.flow.friction import darcy_factor


def colebrook(reynolds: float, relative_roughness: float) -> float:
    def left_minus_right(x: float) -> float:  # x = 1/sqrt(f)
        return x + 2 * math.log10(relative_roughness / 3.7 + 2.51 * x / reynolds)

    return brentq(left_minus_right, 1.0, 40.0, xtol=1e-13, rtol=1e-13) ** -2


@pytest.mark.parametrize("reynolds", [4e3, 1e4, 1e5, 3e5, 1e6, 1e7])
@pytest.mark.parametrize("relative_roughness", [0.0, 3e-5, 1e-4, 1e-3, 0.02])
def test_factor_is_the_root(reynolds, relative_roughness):
    # Both solve the same equation to rounding: 1e-9 leaves room for the bracketing.
    expected = colebrook(reynolds, relative_roughness)
    assert float(darcy_factor(reynolds, relative_roughness)) == pytest.approx(expected, rel=1e-9)
