"""Back pressure and what it costs over a range of engine speeds, tube by tube."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import attrs
import numpy as np

from exhaust import units
from exhaust.bands import Band
from exhaust.choices.assumed import cost_assumptions, service_assumptions
from exhaust.choices.choosing import percent, percent_band
from exhaust.choices.doubts import Doubts, breathing, doubts
from exhaust.choices.shelf import given_tubes
from exhaust.choices.steady import band_about, steady_flow
from exhaust.choices.tubes import built_in
from exhaust.describe import require
from exhaust.engine import Ambient, Engine, OperatingPoint
from exhaust.engine.flow import ExhaustFlow, exhaust_flow
from exhaust.errors import RuleError, broken, typed
from exhaust.flow.cost import Breathing, power_cost
from exhaust.show import Column, Fact, Result, Table, quantity, spread
from exhaust.stock import Tube
from exhaust.system import System
from exhaust.units import SI

STANDARD_AIR = Ambient()
RPM = math.pi / 30
LADDERS = (50, 100, 200, 250, 500, 1000, 2000, 2500)  # steps of the usual speeds [rpm]
MOST_SPEEDS = 12
SLOWEST, FASTEST = 100, 25000  # that an operating point takes [rpm]


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
    """Back pressure over engine speeds, for each tube; `points` by tube, then speed.

    `refused` are the tubes that the system cannot be built in, with the reason.
    """

    system: System
    flow: ExhaustFlow  # at the duty itself
    points: tuple[AtSpeed, ...]
    refused: tuple[tuple[Tube, str], ...]

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
        """What the speeds ask of the system's own tube, or of the smallest, and of the others."""
        return " ".join([*self._rise(), *self._others(), *self._choking(), *self._left_out()])

    def _rise(self) -> list[str]:
        """Return how back pressure rises in the one tube."""
        points = [point for point in self.of(self._own) if not point.choked]
        if not points:
            return []
        first, last = points[0], points[-1]
        band = spread(last.back_pressure.low, last.back_pressure.high, "pressure")
        top = f"{quantity(last.back_pressure.middle, 'pressure')} ({band})"
        top = f"{top} at {quantity(last.speed, 'speed')}"
        if first is last:
            rise = f"In {self._own.name} back pressure is {top}"
        else:
            bottom = quantity(first.back_pressure.middle, "pressure")
            bottom = f"{bottom} at {quantity(first.speed, 'speed')}"
            rise = f"In {self._own.name} back pressure rises from {bottom} to {top}"
        return [f"{rise}, which costs {percent_band(last.power_cost)} of power."]

    def _others(self) -> list[str]:
        """Return what the smallest and the largest of the other tubes cost at the fastest speed."""
        others = [tube for tube in self.tubes if tube != self._own]
        ends = dict.fromkeys([*others[:1], *others[-1:]])
        last = [self.of(tube)[-1] for tube in ends if not self.of(tube)[-1].choked]
        at = quantity(self.speeds[-1], "speed")
        costs = [f"{one.tube.name} costs {percent(one.power_cost.middle)}" for one in last]
        return [f"At {at} {' and '.join(costs)}."] if costs else []

    def _choking(self) -> list[str]:
        said = []
        for tube in self.tubes:
            choked = [point.speed for point in self.of(tube) if point.choked]
            if choked:
                since = f"from {quantity(choked[0], 'speed')} up"
                said.append(f"{tube.name} is far too small {since}: the gas reaches Mach 1.")
        return said

    def _left_out(self) -> list[str]:
        return [f"{tube.name} is left out: {why}." for tube, why in self.refused]

    @property
    def _own(self) -> Tube:
        return self.system.tube if self.system.tube in self.tubes else self.tubes[0]

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What was assumed, the gas temperature first."""
        kept = "Mixture, boost and volumetric efficiency are those of the duty at every speed"
        said = f"{kept}; a real engine breathes less away from its torque peak."
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
            Column("gas", "gas"),
        )
        rows = tuple(
            (
                point.tube.name,
                point.speed,
                point.mass_flow,
                *(point.back_pressure.middle, point.back_pressure.low, point.back_pressure.high),
                *(point.power_cost.middle, point.power_cost.low, point.power_cost.high),
                "chokes" if point.choked else "passes",
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

    `tubes` default to the system's own; `speeds` are text such as "4000 rpm" and default to even
    ones up to just past the duty's. Mixture, boost and volumetric efficiency stay the duty's.
    Raises `ExhaustError` where the system can be built in none of the tubes.

    >>> from exhaust import Run
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> duals = System(runs=[Run(name="all", tube=tube, length="4 m", loss=2.0)], pipes=2)
    >>> engine = Engine(displacement="5 L", cylinders=8)
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
    >>> answer = compare_speeds(duals, engine, duty, speeds=["3000 rpm", "6000 rpm"])
    >>> low, high = (point.back_pressure.middle for point in answer.points)
    >>> 3.9 < high / low < 4.2
    True
    """
    require(system, System, "system")
    flow = exhaust_flow(engine, duty, ambient)
    given = [system.tube] if tubes is None else given_tubes(tubes, "tubes")
    built, systems, refused = built_in(system, given)
    flows = [
        exhaust_flow(engine, at, ambient)
        for at in duties_at(flow, given_speeds(speeds, usual_speeds(duty)))
    ]
    middle, samples = doubts(flow)
    at_middle = steady_flow(systems, flow, over_speeds(flow, flows, middle))
    sampled = steady_flow(systems, flow, over_speeds(flow, flows, samples), "quick")
    cost = power_cost(at_middle.total_pressure_loss, _price(flows, middle, flow))
    costs = power_cost(sampled.total_pressure_loss, _price(flows, samples, flow))
    points = tuple(
        AtSpeed(
            tube=tube,
            speed=at.duty.speed,
            mass_flow=at.mass_flow,
            back_pressure=band_about(at_middle.back_pressure[i, k], sampled.back_pressure[i, k]),
            power_cost=band_about(cost[i, k], costs[i, k]),
            choked=bool(at_middle.choked[i, k, 0]),
        )
        for i, tube in enumerate(built)
        for k, at in enumerate(flows)
    )
    return SpeedComparison(system=system, flow=flow, points=points, refused=tuple(refused))


def usual_speeds(duty: OperatingPoint) -> list[float]:
    """Return even engine speeds up to the first past the duty's, a dozen at most [rad/s].

    >>> duty = OperatingPoint(speed="6200 rpm", volumetric_efficiency=0.9)
    >>> [speed.written() for speed in usual_speeds(duty)][::3]
    ['1000 rpm', '4000 rpm', '7000 rpm']
    """
    fastest = duty.speed / RPM
    step = next(step for step in LADDERS if fastest / step < MOST_SPEEDS)
    count = int(fastest / step * (1 + 1e-9)) + 1
    ladder = [step * number for number in range(1, count + 1)]
    speeds = [rpm for rpm in ladder if SLOWEST <= rpm <= FASTEST]
    return [SI(rpm * RPM, "speed", "rpm", RPM) for rpm in speeds]


def given_speeds(speeds: Iterable[str] | None, usual: Sequence[float]) -> list[float]:
    """Return the engine speeds that were given, or the usual ones; slow to fast, each once [rad/s].

    >>> [speed.written() for speed in given_speeds(["6000 rpm", "3000 rpm", "6000 rpm"], [])]
    ['3000 rpm', '6000 rpm']
    """
    if speeds is None:
        return list(usual)
    if isinstance(speeds, str) or not isinstance(speeds, Iterable):
        remedy = 'for example ["3000 rpm", "6000 rpm"]'
        raise broken("must be a list of engine speeds", typed(speeds), remedy).named("speeds")
    try:
        found = sorted({units.speed(speed) for speed in speeds})
    except RuleError as error:
        raise error.named("one of speeds") from error
    if not found:
        raise broken("is empty", None, "give at least one speed").named("speeds")
    return found


def duties_at(flow: ExhaustFlow, speeds: Sequence[float]) -> list[OperatingPoint]:
    """Return the duty at other speeds: as well filled, and with as much pull where it is given.

    >>> duty = OperatingPoint(speed="6000 rpm", power="100 kW", bsfc="280 g/kWh")
    >>> flow = exhaust_flow(Engine(displacement="2 L", cylinders=4), duty)
    >>> speeds = given_speeds(["3000 rpm", "6000 rpm"], [])
    >>> [round(at.power / 1e3) for at in duties_at(flow, speeds)]
    [50, 100]
    """
    duty, filling = flow.duty, flow.volumetric_efficiency_band.middle
    duties = []
    for speed in speeds:
        power = None if duty.power is None else SI(duty.power * speed / duty.speed, "power")
        duties.append(duty.with_(speed=speed, volumetric_efficiency=filling, power=power))
    return duties


def over_speeds(flow: ExhaustFlow, flows: Sequence[ExhaustFlow], inputs: Doubts) -> Doubts:
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
