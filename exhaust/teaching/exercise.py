"""What an exercise is made of, and the job that most of them are about."""

from __future__ import annotations

from functools import lru_cache

import attrs

from exhaust.engine import ExhaustFlow, exhaust_flow
from exhaust.engine.assumed import Sentence
from exhaust.job import load_job
from exhaust.job.description import Job
from exhaust.joints import ParallelX
from exhaust.stock import INCH, Saw
from exhaust.tables import shipped

# Half of a sixty-fourth: an answer rounded to the nearest mark of a shop's rule is right.
RULE = INCH / 128 * (1 + 1e-9)
ON_A_RULE = "the nearest 1/64 is near enough"
ROUNDED = "rounding on the way is forgiven"


@attrs.frozen
class Mistake:
    """A usual slip: `slip`, what was taken or done; the `value` it leads to [SI]; and `why` not."""

    slip: str
    value: float
    why: str


@attrs.frozen(kw_only=True)
class Exercise:
    """A question with its answer, both worked out by the package.

    `question` in words; `kind` of number as `show.KINDS` has it; the `right` answer [SI] and its
    `tolerance`, wide enough `because` of something; the usual `mistakes`; and what to `notice`.
    """

    question: Sentence
    kind: str
    right: float
    tolerance: float = RULE
    because: str = ON_A_RULE
    mistakes: tuple[Mistake, ...]
    notice: str


@lru_cache(maxsize=1)
def demo_job() -> Job:
    """Return the invented job that the lessons are about: a V8 with a parallel X.

    >>> demo_job().name
    'Demo V8, dual 3 in with a parallel X'
    """
    return load_job(shipped("data") / "jobs" / "v8-parallel-x.toml")


@lru_cache(maxsize=1)
def demo_flow() -> ExhaustFlow:
    """Return the exhaust flow of that job.

    >>> round(demo_flow().mass_flow, 3)
    0.292
    """
    job = demo_job()
    return exhaust_flow(job.engine, job.duty, job.ambient)


def demo_x() -> ParallelX:
    """Return the joint of that job.

    >>> demo_x().cutback
    0.28
    """
    joint = demo_job().system.joint
    assert isinstance(joint, ParallelX)
    return joint


def demo_saw() -> Saw:
    """Return the saw of that job.

    >>> demo_saw().kerf.written()
    '0.045 in'
    """
    saw = demo_job().saw
    assert saw is not None
    return saw
