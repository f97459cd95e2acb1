"""Small waves against linear acoustics: closed forms, pulses of a thousandth of a percent."""

from __future__ import annotations

import numpy as np
import pytest
from tubes import AIR, P0, SOUND, T0, bell, even, middles, primitives, run, simple_wave, star

from exhaust.pulse.arrays import Gas
from exhaust.pulse.network import Fittings, Junction, Reservoir, cells_of, filled, network
from exhaust.pulse.pipes import END_CORRECTION, round_pipe

SMALL = 1e-5  # of the pressure
CLOSE = 3e-5  # what is left goes with the pulse's height: up to 1.6 times that is reached


def _entropy_wave(cells: int) -> float:
    """Return the L1 error of a bell of density carried along at one speed and pressure."""
    net = network(Gas(1.4, 1.0), [even(4.0, cells)], Fittings(closed=[0, 1]))
    x = middles(net, 0, 4.0 / cells)
    T = np.ones(cells + 2)
    T[1:-1] = 1 / (1 + 0.5 * bell(x, 1.7, 0.15))
    state = filled(net, 1.0, T, 1.0)
    time = 0.5
    run(net, state, time)
    inside = (x > 1.4) & (x < 2.9)
    exact = 1 + 0.5 * bell(x - time, 1.7, 0.15)
    return float(np.mean(np.abs(state.cells[0, 1:-1] - exact)[inside]))


def test_an_entropy_wave_converges_at_second_order():
    """Exact: it moves unchanged. The walls far off send waves that do not reach the bell."""
    errors = np.array([_entropy_wave(n) for n in (400, 800, 1600)])
    order = np.log2(errors[:-1] / errors[1:])
    assert order[-1] > 1.95


def _standing(cells: int, joined: list[Junction]) -> float:
    """Return the L1 error of a standing wave between walls, a two-pipe junction in its middle.

    An eighth of a period before and after two turns: the part that goes with the third power of a
    cell has the other sign there. At the one alone orders fall to 2 from 2.2, at the other they
    rise to it from 1.8, with a junction and without.
    """
    parts = len(joined) + 1
    pipes = [even(1 / parts, cells // parts) for _ in range(parts)]
    net = network(AIR, pipes, Fittings([0, 2 * parts - 1], junctions=joined))
    small = 3e-8  # steepening does not show, nor does rounding
    here = np.concatenate([np.r_[cells_of(net, k)] for k in range(parts)])
    x = (np.arange(here.size) + 0.5) / here.size
    ratio = np.ones(net.mesh.per_width.size)
    ratio[here] += small * np.cos(np.pi * x)
    errors = []
    for turns in (1.75, 2.25):
        state = filled(net, P0 * ratio, T0 * ratio ** (0.4 / 1.4))
        run(net, state, turns / SOUND)
        got = (primitives(state, AIR)[2][here] / P0 - 1) / small
        errors.append(np.mean(np.abs(got - np.cos(np.pi * x) * np.cos(turns * np.pi))))
    return float(np.mean(errors))


@pytest.mark.parametrize("axes", [None, [[-1.0, 0, 0], [1.0, 0, 0]]])
def test_a_standing_wave_between_walls_and_through_a_junction_is_second_order(axes: object):
    errors = np.array([_standing(n, [Junction([1, 2], axes)]) for n in (80, 160, 320)])
    assert np.min(np.log2(errors[:-1] / errors[1:])) > 1.99
    unbroken = np.array([_standing(n, []) for n in (80, 160, 320)])
    assert np.max(errors / unbroken) < 1.05  # 1.04, 1.02 and 1.01 are reached


def _reflections(net, junction_at: float = 1.0) -> list[float]:
    """Return the reflected wave and each that goes on, over the incident one.

    By their sums over the length, which a limiter does not clip as it does a peak.
    """
    x = middles(net, 0, 1 / 200)
    pulse = SMALL * bell(x, 0.6, 0.08)
    state = simple_wave(net, 0, 1 + pulse)
    run(net, state, (junction_at - 0.6 + 0.5) / SOUND)
    p = primitives(state, AIR)[2] / P0 - 1
    heights = []
    for k in range(net.ends.cell.size // 2):
        heights.append(float(p[cells_of(net, k)].sum() / pulse.sum()))
    return heights


CASES = [[1, 1, 1], [1, 0.5], [1, 2], [1, 1, 1, 1], [1, 1, 2], [1, 1, 0.5], [1, 2, 3, 0.5]]


@pytest.mark.parametrize("areas", CASES)
@pytest.mark.parametrize("momentum", [False, True])
def test_a_junction_reflects_as_its_areas_say(areas: list[float], momentum: bool):
    """R = (A1 - sum)/(A1 + sum), T = 2 A1/(A1 + sum): n-pipe acoustics, any angle of the legs."""
    angles = np.linspace(0.3, 2.0, len(areas))
    axes = np.stack([np.cos(angles), np.sin(angles), 0 * angles], axis=1) if momentum else None
    R = (areas[0] - sum(areas[1:])) / sum(areas)
    heights = _reflections(star(areas, axes))
    assert heights == pytest.approx([R, *[1 + R] * (len(areas) - 1)], abs=CLOSE)


@pytest.mark.parametrize("ratio", [0.25, 4.0])
def test_hot_gas_meets_cold_gas_and_reflects_as_admittance_says(ratio: float):
    """R = (Y1 - Y2)/(Y1 + Y2), Y = A/(rho c), which goes as sqrt(T) at one pressure."""
    net = network(AIR, [even(3.0, 600)], Fittings(closed=[0, 1]))
    x = middles(net, 0, 3 / 600)
    state = simple_wave(net, 0, 1 + SMALL * bell(x, 0.7, 0.08))
    far = np.arange(602) > 300
    U = state.cells
    U[0, far] /= ratio
    run(net, state, 1.3 / SOUND)
    p = primitives(state, AIR)[2][1:-1] / P0 - 1
    R = (1 - np.sqrt(ratio)) / (1 + np.sqrt(ratio))
    whole = SMALL * bell(x, 0.7, 0.08).sum()
    assert p[x < 1.5].sum() / whole == pytest.approx(R, abs=CLOSE)
    assert p[x > 1.5].sum() / whole / np.sqrt(ratio) == pytest.approx(1 + R, abs=CLOSE)


@pytest.mark.parametrize("momentum", [False, True])
def test_a_junction_of_hot_and_cold_pipes_reflects_as_admittances_say(momentum: bool):
    """R = (Y1 - sum)/(Y1 + sum), Y = A/(rho c); legs at once, four and a quarter times 300 K."""
    areas, hotter = [1.0, 0.8, 1.5], np.array([1.0, 4.0, 0.25])
    axes = [[-1.0, 0.0, 0.0], [0.8, 0.6, 0.0], [0.6, -0.8, 0.0]] if momentum else None
    net = star(areas, axes, cells=400)
    x = middles(net, 0, 1 / 400)
    pulse = SMALL * bell(x, 0.6, 0.06)
    state = simple_wave(net, 0, 1 + pulse)
    for k, times in enumerate(hotter):
        state.cells[0, cells_of(net, k)] /= times
    run(net, state, 0.75 / SOUND)
    p = primitives(state, AIR)[2] / P0 - 1
    got = [p[cells_of(net, k)].sum() / pulse.sum() for k in range(3)]
    Y = np.array(areas) * np.sqrt(hotter)
    R = (Y[0] - Y[1:].sum()) / Y.sum()
    # a pulse is as much longer as sound is faster where it goes
    assert got == pytest.approx([R, *(1 + R) * np.sqrt(hotter[1:])], abs=CLOSE)


@pytest.mark.parametrize(("wall", "R"), [(True, 1.0), (False, -1.0)])
def test_closed_and_open_ends_reflect_a_small_pulse_whole(wall: bool, R: float):
    ends = Fittings([0, 1]) if wall else Fittings([0], [Reservoir(1, P0, T0)])
    net = network(AIR, [even(1.0, 200)], ends)
    assert _reflections(net)[0] == pytest.approx(R, abs=CLOSE)


def test_a_pipe_rings_at_the_quarter_wave_with_its_end_correction():
    """f = c/(4 (L + 0.6133 a)) [levine-schwinger]; 1 m of 50 mm bore, c 343.2 m/s: 84.50 Hz."""
    L, a, c = 1.0, 0.025, 343.2
    pipe = round_pipe(L + END_CORRECTION * a, 2 * a, 0.01)
    net = network(AIR, [pipe], Fittings(closed=[0], reservoirs=[Reservoir(1, P0, c**2 / 401.8)]))
    x = middles(net, 0, pipe.width)
    ratio = np.ones(x.size + 2)
    ratio[1:-1] += SMALL * np.cos(0.5 * np.pi * x / (L + END_CORRECTION * a))
    state = filled(net, P0 * ratio, c**2 / 401.8 * ratio ** (0.4 / 1.4))
    period = 1 / 84.5043
    run(net, state, 3.25 * period)  # a zero of pressure, gone through three times before
    p = primitives(state, AIR)[2][1] / P0 - 1
    phase = np.arcsin(p / SMALL) / (2 * np.pi * 3.25)
    assert abs(phase) < 0.002  # of the frequency
