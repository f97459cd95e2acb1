"""Fubini E. (1935) Alta Frequenza 4, 530; as in Blackstock D.T. (1966) JASA 39, 1019 (from memory).

A sine at x = 0 grows harmonics on its way through still gas, without friction: of the velocity,
u_n/u_0 = 2/(n s) J_n(n s), s the way over that to the first shock, a^2/(beta w u_0); a weak-wave
limit. And the exact simple wave it is the limit of, c = a (6 X - 5) at gamma 1.4 (Earnshaw 1860).
The Bessel values and harmonics of the exact wave were worked out apart from the project.
"""

import numpy as np
import pytest
from tubes import P0, even, middles

from exhaust.pulse.arrays import Gas, Run
from exhaust.pulse.network import Fittings, cells_of, filled, network
from exhaust.pulse.solver import COURANT, advance, trace_of

SOUND = 343.2
AIR = Gas(1.4, 287.0)
STILL = SOUND**2 / (1.4 * 287.0)
PER_WAVE = 512  # cells to a wave


def _harmonics(frequency: float, swing: float, distance: float, row: int) -> np.ndarray:
    """Return the first three harmonics at `distance` [m] from where p/P0 = 1 + swing sin(w t).

    Three periods are on their way to x = 0 at the start: each pressure lies as far back as it
    travels until it is due. The middle one is listened to; `row` 1 velocity, 2 pressure.
    """
    wave = SOUND / frequency
    start = 3.5 * wave
    cells = round((start + distance + wave) / wave * PER_WAVE)
    net = network(AIR, [even(cells * wave / PER_WAVE, cells)], Fittings(closed=[0, 1]))
    x = middles(net, 0, wave / PER_WAVE)
    due = np.linspace(0.0, 3 / frequency, 30001)
    ratio = 1 + swing * np.sin(2 * np.pi * frequency * due)
    where = start - SOUND * (6 * ratio ** (1 / 7) - 5) * due
    assert np.all(np.diff(where) < 0)  # one pressure to a place
    X = np.ones(cells + 2)
    X[1:-1] = np.interp(x, where[::-1], ratio[::-1], 1.0, 1.0) ** (1 / 7)
    state = filled(net, P0 * X**7, STILL * X**2, 5 * SOUND * (X - 1))
    cell = int(np.searchsorted(x, start + distance))
    first = 1 / frequency + (x[cell] - start) / SOUND
    whole = np.linspace(first, first + 1 / frequency, 2001)
    trace = trace_of([cells_of(net, 0).start + cell], whole)
    advance(net, state, Run(float(whole[-1]), COURANT, 0.0), trace)
    phase = np.exp(-2j * np.pi * frequency * np.arange(1, 4)[:, None] * whole)
    return np.abs(np.trapezoid(phase * trace.values[:, 0, row], whole, axis=1)) * 2 * frequency


FUBINI = {0.25: (0.99221, 0.12242, 0.02263), 0.5: (0.96907, 0.22981, 0.08129)}


@pytest.mark.parametrize("share", FUBINI)
def test_a_weak_sine_grows_fubinis_harmonics(share: float):
    """2 m/s: what the weak-wave limit leaves out is of the order of its Mach number, 0.6 %."""
    speed, frequency = 2.0, 500.0
    swing = (1 + 0.2 * speed / SOUND) ** 7 - 1
    shock = SOUND**2 / (1.2 * 2 * np.pi * frequency * speed)
    got = _harmonics(frequency, swing, share * shock, 1) / speed
    assert got == pytest.approx(FUBINI[share], rel=0.015)


EXACT = {2.0: (0.99691, 0.07798, 0.00948), 4.0: (0.98767, 0.15213, 0.0354)}


@pytest.mark.parametrize("distance", EXACT)
def test_a_strong_sine_grows_the_simple_waves_harmonics(distance: float):
    """5 % of the pressure at 100 Hz."""
    got = _harmonics(100.0, 0.05, distance, 2) / (0.05 * P0)
    assert got == pytest.approx(EXACT[distance], rel=0.01)
