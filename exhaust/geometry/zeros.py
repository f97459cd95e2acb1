"""Where functions cross nought, to the last digits."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from exhaust.errors import broken

Array = npt.NDArray[np.float64]

STEPS = 100  # halving alone takes 53 from a bracket of its own size to the last bit
LAST = 4.0 * float(np.finfo(float).eps)  # of the place: width of a bracket that is narrow enough
LEAST = 1e-18  # [rad]; as narrow, next to nought


def zeros(
    function: Callable[[Array], Array], left: Array, right: Array, nought: float = 0.0
) -> Array:
    """Return where a function of angles [n] to [n] crosses nought, once in each bracket [n].

    At `right` it is not on the side of nought that it is on at `left`; of a jump, where it jumps.
    Within `nought` the function's own rounding hides its sign: there it is as good as nought.
    A parabola through three places where that can be trusted, else half of the bracket
    [chandrupatla]. Raises `ExhaustError` where that did not settle.

    >>> zeros(np.cos, np.array([1.0, 4.0]), np.array([2.0, 5.0])).round(12).tolist()
    [1.570796326795, 4.712388980385]
    """
    a, b, at_a, at_b = left, right, function(left), function(right)
    share = np.full(left.shape, 0.5)
    for _ in range(STEPS):
        new = a + share * (b - a)
        at_new = function(new)
        same = np.sign(at_new) == np.sign(at_a)
        c, at_c = np.where(same, a, b), np.where(same, at_a, at_b)
        b, at_b = np.where(same, b, a), np.where(same, at_b, at_a)
        a, at_a = new, at_new
        best = np.where(np.abs(at_a) < np.abs(at_b), a, b)
        width = np.abs(b - a)
        narrow = LAST * np.abs(best) + LEAST
        if np.all((width <= narrow) | (np.minimum(np.abs(at_a), np.abs(at_b)) <= nought)):
            return best
        share = np.where(width > narrow, _share((a, b, c), (at_a, at_b, at_c)), 0.5)
        least = narrow / np.maximum(width, 2.0 * narrow) / 2.0
        share = np.minimum(np.maximum(share, least), 1.0 - least)
    got = f"{float(np.max(np.abs(b - a))):.3g} rad left"
    raise broken(f"did not settle in {STEPS} steps", got).named("the zeros of a function")


def _share(place: tuple[Array, Array, Array], value: tuple[Array, Array, Array]) -> Array:
    """Return where the parabola through three places is nought, as a share from a to b; or half."""
    (a, b, c), (at_a, at_b, at_c) = place, value
    with np.errstate(divide="ignore", invalid="ignore"):
        x, y = (a - b) / (c - b), (at_a - at_b) / (at_c - at_b)
        one_to_one = (y**2 < x) & ((1.0 - y) ** 2 < 1.0 - x)
        near = at_a / (at_b - at_a) * at_c / (at_b - at_c)
        far = (c - a) / (b - a) * at_a / (at_c - at_a) * at_b / (at_c - at_b)
        return np.asarray(np.where(one_to_one, near + far, 0.5))
