"""What leaves the open ends, by engine order and as a sound: option against option."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from exhaust.bands import Band, Verdict, verdict
from exhaust.choices.orders import (
    decibels,
    ear_weight,
    frequencies,
    order_amplitudes,
    sent,
)
from exhaust.choices.simulation import Simulation
from exhaust.choices.sound import Heard, SoundComparison
from exhaust.choices.waves import FloatArray
from exhaust.describe import require
from exhaust.errors import broken, typed

# A wave is followed well where it is this many cells long.
CELLS_PER_WAVE = 20
WORTH_HEARING = 3.0  # [dB]; less is hardly noticed on a drive: common practice, no source
BETWEEN = 101  # samples between outlets heard as one and each by itself


def compare_sound(options: Mapping[str, Simulation]) -> SoundComparison:
    """Return how simulated `options` differ in sound, by name; what would be built anyway first.

    By engine order, and as the ear weighs them: at their open ends, against each other alone.
    Where an option has several ends it lies between two bounds: the ends heard as one, where
    opposite pulses cancel, and each by itself. Raises `ExhaustError` where the options do not
    turn at one speed.

    >>> from exhaust import Engine, OperatingPoint, Pulses, Run, System, Tube, simulate
    >>> tubes = [Tube(od=od, wall="16 ga") for od in ("2 in", "2.5 in")]
    >>> engine = Engine(displacement="2 L", cylinders=4, firing_order=(1, 3, 4, 2))
    >>> duty = OperatingPoint(speed="4000 rpm", volumetric_efficiency=0.9)
    >>> pipes = {tube.name: System(runs=[Run(name="all", tube=tube, length="3 m")])
    ...          for tube in tubes}
    >>> options = {name: simulate(engine, pipe, duty, pulses=Pulses(cell="40 mm"))
    ...            for name, pipe in pipes.items()}
    >>> compare_sound(options).options[1].loudest_order
    2.0
    """
    _check(options)
    names = list(options)
    first = options[names[0]]
    speed = first.flow.duty.speed
    count = 1 + int(min(_finest(one) for one in options.values()) // frequencies(2, speed)[1])
    spectra = {name: _spectrum(one, count, speed) for name, one in options.items()}
    hertz = frequencies(count, speed)
    reference = float(max(spectra[names[0]].apart))
    totals = {name: one.weighted(hertz) for name, one in spectra.items()}
    heard = []
    for name, one in spectra.items():
        quieter = sorted(decibels(totals[names[0]] / totals[name]).tolist())
        heard.append(
            Heard(
                name=name,
                together=tuple(decibels(one.together / reference).tolist()),
                apart=tuple(decibels(one.apart / reference).tolist()),
                quieter=_between(*quieter),
                ends=one.ends,
            )
        )
    return SoundComparison(
        simulations=dict(options),
        orders=tuple((0.5 * np.arange(count)).tolist()),
        frequencies=tuple(hertz.tolist()),
        options=tuple(heard),
        worth_hearing=WORTH_HEARING,
    )


class _Spectrum(NamedTuple):
    """Power of each order, of all ends heard as one and of each by itself, summed."""

    ends: np.ndarray  # complex orders of what each end sends [ends, orders]
    together: FloatArray
    apart: FloatArray

    def weighted(self, hertz: FloatArray) -> FloatArray:
        """Return both powers as the ear weighs them (2,)."""
        weight = ear_weight(hertz) ** 2
        return np.array([np.sum(weight * power) for power in (self.together, self.apart)])


def _spectrum(one: Simulation, count: int, speed: float) -> _Spectrum:
    flows = [order_amplitudes(wave.mass_flow)[:count] for wave in one.of("outlet")]
    ends = np.array([sent(flow, speed) for flow in flows])
    return _Spectrum(
        ends=ends,
        together=np.abs(ends.sum(axis=0)) ** 2,
        apart=np.sum(np.abs(ends) ** 2, axis=0),
    )


def _finest(one: Simulation) -> float:
    """Return the frequency up to which the cells of a simulation follow waves [Hz]."""
    slowest = min(
        float(np.sqrt(one.flow.gas.gamma(w.temperature.mean()) * w.gas.gas_constant
                      * w.temperature.min()))
        for w in one.of("outlet")
    )  # fmt: skip
    return slowest / (CELLS_PER_WAVE * float(one.pulses.cell))


def _between(low: float, high: float) -> Verdict:
    """Return what can be said of a gain that lies anywhere between two bounds [dB]."""
    word, _ = verdict(np.linspace(low, high, BETWEEN), WORTH_HEARING)
    return Verdict(word, Band(low, (low + high) / 2, high))


def _check(options: object) -> None:
    if not isinstance(options, Mapping):
        remedy = 'for example {"X": simulate(…), "H": simulate(…)}'
        raise broken("must be simulations by name", typed(options), remedy).named("options")
    for name, one in options.items():
        require(one, Simulation, "one of options")
        if not isinstance(name, str) or not name.strip():
            raise broken("must have names", typed(name)).named("options")
    if len(options) < 2:
        raise broken("must be two or more", len(options), "sound is compared").named("options")
    speeds = {one.flow.duty.speed for one in options.values()}
    if len(speeds) > 1:
        rule = "must turn at one speed"
        raise broken(rule, f"{len(speeds)} speeds", "simulate all at one").named("options")
