"""Merges simulated over a range of speeds: what the joint does, and what the pipe after it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import partial
from typing import NamedTuple

import numpy as np

from exhaust.bands import Band
from exhaust.choices.choosing import smallest_good_enough
from exhaust.choices.doubts import breathing, doubts
from exhaust.choices.merged import LEGS, merge_name
from exhaust.choices.merges import MergeComparison
from exhaust.choices.pulsed_doubts import judged, sampled
from exhaust.choices.pulsed_merges import Parted, PulsedMerge, PulsedMergeComparison, PulsedPoint
from exhaust.choices.pulses import CONSTANT_PRESSURE, MOMENTUM, Pulses
from exhaust.choices.simulating import simulate
from exhaust.choices.speeds import RPM, duties_at, given_speeds
from exhaust.choices.steady import merge_flow
from exhaust.choices.stepped import stepped
from exhaust.choices.sweeping import swept
from exhaust.choices.waves import FloatArray
from exhaust.describe import require
from exhaust.engine import OperatingPoint
from exhaust.engine.flow import ExhaustFlow, exhaust_flow
from exhaust.errors import ExhaustError, broken
from exhaust.flow.cost import power_cost
from exhaust.stock import Tube
from exhaust.system import System
from exhaust.units import SI

USUAL = Pulses()
SHARES = (0.5, 0.6, 0.7, 0.8, 0.9, 1.0)  # of the duty's speed
ROUND = 50 * RPM  # what the usual speeds are rounded to
FEWEST_SPEEDS = 3


def compare_merges_in_pulses(
    steady: MergeComparison, speeds: Iterable[str] | None = None, pulses: Pulses = USUAL
) -> PulsedMergeComparison:
    """Return the merges of a `steady` comparison again, simulated over a range of `speeds`.

    Each outlet twice: as compared, and as a same-size joint that steps up a short way on, which
    parts what the joint does from what the pipe after it does. Both junction models; that of
    `pulses` gives the middle, and how far the other is off is part of the band. Three speeds at
    least, for waves favour one design at one speed and another at the next; six up to the duty's
    by default. Tens of simulations: a minute or so. Raises `ExhaustError` as `simulate` does.

    >>> from exhaust import Engine, Run, compare_merges
    >>> tube, large = (Tube(od=od, wall="16 ga") for od in ("2.5 in", "3 in"))
    >>> duals = System(runs=[Run(name=name, tube=tube, length="1 m") for name in "ab"], pipes=2)
    >>> engine = Engine(displacement="3 L", cylinders=6, firing_order=(1, 5, 3, 6, 2, 4),
    ...                 left_bank=(1, 2, 3))
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
    >>> steady = compare_merges(duals, engine, duty, outlets=[large])
    >>> answer = compare_merges_in_pulses(
    ...     steady, ["4000 rpm", "5000 rpm", "6000 rpm"], Pulses(cell="50 mm"))
    >>> len(answer.points), answer.options[0].gain.word
    (18, 'not worth deciding on')
    """
    require(steady, MergeComparison, "steady")
    require(pulses, Pulses, "pulses")
    if steady.system.pipes > LEGS:
        rule = f"merges two of {steady.system.pipes} pipes"
        raise broken(rule, None, "pulses need the whole engine in two pipes").named("steady")
    at = _speeds(steady.flow.duty, speeds)
    duties = duties_at(steady.flow, at)
    designs, not_stepped = _designs(steady)
    models = sorted((MOMENTUM, CONSTANT_PRESSURE), key=lambda model: model != pulses.junction)
    jobs = [
        _Job(design, system, duty, pulses.with_(junction=model, progress=False, executor=None))
        for design, system in designs.items()
        for model in models
        for duty in duties
    ]
    points = swept(partial(_simulated, steady.flow), jobs, pulses)
    costs = np.reshape([one.power_cost for one in points], (len(designs), len(models), len(at)))
    gains = dict(zip(designs, costs[0] - costs, strict=True))
    options = tuple(_options(steady, gains, _steady_gains(steady, duties)))
    samples = [sampled(gains[Design(one.outlet, False)], one.steady) for one in options]
    standing = smallest_good_enough(
        -np.stack(samples), [one.fits for one in options], steady.limits.worth_having
    )
    return PulsedMergeComparison(
        steady=steady,
        pulses=pulses,
        speeds=tuple(at),
        points=tuple(points),
        options=options,
        best=options[standing.best].outlet,
        choice=options[standing.chosen].outlet,
        against_best=standing.verdicts[standing.chosen],
        not_stepped=not_stepped,
    )


class Design(NamedTuple):
    """One way to build it: `stepped` is a same-size joint that steps up to `outlet` behind."""

    outlet: Tube
    stepped: bool


class _Job(NamedTuple):
    design: Design
    system: System
    duty: OperatingPoint
    pulses: Pulses


def _simulated(flow: ExhaustFlow, job: _Job) -> PulsedPoint:
    """Return what one simulation says, for the engine and air of a `flow`."""
    found = simulate(job.system, flow.engine, job.duty, flow.ambient, job.pulses)
    price = breathing(found.flow, doubts(found.flow, samples=1)[0])
    return PulsedPoint(
        outlet=job.design.outlet,
        stepped=job.design.stepped,
        junction=job.pulses.junction,
        speed=job.duty.speed,
        pumping_pressure=found.pumping_pressure,
        port_pressure=found.port_pressure,
        residual=found.residual,
        overlap=found.overlap or 0.0,
        power_cost=float(power_cost(found.pumping_pressure, price)[0]),
        outcome=found.outcome,
    )


def range_speeds(duty: OperatingPoint) -> list[float]:
    """Return six even engine speeds from half the duty's up to it [rad/s].

    >>> duty = OperatingPoint(speed="6200 rpm", volumetric_efficiency=0.9)
    >>> [speed.written() for speed in range_speeds(duty)]
    ['3100 rpm', '3700 rpm', '4350 rpm', '4950 rpm', '5600 rpm', '6200 rpm']
    """
    rounded = [ROUND * round(share * duty.speed / ROUND) for share in SHARES[:-1]]
    return [SI(speed, "speed", "rpm", RPM) for speed in (*rounded, duty.speed)]


def _speeds(duty: OperatingPoint, speeds: Iterable[str] | None) -> list[float]:
    found = given_speeds(speeds, range_speeds(duty))
    if len(found) < FEWEST_SPEEDS:
        rule = f"must be {FEWEST_SPEEDS} or more"
        remedy = "waves favour one design at one speed and another at the next"
        raise broken(rule, len(found), remedy).named("speeds")
    return found


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


def _steady_gains(steady: MergeComparison, duties: Sequence[OperatingPoint]) -> FloatArray:
    """Return what each outlet saves in steady flow, mean over the duties (outlets,)."""
    place, gains = merge_name(steady.system), []
    for duty in duties:
        flow = exhaust_flow(steady.flow.engine, duty, steady.flow.ambient)
        middle = doubts(flow, samples=1)[0]
        costs = merge_flow(steady.systems, place, flow, middle, "quick").power_cost[:, 0]
        gains.append(costs[0] - costs)
    return np.asarray(np.mean(gains, axis=0))


def _options(
    steady: MergeComparison, gains: Mapping[Design, FloatArray], in_steady: FloatArray
) -> Iterator[PulsedMerge]:
    """Yield each outlet with its gain, from those of all designs [models, speeds]."""
    worth = steady.limits.worth_having
    for one, mean in zip(steady.options, in_steady, strict=True):
        gain, step = (gains.get(Design(one.outlet, how)) for how in (False, True))
        assert gain is not None
        band = _about(float(mean), one.verdict.difference)
        yield PulsedMerge(
            outlet=one.outlet,
            gain=judged(gain[0].mean(), sampled(gain, band), worth),
            parted=None if step is None else _parted(gain, step, band, worth),
            by_speed=tuple(gain[0].tolist()),
            other_by_speed=tuple(gain[1].tolist()),
            steady=band,
            fits=one.fits,
        )


def _about(mean: float, at_duty: Band) -> Band:
    """Return the steady band of the duty as it is over the range, as wide in proportion."""
    scale = mean / at_duty.middle if at_duty.middle else 1.0
    return Band(*sorted(edge * scale for edge in at_duty))


def _parted(gain: FloatArray, step: FloatArray, steady: Band, worth: float) -> Parted:
    """Return what of a gain the joint brings and what the pipe, whose gain is that of the step."""
    parts = (gain - step, step)
    size = [abs(part[0].mean()) for part in parts]
    joint, pipe = (
        judged(part[0].mean(), sampled(part, steady, one / (sum(size) or 1.0)), worth)
        for part, one in zip(parts, size, strict=True)
    )
    return Parted(joint, pipe)
