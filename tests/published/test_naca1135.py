"""NACA Report 1135 (Ames Research Staff, 1953): isentropic flow.

The tables' columns to five or six figures, from its closed forms (equations 43, 44, 93 to 99 as
remembered; the report itself was not open), lie in data/published.
"""

import numpy as np
import pytest

from exhaust.flow.fanno import Gas, state
from exhaust.flow.moving import total_pressure
from exhaust.published import values
from exhaust.published.ducts import P0, T0, isentropic, thrust
from exhaust.published.gases import AIR_CONSTANT, Perfect

FIGURES = 1e-5  # the tables' last figure, on their smallest number


@pytest.mark.parametrize("row", values("naca1135", "static over total pressure"), ids=repr)
def test_total_pressure_is_found_again(row):
    gamma, area_ratio, mach = (row.inputs[name] for name in ("gamma", "area_ratio", "mach"))
    at = state(np.asarray(mach), thrust(gamma, area_ratio), T0, Gas(gamma, AIR_CONSTANT))
    assert float(at.total_pressure) == pytest.approx(P0, rel=FIGURES)
    quick, choked = isentropic(gamma, area_ratio, row.number)
    assert not choked
    assert float(total_pressure(quick, Perfect.of(gamma))) == pytest.approx(P0, rel=FIGURES)
