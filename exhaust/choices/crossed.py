"""One system with each of several crossovers, simulated side by side over engine speeds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

import attrs

from exhaust.bands import Band, Verdict
from exhaust.choices.crossover_systems import Crossover, with_crossover
from exhaust.choices.pulse_cases import Over, about_first, judged_gain, over_designs
from exhaust.choices.pulses import Pulses
from exhaust.engine.flow import ExhaustFlow
from exhaust.errors import ExhaustError, broken
from exhaust.joints import Joint
from exhaust.system import System


@attrs.frozen(kw_only=True)
class CrossoverInPulses:
    """One crossover over the engine speeds; what is not a band is at the middle of the inputs."""

    name: str
    joint: Joint | None
    system: System
    gain: Band  # share of power over no crossover, mean of the speeds
    gain_by_model: tuple[float, float]  # momentum, one pressure
    gain_at: tuple[float, ...]  # at each speed
    pumping_pressure: float  # gauge, mean of the speeds [Pa]
    half_orders: Band  # share of the pulsation at the tips, mean of the speeds
    difference: float  # of pressure between the sides where they cross, root mean square [Pa]
    across: float  # fastest gas in a balance tube; nought of others [m/s]
    verdict: Verdict  # against no crossover


class Crossed(NamedTuple):
    """The `options`, none first, from the crossovers `tried`; why others were `refused`; `over`
    all that was simulated.
    """

    options: tuple[CrossoverInPulses, ...]
    tried: tuple[Crossover, ...]
    refused: tuple[tuple[str, str], ...]
    over: Over


def crossed(
    system: System, crossovers: Iterable[Crossover], flow: ExhaustFlow, pulses: Pulses
) -> Crossed:
    """Return a system simulated with each of `crossovers`, the first of which is none.

    Those that it cannot be built with are left out, with the reason. Raises `ExhaustError` where
    none is left.
    """
    tried, systems, refused = _built(system, crossovers)
    over = over_designs(systems, [one.joint_at for one in systems], flow, pulses)
    options = tuple(_options(tried, systems, over, pulses.worth_having))
    return Crossed(options, tuple(tried), tuple(refused), over)


def _built(
    system: System, crossovers: Iterable[Crossover]
) -> tuple[list[Crossover], list[System], list[tuple[str, str]]]:
    """Return the crossovers that the system can be built with, what it becomes, and the others."""
    tried, systems, refused = list[Crossover](), list[System](), list[tuple[str, str]]()
    for one in crossovers:
        try:
            systems.append(with_crossover(system, one))
            tried.append(one)
        except ExhaustError as error:
            if one.joint is None:
                raise
            refused.append((one.name, str(error)))
    if len(tried) == 1:
        rule = f"can be built with none of them: {refused[0][1]}"
        raise broken(rule).named("joints")
    return tried, systems, refused


def _options(
    tried: Sequence[Crossover], systems: Sequence[System], over: Over, worth: float
) -> Iterator[CrossoverInPulses]:
    """Yield each crossover with what its simulations say, no two by one name."""
    gains, gains_at, names = over.gain(0), over.gain_at(0), list[str]()
    for n, one in enumerate(tried):
        name = one.name
        while name in names:
            name += ", again"
        names.append(name)
        middle = {key: float(values[n, :, 0].mean()) for key, values in over.judged.items()}
        gain = judged_gain(gains[n], worth)
        momentum, one_pressure = gains[n, :2].tolist()
        yield CrossoverInPulses(
            name=name,
            joint=one.joint,
            system=systems[n],
            gain=gain.difference,
            gain_by_model=(momentum, one_pressure),
            gain_at=tuple(gains_at[n, :, 0].tolist()),
            pumping_pressure=middle["pumping"],
            half_orders=about_first(over.judged["half_orders"][n].mean(axis=0)),
            difference=middle["difference"],
            across=middle["across"],
            verdict=gain,
        )
