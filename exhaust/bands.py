"""How sure a number is: its band, and what a difference smaller than its band means.

One room for uncertainty. Inputs that are not known well are sampled once, by name, and every
alternative is computed from the same samples: what they share cancels in their difference.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from exhaust.errors import broken

SAMPLES = 256  # a power of two, as Sobol sequences want
SEED = 20
LOW, HIGH = 0.05, 0.95  # what a band's ends are: quantiles
DEVIATE = 1.6448536269514722  # of the normal distribution at HIGH


class Band(NamedTuple):
    """A number with the range it is expected to lie in (the middle 90 % of samples)."""

    low: float
    middle: float
    high: float


def band_of(values: ArrayLike) -> Band:
    """Return the band of samples: their 5 %, 50 % and 95 % quantiles.

    >>> band_of(np.arange(101.0))
    Band(low=5.0, middle=50.0, high=95.0)
    """
    samples = np.asarray(values, float).ravel()
    if samples.size == 0 or not np.all(np.isfinite(samples)):
        raise broken("must be finite samples, at least one").named("values")
    low, middle, high = np.quantile(samples, (LOW, 0.5, HIGH))
    return Band(float(low), float(middle), float(high))


def draw(
    inputs: Mapping[str, Band],
    ratios: Collection[str] = (),
    samples: int = SAMPLES,
    seed: int = SEED,
) -> dict[str, NDArray[np.float64]]:
    """Return joint samples of independent `inputs`, each an array of one length.

    Quasi-random (scrambled Sobol), the same on every machine for one `seed`. Each input keeps its
    band: the 5 %, 50 % and 95 % quantiles are its low, middle and high, normal on either side of
    the middle. Those named in `ratios` are normal in their logarithm and stay above zero.

    `samples` is rounded up to a power of two.

    >>> drawn = draw({"speed": Band(90.0, 100.0, 120.0)})
    >>> len(drawn["speed"]), round(float(np.median(drawn["speed"])))
    (256, 100)
    """
    from scipy.special import ndtri
    from scipy.stats import qmc

    if not inputs:
        return {}
    power = max(int(np.ceil(np.log2(samples))), 0)
    grid = qmc.Sobol(len(inputs), rng=seed).random_base2(power)
    normal = ndtri(grid + 2.0**-31) / DEVIATE  # off zero; one is a band's half width
    return {
        name: at_halves(band, normal[:, column], name in ratios, name)
        for column, (name, band) in enumerate(inputs.items())
    }


def at_halves(
    band: Band, halves: ArrayLike, in_ratio: bool = False, name: str = "band"
) -> NDArray[np.float64]:
    """Return the values that lie so many half widths of `band` from its middle.

    One is its high end, minus one its low end; by equal steps, or `in_ratio` by equal factors.

    >>> at_halves(Band(90.0, 100.0, 120.0), [-1, 0, 1, 2]).tolist()
    [90.0, 100.0, 120.0, 140.0]
    >>> at_halves(Band(0.5, 1.0, 2.0), [-2, 3], in_ratio=True).tolist()
    [0.25, 8.0]
    """
    far = np.asarray(halves, float)
    if not (np.all(np.isfinite(band)) and band.low <= band.middle <= band.high):
        raise broken("must run from low through middle to high", f"{band}").named(name)
    if not in_ratio:
        width = np.where(far < 0, band.middle - band.low, band.high - band.middle)
        return np.asarray(band.middle + far * width)
    if band.low <= 0:
        raise broken("must be more than zero to vary by a ratio", f"{band.low:g}").named(name)
    factor = np.where(far < 0, band.middle / band.low, band.high / band.middle)
    return np.asarray(band.middle * factor**far)


def contributions(inputs: Mapping[str, NDArray[np.float64]], answer: ArrayLike) -> dict[str, float]:
    """Return the share of the spread of an `answer` that each sampled input explains by itself.

    The square of their rank correlation (Spearman's): inputs that do not depend on each other
    and answers that rise or fall with them make the shares add up to one, nearly.

    `inputs` by name, arrays (samples,), `answer` (samples,). Largest first.

    >>> drawn = draw({"large": Band(-2.0, 0.0, 2.0), "small": Band(-1.0, 0.0, 1.0)})
    >>> {name: round(share, 1) for name, share in contributions(drawn, sum(drawn.values())).items()}
    {'large': 0.8, 'small': 0.2}
    """
    from scipy.stats import rankdata

    ranks = rankdata(np.asarray(answer, float))
    found = {}
    for name, values in inputs.items():
        varied = np.ptp(values) > 0 and np.ptp(ranks) > 0
        found[name] = float(np.corrcoef(rankdata(values), ranks)[0, 1] ** 2) if varied else 0.0
    return dict(sorted(found.items(), key=lambda item: -item[1]))


Word = Literal["better", "worse", "cannot tell", "not worth deciding on"]


class Verdict(NamedTuple):
    """What a sampled difference allows to be said."""

    word: Word
    difference: Band


def verdict(gain: ArrayLike, worth_having: float) -> Verdict:
    """Return what can be said of a `gain` sampled jointly: one minus the other, more is better.

    "better" (or "worse"): its band excludes zero and its middle is worth having. "not worth
    deciding on": its whole band is smaller than that. Otherwise "cannot tell".

    `gain` [any unit], `worth_having` in the same unit, not less than zero.

    >>> verdict(np.linspace(0.02, 0.04), worth_having=0.01).word
    'better'
    >>> verdict(np.linspace(-0.02, 0.04), worth_having=0.01).word
    'cannot tell'
    >>> verdict(np.linspace(0.002, 0.004), worth_having=0.01).word
    'not worth deciding on'
    """
    if not worth_having >= 0:
        raise broken("must not be less than zero", f"{worth_having:g}").named("worth_having")
    band = band_of(gain)
    return Verdict(_word(band, worth_having), band)


def _word(band: Band, worth_having: float) -> Word:
    if band.low > 0 and band.middle > worth_having:
        return "better"
    if band.high < 0 and band.middle < -worth_having:
        return "worse"
    if -worth_having <= band.low and band.high <= worth_having:
        return "not worth deciding on"
    return "cannot tell"
