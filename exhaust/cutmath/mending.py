"""What to do with a piece that was cut too deep or too shallow, joint by joint."""

from __future__ import annotations

import math
from typing import Any

from exhaust.cutmath import mending_words as words
from exhaust.cutmath.bend_parts import RING
from exhaust.cutmath.mending_words import Answer
from exhaust.cutmath.parallel_x_work import work_on
from exhaust.cutmath.rework_result import LEAVE, MATES, RECUT, SCRAP, Cut, Rework
from exhaust.cutmath.sawn import BendPiece, LegPiece
from exhaust.cutmath.y_merge_work import work_on as y_work_on
from exhaust.errors import ExhaustError
from exhaust.geometry import splayed
from exhaust.geometry.elbow import SLACK
from exhaust.joints import Joint, ParallelToSplayedX, ParallelX, SplayedX, YMerge
from exhaust.joints.bent_end import BentEnd
from exhaust.joints.splayed_end import MitredEnd
from exhaust.joints.splayed_rules import EQUAL_WIDTH
from exhaust.show import cut_length
from exhaust.stock import Saw
from exhaust.units import SI

LOBES = 0.5  # of a bend's diameter: past it, less than half a tube is left in the middle


def mended(joint: Joint, saw: Saw, cut: Cut) -> Rework:
    """Return the answer to a piece that was measured."""
    answer = decided(joint, saw, cut)
    return Rework(
        joint=joint,
        saw=saw,
        piece=cut.named.labels,
        verdict=answer.verdict,
        cutback=cut.share,
        wanted=cut.piece.share,
        band=(cut.low, cut.high),
        deeper=cut.deeper,
        shown=words.shown(cut),
        settings=words.settings(joint, saw, cut, answer),
        after=answer.after,
        reason=words.reason(joint, cut, answer),
        warnings=words.warnings(joint, saw, cut, answer),
        assumptions=words.assumptions(),
    )


def decided(joint: Joint, saw: Saw, cut: Cut) -> Answer:
    """Return what to do with a piece that was measured."""
    if cut.within_the_reading:
        return Answer(LEAVE, joint)
    if cut.deeper < 0.0:
        return Answer(RECUT, joint)
    again = _mitre_again(joint, cut)
    if isinstance(joint, ParallelToSplayedX) and isinstance(cut.piece, LegPiece):
        after, why = None, "the halved X cannot follow it"
    else:
        after, why = _after(joint, saw, cut)
    if after is not None:
        return Answer(MATES, after, "", again)
    if again is not None:
        return Answer(RECUT, _shortened(joint, cut, again), why, again)
    if isinstance(cut.piece, LegPiece):
        why += "; it is too short to be mitred again: saw another from straight tube"
    return Answer(SCRAP, None, why)


def _after(joint: Joint, saw: Saw, cut: Cut) -> tuple[Joint | None, str]:
    """Return the joint with every mate cut to match, or why there cannot be one."""
    piece = cut.piece
    wall = (piece.radius - piece.bore) / (2.0 * piece.radius)
    if cut.share >= 1.0 - wall:
        return None, "nothing of the tube is left in the middle"
    bend = not isinstance(joint, YMerge) and not isinstance(piece, LegPiece)
    if bend and cut.share > LOBES >= piece.share:
        return None, (
            "it is past the widest point: the opening is highest in two places, and less than "
            "half a tube is left in the middle"
        )
    if isinstance(piece, BendPiece) and _past_its_end(joint, saw, piece, cut.share):
        return None, "the tip of the opening is past the end of the piece"
    try:
        found = _recut(joint, cut)
    except ExhaustError as error:
        return None, f"no joint comes of it: {error}"
    wrong = _tip(joint, found, saw)
    return (None, wrong) if wrong else (found, "")


def _recut(joint: Any, cut: Cut) -> Joint:
    """Return the joint of pieces cut alike, straights and angles as they are."""
    share = _joint_share(joint, cut)
    if isinstance(joint, SplayedX):
        return joint.with_(cutback=share)
    held = joint.parallel if isinstance(joint, ParallelToSplayedX) else joint
    deeper = float(joint.tube.od) * (share - joint.cutback)
    like = joint.tube.od
    unit = (like.unit, like.scale) if isinstance(like, SI) else ("m", 1.0)
    spacing = SI(held.spacing - 2.0 * deeper, "length", *unit)
    return joint.with_(cutback=share, spacing=spacing)  # type: ignore[no-any-return]


def _joint_share(joint: Any, cut: Cut) -> float:
    """Return the `cutback` of the joint whose piece has the share that was measured."""
    if isinstance(joint, SplayedX) and joint.unequal == EQUAL_WIDTH and cut.named.labels == "B":
        ratio = math.cos(joint.entry.mitre_angle) / math.cos(joint.exit.mitre_angle)
        return 1.0 - (1.0 - cut.share) * ratio
    return cut.share


def _round_left(joint: Any, saw: Saw) -> float:
    """Return the round tube past the opening's tip on the piece that is sliced [m]."""
    if isinstance(joint, ParallelX):
        return work_on(joint, saw).tip_to_end
    if isinstance(joint, YMerge):
        past = joint.metal_left_arc if joint.run_on <= 0.0 else -joint.run_on
        return y_work_on(joint, saw).own_straight + past
    if isinstance(joint, SplayedX):
        return min(end.left_beyond_tip for end in joint.ends)
    return min(work_on(joint.parallel, saw).tip_to_end, float(joint.leg.left_beyond_tip))


def _past_its_end(joint: Any, saw: Saw, piece: BendPiece, share: float) -> bool:
    """Return whether the opening runs on further than the piece has straight."""
    if isinstance(joint, YMerge):
        ends = [y_work_on(joint, saw).own_straight]
    elif isinstance(joint, ParallelX):
        ends = [work_on(joint, saw).sliced_straight] * 2
    else:
        ends = [work_on(joint.parallel, saw).sliced_straight] * 2
        if isinstance(joint.leg, BentEnd):
            ends[1] = joint.leg.leg.straight
    runs = (piece.run_on(share, angle) for angle in piece.ends)
    return any(run > end + SLACK for run, end in zip(runs, ends, strict=True))


def _tip(joint: Any, found: Any, saw: Saw) -> str:
    """Return what is wrong with what is left past the tip of the deeper opening, or nothing."""
    left, was = _round_left(found, saw), _round_left(joint, saw)
    if left < RING <= was:
        return (
            f"only {cut_length(left)} of round tube is left past its tip, too little to clamp and "
            "to weld"
        )
    return ""


def _mitre_again(joint: Any, cut: Cut) -> float | None:
    """Return how far along a leg that was cut too deep is mitred again [m], if it is long enough.

    The long cut stays; a mitre further along the leg meets it where it is shallower.
    """
    if not isinstance(cut.piece, LegPiece):
        return None
    leg, end = cut.piece.leg, _end(joint, cut)
    up = 2.0 * leg.radius * (cut.share - leg.cutback) * leg.spread
    return up if end.length - up >= splayed.least_length(leg) + RING else None


def _end(joint: Any, cut: Cut) -> MitredEnd:
    if isinstance(joint, ParallelToSplayedX):
        assert isinstance(joint.leg, MitredEnd)
        return joint.leg
    return joint.exit if cut.named.labels == "B" else joint.entry  # type: ignore[no-any-return]


def _shortened(joint: Any, cut: Cut, up: float) -> Joint:
    """Return the joint with both legs of that end mitred further along by `up` [m]."""
    shorter = SI(_end(joint, cut).length - up, "length")
    if isinstance(joint, ParallelToSplayedX):
        return joint.with_(leg_length=shorter)
    if cut.named.labels == "B":
        return joint.with_(exit_leg_length=shorter)  # type: ignore[no-any-return]
    other = SI(joint.exit_leg_length, "length")
    return joint.with_(leg_length=shorter, exit_leg_length=other)  # type: ignore[no-any-return]
