"""Which tube? One system in several tubes, compared in steady flow."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import attrs

from exhaust.bands import Band, Verdict
from exhaust.choices.choosing import smallest_good_enough
from exhaust.choices.doubts import doubts
from exhaust.choices.limits import Limits, misfits, none_fits
from exhaust.choices.shelf import given_tubes, shelf_tubes
from exhaust.choices.steady import Steady, band_about, plain, steady_flow
from exhaust.choices.tube_reasons import RULE_MACH, RULE_VELOCITY, tube_assumptions, tube_reason
from exhaust.describe import require
from exhaust.engine import Ambient, Engine, OperatingPoint
from exhaust.engine.flow import ExhaustFlow, exhaust_flow
from exhaust.errors import ExhaustError, broken
from exhaust.flow.moving import dynamic_head, mach_number
from exhaust.gas.properties import Mixture
from exhaust.show import Column, Fact, Result, Table, listed, spread
from exhaust.stock import Tube
from exhaust.system import System

STANDARD_AIR = Ambient()
USUAL_LIMITS = Limits()


@attrs.frozen(kw_only=True)
class TubeInFlow:
    """One tube with the flow through it; at the start of the pipe unless said otherwise."""

    tube: Tube
    velocity: float  # [m/s]
    outlet_velocity: float  # [m/s]
    mach: float
    outlet_mach: float
    reynolds: float
    dynamic_head: float  # [Pa]
    outlet_dynamic_head: float  # [Pa]
    outlet_temperature: float  # of the gas where it leaves [K]
    back_pressure: float  # gauge, what a wall tap reads [Pa]
    total_pressure_loss: float  # from there to still air outside [Pa]
    power_cost: Band  # share of power
    choked: bool  # the gas leaves at Mach 1
    fits: bool  # the limits, and does not choke
    verdict: Verdict  # against the best that fits

    @property
    def mass_per_length(self) -> float:
        """Mass of a metre of the tube [kg/m]."""
        return self.tube.mass_per_length

    @property
    def in_shop_rules(self) -> bool:
        """Whether the sizing rules heard in shops would take it; never used to choose."""
        low, high = RULE_VELOCITY
        return low <= self.velocity <= high and self.outlet_mach < RULE_MACH


@attrs.frozen(kw_only=True, repr=False)
class TubeComparison(Result):
    """Tubes small to large with the flow through each, and the one to buy.

    `options` those compared; `refused` those that the system cannot be built in, with the
    reason; `best` costs least of those that fit; `choice` is the smallest that is not worse than
    the best by a difference worth having.
    """

    system: System
    flow: ExhaustFlow
    limits: Limits
    options: tuple[TubeInFlow, ...]
    refused: tuple[tuple[Tube, str], ...]
    best: Tube
    choice: Tube

    title = "Which tube"

    @property
    def chosen(self) -> TubeInFlow:
        """The option of the chosen tube."""
        return next(one for one in self.options if one.tube == self.choice)

    @property
    def reason(self) -> str:  # type: ignore[override]
        """Why this tube, in words that end with what to buy."""
        return " ".join(tube_reason(self))

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What was assumed, the gas temperature first."""
        return (*self.flow.assumptions, *tube_assumptions(self))

    def facts(self) -> list[Fact]:
        """Return the headline lines."""
        chosen = self.chosen
        heard = [one.tube.name for one in self.options if one.in_shop_rules]
        low, high = RULE_VELOCITY
        rule = f"{spread(low, high, 'velocity')} at peak power, Mach under {RULE_MACH:g}"
        return [
            Fact("buy", self.choice.name, note=self.choice.material),
            Fact("back pressure", chosen.back_pressure, "pressure", "gauge, where the pipe starts"),
            Fact("power cost", chosen.power_cost.middle, "percent"),
            Fact("power cost, low", chosen.power_cost.low, "percent"),
            Fact("power cost, high", chosen.power_cost.high, "percent"),
            Fact("velocity", chosen.velocity, "velocity", "where the pipe starts"),
            Fact("weight", chosen.mass_per_length, "mass_per_length"),
            Fact(
                "rules heard in shops take",
                listed(heard) if heard else "none of these",
                note=f"{rule} (common practice); beside the answer, not used",
            ),
        ]

    def rows(self) -> Table:
        """Return the options small to large, the chosen one marked."""
        columns = (
            Column("tube", "tube"),
            Column("velocity", "velocity", "velocity"),
            Column("outlet_velocity", "at the outlet", "velocity"),
            Column("outlet_mach", "Mach at the outlet", "ratio"),
            Column("reynolds", "Reynolds", "thousands"),
            Column("dynamic_head", "dynamic head", "pressure"),
            Column("back_pressure_gauge", "back pressure", "pressure"),
            Column("total_pressure_loss", "total loss", "pressure"),
            Column("power_cost", "power cost", "percent"),
            Column("power_cost_low", "low", "percent"),
            Column("power_cost_high", "high", "percent"),
            Column("mass_per_length", "weight", "mass_per_length"),
            Column("verdict", "against the best"),
        )
        rows = tuple(
            (
                one.tube.name,
                one.velocity,
                one.outlet_velocity,
                one.outlet_mach,
                one.reynolds,
                one.dynamic_head,
                one.back_pressure,
                one.total_pressure_loss,
                one.power_cost.middle,
                one.power_cost.low,
                one.power_cost.high,
                one.mass_per_length,
                self._standing(one),
            )
            for one in self.options
        )
        return Table(columns, rows, marked=self.options.index(self.chosen))

    def _standing(self, one: TubeInFlow) -> str:
        if one.choked:
            return "chokes"
        if not one.fits:
            return "does not fit"
        return "best" if one.tube == self.best else one.verdict.word


def compare_tubes(
    system: System,
    engine: Engine,
    duty: OperatingPoint,
    ambient: Ambient = STANDARD_AIR,
    tubes: Iterable[Tube] | None = None,
    limits: Limits = USUAL_LIMITS,
) -> TubeComparison:
    """Return the flow through `system` in each of `tubes`, and the tube to buy.

    Steady compressible flow of the whole system; differences are judged on the same samples. The
    tube that most of it is made of is changed. `tubes` defaults to stock. Raises if none fits.

    >>> from exhaust import Run
    >>> sizes = [Tube(od=od, wall="16 ga") for od in ("2 in", "2.5 in", "3 in", "3.5 in")]
    >>> duals = System(runs=[Run(name="all", tube=sizes[2], length="4 m", loss=2.0)], pipes=2)
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
    >>> compare_tubes(duals, Engine(displacement="5 L", cylinders=8), duty, tubes=sizes).choice.name
    '3 in x 16 ga'
    """
    require(system, System, "system")
    require(limits, Limits, "limits")
    flow = exhaust_flow(engine, duty, ambient)
    given = shelf_tubes(system.tube) if tubes is None else given_tubes(tubes, "tubes")
    built, systems, refused = built_in(system, given)
    middle, samples = doubts(flow)
    at_middle = steady_flow(systems, flow, middle)
    costs = steady_flow(systems, flow, samples, "quick").power_cost
    fits = _fits(built, at_middle, limits)
    standing = smallest_good_enough(costs, fits, limits.worth_having)
    return TubeComparison(
        system=system,
        flow=flow,
        limits=limits,
        options=tuple(
            TubeInFlow(
                tube=tube,
                **_numbers(at_middle, flow.gas, i),
                power_cost=band_about(at_middle.power_cost[i], costs[i]),
                choked=bool(at_middle.choked[i, 0]),
                fits=fits[i],
                verdict=standing.verdicts[i],
            )
            for i, tube in enumerate(built)
        ),
        refused=tuple(refused),
        best=built[standing.best],
        choice=built[standing.chosen],
    )


def built_in(
    system: System, tubes: Sequence[Tube]
) -> tuple[list[Tube], list[System], list[tuple[Tube, str]]]:
    """Return the tubes that a system can be built in, the system in each, why not in the others.

    >>> from exhaust import Run
    >>> small, large = (Tube(od=od, wall="16 ga") for od in ("2.5 in", "3 in"))
    >>> system = System(runs=[Run(name="all", tube=small, length="4 m")])
    >>> [len(part) for part in built_in(system, [small, large])]
    [2, 2, 0]
    """
    built, systems, refused = list[Tube](), list[System](), list[tuple[Tube, str]]()
    for tube in tubes:
        try:
            systems.append(system.with_tube(tube, instead_of=system.tube))
            built.append(tube)
        except ExhaustError as error:
            refused.append((tube, str(error)))
    if not systems:
        tube, why = refused[0]
        rule = f"hold none that the system can be built in: {tube.name}: {why}"
        raise broken(rule).named("tubes")
    return built, systems, refused


def _fits(tubes: Sequence[Tube], flow: Steady, limits: Limits) -> list[bool]:
    """Return which tubes fit the limits, or say why none does."""
    said = [
        misfits(tube, bool(flow.choked[i, 0]), float(flow.back_pressure[i, 0]), limits)
        for i, tube in enumerate(tubes)
    ]
    if all(said):
        raise none_fits("tubes", dict(zip(tubes, said, strict=True)))
    return [not why for why in said]


def _numbers(flow: Steady, gas: Mixture, index: int) -> dict[str, float]:
    """Return the middle values of one option as plain numbers."""
    return plain(
        index,
        velocity=flow.start.velocity,
        outlet_velocity=flow.end.velocity,
        mach=mach_number(flow.start, gas),
        outlet_mach=mach_number(flow.end, gas),
        reynolds=flow.reynolds,
        dynamic_head=dynamic_head(flow.start, gas),
        outlet_dynamic_head=dynamic_head(flow.end, gas),
        outlet_temperature=flow.end.total_temperature,
        back_pressure=flow.back_pressure,
        total_pressure_loss=flow.total_pressure_loss,
    )
