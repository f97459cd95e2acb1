"""Steady total-pressure loss where tubes join into one."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from exhaust.errors import broken
from exhaust.flow.friction import FloatArray

# Methods and measurements of sharp laterals differ by about this much in K [idelchik, unified0d].
MERGE_LOSS_SPREAD = 0.15


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
    q, f, a = np.broadcast_arrays(
        *(np.asarray(value, float) for value in (flow_share, area_share, angle))
    )
    if q.ndim == 0:
        raise broken("must list its inlets", "one number").named("flow_share")
    if not np.allclose(q.sum(axis=-1), 1.0, rtol=0, atol=1e-9) or np.any(q < 0):
        raise broken("must be shares that add up to one", f"{q.tolist()}").named("flow_share")
    if not np.all(f > 0):
        raise broken("must be more than zero", f"{np.min(f):g}").named("area_share")
    thrust = np.sum(q**2 * np.cos(a) / f, axis=-1, keepdims=True)
    return np.asarray(1 + (q / f) ** 2 - 2 * thrust)


def mean_loss(flow_share: ArrayLike, losses: ArrayLike) -> FloatArray:
    """Return the loss of a whole merge: the mean of its inlets' losses by flow, sum q K [-].

    Below zero it would create total pressure, which nothing does.

    >>> float(mean_loss([0.5, 0.5], [0.25, 0.25]))
    0.25
    """
    return np.asarray(np.sum(np.asarray(flow_share, float) * np.asarray(losses, float), axis=-1))
