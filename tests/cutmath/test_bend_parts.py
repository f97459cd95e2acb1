"""What is said of straights that are hard to saw."""

from __future__ import annotations

import pytest

from exhaust import Saw
from exhaust.cutmath.bend_parts import RING, awkward
from exhaust.cutmath.straights import StraightPlan

SAW = Saw(kerf="1.1 mm", clamp_length="50 mm")
RING_WORDS, SHORT_WORDS = "Each straight is a ring of", "is shorter than the vice holds"


@pytest.mark.parametrize(
    ("piece", "words"),
    [
        (0.0, None),
        (5e-3, RING_WORDS),
        (RING - 1e-6, RING_WORDS),
        (RING, SHORT_WORDS),
        (49.9e-3, SHORT_WORDS),
        (50e-3, None),
        (0.2, None),
    ],
)
def test_a_straight_is_a_ring_or_too_short_for_the_vice_or_neither(
    piece: float, words: str | None
) -> None:
    """Common practice, no source: under half an inch there is nothing to hold."""
    found = awkward(StraightPlan(0.0, piece, 0.0, False, 0.0), None, SAW)
    assert len(found) == (words is not None)
    if words is not None:
        assert words in found[0]
