"""Two pipes of a system merged into one: the system it becomes, outlet by outlet."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from exhaust.choices.forming import forming
from exhaust.errors import broken
from exhaust.flow.installed import in_order
from exhaust.joints import YMerge
from exhaust.stock import Tube
from exhaust.system import Cone, Graph, Merge, Part, Place, Run, Sensor, System
from exhaust.units import SI

LEGS = 2  # of a merge
MERGE, OUTLET = "merge", "outlet"
SIDES = ("left", "right")
# What is left straight after a merge before the next part; common practice, no source.
STUB = SI(6 * 0.0254, "length", "in", 0.0254)


def merged(system: System, outlet: Tube) -> System:
    """Return what the system becomes when its pipes meet where its joint stands, or after a run.

    What came after in each pipe follows once, in `outlet`, behind a short straight; a silencer
    with a rating becomes one that flows as much as the two it stands for, and cones go. A system
    that has its merge already keeps it, with all that follows in `outlet`. Raises `ExhaustError`
    where there is nothing to merge.

    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> runs = [Run(name=name, tube=tube, length="1 m") for name in ("head", "tail")]
    >>> one = merged(System(runs=runs, pipes=2), Tube(od="3 in", wall="16 ga"))
    >>> [(run.name, run.tube.name) for run in one.runs][1:]
    [('right head', '2.5 in x 16 ga'), ('outlet', '3 in x 16 ga'), ('tail', '3 in x 16 ga')]
    """
    place = meeting_place(system)
    behind = runs_behind(system.graph, place)
    if system.pipes < LEGS:
        return _after_its_merge(system, place, behind, outlet)
    followed = [
        system.runs[line.run].with_tube(outlet).with_(from_=line.start, to=line.end)
        for line in system.graph.lines
        if line.run in behind
    ]
    meet, stub = merge_name(system), _free(OUTLET, [run.name for run in followed])
    ahead = {line.start for line in system.graph.lines if line.run not in behind}
    return System(
        runs=[
            *_legs(system, behind, meet),
            Run(name=stub, tube=outlet, length=STUB, from_=meet, to=place),
            *followed,
        ],
        inlets=[
            inlet.with_(name=f"{side} {inlet.name}", cylinders=())
            for side in SIDES
            for inlet in system.graph.inlets.values()
        ],
        places=[Merge(name=meet, angle=SI(0.0, "angle")), *_places(system, ahead)],
        sensors=list(_sensors(system, behind)),
    )


def meeting_place(system: System) -> str:
    """Return the place where the pipes of a system meet, or would if they were merged.

    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> runs = [Run(name=name, tube=tube, length="1 m") for name in ("head", "tail")]
    >>> meeting_place(System(runs=runs, pipes=2))
    'head | tail'
    """
    graph = system.graph
    if system.pipes < LEGS:
        ends = [line.end for line in in_order(graph)]
        for place in reversed(ends):  # the one nearest the open air
            if (len(graph.into(place)), len(graph.out_of(place))) == (LEGS, 1):
                return place
        rule = "must have two pipes or more to merge, or a place where two runs become one"
        raise broken(rule, f"{system.pipes} pipe", "describe the legs with pipes=2").named("system")
    if system.joint is not None:
        return system.joint_at
    several = len(graph.inlets) > 1
    lines = (line for line in in_order(graph) if not (several and line.start in graph.inlets))
    return next(lines).end


def merge_name(system: System) -> str:
    """Return what the merge is called in the system merged.

    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> merge_name(System(runs=[Run(name="all", tube=tube, length="1 m")], pipes=2))
    'merge'
    """
    if system.pipes < LEGS:
        return meeting_place(system)
    return _free(MERGE, {end for line in system.graph.lines for end in (line.start, line.end)})


def leg_of(system: System) -> Tube:
    """Return the tube of the two legs that meet, or refuse legs of two tubes.

    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> leg_of(System(runs=[Run(name="all", tube=tube, length="1 m")], pipes=2)).name
    '2.5 in x 16 ga'
    """
    place = meeting_place(system)
    legs = [system.runs[line.run] for line in system.graph.into(place)]
    for leg in legs[1:]:
        if leg.tube != legs[0].tube:
            rule = f"merges {legs[0].name!r} in {legs[0].tube.name} with {leg.name!r}"
            raise broken(rule, leg.tube.name, "give both legs one tube").named("system")
    return legs[0].tube


def _after_its_merge(system: System, place: str, behind: Collection[int], outlet: Tube) -> System:
    """Return a system that has its merge at `place` with all that follows in `outlet`."""
    joint = system.joint
    if isinstance(joint, YMerge) and place == system.joint_at:
        # the same legs, cut anew so that they reach the outlet as cut
        joint = joint.with_(outlet=outlet, cutback=forming(joint.tube, outlet).cutback)
    cones = {line.start for line in system.graph.lines if line.run in behind}
    return system.with_(
        runs=[
            run.with_tube(outlet) if number in behind else run
            for number, run in enumerate(system.runs)
        ],
        places=[one for one in system.places if not (isinstance(one, Cone) and one.name in cones)],
        joint=joint,
    )


def runs_behind(graph: Graph, place: str) -> set[int]:
    """Return the runs that follow a place, by number.

    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> runs = [Run(name=name, tube=tube, length="1 m") for name in ("head", "tail")]
    >>> runs_behind(System(runs=runs).graph, "head | tail")
    {1}
    """
    found: set[int] = set()
    waiting = graph.out_of(place)
    while waiting:
        line = waiting.pop()
        if line.run not in found:
            found.add(line.run)
            waiting += graph.out_of(line.end)
    return found


def _legs(system: System, behind: Collection[int], meet: str) -> Iterator[Run]:
    """Yield the runs ahead of the merge at `meet`, once for each side."""
    place = meeting_place(system)
    for side in SIDES:
        for line in system.graph.lines:
            if line.run not in behind:
                run = system.runs[line.run]
                yield run.with_(
                    name=f"{side} {run.name}",
                    from_=f"{side} {line.start}",
                    to=meet if line.end == place else f"{side} {line.end}",
                )


def _places(system: System, ahead: Collection[str]) -> Iterator[Place]:
    """Yield the places of a system: those `ahead` of the merge twice, those behind for both."""
    for place in system.places:
        if place.name in ahead:
            for side in SIDES:
                yield place.with_(name=f"{side} {place.name}")
        elif isinstance(place, Part) and place.rated_flow is not None:
            yield place.with_(rated_flow=SI(LEGS * place.rated_flow, "volume_flow"))
        elif not isinstance(place, Cone):
            yield place


def _sensors(system: System, behind: Collection[int]) -> Iterator[Sensor]:
    """Yield the sensors of a system, those ahead of the merge twice."""
    after = {system.runs[number].name for number in behind}
    for sensor in system.sensors:
        if sensor.run in after:
            yield sensor
            continue
        for side in SIDES:
            yield sensor.with_(name=f"{side} {sensor.name}", run=f"{side} {sensor.run}")


def _free(name: str, taken: Collection[str]) -> str:
    """Return a name that is not taken."""
    while name in taken:
        name = f"new {name}"
    return name
