"""What parts of a job that are sound alone may still say against each other."""

from __future__ import annotations

from collections.abc import Iterator

from exhaust.errors import ExhaustError
from exhaust.job.description import Job
from exhaust.joints import ParallelX
from exhaust.stock import Tube

LEGS = 2  # pipes that a merge brings together
SLACK = 1e-9


def crossed(job: Job) -> list[str]:
    """Return every mistake between the parts of `job`, each starting with its key.

    >>> from exhaust.job import load_job
    >>> from exhaust.tables import shipped
    >>> crossed(load_job(shipped("data") / "jobs" / "v8-parallel-x.toml"))
    []
    """
    return [*_joint(job), *_outlets(job)]


def _joint(job: Job) -> Iterator[str]:
    joint, pipes = job.system.joint, job.system.pipes
    if not isinstance(joint, ParallelX) or job.saw is None:
        return
    if pipes != LEGS:
        rule = f"must be {LEGS} for a parallel X (got {pipes})"
        yield f"system.pipes {rule}; write pipes = {LEGS} in [system]"
    try:
        joint.slug_depth(job.saw.kerf)
    except ExhaustError as error:
        yield f"saw.{error}"


def _outlets(job: Job) -> Iterator[str]:
    leg = job.system.tube
    if job.outlets and job.system.pipes < LEGS:
        rule = f"need {LEGS} pipes or more to merge (got {job.system.pipes})"
        yield f"shelf.outlets {rule}; leave outlets out or describe the pipes in [system]"
    for number, outlet in enumerate(job.outlets, start=1):
        wrong = _outlet(leg, outlet)
        if wrong:
            yield f"shelf.outlets {number} {wrong}"


def _outlet(leg: Tube, outlet: Tube) -> str:
    if outlet.od < leg.od * (1 - SLACK):
        rule = f"must be as large as the tube, {leg.name}, or larger"
        return f"{rule} (got {outlet.name}); a merge never narrows"
    if outlet.od >= LEGS * leg.od:
        rule = f"must be less than two tubes of {leg.name} side by side"
        return f"{rule} (got {outlet.name}); such a merge is a collector"
    return ""
