"""NACA Report 1135 (1953), Equations, Tables and Charts for Compressible Flow; Shapiro (1953).

Fanno and isentropic tables for gamma 1.4, as printed there and in every gas dynamics text.
"""

import numpy as np
import pytest

from exhaust.flow.fanno import fanno_loss, mach_before, mach_from_total
from exhaust.flow.local_loss import local_loss
from exhaust.flow.march import march
from exhaust.flow.moving import mach_number, total_pressure
from exhaust.flow.passage import Cone, Passage
from exhaust.flow.piece import Piece

# Mach, 4fL*/D (Fanning) = f L*/D (Darcy), p/p*, p0/p0*, V/V*
TABLE = [
    (0.1, 66.92156, 10.94351, 5.821829, 0.109435),
    (0.2, 14.53327, 5.455447, 2.963520, 0.218218),
    (0.3, 5.299253, 3.619057, 2.035065, 0.325715),
    (0.5, 1.069060, 2.138090, 1.339844, 0.534522),
    (0.7, 0.208139, 1.493452, 1.094373, 0.731792),
    (0.8, 0.072290, 1.289277, 1.038230, 0.825137),
]


@pytest.mark.parametrize(("mach", "loss"), [row[:2] for row in TABLE])
def test_loss_to_mach_one(mach, loss):
    # Six printed figures; near Mach 1 the last of six decimals is 1.4e-5 of the value.
    assert float(fanno_loss(mach, 1.4)) == pytest.approx(loss, rel=1e-5)
    assert float(mach_before(1.0, loss, 1.4)) == pytest.approx(mach, rel=1e-5)


def test_shapiro_gamma_133():
    assert float(fanno_loss(0.2, 1.33)) == pytest.approx(15.353583, rel=1e-6)  # closed form
    assert float(fanno_loss(0.5, 1.33)) == pytest.approx(1.139696, rel=1e-6)


class Air:
    """Gamma 1.4 at any temperature."""

    gas_constant = 287.05

    def cp(self, temperature):
        return 3.5 * self.gas_constant + 0 * temperature

    def enthalpy(self, temperature):
        return self.cp(temperature) * temperature

    def temperature_at(self, enthalpy):
        return enthalpy / self.cp(0.0)


@pytest.mark.parametrize(("mach", "loss", "pressure", "total", "velocity"), TABLE)
def test_pipe_that_just_chokes(mach, loss, pressure, total, velocity):
    """A pipe as long as the table allows: its outlet at Mach 1, its inlet at the table's Mach."""
    air, p_star, area, T0 = Air(), 101325.0, 0.004, np.array(400.0)
    mass_flow = area * p_star * np.sqrt(1.4 * 1.2 / (287.05 * T0))  # Mach 1 at p_star
    # A hair less flow, so that rounding does not decide whether it chokes.
    pipe, m = Piece("pipe", area, area), mass_flow * (1 - 1e-12)
    start, end, choked = local_loss(pipe, m, (T0, T0), loss, p_star, air)
    assert not choked
    # 1e-5 of the printed figures, doubled for the square root at Mach 1.
    assert float(mach_number(start, air)) == pytest.approx(mach, rel=3e-5)
    assert float(start.pressure) / p_star == pytest.approx(pressure, rel=3e-5)
    ratio = float(total_pressure(start, air) / total_pressure(end, air))
    assert ratio == pytest.approx(total, rel=3e-5)
    assert float(start.velocity / end.velocity) == pytest.approx(velocity, rel=3e-5)


def test_pipe_in_metres_and_seconds():
    """A dimensional pipe from the tables alone: Mach 0.3 in, 0.5 out, air at 1 bar.

    f (L_0.3 - L_0.5)/D = 5.299253 - 1.069060; p_in/p_out = 3.619057/2.138090; velocity from
    T_out = T0/1.05.
    """
    R, T0, p_out, diameter, f = 287.05, 300.0, 100e3, 0.05, 0.02
    T_out = T0 / 1.05
    u_out = 0.5 * np.sqrt(1.4 * R * T_out)
    mass_flow = p_out / (R * T_out) * u_out * np.pi / 4 * diameter**2
    length = (5.299253 - 1.069060) * diameter / f  # 10.58 m
    flow = march(Passage(Cone(diameter, diameter), length, f), Air(), mass_flow, T0, p_out)
    assert float(flow.mach[0]) == pytest.approx(0.3, rel=1e-5)
    assert float(flow.pressure[0]) == pytest.approx(p_out * 3.619057 / 2.138090, rel=1e-5)
    assert float(flow.velocity[0]) == pytest.approx(u_out * 0.325715 / 0.534522, rel=1e-5)
    assert float(flow.velocity[-1]) == pytest.approx(169.4, abs=0.05)  # 0.5 of 338.8 m/s


@pytest.mark.parametrize(
    ("mach", "area_ratio"), [(0.2, 2.963520), (0.5, 1.339844), (0.8, 1.038230)]
)
def test_mach_from_the_isentropic_area_table(mach, area_ratio):
    choked = np.sqrt(1.4) * (1.2) ** -3  # m sqrt(R T0)/(A* p0), gamma 1.4
    # Printed to six figures; near Mach 1 the area hardly moves, which costs one of them.
    assert float(mach_from_total(choked / area_ratio, 1.0, 1.4)) == pytest.approx(mach, rel=1e-5)


@pytest.mark.parametrize(
    ("gamma", "gas_constant", "printed"), [(1.4, 287.05, 0.040415), (1.33, 288.0, 0.039635)]
)
def test_choked_flow_function(gamma, gas_constant, printed):
    """m sqrt(T0)/(p0 A) at Mach 1 [sqrt(kg K/J)]: 0.0404 for air."""
    choked = printed * np.sqrt(gas_constant)
    assert np.isnan(mach_from_total(choked * 1.0001, 1.0, gamma))
    # 1e-4 short of choking is about 1e-2 short in Mach: (1-M)^2 (g+1)/4... of 1e-4
    assert float(mach_from_total(choked * 0.9999, 1.0, gamma)) == pytest.approx(1.0, abs=0.02)
