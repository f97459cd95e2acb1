"""Merges simulated over a range of speeds: what the joint does, and what the pipe after it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from exhaust.choices.choosing import smallest_good_enough
from exhaust.choices.doubts import doubts
from exhaust.choices.merged import LEGS, merge_name
from exhaust.choices.merges import MergeComparison
from exhaust.choices.pulse_cases import FloatArray, judged_gain, over_designs
from exhaust.choices.pulsed_merges import Parted, PulsedMerge, PulsedMergeComparison
from exhaust.choices.pulses import Pulses
from exhaust.choices.simulating import pulsing_flow
from exhaust.choices.steady import merge_flow
from exhaust.choices.stepped import stepped
from exhaust.describe import require
from exhaust.engine.flow import ExhaustFlow
from exhaust.errors import ExhaustError, broken
from exhaust.stock import Tube
from exhaust.system import System

COMPARING = Pulses(cell="20 mm")  # finer cells change differences by less than the models do
FEWEST_SPEEDS = 3


def compare_merges_in_pulses(
    steady: MergeComparison, pulses: Pulses = COMPARING
) -> PulsedMergeComparison:
    """Return the merges of a `steady` comparison again, simulated over a range of speeds.

    Each outlet twice: as compared, and as a same-size joint that steps up a short way on, which
    parts what the joint does from what the pipe after it does. Both junction models and the same
    draws of what is not known well. Three speeds at least, for waves favour one design at one
    speed and another at the next. The threshold is that of the steady comparison. A minute or two
    on two cores. Raises `ExhaustError` as `simulate` does.

    >>> from exhaust import Engine, OperatingPoint, Run, compare_merges
    >>> tube, large = (Tube(od=od, wall="16 ga") for od in ("2.5 in", "3 in"))
    >>> duals = System(runs=[Run(name=name, tube=tube, length="1 m") for name in "ab"], pipes=2)
    >>> engine = Engine(displacement="3 L", cylinders=6, firing_order=(1, 5, 3, 6, 2, 4),
    ...                 left_bank=(1, 2, 3))
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
    >>> steady = compare_merges(duals, engine, duty, outlets=[large])
    >>> quick = Pulses(cell="50 mm", speeds=["4000 rpm", "5000 rpm", "6000 rpm"], samples=2)
    >>> answer = compare_merges_in_pulses(steady, quick)
    >>> answer.simulations, answer.options[0].gain.word
    (36, 'not worth deciding on')
    """
    require(steady, MergeComparison, "steady")
    _check(steady, require(pulses, Pulses, "pulses"))
    flow = pulsing_flow(steady.flow.engine, steady.flow.duty, steady.flow.ambient)
    designs, not_stepped = _designs(steady)
    places = [merge_name(steady.system)] * len(designs)
    over = over_designs(list(designs.values()), places, flow, pulses)
    gains = dict(zip(designs, over.gain(0), strict=True))
    in_steady = _steady_gains(steady, over.flows)
    options = tuple(_options(steady, gains, over.gain_at(0), in_steady))
    standing = smallest_good_enough(
        -np.stack([gains[Design(one.outlet, False)] for one in options]),
        [one.fits for one in options],
        steady.limits.worth_having,
    )
    return PulsedMergeComparison(
        steady=steady,
        pulses=pulses,
        speeds=over.speeds,
        options=options,
        best=options[standing.best].outlet,
        choice=options[standing.chosen].outlet,
        against_best=standing.verdicts[standing.chosen],
        not_stepped=not_stepped,
        simulations=over.simulations,
        unsettled=over.unsettled,
    )


class Design(NamedTuple):
    """One way to build it: `stepped` is a same-size joint that steps up to `outlet` behind."""

    outlet: Tube
    stepped: bool


def _check(steady: MergeComparison, pulses: Pulses) -> None:
    """Refuse what cannot be compared in pulses."""
    if steady.system.pipes > LEGS:
        rule = f"merges two of {steady.system.pipes} pipes"
        raise broken(rule, None, "pulses need the whole engine in two pipes").named("steady")
    if 0 < len(pulses.speeds) < FEWEST_SPEEDS:
        rule = f"must be {FEWEST_SPEEDS} or more"
        remedy = "waves favour one design at one speed and another at the next"
        raise broken(rule, len(pulses.speeds), remedy).named("speeds of pulses")
    worth = steady.limits.worth_having
    if pulses.worth_having not in (COMPARING.worth_having, worth):
        rule = f"must be that of the steady comparison, {worth:g}"
        raise broken(rule, f"{pulses.worth_having:g}").named("worth_having of pulses")


def _designs(steady: MergeComparison) -> tuple[dict[Design, System], str | None]:
    """Return each outlet as compared, then as a step behind a same-size joint where that can be.

    And why one cannot, if one cannot.
    """
    place = merge_name(steady.system)
    outlets = [one.outlet for one in steady.options]
    found = {
        Design(outlet, False): system
        for outlet, system in zip(outlets, steady.systems, strict=True)
    }
    why = None
    for outlet in outlets[1:]:
        try:
            found[Design(outlet, True)] = stepped(steady.systems[0], place, outlet)
        except ExhaustError as error:
            why = why or str(error)
    return found, why


def _steady_gains(steady: MergeComparison, flows: Sequence[ExhaustFlow]) -> list[float]:
    """Return what each outlet saves in steady flow, mean over the speeds."""
    place, gains = merge_name(steady.system), []
    for flow in flows:
        middle = doubts(flow, samples=1)[0]
        costs = merge_flow(steady.systems, place, flow, middle, "quick").power_cost[:, 0]
        gains.append(costs[0] - costs)
    return [float(gain) for gain in np.mean(gains, axis=0)]


def _options(
    steady: MergeComparison,
    gains: dict[Design, FloatArray],
    at: FloatArray,
    in_steady: Sequence[float],
) -> Iterator[PulsedMerge]:
    """Yield each outlet with its gains (draws,), and those `at` each speed by either model."""
    worth = steady.limits.worth_having
    for n, one in enumerate(steady.options):
        gain, step = (gains.get(Design(one.outlet, how)) for how in (False, True))
        assert gain is not None
        parted = None
        if step is not None:
            parted = Parted(joint=judged_gain(gain - step, worth), pipe=judged_gain(step, worth))
        momentum, one_pressure = np.moveaxis(at[n], 1, 0)[:2].tolist()
        yield PulsedMerge(
            outlet=one.outlet,
            gain=judged_gain(gain, worth),
            parted=parted,
            by_speed=tuple(momentum),
            other_by_speed=tuple(one_pressure),
            steady=in_steady[n],
            fits=one.fits,
        )
