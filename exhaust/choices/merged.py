"""Two pipes of a system merged into one: the system it becomes, outlet by outlet."""

from __future__ import annotations

from exhaust.errors import broken
from exhaust.stock import Tube
from exhaust.system import OPEN_AIR, Inlet, Merge, Part, Run, System
from exhaust.units import SI

LEGS = 2  # of a merge
MERGE, OUTLET = "merge", "outlet"
SIDES = ("left", "right")
# What is left straight after a merge before the next part; common practice, no source.
STUB = SI(6 * 0.0254, "length", "in", 0.0254)


def merged(system: System, outlet: Tube) -> System:
    """Return what the system becomes when its pipes meet where its joint stands, or after a run.

    What came after in each pipe follows once, in `outlet`, behind a short straight; a silencer
    becomes one that flows as much as the two it stands for. A system that has its merge already
    keeps it, with all that follows in `outlet`.

    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> runs = [Run(name=name, tube=tube, length="1 m") for name in ("head", "tail")]
    >>> one = merged(System(runs=runs, pipes=2), Tube(od="3 in", wall="16 ga"))
    >>> [(run.name, run.tube.name) for run in one.runs][1:]
    [('right head', '2.5 in x 16 ga'), ('outlet', '3 in x 16 ga'), ('tail', '3 in x 16 ga')]
    """
    if system.pipes < LEGS:
        return _after_its_merge(system, outlet)
    graph, cut = system.graph, _where(system)
    behind = _behind(system, cut)
    ahead = [line for line in graph.lines if line.run not in behind]
    runs = [
        system.runs[line.run].with_(
            name=f"{side} {system.runs[line.run].name}",
            from_=f"{side} {line.start}",
            to=MERGE if line.end == cut else f"{side} {line.end}",
        )
        for side in SIDES
        for line in ahead
    ]
    runs.append(Run(name=OUTLET, tube=outlet, length=STUB, from_=MERGE, to=cut))
    runs += [
        system.runs[line.run].with_tube(outlet).with_(from_=line.start, to=line.end)
        for line in graph.lines
        if line.run in behind
    ]
    known = {line.start for line in ahead} | {line.end for line in ahead} - {cut}
    places = [Merge(name=MERGE, angle=SI(0.0, "angle"))]
    for place in system.places:
        if place.name in known:
            places += [place.with_(name=f"{side} {place.name}") for side in SIDES]  # type: ignore[misc]
        else:
            places.append(_for_both(place))  # type: ignore[arg-type]
    inlets = [
        Inlet(name=f"{side} {one.name}", distance=one.distance)
        for side in SIDES
        for one in graph.inlets.values()
    ]
    return System(runs=runs, inlets=inlets, places=places)


def _for_both(place: object) -> object:
    if isinstance(place, Part) and place.rated_flow is not None:
        return place.with_(rated_flow=SI(LEGS * place.rated_flow, "volume_flow"))
    return place


def _where(system: System) -> str:
    """Return the place where the pipes of a system meet if they are merged."""
    if system.joint is not None:
        return system.joint_at
    graph = system.graph
    trunk = [
        line for line in graph.lines if len(graph.inlets) == 1 or line.start not in graph.inlets
    ]
    return trunk[0].end


def _behind(system: System, place: str) -> set[int]:
    """Return the runs that follow a place, by number."""
    found: set[int] = set()
    waiting = [] if place == OPEN_AIR else system.graph.out_of(place)
    while waiting:
        line = waiting.pop()
        if line.run not in found:
            found.add(line.run)
            waiting += [] if line.end == OPEN_AIR else system.graph.out_of(line.end)
    return found


def _after_its_merge(system: System, outlet: Tube) -> System:
    place = merge_place(system)
    if place is None:
        rule = "must have two pipes or more to merge"
        raise broken(rule, system.pipes, "describe the legs with pipes=2").named("system")
    behind = _behind(system, place)
    return system.with_(
        runs=[
            run.with_tube(outlet) if number in behind else run
            for number, run in enumerate(system.runs)
        ]
    )


def merge_place(system: System) -> str | None:
    """Return the place where two runs of a system become one, if there is one."""
    graph = system.graph
    for place in dict.fromkeys(line.end for line in graph.lines):
        if place != OPEN_AIR and len(graph.into(place)) == LEGS and len(graph.out_of(place)) == 1:
            return place
    return None


def leg_of(system: System) -> Tube:
    """Return the tube of the legs that meet.

    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> leg_of(System(runs=[Run(name="all", tube=tube, length="1 m")], pipes=2)).name
    '2.5 in x 16 ga'
    """
    graph = system.graph
    place = _where(system) if system.pipes >= LEGS else merge_place(system)
    if place is None:
        _after_its_merge(system, system.tube)  # says why not
    return system.runs[next(line.run for line in graph.lines if line.end == place)].tube
