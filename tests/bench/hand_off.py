"""From a job file to the shop: seconds for templates and the whole sheet, and for nesting.

Prints seconds by the clock, and those of the processor as a share of the 5 s that are wanted for a
job's templates and sheet: on a busy machine the clock says little. Each job is written by the
command line as well, which pays for importing every library. Nesting stands beside what the pieces
bound from below: the stock that their lengths alone fill.
"""

from __future__ import annotations

import math
import random
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

WANTED = 5.0  # of a job's templates and sheet [s]
NESTINGS = ((10, 1.2), (30, 1.2), (60, 0.8), (200, 2.2))  # how many pieces, up to which length [m]
BAR, KERF, TRIM = 6.0, 1.1e-3, 5e-3  # [m]


def main() -> None:
    """Print the table."""
    from exhaust.job import load_job
    from exhaust.sheet import sheet_files
    from exhaust.sheet.answers import Answers
    from exhaust.sheet.templates import templates_files
    from exhaust.tables import shipped

    print(f"{'':<46}{'seconds':>8}{'processor':>11}{'of wanted':>11}")
    jobs = sorted((shipped("data") / "jobs").glob("*.toml"))
    for path in jobs:
        row(f"{path.stem}: by the command line", lambda p=path: written(p), of_children)
    for job in map(load_job, jobs):
        answers = Answers(job)
        row(f"{job.path.stem}: templates", lambda a=answers: templates_files(a.cut, "", "A4"))
        row(f"{job.path.stem}: stock plan", lambda a=answers: a.plan)
        row(f"{job.path.stem}: templates and sheet, afresh", lambda j=job: sheet_files(Answers(j)))
    print(f"\n{'nesting into 6 m':<32}{'seconds':>8}{'bars':>6}{'bound':>7}{'gap':>8}")
    for count, longest in NESTINGS:
        nesting(count, longest)


def written(path: Path) -> None:
    """Write a job's folder as a shop does."""
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "exhaust", "sheet", str(path), "--out", f"{folder}/sheet"]
        subprocess.run(command, check=True, capture_output=True)


def of_children() -> float:
    """Return the processor's time of all that was run and has ended [s]."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def row(
    name: str, work: Callable[[], object], processor: Callable[[], float] = time.process_time
) -> None:
    """Print how long `work` takes, and its share of what is wanted."""
    with timed(processor) as taken:
        work()
    clock, used = taken
    print(f"{name:<46}{clock:>8.2f}{used:>11.2f}{used / WANTED:>11.2f}")


@contextmanager
def timed(processor: Callable[[], float] = time.process_time) -> Iterator[list[float]]:
    """Time what stands inside: in the list when it is done, by the clock, of the processor [s]."""
    taken: list[float] = []
    start = time.perf_counter(), processor()
    yield taken
    taken += [time.perf_counter() - start[0], processor() - start[1]]


def nesting(count: int, longest: float) -> None:
    """Print how long a nesting of chance pieces takes, and how near its bound it is."""
    from exhaust.cutmath.nesting import nested

    draw = random.Random(count)
    pieces = [round(draw.uniform(0.1, longest), 3) for _ in range(count)]
    bound = math.ceil(sum(piece + KERF for piece in pieces) / (BAR - TRIM + KERF))
    with timed() as taken:
        nest = nested(pieces, [BAR], KERF, TRIM)
    name = f"{count} pieces of 0.1 to {longest} m"
    print(f"{name:<32}{taken[0]:>8.2f}{len(nest.bars):>6}{bound:>7}{nest.gap:>8.1%}")


if __name__ == "__main__":
    sys.exit(main())
