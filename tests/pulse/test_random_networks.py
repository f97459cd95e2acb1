"""Whatever network can be described runs on, with any gas in it."""

from __future__ import annotations

import numpy as np
import pytest
from engines import BURNT, cylinders
from tubes import contents, primitives

from exhaust.pulse.arrays import Network, Run, State
from exhaust.pulse.network import Fittings, Junction, Reservoir, filled, network, windows_between
from exhaust.pulse.pipes import round_pipe
from exhaust.pulse.solver import COURANT, advance

Rng = np.random.Generator


def _pipes(rng: Rng, count: int) -> list:
    """Return pipes of 0.05 to 1.5 m and 20 to 90 mm; the last two alike, for a window."""
    sizes = rng.uniform(0.02, 0.09, (count, 2))
    lengths = rng.uniform(0.05, 1.5, count)
    sizes[-1], lengths[-1] = sizes[-2], lengths[-2]
    hot = {"heat_coefficient": float(rng.uniform(0, 500)), "wall_temperature": 600.0}
    return [
        round_pipe(length, tuple(size), 0.02, float(rng.uniform(0, 0.1)))._replace(**hot)
        for length, size in zip(lengths, sizes, strict=True)
    ]


def _fittings(rng: Rng, pipes: list) -> Fittings:
    """Return all ends dealt out at random to junctions, walls, open air and cylinders."""
    free = rng.permutation(2 * len(pipes)).tolist()
    joints = []
    for _ in range(int(rng.integers(1, 4))):
        legs = int(rng.integers(2, 6))
        if len(free) - legs < 4:
            break
        axes = rng.normal(size=(legs, 3))
        axes /= np.linalg.norm(axes, axis=1)[:, None]
        joints.append(
            Junction([free.pop() for _ in range(legs)], axes if rng.random() < 0.7 else None)
        )
    engine = [free.pop() for _ in range(2)]
    air = [Reservoir(free.pop(), 1e5, float(rng.uniform(260.0, 320.0)))]
    for end in free[: len(free) // 2]:
        bore = pipes[end // 2].face_area[-(end % 2)]
        part = float(rng.uniform(0, 1)) * bore
        air.append(Reservoir(end, float(rng.uniform(0.5e5, 4e5)), 700.0, part))
    height = np.where(rng.random(pipes[-1].cells) < 0.3, rng.uniform(0, 0.05), 0.0)
    n = len(pipes)
    windows = windows_between(pipes, (n - 2, n - 1), height, 0.03, 2.7)
    phases = rng.uniform(0, 4 * np.pi, 2)
    return Fittings(free[len(free) // 2 :], air, joints, windows, cylinders(engine, phases))


def _random(seed: int) -> tuple[Network, State]:
    """Return a network with gas of random pressure and heat in every cell."""
    rng = np.random.default_rng(seed)
    pipes = _pipes(rng, int(rng.integers(3, 9)))
    net = network(BURNT, pipes, _fittings(rng, pipes))
    n = net.mesh.per_width.size
    rough = float(rng.choice([0.05, 0.5]))
    p = 1e5 * np.exp(rng.normal(0, rough, n))
    return net, filled(net, p, rng.uniform(300.0, 1500.0, n), rng.normal(0, 200 * rough, n))


@pytest.mark.parametrize("seed", range(60))
def test_a_random_network_runs_and_keeps_its_mass_and_energy(seed: int):
    """Two turns of the crank at 2000 to 9000 rpm: finite, some pressure left, nothing lost."""
    net, state = _random(seed)
    speed = float(np.random.default_rng(seed).uniform(200.0, 950.0))
    before = np.array(contents(net, state))
    advance(net, state, Run(4 * np.pi / speed, COURANT, speed))
    real = net.mesh.per_volume > 0
    rho, u, p = (x[real] for x in primitives(state, BURNT))
    assert np.all(np.isfinite([rho, u, p]))
    assert min(rho.min(), p.min()) > 0
    assert np.all(np.isfinite(state.held))
    assert state.junction[:, 2].sum() == 0  # every junction settled
    gone = state.passed.sum(axis=0) + np.array([0.0, state.lost[0]])
    off = contents(net, state) + gone - before
    # rounding of thousands of steps: ten parts in 1e15 is reached
    assert np.all(np.abs(off) < 1e-13 * (before + np.abs(state.passed).sum(axis=0)))
