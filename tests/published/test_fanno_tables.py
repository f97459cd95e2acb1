"""NACA Report 1135 (1953), Equations, Tables and Charts for Compressible Flow; Shapiro (1953).

The tables of Fanno lie in data/published; here a pipe in metres and seconds, and what chokes.
"""

import numpy as np
import pytest

from exhaust.flow.fanno import mach_from_total
from exhaust.flow.march import march
from exhaust.flow.passage import Cone, Passage
from exhaust.published import values
from exhaust.published.ducts import choking_pipe
from exhaust.published.gases import Perfect


@pytest.mark.parametrize("pipe", values("naca1135", "choking pipe, Mach number in"), ids=repr)
def test_a_hair_less_flow_does_not_choke(pipe):
    assert not choking_pipe(**pipe.inputs)["choked"]


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
    flow = march(
        Passage(Cone(diameter, diameter), length, f), Perfect.of(1.4), mass_flow, T0, p_out
    )
    assert float(flow.mach[0]) == pytest.approx(0.3, rel=1e-5)
    assert float(flow.pressure[0]) == pytest.approx(p_out * 3.619057 / 2.138090, rel=1e-5)
    assert float(flow.velocity[0]) == pytest.approx(u_out * 0.325715 / 0.534522, rel=1e-5)
    assert float(flow.velocity[-1]) == pytest.approx(169.4, abs=0.05)  # 0.5 of 338.8 m/s


@pytest.mark.parametrize(
    ("gamma", "gas_constant", "printed"), [(1.4, 287.05, 0.040415), (1.33, 288.0, 0.039635)]
)
def test_choked_flow_function(gamma, gas_constant, printed):
    """m sqrt(T0)/(p0 A) at Mach 1 [sqrt(kg K/J)]: 0.0404 for air."""
    choked = printed * np.sqrt(gas_constant)
    assert np.isnan(mach_from_total(choked * 1.0001, 1.0, gamma))
    # 1e-4 short of choking is about 1e-2 short in Mach: (1-M)^2 (g+1)/4... of 1e-4
    assert float(mach_from_total(choked * 0.9999, 1.0, gamma)) == pytest.approx(1.0, abs=0.02)
