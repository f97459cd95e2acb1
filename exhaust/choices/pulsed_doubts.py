"""How sure a difference between simulated designs is."""

from __future__ import annotations

from functools import cache

import numpy as np

from exhaust.bands import Band, Verdict, draw, verdict
from exhaust.choices.steady import band_about
from exhaust.choices.waves import FloatArray

EITHER_WAY = Band(-1.0, 0.0, 1.0)
DOUBTED = ("inputs", "junction", "speeds")
QUANTILE = 1.6448536269514722  # of the normal distribution at a band's end


def sampled(gain: FloatArray, steady: Band, share: float = 1.0) -> FloatArray:
    """Return samples of a gain that was simulated at some speeds, mean over them (samples,).

    `gain` [models, speeds], the model in use first. Three doubts, each on its own: what the
    inputs do, as wide as in the band of the `steady` gain, or a `share` of it; how far the other
    junction model is off, either way; and what other speeds in the range would have said, the
    standard error of the mean.

    >>> none = sampled(np.zeros((2, 3)), Band(0.0, 0.0, 0.0))
    >>> float(np.ptp(none)), len(none)
    (0.0, 256)
    """
    by_speed, other = gain
    inputs, junction, speeds = _deviates()
    low, high = steady.middle - steady.low, steady.high - steady.middle
    error = QUANTILE * np.std(by_speed, ddof=1) / np.sqrt(len(by_speed))
    return np.asarray(
        by_speed.mean()
        + share * inputs * np.where(inputs < 0, low, high)
        + junction * (other.mean() - by_speed.mean())
        + speeds * error
    )


def judged(middle: float, samples: FloatArray, worth_having: float) -> Verdict:
    """Return what can be said of a gain, its band about the `middle` that was simulated.

    >>> judged(0.02, np.linspace(0.01, 0.04), 0.01).difference.middle
    0.02
    """
    word, _ = verdict(samples, worth_having)
    return Verdict(word, band_about(np.array([middle]), samples))


@cache
def _deviates() -> tuple[FloatArray, ...]:
    """Return one draw for all designs, so that what they share cancels in their difference."""
    drawn = draw(dict.fromkeys(DOUBTED, EITHER_WAY))
    return tuple(drawn[name] for name in DOUBTED)
