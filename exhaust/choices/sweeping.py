"""Many simulations side by side: on threads, or on whatever executor is handed in."""

from __future__ import annotations

import itertools
import os
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor, Future, ThreadPoolExecutor, as_completed
from contextlib import contextmanager
from functools import partial
from typing import TypeVar

from exhaust.choices.pulses import Pulses

Job = TypeVar("Job")
Answer = TypeVar("Answer")

_numbers = itertools.count()
_called_off = set[int]()  # sweeps whose simulations are to end with the cycle they are in
_here = threading.local()  # the sweep that a thread works for


def swept(task: Callable[[Job], Answer], jobs: Sequence[Job], pulses: Pulses) -> list[Answer]:
    """Return the answer of a `task` to each of `jobs`, in their order.

    Runs on the executor of `pulses`, or on a thread to each core. The first error, or an interrupt
    from the keyboard, calls off what has not started; what runs ends with its cycle.

    >>> swept(abs, [-1, 2, -3], Pulses())
    [1, 2, 3]
    """
    if pulses.executor is not None:
        return _answers(pulses.executor, task, jobs, pulses.progress)
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        return _answers(pool, task, jobs, pulses.progress)


def _answers(
    pool: Executor, task: Callable[[Job], Answer], jobs: Sequence[Job], progress: bool
) -> list[Answer]:
    number = next(_numbers)
    numbered = partial(_for_sweep, number, task)
    running: list[Future[Answer]] = [pool.submit(numbered, job) for job in jobs]
    try:
        with bar(progress, len(jobs), "simulations") as step:
            for done in as_completed(running):
                done.result()
                step(1)
        return [one.result() for one in running]
    except BaseException:
        _called_off.add(number)
        for one in running:
            one.cancel()
        for one in running:
            if not one.cancelled():
                one.exception()
        _called_off.discard(number)
        raise


def _for_sweep(number: int, task: Callable[[Job], Answer], job: Job) -> Answer:
    """Return the answer to one job, known while it runs as one of a sweep."""
    before = getattr(_here, "sweep", None)
    _here.sweep = number
    try:
        return task(job)
    finally:
        _here.sweep = before


def stop_if_called_off() -> None:
    """Raise `KeyboardInterrupt` in a simulation whose sweep was called off; between cycles."""
    if getattr(_here, "sweep", None) in _called_off:
        raise KeyboardInterrupt


@contextmanager
def bar(progress: bool, total: int, unit: str) -> Iterator[Callable[[int], object]]:
    """Give what is told of each step done, and shows a bar if there is to be one.

    >>> with bar(False, 3, "cycles") as step:
    ...     step(1)
    """
    if not progress:
        yield lambda count: None
        return
    from tqdm.auto import tqdm

    with tqdm(total=total, unit=f" {unit}") as shown:
        yield shown.update
