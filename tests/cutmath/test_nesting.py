"""The least stock opened, against trying every way and by hand."""

from __future__ import annotations

import itertools
import random

import pytest

from exhaust.cutmath.nesting import nested
from exhaust.errors import ExhaustError


def every_way(pieces: list[float], lengths: list[float], kerf: float, trim: float) -> float:
    """Independent: put every piece in every group, and each group in its shortest stock."""
    best = float("inf")
    for groups in itertools.product(range(len(pieces)), repeat=len(pieces)):
        total = 0.0
        for group in set(groups):
            held = [p for p, g in zip(pieces, groups, strict=True) if g == group]
            need = sum(held) + kerf * (len(held) - 1) + trim
            total += min((x for x in lengths if x >= need - 1e-9), default=float("inf"))
        best = min(best, total)
    return best


@pytest.mark.parametrize("seed", range(8))
def test_no_other_way_opens_less_stock(seed: int) -> None:
    draw = random.Random(seed)
    pieces = [draw.randint(50, 900) / 1e3 for _ in range(5)]
    nest = nested(pieces, [1.0, 1.4], 0.002, 0.01)
    assert nest.gap == 0.0
    assert nest.bought == pytest.approx(every_way(pieces, [1.0, 1.4], 0.002, 0.01), abs=1e-9)
    assert sorted(p for _, held, _ in nest.bars for p in held) == sorted(pieces)
    for length, held, _ in nest.bars:
        assert sum(held) + 0.002 * (len(held) - 1) + 0.01 <= length + 1e-8


def test_the_kerf_between_two_pieces_is_counted() -> None:
    """Exact: two pieces of 0.5 m fill 1.001 m with a kerf of 1 mm, and not 1.000 m."""
    assert len(nested([0.5, 0.5], [1.001], 0.001, 0.0).bars) == 1
    assert len(nested([0.5, 0.5], [1.0], 0.001, 0.0).bars) == 2


def test_a_piece_longer_than_stock_is_refused() -> None:
    with pytest.raises(ExhaustError, match=r"pieces must fit the longest stock of 1000\.0 mm"):
        nested([1.0], [1.0], 0.001, 0.005)
