"""NACA Report 1135 (1953) and Shapiro (1953): frictionless flow with heat in a straight duct.

Rayleigh's table for gamma 1.4, as printed there and in every gas dynamics text, and two rows of
the same closed form at gamma 1.33.
"""

import numpy as np
import pytest

from exhaust.flow.march import march
from exhaust.flow.passage import Cone, Passage

# Mach, T0/T0*, T/T*, p/p*, p0/p0*
TABLE = [
    (0.1, 0.046777, 0.056020, 2.366864, 1.259146),
    (0.2, 0.173554, 0.206612, 2.272727, 1.234596),
    (0.3, 0.346860, 0.408873, 2.131439, 1.198549),
    (0.5, 0.691358, 0.790123, 1.777778, 1.114053),
    (0.7, 0.908499, 0.992895, 1.423488, 1.043104),
    (0.8, 0.963948, 1.025477, 1.265823, 1.019343),
]
SONIC = (1.0, 1.0, 1.0, 1.0, 1.0)
TABLE_133 = [
    (0.2, 0.169154, 0.195772, 2.212305, 1.227569),
    (0.5, 0.683198, 0.764394, 1.748593, 1.112057),
]
R, AREA, LENGTH, OUT = 287.05, np.pi / 4 * 0.05**2, 2.0, 101325.0


class Steady:
    """A gas of constant heat capacity."""

    gas_constant = R

    def __init__(self, gamma):
        self.gamma = gamma
        self._cp = gamma * R / (gamma - 1)

    def cp(self, temperature):
        return self._cp + 0 * temperature

    def enthalpy(self, temperature):
        return self._cp * temperature

    def temperature_at(self, enthalpy):
        return enthalpy / self._cp


def heated(start, end, gamma):
    """The table's two rows as a duct: total temperature 1000 K where its ratio is 1."""
    gas = Steady(gamma)
    T_end = 1000.0 * end[1] / (1 + (gamma - 1) / 2 * end[0] ** 2)
    u_end = end[0] * np.sqrt(gamma * R * T_end)
    m = OUT / (R * T_end) * u_end * AREA
    gain = m * float(gas.cp(1.0)) * 1000.0 * (end[1] - start[1]) / LENGTH

    def heat(distance, diameter, temperature):
        return temperature, np.full(np.shape(temperature), -gain)

    return march(Passage(Cone(0.05, 0.05), LENGTH), gas, m, 1000.0 * start[1], OUT, heat)


PAIRS = [(TABLE[a], TABLE[b], 1.4) for a, b in [(0, 1), (1, 3), (2, 4), (0, 5), (3, 5)]]
PAIRS += [(TABLE_133[0], TABLE_133[1], 1.33)]
PAIRS += [(row, SONIC, 1.4) for row in TABLE] + [(row, SONIC, 1.33) for row in TABLE_133]


@pytest.mark.parametrize(("start", "end", "gamma"), PAIRS)
def test_heating_from_one_row_to_the_next(start, end, gamma):
    flow = heated(start, end, gamma)
    # Five to seven printed figures; T0 at Mach 0.1 has five, and pressure hardly depends on it.
    # At Mach 1 rounding decides whether the outlet counts as choked: it is there either way.
    tight = 3e-5
    assert not flow.choked or end == SONIC
    assert float(flow.mach[0]) == pytest.approx(start[0], rel=tight)
    assert float(flow.mach[-1]) == pytest.approx(end[0], rel=tight)
    assert float(flow.pressure[0]) / OUT == pytest.approx(start[3] / end[3], rel=tight)
    warm = float(flow.temperature[0] / flow.temperature[-1])
    assert warm == pytest.approx(start[2] / end[2], rel=tight)
    total = float(flow.total_pressure[0] / flow.total_pressure[-1])
    assert total == pytest.approx(start[4] / end[4], rel=tight)


@pytest.mark.parametrize("rows", [(0, 1), (1, 3), (2, 4)])
def test_cooling_gives_total_pressure_back(rows):
    """The same rows the other way: a gas that cools slows down and its total pressure rises."""
    cool, hot = TABLE[rows[0]], TABLE[rows[1]]
    flow = heated(hot, cool, 1.4)
    assert float(flow.mach[0]) == pytest.approx(hot[0], rel=1e-4)
    assert float(flow.pressure[0]) / OUT == pytest.approx(hot[3] / cool[3], rel=3e-5)
    assert flow.total_pressure_loss < 0
