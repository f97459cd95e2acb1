"""What can be wrong with a graph of runs: a loose end, a leg too many, a joint of another tube."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from exhaust.errors import ExhaustError, RuleError, broken, nearest
from exhaust.joints import Joint
from exhaust.show import listed
from exhaust.system.graph import SEAM, Graph
from exhaust.system.places import Cone, Merge, Part
from exhaust.system.run import OPEN_AIR, Run, like, told_apart

if TYPE_CHECKING:
    from exhaust.system.exhaust_system import System


class Wrong(NamedTuple):
    """One thing wrong: in which list of the system, which of it, what it is called, the rule."""

    where: str  # "runs", "inlets", "places", "sensors" or "joint"
    number: int  # in that list
    noun: str
    error: RuleError
    key: str = ""  # of a run, for whoever knows the keys: "from", "to"


class GraphError(ExhaustError):
    """What is wrong with a system; the sentence is about the first, `wrongs` has them all."""

    def __init__(self, wrongs: Iterable[Wrong]) -> None:
        self.wrongs = tuple(wrongs)
        super().__init__(str(self.wrongs[0].error.named(self.wrongs[0].noun)))


def check(system: System) -> None:
    """Refuse a system whose runs and places do not make an exhaust, with all that is wrong.

    Looks further only where what it has seen is sound, so that one slip is told once.
    """
    steps: tuple[Callable[[System], Iterator[Wrong]], ...] = (_names, _ends, _legs, _ring)
    for step in steps:
        wrongs = tuple(step(system))
        if wrongs:
            raise GraphError(wrongs)


def _about(system: System, where: str, number: int, error: RuleError, key: str = "") -> Wrong:
    if where == "joint":
        return Wrong(where, number, "joint", error)
    thing = getattr(system, where)[number]
    kind = thing.kind if isinstance(thing, Part) else type(thing).__name__.lower()
    return Wrong(where, number, f"{kind} {thing.name!r}", error, key)


def _about_place(system: System, name: str, error: RuleError) -> Wrong:
    """Return what is wrong with the inlet, place or joint of a name."""
    for where in ("inlets", "places"):
        for number, one in enumerate(getattr(system, where)):
            if one.name == name:
                return _about(system, where, number, error)
    if system.joint is not None and name == system.joint_at:
        return _about(system, "joint", 0, error)
    (first, *_) = system.graph.into(name)
    return _about(system, "runs", first.run, error, "to")


def _names(system: System) -> Iterator[Wrong]:
    """Yield what has the name of another, or that of the open air."""
    taken = [OPEN_AIR] if system.joint is None else [OPEN_AIR, system.joint_at]
    if system.joint is not None and system.joint_at == OPEN_AIR:
        rule = f"must not stand at {OPEN_AIR!r}, where the gas leaves"
        yield _about(system, "joint", 0, broken(rule))
    lists: tuple[tuple[str, list[str]], ...] = (
        *(("runs", []), ("inlets", taken), ("places", taken), ("sensors", [])),
    )
    for where, names in lists:
        for number, one in enumerate(getattr(system, where)):
            if one.name in names:
                rule = f"has a name that is taken already, {one.name!r}"
                yield _about(system, where, number, broken(rule, None, "name each apart"))
            names.append(one.name)
    if len(system.inlets) > 1 and system.runs[0].from_ is None:
        rule = "has several inlets to start from"
        remedy = f"say from which: {listed([one.name for one in system.inlets])}"
        yield _about(system, "runs", 0, broken(rule, None, remedy), "from")


def _ends(system: System) -> Iterator[Wrong]:
    """Yield each run that starts or ends at nothing, each place on no run, each sensor in none."""
    graph = system.graph
    ends = [line.end for line in graph.lines if line.end != OPEN_AIR]
    starts = [line.start for line in graph.lines]
    for line in graph.lines:
        wrong = _wrong_start(line.start, graph, ends)
        if wrong is not None:
            yield _about(system, "runs", line.run, wrong, "from")
        wrong = _wrong_end(line.end, graph, starts)
        if wrong is not None:
            yield _about(system, "runs", line.run, wrong, "to")
    for name in (*(inlet.name for inlet in system.inlets), *graph.places):
        if name not in starts and name not in ends:
            remedy = "name it in the from or to of a run"
            if len(system.runs) == 1 and name not in graph.inlets:
                remedy = "divide that run where it stands"
            yield _about_place(system, name, broken("is on no run", None, remedy))
    yield from _sensors(system)


def _wrong_start(start: str, graph: Graph, ends: Sequence[str]) -> RuleError | None:
    if start == OPEN_AIR:
        remedy = "name an inlet, or where another run ends"
        return broken("starts in the open air, where gas only leaves", None, remedy)
    if start in graph.inlets or start in ends:
        return None
    rule = f"starts at {start!r}, where no run ends and no inlet stands"
    names = [*graph.inlets, *graph.places, *(name for name in ends if SEAM not in name)]
    return broken(rule, None, nearest(start, dict.fromkeys(names)))


def _wrong_end(end: str, graph: Graph, starts: Sequence[str]) -> RuleError | None:
    if end in graph.inlets:
        return broken(f"goes to {end!r}, where gas comes in", None, "lead it away from the inlet")
    if end in starts or end == OPEN_AIR:
        return None
    rule = f"goes to {end!r}, and no run goes on from there"
    if end in graph.places:
        return broken(rule, None, "add the run after it, if only its tip")
    names = [name for name in starts if SEAM not in name and name not in graph.inlets]
    known = dict.fromkeys([*graph.places, *names])
    hint = f"; {nearest(end, known)}" if known else ""
    return broken(rule, None, f"leave out to where it ends in the open air{hint}")


def _sensors(system: System) -> Iterator[Wrong]:
    """Yield each sensor in a run that is none, or past its end."""
    runs = {run.name: run for run in system.runs}
    for number, sensor in enumerate(system.sensors):
        run = runs.get(sensor.run)
        if run is None:
            rule = f"is in run {sensor.run!r}, which is not one"
            yield _about(system, "sensors", number, broken(rule, None, nearest(sensor.run, runs)))
        elif sensor.distance >= run.length:
            most = like(sensor.distance, run.length)
            rule = f"must be less than {most} from the start of run {run.name!r}, its length"
            got = like(sensor.distance, sensor.distance)
            yield _about(system, "sensors", number, broken(rule, got))


def _legs(system: System) -> Iterator[Wrong]:
    """Yield each place with the wrong number of runs, or a joint or cone of the wrong tubes."""
    graph = system.graph
    for name in dict.fromkeys(place for line in graph.lines for place in (line.start, line.end)):
        if name == OPEN_AIR:
            continue
        into, out = (
            [system.runs[line.run] for line in of(name)] for of in (graph.into, graph.out_of)
        )
        place = graph.places.get(name)
        if isinstance(place, Joint):
            wrong = _wrong_joint(place, into, out, system.pipes)
        elif name in graph.inlets:
            wrong = None if len(out) == 1 else _must_feed_one(out)
        elif isinstance(place, Merge):
            wrong = _wrong_merge(into, out)
        else:
            wrong = _wrong_passage(name, place, into, out)
        if wrong is not None:
            yield _about_place(system, name, wrong)


def _must_feed_one(out: Sequence[Run]) -> RuleError:
    names = listed([repr(run.name) for run in out])
    return broken("must feed one run", names, "divide it at a merge")


def _in_and_out(into: Sequence[Run], out: Sequence[Run]) -> str:
    return f"{len(into)} in and {len(out)} out"


def _wrong_merge(into: Sequence[Run], out: Sequence[Run]) -> RuleError | None:
    if min(len(into), len(out)) == 1 and max(len(into), len(out)) > 1:
        return None
    rule = "must bring several runs into one, or one into several"
    return broken(rule, _in_and_out(into, out))


def _wrong_passage(
    name: str, place: object, into: Sequence[Run], out: Sequence[Run]
) -> RuleError | None:
    """Return what is wrong where one run must go on in another."""
    if len(into) != 1 or len(out) != 1:
        rule = "must lie between two runs"
        if place is None:  # a seam: spoken of as where a run goes to
            rule = f"goes to {name!r}, which must lie between two runs"
        return broken(rule, _in_and_out(into, out), "where more meet, describe a merge or a joint")
    if isinstance(place, Cone) and into[0].tube.inside_diameter == out[0].tube.inside_diameter:
        return broken("lies between two runs of one size", None, "leave it out")
    return None


def _wrong_joint(
    joint: Joint, into: Sequence[Run], out: Sequence[Run], pipes: int
) -> RuleError | None:
    """Return what is wrong with a joint's legs: too many, too few, or another tube."""
    legs = (len(into) * pipes, len(out) * pipes)
    if legs != (joint.legs_in, joint.legs_out):
        rule = f"must have {joint.legs_in} runs in and {joint.legs_out} out"
        remedy = "describe a run for each leg"
        if joint.legs_in == joint.legs_out:
            remedy = f"write pipes = {joint.legs_in} for pipes alike, or {remedy}"
        return broken(rule, f"{legs[0]} in and {legs[1]} out", remedy)
    for tube, runs in ((joint.tube, into), (joint.outlet, out)):
        for run in runs:
            if run.tube != tube:
                own, other = told_apart(tube, run.tube)
                rule = f"is made of {own} but run {run.name!r} of {other}"
                return broken(rule, None, "with_tube changes both")
    return None


def _ring(system: System) -> Iterator[Wrong]:
    """Yield the first run of those that lead round in a ring."""
    left = list(system.graph.lines)
    while left:
        starts, ends = {line.start for line in left}, {line.end for line in left}
        inside = [line for line in left if line.start in ends and line.end in starts]
        if inside == left:
            names = listed([repr(system.runs[line.run].name) for line in left])
            error = broken("leads round in a ring", names, "a run leads on to the open air")
            yield _about(system, "runs", left[0].run, error)
            return
        left = inside
