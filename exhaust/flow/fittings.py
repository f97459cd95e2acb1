"""Local losses of fittings: mitres, steps and cones, ends, parts rated on a flow bench.

Loss coefficients are losses of total pressure, and none is negative. Where two areas meet, K
stands on the dynamic head of the smaller one.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from exhaust.errors import broken
from exhaust.flow.friction import FloatArray

ROUNDING = 1e-9  # a bench part this little below nought is one without loss


def mitre_loss(angle: ArrayLike) -> FloatArray:
    """Return the loss coefficient of a bend cut and welded with one mitre.

    K = 0.42 sin(a/2) + 2.56 sin^3(a/2) [rennels], a from 0 to 150 degrees. For one mitre with
    straight tube around it: cuts close to each other act on each other.

    `angle` that the flow turns by [rad], any shape.

    >>> mitre_loss(np.radians([22.5, 45, 90])).round(3).tolist()
    [0.101, 0.304, 1.202]
    """
    a = np.asarray(angle, float)
    _within("angle", np.degrees(a), 0.0, 150.0, " degrees")
    s = np.sin(a / 2)
    return np.asarray(0.42 * s + 2.56 * s**3)


def expansion_loss(area_ratio: ArrayLike) -> FloatArray:
    """Return the loss coefficient of a sudden step to a larger tube, on the smaller one's head.

    K = (1 - r)^2 [control-volume], Borda-Carnot.

    `area_ratio` r smaller over larger area, above 0 to 1 [-], any shape.

    >>> expansion_loss([0.5, 1.0]).tolist()
    [0.25, 0.0]
    """
    r = _area_ratio(area_ratio)
    return np.asarray((1 - r) ** 2)


def contraction_loss(area_ratio: ArrayLike) -> FloatArray:
    """Return the loss coefficient of a sharp step to a smaller tube, on the smaller one's head.

    K = 0.0696 (1 - b^5) l^2 + (l - 1)^2, l = 1 + 0.622 (1 - 0.215 b^2 - 0.785 b^5) [rennels],
    b the ratio of diameters. A cone of 180 degrees.

    `area_ratio` smaller over larger area, above 0 to 1 [-], any shape.

    >>> contraction_loss([0.25, 1.0]).round(4).tolist()
    [0.4956, 0.0]
    """
    return cone_contraction_loss(area_ratio, np.pi, 0.0)


def cone_contraction_loss(
    area_ratio: ArrayLike, angle: ArrayLike, friction: ArrayLike
) -> FloatArray:
    """Return the loss coefficient of a cone to a smaller tube, on the smaller one's head.

    K = 0.0696 sin(a/2) (1 - b^5) l^2 + (l - 1)^2 + f (1 - b^4)/(8 sin(a/2)),
    l = 1 + 0.622 (a/pi)^0.8 (1 - 0.215 b^2 - 0.785 b^5) [rennels]. The last term is the friction
    along the cone: pass nought where a run's length counts it.

    Arrays broadcast: `area_ratio` smaller over larger area, above 0 to 1 [-]; `angle` between
    opposite walls, above 0 to pi [rad]; `friction` the Darcy factor [-].

    >>> cone_contraction_loss(0.25, np.radians([15, 60, 180]), 0.018).round(4).tolist()
    [0.0326, 0.1126, 0.4977]
    """
    r, a, s = _cone(area_ratio, angle)
    b5 = r**2.5
    lam = 1 + 0.622 * (a / np.pi) ** 0.8 * (1 - 0.215 * r - 0.785 * b5)
    turn = 0.0696 * s * (1 - b5) * lam**2 + (lam - 1) ** 2
    return np.asarray(turn + _cone_friction(friction, r, s))


def cone_expansion_loss(area_ratio: ArrayLike, angle: ArrayLike, friction: ArrayLike) -> FloatArray:
    """Return the loss coefficient of a cone to a larger tube, on the smaller one's head.

    K = c (1 - b^2)^2 + f (1 - b^4)/(8 sin(a/2)), the friction only up to 60 degrees [rennels]:
    c = 8.3 tan(a/2)^1.75 up to 20 degrees; then to 60 degrees 1.366 sqrt(sin(2 (a - 15))) - 0.17
    - 3.28 (1/16 - b^4) sqrt((a - 20)/40); then 1.205 - 3.28 (1/16 - b^4) - 12.8 b^6
    sqrt((a - 60)/120); from b = 1/2 upward b is 1/2 in c. Wider than about 45 degrees a cone loses
    more than a step, which it is at 180 degrees to two hundredths. The pieces meet to a hundredth
    of (1 - b^2)^2. Pass no friction where a run's length counts it.

    Arrays broadcast: `area_ratio` smaller over larger area, above 0 to 1 [-]; `angle` between
    opposite walls, above 0 to pi [rad]; `friction` the Darcy factor [-].

    >>> cone_expansion_loss(0.25, np.radians([7, 20, 60]), 0.018).round(4).tolist()
    [0.0697, 0.2362, 0.677]
    """
    r, a, s = _cone(area_ratio, angle)
    degrees = np.degrees(a)
    b2 = np.minimum(r, 0.25)
    short = 3.28 * (1 / 16 - b2**2)  # nought from half of the diameter upward
    middle = np.clip(degrees, 20.0, 60.0)
    wide = np.clip(degrees, 60.0, 180.0)
    c = np.where(
        degrees <= 20,
        8.3 * np.tan(np.minimum(a, np.radians(20.0)) / 2) ** 1.75,
        np.where(
            degrees <= 60,
            1.366 * np.sqrt(np.sin(np.radians(2 * (middle - 15))))
            - 0.17
            - short * np.sqrt((middle - 20) / 40),
            1.205 - short - 12.8 * b2**3 * np.sqrt((wide - 60) / 120),
        ),
    )
    rubbing = np.where(degrees <= 60, _cone_friction(friction, r, s), 0.0)
    return np.asarray(c * (1 - r) ** 2 + rubbing)


def entrance_loss(rounding: ArrayLike) -> FloatArray:
    """Return the loss coefficient of a tube's mouth, flush in a wall, with a rounded edge.

    K = 0.0696 (1 - 0.569 x) l^2 + (l - 1)^2, l = 1 + 0.622 (1 - 0.3 sqrt(x) - 0.7 x)^4 [rennels];
    as x = 1 beyond that. A sharp edge gives 0.57, where most other handbooks have 0.5.

    `rounding` x edge radius over inside diameter, not below zero [-], any shape.

    >>> entrance_loss([0.0, 0.1, 2.0]).round(3).tolist()
    [0.57, 0.203, 0.03]
    """
    x = np.asarray(rounding, float)
    _within("rounding", x, 0.0, np.inf)
    inside = np.minimum(x, 1.0)
    lam = 1 + 0.622 * (1 - 0.3 * np.sqrt(inside) - 0.7 * inside) ** 4
    return np.asarray(0.0696 * (1 - 0.569 * inside) * lam**2 + (lam - 1) ** 2)


def exit_loss(friction: ArrayLike) -> FloatArray:
    """Return the loss coefficient of a tube that opens into still gas: all its kinetic energy.

    K = 1 + 2.93 f - 1.55 f^1.5 [log-law]: one for a flat profile, and what a turbulent profile
    carries above it. The pipe solver counts the first already.

    `friction` the Darcy factor, 0 to 0.1 [-], any shape.

    >>> exit_loss([0.0, 0.02]).round(3).tolist()
    [1.0, 1.054]
    """
    f = np.asarray(friction, float)
    _within("friction", f, 0.0, 0.1)
    return np.asarray(1 + 2.93 * f - 1.55 * f**1.5)


def rated_loss(
    rated_flow: ArrayLike,
    rated_depression: ArrayLike,
    area: ArrayLike,
    density: ArrayLike,
    end_losses: ArrayLike = 1.0,
) -> FloatArray:
    """Return the loss coefficient of a silencer or catalyst from what it flows on a bench.

    K = 2 p/(rho u^2) - end losses, u = rated flow over area [common-practice]. The bench sees the
    dynamic head that leaves into its still air (one) and, at a sharp mouth, the entrance too: a
    part in a run has neither. Incompressible: at 7 kPa, within two parts in a hundred.

    Arrays broadcast: `rated_flow` of bench air [m^3/s]; `rated_depression` across the part [Pa];
    `area` of the tube it goes into [m^2]; `density` of bench air [kg/m^3]; `end_losses` [-].
    Raises `ExhaustError` where the part would flow more than a tube without loss.

    >>> float(rated_loss(0.2, 6975.0, 0.00317, 1.2).round(3))  # 28 in of water
    1.92
    """
    Q, p, A, rho, ends = (
        np.asarray(v, float) for v in (rated_flow, rated_depression, area, density, end_losses)
    )
    for name, value in (
        ("rated_flow", Q),
        ("rated_depression", p),
        ("area", A),
        ("density", rho),
    ):
        if not np.all((value > 0) & np.isfinite(value)):
            raise broken("must be more than zero", f"{np.min(value):g}").named(name)
    _within("end_losses", ends, 0.0, np.inf)
    loss = 2 * p / rho * (A / Q) ** 2 - ends
    if not np.all(loss >= -ROUNDING * (1 + ends)):
        lossless = A * np.sqrt(2 * p / (rho * np.where(ends > 0, ends, np.nan)))
        over = float(np.nanmax(np.where(loss < 0, Q / lossless, np.nan)))
        raise broken(
            "is more than a tube without loss would flow",
            f"{over:.4g} times that",
            "check the depression it was rated at and the tube it was rated on",
        ).named("rated_flow")
    return np.asarray(np.maximum(loss, 0.0))


def _cone(area_ratio: ArrayLike, angle: ArrayLike) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return a cone's area ratio, its angle and the sine of half of that, of one shape."""
    a = np.asarray(angle, float)
    if not np.all((a > 0) & (a <= np.pi)):
        worst = float(np.degrees(np.min(a) if np.min(a) <= 0 else np.max(a)))
        raise broken("must be above 0 and up to 180 degrees", f"{worst:.4g}").named("angle")
    r, a = np.broadcast_arrays(_area_ratio(area_ratio), a)
    return r, a, np.sin(a / 2)


def _cone_friction(friction: ArrayLike, r: FloatArray, s: FloatArray) -> FloatArray:
    """Return the friction along a cone on its smaller end's head, f (1 - b^4)/(8 sin(a/2))."""
    f = np.asarray(friction, float)
    _within("friction", f, 0.0, 0.1)
    return np.asarray(f * (1 - r**2) / (8 * s))


def _area_ratio(value: ArrayLike) -> FloatArray:
    r = np.asarray(value, float)
    if not np.all((r > 0) & (r <= 1)):
        worst = float(np.min(r) if not np.min(r) > 0 else np.max(r))
        raise broken(
            "must be above 0 and up to 1", f"{worst:g}", "give the smaller area over the larger"
        ).named("area_ratio")
    return r


def _within(name: str, value: FloatArray, low: float, high: float, unit: str = "") -> None:
    """Refuse a value outside `low` to `high`, both allowed; nan is outside."""
    if np.all((value >= low) & (value <= high)):
        return
    worst = float(np.min(value) if not np.min(value) >= low else np.max(value))
    limit = f"between {low:g} and {high:g}" if np.isfinite(high) else f"at least {low:g}"
    raise broken(f"must be {limit}{unit}", f"{worst:.4g}").named(name)
