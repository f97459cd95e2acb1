"""Back pressure read at the test port against what was predicted: in the band, or what moved."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import attrs
import numpy as np

from exhaust.bands import Band
from exhaust.choices import measured_words as words
from exhaust.choices.at_port import AWAY, AWAY_MEASURED, NOWHERE, AtSpeeds, at_speeds
from exhaust.choices.one_parameter import Move, moves
from exhaust.choices.port_readings import PortReading, PortReadings
from exhaust.choices.ports import PressureTap
from exhaust.choices.speeds import duties_at
from exhaust.choices.steady import band_about
from exhaust.describe import require
from exhaust.engine import Ambient, Engine, OperatingPoint
from exhaust.engine.flow import ExhaustFlow, exhaust_flow
from exhaust.show import Column, Fact, Result, Table, items_html
from exhaust.show import System as Units
from exhaust.system import System
from exhaust.units import SI

STANDARD_AIR = Ambient()
# What would have to move so many times as far as the one that has to move least, each counted in
# its own range, is not taken for the reason; common practice, no source.
AS_FAR = 1.5
COOLING_TURNS = 3  # to find how hot the collector is from how hot the port is
FEWEST = 2  # speeds that show whether a curve bends as the readings do
Lies = Literal["in the band", "above", "below"]


@attrs.frozen(kw_only=True)
class AtPort:
    """Prediction and reading at one engine speed."""

    speed: float  # [rad/s]
    predicted: Band  # gauge, at the test port [Pa]
    read: float  # gauge [Pa]
    lies: Lies  # where the reading lies, its gauge's accuracy allowed for
    choked: bool  # by the prediction


@attrs.frozen(kw_only=True, repr=False)
class MeasuredComparison(Result):
    """Readings at the test port over the prediction, and each assumption moved to meet them.

    `points` slow to fast; `moves`, what the prediction hangs on, those that it hangs on most
    first; `able`, those of them that could be the reason, nearest to their own range first: none
    where the readings lie in the band.
    """

    system: System
    readings: PortReadings
    flow: ExhaustFlow  # at the duty, in the weather of the day
    tap: PressureTap
    points: tuple[AtPort, ...]
    moves: tuple[Move, ...]
    able: tuple[Move, ...]

    title = "Back pressure as measured"

    @property
    def in_band(self) -> bool:
        """Whether every reading lies in the band of the prediction."""
        return all(point.lies == "in the band" for point in self.points)

    @property
    def choice(self) -> Move | None:
        """The assumption that would have to move, if it can be told from the others."""
        tellable = len(self.able) == 1 and len(self.points) >= FEWEST
        return self.able[0] if tellable else None

    @property
    def reason(self) -> str:  # type: ignore[override]
        """Where the readings lie, and which assumption would have to move."""
        return words.reason(self)

    @property
    def notes(self) -> tuple[str, ...]:
        """What would tell assumptions apart, and what to mind about the readings."""
        return tuple(words.notes(self))

    @property
    def next_job(self) -> tuple[str, ...]:
        """What the next job should start from: lines for its job file, or words."""
        return tuple(words.next_job(self))

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What was assumed, the gas temperature first."""
        return tuple(words.assumptions(self))

    def facts(self) -> list[Fact]:
        """Return the fastest reading beside its prediction, and what would have to move."""
        return words.facts(self)

    def rows(self) -> Table:
        """Return every speed: the reading, the prediction and its band, where the reading lies."""
        columns = (
            Column("speed", "speed", "speed"),
            Column("read_gauge", "read", "pressure"),
            Column("predicted_gauge", "predicted", "pressure"),
            Column("predicted_low", "low", "pressure"),
            Column("predicted_high", "high", "pressure"),
            Column("lies", "the reading is"),
        )
        rows = tuple(
            (
                *(point.speed, point.read),
                *(point.predicted.middle, point.predicted.low, point.predicted.high),
                point.lies,
            )
            for point in self.points
        )
        return Table(columns, rows)

    def moves_rows(self) -> Table:
        """Return each assumption with the value that meets the readings best."""
        return words.moves_rows(self)

    def body_html(self, unit_system: Units | None = None) -> str:
        """Return facts and readings, each assumption moved, what to copy, what to mind."""
        parts = (
            super().body_html(unit_system),
            self.moves_rows().html(unit_system),
            items_html("For the next job", self.next_job),
            items_html("Mind", self.notes),
        )
        return "".join(parts)


def compare_measured(
    system: System,
    engine: Engine,
    duty: OperatingPoint,
    readings: PortReadings,
    ambient: Ambient = STANDARD_AIR,
) -> MeasuredComparison:
    """Return `readings` at the test port over the prediction, and which assumption must move.

    The weather of the day stands in `readings`, if it was not `ambient`. Each assumption is
    moved alone, the others left within their bands; it is told apart only where no other could
    have moved about as little. Steady flow at full load.

    >>> from exhaust import Part, Run, Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> runs = [Run(name="head", tube=tube, length="2 m", to="box"),
    ...         Run(name="tail", tube=tube, length="1 m")]
    >>> duals = System(runs=runs, pipes=2, places=[Part(name="box", kind="silencer", loss=4.0)])
    >>> engine = Engine(displacement="5 L", cylinders=8)
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
    >>> read = [PortReading(speed=f"{n} rpm", back_pressure_gauge=f"{p} kPa")
    ...         for n, p in ((4000, 3.5), (5000, 6.5), (6000, 9.0))]
    >>> answer = compare_measured(duals, engine, duty, PortReadings(readings=read))
    >>> answer.in_band
    True
    """
    require(system, System, "system")
    require(readings, PortReadings, "readings")
    require(ambient, Ambient, "ambient")
    weather = ambient if readings.ambient is None else readings.ambient
    at = _at_readings(system, exhaust_flow(engine, duty, weather), readings)
    middle, sampled = at.pressure(at.middle()), at.pressure(at.sampled())
    choked = at.choked()
    points = tuple(
        _point(one, readings.gauge_accuracy, band_about(middle[k], sampled[k]), bool(choked[k]))
        for k, one in enumerate(readings.readings)
    )
    read = [one.back_pressure_gauge for one in readings.readings]
    moved = moves(at, read, readings.gauge_accuracy)
    inside = all(point.lies == "in the band" for point in points)
    return MeasuredComparison(
        system=system,
        readings=readings,
        flow=at.flow,
        tap=at.port.tap,
        points=points,
        moves=moved,
        able=() if inside else _able(moved),
    )


def _point(one: PortReading, accuracy: float, band: Band, choked: bool) -> AtPort:
    read = float(one.back_pressure_gauge)
    lies: Lies = "in the band"
    if read - accuracy > band.high:
        lies = "above"
    elif read + accuracy < band.low:
        lies = "below"
    return AtPort(speed=one.speed, predicted=band, read=read, lies=lies, choked=choked)


def _able(moved: Sequence[Move]) -> tuple[Move, ...]:
    """Return those that meet the readings and move about as little as any, nearest first."""
    fitting = sorted((one for one in moved if one.fits), key=lambda one: abs(one.halves.middle))
    least = max(abs(fitting[0].halves.middle), 1.0) if fitting else 0.0
    return tuple(one for one in fitting if abs(one.halves.middle) <= AS_FAR * least)


def _at_readings(system: System, flow: ExhaustFlow, readings: PortReadings) -> AtSpeeds:
    """Return the port with the gas at each reading, what was measured with it put in."""
    engine, weather = flow.engine, flow.ambient
    duties = duties_at(flow, [one.speed for one in readings.readings])
    away = AWAY
    if readings.has("volumetric_efficiency"):
        filled = [one.volumetric_efficiency for one in readings.readings]
        duties = [
            at.with_(volumetric_efficiency=filling, power=None)
            for at, filling in zip(duties, filled, strict=True)
        ]
        away = NOWHERE if readings.has("gas_temperature") else AWAY_MEASURED

    def at_port(duty: OperatingPoint, duties: Sequence[OperatingPoint]) -> AtSpeeds:
        flows = [exhaust_flow(engine, one, weather) for one in duties]
        return at_speeds(system, exhaust_flow(engine, duty, weather), flows, away)

    if not readings.has("gas_temperature"):
        return at_port(flow.duty, duties)
    wanted = np.array([float(one.gas_temperature or 0.0) for one in readings.readings])
    found = wanted
    for _ in range(COOLING_TURNS):  # from the collector to the port the gas cools a little
        duty, duties = flow.duty, [_as_hot(one, T) for one, T in zip(duties, found, strict=True)]
        at = at_port(_as_hot(duty, found[-1]), duties)
        found = found + wanted - at.temperature(at.middle())[:, 0]
    return at


def _as_hot(duty: OperatingPoint, temperature: float) -> OperatingPoint:
    place = "turbine outlet" if duty.has_turbine else "collector"
    return duty.with_(gas_temperature=SI(temperature, "temperature"), gas_temperature_at=place)
