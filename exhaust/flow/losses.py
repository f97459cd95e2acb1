"""Local losses of a run: its bends, and the narrow place of a joint.

Loss coefficients stand on the tube's dynamic head and are losses of total pressure. The outlet
needs no coefficient: its static pressure is the ambient pressure, and the dynamic head that
leaves there is counted when total pressure is (K = 1 on it).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from exhaust.errors import broken
from exhaust.flow.friction import FloatArray


def bend_loss(diameter: float, clr: float, angle: float, friction: ArrayLike) -> FloatArray:
    """Return the loss coefficient of a smooth bend beyond the friction of its own length.

    A run's length includes its bends, so the friction along the bend is counted there and is
    taken off here.

    K = (0.10 + 2.4 f) sin(a/2) + 6.6 f (sqrt(sin(a/2)) + sin(a/2)) / (R/D)^(4a/pi) [rennels],
    R/D from 1, a up to 180 degrees; handbooks differ by a quarter at 90 degrees and more below.

    `diameter` inside [m], `clr` [m], `angle` [rad], `friction` the Darcy factor, any shape [-].

    >>> round(float(bend_loss(0.0635, 1.5 * 0.0635, np.pi / 2, 0.01733)), 4)
    0.1788
    """
    from fluids.fittings import bend_rounded

    if clr < diameter / 2:
        got = f"{clr / diameter:.3g} of it"
        raise broken("must be at least half of the inside diameter", got).named("clr")
    f = np.asarray(friction, float)
    degrees = float(np.degrees(angle))
    # The form is a straight line in f: two points of it serve a whole array.
    smooth, rough = (
        bend_rounded(Di=diameter, angle=degrees, fd=fd, rc=clr, method="Rennels")
        for fd in (0.0, 1.0)
    )
    return np.asarray(smooth + f * (rough - smooth - angle * clr / diameter))


def narrowing_loss(narrowest_ratio: ArrayLike) -> FloatArray:
    """Return the loss coefficient of a smooth narrowing that opens again at once.

    K = (1/r - 1)^2 on the tube's dynamic head: Borda-Carnot re-expansion from the narrowest area
    [control-volume]; the way in is taken as free of loss. Nought when nothing narrows.

    `narrowest_ratio` narrowest area over the tubes' flow area, more than zero [-].

    >>> round(float(narrowing_loss(0.8)), 4), float(narrowing_loss(1.0))
    (0.0625, 0.0)
    """
    r = np.asarray(narrowest_ratio, float)
    if not np.all(r > 0):
        raise broken("must be more than zero", f"{np.min(r):g}").named("narrowest_ratio")
    return np.where(r < 1, (1 / r - 1) ** 2, 0.0)
