"""Which value of one assumption meets readings best, all others as they are stated.

Least squares over the speeds, weighed by what the gauge and the other assumptions leave open:
chi^2 = (r - p)' C^-1 (r - p), C the covariance of p over samples of the others plus the gauge's.
The band of the value is where chi^2 lies within 2.71 of its least (90 % of one parameter). Values
are counted in half widths of the assumption's own band from its middle.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import attrs
import numpy as np

from exhaust.bands import DEVIATE, LOW, Band, at_halves
from exhaust.choices.at_port import AtSpeeds
from exhaust.choices.doubts import MERGES, RATIOS, Samples
from exhaust.choices.steady import FloatArray

FARTHEST = 6.0  # half widths that a value is looked for in; beyond, something else is wrong
STEPS = 49  # of the pressure over them; between, a curve without bumps
FINE = 1601
SAMPLES = 128  # of the others, around each value found
RISE = DEVIATE**2  # of chi^2, to either end of a band of 90 %
LEAST_SHARE = 0.005  # of the band of the prediction: what explains less is left out
COMMON = 0.5  # share of the gauge's variance that all readings have in common: its zero
# Where values end, whatever their band.
ENDS = {
    "gas_temperature": (400.0, 1400.0),  # [K]; no collector is hotter
    "roughness": (0.0, 5e-4),  # [m]; rusted steel is no rougher [white; from memory]
    "emissivity": (0.0, 1.0),
    "cooling_power": (0.0, 1.0),
}
IDLE = (*MERGES, "expansion_ratio")
UNITS = {"mass_flow": "kg/s", "gas_temperature": "K", "roughness": "m", "decay": "m"}  # else bare
SHAPE = ("slope", "bow")  # what else may bend the curve over speed


@attrs.frozen(kw_only=True)
class Move:
    """One assumption moved to meet the readings."""

    name: str
    stated: Band
    needed: Band  # the value that meets the readings best, and its band
    halves: Band  # the same in half widths of `stated` from its middle
    met: bool  # false: the best is the farthest that was looked at, and more would be better
    likelihood: float  # that readings stray so far from its nearest curve by chance
    pressures: FloatArray  # with it, at each speed [Pa]
    share: float  # of the band of the prediction that it explains

    @property
    def unit(self) -> str:
        """The SI unit of its values; nothing for a factor or a share."""
        return UNITS.get(self.name, "")

    @property
    def fits(self) -> bool:
        """Whether some value of it meets the readings, at every speed alike."""
        return self.met and self.likelihood >= LOW

    @property
    def in_range(self) -> bool:
        """Whether the value that meets them best is in the range that is stated."""
        return abs(self.halves.middle) <= 1.0

    @property
    def near_range(self) -> bool:
        """Whether the band of that value meets the range that is stated."""
        return self.halves.low <= 1.0 and self.halves.high >= -1.0


def gauge_covariance(accuracy: float, count: int) -> FloatArray:
    """Return the covariance of readings by a gauge that may be off by `accuracy` [Pa], [Pa^2].

    Half of its variance is its zero, which all readings have in common.

    >>> (gauge_covariance(1644.8536, 2) / 1e6).round(3).tolist()
    [[1.0, 0.5], [0.5, 1.0]]
    """
    own = (1 - COMMON) * np.eye(count) + COMMON
    return np.asarray((accuracy / DEVIATE) ** 2 * own)


def misfit(off: FloatArray, covariance: FloatArray) -> FloatArray:
    """Return chi^2 of what readings are `off` by (speeds, ...) [Pa], given their covariance.

    >>> misfit(np.array([[1.0], [2.0]]), np.diag([1.0, 4.0]))
    array([2.])
    """
    return np.asarray(np.einsum("i...,i...->...", off, np.linalg.solve(covariance, off)))


def by_chance(chi_squared: float, freedom: int) -> float:
    """Return how likely chi^2 is as large or larger by chance.

    >>> round(by_chance(3.841, 1), 3)
    0.05
    """
    from scipy.stats import chi2

    return float(chi2.sf(chi_squared, max(freedom, 1)))


def moves(at: AtSpeeds, read: Sequence[float], accuracy: float) -> tuple[Move, ...]:
    """Return every assumption that the pressures depend on, moved to meet those `read` [Pa].

    Those that explain most of the band of the prediction come first.
    """
    readings = np.asarray(read, float)
    gauge = gauge_covariance(accuracy, len(readings))
    everything = at.pressure(at.sampled())
    covariance = np.atleast_2d(np.cov(everything)) + gauge
    bias = everything.mean(axis=1) - at.pressure(at.middle())[:, 0]
    curves = _curves(at)
    shares = _shares(curves)
    asked = {
        name: one for name, one in curves.items() if shares[name] > LEAST_SHARE and name != "bow"
    }
    found = {name: curve.met(readings - bias, covariance) for name, curve in asked.items()}
    around = _around(at, {name: curves[name].value(fit.best) for name, fit in found.items()})
    made = []
    for name, curve in asked.items():
        samples, there = around[name], curve.at(found[name].best)
        others = np.atleast_2d(np.cov(samples)) + gauge
        fit = curve.met(readings - (samples.mean(axis=1) - there), others)
        alone = curve.met(readings, gauge + _bent(curves, curve, fit))
        likely = by_chance(alone.least, len(readings) - 1)
        made.append(_move(curve, at.bands[name], fit, likely, shares[name]))
    return tuple(sorted(made, key=lambda move: -move.share))


def _bent(curves: Mapping[str, _Curve], curve: _Curve, fit: _Fit) -> FloatArray:
    """Return the covariance of pressures for how the engine may fill at other speeds [Pa^2]."""
    larger = np.linalg.norm(curve.at(fit.best)) / np.linalg.norm(curve.at(0.0))
    found = np.zeros((len(curve.pressures), len(curve.pressures)))
    for name in SHAPE:
        if name != curve.name and name in curves:
            ends = curves[name].at(np.array([-1.0, 1.0]))
            one = larger * (ends[:, 1] - ends[:, 0]) / (2 * DEVIATE)
            found += np.outer(one, one)
    return found


def _move(curve: _Curve, stated: Band, fit: _Fit, likely: float, share: float) -> Move:
    ends = (fit.low, fit.best, fit.high)
    return Move(
        name=curve.name,
        stated=stated,
        needed=Band(*(float(curve.value(end)) for end in ends)),
        halves=Band(*ends),
        met=bool(curve.halves[0] < fit.best < curve.halves[-1]),
        likelihood=likely,
        pressures=curve.at(fit.best),
        share=share,
    )


class _Fit(NamedTuple):
    """Where chi^2 is least, and the ends of its band, in half widths."""

    low: float
    best: float
    high: float
    least: float  # chi^2 there


class _Curve(NamedTuple):
    """The pressure over one assumption, the others at their middle."""

    name: str
    band: Band
    halves: FloatArray  # (steps,)
    pressures: FloatArray  # (speeds, steps) [Pa]

    def value(self, halves: float | FloatArray) -> FloatArray:
        """Return the assumption's value."""
        return at_halves(self.band, halves, self.name in RATIOS, self.name)

    def at(self, halves: float | FloatArray) -> FloatArray:
        """Return the pressures, an array (speeds, ...)."""
        from scipy.interpolate import PchipInterpolator

        return np.asarray(PchipInterpolator(self.halves, self.pressures, axis=1)(halves))

    def met(self, readings: FloatArray, covariance: FloatArray) -> _Fit:
        """Return what meets `readings` best (speeds,) [Pa], given their covariance."""
        fine = np.linspace(self.halves[0], self.halves[-1], FINE)
        chi = misfit(readings[:, None] - self.at(fine), covariance)
        best = int(np.argmin(chi))
        inside = fine[chi <= chi[best] + RISE]
        return _Fit(float(inside[0]), float(fine[best]), float(inside[-1]), float(chi[best]))


def _curves(at: AtSpeeds) -> dict[str, _Curve]:
    """Return the curve of every assumption that matters, all marched at once."""
    names = [name for name, band in at.bands.items() if name not in IDLE and band.high > band.low]
    halves = np.stack([_looked_at(name, at.bands[name]) for name in names])
    values = at.middle()
    inputs = {name: np.tile(value, halves.size) for name, value in values.items()}
    for row, name in enumerate(names):
        place = slice(row * STEPS, (row + 1) * STEPS)
        inputs[name][place] = at_halves(at.bands[name], halves[row], name in RATIOS, name)
    pressures = at.pressure(inputs).reshape(len(at.flows), len(names), STEPS)
    curves = [
        _Curve(name, at.bands[name], halves[row], pressures[:, row])
        for row, name in enumerate(names)
    ]
    return {curve.name: curve for curve in curves}


def _looked_at(name: str, band: Band) -> FloatArray:
    """Return the half widths that a value is looked for in, within what it can be."""
    low, high = ENDS.get(name, (-np.inf, np.inf))
    all_of_it = np.linspace(-FARTHEST, FARTHEST, FINE)
    values = at_halves(band, all_of_it, name in RATIOS, name)
    can = all_of_it[(values >= low) & (values <= high)]
    return np.linspace(can[0], can[-1], STEPS)


def _around(at: AtSpeeds, values: Mapping[str, FloatArray]) -> dict[str, FloatArray]:
    """Return the pressures (speeds, samples) with each assumption at its value in turn."""
    drawn = at.sampled(SAMPLES)
    inputs: dict[str, Samples] = {name: np.tile(one, len(values)) for name, one in drawn.items()}
    for row, (name, value) in enumerate(values.items()):
        inputs[name][row * SAMPLES : (row + 1) * SAMPLES] = value
    pressures = at.pressure(inputs).reshape(len(at.flows), len(values), SAMPLES)
    return {name: pressures[:, row] for row, name in enumerate(values)}


def _shares(curves: Mapping[str, _Curve]) -> dict[str, float]:
    """Return the share of the band of the prediction that each assumption explains.

    The differences over their stated bands, squared and summed over the speeds.
    """
    squares = {}
    for name, one in curves.items():
        ends = one.at(np.clip([-1.0, 1.0], one.halves[0], one.halves[-1]))
        squares[name] = float(np.sum((ends[:, 1] - ends[:, 0]) ** 2))
    total = sum(squares.values())
    return {name: square / total for name, square in squares.items()}
