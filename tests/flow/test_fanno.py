"""Closed relations of the Fanno flow, and losses at one place by them: limits and invariants."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from exhaust.errors import ExhaustError
from exhaust.flow.fanno import fanno_loss, mach_before, mach_from_static, mach_from_total
from exhaust.flow.local_loss import local_loss
from exhaust.flow.moving import mach_number, total_pressure
from exhaust.flow.piece import Piece

AMBIENT = 101325.0
AREA = 0.0042

flows = st.floats(0.005, 0.6)
losses = st.floats(0.0, 30.0)
temperatures = st.floats(400.0, 1300.0)
gammas = st.floats(1.25, 1.4)


class Hot:
    """Gamma 1.33 at any temperature."""

    gas_constant = 290.0

    def cp(self, temperature):
        return 1.33 * 290.0 / 0.33 + 0 * temperature


HOT = Hot()


def lost(m, N, T0, pressure=AMBIENT, ends=(AREA, AREA)):
    """The gas on both sides of a loss."""
    m, T0 = np.asarray(m, float), np.asarray(T0, float)
    return local_loss(Piece("part", *ends), m, (T0, T0), N, pressure, HOT)


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
def test_two_losses_are_their_sum(m, first, second, T0):
    start, _, choked = lost(m, first + second, T0)
    middle, _, later = lost(m, second, T0)
    two, _, sooner = lost(m, first, T0, middle.pressure)
    # the second starts at Mach 1 at most, which the first reaches and does not pass
    assert bool(choked) == bool(later) or bool(choked) == bool(later | sooner)
    # within the root's own tolerance
    assert float(two.pressure) == pytest.approx(float(start.pressure), rel=1e-9)
    assert float(two.velocity) == pytest.approx(float(start.velocity), rel=1e-9)


@given(flows, st.floats(1.0, 1.5), losses, st.floats(0.0, 10.0), temperatures)
def test_more_flow_or_more_loss_never_loses_less(m, times, N, more, T0):
    for flow, loss in ((np.array([m, m * times]), N), (m, np.array([N, N + more]))):
        start, end, _ = lost(flow, loss, T0)
        total = total_pressure(start, HOT)
        assert total[1] >= total[0] * (1 - 1e-12)
        assert np.all(total >= total_pressure(end, HOT) * (1 - 1e-12))


def test_choked_outlet_is_reported_and_stands_above_ambient():
    """A flow twice what Mach 1 carries at ambient: it leaves at Mach 1 and twice the pressure."""
    sonic = AREA * AMBIENT * np.sqrt(1.33 * 1.165 / (290.0 * 900.0))  # m = A p sqrt(g(g+1)/2/RT0)
    start, end, choked = lost(sonic * np.array([0.99, 2.0]), 1.0, 900.0)
    assert choked.tolist() == [False, True]
    assert end.pressure == pytest.approx([AMBIENT, 2 * AMBIENT], rel=1e-12)
    mach = mach_number(end, HOT)
    assert mach[0] < 1
    assert mach[1] == pytest.approx(1.0, rel=1e-14)
    # ahead of it, the same Mach number as at the limit: the loss to Mach 1 fixes it
    before = mach_number(start, HOT)[1]
    assert float(fanno_loss(before, 1.33)) == pytest.approx(1.0, rel=1e-10)


@pytest.mark.parametrize("ends", [(0.003, 0.006), (0.006, 0.003)])
def test_a_step_without_loss_keeps_total_pressure(ends):
    start, end, choked = lost(0.1, 0.0, 900.0, ends=ends)
    assert not choked
    assert float(total_pressure(start, HOT)) == pytest.approx(
        float(total_pressure(end, HOT)), rel=1e-12
    )
    assert (start.velocity > end.velocity) == (ends[0] < ends[1])


@given(flows, losses, temperatures)
def test_a_loss_stands_in_the_smaller_area_whichever_comes_first(m, N, T0):
    """Slow gas: K on the head there, from total pressure to total pressure."""
    for ends in ((AREA, 3 * AREA), (3 * AREA, AREA)):
        start, end, _ = lost(m / 100, N, T0, ends=ends)
        density = AMBIENT / (290.0 * T0)
        head = density / 2 * (m / 100 / density / AREA) ** 2
        drop = float(total_pressure(start, HOT) - total_pressure(end, HOT))
        # of order M^2 and of the loss over the pressure
        size = head * (2 + N) / AMBIENT
        assert drop == pytest.approx(N * head, rel=4 * size + 1e-9, abs=1e-9 * AMBIENT)


@given(st.floats(1e-4, 0.9999), gammas)
def test_mach_from_a_flux_both_ways(mach, gamma):
    warm = 1 + (gamma - 1) / 2 * mach**2
    flux = np.sqrt(gamma) * mach * np.sqrt(warm)  # at a static pressure of 1
    assert float(mach_from_static(flux, 1.0, gamma)) == pytest.approx(mach, rel=1e-12)
    total = warm ** (gamma / (gamma - 1))
    # near Mach 1 the flux hardly moves: its rounding, 1e-13, is 1e-6 in Mach at worst
    found = float(mach_from_total(flux, total, gamma))
    assert found == pytest.approx(mach, abs=3e-13 / (1 - mach) + 1e-12)


def test_mach_above_one_has_no_way_back():
    with pytest.raises(ExhaustError, match="mach must be above 0 and up to 1"):
        mach_before(1.2, 1.0, 1.4)


def test_a_loss_below_nought_is_refused():
    with pytest.raises(ExhaustError, match="loss must not be less than zero"):
        mach_before(0.5, -0.1, 1.4)
