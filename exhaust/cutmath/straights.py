"""The straight between a main bend and its return: who gives what, and where the kerf goes.

A halved bend is half a kerf short at its sawn face. Turned toward the main bend that is made up
with straight tube; turned outward it only shortens the part.
"""

from __future__ import annotations

from typing import NamedTuple

PIECE = 25e-3  # the straight ends give way to make a separate piece at least so long [m]


class StraightPlan(NamedTuple):
    """How one leg's straight is made up. Lengths [m]."""

    left_on_main: float  # straight end left on the main bend
    piece: float  # separate piece of tube, or 0
    left_on_return: float  # straight end left on the return, at the main bend's side
    sawn_face_out: bool  # the return's sawn face is at the exit
    at_exit: float  # straight at the exit; less than zero: the kerf shortens the part

    @property
    def butt_welds(self) -> int:
        """Butt welds on one leg, main bend to return."""
        return 2 if self.piece else 1

    def short_at_exit(self, return_tangent: float) -> float:
        """Return how much shorter the leg's end comes out than drawn with the return's own end [m].

        >>> straight_plan(0.030, 0.030, 0.030, 0.001).short_at_exit(0.030)
        0.0305
        """
        return return_tangent - self.at_exit


def straight_plan(
    straight: float, tangent: float, return_tangent: float, kerf: float
) -> StraightPlan:
    """Return how to make up `straight` [m] between two bends with halved returns.

    `tangent`, `return_tangent` [m] are the straight ends of the main and the return bend.

    >>> plan = straight_plan(0.060, 0.0, 0.0, 0.001)
    >>> plan.piece, plan.sawn_face_out
    (0.0605, False)
    """
    need = straight + kerf / 2
    if tangent >= need:
        return StraightPlan(need, 0.0, 0.0, False, return_tangent)
    if tangent + return_tangent >= straight:
        on_main = min(tangent, straight)
        return StraightPlan(on_main, 0.0, straight - on_main, True, -kerf / 2)
    on_main = _left_beside_a_piece(need, tangent)
    return StraightPlan(on_main, need - on_main, 0.0, False, return_tangent)


def _left_beside_a_piece(need: float, tangent: float) -> float:
    """Return what a straight end keeps so that the piece that follows is no ring."""
    return tangent if need - tangent >= PIECE else max(0.0, need - PIECE)


def splayed_plan(straight: float, tangent: float) -> StraightPlan:
    """Return how a splayed leg's straight is made up: no return follows, no kerf to make up.

    >>> splayed_plan(0.060, 0.040).piece
    0.025
    """
    on_leg = straight if tangent >= straight else _left_beside_a_piece(straight, tangent)
    return StraightPlan(on_leg, straight - on_leg, 0.0, False, 0.0)


def trimmed_plan(return_tangent: float) -> StraightPlan:
    """Return the plan when the bends themselves are trimmed: no straight, factory ends out."""
    return StraightPlan(0.0, 0.0, 0.0, False, return_tangent)
