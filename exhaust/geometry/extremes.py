"""Where a function of an angle turns round, and what it comes to there."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

SAMPLES = 720  # clock positions between which a slope changes sign at most once
PARTS = 64  # into which each step divides what is left of a bracket
STEPS = 8  # from one sample to the next down to the last bit
FLAT = 4  # down to 1e-9 rad: of an extreme the square of that counts, and a kink is on a sample


def extremes(
    value: Callable[[Array], Array], rate: Callable[[Array], Array]
) -> tuple[float, float]:
    """Return the least and the greatest of a function of the clock angle, from its own slope.

    Its slope is halved down to nought, or to the jump at a kink, between samples.

    >>> low, high = extremes(np.cos, lambda clock: -np.sin(clock))
    >>> round(low, 12), round(high, 12)
    (-1.0, 1.0)
    """
    samples = np.linspace(-math.pi, math.pi, SAMPLES + 1)
    up = rate(samples) > 0.0
    at = np.flatnonzero(up[1:] != up[:-1])
    left, right = narrowed(samples[at], samples[at + 1], lambda clock: rate(clock) > 0.0, FLAT)
    found = value(np.concatenate([samples, left, right]))
    return float(found.min()), float(found.max())


def narrowed(
    left: Array,
    right: Array,
    beyond: Callable[[Array], npt.NDArray[np.bool_]],
    steps: int = STEPS,
) -> tuple[Array, Array]:
    """Return brackets [n] of angles narrowed to where `beyond` changes, by default to the last bit.

    `beyond` takes and returns [n, PARTS + 1]; at `right` it is not what it is at `left`.

    >>> low, high = narrowed(np.array([1.0]), np.array([2.0]), lambda c: np.sin(c) > 0.9)
    >>> round(float(low[0]), 12) == round(math.asin(0.9), 12)
    True
    """
    share, row = np.linspace(0.0, 1.0, PARTS + 1), np.arange(left.size)
    for _ in range(steps):
        inner = left[:, None] + (right - left)[:, None] * share
        state = beyond(inner)
        after = np.maximum(np.argmax(state != state[:, :1], axis=1), 1)
        left, right = inner[row, after - 1], inner[row, after]
    return left, right
