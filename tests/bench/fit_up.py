"""How long a thousand samples of a joint's fit take, and how much longer one at a time."""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np

from exhaust import (
    Bend,
    HPipe,
    ParallelToSplayedX,
    ParallelX,
    Saw,
    SplayedX,
    Tolerances,
    Tube,
    YMerge,
    fit_up,
)
from exhaust.cutmath.fit.model import Slips
from exhaust.cutmath.fit.question import drawn, model_of

SAMPLES, FEW, REPEATS = 1000, 50, 5
SAW = Saw(kerf="1.1 mm")
TUBE = Tube(od="3 in", wall="16 ga")
BEND = Bend(TUBE, clr="4.5 in", tangent="1 in")
LEGS = {"included_angle": "45 deg", "leg_length": "10 in"}
JOINTS = {
    "parallel X": ParallelX(BEND, cutback=0.28, spacing="10.5 in"),
    "splayed X": SplayedX(TUBE, cutback=1 / 3, **LEGS),
    "parallel-to-splayed X": ParallelToSplayedX(BEND, cutback=0.3, **LEGS),
    "Y merge": YMerge(BEND, spacing="10 in"),
    "H pipe": HPipe(TUBE, balance_tube=Tube(od="2 in", wall="16 ga"), spacing="10 in"),
}


def best(work: Callable[[], object]) -> float:
    """Return the shortest of some tries [s]."""
    taken = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def main() -> None:
    """Print the question's time, its samples' alone, and a loop's over one sample at a time."""
    print(f"{SAMPLES} samples    question    samples    one by one    ratio")
    for name, joint in JOINTS.items():
        fit_up(joint, SAW, samples=1)
        _, model = model_of(joint, SAW)
        slips = drawn(model.errors, Tolerances(), SAMPLES)
        names = [error.name for error in model.errors]
        singly = [Slips({each: slips(each)[[n]] for each in names}, 1) for n in range(FEW)]
        whole = best(lambda joint=joint: fit_up(joint, SAW, samples=SAMPLES))
        together = best(lambda model=model, slips=slips: model.fitted(slips, 1))
        apart = best(lambda model=model, singly=singly: [model.fitted(s, 1) for s in singly])
        count = int(np.size(slips.nothing))
        loop = apart / FEW * count
        print(
            f"{name:24} {1e3 * whole:7.0f} ms {1e3 * together:7.0f} ms {1e3 * loop:9.0f} ms "
            f"{loop / together:7.0f}"
        )


if __name__ == "__main__":
    main()
