"""Energy balance of a hot pipe, worked with the ht library's correlations.

0.1 kg/s at 1100 K through 3 m of tube, 60.2 mm inside and 63.5 mm outside: Gnielinski (1976) or
Depcik and Assanis (2002) inside; Churchill and Chu (1975), Churchill and Bernstein (1977) and
radiation outside; a second-order march of 200 steps, good to 0.05 K. All by formulas from memory.
What that gave lies in data/published. The same with an entrance, stirring and a gas of real
properties is integrated here with ht.
"""

import math

import pytest
from ht import Nu_cylinder_Churchill_Bernstein, Nu_horizontal_cylinder_Churchill_Chu
from ht.conv_internal import turbulent_Gnielinski
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from exhaust.engine.species import gas_table
from exhaust.flow.heat import Stirring, Surroundings, TubeHeat
from exhaust.flow.march import cooled
from exhaust.flow.passage import Cone, Passage
from exhaust.gas.properties import Mixture
from exhaust.published.heat import EXHAUST

BORE, OUTSIDE, LENGTH = 0.0602, 0.0635, 3.0
WALL = (OUTSIDE - BORE) / 2
M = 0.1


def test_constant_conductance_is_an_exponential():
    """U 35 W/m^2/K on 63.5 mm: 978.36 K, by T = Ta + (T1 - Ta) exp(-U pi D L/(m cp))."""

    def wall(distance, diameter, temperature):
        return temperature, 35.0 * math.pi * diameter * (temperature - 300.0)

    run = Passage(Cone(0.0635, 0.0635), LENGTH, distance=0.5)
    found = cooled(run, EXHAUST, M, 1100.0, wall)
    assert float(found.end) == pytest.approx(978.36, abs=0.005)  # as printed
    exact = 300 + 800 * math.exp(-35 * math.pi * 0.0635 * LENGTH / (M * 1270))
    assert float(found.end) == pytest.approx(exact, rel=1e-7)


def test_a_whole_tube_with_entrance_and_stirring_by_another_integrator():
    """Nothing of the package's heat but its gas: ht's correlations, the wall by a bracket."""
    burnt = Mixture({"N2": 0.73, "CO2": 0.13, "H2O": 0.13, "Ar": 0.01}, gas_table())
    air = Mixture({"N2": 0.7808, "O2": 0.2095, "Ar": 0.0097}, gas_table())
    m, Ta, speed, emissivity, start = 0.12, 295.0, 6.0, 0.5, 0.4
    near, far, decay, power = 2.2, 1.2, 0.8, 0.2

    def outside(Tw):
        film = (Tw + Ta) / 2
        mu, k, cp = (float(f(film)) for f in (air.viscosity, air.conductivity, air.cp))
        nu = mu * air.gas_constant * film / 101325.0
        Pr = cp * mu / k
        grashof = 9.80665 / film * (Tw - Ta) * OUTSIDE**3 / nu**2
        still = Nu_horizontal_cylinder_Churchill_Chu(Pr, grashof)
        wind = Nu_cylinder_Churchill_Bernstein(speed * OUTSIDE / nu, Pr)
        h = (still**3 + wind**3) ** (1 / 3) * k / OUTSIDE
        shine = emissivity * 5.670374419e-8 * (Tw**4 - Ta**4)
        return math.pi * OUTSIDE * (h * (Tw - Ta) + shine)

    def loss(x, T):
        mu, k, cp = (float(f(T)) for f in (burnt.viscosity, burnt.conductivity, burnt.cp))
        Re = 4 * m / (math.pi * BORE * mu)
        smooth = (0.790 * math.log(Re) - 1.64) ** -2
        Nu = turbulent_Gnielinski(Re, cp * mu / k, smooth) * (1 + (BORE / x) ** (2 / 3) / 3)
        h = Nu * k / BORE * (far + (near - far) * math.exp(-x / decay))

        def over(Tw):
            return math.pi * BORE * h * (T / Tw) ** power * (T - Tw) - outside(Tw)

        return outside(brentq(over, Ta + 1e-6, T, xtol=1e-9))

    def cooling(x, y):
        return [-loss(start + x, float(burnt.temperature_at(float(y[0])))) / m]

    first = float(burnt.enthalpy(1150.0))
    path = solve_ivp(cooling, (0, LENGTH), [first], rtol=1e-9, atol=1e-3)
    there = float(burnt.temperature_at(float(path.y[0, -1])))
    around = Surroundings(air, Ta, speed=speed, emissivity=emissivity)
    tube = TubeHeat(burnt, m, WALL, around, Stirring(near, far, decay, power))
    found = cooled(Passage(Cone(BORE, BORE), LENGTH, distance=start), burnt, m, 1150.0, tube)
    assert 1150.0 - there > 100.0
    assert float(found.end) == pytest.approx(there, rel=3e-7)
