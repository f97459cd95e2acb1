"""X, H or none? Crossovers compared by their pulses, over engine speeds."""

from __future__ import annotations

from collections.abc import Iterable

import attrs

from exhaust.bands import Verdict
from exhaust.choices.choosing import smallest_good_enough
from exhaust.choices.crossed import CrossoverInPulses, crossed
from exhaust.choices.crossover_reasons import crossover_assumptions, crossover_reason
from exhaust.choices.crossover_systems import (
    Crossover,
    crossing_place,
    usual_crossovers,
)
from exhaust.choices.pulse_cases import FLAT
from exhaust.choices.pulses import Pulses
from exhaust.choices.simulating import pulsing_flow
from exhaust.describe import require
from exhaust.engine import Ambient, Engine, OperatingPoint
from exhaust.engine.flow import ExhaustFlow
from exhaust.errors import broken
from exhaust.joints import Joint
from exhaust.show import Column, Fact, Result, Table
from exhaust.system import System

STANDARD_AIR = Ambient()
COMPARING = Pulses(cell="20 mm")  # finer cells change differences by less than the models do


@attrs.frozen(kw_only=True, repr=False)
class CrossoverComparison(Result):
    """Crossovers in one place of one system, none first, then as they were given.

    `best` gains most power in the middle of the draws; `choice` is the first that is not worse
    than it by a difference worth having; `evenest` gains most power of those that leave the least
    half orders at the tips, within what can be heard, or is no crossover if that does.
    `refused` could not be built, with the reason.
    """

    system: System
    flow: ExhaustFlow
    pulses: Pulses
    speeds: tuple[float, ...]  # [rad/s]
    options: tuple[CrossoverInPulses, ...]
    refused: tuple[tuple[str, str], ...]
    best: str
    choice: str
    evenest: str
    against_best: Verdict  # of the choice
    simulations: int
    unsettled: int  # of those, whose cycle did not repeat

    title = "Crossovers"

    def option(self, name: str) -> CrossoverInPulses:
        """Return the option of a name."""
        return next(one for one in self.options if one.name == name)

    @property
    def reason(self) -> str:  # type: ignore[override]
        """The verdict in two sentences, and what could not be built."""
        return " ".join(crossover_reason(self))

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What was assumed, the gas temperature first."""
        return (*self.flow.assumptions, *crossover_assumptions(self))

    def facts(self) -> list[Fact]:
        """Return the headline lines."""
        chosen, evenest, best = (
            self.option(name) for name in (self.choice, self.evenest, self.best)
        )
        note = "of the pulsation at the tips"
        return [
            Fact("build for power", chosen.name),
            Fact("build for an even note", evenest.name),
            Fact("power gained at best", best.gain.middle, "percent", best.name),
            Fact("power gained at best, low", best.gain.low, "percent"),
            Fact("power gained at best, high", best.gain.high, "percent"),
            Fact("half orders without", self.options[0].half_orders.middle, "percent", note),
            Fact("half orders at the least", evenest.half_orders.middle, "percent", note),
            Fact("half orders at the least, low", evenest.half_orders.low, "percent"),
            Fact("half orders at the least, high", evenest.half_orders.high, "percent"),
        ]

    def rows(self) -> Table:
        """Return the crossovers as they were given, the one to build marked."""
        columns = (
            Column("crossover", "crossover"),
            Column("gain", "power gained", "percent"),
            Column("gain_low", "low", "percent"),
            Column("gain_high", "high", "percent"),
            Column("gain_momentum", "by momentum", "percent"),
            Column("gain_one_pressure", "by one pressure", "percent"),
            Column("pumping_pressure_gauge", "pumping pressure", "pressure"),
            Column("half_orders", "half orders", "percent"),
            Column("difference", "between the sides", "pressure"),
            Column("across", "fastest across", "velocity"),
            Column("verdict", "against none"),
        )
        rows = tuple(
            (
                one.name,
                *(one.gain.middle, one.gain.low, one.gain.high),
                *one.gain_by_model,
                one.pumping_pressure,
                one.half_orders.middle,
                one.difference,
                one.across if one.across else "–",
                one.verdict.word if n else "–",
            )
            for n, one in enumerate(self.options)
        )
        chosen = [one.name for one in self.options].index(self.choice)
        return Table(columns, rows, marked=chosen)


def compare_crossovers(
    system: System,
    engine: Engine,
    duty: OperatingPoint,
    ambient: Ambient = STANDARD_AIR,
    joints: Iterable[Joint | None] | None = None,
    pulses: Pulses = COMPARING,
) -> CrossoverComparison:
    """Return crossovers in the place of the system's own, by their pulses, and what to build.

    `joints` default to none, an H in several tubes and places, and an X at several cutbacks, the
    system's own or a usual one; straight pipes are always the first. All have the same lengths and
    engine. Each is simulated at several engine speeds and ranked by their mean, never by one, with
    both junction models and the same draws of what is not known well. Raises `ExhaustError` where
    the system has no place for a crossover. About a minute on two cores.

    >>> from exhaust import HPipe, Run, Tube
    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> runs = [Run(name=name, tube=tube, length="1 m") for name in ("head", "tail")]
    >>> engine = Engine(displacement="5 L", cylinders=8, left_bank=(1, 3, 5, 7),
    ...                 firing_order=(1, 8, 4, 3, 6, 5, 7, 2))
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
    >>> quick = Pulses(cell="50 mm", speeds=["3000 rpm"], samples=2)
    >>> answer = compare_crossovers(System(runs=runs, pipes=2), engine, duty,
    ...                             joints=[HPipe(tube, spacing="8 in")], pulses=quick)
    >>> [one.name for one in answer.options], answer.evenest
    (['no crossover', 'H, 2.5 in x 16 ga'], 'H, 2.5 in x 16 ga')
    """
    require(pulses, Pulses, "pulses")
    crossing_place(require(system, System, "system"))
    flow = pulsing_flow(engine, duty, ambient)
    found = crossed(system, _tried(system, joints), flow, pulses)
    options, over = found.options, found.over
    standing = smallest_good_enough(-over.gain(0), [True] * len(options), pulses.worth_having)
    return CrossoverComparison(
        system=system,
        flow=flow,
        pulses=pulses,
        speeds=over.speeds,
        options=options,
        refused=found.refused,
        best=options[standing.best].name,
        choice=options[standing.chosen].name,
        evenest=_evenest(options).name,
        against_best=standing.verdicts[standing.chosen],
        simulations=over.simulations,
        unsettled=over.unsettled,
    )


def _evenest(options: Iterable[CrossoverInPulses]) -> CrossoverInPulses:
    """Return what gains most of those whose half orders sound like the least; none if it does."""
    none, *others = options
    least = min(one.half_orders.middle for one in (none, *others))
    alike = [one for one in (none, *others) if one.half_orders.middle <= least + FLAT]
    return none if none in alike else max(alike, key=lambda one: one.gain.middle)


def _tried(system: System, joints: object) -> list[Crossover]:
    """Return straight pipes and then the crossovers to try, each once."""
    if joints is None:
        return list(usual_crossovers(system))
    remedy = "None stands for straight pipes"
    if isinstance(joints, (str, bytes)) or not isinstance(joints, Iterable):
        got = repr(joints) if isinstance(joints, str) else type(joints).__name__
        raise broken("must be a list of joints", got, remedy).named("joints")
    found = [Crossover(None)]
    for joint in joints:
        if joint is not None and not isinstance(joint, Joint):
            got = f"one {joint!r}" if isinstance(joint, str) else f"one {type(joint).__name__}"
            raise broken("must be a list of joints", got, remedy).named("joints")
        if Crossover(joint) not in found:
            found.append(Crossover(joint))
    if len(found) == 1:
        raise broken("has no crossover in it", None, "give at least one").named("joints")
    return found
