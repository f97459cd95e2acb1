"""Crossovers and chambers at small amplitude against linear closed forms."""

from __future__ import annotations

import numpy as np
import pytest
from tubes import AIR, P0, SOUND, bell, even, middles, primitives, run, simple_wave

from exhaust.errors import ExhaustError
from exhaust.pulse.arrays import Network, State
from exhaust.pulse.network import (
    Fittings,
    Junction,
    Reservoir,
    cells_of,
    filled,
    network,
    windows_between,
)

SMALL = 1e-6  # so small that nothing steepens
DX = 0.01
DECIBELS = 0.005  # 0.004 is reached, and a quarter of that in half the cells
TO_AIR = SOUND / 343.2  # a frequency here that has the wave length of one in air at 20 degC


def _spectra(net: Network, pipe: int, duration: float, freqs: np.ndarray, probe: int = 3):
    """Return what passes near a pipe's start over the pulse sent down pipe 0, at `freqs` [Hz].

    Both as transforms of pressure against time. The pulse is known where it starts.
    """
    x = middles(net, 0, DX)
    middle, width = x[-1] - 0.8, 0.09
    state = simple_wave(net, 0, 1 + SMALL * bell(x, middle, width))
    return _listened(net, state, [cells_of(net, pipe).start + probe], duration, freqs)[0] / (
        np.sqrt(np.pi) * width / SOUND * np.exp(-((np.pi * freqs * width / SOUND) ** 2))
    )


def _listened(net: Network, state: State, cells: list[int], duration: float, freqs: np.ndarray):
    """Return the size of the transform of pressure at cells, over SMALL."""
    from exhaust.pulse.arrays import Run
    from exhaust.pulse.solver import COURANT, advance, trace_of

    times = np.linspace(0, duration, 4000)
    trace = trace_of(cells, times)
    advance(net, state, Run(duration, COURANT, 0.0), trace)
    p = (trace.values[:, :, 2] / P0 - 1) / SMALL
    kernel = np.exp(-2j * np.pi * freqs[:, None] * times)
    return np.abs(kernel @ p * (times[1] - times[0])).T


def _loss(net: Network, pipe: int, duration: float, freqs: np.ndarray) -> np.ndarray:
    return -20 * np.log10(_spectra(net, pipe, duration, freqs))


def test_an_expansion_chamber_loses_what_munjal_says():
    """TL = 10 log10(1 + (m - 1/m)^2 sin^2(kL)/4), m = 9, L = 0.3 m: 8.0503 dB and so on."""
    pipes = [even(11.0, 1100), even(0.3, 30, 9e-3), even(11.0, 1100)]
    net = network(AIR, pipes, Fittings([0, 5], junctions=[Junction([1, 2]), Junction([3, 4])]))
    freqs = np.array([100.0, 286.0, 300.0]) * TO_AIR
    assert _loss(net, 2, 0.055, freqs) == pytest.approx([8.0503, 13.1708, 13.1464], abs=DECIBELS)


QUINCKE = {1.0: [1.3269, 2.8229, 3.0302], 0.5: [0.0118, 0.1101, 1.4832]}  # [dB], closed form


@pytest.mark.parametrize("share", QUINCKE)
def test_two_paths_lose_what_herschel_and_quincke_say(share: float):
    """Legs of 0.3 and 0.6 m between equal pipes; after Stewart and Selamet (derived)."""
    leg = share * 1e-3
    pipes = [even(11.0, 1100), even(0.3, 30, leg), even(0.6, 60, leg), even(11.0, 1100)]
    joints = [Junction([1, 2, 4]), Junction([3, 5, 6])]
    net = network(AIR, pipes, Fittings([0, 7], junctions=joints))
    freqs = np.array([100.0, 200.0, 300.0]) * TO_AIR
    k = 2 * np.pi * freqs / SOUND
    C = share / np.tan(0.3 * k) + share / np.tan(0.6 * k)
    D = share / np.sin(0.3 * k) + share / np.sin(0.6 * k)
    expected = 20 * np.log10(np.abs(((1 - 1j * C) ** 2 + D**2) / (2 * D)))
    assert expected == pytest.approx(QUINCKE[share], abs=1e-4)
    assert _loss(net, 3, 0.055, freqs) == pytest.approx(expected, abs=DECIBELS)


def test_a_shut_side_branch_loses_what_munjal_says():
    """TL = 10 log10(1 + (tan(kL)/2)^2), branch of the pipe's bore, 0.5 m: 1.532 and 8.5907 dB."""
    pipes = [even(11.0, 1100), even(11.0, 1100), even(0.5, 50)]
    net = network(AIR, pipes, Fittings([0, 3, 5], junctions=[Junction([1, 2, 4])]))
    freqs = np.array([100.0, 150.0]) * TO_AIR
    assert _loss(net, 1, 0.055, freqs) == pytest.approx([1.532, 8.5907], abs=DECIBELS)


def _two_banks(cells: int) -> Network:
    """Return banks A (pipes 0, 1) and B (2, 3), with a balance tube of so many `cells`, or an X."""
    pipes = [even(8.0, 800) for _ in range(4)]
    if cells:
        pipes.append(even(DX * cells, cells))
        joints = [Junction([1, 2, 8]), Junction([5, 6, 9])]
    else:
        joints = [Junction([1, 2, 5, 6])]
    return network(AIR, pipes, Fittings([0, 3, 4, 7], junctions=joints))


# at 550 m/s: what goes on in the bank itself and in the other (linear four-port, derived)
ONE_BANK = {50.0: (0.51714, 0.49596), 100.0: (0.56099, 0.48484), 200.0: (0.67027, 0.45168),
            458.333: (0.8, 0.4)}  # fmt: skip


@pytest.mark.parametrize("freq", ONE_BANK)
def test_a_balance_tube_shares_one_banks_pulse_as_linear_theory_says(freq: float):
    """H, tube of the banks' own bore, 0.3 m: common and differential modes of a side branch.

    T = (Tc +- Td)/2, Tc = 1/(1 + j tan(kL/2)/2), Td = 1/(1 - j cot(kL/2)/2) (derived).
    """
    net = _two_banks(30)
    half = np.pi * freq / 550.0 * 0.3
    common, apart = 1 / (1 + 0.5j * np.tan(half)), 1 / (1 - 0.5j / np.tan(half))
    own, other = abs(common + apart) / 2, abs(common - apart) / 2
    assert (own, other) == pytest.approx(ONE_BANK[freq], abs=1e-5)
    freqs = np.array([freq]) * SOUND / 550.0
    got = [_spectra(net, pipe, 0.035, freqs)[0] for pipe in (1, 3)]
    assert got == pytest.approx([own, other], abs=5e-4)


def test_an_x_in_one_point_gives_half_to_each_leg():
    net = _two_banks(0)
    freqs = np.array([50.0, 200.0])
    for pipe in (1, 3):
        assert _spectra(net, pipe, 0.035, freqs) == pytest.approx([0.5, 0.5], abs=2e-4)


def _side_by_side(height: float, cells: int, path: float = 0.02) -> Network:
    """Return two 4 m pipes with a window over `cells` cells in their middle, `height` [m]."""
    pipes = [even(4.0, 400), even(4.0, 400)]
    heights = np.zeros(400)
    heights[200 : 200 + cells] = height
    windows = windows_between(pipes, (0, 1), heights, path, 2.0)
    return network(AIR, pipes, Fittings(closed=[0, 1, 2, 3], windows=windows))


def _sent(net: Network, banks: tuple[float, float]) -> np.ndarray:
    """Return the sums of what is before and beyond the window in both pipes."""
    x = middles(net, 0, DX)
    ratio = [1 + b * SMALL * bell(x, 1.0, 0.25) for b in banks]
    state = simple_wave(net, 0, ratio[0])
    other = simple_wave(net, 1, ratio[1])
    state.cells[:, cells_of(net, 1)] = other.cells[:, cells_of(net, 1)]
    run(net, state, 2.0 / SOUND)
    p = (primitives(state, AIR)[2] / P0 - 1) / (SMALL * bell(x, 1.0, 0.25).sum())
    parts = [p[cells_of(net, k)] for k in (0, 1)]
    return np.array([[q[:200].sum(), q[200:].sum()] for q in parts])


def test_without_a_window_the_pipes_are_apart():
    assert _sent(_side_by_side(0.0, 20), (1.0, 0.0)) == pytest.approx(
        np.array([[0.0, 1.0], [0.0, 0.0]]), abs=1e-6
    )


def test_an_equal_pulse_in_both_pipes_passes_a_window_untouched():
    shut, wide = (_sent(_side_by_side(h, 20), (1.0, 1.0)) for h in (0.0, 0.05))
    assert wide == pytest.approx(shut, abs=1e-12)


def test_a_wide_window_is_a_four_pipe_junction_to_long_waves():
    """One bank's pulse: half to each leg onward, half back in the other, minus half in its own."""
    got = _sent(_side_by_side(0.5, 8), (1.0, 0.0))
    assert got == pytest.approx(np.array([[-0.5, 0.5], [0.5, 0.5]]), abs=0.02)


@pytest.mark.parametrize("height", [0.001, 0.004, 0.02])
def test_opposite_pulses_pass_a_window_as_its_inertia_lets_them(height: float):
    """A line with inertia along it, and its own spring beside the window's inertia across it.

    Per length and rho c = 1: Z = jk/A, Y = jkA + 2 height/(jk path); what passes is
    2/(2 cosh gL + (Zw/Z0 + Z0/Zw) sinh gL), g^2 = Z Y, Zw^2 = Z/Y, Z0 = 1/A (derived).
    """
    net = _side_by_side(height, 8)
    x = middles(net, 0, DX)
    width, freqs = 0.09, np.array([50.0, 100.0, 200.0])
    pulse = SMALL * bell(x, 1.0, width)
    state, other = simple_wave(net, 0, 1 + pulse), simple_wave(net, 1, 1 - pulse)
    state.cells[:, cells_of(net, 1)] = other.cells[:, cells_of(net, 1)]
    got = _listened(net, state, [cells_of(net, 0).start + 300], 3.8 / SOUND, freqs)[0]
    sent = np.sqrt(np.pi) * width / SOUND * np.exp(-((np.pi * freqs * width / SOUND) ** 2))
    jk, A, length = 2j * np.pi * freqs / SOUND, 1e-3, 0.08
    Z, Y = jk / A, jk * A + 2 * height / (jk * 0.02)
    gL, w = np.sqrt(Z * Y) * length, np.sqrt(Z / Y) * A
    expected = np.abs(2 / (2 * np.cosh(gL) + (w + 1 / w) * np.sinh(gL)))
    assert got / sent == pytest.approx(expected, abs=0.005)


def test_gas_blown_through_a_window_takes_mass_momentum_and_energy_along_exactly():
    net = _side_by_side(0.02, 30)
    n = net.mesh.per_width.size
    p, T, u = np.full(n, P0), np.full(n, 300.0), np.zeros(n)
    p[cells_of(net, 0)], T[cells_of(net, 0)], u[cells_of(net, 0)] = 1.6 * P0, 900.0, 80.0
    state = filled(net, p, T, u)
    volume = np.where(net.mesh.per_volume > 0, 1e-5, 0.0)
    before = (state.cells * volume).sum(axis=1)
    first = state.cells[0, cells_of(net, 0)].sum()
    run(net, state, 0.004)  # before any wave has met an end and pushed on its wall
    after = (state.cells * volume).sum(axis=1)
    assert after[[0, 2]] == pytest.approx(before[[0, 2]], rel=1e-13)
    assert state.cells[0, cells_of(net, 0)].sum() < 0.98 * first
    assert np.max(np.abs(state.window_velocity)) > 50.0


@pytest.mark.parametrize("loss", [1.0, 2.7])
def test_gas_pressed_through_a_window_for_long_loses_what_the_window_asks(loss: float):
    """1 % more pressure on one side: p1 - p2 = loss rho v^2/2, rho the mean of both (exact).

    The window is so low that the pressures stay as they are.
    """
    from exhaust.pulse.windows import exchange

    pipes = [even(0.1, 10), even(0.1, 10)]
    windows = windows_between(pipes, (0, 1), 1e-9, 0.03, loss)
    net = network(AIR, pipes, Fittings([0, 1, 2, 3], windows=windows))
    p = np.full(net.mesh.per_width.size, P0)
    p[cells_of(net, 0)] *= 1.01
    state = filled(net, p, 900.0)
    for _ in range(1000):
        exchange(state.cells, net.windows, state.window_velocity, net.mesh, 1.4, 1e-5)
    rho = 1.005 * P0 / (287.0 * 900.0)
    expected = np.sqrt(2 * 0.01 * P0 / (loss * rho))
    assert state.window_velocity == pytest.approx(expected, rel=2e-3)


def _narrowing(inlet: float):
    """Return two legs that narrow to 0.7 where a window of up to 30 mm joins them, then widen."""
    shape = np.concatenate([np.ones(30), 1 - 0.3 * np.sin(np.linspace(0, np.pi, 41)), np.ones(30)])
    pipes = [even(1.0, 100)._replace(face_area=1e-3 * shape) for _ in range(2)]
    height = np.zeros(100)
    height[30:70] = 0.03 * np.sin(np.linspace(0, np.pi, 40))
    open_air = [Reservoir(0, inlet, 300.0), Reservoir(1, P0, 300.0), Reservoir(3, P0, 300.0)]
    windows = windows_between(pipes, (0, 1), height, 0.03, 2.7)
    return network(AIR, pipes, Fittings([2], open_air, windows=windows))


def test_rest_in_legs_that_narrow_along_a_window_stays_at_rest():
    net = _narrowing(P0)
    hot = np.where(np.arange(net.mesh.per_width.size) % 5 < 2, 300.0, 900.0)
    state = filled(net, P0, hot)
    run(net, state, 0.02)
    real = net.mesh.per_volume > 0
    assert np.max(np.abs(primitives(state, AIR)[1][real])) < 1e-8
    assert np.max(np.abs(state.window_velocity)) < 1e-8


def test_gas_blown_into_one_leg_leaves_by_both_and_none_is_lost():
    """Steady: what comes in goes out, some of it through the window, less than half."""
    net = _narrowing(1.05 * P0)
    state = filled(net, P0, 300.0)
    run(net, state, 0.3)
    before = state.passed.copy()
    run(net, state, 0.1)
    mass = (state.passed - before)[:, 0]
    assert mass[1] + mass[3] == pytest.approx(-mass[0], rel=1e-3)
    assert 0.03 < mass[3] / -mass[0] < 0.5


def test_pipes_that_are_not_alike_have_no_window():
    with pytest.raises(ExhaustError, match=r"must have cells alike \(got 10 and 11\)"):
        windows_between([even(1.0, 10), even(1.0, 11)], (0, 1), 0.01, 0.03, 2.0)
