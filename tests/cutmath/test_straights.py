"""Every way to make up a straight adds up to it, kerf and all."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust.cutmath.straights import PIECE, splayed_plan, straight_plan

lengths = st.one_of(st.just(0.0), st.floats(1e-4, 0.2))
kerfs = st.floats(0.2e-3, 3e-3)


@given(straight=lengths, tangent=lengths, back=lengths, kerf=kerfs)
def test_the_pieces_add_up_to_the_straight(
    straight: float, tangent: float, back: float, kerf: float
) -> None:
    """Exact: a sawn face turned inward takes half a kerf away, and nothing else does."""
    plan = straight_plan(straight, tangent, back, kerf)
    inward = 0.0 if plan.sawn_face_out else kerf / 2
    made = plan.left_on_main + plan.piece + plan.left_on_return - inward
    assert made == pytest.approx(straight, abs=1e-15)


@given(straight=lengths, tangent=lengths, back=lengths, kerf=kerfs)
def test_nothing_is_longer_than_it_came(
    straight: float, tangent: float, back: float, kerf: float
) -> None:
    plan = straight_plan(straight, tangent, back, kerf)
    assert 0.0 <= plan.left_on_main <= tangent + 1e-15
    assert 0.0 <= plan.left_on_return <= back + 1e-15
    assert plan.at_exit in (back, -kerf / 2)
    assert plan.piece >= 0.0


@given(straight=lengths, tangent=lengths, back=lengths, kerf=kerfs)
def test_a_thin_ring_is_sawn_only_when_there_is_no_other_way(
    straight: float, tangent: float, back: float, kerf: float
) -> None:
    plan = straight_plan(straight, tangent, back, kerf)
    if 0.0 < plan.piece < PIECE - 1e-12:
        assert plan.left_on_main == 0.0


@given(straight=lengths, tangent=lengths)
def test_a_splayed_legs_straight_is_its_bends_own_end_and_a_piece_that_can_be_sawn(
    straight: float, tangent: float
) -> None:
    plan = splayed_plan(straight, tangent)
    assert plan.left_on_main + plan.piece == pytest.approx(straight, abs=1e-15)
    assert 0.0 <= plan.left_on_main <= tangent + 1e-15
    assert plan.piece >= 0.0
    if 0.0 < plan.piece < PIECE - 1e-12:
        assert plan.left_on_main == 0.0


def test_two_bends_end_to_end_turn_the_kerf_outward() -> None:
    """With no straight there is nothing to make up half a kerf with: the exit takes it."""
    plan = straight_plan(0.0, 0.0, 0.0, 1.2e-3)
    assert plan.sawn_face_out
    assert plan.at_exit == -0.6e-3
    assert plan.butt_welds == 1
