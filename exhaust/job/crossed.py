"""What parts of a job that are sound alone may still say against each other."""

from __future__ import annotations

from collections.abc import Iterator

from exhaust.choices.merged import LEGS, leg_of
from exhaust.cutmath.measured import rebuilt
from exhaust.errors import ExhaustError
from exhaust.job.description import Job
from exhaust.joints import ParallelX
from exhaust.show import listed
from exhaust.stock import Tube

SLACK = 1e-9


def crossed(job: Job) -> list[str]:
    """Return every mistake between the parts of `job`, each starting with its key.

    >>> from exhaust.job import load_job
    >>> from exhaust.tables import shipped
    >>> crossed(load_job(shipped("data") / "jobs" / "v8-parallel-x.toml"))
    []
    """
    return [*_kerf(job), *_cylinders(job), *_outlets(job), *_measured(job)]


def _kerf(job: Job) -> Iterator[str]:
    """Yield a kerf that leaves nothing of the slug."""
    joint = job.system.joint
    if isinstance(joint, ParallelX) and job.saw is not None:
        try:
            joint.slug_depth(job.saw.kerf)
        except ExhaustError as error:
            yield f"saw.{error}"


def _measured(job: Job) -> Iterator[str]:
    """Yield what was measured and cannot be of this joint, or is of none."""
    joint, saw, readings = job.system.joint, job.saw, job.measured
    if readings is None:
        return
    if joint is None or saw is None:
        yield "measured has no use without a joint; describe it in [joint] or leave it out"
        return
    used = saw if readings.kerf is None else saw.with_(kerf=readings.kerf)
    try:
        made = rebuilt(joint, used, readings)
        if isinstance(made, ParallelX):
            made.slug_depth(used.kerf)
    except ExhaustError as error:
        key = str(error).partition(" ")[0]
        yield f"measured.{error}" if key in readings.given else f"measured: {error}"


def _cylinders(job: Job) -> Iterator[str]:
    """Yield cylinders that feed no inlet or two, where any inlet names its own.

    Of pipes alike the inlets are those of one.
    """
    engine, inlets, pipes = job.engine, job.system.inlets, job.system.pipes
    fed: dict[int, int] = {}
    found = []
    if not any(inlet.cylinders for inlet in inlets):
        return
    for place, inlet in enumerate(inlets, start=1):
        if not inlet.cylinders:
            found.append(f"inlet {place}.cylinders is missing; name them for every inlet or none")
        for number in inlet.cylinders:
            if number > engine.cylinders:
                rule = f"names cylinder {number} but the engine has {engine.cylinders}"
                found.append(f"inlet {place}.cylinders {rule}")
            elif number in fed:
                rule = f"names cylinder {number}, which feeds inlet {fed[number]} already"
                found.append(f"inlet {place}.cylinders {rule}; each feeds one")
            fed.setdefault(number, place)
    yield from found
    if not found:
        yield from _left_out(job, set(fed), pipes)


def _left_out(job: Job, fed: set[int], pipes: int) -> Iterator[str]:
    """Yield what is wrong with the cylinders that feed one of `pipes`."""
    engine = job.engine
    rest = sorted(set(range(1, engine.cylinders + 1)) - fed)
    if pipes == 1 and rest:
        yield f"inlet leaves out cylinder {listed(rest)}; each cylinder feeds one inlet"
    elif len(fed) * pipes != engine.cylinders:
        rule = f"must name the cylinders of one pipe, {engine.cylinders} over {pipes}"
        yield f"inlet {rule} (got {len(fed)}); or write every pipe in full, with pipes = 1"
    elif pipes == LEGS and len(engine.banks) == LEGS and fed not in map(set, engine.banks.values()):
        got = f"got {listed(sorted(fed))}; engine.left_bank has {listed(engine.banks['left'])}"
        yield f"inlet must name the cylinders of one bank ({got})"


def _outlets(job: Job) -> Iterator[str]:
    """Yield outlets where nothing merges, or that a merge cannot have."""
    if not job.outlets:
        return
    try:
        leg = leg_of(job.system)
    except ExhaustError:
        rule = f"need {LEGS} pipes or more to merge (got {job.system.pipes})"
        yield f"shelf.outlets {rule}; leave outlets out or describe the pipes in [system]"
        return
    for number, outlet in enumerate(job.outlets, start=1):
        wrong = wrong_outlet(leg, outlet)
        if wrong:
            yield f"shelf.outlets {number} {wrong}"


def wrong_outlet(leg: Tube, outlet: Tube) -> str:
    """Return why a merge of two legs cannot have an outlet; nothing where it can.

    >>> three, four = Tube(od="3 in", wall="16 ga"), Tube(od="4 in", wall="16 ga")
    >>> wrong_outlet(three, four), wrong_outlet(four, three)[:42]
    ('', 'must be as large as the tube, 4 in x 16 ga')
    """
    if outlet.od < leg.od * (1 - SLACK):
        rule = f"must be as large as the tube, {leg.name}, or larger"
        return f"{rule} (got {outlet.name}); a merge never narrows"
    if outlet.od >= LEGS * leg.od:
        rule = f"must be less than two tubes of {leg.name} side by side"
        return f"{rule} (got {outlet.name}); such a merge is a collector"
    return ""
