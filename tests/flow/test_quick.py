"""The quick march: how far it lies from the full one, where it may not go, and closed forms."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from exhaust.engine.species import gas_table
from exhaust.errors import ExhaustError
from exhaust.flow.chain import Chained
from exhaust.flow.fanno import mach_before
from exhaust.flow.friction import darcy_factor, quick_darcy_factor
from exhaust.flow.heat import STEADY, Stirring, Surroundings, TubeHeat
from exhaust.flow.march import cooled
from exhaust.flow.piece import Piece
from exhaust.flow.quick import at_pressure, quick_start, total_pressure
from exhaust.flow.quick_heat import QuickGas, QuickHeat, quick_cooling
from exhaust.gas.properties import Mixture

BURNT = Mixture({"N2": 0.73, "CO2": 0.13, "H2O": 0.13, "Ar": 0.01}, gas_table())
AIR = Mixture({"N2": 0.7808, "O2": 0.2095, "Ar": 0.0097}, gas_table())
AMBIENT = 101325.0

flows = st.floats(1e-6, 0.5)
bores = st.floats(0.038, 0.102)
temperatures = st.floats(500.0, 1400.0)


class Steady:
    """A gas of constant heat capacity."""

    def __init__(self, gamma=1.33, gas_constant=290.0):
        self.gas_constant = gas_constant
        self._cp = gamma * gas_constant / (gamma - 1)

    def cp(self, temperature):
        return self._cp + 0 * temperature


def drawn(count, seed, least, most):
    """Pieces, flows and temperatures all over the shop, flow a share of what Mach 1 carries."""
    rng = np.random.default_rng(seed)
    bore, length = rng.uniform(0.038, 0.102, count), rng.uniform(0.3, 6.0, count)
    distance, hot = (
        np.exp(rng.uniform(np.log(0.05), np.log(4), count)),
        rng.uniform(600, 1300, count),
    )
    area = np.pi / 4 * bore**2
    sonic = area * AMBIENT * np.sqrt(1.32 * 1.16 / (BURNT.gas_constant * hot))
    m = sonic * np.exp(rng.uniform(np.log(least), np.log(most), count))
    around = Surroundings(
        AIR,
        rng.uniform(270, 310, count),
        speed=rng.uniform(0, 25, count),
        emissivity=rng.uniform(0.2, 0.9, count),
        convection=rng.uniform(0.5, 2, count),
    )
    stirring = Stirring(*(rng.uniform(*ends, count) for ends in ((2, 3), (1, 1.5), (0.4, 1.6))))
    stirring = stirring._replace(cooling_power=rng.uniform(0, 0.45, count))
    piece = Piece(
        "tube", area, area, length, rng.uniform(2e-6, 5e-5, count), rng.uniform(0, 2, count)
    )
    heat = TubeHeat(BURNT, 1.0, 0.0016, around, stirring)
    return piece._replace(distance=distance, heat=heat), m, hot


def both(piece, m, hot, pressure=AMBIENT):
    """The gas along one piece by the full march and by the quick one."""
    chains = (Chained([piece], BURNT, method) for method in ("full", "quick"))
    return [chain.up(chain.down(m, hot), pressure) for chain in chains]


def test_back_pressure_is_near_that_of_the_full_march():
    """From a tenth of the flow that Mach 1 carries up past choking."""
    piece, m, hot = drawn(400, 7, 0.1, 1.05)
    full, quick = both(piece, m, hot)
    back = full.start.pressure - AMBIENT
    off = np.abs(quick.start.pressure - full.start.pressure) / back
    T = full.end.temperature
    mach = full.end.velocity / np.sqrt(BURNT.gamma(T) * BURNT.gas_constant * T)
    assert np.max(off) < 0.02
    assert np.max(off[mach > 0.15]) < 0.01
    assert np.sqrt(np.mean(off**2)) < 0.004
    lost, other = (total_pressure(chain.start, BURNT) - AMBIENT for chain in (full, quick))
    assert np.max(np.abs(other / lost - 1)) < 0.012
    # they may differ on which side of Mach 1 a gas is that is all but there
    close = np.abs(mach - 1) < 0.01
    assert np.array_equal(full.choked[~close], quick.choked[~close])
    assert 0 < np.sum(full.choked) < 400


def test_what_an_idling_engine_loses_is_near_that_of_the_full_march():
    """Down to Mach 0.02. Pipe that cools by half gives back as pressure most of what its friction
    takes there: static pressure ahead of it is a small difference, so total pressure is compared.
    """
    full, quick = both(*drawn(200, 9, 0.02, 0.1))
    lost, other = (total_pressure(chain.start, BURNT) - AMBIENT for chain in (full, quick))
    assert np.max(np.abs(other / lost - 1)) < 0.05
    assert np.sqrt(np.mean((other / lost - 1) ** 2)) < 0.01


def test_heat_is_near_that_of_the_full_march():
    piece, m, hot = drawn(300, 8, 0.03, 1.0)
    full, quick = both(piece, m, hot)
    fall = hot - full.end.total_temperature
    assert np.max(fall) > 500  # it was put to the test
    off = np.abs(quick.end.total_temperature - full.end.total_temperature) / fall
    assert np.max(off) < 0.03
    walls = (chain.pieces[0].warmth.wall for chain in (full, quick))
    assert np.max(np.abs(np.subtract(*walls))) < 35.0  # one takes the mean coefficient along it
    factors = [chain.pieces[0].warmth.friction for chain in (full, quick)]
    assert np.max(np.abs(factors[1] / factors[0] - 1)) < 0.004


@settings(max_examples=60, deadline=None)
@given(flows, bores, temperatures, st.floats(0.01, 8.0), st.floats(0.01, 5.0))
def test_gas_nears_the_air_and_never_passes_it(m, bore, hot, length, distance):
    wall = TubeHeat(BURNT, m, 0.0016, Surroundings(AIR, 290.0, speed=10.0))
    T = np.array([hot])
    piece = (distance, length, bore)
    found = QuickHeat(wall, bore).cooling(piece, np.array([m]), T)
    assert 290.0 <= float(found.end[0]) <= float(found.middle[0]) <= hot
    assert 290.0 <= float(found.wall[0]) <= hot
    longer = QuickHeat(wall, bore).cooling((distance, 1.2 * length, bore), np.array([m]), T)
    assert float(longer.end[0]) <= float(found.end[0]) + 1e-3


def test_gas_as_warm_as_the_air_stays_so_and_colder_gas_warms():
    wall = TubeHeat(BURNT, 0.1, 0.0016, Surroundings(AIR, 320.0))
    hot = np.array([320.0, 290.0])
    end = QuickHeat(wall, 0.06).cooling((0.5, 2.0, 0.06), np.array([0.1, 0.1]), hot).end
    assert end[0] == 320.0
    run = Piece("tube", 0.0028, 0.0028, 2.0, distance=0.5).passage(0.0)
    full = cooled(run, BURNT, 0.1, hot, wall).end
    assert 290.0 < float(end[1]) == pytest.approx(float(full[1]), abs=0.3)


@settings(max_examples=40, deadline=None)
@given(st.floats(0.02, 0.5), bores, temperatures, st.floats(0.05, 5.0), st.floats(0.0, 25.0))
def test_wall_at_one_place_is_near_that_of_the_whole_balance(m, bore, hot, distance, speed):
    tube = TubeHeat(BURNT, m, 0.0016, Surroundings(AIR, 290.0, speed=speed, emissivity=0.6))
    whole, quick = tube(distance, bore, hot), QuickHeat(tube, bore)(distance, bore, hot)
    # two of Newton's steps and a fit of what the air takes
    assert float(quick.temperature - 290) == pytest.approx(float(whole.temperature - 290), rel=0.04)
    assert float(quick.loss) == pytest.approx(float(whole.loss), rel=0.02)


def test_properties_are_near_the_table():
    T = np.linspace(250.0, 1800.0, 500)
    quick = QuickGas(BURNT)
    for name in ("cp", "viscosity", "conductivity"):
        ratio = getattr(quick, name)(T) / getattr(BURNT, name)(T)
        assert np.max(np.abs(ratio - 1)) < 2e-3, name


def test_any_other_wall_is_taken_by_the_midpoint_rule():
    """A wall that takes 30 W/m/K: an exponential, against which the rule is of second order."""

    def wall(distance, diameter, temperature):
        return temperature, 30.0 * (temperature - 300.0)

    gas, m, T0 = Steady(), np.array([0.1]), np.array([1100.0])
    cp = float(gas.cp(1.0))
    errors = []
    for length in (1.0, 0.5):
        end = float(quick_cooling(wall, gas, (0.5, length, 0.06), m, T0).end[0])
        errors.append(end - (300 + 800 * np.exp(-30 * length / (0.1 * cp))))
    assert errors[0] / errors[1] == pytest.approx(8.0, rel=0.2)  # of one step: third


@settings(max_examples=60, deadline=None)
@given(st.floats(0.02, 0.99), st.floats(0.0, 20.0))
def test_without_heat_at_constant_cp_it_is_fanno(mach, N):
    """The closed relation: half a per cent of the speed at the start."""
    gas = Steady()
    T0 = np.array([900.0])
    T = T0 / (1 + 0.165 * mach**2)
    u = mach * np.sqrt(1.33 * 290.0 * T)
    flux = AMBIENT / (290.0 * T) * u
    end, choked = at_pressure(flux, AMBIENT, T0, gas)
    assert float(end.velocity[0]) == pytest.approx(float(u[0]), rel=1e-12)
    assert not choked[0]
    start = quick_start(end, N, flux, (T0, T0), gas)
    before = float(mach_before(mach, N, 1.33))
    T1 = 900.0 / (1 + 0.165 * before**2)
    speed = before * np.sqrt(1.33 * 290.0 * T1)
    assert float(start.velocity[0]) == pytest.approx(speed, rel=0.005)
    kept = float(start.pressure[0] * start.velocity[0] / start.temperature[0])
    assert kept == pytest.approx(float(flux[0]) * 290.0, rel=1e-12)  # mass


def test_impulse_with_a_falling_temperature_against_an_integrator():
    """dJ/dN = -u/2 with R T/u + u = J, T0 a parabola from 1100 K by 960 K to 850 K at the end."""
    gas, flux, loss = Steady(), np.array([40.0]), 3.0
    cp, R = float(gas.cp(1.0)), 290.0
    end, _ = at_pressure(flux, AMBIENT, np.array([850.0]), gas)

    def speed(J, share):
        T0 = 850 + share * (4 * 960 - 3 * 850 - 1100) + share**2 * (2 * 1950 - 4 * 960)
        root = np.sqrt(J**2 - 4 * (1 - R / (2 * cp)) * R * T0)
        return 2 * R * T0 / (J + root)

    J = float(end.pressure[0] / flux[0] + end.velocity[0])
    options = {"rtol": 1e-10, "atol": 1e-10}
    path = solve_ivp(lambda x, y: [loss * speed(y[0], x) / 2], (0, 1), [J], **options)
    start = quick_start(end, loss, flux, (np.array([1100.0]), np.array([960.0])), gas)
    expected = speed(path.y[0, -1], 1.0)
    assert float(start.velocity[0]) == pytest.approx(float(expected), rel=2e-4)
    assert float(start.total_temperature[0]) == 1100.0


def test_samples_are_each_their_own_whatever_varies():
    """Each input as an array of three against one number at a time."""
    piece, m, hot = drawn(3, 11, 0.2, 0.6)
    chain = Chained([piece], BURNT, "quick")
    together = chain.up(chain.down(m, hot), AMBIENT).start.pressure
    for i in range(3):

        def chosen(values, i=i):
            return [np.asarray(v, float)[..., i] if np.ndim(v) else v for v in values]

        wall = piece.heat
        around = Surroundings(AIR, *chosen(wall.around[1:]))
        heat = TubeHeat(BURNT, 1.0, 0.0016, around, Stirring(*chosen(wall.stirring)))
        alone = Piece(piece.name, *chosen(piece[1:-1]), heat)
        one = Chained([alone], BURNT, "quick")
        pressure = one.up(one.down(np.asarray(m[i]), np.asarray(hot[i])), AMBIENT).start.pressure
        assert float(pressure) == pytest.approx(float(together[i]), rel=1e-12)


def test_systems_along_one_axis_and_samples_along_another():
    """Bores (2, 1) and air of its own for each of three samples."""
    area = np.array([[0.002], [0.004]])
    around = Surroundings(AIR, np.array([280.0, 300.0, 320.0]), speed=np.array([0.0, 5.0, 20.0]))
    heat = TubeHeat(BURNT, 1.0, np.array([[0.0012], [0.0016]]), around, STEADY)
    piece = Piece("tube", area, area, 2.0, 1e-5, 0.5, distance=0.5, heat=heat)
    chain = Chained([piece], BURNT, "quick")
    m, hot = np.full((2, 3), 0.08), np.full((2, 3), 1000.0)
    end = chain.down(m, hot).warmth[0].end
    assert end.shape == (2, 3)
    assert np.all(np.diff(end[:, 1:], axis=1) < 0)  # more wind


@settings(max_examples=100)
@given(st.floats(3.0, 7.0), st.floats(0.0, 0.05))
def test_quick_friction_is_colebrook(log_reynolds, roughness):
    Re = 10**log_reynolds
    quick, exact = quick_darcy_factor(Re, roughness), darcy_factor(Re, roughness)
    assert float(quick) == pytest.approx(float(exact), rel=4e-4 if Re > 1e4 else 4e-3)


def test_temperature_outside_the_table_is_refused():
    chain = Chained([Piece("tube", 0.002, 0.002, 1.0)], BURNT, "quick")
    words = "gas temperature must be between 250 K and 1800 K"
    with pytest.raises(ExhaustError, match=words):
        chain.down(np.array([0.1]), np.array([1900.0]))
