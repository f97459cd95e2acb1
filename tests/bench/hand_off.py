"""From a job file to the shop: seconds for templates and the whole sheet, and for nesting.

Prints seconds by the clock, and those of the processor as a share of the 5 s that are wanted for a
job's templates and sheet: on a busy machine the clock says little. The first job is done twice, as
its first time pays for importing libraries. Nesting stands beside what the pieces bound from below:
the stock that their lengths alone fill.
"""

from __future__ import annotations

import math
import random
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

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
    for job in (load_job(path) for path in (jobs[0], *jobs)):
        answers = Answers(job)
        row(f"{job.path.stem}: templates", lambda a=answers: templates_files(a.cut, "", "A4"))
        row(f"{job.path.stem}: stock plan", lambda a=answers: a.plan)
        row(f"{job.path.stem}: templates and sheet, afresh", lambda j=job: sheet_files(Answers(j)))
    print(f"\n{'nesting into 6 m':<32}{'seconds':>8}{'bars':>6}{'bound':>7}{'gap':>8}")
    for count, longest in NESTINGS:
        nesting(count, longest)


def row(name: str, work: Callable[[], object]) -> None:
    """Print how long `work` takes, and its share of what is wanted."""
    with timed() as taken:
        work()
    clock, processor = taken
    print(f"{name:<46}{clock:>8.2f}{processor:>11.2f}{processor / WANTED:>11.2f}")


@contextmanager
def timed() -> Iterator[list[float]]:
    """Time what stands inside: in the list when it is done, by the clock, of the processor [s]."""
    taken: list[float] = []
    start = time.perf_counter(), time.process_time()
    yield taken
    taken += [time.perf_counter() - start[0], time.process_time() - start[1]]


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
