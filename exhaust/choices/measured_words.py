"""What readings at the test port say, in words, and what the next job should start from."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from exhaust.choices.assumed import service_assumptions
from exhaust.choices.doubts import NAMES
from exhaust.choices.one_parameter import FARTHEST, Move
from exhaust.flow.system_pieces import part_loss
from exhaust.show import Column, Fact, Table, listed, quantity, spread, unit_system
from exhaust.system import Part, System

if TYPE_CHECKING:
    from exhaust.choices.measured import AtPort, MeasuredComparison

SLOPE = "filling at other speeds"
FACTORS = ("bends", "silencers", "joint", "convection", "near", "far")
KINDS = {"gas_temperature": "temperature", "roughness": "roughness", "decay": "cut"}
AIR = "the air that the engine takes, at each speed (volumetric_efficiency)"
LEAVING = "the gas temperature where it leaves the pipe"
TELLS = {
    "mass_flow": AIR,
    "slope": AIR,
    "gas_temperature": "the gas temperature in the stream at the port (gas_temperature)",
    "roughness": "the pressure at both ends of a straight stretch",
    "bends": "the pressure at both ends of a stretch with bends",
    "silencers": "the pressure just ahead of {silencer}",
    "joint": "the pressure just ahead of the joint and just behind it",
}


def named(move: Move) -> str:
    """Return what an assumption is called."""
    return SLOPE if move.name == "slope" else NAMES[move.name]


def value(answer: MeasuredComparison, move: Move, number: float) -> str:
    """Return a value of an assumption as text."""
    if move.name == "mass_flow":
        share = number / answer.flow.mass_flow
        return quantity(share * answer.flow.volumetric_efficiency_band.middle, "percent")
    if move.name == "slope":
        return f"{100 * (math.exp(number) - 1):+.0f} %"
    if move.name in KINDS:
        return quantity(number, KINDS[move.name])
    return f"{number:.2f}{' times' if move.name in FACTORS else ''}"


def _band(answer: MeasuredComparison, move: Move, band: Sequence[float]) -> str:
    low, _, high = (value(answer, move, number) for number in band)
    for unit in (" times", " %", " °F", " °C", " in", " mm"):
        low = low.removesuffix(unit) if high.endswith(unit) else low
    return f"{low} to {high}"


def reason(answer: MeasuredComparison) -> str:
    """Return where the readings lie, and which assumption would have to move."""
    return " ".join([_where(answer), *_which(answer)])


def _where(answer: MeasuredComparison) -> str:
    points = answer.points
    if answer.in_band:
        if len(points) == 1:
            at = quantity(points[0].speed, "speed")
            return f"The reading at {at} lies in the band of the prediction."
        return f"All {len(points)} readings lie in the band of the prediction."
    said = []
    for side in ("above", "below"):
        out = [point for point in points if point.lies == side]
        if out:
            said.append(_outside(out, side))
    return " ".join(said)


def _outside(out: Sequence[AtPort], side: str) -> str:
    speeds = listed([quantity(point.speed, "speed") for point in out])
    last = out[-1]
    band = spread(last.predicted.low, last.predicted.high, "pressure")
    at = f" at {quantity(last.speed, 'speed')}" if len(out) > 1 else ""
    return (
        f"At {speeds} the port reads {side} the band: {quantity(last.read, 'pressure')}{at}, where "
        f"{band} was predicted."
    )


def _which(answer: MeasuredComparison) -> Iterator[str]:
    choice, able = answer.choice, answer.able
    if answer.in_band:
        yield "Nothing that was assumed has to move."
        if not any(move.fits for move in answer.moves):
            yield "Over speed they do not rise as predicted: read again before building on them."
    elif len(answer.points) == 1:
        yield "One reading cannot tell which assumption would have to move: read at more speeds."
    elif choice is not None:
        needed = value(answer, choice, choice.needed.middle)
        yield (
            f"One assumption would have to move: {named(choice)}, to {needed} "
            f"({_band(answer, choice, choice.needed)}) where "
            f"{_band(answer, choice, choice.stated)} was stated{_plausible(choice)}."
        )
    elif able:
        each = listed([f"{named(one)} ({value(answer, one, one.needed.middle)})" for one in able])
        yield f"Cannot tell which assumption would have to move: {each} would each do it alone."
    else:
        yield (
            "No one assumption meets them: more than one is off, or something is not as it is "
            "described, such as a leak, a crushed bend, a blocked part, the port or the gauge."
        )


def _plausible(move: Move) -> str:
    if move.in_range:
        return ""
    return ", a little beyond that" if move.near_range else ", far beyond that"


def notes(answer: MeasuredComparison) -> Iterator[str]:
    """Yield what would tell assumptions apart, and what to mind about the readings."""
    if len(answer.able) > 1:
        tells = dict.fromkeys(_tells(answer.system, move) for move in answer.able)
        yield f"To tell them apart measure one of these: {'; '.join(tells)}."
    low = [quantity(point.speed, "speed") for point in answer.points if point.read < 0]
    if low:
        yield (
            f"At {listed(low)} the port reads below the air outside: look for a port whose edge "
            "stands in the stream and for a gauge that is not at zero with the engine off."
        )
    choked = [quantity(point.speed, "speed") for point in answer.points if point.choked]
    if choked:
        yield f"At {listed(choked)} the gas would reach Mach 1: the pipe is far too small there."
    if answer.tap.rough:
        yield "The port stands in a straight that is too short for a steady reading."
    if len(answer.system.graph.inlets) > 1:
        yield f"The prediction is for the port in {answer.tap.run.name!r}; others may differ."
    off = [one for one in answer.moves if one.fits]
    if not answer.in_band and not off and len(answer.points) > 1:
        yield "Read again, slow to fast and back: readings that repeat can be believed."


def _tells(system: System, move: Move) -> str:
    most = max(_losses(system), key=lambda loss: loss.coefficient, default=None)
    silencer = "the silencer" if most is None else repr(most.name)
    return TELLS.get(move.name, LEAVING).format(silencer=silencer)


def next_job(answer: MeasuredComparison) -> Iterator[str]:
    """Yield what the next job should start from: lines for its job file, or words."""
    move = answer.choice
    if answer.in_band:
        yield "What was assumed here stands: start the next job from it."
    if move is None:
        return
    low, middle, high = move.needed
    if move.name == "silencers":
        yield from _silencer_lines(answer, move)
    elif move.name == "mass_flow":
        per = answer.flow.volumetric_efficiency_band.middle / answer.flow.mass_flow
        shares = f"{low * per:.2f} to {high * per:.2f}"
        yield f"[duty] volumetric_efficiency = {middle * per:.2f}  # {shares}, from back pressure"
    elif move.name == "gas_temperature":
        unit, of = ("degF", 459.67) if unit_system() == "inch" else ("degC", 273.15)
        each = [T * (1.8 if unit == "degF" else 1.0) - of for T in (low, middle, high)]
        place = "turbine outlet" if answer.flow.duty.has_turbine else "collector"
        yield (
            f'[duty] gas_temperature = "{each[1]:.0f} {unit}", gas_temperature_at = "{place}"  '
            f"# {each[0]:.0f} to {each[2]:.0f}, from back pressure"
        )
    else:
        yield (
            f"No key of the job file holds the {named(move)}: write "
            f"{value(answer, move, middle)} ({_band(answer, move, move.needed)}) into its note."
        )


def _silencer_lines(answer: MeasuredComparison, move: Move) -> Iterator[str]:
    """Yield the loss of every part and run as the readings have it."""
    losses = _losses(answer.system)
    for one in losses:
        low, middle, high = (one.coefficient * factor for factor in move.needed)
        where = f"[[{one.section}]] {one.name!r}"
        yield f"{where} loss = {middle:.2g}  # {low:.2g} to {high:.2g}, from back pressure"
    if len(losses) > 1:
        yield "One port cannot tell these from each other: all are put at as many times their loss."


class _Loss(NamedTuple):
    """A loss that is described by itself, and where it stands in the job file."""

    section: str
    name: str
    coefficient: float  # on the head of the tube ahead


def _losses(system: System) -> list[_Loss]:
    found = []
    for place in system.places:
        if isinstance(place, Part):
            area = system.runs[system.graph.into(place.name)[0].run].tube.flow_area
            found.append(_Loss("part", place.name, float(part_loss(place, np.asarray(area)))))
    found += [_Loss("run", run.name, float(run.loss)) for run in system.runs]
    return [one for one in found if one.coefficient > 0]


def facts(answer: MeasuredComparison) -> list[Fact]:
    """Return the fastest reading beside its prediction, and what would have to move."""
    last, choice = answer.points[-1], answer.choice
    at = f"at {quantity(last.speed, 'speed')}"
    found = [
        Fact(f"read {at}", last.read, "pressure", "gauge, at the test port"),
        Fact(f"predicted {at}", last.predicted.middle, "pressure", "gauge"),
        Fact(f"predicted {at}, low", last.predicted.low, "pressure"),
        Fact(f"predicted {at}, high", last.predicted.high, "pressure"),
        Fact("readings in the band", _count(answer)),
        Fact("gauge may be off by", float(answer.readings.gauge_accuracy), "pressure"),
    ]
    if choice is not None:
        band = _band(answer, choice, choice.needed)
        found.append(
            Fact("what would have to move", named(choice), note="no other could so easily")
        )
        found.append(Fact("its value", value(answer, choice, choice.needed.middle), note=band))
    elif not answer.in_band:
        found.append(Fact("what would have to move", "cannot tell"))
    return found


def _count(answer: MeasuredComparison) -> str:
    inside = sum(point.lies == "in the band" for point in answer.points)
    return f"{inside} of {len(answer.points)}"


def moves_rows(answer: MeasuredComparison) -> Table:
    """Return each assumption with the value that meets the readings best."""
    columns = (
        Column("assumption", "assumption"),
        Column("stated", "stated"),
        Column("needed", "would have to be"),
        Column("needed_band", "its band"),
        Column("fits", "meets them"),
        Column("share", "share of the band", "percent"),
    )
    rows = tuple(
        (
            named(move),
            _band(answer, move, move.stated),
            value(answer, move, move.needed.middle) if move.met else "–",
            _band(answer, move, move.needed) if move.met else "–",
            _fit(move),
            move.share,
        )
        for move in answer.moves
    )
    chosen = None if answer.choice is None else answer.moves.index(answer.choice)
    return Table(columns, rows, marked=chosen)


def _fit(move: Move) -> str:
    if not move.met:
        return "no value does"
    if not move.fits:
        return "not over speed"
    return "yes, in its range" if move.in_range else "yes, beyond its range"


def assumptions(answer: MeasuredComparison) -> Iterator[str]:
    """Yield what was assumed, the gas temperature first."""
    first, *others = answer.flow.assumptions
    yield first
    accuracy = quantity(answer.readings.gauge_accuracy, "pressure")
    yield (
        "Readings were taken at full load, warm, each speed held until the gauge stood still; of "
        f"several pipes they are the mean. The gauge is within {accuracy}: as much by its zero, "
        "the same at every speed, as by chance."
    )
    if not answer.readings.has("volumetric_efficiency"):
        at = quantity(answer.flow.duty.speed, "speed")
        yield (
            f"Volumetric efficiency is known at {at} only: at half that speed it may be 10 % more "
            "or less by a slope, and as much again by a bow (common practice)."
        )
    yield (
        "Each assumption is moved alone, the others left within their bands; one is looked for up "
        f"to {FARTHEST:g} times as far from its middle as its band reaches."
    )
    yield from others
    yield from service_assumptions(answer.system)
