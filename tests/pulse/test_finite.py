"""Strong waves and steady flow in pipes against closed forms."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq
from tubes import AIR, P0, SOUND, T0, even, middles, primitives, run, simple_wave

from exhaust.pulse.network import Fittings, Reservoir, cells_of, filled, network
from exhaust.pulse.pipes import round_pipe

# p/p0, at a wall, reflected from an open end, velocity there: simple waves in air, 343.2 m/s.
PRINTED = 5e-6  # five figures and more
FINITE = [(1.05, 1.102128, 0.952055, 24.0047), (1.2, 1.43335, 0.82928, 90.5639)]


def _plateau(ratio: float, ends: Fittings):
    """Return a step that has just met the far end; it starts smooth enough to stay a wave."""
    net = network(AIR, [even(1.0, 500)], ends)
    x = middles(net, 0, 1 / 500)
    ramp = np.clip((0.85 - x) / 0.3, 0, 1)
    state = simple_wave(net, 0, 1 + (ratio - 1) * ramp)
    run(net, state, 0.60 / SOUND)
    return net, state


@pytest.mark.parametrize(("ratio", "wall", "back", "out"), FINITE)
def test_finite_waves_at_closed_and_open_ends(ratio, wall, back, out):
    _, state = _plateau(ratio, Fittings(closed=[0, 1]))
    assert primitives(state, AIR)[2][-2] / P0 == pytest.approx(wall, rel=PRINTED)
    net, state = _plateau(ratio, Fittings([0], [Reservoir(1, P0, T0)]))
    _, u, p = primitives(state, AIR)
    last = net.ends.cell[1]
    assert u[last] * 343.2 / SOUND == pytest.approx(out, rel=PRINTED)
    X = (p[last] / P0) ** (1 / 7)
    assert (1 + X - ratio ** (1 / 7)) ** 7 == pytest.approx(back, rel=PRINTED)


def test_a_wave_of_twice_the_pressure_is_stopped_by_a_wall_at_nearly_four_times():
    """p/p0 = (2 X - 1)^7, X = 2^(1/7): 3.757674 (simple wave; as a shock it would be 3.5)."""
    net = network(AIR, [even(1.0, 1000)], Fittings(closed=[0, 1]))
    x = middles(net, 0, 1 / 1000)
    # the front steepens all the way: a long one, at the wall already
    X = 1 + (2 ** (1 / 7) - 1) * np.clip((1.0 - x) / 0.4, 0, 1)
    state = simple_wave(net, 0, X**7)
    run(net, state, 0.36 / SOUND)
    assert primitives(state, AIR)[2][-2] / P0 == pytest.approx(3.757674, rel=PRINTED)


def _fanno(M: float, g: float = 1.4) -> float:
    """Return f L*/D [naca1135]."""
    w = (g + 1) * M**2 / (2 + (g - 1) * M**2)
    return (1 - M**2) / (g * M**2) + (g + 1) / (2 * g) * np.log(w)


@pytest.mark.parametrize(("high", "reached"), [(1.5, 7e-6), (1.9, 1.1e-4)])
def test_friction_in_a_steady_pipe_follows_fanno(high: float, reached: float):
    """From the inlet on, Mach 0.45 to 0.58 and 0.50 to 0.77; half the cells, four times as near."""
    L, D, f = 1.0, 0.02, 0.02
    ends = Fittings(reservoirs=[Reservoir(0, high * P0, 400.0), Reservoir(1, P0, 300.0)])
    errors = []
    for cells in (50, 100):
        net = network(AIR, [round_pipe(L, D, L / cells, f)], ends)
        state = filled(net, 1.2 * P0, 380.0, 150.0)
        run(net, state, 0.15)
        rho, u, p = (v[cells_of(net, 0)] for v in primitives(state, AIR))
        M = u / np.sqrt(1.4 * p / rho)
        x = middles(net, 0, L / cells)
        left = _fanno(M[0]) - f * (x - x[0]) / D
        expected = [brentq(lambda m, s=s: _fanno(m) - s, 0.01, 0.999) for s in left]
        errors.append(np.max(np.abs(M - expected)))
        heat = 1.4 / 0.4 * p / rho + 0.5 * u**2
        assert heat == pytest.approx(1.4 * 287.0 / 0.4 * 400.0, rel=8e-5)
    assert 0.4 < M[0] < M[-1] < 0.8
    assert errors[1] < 1.1 * reached
    assert np.log2(errors[0] / errors[1]) > 1.75


def test_a_cone_without_friction_keeps_total_pressure_and_mass_flow():
    """Steady flow in a pipe that narrows and widens is isentropic: closed form from areas."""
    D = np.concatenate([np.linspace(0.05, 0.04, 101), np.linspace(0.04, 0.05, 101)[1:]])
    pipe = even(1.0, 200)._replace(face_area=np.pi / 4 * D**2)
    ends = Fittings(reservoirs=[Reservoir(0, 1.1 * P0, 300.0), Reservoir(1, P0, 300.0)])
    net = network(AIR, [pipe], ends)
    state = filled(net, 1.05 * P0, 300.0, 50.0)
    run(net, state, 0.4)
    rho, u, p = (v[1:-1] for v in primitives(state, AIR))
    mach = u / np.sqrt(1.4 * p / rho)
    total = p * (1 + 0.2 * mach**2) ** 3.5
    # the kink of the bore in the throat costs two cells 1.5e-3
    assert total / P0 == pytest.approx(1.1, rel=2e-3)
    assert rho * u * pipe.area == pytest.approx(np.mean(rho * u * pipe.area), rel=1e-3)
    assert 0.35 < mach[0] < mach[100] < 0.95


def test_a_simple_wave_steepens_as_the_closed_form_says():
    """c = a0 (6 X - 5) at each pressure: 5 % sine in air, carried 0.5 m into still gas."""
    net = network(AIR, [even(4.0, 1600)], Fittings(closed=[0, 1]))
    x = middles(net, 0, 4 / 1600)
    ratio = 1 + 0.05 * np.sin(2 * np.pi * (x - 1.0)) ** 2 * ((x > 1.0) & (x < 2.0))
    state = simple_wave(net, 0, ratio)
    time = 1.0 / SOUND
    run(net, state, time)
    moved = x + SOUND * (6 * ratio ** (1 / 7) - 5) * time
    expected = np.interp(x, moved, ratio)
    got = primitives(state, AIR)[2][1:-1] / P0
    assert np.max(np.abs(got - expected)) < 0.02 * 0.05
