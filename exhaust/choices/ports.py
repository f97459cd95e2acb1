"""Where to tap the pressure, and what a crossover does to an oxygen sensor behind it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from exhaust.engine import Engine
from exhaust.joints import Joint
from exhaust.show import listed, quantity
from exhaust.system import Inlet, Merge, Run, System

# Straight tube ahead of a wall tap and behind it, in diameters; common practice, no source.
AHEAD, BEHIND = 5.0, 2.0
CLOCK = "between 10 and 2 o'clock, where no water stands; not in a weld"
WELD = 0.5  # diameters that a bung keeps from the end of its run; common practice, no source


class PressureTap(NamedTuple):
    """Where the port for the back pressure goes; bends are spread evenly unless the run says."""

    run: Run
    number: int  # of the run in its system
    bends: int  # of the run that lie ahead of it
    distance: float  # from the start of the run [m]
    straight: float  # length of the straight it stands in [m]
    needed: float  # length of a straight for a steady reading [m]

    @property
    def rough(self) -> bool:
        """Whether the straight is too short for a steady reading."""
        return self.straight < self.needed * (1 - 1e-9)


def pressure_tap(system: System) -> PressureTap:
    """Return where the pressure test port goes: where the gas comes in, ahead of any joint.

    In the first straight of the first run that is long enough, AHEAD diameters behind its start, so
    that BEHIND are left; where none is, in the longest, at the same share of it.

    >>> from exhaust import Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> tap = pressure_tap(System(runs=[Run(name="all", tube=tube, length="4 m")]))
    >>> round(tap.distance / tube.inside_diameter, 9), tap.rough
    (5.0, False)
    """
    first = next(line for line in system.graph.lines if line.start in system.graph.inlets)
    run = system.runs[first.run]
    needed = (AHEAD + BEHIND) * run.tube.inside_diameter
    pieces = len(run.bends) + 1
    straights = run.straights or ((run.length - run.in_bends) / pieces,) * pieces
    enough = [n for n, one in enumerate(straights) if one >= needed * (1 - 1e-9)]
    place = enough[0] if enough else straights.index(max(straights))
    ahead = sum(straights[:place]) + sum(bend.clr * bend.angle for bend in run.bends[:place])
    distance = ahead + min(straights[place], needed) * AHEAD / (AHEAD + BEHIND)
    return PressureTap(run, first.run, place, distance, straights[place], needed)


def port_note(system: System) -> str:
    """Return where to put the port that back pressure is measured at, in words.

    >>> from exhaust import Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> port_note(System(runs=[Run(name="all", tube=tube, length="4 m")]))[:55]
    "Pressure test port: in 'all', 14.350 in from its start,"
    """
    tap = pressure_tap(system)
    name, bends = repr(tap.run.name), len(tap.run.bends)
    each = " of each pipe" if system.pipes > 1 or len(system.graph.inlets) > 1 else ""
    wanted = (
        f"{AHEAD:g} diameters of straight tube ahead of the port and {BEHIND:g} behind it "
        "(common practice)"
    )
    at, straight = quantity(tap.distance, "cut"), quantity(tap.straight, "cut")
    evenly = "with its bends spread evenly" if bends > 1 else "with its bend in the middle"
    if not tap.rough:
        said = f"Pressure test port{each}: in {name}, {at} from its start, {CLOCK}. It has {wanted}"
        if tap.run.straights:
            said += f": the straight it stands in is {straight}"
        elif bends:
            said += f", {evenly}: its straights are then {straight}; measure yours"
        return f"{said}."
    share = f"{AHEAD:g}/{AHEAD + BEHIND:g}"
    where = f"{evenly} its straights are {straight}" if bends else f"that run has only {straight}"
    if tap.run.straights:
        where = f"that straight has only {straight}"
    return (
        f"Pressure test port{each}: in the longest straight of {name}, {share} of the way along "
        f"it, {CLOCK}. A steady reading takes {wanted}, {quantity(tap.needed, 'cut')} in one "
        f"piece; {where}, with the port {at} from its start, and the reading is rough."
    )


def sensor_note(system: System, engine: Engine) -> str | None:
    """Return what is wrong with where oxygen sensors stand, or where they belong; None: nothing.

    Behind a place that mixes the banks each reads the gas of both.

    >>> from exhaust import Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> duals = System(runs=[Run(name="all", tube=tube, length="4 m")], pipes=2)
    >>> sensor_note(duals, Engine(displacement="5 L", cylinders=8)) is None
    True
    """
    mixing = mixing_places(system, engine)
    if mixing and not system.sensors:
        return (
            f"Oxygen sensors belong ahead of {mixing[0]}: behind it each reads the gas of both "
            f"banks. Bungs in a straight, {CLOCK}."
        )
    return " ".join(sensor_warnings(system, engine)) or None


def sensor_warnings(system: System, engine: Engine) -> tuple[str, ...]:
    """Return what is wrong with where the oxygen sensors stand, a sentence or two each.

    >>> from exhaust import Bend, ParallelX, Sensor, Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> runs = [Run(name=name, tube=tube, length="1 m") for name in ("ahead", "behind")]
    >>> x = ParallelX(Bend(tube, clr="4.5 in"), cutback=0.28)
    >>> bung = Sensor(name="O2", run="behind", distance="8 in")
    >>> system = System(runs=runs, pipes=2, joint=x, joint_at="X", sensors=[bung])
    >>> sensor_warnings(system, Engine(displacement="5 L", cylinders=8))[0][:46]
    'O2 reads the gas of both banks, behind X: the '
    """
    return (*_mixed(system, engine), *_in_a_weld(system))


def _mixed(system: System, engine: Engine) -> Iterator[str]:
    """Yield the sensors behind the places that mix the banks, each under the first of those.

    A single sensor of an engine that is said to have no banks is meant to read all of it.
    """
    if system.pipes == len(system.sensors) == len(engine.banks) == 1:
        return
    numbers = {run.name: number for number, run in enumerate(system.runs)}
    told: list[str] = []
    for place in mixing_places(system, engine):
        behind = [
            sensor.name
            for sensor in system.sensors
            if sensor.name not in told and place in system.graph.passed(numbers[sensor.run])
        ]
        told += behind
        if behind:
            reads, bung = ("reads", "bung") if len(behind) == 1 else ("read", "bungs")
            yield (
                f"{listed(behind)} {reads} the gas of both banks, behind {place}: the engine's "
                f"control mistakes one bank for the other. Move the {bung} ahead of {place}."
            )


def _in_a_weld(system: System) -> Iterator[str]:
    """Yield the sensors whose bung meets the weld at an end of its run."""
    runs = {run.name: run for run in system.runs}
    for sensor in system.sensors:
        run = runs[sensor.run]
        if min(sensor.distance, run.length - sensor.distance) < WELD * run.tube.od:
            yield f"{sensor.name} stands in the weld at an end of {run.name!r}: move its bung."


def mixing_places(system: System, engine: Engine) -> list[str]:
    """Return the joints and merges where gas of several banks meets, in the order of the runs.

    Each of several pipes is a bank of its own.

    >>> from exhaust import Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> runs = [Run(name=name, tube=tube, length="1 m", from_=name, to="Y") for name in "lr"]
    >>> runs.append(Run(name="tail", tube=tube, length="1 m"))
    >>> inlets = [Inlet(name="l"), Inlet(name="r")]
    >>> system = System(runs=runs, inlets=inlets, places=[Merge(name="Y")])
    >>> mixing_places(system, Engine(displacement="5 L", cylinders=8))
    ['Y']
    """
    graph = system.graph
    banks = {name: _banks(inlet, system, engine) for name, inlet in graph.inlets.items()}
    found = []
    for place in dict.fromkeys(line.end for line in graph.lines):
        thing = graph.places.get(place)
        passed = {name for line in graph.into(place) for name in graph.passed(line.run)}
        meeting = {bank for name in passed & banks.keys() for bank in banks[name]}
        folded = isinstance(thing, Joint) and system.pipes > 1
        joins = isinstance(thing, (Joint, Merge)) and len(graph.into(place)) > 1
        if folded or (joins and len(meeting) > 1):
            found.append(place)
    return found


def _banks(inlet: Inlet, system: System, engine: Engine) -> set[str]:
    """Return the banks whose gas comes in at an inlet.

    Where the job does not say, as many inlets as banks are those, an inlet of several cylinders
    is a bank of its own, and inlets of one cylinder each are ports of one bank.
    """
    if system.pipes > 1:
        return {"one pipe"}
    known, inlets = engine.banks, system.graph.inlets
    if len(known) > 1 and inlet.cylinders:
        return {name for name, bank in known.items() if set(bank) & set(inlet.cylinders)}
    size = len(inlet.cylinders) or engine.cylinders / len(inlets)
    return {inlet.name} if size > 1 or len(known) == len(inlets) else {"all"}
