"""How a size is chosen: the smallest that is not worse than the best by what is worth having."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from exhaust import show
from exhaust.bands import Band, Verdict, Word, verdict


class Standing(NamedTuple):
    """Where each option stands: indices of the best and the chosen, verdicts against the best."""

    best: int
    chosen: int
    verdicts: tuple[Verdict, ...]


def smallest_good_enough(
    costs: NDArray[np.float64], fits: Sequence[bool], worth_having: float
) -> Standing:
    """Return where options stand that are given small to large, at least one of which fits.

    The best costs least in the middle of its samples. The chosen one is the smallest that is not
    "worse" than it, sample against sample; "cannot tell" and "not worth deciding on" go to the
    smaller, which is lighter.

    `costs` (options, samples) [any unit], `worth_having` in the same unit.

    >>> costs = np.array([[0.05, 0.06], [0.021, 0.022], [0.02, 0.021]])
    >>> smallest_good_enough(costs, [True, True, True], 0.01)[:2]
    (2, 1)
    """
    middles = np.where(fits, np.median(costs, axis=-1), np.inf)
    best = int(np.argmin(middles))
    verdicts = tuple(verdict(costs[best] - cost, worth_having) for cost in costs)
    good = [i for i, one in enumerate(verdicts) if fits[i] and one.word != "worse"]
    return Standing(best, min(good), verdicts)


def why_this(is_best: bool, against_best: Word, best: str = "") -> str:
    """Return why the smallest good enough is bought, to end a sentence; `best` if it is the best.

    >>> why_this(False, "cannot tell")
    ': where it cannot be told, the smaller and lighter'
    """
    if is_best:
        return best
    if against_best == "cannot tell":
        return ": where it cannot be told, the smaller and lighter"
    return ": the smallest that gives up nothing worth having"


def percent(value: float) -> str:
    """Return a share as text.

    >>> percent(0.0214)
    '2.1 %'
    """
    return show.quantity(value, "percent")


def percent_band(band: Band) -> str:
    """Return a share with its band as text.

    >>> percent_band(Band(0.01, 0.02, 0.04))
    '2.0 % (1.0 to 4.0 %)'
    """
    return f"{percent(band.middle)} ({show.spread(band.low, band.high, 'percent')})"


def turned(gain: Band) -> Band:
    """Return a gain seen from the other side: what the other costs more.

    >>> turned(Band(-0.03, -0.02, -0.01))
    Band(low=0.01, middle=0.02, high=0.03)
    """
    return Band(-gain.high, -gain.middle, -gain.low)
