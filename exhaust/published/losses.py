"""Ours beside published: friction, bends, mitres, and pipes that join or divide."""

from __future__ import annotations

from collections.abc import Callable
from types import MappingProxyType

import numpy as np

from exhaust.flow.fittings import contraction_loss, mitre_loss
from exhaust.flow.friction import darcy_factor
from exhaust.flow.junction import dividing_losses, lateral_losses, leg_pressures, merge_losses
from exhaust.flow.losses import bend_loss

BORE, FRICTION = 0.0635, 0.01733  # of the bend that all authors are asked for [m], [-]
GRAVITY_FT = 32.2  # [ft/s^2], as the example has it


def whole_bend(clr_over_bore: float, angle_deg: float) -> float:
    """Return the loss coefficient of a bend, the friction of its own length in it.

    >>> round(whole_bend(1.5, 90.0), 3)
    0.22
    """
    angle = float(np.radians(angle_deg))
    turn = bend_loss(BORE, clr_over_bore * BORE, angle, FRICTION)
    return float(turn) + FRICTION * angle * clr_over_bore


def _head_slope(reynolds: float, relative_roughness: float) -> float:
    """Return head lost over length: 6 ft/s in a 6 in pipe."""
    return float(darcy_factor(reynolds, relative_roughness)) / 0.5 * 6.0**2 / (2 * GRAVITY_FT)


def _merging(leg: int, angle_deg: float, area_share: float, straight_share: float = 1.0) -> float:
    """Return the loss coefficient of one of two equal flows: side 0, straight 1."""
    areas, angles = [area_share, straight_share], np.radians([angle_deg, 0.0])
    return float(merge_losses([0.5, 0.5], areas, angles)[leg])


def _symmetric(half_angle_deg: float, area_share: float) -> float:
    losses = merge_losses([0.5, 0.5], [area_share] * 2, np.radians([half_angle_deg] * 2))
    return float(losses[0])


def _lateral(leg: int, angle_deg: float, area_share: float, flow_share: float = 0.5) -> float:
    return float(lateral_losses(flow_share, area_share, np.radians(angle_deg))[leg])


def _dividing(
    leg: int, angle_deg: float, area_share: float = 1.0, flow_share: float = 0.5
) -> float:
    """Return the loss coefficient into the branch 0 or the straight leg 1."""
    flows, areas = [flow_share, 1 - flow_share], [area_share, 1.0]
    return float(dividing_losses(flows, areas, np.radians([angle_deg, 0.0]))[leg])


def _stem_into_arms() -> float:
    total = leg_pressures([1.0, -0.5, -0.5], 1.0, [[0, -1], [1, 0], [-1, 0]], 2.0)
    return float(total[0] - total[1])


OURS: MappingProxyType[str, Callable[..., float]] = MappingProxyType(
    {
        "friction factor": lambda reynolds, relative_roughness=0.0: float(
            darcy_factor(reynolds, relative_roughness)
        ),
        "head lost over length": _head_slope,
        "loss of a bend": whole_bend,
        "loss of a mitre": lambda angle_deg: float(mitre_loss(np.radians(angle_deg))),
        "loss of a mitre, as a split with one leg": lambda angle_deg: float(
            dividing_losses([1.0], [1.0], np.radians(angle_deg))[0]
        ),
        "loss of a sharp contraction": lambda area_ratio: float(contraction_loss(area_ratio)),
        "merge, side leg": lambda **at: _merging(0, **at),
        "merge, straight leg": lambda **at: _merging(1, **at),
        "merge of two alike": _symmetric,
        "merge of tees, side leg": lambda **at: _lateral(0, **at),
        "merge of tees, straight leg": lambda **at: _lateral(1, **at),
        "split, branch": lambda **at: _dividing(0, **at),
        "split, straight leg": lambda **at: _dividing(1, **at),
        "split, stem into both arms": _stem_into_arms,
    }
)
