"""How long a joint takes with every dimension, beside one build of its solid model for scale.

A joint is made from SI values and asked for every property, its numbers as a result, its profile,
its envelope and its seams: what a slider or a sample asks for. An H pipe that is skew and has an
offset takes longest: its long and short points are roots of quartics, and the height of its opening
along the primary has no closed form.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from exhaust import Bend, HPipe, ParallelToSplayedX, ParallelX, SplayedX, Tube, YMerge
from exhaust.joints import Joint
from exhaust.joints.h_pipe_split import SplitJoint

RUNS = 40
AIM = 2e-3  # seconds

TUBE = Tube(od="63.5 mm", wall="1.651 mm")
BEND = Bend(TUBE, clr="95.25 mm")
SMALLER = {"tube": TUBE, "balance_tube": Tube(od="50.8 mm", wall="1.651 mm")}
SPLIT = SplitJoint(kind="V-band", length="38.1 mm", gap="3.2 mm")
SPLAY: dict[str, float] = {"included_angle": 0.8, "leg_length": 0.2}
MADE: dict[str, Callable[[], Joint]] = {
    "parallel X": lambda: ParallelX.from_si(bend=BEND, cutback=0.3, spacing=0.25),
    "splayed X": lambda: SplayedX.from_si(tube=TUBE, cutback=0.3, **SPLAY),
    "splayed X, unequal": lambda: SplayedX.from_si(
        tube=TUBE, cutback=0.3, exit_angle=1.2, unequal="plain", **SPLAY
    ),
    "parallel to splayed X": lambda: ParallelToSplayedX.from_si(
        bend=BEND, cutback=0.3, spacing=0.25, **SPLAY
    ),
    "Y merge": lambda: YMerge.from_si(bend=BEND, spacing=0.25),
    "H pipe": lambda: HPipe.from_si(tube=TUBE, spacing=0.23),
    "H pipe, skew": lambda: HPipe.from_si(tube=TUBE, spacing=0.23, angle=1.2),
    "H pipe, offset": lambda: HPipe.from_si(spacing=0.23, offset=4e-3, **SMALLER),
    "H pipe, skew, offset": lambda: HPipe.from_si(spacing=0.23, angle=1.2, offset=4e-3, **SMALLER),
    "the same, splayed, split": lambda: HPipe.from_si(
        spacing=0.23, angle=1.2, offset=4e-3, splay=0.1, split=SPLIT, **SMALLER
    ),
}


def everything(joint: Joint) -> list[Any]:
    """Return every dimension of a joint."""
    names = [name for name in dir(type(joint)) if not name.startswith("_")]
    found = [getattr(joint, name) for name in names]
    return [*found, joint.numbers.facts(), joint.profile(), joint.envelope, joint.seams]


def seconds(question: Callable[[], Any], runs: int) -> float:
    """Return the least processor time of many: a busy machine does not count [s]."""
    best = float("inf")
    for _ in range(runs):
        start = time.process_time()
        question()
        best = min(best, time.process_time() - start)
    return best


if __name__ == "__main__":
    from exhaust.sheet.solid_bodies import body

    for name, make in MADE.items():
        ours = seconds(lambda make=make: everything(make()), RUNS)
        solid = seconds(lambda make=make: body(make(), "metal"), 2)
        print(
            f"{name:25} {ours * 1e3:5.2f} ms (aim {AIM * 1e3:.0f} ms)"
            f"   solid model {solid * 1e3:5.0f} ms, {solid / ours:5.0f} times as long"
        )
