"""Steady total-pressure loss where tubes join, divide, or do both.

The coefficients are those of an incompressible fluid.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from exhaust.errors import broken
from exhaust.flow.friction import FloatArray

# Methods and measurements of sharp laterals differ by about this much in K [idelchik, unified0d].
MERGE_LOSS_SPREAD = 0.15

# Handbooks lie within this of `dividing_losses` in K up to a leg as large as the inlet; for the
# straight leg they are all below it [idelchik, crane].
DIVIDING_LOSS_SPREAD = 0.3

TURNED = 0.75  # a stream that turns meets the wall: it loses as if by this much of its angle
MIXED = 0.1  # share of the flow from elsewhere that makes a turned stream a joined one (ours)
EASED = (0.30, 0.40)  # area shares about the 0.35 where the handbook's factor A starts (ours)
FINE = 1e-9


def merge_losses(flow_share: ArrayLike, area_share: ArrayLike, angle: ArrayLike) -> FloatArray:
    """Return the loss coefficient of each inlet of a merge, on the outlet's dynamic head.

    Momentum balance with one static pressure at all inlets and on the rest of the outlet plane:
    K_i = 1 + (q_i/f_i)^2 - 2 sum_k q_k^2 cos(a_k)/f_k [control-volume]; incompressible. One K
    may be negative (a fast inlet draws a slow one), but sum q K never is: it is at least
    sum q (1 - q/f)^2.

    Inlets lie along the last axis: `flow_share` q of the outlet's flow, adding up to one [-];
    `area_share` f over the outlet's area [-]; `angle` of each inlet to the outlet's axis [rad].

    Two equal legs, parallel, into one of their own size:

    >>> merge_losses([0.5, 0.5], [1.0, 1.0], [0.0, 0.0]).round(4).tolist()
    [0.25, 0.25]
    """
    q, f, a = _legs(flow_share, area_share, angle, "inlets")
    thrust = np.sum(q**2 * np.cos(a) / f, axis=-1, keepdims=True)
    return np.asarray(1 + (q / f) ** 2 - 2 * thrust)


def mean_loss(flow_share: ArrayLike, losses: ArrayLike) -> FloatArray:
    """Return the loss of a whole merge: the mean of its inlets' losses by flow, sum q K [-].

    Below zero it would create total pressure, which nothing does.

    >>> float(mean_loss([0.5, 0.5], [0.25, 0.25]))
    0.25
    """
    return np.asarray(np.sum(np.asarray(flow_share, float) * np.asarray(losses, float), axis=-1))


def dividing_losses(flow_share: ArrayLike, area_share: ArrayLike, angle: ArrayLike) -> FloatArray:
    """Return the loss coefficient of each outlet of a split, on the inlet's dynamic head.

    K_j = 1 + w^2 - 2 w cos(3 a_j/4), w = q_j/f_j the leg's velocity over the inlet's [bassett,
    unified0d]; incompressible, sharp edges. None is below (1 - w)^2. A single leg of the inlet's
    area is a mitre. The straight leg is on the high side: handbooks have 0.4 of it or less.

    Outlets lie along the last axis: `flow_share` q of the inlet's flow, adding up to one [-];
    `area_share` f over the inlet's area [-]; `angle` each turns the flow by, 0 to pi [rad].

    >>> dividing_losses([0.5, 0.5], [1.0, 1.0], [0.0, np.pi / 2]).round(4).tolist()
    [0.25, 0.8673]
    """
    q, f, a = _legs(flow_share, area_share, angle, "outlets")
    if not np.all((a >= 0) & (a <= np.pi)):
        worst = float(np.degrees(np.min(a) if np.min(a) < 0 else np.max(a)))
        raise broken("must be between 0 and 180 degrees", f"{worst:.4g}").named("angle")
    w = q / f
    return np.asarray(1 + w**2 - 2 * w * np.cos(TURNED * a))


def lateral_losses(side_share: ArrayLike, area_share: ArrayLike, angle: ArrayLike) -> FloatArray:
    """Return a sharp lateral's two losses, side then straight, on the outlet's dynamic head.

    The handbook's pair where one leg joins a straight run of the outlet's size [crane, idelchik]:
    side A (1 + (q/f)^2 - 2 (1-q)^2 - 2 q^2 cos(a)/f), A = max(0.9 (1-q), 0.55), eased to 1 below
    f = 0.35; straight 1 - (1-q)^2 - 2 q^2 cos(a)/f up to 60 degrees, eased to 1.55 q - q^2 at 90.
    Below 30 degrees the pair would create total pressure: `merge_losses` is for those.

    Arrays broadcast: `side_share` q of the outlet's flow, 0 to 1 [-]; `area_share` f of the side
    leg over the outlet, above 0 to 1 [-]; `angle` 30 to 90 degrees [rad]. Adds a last axis of two.

    >>> lateral_losses(0.5, 1.0, np.radians(45)).round(4).tolist()
    [0.218, 0.3964]
    """
    q, f, a = np.broadcast_arrays(
        *(np.asarray(value, float) for value in (side_share, area_share, angle))
    )
    _refuse_outside("side_share", q, (q >= 0) & (q <= 1), "must be between 0 and 1")
    _refuse_outside("area_share", f, (f > 0) & (f <= 1), "must be above 0 and up to 1")
    degrees = np.degrees(a)
    allowed = (degrees >= 30 - FINE) & (degrees <= 90 + FINE)
    _refuse_outside("angle", degrees, allowed, "must be between 30 and 90 degrees")
    factor = 1 - _eased((f - EASED[0]) / (EASED[1] - EASED[0])) * (
        1 - np.maximum(0.9 * (1 - q), 0.55)
    )
    turned = 2 * q**2 * np.cos(a) / f
    side = factor * (1 + (q / f) ** 2 - 2 * (1 - q) ** 2 - turned)
    square = _eased((degrees - 60) / 30)
    straight = (1 - square) * (1 - (1 - q) ** 2 - turned) + square * (1.55 * q - q**2)
    return np.stack([side, straight], axis=-1)


def leg_pressures(
    flow: ArrayLike, area: ArrayLike, axis: ArrayLike, density: ArrayLike
) -> FloatArray:
    """Return the total pressure of each leg over the static pressure in the junction's mouth.

    Any number of legs, each flowing either way. Gas comes in with one static pressure and the
    momentum M = sum q_i u_i of what comes in, over one's share q [control-volume]:
    in  p0 = rho u^2/2;  out  p0 = rho u (|M| cos(k b) - u/2), b from M to the leg.
    k is 3/4 where a stream divides or turns [unified0d], 1 where several join into one, eased
    between while the smaller streams carry less than a tenth: so one outlet gives `merge_losses`,
    one inlet `dividing_losses`, and nothing jumps when a leg's flow reverses. Flow-weighted total
    pressure never rises, whatever k: it falls by rho/2 sum q (u - |M|)^2 of the outlets or more.

    Legs lie along the last axis of `flow`, volume flow into the junction, adding up to nought
    [m^3/s] and of `area` [m^2]; `axis` has one axis more, unit vectors of two or three components
    that point out along each leg [-]; `density` [kg/m^3], one to a junction.

    A straight run with a dead leg on its side:

    >>> axes = [[-1, 0], [1, 0], [0, 1]]
    >>> leg_pressures([0.1, -0.1, 0.0], 0.002, axes, 1.2).round(6).tolist()
    [1500.0, 1500.0, 0.0]
    """
    e = np.asarray(axis, float)
    rho = np.asarray(density, float)[..., None]
    if e.ndim < 2:
        raise broken("must list a vector for each leg", "too few numbers").named("axis")
    Q, A, rho = np.broadcast_arrays(np.asarray(flow, float), np.asarray(area, float), rho)
    _refuse_outside("area", A, A > 0, "must be more than zero")
    _refuse_outside("density", rho, rho > 0, "must be more than zero")
    length = np.linalg.norm(e, axis=-1)
    _refuse_outside("axis", length, np.abs(length - 1) <= FINE, "must be one long")
    coming = np.sum(np.maximum(Q, 0.0), axis=-1, keepdims=True)
    off = np.sum(Q, axis=-1, keepdims=True)
    balanced = np.abs(off) <= FINE * np.maximum(coming, np.finfo(float).tiny)
    _refuse_outside("flow", off, balanced, "must add up to nought")
    share = Q / np.where(coming > 0, coming, 1.0)
    u = np.abs(Q) / A
    driven = drive(share, u, e)
    return np.asarray(np.where(Q < 0, rho * u * (driven - u / 2), rho * u**2 / 2))


def mouth_pressures(
    flow: FloatArray, pressure: FloatArray, velocity: FloatArray, heat: FloatArray, axis: FloatArray
) -> FloatArray:
    """Return the static pressure in the mouth of a junction that each leg asks for, going out [Pa].

    p + G (u - |M| cos(k b)), G = p u/(R T): the balance of `leg_pressures`, whose M, k and b these
    are, for a gas that is compressible and whose streams differ in temperature [control-volume].
    Up to Mach 0.6 neither flow-weighted total pressure rises nor entropy falls, as its tests show.

    Legs lie along the last axis: mass `flow` into the junction [kg/s], and of the gas in each leg
    `pressure` [Pa], `velocity` [m/s], and `heat` R T, T static [J/kg]; `axis` as there.

    >>> legs = [np.array(row) for row in ([0.1, -0.1], [1e5, 9e4], [50.0, 80.0], [2.6e5, 2.6e5])]
    >>> mouth_pressures(*legs, np.array([[-1.0, 0.0], [1.0, 0.0]])).round().tolist()[1]
    90831.0
    """
    coming = np.sum(np.maximum(flow, 0.0), axis=-1, keepdims=True)
    driven = drive(flow / np.where(coming > 0, coming, 1.0), velocity, axis)
    return np.asarray(pressure * (1 + (velocity - driven) * velocity / heat))


def drive(share: FloatArray, speed: FloatArray, axis: FloatArray) -> FloatArray:
    """Return the momentum per mass that drives gas out along each leg, |M| cos(k b) [m/s].

    Legs lie along the last axis of `share` of the flow, in above nought and out below, and of
    the `speed` in each [m/s]; `axis` as for `leg_pressures`, whose M, k and b these are.
    """
    into = np.maximum(share, 0.0)
    M = np.sum((into * speed)[..., None] * -axis, axis=-2, keepdims=True)
    pace = np.linalg.norm(M, axis=-1)
    along = np.sum(M * axis, axis=-1) / np.where(pace > 0, pace, 1.0)
    turn = np.arccos(np.clip(along, -1.0, 1.0))
    return np.asarray(pace * np.cos(_kept_turn(into, np.maximum(-share, 0.0)) * turn))


def _kept_turn(into: FloatArray, out: FloatArray) -> FloatArray:
    """Return the part k of a turn that counts, from the shares that come in and go out."""
    several_in = _eased((1 - into.max(axis=-1, keepdims=True)) / MIXED)
    one_out = 1 - _eased((1 - out.max(axis=-1, keepdims=True)) / MIXED)
    return np.asarray(TURNED + (1 - TURNED) * several_in * one_out)


def _eased(x: FloatArray) -> FloatArray:
    """Return a smooth step: 0 up to x = 0, 1 from x = 1, level at both."""
    t = np.clip(x, 0.0, 1.0)
    return np.asarray(t * t * (3 - 2 * t))


def _legs(
    flow_share: ArrayLike, area_share: ArrayLike, angle: ArrayLike, legs: str
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return shares and angles of one shape, checked; `legs` is what an error calls them."""
    q, f, a = np.broadcast_arrays(
        *(np.asarray(value, float) for value in (flow_share, area_share, angle))
    )
    if q.ndim == 0:
        raise broken(f"must list its {legs}", "one number").named("flow_share")
    if not np.allclose(q.sum(axis=-1), 1.0, rtol=0, atol=FINE) or np.any(q < 0):
        raise broken("must be shares that add up to one", f"{q.tolist()}").named("flow_share")
    if not np.all(f > 0):
        raise broken("must be more than zero", f"{np.min(f):g}").named("area_share")
    return q, f, a


def _refuse_outside(name: str, value: FloatArray, allowed: ArrayLike, rule: str) -> None:
    """Refuse the first value that is not `allowed`; nan never is."""
    fine = np.broadcast_to(np.asarray(allowed, bool), value.shape)
    if not np.all(fine):
        raise broken(rule, f"{value[~fine].flat[0]:.4g}").named(name)
