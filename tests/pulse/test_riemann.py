"""Shock tubes against their exact solution."""

from __future__ import annotations

import numpy as np
import pytest
from exact import sampled
from tubes import even, primitives, run

from exhaust.pulse.arrays import Gas
from exhaust.pulse.network import Fittings, Junction, cells_of, filled, network

GAS = Gas(1.4, 1.0)

# Left, right, diaphragm, time: Toro (2009) tests 1 to 5 of section 6.4 (from memory).
TORO = {
    1: ((1.0, 0.75, 1.0), (0.125, 0.0, 0.1), 0.3, 0.2),
    2: ((1.0, -2.0, 0.4), (1.0, 2.0, 0.4), 0.5, 0.15),
    3: ((1.0, 0.0, 1000.0), (1.0, 0.0, 0.01), 0.5, 0.012),
    4: ((5.99924, 19.5975, 460.894), (5.99242, -6.19633, 46.0950), 0.4, 0.035),
    5: ((1.0, -19.59745, 1000.0), (1.0, -19.59745, 0.01), 0.8, 0.012),
}


def _open_tube(case: int, cells: int) -> tuple[float, float]:
    """Return the L1 error of density over its mean, the loops run without any end.

    The spare cells have no volume that could change: they hold the gas far away.
    """
    from exhaust.pulse import scheme

    left, right, place, time = TORO[case]
    net = network(GAS, [even(1.0, cells)], Fittings(closed=[0, 1]))
    x = (np.arange(cells + 2) - 0.5) / cells
    rho, u, p = (np.where(x < place, a, b) for a, b in zip(left, right, strict=True))
    U = filled(net, p, p / rho, u).cells
    W = np.ones((4, cells + 2))
    sides = np.ones((3, cells + 2)), np.ones((3, cells + 2))
    for side in sides:
        side[:, 0], side[:, -1] = left, right
    flux = np.zeros((3, cells + 3))
    t = 0.0
    while t < time:
        scheme.primitive(U, W, net.mesh.per_width, 1.4)
        dt = min(0.9 / scheme.largest(W[3]), time - t)
        scheme.reconstruct(W, *sides, net.mesh, GAS, dt / 2)
        scheme.faces(*sides, flux, 1.4)
        scheme.update(U, sides, flux, net.mesh, 1.0, dt)
        t += dt
    exact = sampled(left, right, 1.4, (x - place) / time)[0]
    return float(np.mean(np.abs(U[0] - exact)) / np.mean(exact))


# What this scheme reaches over 200 cells, and a tenth more. First order has two to three times it.
REACHED = {1: 0.0065, 2: 0.0096, 3: 0.081, 4: 0.020, 5: 0.036}


@pytest.mark.parametrize("case", TORO)
def test_shock_tubes_end_near_the_exact_solution(case: int):
    assert _open_tube(case, 200) < REACHED[case]


def _sod(pipes: list, junctions: list) -> tuple[np.ndarray, np.ndarray]:
    """Return density and middles of a tube of 3 m in pipes, after Sod's break in the middle."""
    shut = [0, 2 * len(pipes) - 1]
    net = network(GAS, pipes, Fittings(closed=shut, junctions=junctions))
    rows = np.arange(net.mesh.per_width.size)
    here = np.concatenate([rows[cells_of(net, k)] for k in range(len(pipes))])
    x = (np.arange(here.size) + 0.5) / here.size * 3 - 1.5
    p, T = np.ones(rows.size), np.ones(rows.size)
    p[here] = np.where(x < 0, 1.0, 0.1)
    T[here] = np.where(x < 0, 1.0, 0.8)
    state = filled(net, p, T)
    run(net, state, 0.5)
    return primitives(state, GAS)[0][here], x


def test_a_shock_crosses_from_pipe_to_pipe_as_if_the_pipe_were_unbroken():
    """The break lies 0.3 m before a junction of two pipes: shock and contact both pass through."""
    split = [even(1.8, 360), even(1.2, 240)]
    broken, x = _sod(split, [Junction([1, 2])])
    whole, _ = _sod([even(3.0, 600)], [])
    exact = sampled((1.0, 0.0, 1.0), (0.125, 0.0, 0.1), 1.4, x / 0.5)[0]
    error = np.mean(np.abs(broken - exact)), np.mean(np.abs(whole - exact))
    assert error[0] < 1.05 * error[1]  # 1.01 is reached; a first-order end has 1.1 and more
    assert error[1] < 0.003


def test_the_balance_of_momentum_passes_a_shock_through_a_straight_join():
    axes = [[-1.0, 0.0, 0.0], [1.0, 0.0, 0.0]]
    one, _ = _sod([even(1.8, 360), even(1.2, 240)], [Junction([1, 2])])
    other, _ = _sod([even(1.8, 360), even(1.2, 240)], [Junction([1, 2], axes)])
    assert other == pytest.approx(
        one, abs=1e-9
    )  # no more than the tolerance of the junction's balance
