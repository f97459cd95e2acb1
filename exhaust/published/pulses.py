"""Ours beside published: waves of unsteady flow. The solver is compiled when first asked."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from types import MappingProxyType

import numpy as np

from exhaust.errors import ExhaustError
from exhaust.flow.friction import FloatArray

GAMMA = 1.4
SOUND, P0 = 343.2, 101325.0
PER_WAVE = 512  # cells to a wave
Half = tuple[float, float, float, float]


def _half(density: float, velocity: float, pressure: float) -> Half:
    """Return gas at a pipe's end: density, velocity out of the pipe, pressure, speed of sound."""
    return density, velocity, pressure, float(np.sqrt(GAMMA * pressure / density))


def _behind(side: str, pressure_behind: float, **gas: float) -> tuple[float, float]:
    """Return velocity and density behind the wave that runs into one side's gas."""
    from exhaust.pulse.waves import behind

    outward = 1.0 if side == "left" else -1.0
    half = _half(gas["density"], outward * gas["velocity"], gas["pressure"])
    velocity, density = behind(pressure_behind, half, GAMMA)
    return outward * float(velocity), float(density)


def met(junction: str, **gas: float) -> tuple[float, float, float]:
    """Return pressure where two pipes in line meet, and flux out of either: a Riemann problem.

    `junction` is "momentum" or "constant pressure"; raises ExhaustError if it does not settle.
    """
    from exhaust.pulse.junctions import MOST_TRIES, meet

    left = _half(gas["density"], gas["velocity"], gas["pressure"])
    right = _half(gas["right_density"], -gas["right_velocity"], gas["right_pressure"])
    axis = np.array([[-1.0, 0, 0], [1.0, 0, 0]]) if junction == "momentum" else np.zeros((0, 3))
    legs, place = np.zeros((2, 5)), (np.ones(2), axis)
    start = 0.5 * (left[2] + right[2])
    pressure, tries = meet(start, 0.75, place, np.array([left, right]), legs, (GAMMA, 1.0))
    if tries >= MOST_TRIES:
        raise ExhaustError(f"the junction did not settle in {tries} tries; its law is broken")
    return float(pressure), float(legs[0, 2]), float(legs[1, 2])


@lru_cache(maxsize=8)
def harmonics(frequency: float, swing: float, distance: float, row: int) -> FloatArray:
    """Return the first three harmonics at `distance` [m] from where p/P0 = 1 + swing sin(w t).

    Three periods are on their way to x = 0 at the start: each pressure lies as far back as it
    travels until it is due. The middle one is listened to; `row` 1 velocity, 2 pressure.
    """
    from exhaust.pulse.arrays import Gas, Run
    from exhaust.pulse.network import Fittings, cells_of, filled, network
    from exhaust.pulse.pipes import Pipe
    from exhaust.pulse.solver import COURANT, advance, trace_of

    wave, gas = SOUND / frequency, Gas(GAMMA, 287.0)
    start, width = 3.5 * wave, wave / PER_WAVE
    cells = round((start + distance + wave) / width)
    net = network(gas, [Pipe(width, np.full(cells + 1, 1e-3))], Fittings(closed=[0, 1]))
    x = (np.arange(cells) + 0.5) * width
    due = np.linspace(0.0, 3 / frequency, 30001)
    ratio = 1 + swing * np.sin(2 * np.pi * frequency * due)
    where = start - SOUND * (6 * ratio ** (1 / 7) - 5) * due
    if not np.all(np.diff(where) < 0):
        raise ExhaustError("the wave is steeper than one pressure to a place; ask for less swing")
    X = np.ones(cells + 2)
    X[1:-1] = np.interp(x, where[::-1], ratio[::-1], 1.0, 1.0) ** (1 / 7)
    still = SOUND**2 / (GAMMA * 287.0)
    filled_with = filled(net, P0 * X**7, still * X**2, 5 * SOUND * (X - 1))
    cell = int(np.searchsorted(x, start + distance))
    first = 1 / frequency + (x[cell] - start) / SOUND
    whole = np.linspace(first, first + 1 / frequency, 2001)
    trace = trace_of([cells_of(net, 0).start + cell], whole)
    advance(net, filled_with, Run(float(whole[-1]), COURANT, 0.0), trace)
    phase = np.exp(-2j * np.pi * frequency * np.arange(1, 4)[:, None] * whole)
    waves = np.trapezoid(phase * trace.values[:, 0, row], whole, axis=1)
    return np.asarray(np.abs(waves) * 2 * frequency)


def _weak(way_to_shock: float, harmonic: float) -> float:
    """Return a harmonic over 2 m/s of velocity at 500 Hz, so far on the way to the first shock."""
    speed, frequency = 2.0, 500.0
    swing = (1 + 0.2 * speed / SOUND) ** 7 - 1
    shock = SOUND**2 / (1.2 * 2 * np.pi * frequency * speed)
    found = harmonics(frequency, swing, way_to_shock * shock, 1)
    return float(found[int(harmonic) - 1]) / speed


def _strong(distance_m: float, harmonic: float) -> float:
    """Return a harmonic over 5 % of the pressure at 100 Hz."""
    return float(harmonics(100.0, 0.05, distance_m, 2)[int(harmonic) - 1]) / (0.05 * P0)


OURS: MappingProxyType[str, Callable[..., float]] = MappingProxyType(
    {
        "velocity behind a wave": lambda **at: _behind(**at)[0],
        "density behind a wave": lambda **at: _behind(**at)[1],
        "pressure where two pipes meet": lambda **at: met(**at)[0],
        "flux where two pipes meet": lambda **at: met(**at)[1],
        "harmonic of a weak sine": _weak,
        "harmonic of a strong sine": _strong,
    }
)
