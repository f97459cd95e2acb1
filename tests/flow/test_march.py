"""The march along a run: limits, conservation, order, another form of the equations, refusals."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from exhaust.engine.species import gas_table
from exhaust.errors import ExhaustError
from exhaust.flow.duct import Duct
from exhaust.flow.fanno import Gas, mach_before, mach_from_static, state
from exhaust.flow.heat import Surroundings, TubeHeat
from exhaust.flow.impulse import motion_at_impulse, motion_at_pressure, sonic_motion
from exhaust.flow.march import TOLERANCE, cooled, march
from exhaust.flow.passage import Cone, Passage, no_heat
from exhaust.gas.properties import Mixture
from exhaust.published.gases import Perfect

BURNT = Mixture({"N2": 0.73, "CO2": 0.13, "H2O": 0.13, "Ar": 0.01}, gas_table())
AIR = Mixture({"N2": 0.7808, "O2": 0.2095, "Ar": 0.0097}, gas_table())
AMBIENT = 101325.0

flows = st.floats(0.01, 0.3)
temperatures = st.floats(600.0, 1300.0)
PERFECT = Perfect.of(1.33, 290.0)


def tail(m, **around):
    return TubeHeat(BURNT, m, 0.0016, Surroundings(AIR, 300.0, **around))


def straight(length=3.0, friction=0.02, local_loss=1.0, distance=0.5, ends=(0.06, 0.06)):
    return Passage(Cone(*ends), length, friction, local_loss, distance)


@settings(max_examples=30, deadline=None)
@given(st.floats(0.01, 0.6), st.floats(0.0, 10.0), temperatures)
def test_without_heat_at_constant_cp_it_is_fanno(m, N, T0):
    """The closed relation, which the march does not use; at Mach 1 as well, where both choke."""
    flux = m * np.sqrt(290.0 * T0) / (np.pi / 4 * 0.06**2)
    mach = mach_from_static(flux, AMBIENT, 1.33)
    end = state(np.minimum(mach, 1.0), flux, T0, Gas(1.33, 290.0))
    start = state(mach_before(end.mach, N, 1.33), flux, T0, Gas(1.33, 290.0))
    flow = march(straight(friction=0.0, local_loss=N), PERFECT, m, T0, AMBIENT)
    assert bool(flow.choked) == bool(mach >= 1)
    # the march's own tolerance, on inlet pressure; total pressure moves no more than that
    assert float(flow.pressure[0]) == pytest.approx(float(start.pressure), rel=3 * TOLERANCE)
    assert float(flow.mach[0]) == pytest.approx(float(start.mach), rel=3 * TOLERANCE)
    # at Mach 1 impulse is flat: its rounding, 1e-16, is 1e-8 in speed
    assert float(flow.mach[-1]) == pytest.approx(float(end.mach), rel=1e-7)
    lost, total = float(start.total_pressure - end.total_pressure), float(start.total_pressure)
    assert float(flow.total_pressure_loss) == pytest.approx(lost, abs=5 * TOLERANCE * total)


@settings(max_examples=20, deadline=None)
@given(flows, temperatures, st.floats(0.05, 0.08), st.floats(0.0, 30.0))
def test_mass_and_energy_are_kept(m, T0, end, speed):
    """h + u^2/2 and the heat lost so far add up to what came in; p A u/(R T) is the mass flow."""
    run = straight(ends=(0.06, end))
    flow = march(run, BURNT, m, T0, AMBIENT, tail(m, speed=speed))
    came = m * BURNT.enthalpy(T0)
    there = m * (BURNT.enthalpy(flow.temperature) + flow.velocity**2 / 2) + flow.heat_lost
    scale = m * BURNT.cp(T0) * T0  # the enthalpy flow, from nought kelvin or so
    assert np.max(np.abs(there - came)) <= 1e-9 * scale
    area = np.pi / 4 * (0.06 + (end - 0.06) * flow.position / 3.0) ** 2
    through = flow.pressure * area * flow.velocity / (BURNT.gas_constant * flow.temperature)
    assert through == pytest.approx(m, rel=1e-9)
    assert np.all(np.diff(flow.total_temperature) < 0)
    assert np.all((flow.wall_temperature > 300) & (flow.wall_temperature < flow.total_temperature))


@pytest.mark.parametrize(
    ("m", "ends", "distance"),
    [
        (0.1, (0.06, 0.06), 0.5),
        (0.2, (0.06, 0.075), 0.01),
        (0.25, (0.07, 0.06), 2.0),
        (0.004, (0.06, 0.06), 0.3),  # from laminar into transition as it cools
    ],
)
def test_another_form_of_the_equations(m, ends, distance):
    """Shapiro's influence coefficients with real cp, by a general integrator in plain x.

    dp/p = -g M^2/(1-M^2) [dh0/(cp T) - dA/A + (1 + (g-1) M^2) (f/D + K/L) dx/2]
    """
    run, heat, L = straight(distance=distance, ends=ends), tail(m), 3.0

    def diameter(x):
        return ends[0] + (ends[1] - ends[0]) * x / L

    def cooling(x, y):
        T0 = BURNT.temperature_at(float(y[0]))
        return [-float(heat(distance + x, diameter(x), T0).loss) / m]

    options = {"rtol": 1e-10, "max_step": L / 100}
    came = float(BURNT.enthalpy(1100.0))
    down = solve_ivp(cooling, (0, L), [came], dense_output=True, atol=1e-6, **options)

    def pressing(x, y):
        p, D, h0 = np.exp(y[0]), diameter(x), float(down.sol(x)[0])
        area, G = np.pi / 4 * D**2, m / (np.pi / 4 * D**2)
        T = float(motion_at_pressure(np.array([G]), np.array([p]), np.array([h0]), BURNT)[1][0])
        cp, gamma = BURNT.cp(T), BURNT.gamma(T)
        u = m * BURNT.gas_constant * T / (p * area)
        M2 = u**2 / (gamma * BURNT.gas_constant * T)
        warming = cooling(x, [h0])[0] / (cp * T) - 2 * (ends[1] - ends[0]) / L / D
        friction = (1 + (gamma - 1) * M2) * (0.02 / D + 1.0 / L) / 2
        return [-gamma * M2 / (1 - M2) * (warming + friction)]

    up = solve_ivp(pressing, (L, 0), [np.log(AMBIENT)], atol=1e-12, **options)
    flow = march(run, BURNT, m, 1100.0, AMBIENT, heat)
    T_end = BURNT.temperature_at(float(down.y[0, -1]))
    # both are asked for 1e-7 or better of the whole pressure
    assert float(flow.pressure[0]) == pytest.approx(float(np.exp(up.y[0, -1])), rel=3e-7)
    assert float(flow.total_temperature[-1]) == pytest.approx(T_end, rel=3e-7)
    # the heat that left is the enthalpy that is missing
    missing = m * (came - float(down.y[0, -1]))
    assert float(flow.heat_lost[-1]) == pytest.approx(missing, rel=1e-5)


@pytest.mark.parametrize("share", [0.02, 0.5, 0.9])
@pytest.mark.parametrize("ends", [(0.06, 0.06), (0.06, 0.07)])
def test_splitting_a_run_changes_nothing(share, ends):
    m, L = 0.2, 3.0
    one = march(straight(ends=ends), BURNT, m, 1100.0, AMBIENT, tail(m))
    middle = ends[0] + (ends[1] - ends[0]) * share
    first = Passage(Cone(ends[0], middle), L * share, 0.02, share, 0.5)
    second = Passage(Cone(middle, ends[1]), L * (1 - share), 0.02, 1 - share, 0.5 + L * share)
    warm = march(first, BURNT, m, 1100.0, AMBIENT, tail(m)).total_temperature[-1]
    two = march(second, BURNT, m, warm, AMBIENT, tail(m))
    head = march(first, BURNT, m, 1100.0, two.pressure[0], tail(m))
    assert float(head.pressure[0]) == pytest.approx(float(one.pressure[0]), rel=3 * TOLERANCE)
    end = float(one.total_temperature[-1])
    assert float(two.total_temperature[-1]) == pytest.approx(end, rel=3 * TOLERANCE)
    heat = float(head.heat_lost[-1] + two.heat_lost[-1])
    assert heat == pytest.approx(float(one.heat_lost[-1]), rel=1e-5)
    assert float(head.wall_temperature[0]) == pytest.approx(float(one.wall_temperature[0]))


@pytest.mark.parametrize(("start", "end"), [(0.05, 0.08), (0.08, 0.05)])
def test_area_change_alone_is_isentropic(start, end):
    """A/A* = (1/M) [(2/(g+1)) (1 + (g-1)/2 M^2)]^((g+1)/(2(g-1))) at both ends, gamma 1.33."""
    flow = march(Passage(Cone(start, end), 0.4), PERFECT, 0.15, 900.0, AMBIENT)

    def area_ratio(mach):
        return (2 / 2.33 * (1 + 0.165 * mach**2)) ** (2.33 / 0.66) / mach

    ratio = area_ratio(float(flow.mach[0])) / area_ratio(float(flow.mach[-1]))
    assert ratio == pytest.approx((start / end) ** 2, rel=1e-6)
    # nothing is lost: the march's tolerance of the whole
    assert float(flow.total_pressure_loss) == pytest.approx(0.0, abs=3 * TOLERANCE * AMBIENT)


def test_a_real_gas_keeps_its_total_pressure_in_a_smooth_cone():
    flow = march(Passage(Cone(0.05, 0.08), 0.4), BURNT, 0.17, 1100.0, AMBIENT)
    assert flow.mach[0] > 0.45
    whole = float(flow.total_pressure[-1])
    assert flow.total_pressure == pytest.approx(whole, rel=1e-6)


def test_each_halving_of_the_step_divides_the_error_by_sixteen():
    m, T0, p = (np.array([value]) for value in (0.2, 1100.0, AMBIENT))
    duct = Duct(straight(distance=0.01), PERFECT, m, T0, p, tail(m))

    def inlet(steps):
        heated = duct.down(steps)
        u = float(duct.up(steps, heated)[0].velocity[0])
        return u, float(heated.total_enthalpy[-1, 0])

    coarse, middle, fine = inlet(16), inlet(32), inlet(64)
    for a, b, c in zip(coarse, middle, fine, strict=True):
        # the tube's own gas has straight lines between table rows, which blur the order a little
        assert 8 < abs((a - b) / (b - c)) < 40


def test_many_samples_are_each_their_own():
    m = np.array([0.05, 0.15, 0.3])
    friction, emissivity = np.array([0.015, 0.02, 0.03]), np.array([0.2, 0.4, 0.8])
    run = straight(friction=friction)
    together = march(run, BURNT, m, 1100.0, AMBIENT, tail(m, emissivity=emissivity))
    assert together.mach.shape[1:] == (3,)
    for i in range(3):
        run = straight(friction=friction[i])
        alone = march(run, BURNT, m[i], 1100.0, AMBIENT, tail(m[i], emissivity=emissivity[i]))
        assert alone.mach.shape[1:] == ()
        for name in ("pressure", "total_pressure", "wall_temperature", "total_temperature"):
            one, many = getattr(alone, name), getattr(together, name)[:, i]
            # they may have taken different steps
            assert float(one[0]) == pytest.approx(many[0], rel=3 * TOLERANCE)
            assert float(one[-1]) == pytest.approx(many[-1], rel=3 * TOLERANCE)


def test_only_the_wall_may_vary():
    heat = tail(0.1, emissivity=np.array([0.2, 0.8]))
    flow = march(straight(), BURNT, 0.1, 1100.0, AMBIENT, heat)
    assert flow.pressure.shape[1:] == flow.choked.shape == (2,)
    assert flow.total_temperature[-1, 0] > flow.total_temperature[-1, 1]


def test_a_choked_outlet_is_reported_and_stands_above_ambient():
    flow = march(straight(), BURNT, np.array([0.2, 0.9]), 1100.0, AMBIENT)
    assert flow.choked.tolist() == [False, True]
    assert float(flow.pressure[-1, 0]) == pytest.approx(AMBIENT, rel=1e-12)
    assert flow.pressure[-1, 1] > AMBIENT
    assert float(flow.mach[-1, 1]) == pytest.approx(1.0, rel=1e-7)
    assert np.all(np.isfinite(flow.pressure))


def test_a_run_that_chokes_inside_has_no_answer_upstream():
    """A narrow start carries more than Mach 1 allows at the total pressure there."""
    run = Passage(Cone(0.03, 0.06), 0.5)
    flow = march(run, BURNT, np.array([0.05, 0.25]), 1100.0, AMBIENT)
    assert flow.choked.tolist() == [False, True]
    assert np.all(np.isfinite(flow.pressure[:, 0]))
    assert np.isnan(flow.pressure[0, 1])
    assert np.isnan(flow.mach[0, 1])
    assert float(flow.pressure[-1, 1]) == pytest.approx(AMBIENT, rel=1e-12)
    known = flow.mach[~np.isnan(flow.mach)]
    assert np.all(known <= 1 + 1e-7)


@pytest.mark.parametrize("m", [1e-3, 2e-4])
def test_a_trickle_cools_towards_the_air_and_not_past_it(m):
    """Twenty e-folds in the run: another integrator, made for stiff equations, ends as warm."""
    heat = tail(m)

    def cooling(x, y):
        T0 = float(BURNT.temperature_at(float(y[0])))
        return [-float(heat(0.5 + x, 0.06, T0).loss) / m]

    first = float(BURNT.enthalpy(1100.0))
    options = {"method": "Radau", "rtol": 1e-10, "atol": 1e-3}
    down = solve_ivp(cooling, (0, 3.0), [first], **options)
    found = cooled(straight(), BURNT, m, 1100.0, heat)
    there = float(BURNT.temperature_at(float(down.y[0, -1])))
    assert 300.0 < float(found.end) == pytest.approx(there, rel=3e-7)  # tolerances of both
    with pytest.raises(ExhaustError, match="gives up its heat at once"):
        cooled(straight(), BURNT, m / 2000, 1100.0, tail(m / 2000))


@given(st.floats(0.01, 0.9999), temperatures)
def test_speed_from_impulse_both_ways(mach, T0):
    h0 = np.array([BURNT.enthalpy(T0)])
    u = mach * sonic_motion(h0, BURNT).velocity
    T = BURNT.temperature_at(h0 - u**2 / 2)
    found = motion_at_impulse(BURNT.gas_constant * T / u + u, h0, BURNT)
    # flat at Mach 1: rounding of 1e-16 in impulse is that over (1 - M) in speed
    assert float(found.velocity[0]) == pytest.approx(float(u[0]), rel=1e-12 + 1e-14 / (1 - mach))
    assert not found.short[0]


@given(temperatures)
def test_mach_one_is_where_speed_is_the_speed_of_sound(T0):
    sonic = sonic_motion(np.array([BURNT.enthalpy(T0)]), BURNT)
    sound = BURNT.sound_speed(sonic.temperature)
    assert float(sonic.velocity[0]) == pytest.approx(float(sound[0]), rel=1e-9)
    assert sonic.short[0]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"mass_flow": 0.0}, "mass_flow must be more than zero"),
        ({"total_temperature": -1.0}, "total_temperature must be more than zero"),
        ({"outlet_pressure": np.nan}, "outlet_pressure must be more than zero"),
        ({"run": straight(length=0.0)}, "length must be more than zero"),
        ({"run": straight(friction=-0.1)}, "friction must not be less than zero"),
        ({"run": straight(ends=(0.06, 0.0))}, "flow area must be more than zero"),
        ({"total_temperature": 2500.0}, "gas temperature must be between 250 K and 1800 K"),
        ({"run": straight(distance=0.0), "heat": tail(0.1)}, "distance from the port must be more"),
    ],
)
def test_refusals(change, words):
    usual = {
        "run": straight(),
        "gas": BURNT,
        "mass_flow": 0.1,
        "total_temperature": 900.0,
        "outlet_pressure": AMBIENT,
        "heat": no_heat,
    }
    with pytest.raises(ExhaustError, match=words):
        march(**(usual | change))
