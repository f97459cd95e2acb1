"""The compressible pipe: limits, conservation and invariants."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from exhaust.errors import ExhaustError
from exhaust.flow.pipe import (
    Gas,
    Section,
    adiabatic_pipe,
    fanno_loss,
    mach_before,
    mach_from_static,
    mach_from_total,
)

HOT = Gas(1.33, 290.0)
AMBIENT = 101325.0
AREA = 0.0042

flows = st.floats(0.005, 0.6)
losses = st.floats(0.0, 30.0)
temperatures = st.floats(400.0, 1300.0)
gammas = st.floats(1.25, 1.4)


def test_slow_flow_is_incompressible():
    """At Mach 0.01 the pressure drop is N dynamic heads; compressibility is of order M^2."""
    m, N = 0.01, 4.0
    flow = adiabatic_pipe([Section(AREA, N)], m, 900.0, AMBIENT, HOT)
    density = AMBIENT / (290.0 * 900.0)
    head = 0.5 * density * (m / density / AREA) ** 2
    drop = float(flow.start.pressure) - AMBIENT
    assert drop == pytest.approx(N * head, rel=1e-3)
    assert float(flow.end.dynamic_head) == pytest.approx(head, rel=1e-3)


@given(flows, losses, temperatures, gammas)
def test_mass_and_energy_are_kept(m, N, T0, gamma):
    flow = adiabatic_pipe([Section(AREA, N)], m, T0, AMBIENT, Gas(gamma, 290.0))
    cp = gamma * 290.0 / (gamma - 1)
    for place in (flow.start, flow.end):
        sound = place.velocity / place.mach
        temperature = sound**2 / (gamma * 290.0)
        density = place.pressure / (290.0 * temperature)
        assert float(density * place.velocity * AREA) == pytest.approx(m, rel=1e-11)
        total = temperature + place.velocity**2 / (2 * cp)
        assert float(total) == pytest.approx(T0, rel=1e-11)
        assert float(place.dynamic_head) == pytest.approx(
            float(0.5 * density * place.velocity**2), rel=1e-11
        )


def test_march_agrees_with_the_differential_equation():
    """Shapiro's influence coefficient for friction alone, integrated step by step."""
    gamma, mach, N = 1.35, 0.6, 2.5

    def slope(_, M2):
        return -gamma * M2**2 * (1 + (gamma - 1) / 2 * M2) / (1 - M2)

    end = solve_ivp(slope, (0, N), [mach**2], rtol=1e-11, atol=1e-14).y[0, -1]
    # closed form against an integration asked for 1e-11
    assert float(mach_before(mach, N, gamma)) == pytest.approx(np.sqrt(end), rel=1e-8)


@given(st.floats(0.01, 0.999), st.floats(0.0, 100.0), gammas)
def test_fanno_and_its_inverse(mach, N, gamma):
    before = mach_before(mach, N, gamma)
    back = float(fanno_loss(before, gamma) - fanno_loss(mach, gamma))
    # fanno_loss is about 1/M^2: its rounding grows with it
    assert back == pytest.approx(N, abs=1e-11 / mach**2 + 1e-12 * N)


@given(flows, losses, losses, temperatures)
def test_splitting_a_run_changes_nothing(m, first, second, T0):
    one = adiabatic_pipe([Section(AREA, first + second)], m, T0, AMBIENT, HOT)
    two = adiabatic_pipe([Section(AREA, first), Section(AREA, second)], m, T0, AMBIENT, HOT)
    assert bool(one.choked) == bool(two.choked)
    # within the root's own tolerance
    assert float(two.start.pressure) == pytest.approx(float(one.start.pressure), rel=1e-9)
    assert float(two.start.mach) == pytest.approx(float(one.start.mach), rel=1e-9)
    assert len(two.starts) == len(two.ends) == 2


@given(flows, st.floats(1.0, 1.5), losses, temperatures)
def test_more_flow_never_means_less_loss(m, times, N, T0):
    flow = adiabatic_pipe([Section(AREA, N)], np.array([m, m * times]), T0, AMBIENT, HOT)
    lost = flow.start.total_pressure - AMBIENT
    assert lost[1] >= lost[0] * (1 - 1e-12)
    assert lost[0] >= 0


@given(flows, losses, st.floats(0.0, 10.0), temperatures)
def test_a_longer_pipe_never_gains_total_pressure(m, N, more, T0):
    flow = adiabatic_pipe([Section(AREA, np.array([N, N + more]))], m, T0, AMBIENT, HOT)
    total = flow.start.total_pressure
    assert total[1] >= total[0] * (1 - 1e-12)
    assert np.all(total >= flow.end.total_pressure * (1 - 1e-12))


def test_choked_outlet_is_reported_and_stands_above_ambient():
    """A flow twice what Mach 1 carries at ambient: it leaves at Mach 1 and twice the pressure."""
    sonic = AREA * AMBIENT * np.sqrt(1.33 * 1.165 / (290.0 * 900.0))  # m = A p sqrt(g(g+1)/2/RT0)
    flow = adiabatic_pipe([Section(AREA, 1.0)], sonic * np.array([0.99, 2.0]), 900.0, AMBIENT, HOT)
    assert flow.choked.tolist() == [False, True]
    assert flow.end.pressure == pytest.approx([AMBIENT, 2 * AMBIENT], rel=1e-12)
    assert flow.end.mach[0] < 1
    assert flow.end.mach[1] == 1.0
    # ahead of it, the same Mach number as at the limit: the loss to Mach 1 fixes it
    assert float(fanno_loss(flow.start.mach[1], 1.33)) == pytest.approx(1.0, rel=1e-10)


def test_a_step_in_area_keeps_total_pressure():
    small, large = 0.003, 0.006
    flow = adiabatic_pipe([Section(small, 1.0), Section(large, 1.0)], 0.1, 900.0, AMBIENT, HOT)
    before, after = flow.ends[0], flow.starts[1]
    assert float(before.total_pressure) == pytest.approx(float(after.total_pressure), rel=1e-12)
    assert before.mach > after.mach


def test_a_narrow_run_ahead_of_a_wide_one_may_choke():
    narrow = 0.0008
    flow = adiabatic_pipe([Section(narrow, 0.5), Section(AREA, 1.0)], 0.2, 900.0, AMBIENT, HOT)
    assert bool(flow.choked)
    assert float(flow.ends[0].mach) == 1.0
    assert float(flow.end.mach) < 1
    assert float(flow.ends[0].total_pressure) > float(flow.starts[1].total_pressure)


@given(st.floats(1e-4, 0.9999), gammas)
def test_mach_from_a_flux_both_ways(mach, gamma):
    warm = 1 + (gamma - 1) / 2 * mach**2
    flux = np.sqrt(gamma) * mach * np.sqrt(warm)  # at a static pressure of 1
    assert float(mach_from_static(flux, 1.0, gamma)) == pytest.approx(mach, rel=1e-12)
    total = warm ** (gamma / (gamma - 1))
    # near Mach 1 the flux hardly moves: its rounding, 1e-13, is 1e-6 in Mach at worst
    found = float(mach_from_total(flux, total, gamma))
    assert found == pytest.approx(mach, abs=3e-13 / (1 - mach) + 1e-12)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"mass_flow": 0.0}, "mass_flow must be more than zero"),
        ({"total_temperature": -1.0}, "total_temperature must be more than zero"),
        ({"outlet_pressure": 0.0}, "outlet_pressure must be more than zero"),
        ({"sections": []}, "sections is empty"),
        ({"sections": [Section(AREA, -0.1)]}, "loss must not be less than zero"),
    ],
)
def test_refusals(change, words):
    usual = {
        "sections": [Section(AREA, 1.0)],
        "mass_flow": 0.1,
        "total_temperature": 900.0,
        "outlet_pressure": AMBIENT,
        "gas": HOT,
    }
    with pytest.raises(ExhaustError, match=words):
        adiabatic_pipe(**(usual | change))


def test_mach_above_one_has_no_way_back():
    with pytest.raises(ExhaustError, match="mach must be above 0 and up to 1"):
        mach_before(1.2, 1.0, 1.4)
