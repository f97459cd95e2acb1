"""Same size or stepped? Two tubes merged into one outlet, compared in steady flow."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import attrs

from exhaust.bands import Band, Verdict, verdict
from exhaust.choices.choosing import smallest_good_enough
from exhaust.choices.doubts import Doubts, doubts
from exhaust.choices.forming import Forming, forming
from exhaust.choices.limits import Limits, misfits, none_fits
from exhaust.choices.merge_reasons import merge_assumptions, merge_reason
from exhaust.choices.merged import LEGS, leg_of, merge_name, merged
from exhaust.choices.shelf import given_tubes, shelf_tubes
from exhaust.choices.steady import SteadyMerge, band_about, merge_flow, plain
from exhaust.describe import require
from exhaust.engine import Ambient, Engine, OperatingPoint
from exhaust.engine.flow import ExhaustFlow, exhaust_flow
from exhaust.errors import ExhaustError, broken
from exhaust.show import Column, Fact, Result, Table
from exhaust.stock import Tube
from exhaust.system import System

STANDARD_AIR = Ambient()
USUAL_LIMITS = Limits()


@attrs.frozen(kw_only=True)
class MergeInFlow:
    """Two legs into one outlet, with the flow in the outlet."""

    outlet: Tube
    area_ratio: float  # both legs' flow area over the outlet's
    forming: Forming
    velocity: float  # where the outlet starts [m/s]
    mach: float  # there
    dynamic_head: float  # there [Pa]
    loss_coefficient: float  # of an incompressible merge, on the outlet's dynamic head
    loss: float  # of total pressure in the merge, of the gas as it is [Pa]
    loss_band: Band  # [Pa]
    merge_cost: Band  # of the merge alone, share of power
    back_pressure: float  # of the whole system, gauge [Pa]
    power_cost: Band  # of the whole system, share of power
    choked: bool  # the gas would reach Mach 1
    fits: bool  # the limits, and does not choke
    verdict: Verdict  # against the same size; better is less cost


@attrs.frozen(kw_only=True, repr=False)
class MergeComparison(Result):
    """Outlets small to large, the same size as the legs first, and the one to buy.

    `systems` are what the system becomes with each outlet; the power cost is that of the whole.
    `refused` are the outlets that it cannot be built in, with the reason.

    `best` costs least of those that fit; `choice` is the smallest that is not worse than it by a
    difference worth having.
    """

    system: System
    flow: ExhaustFlow
    limits: Limits
    leg: Tube
    systems: tuple[System, ...]
    options: tuple[MergeInFlow, ...]
    refused: tuple[tuple[Tube, str], ...]
    best: Tube
    choice: Tube
    against_best: Verdict  # of the choice

    title = "Same size or stepped"

    @property
    def chosen(self) -> MergeInFlow:
        """The option of the chosen outlet."""
        return next(one for one in self.options if one.outlet == self.choice)

    @property
    def same_size(self) -> MergeInFlow:
        """The option whose outlet is the legs' own tube."""
        return self.options[0]

    @property
    def reason(self) -> str:  # type: ignore[override]
        """Why this outlet, in words a customer can read; ends with what to buy."""
        return " ".join(merge_reason(self))

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What was assumed, the gas temperature first."""
        return (*self.flow.assumptions, *merge_assumptions(self))

    def facts(self) -> list[Fact]:
        """Return the headline lines."""
        chosen = self.chosen
        note = "no stretch, on the middle of the wall"
        return [
            Fact("buy", self.choice.name, note="outlet of the merge"),
            Fact("power cost", chosen.power_cost.middle, "percent", "of the whole system"),
            Fact("cutback", chosen.forming.cutback, "ratio3", note),
            Fact("power cost, low", chosen.power_cost.low, "percent"),
            Fact("power cost, high", chosen.power_cost.high, "percent"),
            Fact("power cost of the merge alone", chosen.merge_cost.middle, "percent"),
            Fact("back pressure", chosen.back_pressure, "pressure", "gauge, where the pipes start"),
            Fact("legs' area over outlet's", chosen.area_ratio, "ratio"),
            Fact("velocity in the outlet", chosen.velocity, "velocity"),
            Fact("forming at a half cutback", chosen.forming.words()),
        ]

    def rows(self) -> Table:
        """Return the outlets small to large, the chosen one marked."""
        columns = (
            Column("outlet", "outlet"),
            Column("area_ratio", "area ratio", "ratio"),
            Column("cutback", "cutback, no stretch", "ratio3"),
            Column("stretch_at_half", "stretch at a half", "percent"),
            Column("loss_coefficient", "K", "ratio"),
            Column("loss", "loss", "pressure"),
            Column("merge_cost", "merge alone", "percent"),
            Column("back_pressure_gauge", "back pressure", "pressure"),
            Column("power_cost", "power cost", "percent"),
            Column("power_cost_low", "low", "percent"),
            Column("power_cost_high", "high", "percent"),
            Column("forming", "forming at a half"),
            Column("verdict", "against the same size"),
        )
        rows = tuple(
            (
                one.outlet.name,
                one.area_ratio,
                one.forming.cutback,
                one.forming.stretch_at_half,
                one.loss_coefficient,
                one.loss,
                one.merge_cost.middle,
                one.back_pressure,
                *(one.power_cost.middle, one.power_cost.low, one.power_cost.high),
                one.forming.words(),
                self._standing(one),
            )
            for one in self.options
        )
        return Table(columns, rows, marked=self.options.index(self.chosen))

    def _standing(self, one: MergeInFlow) -> str:
        if not one.fits:
            return "chokes" if one.choked else "does not fit"
        return "same size" if one is self.same_size else one.verdict.word


def compare_merges(
    system: System,
    engine: Engine,
    duty: OperatingPoint,
    ambient: Ambient = STANDARD_AIR,
    outlets: Iterable[Tube] | None = None,
    limits: Limits = USUAL_LIMITS,
) -> MergeComparison:
    """Return two of the system's pipes merged into each of `outlets`, and the outlet to buy.

    The pipes meet where the system has its joint (or after its first run, or at the merge it has
    already) and all that follows runs once, in the outlet's tube (`merged`). The legs' own tube
    is always among the outlets; they default to it and the larger usual stock up to the area of
    both legs. Steady flow of the whole system, with its band; the merge itself by `merge_losses`.
    Raises `ExhaustError` if none fits.

    >>> from exhaust.system import Run
    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> runs = [Run(name=name, tube=tube, length="1 m") for name in ("head", "tail")]
    >>> duals = System(runs=runs, pipes=2)
    >>> engine = Engine(displacement="5 L", cylinders=8)
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
    >>> answer = compare_merges(duals, engine, duty)
    >>> [round(one.area_ratio, 2) for one in answer.options]
    [2.0, 1.64, 1.36]
    """
    require(limits, Limits, "limits")
    leg = leg_of(require(system, System, "system"))
    flow = exhaust_flow(engine, duty, ambient)
    sizes, systems, refused = _built(system, _outlets(leg, outlets))
    middle, samples = (_of_the_merge(system, one) for one in doubts(flow))
    place = merge_name(system)
    at_middle = merge_flow(systems, place, flow, middle)
    sampled = merge_flow(systems, place, flow, samples, "quick")
    fits = _fits(sizes, at_middle, limits)
    standing = smallest_good_enough(sampled.power_cost, fits, limits.worth_having)
    return MergeComparison(
        system=system,
        flow=flow,
        limits=limits,
        leg=leg,
        systems=tuple(systems),
        options=tuple(_options(sizes, at_middle, sampled, fits, limits)),
        refused=tuple(refused),
        best=sizes[standing.best],
        choice=sizes[standing.chosen],
        against_best=standing.verdicts[standing.chosen],
    )


def _options(
    sizes: Sequence[Tube],
    at_middle: SteadyMerge,
    sampled: SteadyMerge,
    fits: Sequence[bool],
    limits: Limits,
) -> Iterator[MergeInFlow]:
    """Yield each outlet with its flow; the first is the legs' own size."""
    leg, costs = sizes[0], sampled.power_cost
    for i, size in enumerate(sizes):
        yield MergeInFlow(
            outlet=size,
            area_ratio=LEGS * leg.flow_area / size.flow_area,
            forming=forming(leg, size),
            **_numbers(at_middle, i),
            loss_band=band_about(at_middle.loss[i], sampled.loss[i]),
            merge_cost=band_about(at_middle.merge_cost[i], sampled.merge_cost[i]),
            power_cost=band_about(at_middle.power_cost[i], costs[i]),
            choked=bool(at_middle.choked[i, 0]),
            fits=fits[i],
            verdict=verdict(costs[0] - costs[i], limits.worth_having),
        )


def _built(
    system: System, outlets: Sequence[Tube]
) -> tuple[list[Tube], list[System], list[tuple[Tube, str]]]:
    """Return the outlets that the system can be merged into, what it becomes, and the others.

    The first, the legs' own size, must be one of them.
    """
    sizes, systems, refused = list[Tube](), list[System](), list[tuple[Tube, str]]()
    for outlet in outlets:
        try:
            systems.append(merged(system, outlet))
            sizes.append(outlet)
        except ExhaustError as error:
            refused.append((outlet, str(error)))
    if outlets[0] not in sizes:
        rule = f"cannot be merged into the legs' own size, {outlets[0].name}: {refused[0][1]}"
        raise broken(rule).named("system")
    return sizes, systems, refused


def _of_the_merge(system: System, inputs: Doubts) -> Doubts:
    """Return the inputs with the gas of the two pipes that meet."""
    return inputs._replace(mass_flow=inputs.mass_flow * min(1.0, LEGS / system.pipes))


def _outlets(leg: Tube, outlets: Iterable[Tube] | None) -> list[Tube]:
    """Return the legs' own tube and then the outlets, small to large."""
    if outlets is None:
        largest = LEGS * leg.flow_area * (1 + 1e-9)
        shelf = [tube for tube in shelf_tubes(leg) if tube.od > leg.od]
        return [leg, *(tube for tube in shelf if tube.flow_area <= largest)]
    given = given_tubes(outlets, "outlets")
    for tube in given:
        if tube.od < leg.od * (1 - 1e-9):
            rule = f"must be as large as the legs, {leg.name}, or larger"
            raise broken(rule, tube.name, "a merge never narrows").named("outlets")
        if tube.od >= LEGS * leg.od:
            rule = f"must be less than both legs of {leg.name} side by side"
            raise broken(rule, tube.name, "use a collector").named("outlets")
    return [leg, *(tube for tube in given if tube != leg)]


def _fits(outlets: Sequence[Tube], flow: SteadyMerge, limits: Limits) -> list[bool]:
    """Return which outlets fit the limits, or say why none does."""
    said = [
        misfits(outlet, bool(flow.choked[i, 0]), float(flow.back_pressure[i, 0]), limits)
        for i, outlet in enumerate(outlets)
    ]
    if all(said):
        raise none_fits("outlets", dict(zip(outlets, said, strict=True)))
    return [not why for why in said]


def _numbers(flow: SteadyMerge, index: int) -> dict[str, float]:
    """Return the middle values of one outlet as plain numbers."""
    return plain(
        index,
        velocity=flow.velocity,
        mach=flow.mach,
        dynamic_head=flow.dynamic_head,
        loss_coefficient=flow.loss_coefficient,
        loss=flow.loss,
        back_pressure=flow.back_pressure,
    )
