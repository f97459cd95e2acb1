"""Which balance tube, and where? Sizes and places compared by their pulses."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import attrs
import numpy as np

from exhaust.choices.balance_reasons import balance_assumptions, balance_reason
from exhaust.choices.crossed import CrossoverInPulses, crossed
from exhaust.choices.crossover_systems import (
    BALANCE,
    SPACING,
    Crossover,
    crossing_place,
    nearest_tube,
)
from exhaust.choices.pulse_cases import FLAT
from exhaust.choices.pulses import Pulses
from exhaust.choices.shelf import given_tubes
from exhaust.choices.simulating import pulsing_flow
from exhaust.choices.swinging import swing_along
from exhaust.choices.waves import FloatArray
from exhaust.describe import require
from exhaust.engine import Ambient, Engine, OperatingPoint
from exhaust.engine.flow import ExhaustFlow
from exhaust.errors import broken
from exhaust.joints import HPipe
from exhaust.show import Column, Fact, Result, Table, quantity
from exhaust.stock import Tube
from exhaust.system import Run, System
from exhaust.units import SI

STANDARD_AIR = Ambient()
COMPARING = Pulses(cell="20 mm", samples=2)
PLACES = 5
CLEAR = 0.05  # of tube left between a balance tube's joint and what comes before or after it [m]
FARTHEST = 0.9  # of a place from where the crossover stands now [m]


@attrs.frozen(kw_only=True)
class BalanceTubeInPulses(CrossoverInPulses):
    """One balance tube in one place; `difference` is that between its two ends."""

    tube: Tube | None  # None: no balance tube
    distance: float  # of its middle from the collector [m]


@attrs.frozen(kw_only=True, repr=False)
class BalanceTubeComparison(Result):
    """Balance tubes of several sizes in several places, and the one to fit.

    `choice` is the smallest of those that leave the least half orders, within what can be heard,
    and cost no power worth having; `alike` how many of all `options` those are. `swing` is the
    pressure between the two pipes without a tube, at each `position` from the collectors.
    """

    system: System
    flow: ExhaustFlow
    pulses: Pulses
    speeds: tuple[float, ...]  # [rad/s]
    without: BalanceTubeInPulses
    options: tuple[BalanceTubeInPulses, ...]
    refused: tuple[tuple[str, str], ...]
    choice: str
    alike: tuple[str, ...]
    position: FloatArray  # [m]
    swing: FloatArray  # root mean square [Pa]
    simulations: int
    unsettled: int  # of those, whose cycle did not repeat

    title = "Balance tubes"

    @property
    def chosen(self) -> BalanceTubeInPulses:
        """The option to fit."""
        return next(one for one in self.options if one.name == self.choice)

    @property
    def swings_most(self) -> float:
        """Where the pressure between the pipes swings most without a tube [m]."""
        return float(self.position[np.argmax(self.swing)])

    @property
    def reason(self) -> str:  # type: ignore[override]
        """What to fit and why, and how much it matters."""
        return " ".join(balance_reason(self))

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What was assumed, the gas temperature first."""
        return (*self.flow.assumptions, *balance_assumptions(self))

    def facts(self) -> list[Fact]:
        """Return the headline lines."""
        chosen, note = self.chosen, "of the pulsation at the tips"
        assert chosen.tube is not None
        return [
            Fact("fit", chosen.tube.name),
            Fact("its middle from the collector", chosen.distance, "run"),
            Fact("half orders with it", chosen.half_orders.middle, "percent", note),
            Fact("half orders with it, low", chosen.half_orders.low, "percent"),
            Fact("half orders with it, high", chosen.half_orders.high, "percent"),
            Fact("half orders without", self.without.half_orders.middle, "percent", note),
            Fact("power gained", chosen.gain.middle, "percent"),
            Fact("power gained, low", chosen.gain.low, "percent"),
            Fact("power gained, high", chosen.gain.high, "percent"),
            Fact("fastest gas in it", chosen.across, "velocity"),
            Fact("pressure swings most without it", self.swings_most, "run", "from the collector"),
            Fact("as good", float(len(self.alike)), "count", f"of {len(self.options)} tried"),
        ]

    def rows(self) -> Table:
        """Return every size in every place, without a tube first, the one to fit marked."""
        columns = (
            Column("balance_tube", "balance tube"),
            Column("distance", "from the collector", "run"),
            Column("half_orders", "half orders", "percent"),
            Column("half_orders_low", "low", "percent"),
            Column("half_orders_high", "high", "percent"),
            Column("difference", "between its ends", "pressure"),
            Column("across", "fastest across", "velocity"),
            Column("pumping_pressure_gauge", "pumping pressure", "pressure"),
            Column("gain", "power gained", "percent"),
            Column("verdict", "against none"),
        )
        rows = tuple(
            (
                "none" if one.tube is None else one.tube.name,
                one.distance if one.tube is not None else "–",
                *(one.half_orders.middle, one.half_orders.low, one.half_orders.high),
                one.difference,
                one.across if one.tube is not None else "–",
                one.pumping_pressure,
                one.gain.middle,
                one.verdict.word if one.tube is not None else "–",
            )
            for one in (self.without, *self.options)
        )
        return Table(columns, rows, marked=1 + self.options.index(self.chosen))


def compare_balance_tubes(
    system: System,
    engine: Engine,
    duty: OperatingPoint,
    ambient: Ambient = STANDARD_AIR,
    tubes: Iterable[Tube] | None = None,
    pulses: Pulses = COMPARING,
) -> BalanceTubeComparison:
    """Return balance tubes in each of `tubes` at several places, by their pulses, and which to fit.

    `tubes` default to the usual stock at a half, three quarters and all of the pipes' od. Places
    lie evenly about where the system crosses now, as far as its runs have room. Weighed over
    engine speeds with both junction models: the least half orders at the tips that cost no power
    worth having, and of those that can hardly be told apart the smallest tube, nearest to where it
    stands now. Raises `ExhaustError` where the system has no place for it. About a minute.

    >>> from exhaust import Run
    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> runs = [Run(name=name, tube=tube, length="1 m") for name in ("head", "tail")]
    >>> engine = Engine(displacement="5 L", cylinders=8, left_bank=(1, 3, 5, 7),
    ...                 firing_order=(1, 8, 4, 3, 6, 5, 7, 2))
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
    >>> quick = Pulses(cell="50 mm", speeds=["3000 rpm"], samples=2)
    >>> answer = compare_balance_tubes(System(runs=runs, pipes=2), engine, duty, tubes=[tube],
    ...                                pulses=quick)
    >>> len(answer.options), answer.chosen.tube.name
    (5, '2.5 in x 16 ga')
    """
    require(pulses, Pulses, "pulses")
    place = crossing_place(require(system, System, "system"))
    flow = pulsing_flow(engine, duty, ambient)
    found = crossed(system, _tried(system, place, tubes), flow, pulses)
    straight, over = found.options[0].system, found.over
    middle = _ahead(straight)
    without, *options = (
        _at(one, middle + tried.behind)
        for one, tried in zip(found.options, found.tried, strict=True)
    )
    alike = _alike(options)
    swing = swing_along(straight, over.flows, pulses)
    return BalanceTubeComparison(
        system=system,
        flow=flow,
        pulses=pulses,
        speeds=over.speeds,
        without=without,
        options=tuple(options),
        refused=found.refused,
        choice=_least_work(alike, middle).name,
        alike=tuple(one.name for one in alike),
        position=swing.position,
        swing=swing.pressure,
        simulations=over.simulations,
        unsettled=over.unsettled,
    )


def _tried(system: System, place: str, tubes: Iterable[Tube] | None) -> list[Crossover]:
    """Return straight pipes, then each size in each place."""
    graph, own = system.graph, system.joint
    pipe = system.runs[graph.into(place)[0].run].tube
    sizes = [nearest_tube(pipe, share * pipe.od) for share in BALANCE]
    if tubes is not None:
        sizes = given_tubes(tubes, "tubes")
    spacing = SI(SPACING * pipe.od if own is None else own.spacing, "length")
    joints = [HPipe(pipe, balance_tube=size, spacing=spacing) for size in dict.fromkeys(sizes)]
    longest = max(joint.centreline_length for joint in joints)
    held = 0.0 if own is None else own.centreline_length

    def room(runs: Iterable[Run], kept: float) -> float:
        free = min(run.length - max(run.in_bends, kept) for run in runs)
        return min(free + (held - longest) / 2 - CLEAR, FARTHEST)

    before = [system.runs[line.run] for line in graph.into(place)]
    names = [run.name for run in before]
    read = max((float(one.distance) for one in system.sensors if one.run in names), default=0.0)
    ahead = room(before, read)  # sensors stay ahead of where the banks mix
    behind = room((system.runs[line.run] for line in graph.out_of(place)), 0.0)
    if ahead < 0 or behind < 0:
        got = "the run ahead" if ahead < 0 else "the run behind"
        rule = "must have room for the balance tube in the straight of the runs beside it"
        raise broken(rule, got, "give that run more straight tube").named("system")
    places = dict.fromkeys(
        [
            *np.linspace(-ahead, 0.0, PLACES // 2 + 1).round(3).tolist(),
            *np.linspace(0.0, behind, PLACES // 2 + 1).round(3).tolist(),
        ]
    )
    return [Crossover(None), *(Crossover(joint, x) for joint in joints for x in places)]


def _ahead(straight: System) -> float:
    """Return how far from the collector the pipes of a `straight` system cross [m]."""
    place = straight.joint_at
    ends = [line for line in straight.graph.lines if line.end == f"{place} 1"]
    reached, line = 0.0, ends[0]
    while True:
        reached += straight.runs[line.run].length
        before = straight.graph.into(line.start)
        if len(before) != 1:
            return reached
        (line,) = before


def _at(one: CrossoverInPulses, distance: float) -> BalanceTubeInPulses:
    """Return a balance tube, or none, with its place from the collector [m]."""
    tube = one.joint.balance_tube if isinstance(one.joint, HPipe) else None
    told = attrs.asdict(one, recurse=False)
    if tube is not None:
        told["name"] = f"H, {tube.name} at {quantity(distance, 'cut')}"
    return BalanceTubeInPulses(**told, tube=tube, distance=distance)


def _alike(options: Sequence[BalanceTubeInPulses]) -> list[BalanceTubeInPulses]:
    """Return those that leave the least half orders and cost no power worth having."""
    free = [one for one in options if one.verdict.word != "worse"] or list(options)
    least = min(one.half_orders.middle for one in free)
    return [one for one in free if one.half_orders.middle <= least + FLAT]


def _least_work(alike: Sequence[BalanceTubeInPulses], middle: float) -> BalanceTubeInPulses:
    """Return the smallest tube, nearest to where the system crosses now."""

    def work(one: BalanceTubeInPulses) -> tuple[float, float]:
        assert one.tube is not None
        return one.tube.flow_area, abs(one.distance - middle)

    return min(alike, key=work)
