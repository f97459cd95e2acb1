"""An engine's network from cycle to cycle: what is kept, and when it stops."""

from __future__ import annotations

import logging
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from engines import cylinders, ports, single, v8

from exhaust.errors import ExhaustError
from exhaust.pulse import solver
from exhaust.pulse.arrays import Run
from exhaust.pulse.cycle import STEADY, UNSETTLED, Stop, _likeness, settle
from exhaust.pulse.network import Fittings, Junction, Reservoir, filled, network
from exhaust.pulse.pipes import round_pipe

RPM = np.pi / 30


@pytest.mark.parametrize("momentum", [True, False])
def test_an_engines_network_keeps_mass_and_energy_over_a_cycle(momentum: bool):
    net = v8(0.02, momentum)
    cycle = settle(net, filled(net, 101325.0, 900.0), 5000 * RPM, ports(net))
    assert cycle.outcome == STEADY
    assert cycle.unsolved == 0
    outer = [*net.cylinders.end, *net.reservoirs.end]
    mass, energy = cycle.passed[outer].sum(axis=0)
    through = -cycle.passed[net.cylinders.end].sum(axis=0)
    assert abs(cycle.stored[0] + mass) < 1e-12 * through[0]
    assert abs(cycle.stored[1] + energy + cycle.heat) < 1e-10 * through[1]
    assert through[0] == pytest.approx(net.cylinders.charge.sum(), rel=2e-3)
    assert cycle.heat > 0.005 * through[1]


def test_both_banks_of_a_mirrored_engine_breathe_alike():
    """Cross-plane banks see other intervals, but firing turned by half a cycle mirrors 1 and 6."""
    net = single(0.02)
    cycle = settle(net, filled(net, 101325.0, 900.0), 400.0, ports(net), Stop(tolerance=1.0))
    shifted = net._replace(cylinders=net.cylinders._replace(phase=net.cylinders.phase + 2 * np.pi))
    other = settle(shifted, filled(net, 101325.0, 900.0), 400.0, ports(net), Stop(tolerance=1.0))
    p, q = cycle.trace.values[:720, 0, 2], other.trace.values[:720, 0, 2]
    # the steps fall otherwise in the cycle: second order, a part in a thousand
    assert np.roll(q, 360) == pytest.approx(p, rel=0.01)


def test_it_says_when_the_most_cycles_were_not_enough():
    net = single(0.05)
    heard: list[int] = []
    cycle = settle(
        net,
        filled(net, 101325.0, 900.0),
        400.0,
        ports(net),
        Stop(tolerance=1e-9, most=2),
        lambda count, change: heard.append(count),
    )
    assert (cycle.outcome, cycle.cycles, heard) == (UNSETTLED, 2, [1, 2])


def test_a_cycle_that_is_not_to_be_the_last_is_followed_by_another():
    net = single(0.05)
    heard: list[int] = []

    def each(count: int, change: float) -> bool:
        heard.append(count)
        return count >= 15

    cycle = settle(net, filled(net, 101325.0, 900.0), 400.0, ports(net), None, each)
    assert (cycle.outcome, cycle.cycles, heard[-1]) == (STEADY, 15, 15)
    alone = settle(net, filled(net, 101325.0, 900.0), 400.0, ports(net))
    assert alone.cycles < 15


def test_two_cycles_that_alternate_are_known_as_such():
    a, b = np.zeros((4, 1)), np.full((4, 1), 5e3)
    assert _likeness([a, b, a + 1.0], 100.0) == ("alternating", 1.0)
    assert _likeness([a, b, b + 1.0], 100.0)[0] == STEADY
    assert _likeness([a, b], 100.0) == (UNSETTLED, 5e3)
    assert _likeness([a], 100.0) == (UNSETTLED, np.inf)


def test_samples_lie_at_even_degrees_between_steps():
    """A pipe at one steady state reads the same at all times; times are as asked."""
    net = single(0.05)
    cycle = settle(net, filled(net, 101325.0, 900.0), 400.0, ports(net), Stop(most=1))
    assert cycle.trace.values.shape == (721, 1, 3)
    assert np.all(cycle.trace.values[:, 0, [0, 2]] > 0)
    assert cycle.trace.times[-1] == pytest.approx(4 * np.pi / 400.0)


def test_threads_side_by_side_give_the_same_to_the_last_bit():
    speeds = [3000 * RPM, 5000 * RPM]

    def one(speed: float) -> np.ndarray:
        net = single(0.02)
        return settle(net, filled(net, 101325.0, 900.0), speed, ports(net)).trace.values

    with ThreadPoolExecutor(2) as pool:
        together = list(pool.map(one, speeds))
    for values, speed in zip(together, speeds, strict=True):
        assert np.array_equal(values, one(speed))


def test_compiling_is_said_once_and_only_when_it_happens(caplog, monkeypatch):
    net = network(single().gas, [round_pipe(0.5, 0.05, 0.1)], Fittings(closed=[0, 1]))
    state = filled(net, 1e5, 300.0)
    run = Run(1e-4, 0.9, 0.0)
    solver.advance(net, state, run)
    with caplog.at_level(logging.WARNING):
        solver.advance(net, state, run)
        assert not caplog.records
        monkeypatch.setattr("exhaust.pulse.compiled.kept", lambda kernel: False)
        solver.advance(net, state, run)
    assert [record.getMessage() for record in caplog.records] == [solver.COMPILING]


def test_describing_a_network_does_not_import_the_compiler():
    code = "import sys, exhaust.pulse.cycle, exhaust.pulse.network; print('numba' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


def test_what_cannot_be_is_refused_in_words():
    net = single(0.05)
    state = filled(net, 101325.0, 900.0)
    with pytest.raises(ExhaustError, match=r"speed must be more than zero \(got 0 rad/s\)"):
        settle(net, state, 0.0, ports(net))
    with pytest.raises(ExhaustError, match=r"probes must list at least one cell"):
        settle(net, state, 400.0, [])
    with pytest.raises(ExhaustError, match=r"must lead to one thing \(see the end of pipe 0\)"):
        network(net.gas, [round_pipe(1.0, 0.05, 0.1)], Fittings(closed=[0]))
    with pytest.raises(ExhaustError, match=r"see the start of pipe 0, the end of pipe 0"):
        network(net.gas, [round_pipe(1.0, 0.05, 0.1)], Fittings(closed=[0, 0]))
    pipes = [round_pipe(1.0, 0.05, 0.1) for _ in range(2)]
    for joint, words in (
        (Junction([1, 2], [[-1.0, 0, 0], [2.0, 0, 0]]), r"axes of a junction must be one long"),
        (Junction([1]), r"a junction must join two ends or more \(got 1\)"),
    ):
        shut = [e for e in range(4) if e not in joint.ends]
        with pytest.raises(ExhaustError, match=words):
            network(net.gas, pipes, Fittings(shut, junctions=[joint]))
    wide = Fittings([0], [Reservoir(1, 1e5, 300.0, 1.0)])
    with pytest.raises(ExhaustError, match=r"must be from 0 to the pipe's 0\.0019635 m\^2"):
        network(net.gas, pipes[:1], wide)
    with pytest.raises(ExhaustError, match=r"diameter must be more than zero"):
        round_pipe(1.0, (0.05, 0.0), 0.1)
    void = Fittings([0], [Reservoir(1, -1e5, 300.0)])
    with pytest.raises(ExhaustError, match=r"pressure of a reservoir must be more than zero"):
        network(net.gas, [round_pipe(1.0, 0.05, 0.1)], void)


def test_a_valve_that_closes_before_it_opens_is_refused():
    engine = cylinders([0], np.zeros(1))
    wrong = Fittings([1], cylinders=engine._replace(closes=engine.opens - 0.1))
    with pytest.raises(ExhaustError, match="must close after it opens"):
        network(single().gas, [round_pipe(1.0, 0.05, 0.1)], wrong)


@pytest.mark.parametrize("what", [np.nan, -1.0])
@pytest.mark.parametrize("row", [0, 2])
def test_gas_that_has_gone_wrong_is_an_error_and_not_an_answer(row: int, what: float):
    net = network(single().gas, [round_pipe(1.0, 0.05, 0.02)], Fittings([0, 1]))
    state = filled(net, 1e5, 300.0)
    state.cells[row, 20] = what
    with pytest.raises(ExhaustError, match=r"ran away|ran out of pressure"):
        solver.advance(net, state, Run(1e-4, 0.9, 0.0))


@pytest.mark.slow
def test_finer_cells_change_an_engines_answer_less_and_less():
    """Work on the pistons and residual settle as cells halve; the last halving moves both least."""
    work, residual = [], []
    for cell in (0.04, 0.02, 0.01, 0.005):
        net = v8(cell)
        stop = Stop(tolerance=20.0, most=80)
        cycle = settle(net, filled(net, 101325.0, 900.0), 5000 * RPM, ports(net), stop)
        work.append(cycle.work.mean())
        residual.append(cycle.residual.mean())
    for series in (work, residual):
        steps = np.abs(np.diff(series))
        assert steps[-1] < steps[0]
        assert steps[-1] < 0.02 * abs(series[-1])
