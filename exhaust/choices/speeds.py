"""Back pressure and what it costs over a range of engine speeds, tube by tube."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import attrs
import numpy as np

from exhaust import units
from exhaust.bands import Band, band_of
from exhaust.choices.assumed import cost_assumptions, service_assumptions
from exhaust.choices.choosing import percent_band
from exhaust.choices.doubts import Doubts, breathing, doubts
from exhaust.choices.shelf import given_tubes
from exhaust.choices.steady import steady_flow
from exhaust.choices.tubes import built_in
from exhaust.describe import require
from exhaust.engine import Ambient, Engine, OperatingPoint
from exhaust.engine.flow import ExhaustFlow, exhaust_flow
from exhaust.errors import RuleError, broken
from exhaust.flow.cost import Breathing, power_cost
from exhaust.show import Column, Fact, Result, Table, quantity, spread
from exhaust.stock import Tube
from exhaust.system import System
from exhaust.units import SI

STANDARD_AIR = Ambient()
RPM = math.pi / 30
USUAL_SHARES = np.linspace(0.2, 1.1, 10)  # of the duty's speed
ROUND = 100 * RPM  # to which speeds are rounded


@attrs.frozen(kw_only=True)
class AtSpeed:
    """One tube at one engine speed."""

    tube: Tube
    speed: float  # [rad/s]
    mass_flow: float  # of the engine [kg/s]
    back_pressure: Band  # gauge, where the gas comes in [Pa]
    power_cost: Band  # share of power at that speed
    choked: bool


@attrs.frozen(kw_only=True, repr=False)
class SpeedComparison(Result):
    """Back pressure over engine speeds, for each tube; `points` by tube, then speed."""

    system: System
    flow: ExhaustFlow  # at the duty itself
    points: tuple[AtSpeed, ...]

    title = "Over engine speeds"

    @property
    def speeds(self) -> tuple[float, ...]:
        """The engine speeds, slow to fast [rad/s]."""
        return tuple(dict.fromkeys(point.speed for point in self.points))

    @property
    def tubes(self) -> tuple[Tube, ...]:
        """The tubes, small to large."""
        return tuple(dict.fromkeys(point.tube for point in self.points))

    def of(self, tube: Tube) -> tuple[AtSpeed, ...]:
        """Return the points of one tube, slow to fast."""
        return tuple(point for point in self.points if point.tube == tube)

    @property
    def reason(self) -> str:  # type: ignore[override]
        """What the fastest speed asks of the system's own tube, or of the smallest."""
        last = self.of(self._own)[-1]
        band = spread(last.back_pressure.low, last.back_pressure.high, "pressure")
        return (
            f"{last.tube.name} at {quantity(last.speed, 'speed')}: back pressure "
            f"{quantity(last.back_pressure.middle, 'pressure')} ({band}), which costs "
            f"{percent_band(last.power_cost)} of power."
        )

    @property
    def _own(self) -> Tube:
        return self.system.tube if self.system.tube in self.tubes else self.tubes[0]

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What was assumed, the gas temperature first."""
        kept = "Mixture, boost, gas temperature and volumetric efficiency are those of the duty "
        said = f"{kept}at every speed; a real engine breathes less away from its torque peak."
        return (
            *self.flow.assumptions,
            said,
            *service_assumptions(self.system),
            *cost_assumptions(self.flow),
        )

    def facts(self) -> list[Fact]:
        """Return the ends of the range in the system's own tube."""
        first, last = self.of(self._own)[0], self.of(self._own)[-1]
        found = [Fact("tube", self._own.name)]
        for point in (first, last):
            at = f"at {quantity(point.speed, 'speed')}"
            found += [
                Fact(f"back pressure {at}", point.back_pressure.middle, "pressure", "gauge"),
                Fact(f"power cost {at}", point.power_cost.middle, "percent"),
            ]
        return found

    def rows(self) -> Table:
        """Return every point, by tube and then speed."""
        columns = (
            Column("tube", "tube"),
            Column("speed", "speed", "speed"),
            Column("mass_flow", "exhaust", "mass_flow"),
            Column("back_pressure_gauge", "back pressure", "pressure"),
            Column("back_pressure_low", "low", "pressure"),
            Column("back_pressure_high", "high", "pressure"),
            Column("power_cost", "power cost", "percent"),
            Column("power_cost_low", "low", "percent"),
            Column("power_cost_high", "high", "percent"),
        )
        rows = tuple(
            (
                point.tube.name,
                point.speed,
                point.mass_flow,
                *(point.back_pressure.middle, point.back_pressure.low, point.back_pressure.high),
                *(point.power_cost.middle, point.power_cost.low, point.power_cost.high),
            )
            for point in self.points
        )
        return Table(columns, rows)


def compare_speeds(
    system: System,
    engine: Engine,
    duty: OperatingPoint,
    ambient: Ambient = STANDARD_AIR,
    tubes: Iterable[Tube] | None = None,
    speeds: Iterable[str] | None = None,
) -> SpeedComparison:
    """Return back pressure and its cost over `speeds`, for the system in each of `tubes`.

    `tubes` default to the system's own; `speeds` are text such as "4000 rpm" and default to ten
    up to a tenth over the duty's. Volumetric efficiency stays that of the duty.

    >>> from exhaust import Run
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> duals = System(runs=[Run(name="all", tube=tube, length="4 m", loss=2.0)], pipes=2)
    >>> engine = Engine(displacement="5 L", cylinders=8)
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
    >>> answer = compare_speeds(duals, engine, duty, speeds=["3000 rpm", "6000 rpm"])
    >>> low, high = (point.back_pressure.middle for point in answer.points)
    >>> 3 < high / low < 4
    True
    """
    require(system, System, "system")
    flow = exhaust_flow(engine, duty, ambient)
    given = [system.tube] if tubes is None else given_tubes(tubes, "tubes")
    systems, _ = built_in(system, given)
    built = [tube for tube in given if tube in {one.tube for one in systems}]
    flows = [exhaust_flow(engine, at, ambient) for at in _duties(flow, _speeds(duty, speeds))]
    _, samples = doubts(flow)
    steady = steady_flow(systems, flow, _over(flow, flows, samples), "quick")
    costs = power_cost(steady.total_pressure_loss, _price(flows, samples, flow))
    points = tuple(
        AtSpeed(
            tube=built[i],
            speed=at.duty.speed,
            mass_flow=at.mass_flow,
            back_pressure=band_of(steady.back_pressure[i, k]),
            power_cost=band_of(costs[i, k]),
            choked=bool(np.any(steady.choked[i, k])),
        )
        for i in range(len(systems))
        for k, at in enumerate(flows)
    )
    return SpeedComparison(system=system, flow=flow, points=points)


def _speeds(duty: OperatingPoint, speeds: Iterable[str] | None) -> list[float]:
    """Return the engine speeds [rad/s], slow to fast, each once."""
    if speeds is None:
        rounded = np.round(USUAL_SHARES * duty.speed / ROUND) * ROUND
        return [SI(max(speed, 5 * ROUND), "speed", "rpm", RPM) for speed in np.unique(rounded)]
    if isinstance(speeds, str) or not hasattr(speeds, "__iter__"):
        raise broken("must be a list of engine speeds", repr(speeds)).named("speeds")
    try:
        found = sorted({units.speed(speed) for speed in speeds})
    except RuleError as error:
        raise error.named("speeds") from error
    if not found:
        raise broken("is empty", None, "give at least one speed").named("speeds")
    return found


def _duties(flow: ExhaustFlow, speeds: Sequence[float]) -> list[OperatingPoint]:
    """Return the duty at other speeds, at its own volumetric efficiency."""
    filling = flow.volumetric_efficiency_band.middle
    return [
        flow.duty.with_(speed=speed, volumetric_efficiency=filling, power=None, bsfc=None)
        for speed in speeds
    ]


def _over(flow: ExhaustFlow, flows: Sequence[ExhaustFlow], inputs: Doubts) -> Doubts:
    """Return the inputs at each speed (speeds, samples): what is off at the duty is off there."""
    mass = np.array([[at.mass_flow / flow.mass_flow] for at in flows])
    heat = np.array([[at.gas_temperature / flow.gas_temperature] for at in flows])
    return inputs._replace(
        mass_flow=mass * inputs.mass_flow, gas_temperature=heat * inputs.gas_temperature
    )


def _price(flows: Sequence[ExhaustFlow], inputs: Doubts, flow: ExhaustFlow) -> Breathing:
    """Return what decides the price of back pressure at each speed (speeds, samples)."""
    prices = [
        breathing(at, inputs._replace(mass_flow=inputs.mass_flow * at.mass_flow / flow.mass_flow))
        for at in flows
    ]
    return Breathing(
        mean_effective_pressure=np.stack([np.asarray(p.mean_effective_pressure) for p in prices]),
        intake_pressure=np.array([[p.intake_pressure] for p in prices], float),
        compression_ratio=flow.engine.compression_ratio,
        expansion_ratio=prices[0].expansion_ratio,
    )
