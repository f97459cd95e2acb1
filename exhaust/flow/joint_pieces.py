"""A joint as pieces: its own tube, and what turning and narrowing in it lose."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from exhaust.flow.fittings import mitre_loss
from exhaust.flow.friction import FloatArray
from exhaust.flow.losses import bend_loss, narrowing_loss
from exhaust.flow.piece import Piece
from exhaust.flow.system_pieces import Pieces
from exhaust.joints import HPipe, Joint, ParallelX
from exhaust.system import System

# Gas that passes a hole in its side, to a balance tube as large as its own where nothing flows:
# handbooks have nought to twice this for a tee's straight leg. Common practice, no source.
HOLE_LOSS = 0.03


def joint_half(pieces: Pieces, place: str, run: int) -> Piece:
    """Return half of one side of the joint at `place`, in the tube of a run, with its turns."""
    area, factor = pieces.area(run), np.asarray(pieces.service.joint, float)
    smooth = _of_joint(pieces, lambda one: turning_loss(one, 0.0))
    rough = _of_joint(pieces, lambda one: turning_loss(one, 1.0))
    return Piece(
        name=place,
        start=area,
        end=area,
        length=_of_joint(pieces, lambda one: one.centreline_length / 2),
        roughness=pieces.service.roughness,
        loss=factor * smooth / 2,
        loss_per_friction=factor * (rough - smooth) / 2,
        heat=pieces.heat(run),
    )


def joint_middle(pieces: Pieces, place: str, run: int) -> Piece:
    """Return the middle of one side of the joint, in the tube of a run: what it loses there."""
    area = pieces.area(run)
    loss = np.asarray(pieces.service.joint, float) * _of_joint(pieces, middle_loss)
    return Piece(place, area, area, loss=loss)


def across(pieces: Pieces, place: str) -> Piece:
    """Return the balance tube of an H pipe, bore to bore; it loses no heat.

    Next to nothing flows in it, so its heat decides nothing.
    """
    area = _of_joint(pieces, lambda one: _h_pipe(one).balance_tube.flow_area)
    return Piece(
        name=place,
        start=area,
        end=area,
        length=_of_joint(pieces, lambda one: _clear(_h_pipe(one))),
        roughness=pieces.service.roughness,
    )


def _clear(joint: HPipe) -> float:
    return joint.balance_length - joint.tube.inside_diameter / math.sin(joint.leg_angle)


def _h_pipe(joint: Joint) -> HPipe:
    assert isinstance(joint, HPipe)
    return joint


def _of_joint(pieces: Pieces, value: Callable[[Joint], float]) -> FloatArray:
    """Return a number of each system's joint as an array (systems, 1...)."""

    def at(system: System) -> float:
        assert system.joint is not None
        return value(system.joint)

    return pieces.stacked(at)


def turning_loss(joint: Joint, friction: float) -> float:
    """Return the loss coefficient of one side's turns through `joint`, at a friction factor.

    Bends beyond the friction of their length, as `bend_loss`; a splayed joint turns in a mitre
    where the streams meet and in one where they part. Where a joint merges its streams the
    junction's balance has their angle: nought here.

    >>> from exhaust import HPipe, Tube
    >>> turning_loss(HPipe(Tube(od="3 in", wall="16 ga"), spacing="10 in"), 0.02)
    0.0
    """
    if joint.legs_in != joint.legs_out:
        return 0.0
    if isinstance(joint, ParallelX):
        bore, half = joint.tube.inside_diameter, joint.half_angle
        main = bend_loss(bore, joint.bend.clr, 2 * half, friction)
        returns = bend_loss(bore, joint.return_bend.clr, half, friction)
        return float(main + 2 * returns)
    return float(2 * mitre_loss(joint.turning / 2))


def middle_loss(joint: Joint) -> float:
    """Return the loss coefficient in the middle of one side: its narrowing, or its open side.

    >>> from exhaust import HPipe, Tube
    >>> round(middle_loss(HPipe(Tube(od="3 in", wall="16 ga"), spacing="10 in")), 3)
    0.03
    """
    if isinstance(joint, HPipe):
        return HOLE_LOSS * joint.window_ratio
    return float(narrowing_loss(joint.narrowest_ratio))
