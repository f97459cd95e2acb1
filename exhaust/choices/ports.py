"""Where to tap the pressure, and what a crossover does to an oxygen sensor behind it."""

from __future__ import annotations

from exhaust.joints import Joint
from exhaust.show import listed, quantity
from exhaust.system import OPEN_AIR, Merge, Run, System

# Straight tube ahead of a wall tap and behind it, in diameters; common practice, no source.
AHEAD, BEHIND = 5.0, 2.0
CLOCK = "between 10 and 2 o'clock, where no water stands"


def straight_length(run: Run) -> float:
    """Return how much of a run is straight, its bends taken off [m].

    >>> from exhaust import Bend, Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> bend = Bend(tube, clr="4.5 in", angle="90 deg")
    >>> round(straight_length(Run(name="a", tube=tube, length="1 m", bends=[bend])), 3)
    0.82
    """
    return float(run.length - sum(bend.clr * bend.angle for bend in run.bends))


def port_note(system: System) -> str:
    """Return where to put the port that back pressure is measured at.

    >>> from exhaust import Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> port_note(System(runs=[Run(name="all", tube=tube, length="4 m")]))[:46]
    "Pressure test port: in the straight of 'all', "
    """
    first = next(line for line in system.graph.lines if line.start in system.graph.inlets)
    run = system.runs[first.run]
    bore, straight = run.tube.inside_diameter, straight_length(run)
    each = " of each pipe" if system.pipes > 1 or len(system.graph.inlets) > 1 else ""
    where = f"Pressure test port{each}: in the straight of {run.name!r}, {CLOCK}, not in a weld"
    if straight >= (AHEAD + BEHIND) * bore:
        ahead, behind = (quantity(length * bore, "cut") for length in (AHEAD, BEHIND))
        return (
            f"{where}: {ahead} of straight tube ahead of it and {behind} behind it "
            f"({AHEAD:g} and {BEHIND:g} diameters, common practice), ahead of any joint."
        )
    return (
        f"{where}, ahead of any joint. That run has only {quantity(straight, 'cut')} of "
        f"straight tube, less than {AHEAD + BEHIND:g} diameters: the gas there is uneven and the "
        "reading is rough."
    )


def sensor_note(system: System) -> str | None:
    """Return what a place that mixes the banks does to oxygen sensors behind it, if there is one.

    >>> from exhaust import Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> sensor_note(System(runs=[Run(name="all", tube=tube, length="4 m")], pipes=2)) is None
    True
    """
    mixing = mixing_place(system)
    if mixing is None:
        return None
    mixed = _behind(system, mixing)
    behind = [sensor.name for sensor in system.sensors if sensor.run in mixed]
    if behind:
        reads = "reads" if len(behind) == 1 else "read"
        said = f"{listed(behind)} {reads} the gas of both banks, behind {mixing}: the engine's "
        return f"{said}control mistakes one bank for the other. Move the bung ahead of {mixing}."
    if system.sensors:
        return None
    return (
        f"Oxygen sensors belong ahead of {mixing}: behind it each reads the gas of both banks. "
        f"Bungs {CLOCK}, in a straight, not in a weld."
    )


def mixing_place(system: System) -> str | None:
    """Return the name of the first place where gas of several inlets meets, or None."""
    graph = system.graph
    for line in graph.lines:
        thing = graph.places.get(line.end)
        sides = system.pipes if isinstance(thing, Joint) else 1
        if isinstance(thing, (Joint, Merge)) and len(graph.into(line.end)) * sides > 1:
            return line.end
    return None


def _behind(system: System, place: str) -> set[str]:
    """Return the names of the runs that follow `place`."""
    waiting, found = [place], set[str]()
    while waiting:
        for line in system.graph.out_of(waiting.pop()):
            name = system.runs[line.run].name
            if name not in found:
                found.add(name)
                waiting += [] if line.end == OPEN_AIR else [line.end]
    return found
