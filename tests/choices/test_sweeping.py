"""Many simulations side by side: in order, on any executor, called off together."""

from __future__ import annotations

import os
import signal
import threading
import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from exhaust import Pulses, compare_crossovers, simulate
from exhaust.choices.sweeping import stop_if_called_off, swept

COARSE = Pulses(cell="50 mm")


def test_answers_come_in_the_order_of_the_jobs():
    assert swept(lambda n: (time.sleep(0.01 * (3 - n)), n)[1], [0, 1, 2, 3], Pulses()) == [
        0,
        1,
        2,
        3,
    ]


def test_the_executor_handed_in_is_used_and_left_open():
    with ThreadPoolExecutor(1, thread_name_prefix="mine") as pool:
        names = swept(lambda _: threading.current_thread().name, [1, 2], Pulses(executor=pool))
        assert all(name.startswith("mine") for name in names)
        assert pool.submit(int, "3").result() == 3


def test_the_first_error_calls_off_the_rest_and_is_told():
    begun = []

    def task(n: int) -> int:
        if n == 0:
            raise ZeroDivisionError("first")
        begun.append(n)
        for _ in range(300):
            time.sleep(0.01)
            stop_if_called_off()
        return n

    with (
        ThreadPoolExecutor(2) as pool,
        pytest.raises(ZeroDivisionError, match="first"),
    ):
        swept(task, list(range(20)), Pulses(executor=pool))
    assert len(begun) < 5
    stop_if_called_off()  # nothing is left called off


def test_a_sweep_called_off_leaves_others_alone():
    ended = threading.Event()

    def task(n: int) -> int:
        if n == 0:
            raise ZeroDivisionError
        return n

    def other(n: int) -> int:
        ended.wait(10)
        stop_if_called_off()
        return n

    with ThreadPoolExecutor(1) as pool:
        going = pool.submit(swept, other, [1, 2], Pulses())
        with pytest.raises(ZeroDivisionError):
            swept(task, [0, 1], Pulses())
        ended.set()
        assert going.result() == [1, 2]


def test_speeds_side_by_side_give_the_same_to_the_last_bit(duals, engine, duty):
    duties = [duty.with_(speed=speed) for speed in ("3000 rpm", "6000 rpm")]
    found = swept(lambda one: simulate(engine, duals, one, pulses=COARSE), duties, COARSE)
    for one, at in zip(found, duties, strict=True):
        alone = simulate(engine, duals, at, pulses=COARSE)
        assert one.pumping_pressure == alone.pumping_pressure
        assert one.flow.duty.speed == at.speed


def test_a_bar_is_shown_where_asked(duals, engine, duty, capsys):
    simulate(engine, duals, duty, pulses=COARSE.with_(progress=True))
    assert "cycles" in capsys.readouterr().err
    swept(abs, [-1, 2], COARSE.with_(progress=True))
    assert "2/2" in capsys.readouterr().err


@pytest.fixture
def interruptible():
    """Let Ctrl-C interrupt: a run in the background may have been started deaf to it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


def _interrupt() -> None:
    """Press Ctrl-C."""
    os.kill(os.getpid(), signal.SIGINT)


@pytest.mark.usefixtures("interruptible")
def test_a_simulation_ends_with_its_cycle_when_interrupted(duals, engine, duty):
    """Well within the 40 cycles of fine cells that it was asked for, time after time."""

    def on_and_on() -> None:
        for _ in range(20):
            simulate(engine, duals, duty, pulses=Pulses(cell="4 mm"))

    pressed = threading.Timer(0.5, _interrupt)
    pressed.start()
    with pytest.raises(KeyboardInterrupt):
        on_and_on()


@pytest.mark.usefixtures("interruptible")
def test_an_interrupt_calls_off_a_sweep_and_leaves_the_executor_fit_for_more(duals, engine, duty):
    begun = []

    def task(n: int) -> float:
        begun.append(n)
        if n == 1:
            _interrupt()
        return simulate(engine, duals, duty, pulses=COARSE.with_(most_cycles=500)).pumping_pressure

    with ThreadPoolExecutor(2) as pool:
        with pytest.raises(KeyboardInterrupt):
            swept(task, list(range(200)), Pulses(executor=pool))
        assert len(begun) < 20
        assert swept(abs, [-1], Pulses(executor=pool)) == [1]


@pytest.mark.slow
@pytest.mark.parametrize("processes", [False, True])
def test_a_dask_clients_executor_gives_the_same_to_the_last_bit(
    job, tmp_path, monkeypatch, processes: bool
):
    """A cluster on this machine, in this process and in two others; no dashboard, no port kept."""
    from distributed import Client

    monkeypatch.chdir(tmp_path)
    at = Pulses(cell="80 mm", speeds=["2500 rpm", "5500 rpm"], samples=2)
    asked = (job.system, job.engine, job.duty, job.ambient, [job.system.joint])
    here = compare_crossovers(*asked, at)
    with (
        Client(processes=processes, n_workers=2, threads_per_worker=1, dashboard_address=None) as c,
        c.get_executor() as pool,
    ):
        there = compare_crossovers(*asked, at.with_(executor=pool))
    assert there.options == here.options
