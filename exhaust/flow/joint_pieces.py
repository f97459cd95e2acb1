"""A joint as pieces: its own tube, and what turning and narrowing in it lose."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from exhaust.errors import broken
from exhaust.flow.fittings import mitre_loss
from exhaust.flow.friction import FloatArray
from exhaust.flow.losses import bend_loss, narrowing_loss
from exhaust.flow.piece import Piece
from exhaust.flow.system_pieces import Pieces
from exhaust.joints import HPipe, Joint, ParallelToSplayedX, ParallelX, YMerge
from exhaust.stock import Bend
from exhaust.system import System

# Gas that passes a hole in its side, to a balance tube as large as its own where nothing flows:
# handbooks have nought to twice this for a tee's straight leg. Common practice, no source.
HOLE_LOSS = 0.03
STEEPEST = math.radians(150)  # mitre that `mitre_loss` holds for [rad]
TRICKLE = 0.03  # Darcy factor in a balance tube; common practice, no source


def joint_tube(pieces: Pieces, place: str, run: int, *, leaving: bool) -> Piece:
    """Return one side's own tube up to the middle of the joint at `place`, or on from it.

    In the tube of the run that it belongs to, with the turns of the way. A merge has its legs
    ahead of the middle and its straight outlet behind.
    """
    area, factor = pieces.area(run), np.asarray(pieces.service.joint, float)

    def lost(friction: float) -> FloatArray:
        return _of_joint(pieces, lambda one: _share(one, leaving) * turning_loss(one, friction))

    smooth, rough = lost(0.0), lost(1.0)
    return Piece(
        name=place,
        start=area,
        end=area,
        length=_of_joint(pieces, lambda one: _length(one, leaving)),
        roughness=pieces.service.roughness,
        loss=factor * smooth,
        loss_per_friction=factor * (rough - smooth),
        heat=pieces.heat(run),
    )


def joint_middle(pieces: Pieces, place: str, run: int) -> Piece:
    """Return the middle of one side of the joint, in the tube of a run: what it loses there."""
    area = pieces.area(run)
    loss = np.asarray(pieces.service.joint, float) * _of_joint(pieces, middle_loss)
    return Piece(place, area, area, loss=loss)


def across(pieces: Pieces, place: str) -> Piece:
    """Return the balance tube of an H pipe as a loss at one place, on its own head.

    Next to nothing flows in it: its heat decides nothing, and its friction is that of rough tube,
    so that no answer hangs on which side of laminar a trickle is.
    """
    area = _of_joint(pieces, lambda one: _h_pipe(one).balance_tube.flow_area)
    return Piece(place, area, area, loss=TRICKLE * _of_joint(pieces, _diameters))


def _diameters(joint: Joint) -> float:
    """Return the length of a balance tube, bore to bore, over its own bore."""
    one = _h_pipe(joint)
    clear = one.balance_length - one.tube.inside_diameter / math.sin(one.leg_angle)
    return clear / one.balance_tube.inside_diameter


def _h_pipe(joint: Joint) -> HPipe:
    assert isinstance(joint, HPipe)
    return joint


def _of_joint(pieces: Pieces, value: Callable[[Joint], float]) -> FloatArray:
    """Return a number of each system's joint as an array (systems, 1...)."""

    def at(system: System) -> float:
        assert system.joint is not None
        return value(system.joint)

    return pieces.stacked(at)


def merges(joint: Joint) -> bool:
    """Return whether a joint brings several tubes into one, or one into several.

    >>> from exhaust import HPipe, Tube
    >>> merges(HPipe(Tube(od="3 in", wall="16 ga"), spacing="10 in"))
    False
    """
    return joint.legs_in != joint.legs_out


def _share(joint: Joint, leaving: bool) -> float:
    """Return the share of one side's turns ahead of the middle of the joint, or behind it."""
    if merges(joint):
        return 0.0 if leaving else 1.0
    return 0.5


def _length(joint: Joint, leaving: bool) -> float:
    """Return the length of one side ahead of the middle of the joint, or behind it [m]."""
    if isinstance(joint, YMerge):
        return float(joint.outlet_straight if leaving else joint.leg_length)
    return joint.centreline_length / 2


def turning_loss(joint: Joint, friction: float) -> float:
    """Return the loss coefficient of one side's turns through `joint`, at a friction factor.

    Bends beyond the friction of their length, as `bend_loss`; legs that meet at an angle turn in
    the mitre between them. Gas that keeps to its own tube: an H pipe goes straight on.

    >>> from exhaust import Bend, ParallelX, SplayedX, Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> splayed = SplayedX(tube, included_angle="45 deg", cutback=0.3, leg_length="9 in")
    >>> parallel = ParallelX(Bend(tube, clr="4.5 in"), cutback=0.28)
    >>> [round(turning_loss(joint, 0.02), 2) for joint in (splayed, parallel)]
    [0.3, 0.47]
    """
    if isinstance(joint, HPipe):
        return 0.0
    if isinstance(joint, YMerge):
        return _turned(joint.bend, joint.half_angle, friction) + (
            _turned(joint.return_bend, joint.half_angle, friction) if joint.return_bend else 0.0
        )
    if isinstance(joint, ParallelX):
        half = joint.half_angle
        main = _turned(joint.bend, 2 * half, friction)
        return main + 2 * _turned(joint.return_bend, half, friction)
    if isinstance(joint, ParallelToSplayedX):
        half = joint.parallel.half_angle
        mitred = joint.mitre_turning
        main = _turned(joint.bend, half + joint.leg.angle - mitred, friction)
        back = _turned(joint.parallel.return_bend, half, friction)
        return main + back + _mitred(mitred)
    return _mitred(joint.turning)


def _turned(bend: Bend, angle: float, friction: float) -> float:
    """Return the loss coefficient of so much of a bend."""
    return float(bend_loss(bend.tube.inside_diameter, bend.clr, angle, friction))


def _mitred(angle: float) -> float:
    """Return the loss coefficient of a mitre, or refuse one that nobody has measured."""
    if angle > STEEPEST:
        rule = f"turns its streams by more than {math.degrees(STEEPEST):.0f} degrees at a mitre"
        raise broken(rule, f"{math.degrees(angle):.4g}", "its loss is not known").named("joint")
    return float(mitre_loss(angle))


def middle_loss(joint: Joint) -> float:
    """Return the loss coefficient in the middle of one side: its narrowing, or its open side.

    Nought where a joint merges its streams: the junction's balance has all of that.

    >>> from exhaust import HPipe, Tube
    >>> round(middle_loss(HPipe(Tube(od="3 in", wall="16 ga"), spacing="10 in")), 3)
    0.03
    """
    if merges(joint):
        return 0.0
    if isinstance(joint, HPipe):
        return HOLE_LOSS * joint.window_ratio
    return float(narrowing_loss(joint.narrowest_ratio))
