"""The least stock opened, against trying every way and by hand."""

from __future__ import annotations

import itertools
import random

import pytest

from exhaust.cutmath import nesting_programme
from exhaust.cutmath.nesting import nested
from exhaust.errors import ExhaustError


def every_way(
    pieces: list[float], lengths: list[float], kerf: float, trim: float, on_hand: list[float]
) -> tuple[float, float]:
    """Independent: put every piece in every group, each group in its shortest stock or in what is
    on hand in every order; return (bought, opened on hand) of the best."""
    best = (float("inf"), float("inf"))
    for groups in itertools.product(range(len(pieces)), repeat=len(pieces)):
        needs = []
        for group in set(groups):
            held = [p for p, g in zip(pieces, groups, strict=True) if g == group]
            needs.append(sum(held) + kerf * (len(held) - 1) + trim)
        for ours in itertools.permutations([*on_hand, *[0.0] * len(needs)], len(needs)):
            bought = used = 0.0
            for need, one in zip(needs, ours, strict=True):
                fits = [x for x in ([one] if one else lengths) if x >= need - 1e-9]
                cost = min(fits, default=float("inf"))
                bought, used = (bought, used + cost) if one else (bought + cost, used)
            if used < float("inf"):
                best = min(best, (round(bought, 9), round(used, 9)))
    return best


@pytest.mark.parametrize("seed", range(8))
def test_no_other_way_opens_less_stock(seed: int) -> None:
    draw = random.Random(seed)
    pieces = [draw.randint(50, 900) / 1e3 for _ in range(5)]
    nest = nested(pieces, [1.0, 1.4], 0.002, 0.01)
    assert nest.gap == 0.0
    best, _ = every_way(pieces, [1.0, 1.4], 0.002, 0.01, [])
    assert nest.bought == pytest.approx(best, abs=1e-9)
    assert sorted(p for _, held, _ in nest.bars for p in held) == sorted(pieces)
    for length, held, _ in nest.bars:
        assert sum(held) + 0.002 * (len(held) - 1) + 0.01 <= length + 1e-8


@pytest.mark.parametrize("seed", range(6))
def test_no_other_way_buys_less_beside_what_is_on_hand(seed: int) -> None:
    draw = random.Random(seed)
    pieces = [draw.randint(100, 700) / 1e3 for _ in range(4)]
    ours = [draw.randint(300, 900) / 1e3 for _ in range(2)]
    nest = nested(pieces, [1.0, 1.4], 0.002, 0.01, ours)
    best, used = every_way(pieces, [1.0, 1.4], 0.002, 0.01, ours)
    assert nest.gap == 0.0
    assert nest.bought == pytest.approx(best, abs=1e-9)
    opened = sum(bar.length for bar in nest.bars if bar.on_hand)
    assert opened == pytest.approx(used, abs=1e-9)


@pytest.mark.parametrize("seed", range(4))
def test_both_programmes_agree(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Independent of each other: over ways to fill a bar, and over which piece comes from which."""
    draw = random.Random(seed)
    pieces = [draw.randint(100, 900) / 1e3 for _ in range(12)]
    by_ways = nested(pieces, [1.5, 2.5], 0.002, 0.01, [0.8])
    monkeypatch.setattr(nesting_programme, "MOST", 1)
    by_bars = nested(pieces, [1.5, 2.5], 0.002, 0.01, [0.8])
    assert (by_ways.gap, by_bars.gap) == (0.0, 0.0)
    assert by_ways.bought == pytest.approx(by_bars.bought, abs=1e-9)


def test_the_length_named_first_is_taken_where_two_buy_the_same() -> None:
    """By hand: two of 1 m, or one of 2 m."""
    for lengths, found in (([1.0, 2.0], [1.0, 1.0]), ([2.0, 1.0], [2.0])):
        nest = nested([0.9, 0.9], lengths, 0.001, 0.0)
        assert [bar.length for bar in nest.bars] == found


def test_the_kerf_between_two_pieces_is_counted() -> None:
    """Exact: two pieces of 0.5 m fill 1.001 m with a kerf of 1 mm, and not 1.000 m."""
    assert len(nested([0.5, 0.5], [1.001], 0.001, 0.0).bars) == 1
    assert len(nested([0.5, 0.5], [1.0], 0.001, 0.0).bars) == 2


def test_a_piece_longer_than_stock_is_refused() -> None:
    with pytest.raises(ExhaustError, match=r"pieces must fit the longest stock of 1000\.0 mm"):
        nested([1.0], [1.0], 0.001, 0.005)
