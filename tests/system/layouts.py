"""Exhausts of every usual layout, invented: tube, runs and places to put together."""

from __future__ import annotations

from typing import Any

from exhaust import (
    Bend,
    Cone,
    HPipe,
    Inlet,
    Merge,
    ParallelToSplayedX,
    ParallelX,
    Part,
    Run,
    SplayedX,
    System,
    Tube,
    YMerge,
)
from exhaust.joints import Joint
from exhaust.units import SI

THREE = Tube(od="3 in", wall="16 ga")
TWO_HALF = Tube(od="2-1/2 in", wall="16 ga")
TWO = Tube(od="2 in", wall="16 ga")
BEND = Bend(THREE, clr="4.5 in")
X = ParallelX(BEND, cutback=0.28)
LEFT, RIGHT = Inlet(name="left"), Inlet(name="right")
SILENCER = Part(name="silencer", loss=1.8)


def y_merge(leg: Tube = TWO_HALF, outlet: Tube | None = THREE) -> YMerge:
    """A Y of legs into an outlet; the cutback asks little stretch of either."""
    return YMerge(Bend(leg, clr=SI(1.5 * leg.od, "length")), outlet=outlet, cutback=0.41)


CROSSOVERS: dict[str, Joint] = {
    "parallel X": X,
    "splayed X": SplayedX(THREE, included_angle="45 deg", cutback=1 / 3, leg_length="12 in"),
    "parallel-to-splayed X": ParallelToSplayedX(
        BEND, cutback=0.28, included_angle="45 deg", leg_length="10 in", spacing="10.5 in"
    ),
    "H pipe": HPipe(THREE, spacing="12 in"),
}


def run(name: str, from_: str | None = None, to: str | None = None, **given: Any) -> Run:
    """Return a metre of three inch tube unless told otherwise."""
    return Run(**({"tube": THREE, "length": "1 m"} | given), name=name, from_=from_, to=to)


def single() -> System:
    return System(runs=[run("down", to="silencer"), run("tail", bends=[BEND])], places=[SILENCER])


def dual() -> System:
    return System(runs=[run("down", to="silencer"), run("tail")], places=[SILENCER], pipes=2)


def folded_x() -> System:
    return System(runs=[run("ahead"), run("behind")], pipes=2, joint=X)


def dual_x() -> System:
    """Both sides of a crossover in full; the tails differ."""
    runs = [
        run("left ahead", "left", "X"),
        run("left tail"),
        run("right ahead", "right", "X"),
        run("right tail", length="1.4 m"),
    ]
    return System(runs=runs, inlets=[LEFT, RIGHT], joint=X, joint_at="X")


def two_into_one() -> System:
    runs = [
        run("left", "left", "Y", tube=TWO_HALF),
        run("right", "right", "Y", tube=TWO_HALF),
        run("tail"),
    ]
    return System(runs=runs, inlets=[LEFT, RIGHT], places=[Merge(name="Y")])


def one_into_two() -> System:
    runs = [run("down", to="fork"), run("left tip", "fork"), run("right tip", "fork")]
    return System(runs=runs, places=[Merge(name="fork")])


def primaries() -> System:
    """Four primaries into a collector, a cone down, a silencer, the tip."""
    ports = [Inlet(name=f"port {n}", cylinders=[n], distance="50 mm") for n in (1, 2, 3, 4)]
    runs = [run(f"primary {n}", f"port {n}", "collector", tube=TWO) for n in (1, 2, 3, 4)]
    runs += [
        run("collector", "collector", "cone"),
        run("link", to="silencer", tube=TWO_HALF),
        run("tail", tube=TWO_HALF),
    ]
    places = [Merge(name="collector", angle="10 deg"), Cone(name="cone", length="4 in"), SILENCER]
    return System(runs=runs, inlets=ports, places=places)


def two_into_a_y(leg: Tube = TWO_HALF, outlet: Tube = THREE) -> System:
    """Two banks into a Y merge, which has an outlet of its own size."""
    runs = [
        run("left", "left", "Y", tube=leg),
        run("right", "right", "Y", tube=leg),
        run("tail", tube=outlet),
    ]
    return System(runs=runs, inlets=[LEFT, RIGHT], joint=y_merge(leg, outlet), joint_at="Y")
