"""Two pipes that a merge makes one of, kept apart instead: where a crossover could go."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from exhaust.choices.crossover_systems import SPACING
from exhaust.choices.merged import LEGS, SIDES, leg_of, meeting_place, runs_behind
from exhaust.errors import broken
from exhaust.joints import HPipe
from exhaust.system import OPEN_AIR, Cone, Part, Place, Run, System
from exhaust.units import SI


def kept_apart(system: System) -> System:
    """Return the two pipes of a system all the way to the open air, an H pipe where they meet.

    What follows a merge stands in each pipe, in the tube of its leg; a silencer with a rating
    becomes two that flow half as much, and sensors behind the merge go. The H pipe marks the place
    for whoever compares crossovers there. A system whose pipes are apart already is itself.

    >>> from exhaust import Inlet, Merge, Tube
    >>> leg, large = (Tube(od=od, wall="16 ga") for od in ("2 in", "2.5 in"))
    >>> runs = [Run(name=side, tube=leg, length="0.5 m", from_=side + " bank", to="meet")
    ...         for side in SIDES] + [Run(name="tail", tube=large, length="2 m", from_="meet")]
    >>> inlets = [Inlet(name=side + " bank") for side in SIDES]
    >>> apart = kept_apart(System(runs=runs, inlets=inlets, places=[Merge(name="meet")]))
    >>> [(run.name, run.tube.name) for run in apart.runs][2:]
    [('left tail', '2 in x 16 ga'), ('right tail', '2 in x 16 ga')]
    """
    joint = system.joint
    if system.pipes >= LEGS or (joint is not None and joint.legs_out == LEGS):
        return system
    place, leg = meeting_place(system), leg_of(system)
    spacing = SPACING * leg.od if joint is None else joint.spacing
    h = HPipe(leg, spacing=SI(spacing, "length"))
    held = 0.0 if joint is None else joint.centreline_length
    behind, longer = runs_behind(system.graph, place), (held - h.centreline_length) / 2
    return System(
        runs=[*_ahead(system, place, behind, longer), *_behind(system, place, behind, longer)],
        inlets=tuple(system.graph.inlets.values()),
        places=list(_places(system, place, behind)),
        joint=h,
        joint_at=place,
        sensors=[
            sensor
            for sensor in system.sensors
            if sensor.run not in {system.runs[number].name for number in behind}
        ],
    )


def _ahead(system: System, place: str, behind: Collection[int], longer: float) -> Iterator[Run]:
    """Yield the runs ahead of the place where the pipes meet, as they are."""
    for line in system.graph.lines:
        if line.run not in behind:
            run = system.runs[line.run].with_(from_=line.start, to=line.end)
            yield _stretched(run, longer) if line.end == place else run


def _behind(system: System, place: str, behind: Collection[int], longer: float) -> Iterator[Run]:
    """Yield the runs behind it, once for each pipe, in the tube of the legs."""
    leg, kept = leg_of(system), (place, OPEN_AIR)
    for side in SIDES:
        for line in system.graph.lines:
            if line.run in behind:
                run = system.runs[line.run].with_tube(leg)
                start, end = (
                    name if name in kept else f"{side} {name}" for name in (line.start, line.end)
                )
                run = run.with_(name=f"{side} {run.name}", from_=start, to=end)
                yield _stretched(run, longer) if line.start == place else run


def _stretched(run: Run, longer: float) -> Run:
    """Return a run as much longer as the joint beside it is shorter; its straights then share."""
    length = float(run.length) + longer
    if length <= run.in_bends:
        rule = "has no room for a crossover in its straights"
        raise broken(rule, None, "give it more straight tube").named(f"run {run.name!r}")
    return run.with_(length=SI(length, "length"), straights=())


def _places(system: System, place: str, behind: Collection[int]) -> Iterator[Place]:
    """Yield the places but that of the merge: those behind it twice, without their cones."""
    after = {line.end for line in system.graph.lines if line.run in behind}
    for one in system.places:
        if one.name == place or (isinstance(one, Cone) and one.name in after):
            continue
        if one.name not in after:
            yield one
            continue
        if isinstance(one, Part) and one.rated_flow is not None:
            one = one.with_(rated_flow=SI(one.rated_flow / LEGS, "volume_flow"))
        yield from (one.with_(name=f"{side} {one.name}") for side in SIDES)
