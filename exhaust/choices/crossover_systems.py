"""One system with one crossover or another, or none, in the same place and of the same length."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple, TypeGuard

from exhaust.choices.shelf import shelf_tubes
from exhaust.errors import ExhaustError, broken
from exhaust.joints import HPipe, Joint, ParallelToSplayedX, ParallelX, SplayedX
from exhaust.show import quantity
from exhaust.stock import Bend, Tube
from exhaust.system import Run, System
from exhaust.units import SI

CROSSOVER = "crossover"
SIDES = 2
STEP = 0.06  # of cutback, each way
CUT, CLR = 0.28, 1.5  # cutback and radius over od of an X where the system has none of its own
BALANCE = (0.5, 0.75, 1.0)  # od of balance tubes over that of the pipes
SPACING = 3.0  # diameters between the pipes of an H, where no joint says; common practice
SHORTEST = 1e-3  # straight that a run keeps beside it [m]
AHEAD = SI(0.3, "length", "m")  # how far a balance tube is moved, ahead and behind
NONE = "no crossover"
KINDS: dict[type, str] = {
    ParallelX: "parallel X",
    SplayedX: "splayed X",
    ParallelToSplayedX: "parallel-to-splayed X",
}


class Crossover(NamedTuple):
    """A crossover to be tried: its `joint` (none: straight pipes), moved `behind` [m]."""

    joint: Joint | None
    behind: float = 0.0

    @property
    def name(self) -> str:
        """What it is called."""
        if self.joint is None:
            return NONE
        moved = ""
        if self.behind:
            moved = (
                f", {quantity(abs(self.behind), 'run')} {'behind' if self.behind > 0 else 'ahead'}"
            )
        if isinstance(self.joint, HPipe):
            return f"H, {self.joint.balance_tube.name}{moved}"
        kind = KINDS.get(type(self.joint), type(self.joint).__name__)
        return f"{kind}, cutback {getattr(self.joint, 'cutback', 0.0):.2f}{moved}"


def crossing_place(system: System) -> str:
    """Return the place of a system's crossover, or where one would stand: after the first run.

    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> runs = [Run(name=name, tube=tube, length="1 m") for name in ("head", "tail")]
    >>> crossing_place(System(runs=runs, pipes=2))
    'head | tail'
    """
    joint = system.joint
    if joint is not None:
        if (joint.legs_in, joint.legs_out) != (SIDES, SIDES):
            rule = "brings its pipes into one, which leaves nothing to cross"
            raise broken(rule, None, "describe the two pipes").named("the joint of the system")
        return system.joint_at
    graph = system.graph
    place = graph.lines[0].end
    between = len(graph.into(place)) == len(graph.out_of(place)) == 1
    if system.pipes != SIDES or not between or place in graph.places:
        rule = "must have a crossover, or two pipes alike with a first run and one after it"
        got = f"{system.pipes} pipe" + ("s" if system.pipes > 1 else "")
        raise broken(rule, got, "divide the run where it would stand").named("system")
    return place


def with_crossover(system: System, one: Crossover) -> System:
    """Return a system with another crossover in the place of its own.

    The runs beside it take up what it is longer or shorter than that, half each, so that its
    middle stays where it was, or moves by `behind`. Raises `ExhaustError` where a run has no room.

    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> runs = [Run(name=name, tube=tube, length="1 m") for name in ("head", "tail")]
    >>> duals = System(runs=runs, pipes=2)
    >>> crossed = with_crossover(duals, Crossover(HPipe(tube, spacing="8 in", length="12 in")))
    >>> [round(run.length, 4) for run in crossed.runs]
    [0.8476, 0.8476]
    """
    place, graph = crossing_place(system), system.graph
    own = 0.0 if system.joint is None else system.joint.centreline_length
    new = 0.0 if one.joint is None else one.joint.centreline_length
    left_over = (own - new) / 2
    into = [line.run for line in graph.into(place)]
    out = [line.run for line in graph.out_of(place)]
    at = place if system.joint is not None else CROSSOVER
    runs = []
    for line in graph.lines:
        run, start, end = system.runs[line.run], line.start, line.end
        if line.run in into:
            end = _side(at, into.index(line.run), one)
            run = _longer(run, left_over + one.behind, -1, one)
        if line.run in out:
            start = _side(at, out.index(line.run), one)
            run = _longer(run, left_over - one.behind, 0, one)
        runs.append(run.with_(from_=start, to=end))
    return system.with_(runs=runs, joint=one.joint, joint_at=at)


def _side(place: str, number: int, one: Crossover) -> str:
    """Return where one side meets the crossover: straight pipes each have a place of their own."""
    return place if one.joint is not None else f"{place} {number + 1}"


def _longer(run: Run, by: float, end: int, one: Crossover) -> Run:
    """Return a run longer by so much [m] in the straight at its start (0) or end (-1), or refuse.

    A crossover longer than what it takes the place of shortens the runs beside it.
    """
    straights = list(run.straights) or [run.length - run.in_bends]
    if by < 0 and straights[end] + by < SHORTEST:
        rule = f"is too short for {one.name}, which takes {quantity(-by, 'cut')} of its straight"
        got = quantity(straights[end], "cut")
        raise broken(rule, got, "give it more straight tube").named(f"run {run.name!r}")
    straights[end] += by
    length = run.length + by
    if isinstance(run.length, SI):
        length = SI(length, "length", run.length.unit, run.length.scale)
    kept = [SI(each, "length") for each in straights] if run.straights else ()
    return run.with_(length=length, straights=kept)


def usual_crossovers(system: System) -> Iterator[Crossover]:
    """Yield the crossovers to try: none, an H in several tubes, an X three ways.

    The largest H is moved ahead and behind, too. The X is the system's own, or a parallel one of
    usual bends.

    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> runs = [Run(name=name, tube=tube, length="1 m") for name in ("head", "tail")]
    >>> [one.name for one in usual_crossovers(System(runs=runs, pipes=2))][:3]
    ['no crossover', 'H, 1-1/2 in x 16 ga', 'H, 1-7/8 in x 16 ga']
    """
    yield Crossover(None)
    own, tube = system.joint, system.runs[system.graph.lines[0].run].tube
    if own is not None:
        tube = own.tube
    spacing = SPACING * tube.od if own is None else own.spacing
    balance = dict.fromkeys(nearest_tube(tube, share * tube.od) for share in BALANCE)
    hs = [HPipe(tube, balance_tube=across, spacing=SI(spacing, "length")) for across in balance]
    yield from (Crossover(h) for h in hs)
    yield from (Crossover(hs[-1], way * AHEAD) for way in (-1, 1))
    x = own if is_x(own) else ParallelX(Bend(tube, clr=SI(CLR * tube.od, "length")), cutback=CUT)
    for step in (-STEP, 0.0, STEP):
        try:
            yield Crossover(x.with_(cutback=x.cutback + step) if step else x)
        except ExhaustError:
            continue  # the bend does not give that cutback: not one of the usual ones


def is_x(joint: Joint | None) -> TypeGuard[ParallelX | SplayedX | ParallelToSplayedX]:
    """Return whether a joint is an X of some kind.

    >>> is_x(None)
    False
    """
    return isinstance(joint, tuple(KINDS))


def nearest_tube(tube: Tube, od: float) -> Tube:
    """Return the tube of the usual stock nearest to an od [m], in the metal of `tube`.

    >>> nearest_tube(Tube(od="3 in", wall="16 ga"), 0.05).name
    '2 in x 16 ga'
    """
    return min(shelf_tubes(tube), key=lambda one: abs(one.od - od))
