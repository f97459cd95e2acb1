"""A same-size merge whose outlet steps up a short way on: what parts joint from pipe."""

from __future__ import annotations

from exhaust.choices.merged import STUB, runs_behind
from exhaust.errors import broken
from exhaust.stock import Tube
from exhaust.system import Cone, Line, Run, System
from exhaust.units import SI

STEP = "step up"
# Of the straight behind a merge: tube of the legs' size, then a cone; what is left is the outlet.
STRAIGHT, CONE = 0.4, 0.4


def stepped(system: System, place: str, outlet: Tube) -> System:
    """Return a system merged at `place` in its legs' own size, with all but the joint in `outlet`.

    A short straight in the legs' size and a short cone follow the joint; the length of the whole
    stays. Raises `ExhaustError` where the run behind the joint has no such straight, or `outlet`
    is the legs' own size.

    >>> from exhaust.choices.merged import merge_name, merged
    >>> tube, large = (Tube(od=od, wall="16 ga") for od in ("2.5 in", "3 in"))
    >>> duals = System(runs=[Run(name=name, tube=tube, length="1 m") for name in "ab"], pipes=2)
    >>> same = merged(duals, tube)
    >>> one = stepped(same, merge_name(duals), large)
    >>> [(run.name, run.tube.name, round(run.length, 3)) for run in one.runs][2:]
    [('outlet', '2.5 in x 16 ga', 0.061), ('outlet on', '3 in x 16 ga', 0.03), ('b', ...)]
    """
    behind = runs_behind(system.graph, place)
    (first,) = system.graph.out_of(place)
    runs = list[Run]()
    for line in system.graph.lines:
        run = system.runs[line.run].with_(from_=line.start, to=line.end)
        if line.run == first.run:
            runs += _parted(run, first, outlet)
        else:
            runs.append(run.with_tube(outlet) if line.run in behind else run)
    parted = system.runs[first.run].name
    return system.with_(
        runs=runs,
        places=[*system.places, Cone(name=STEP, length=SI(CONE * STUB, "length"))],
        sensors=[sensor for sensor in system.sensors if sensor.run != parted],
    )


def _parted(run: Run, line: Line, outlet: Tube) -> tuple[Run, Run]:
    """Return the run behind the joint as tube ahead of the cone, and the rest of it behind."""
    ahead, rest = STRAIGHT * STUB, run.length - (STRAIGHT + CONE) * STUB
    if rest <= run.in_bends:
        rule = f"has no straight of {STUB.written()} behind the merge, where it could step up"
        raise broken(rule).named(f"run {run.name!r}")
    return (
        run.with_(bends=(), straights=(), loss=0.0, length=SI(ahead, "length"), to=STEP),
        run.with_tube(outlet).with_(
            straights=(), name=f"{run.name} on", length=SI(rest, "length"), from_=STEP, to=line.end
        ),
    )
