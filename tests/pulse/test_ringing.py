"""Pipes that ring between their ends, against plane waves in closed form.

A bump of pressure at rest sounds as a source of flow does that lasts no time. An ideal end lets
nothing die, so all is heard through exp(-s t): s is the angular frequency turned by j, and a
little that fades. Without the fading each closed form is the textbook's.
"""

from __future__ import annotations

import numpy as np
import pytest
from tubes import AIR, P0, even, middles

from exhaust.pulse.arrays import Gas, Network, Run, State
from exhaust.pulse.network import Fittings, Junction, Reservoir, cells_of, filled, network
from exhaust.pulse.solver import COURANT, advance, trace_of

SMALL = 1e-6  # so small that nothing steepens
DX = 0.01
FADING = 25.0  # [1/s]
LENGTH = 3.0


def _hot(sound: float, gas: Gas = AIR) -> float:
    """Return the temperature of a speed of sound [K]."""
    return sound**2 / (gas.gamma * gas.gas_constant)


def _still(net: Network, sound: float, bumps: dict[int, float]) -> State:
    """Return gas at rest with half a bell of pressure at the start of some pipes."""
    ratio = np.ones(net.mesh.per_width.size)
    for pipe, height in bumps.items():
        x = middles(net, pipe, DX)
        ratio[cells_of(net, pipe)] += height * SMALL * np.exp(-((x / 0.06) ** 2))
    return filled(net, P0 * ratio, _hot(sound) * ratio ** (0.4 / 1.4))


def _heard(net: Network, state: State, cell: int, s: np.ndarray, row: int) -> np.ndarray:
    """Return the integral of exp(-s t) times what a cell's pressure or velocity does."""
    times = np.linspace(0.0, 12.0 / FADING, 48001)
    trace = trace_of([cell], times)
    advance(net, state, Run(float(times[-1]), COURANT, 0.0), trace)
    heard = trace.values[:, 0, row]
    heard = heard - P0 if row == 2 else heard
    return np.trapezoid(np.exp(-s[:, None] * times) * heard, times, axis=1)


def _fading(freqs: list[float]) -> np.ndarray:
    return FADING + 2j * np.pi * np.array(freqs)


def _driving_point(kappa: complex, length: float) -> complex:
    """Return p/(rho c u) at the driven end of a pipe with an ideal open end."""
    return np.tanh(kappa * length)


# kL, |p| of a 0.1 m/s piston in air of 1.2 kg/m^3, 343.2 m/s, 1 m: Kinsler ch. 10 (closed form)
FORCED = [(0.39269908, 17.059), (0.78539816, 41.184), (1.17809725, 99.427)]


def test_the_closed_form_of_a_forced_pipe_is_the_textbooks():
    for kL, pressure in FORCED:
        driven = abs(_driving_point(1j * kL, 1.0)) * 1.2 * 343.2 * 0.1
        assert driven == pytest.approx(pressure, rel=1e-4)


def test_a_pipe_driven_at_one_end_answers_as_plane_waves_say():
    """At x: cosh(k x)/cosh(k L) times the sum of sinh(k (L - y)) of what is put in at y beyond."""
    sound, L = 343.2, 1.0
    net = network(AIR, [even(L, 100)], Fittings([0], [Reservoir(1, P0, _hot(sound))]))
    state = _still(net, sound, {0: 1.0})
    y = middles(net, 0, DX)
    put_in = (state.cells[2, 1:-1] * 0.4 - P0) * DX / sound
    s = _fading([kL * sound / (2 * np.pi * L) for kL, _ in FORCED])
    got = _heard(net, state, cells_of(net, 0).start, s, 2)
    k = (s / sound)[:, None]
    expected = (np.cosh(k * y[0]) / np.cosh(k * L) * np.sinh(k * (L - y)) * put_in).sum(axis=1)
    assert np.abs(got / expected - 1) == pytest.approx(np.zeros(3), abs=1e-3)


def _banks(at: float, share: float) -> Network:
    """Return two pipes of LENGTH with a balance tube of 0.3 m, `share` of their area, at `at`."""
    n = round(at / DX)
    rest = round(LENGTH / DX) - n
    pipes = [even(n * DX, n), even(rest * DX, rest), even(n * DX, n), even(rest * DX, rest)]
    pipes.append(even(0.3, 30, share * 1e-3))
    joints = [Junction([1, 2, 8]), Junction([5, 6, 9])]
    open_air = [Reservoir(e, P0, _hot(SOUND)) for e in (3, 7)]
    return network(AIR, pipes, Fittings([0, 4], open_air, joints))


SOUND = 550.0
# Where the tube is [m], loss of exit velocity [dB] at 60 Hz: plane-wave transfer matrix (derived)
PLACES = {0.3: 25.362, 0.7: 24.822, 1.0: 23.38, 1.5: 18.259, 2.0: 4.141, 2.5: 5.991, 2.9: 3.952}


def _insertion(k: np.ndarray, at: float, share: float) -> np.ndarray:
    """Return flow out without the tube over that with it, for banks in opposition."""
    branch = share / np.tanh(0.15 * k)
    return 1 + branch * np.cosh(k * at) * np.sinh(k * (LENGTH - at)) / np.cosh(k * LENGTH)


def test_the_closed_form_of_a_balance_tubes_place_is_the_transfer_matrix():
    k = 2j * np.pi * 60 / SOUND
    for at, loss in PLACES.items():
        assert 20 * np.log10(abs(_insertion(k, at, 1.0))) == pytest.approx(loss, abs=1e-3)


@pytest.mark.parametrize(("at", "share"), [*((at, 1.0) for at in PLACES), (1.0, 0.25), (1.5, 0.5)])
def test_a_balance_tube_quiets_opposite_banks_by_its_place_and_size(at: float, share: float):
    """Ideal source at one end, ideal open end at the other, heard at four frequencies."""
    s = _fading([30.0, 60.0, 100.0, 150.0])
    plain = network(AIR, [even(LENGTH, 300)], Fittings([0], [Reservoir(1, P0, _hot(SOUND))]))
    net = _banks(at, share)
    without = _heard(plain, _still(plain, SOUND, {0: 1.0}), cells_of(plain, 0).stop - 1, s, 1)
    state = _still(net, SOUND, {0: 1.0, 2: -1.0})
    got = without / _heard(net, state, cells_of(net, 1).stop - 1, s, 1)
    expected = _insertion(s / SOUND, at, share)
    assert 20 * np.log10(np.abs(got / expected)) == pytest.approx(np.zeros(4), abs=0.01)


@pytest.mark.parametrize(("mach", "first"), [(0.1, 123.75), (0.2, 120.0), (0.3, 113.75)])
def test_flow_lowers_the_quarter_wave_as_munjal_says(mach: float, first: float):
    """f = c (1 - M^2)/(4 L), here 1 m and 500 m/s; the fading is that of the inlet (derived).

    A choked inlet keeps mass flow and total temperature: p'/(rho c u') = -(1 + (g - 1) M^2)/(g M),
    so each round trip of 2 L/(c (1 - M^2)) keeps that much of a wave, turned about.
    """
    g, R, L, sound = 1.4, 287.0, 1.0, 500.0
    T = _hot(sound)
    total = T * (1 + 0.2 * mach**2)
    flow = P0 / (R * T) * mach * sound * 1e-3
    high = 6 * P0
    choked = high / np.sqrt(R * total) * np.sqrt(g) * (2 / (g + 1)) ** ((g + 1) / (2 * (g - 1)))
    ends = Fittings([], [Reservoir(0, high, total, flow / choked), Reservoir(1, P0, total)])
    net = network(AIR, [even(L, 400)], ends)
    x = middles(net, 0, L / 400)
    ratio = np.ones(402)
    ratio[1:-1] += 1e-4 * np.cos(0.5 * np.pi * x / L)
    u = mach * sound
    state = filled(net, P0 * ratio, T * ratio ** (0.4 / 1.4), u)
    trip = 2 * L / (sound * (1 - mach**2))
    times = np.linspace(0.0, 6 * trip, 6001)
    trace = trace_of([cells_of(net, 0).start], times)
    advance(net, state, Run(float(times[-1]), COURANT, 0.0), trace)
    p = trace.values[:, 0, 2] / P0 - 1
    # once the start has died away, a round trip later the same comes back turned about
    late = times > 3 * trip
    crossings = times[1:][late[1:] & (np.diff(np.sign(p)) != 0)]
    assert len(crossings) >= 2
    assert 0.5 / np.diff(crossings) == pytest.approx(first, rel=1e-4)
    z = (1 + (g - 1) * mach**2) / (g * mach)
    one, next_one = (np.interp(np.linspace(n, n + 1, 1001) * trip, times, p) for n in (3, 4))
    kept = (z - 1) / (z + 1)
    assert np.sqrt(np.mean((next_one + kept * one) ** 2) / np.mean(one**2)) < 0.01
