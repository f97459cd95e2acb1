"""The answer of a simulation in words, and what it assumes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from exhaust.choices.pulses import MOMENTUM, Pulses
from exhaust.engine.cam import Cam
from exhaust.joints import HPipe
from exhaust.pulse.crossing import WINDOW_LOSS
from exhaust.pulse.cycle import ALTERNATING, STEADY
from exhaust.pulse.segments import PART_LENGTHS, is_crossover
from exhaust.show import listed, quantity
from exhaust.system import Part, System

if TYPE_CHECKING:
    from exhaust.choices.simulation import Simulation


def simulation_reason(answer: Simulation) -> list[str]:
    """Return what the pulses do, and whether their cycle repeats."""
    ports = answer.of("port")
    outside = answer.flow.ambient_pressure
    low = min(float(one.pressure.min()) for one in ports) - outside
    high = max(float(one.pressure.max()) for one in ports) - outside
    fastest = answer.fastest
    said = [
        f"At {quantity(answer.flow.duty.speed, 'speed')} the pistons push the gas out against "
        f"{quantity(answer.pumping_pressure, 'pressure')} more than the air outside; "
        f"{quantity(answer.residual, 'percent')} of what a cylinder then holds is left behind.",
        f"Waves take the ports from {quantity(low, 'pressure')} to {quantity(high, 'pressure')} "
        f"gauge; the gas is fastest at {fastest.name}, "
        f"Mach {quantity(fastest.peak_mach, 'ratio')}.",
    ]
    if answer.outcome == ALTERNATING:
        said.append("Every second cycle is alike, as in some engines: the last one is shown.")
    elif answer.outcome != STEADY:
        said.append(
            f"The cycle does not repeat yet after {answer.cycles}: the ports still change by "
            f"{quantity(answer.change, 'pressure')} from one to the next; allow more cycles."
        )
    return said


def simulation_assumptions(answer: Simulation) -> list[str]:
    """Return what a simulation assumes beyond the exhaust flow."""
    pulses = answer.pulses
    said = [
        *pulse_assumptions(answer.system, answer.headers, pulses),
        _junctions(pulses.junction),
    ]
    if is_crossover(answer.system.joint):
        said.append(f"Gas that swings through the window loses {WINDOW_LOSS:g} heads there.")
    for name, length in answer.stretched:
        said.append(
            f"Pipe {name!r} is too short for two cells and counts as "
            f"{quantity(length, 'cut')} longer; smaller cells follow it."
        )
    if answer.unsolved:
        said.append(
            f"{answer.unsolved} times in {answer.cycles} cycles the pressure where streams meet "
            "was not found to the last digits; mass and energy add up all the same."
        )
    said.append(
        "One simulation has no band: how far the junction models differ, and what the inputs do, "
        "is seen by comparing designs."
    )
    return said


def pulse_assumptions(system: System, headers: Sequence[str], pulses: Pulses) -> list[str]:
    """Return what pulses in a system assume; `headers` is what was assumed ahead of it.

    >>> from exhaust import Run, Tube
    >>> tail = Run(name="tail", tube=Tube(od="3 in", wall="16 ga"), length="2 m")
    >>> pulse_assumptions(System(runs=[tail]), ["primaries"], Pulses())[0]
    'primaries'
    """
    said = [
        *headers,
        *_engine(pulses.cam),
        "Waves are followed in one dimension, in cells of about "
        f"{quantity(float(pulses.cell), 'cut')}; friction, losses and wall temperatures are those "
        "that the steady flow finds, and the gas keeps one ratio of heat capacities.",
    ]
    if is_crossover(system.joint):
        said.append(
            "In an X the two sides lie beside each other and narrow as cut, and gas swings through "
            "the window cell by cell."
        )
    if isinstance(system.joint, HPipe):
        said.append(
            "The balance tube is a pipe of its length between the bores; its gas neither cools nor "
            "has an end correction."
        )
    kinds = dict.fromkeys(one.kind for one in system.places if isinstance(one, Part))
    if kinds:
        bodies = [f"a {kind} {quantity(PART_LENGTHS[kind], 'run')}" for kind in kinds]
        said.append(
            f"A part in line counts as tube of its run ({listed(bodies)} long; common practice) "
            "with its loss spread over it: right for one the gas goes straight through, while "
            "chambers send more of a wave back."
        )
    return said


def _engine(cam: Cam) -> list[str]:
    stock = " (usual for a road engine, common practice)" if cam == Cam() else ""
    return [
        f"The exhaust valve opens {quantity(float(cam.opens), 'angle')} before bottom dead centre "
        f"and closes {quantity(float(cam.closes), 'angle')} after top dead centre{stock}, its lift "
        "a half sine squared; cylinders fire at even intervals.",
        "Every cycle brings each cylinder an equal fresh charge, its gas as hot as makes the mean "
        "flow of mass and enthalpy at the collectors that of the exhaust flow; the intake is not "
        "simulated, and the cylinder loses no heat while its valve is open.",
    ]


def _junctions(model: str) -> str:
    if model == MOMENTUM:
        return (
            "Where streams meet or part, momentum along the way on is kept and the angles of the "
            "legs count; pressure is one across the mouth."
        )
    return (
        "Where streams meet or part, all legs have one pressure, whatever their angles; that can "
        "make total pressure out of nothing and flatters narrow outlets."
    )
