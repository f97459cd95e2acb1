"""Gas at rest stays at rest, and what is in a closed box stays in it: exact invariants."""

from __future__ import annotations

import numpy as np
import pytest
from tubes import AIR, P0, T0, contents, even, primitives, run

from exhaust.pulse.network import Fittings, Junction, Reservoir, cells_of, filled, network
from exhaust.pulse.pipes import round_pipe

Y_AXES = [[-1.0, 0.0, 0.0], [0.8, 0.6, 0.0], [0.8, -0.6, 0.0]]


def _rest_network(axes: object):
    pipes = [round_pipe(0.5, (0.04, 0.07), 0.01), round_pipe(0.4, 0.05, 0.01), even(0.3, 30)]
    ends = Fittings(closed=[0], reservoirs=[Reservoir(3, P0, T0), Reservoir(5, P0, T0, 2e-4)],
                    junctions=[Junction([1, 2, 4], axes)])  # fmt: skip
    return network(AIR, pipes, ends)


@pytest.mark.parametrize("axes", [None, Y_AXES])
def test_rest_in_cones_of_hot_and_cold_gas_stays_at_rest(axes: object):
    """No velocity but rounding grows in tapered pipes, at a junction, or at openings."""
    net = _rest_network(axes)
    n = net.mesh.per_width.size
    state = filled(net, P0, np.where(np.arange(n) % 7 < 3, 300.0, 1100.0))
    run(net, state, 0.02)
    rho, u, p = primitives(state, AIR)
    real = net.mesh.per_volume > 0
    assert np.max(np.abs(u[real])) < 1e-8  # [m/s]; rounding of a pressure over rho a is 1e-13
    assert p[real] == pytest.approx(P0, rel=1e-11)
    assert np.ptp(rho[real]) > 0.5


@pytest.mark.parametrize("axes", [None, Y_AXES])
def test_a_closed_box_with_shocks_keeps_its_mass_and_energy(axes: object):
    pipes = [even(0.5, 60), even(0.4, 50, 2e-3), round_pipe(0.3, (0.03, 0.05), 0.01)]
    net = network(AIR, pipes, Fittings(closed=[0, 3, 5], junctions=[Junction([1, 2, 4], axes)]))
    p = np.full(net.mesh.per_width.size, P0)
    p[cells_of(net, 0)] = 8 * P0
    state = filled(net, p, 3 * T0)
    before = contents(net, state)
    steps = run(net, state, 0.05)
    assert steps > 4000
    # 1e-16 a step, adding up at random over thousands of steps, is a few parts in 1e14
    assert contents(net, state) == pytest.approx(before, rel=1e-13)
    assert state.junction[0, 2] == 0.0
    # friction or none, what sloshes dies down: the pressure evens out and no pipe runs dry
    p = primitives(state, AIR)[2][net.mesh.per_volume > 0]
    assert np.max(p) < 3 * np.min(p)


def test_the_ledger_of_ends_and_walls_accounts_for_all_that_changes():
    pipes = [even(0.6, 60)._replace(friction=0.03, heat_coefficient=200.0, wall_temperature=500.0)]
    ends = Fittings(reservoirs=[Reservoir(0, 1.5 * P0, 900.0, 4e-4), Reservoir(1, P0, T0)])
    net = network(AIR, pipes, ends)
    state = filled(net, P0, 700.0)
    mass, energy = contents(net, state)
    run(net, state, 0.03)
    after = contents(net, state)
    out = state.passed.sum(axis=0)
    assert after[0] + out[0] == pytest.approx(mass, rel=1e-12)
    assert after[1] + out[1] + state.lost[0] == pytest.approx(energy, rel=1e-12)
    assert abs(state.lost[0]) > 0.01 * energy


def test_heat_and_friction_leave_gas_at_the_walls_temperature_still():
    pipe = even(0.2, 20)._replace(friction=0.05, heat_coefficient=4000.0, wall_temperature=600.0)
    net = network(AIR, [pipe], Fittings(closed=[0, 1]))
    state = filled(net, P0, 300.0)
    run(net, state, 1.0)
    rho, u, p = primitives(state, AIR)
    assert p[1:-1] / (rho[1:-1] * 287.0) == pytest.approx(600.0, rel=1e-6)
    assert np.max(np.abs(u[1:-1])) < 1e-6
