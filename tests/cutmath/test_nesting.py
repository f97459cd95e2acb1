"""The least stock opened, against trying every way and by hand."""

from __future__ import annotations

import itertools
import random

import numpy as np
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


def every_fill(sizes: list[float], wanted: list[int], room: float) -> set[tuple[int, ...]]:
    """Independent: all counts of each size that fit, less those that take one more."""
    counts = itertools.product(*(range(most + 1) for most in wanted))
    fits = {
        each
        for each in counts
        if sum(n * size for n, size in zip(each, sizes, strict=True)) <= room + 1e-9
    }
    more = {
        each
        for each in fits
        for at in range(len(sizes))
        if each[at] < wanted[at] and (*each[:at], each[at] + 1, *each[at + 1 :]) in fits
    }
    return {each for each in fits - more if any(each)}


@pytest.mark.parametrize("seed", range(12))
def test_ways_are_those_that_take_no_more(seed: int) -> None:
    draw = random.Random(seed)
    sizes = sorted(draw.sample(range(1, 12), draw.randint(1, 4)))
    wanted = [draw.randint(1, 4) for _ in sizes]
    room = float(draw.randint(1, 24))
    found = nesting_programme.ways(np.array(sizes, float), np.array(wanted), room)
    assert found is not None
    rows = [tuple(row) for row in found.tolist()]
    assert len(rows) == len(set(rows))
    assert set(rows) == every_fill([float(size) for size in sizes], wanted, room)
    assert found.shape[1] == len(sizes)


def test_room_that_is_filled_to_a_rounding_is_filled() -> None:
    """Three of 0.1 fill 0.3, whichever side of it their sum is rounded to."""
    found = nesting_programme.ways(np.array([0.1]), np.array([3]), 0.3)
    assert found is not None
    assert found.tolist() == [[3]]
    assert len(nested([0.1, 0.1, 0.1], [0.3], 0.0, 0.0).bars) == 1
    tight = nested([0.5], [1.0], 0.001, 0.01, [0.51])  # trim and the piece, its kerf off the end
    assert [bar.on_hand for bar in tight.bars] == [True]
    short = nested([0.5], [1.0], 0.001, 0.01, [0.509])
    assert [bar.on_hand for bar in short.bars] == [False]


def test_nothing_to_nest_opens_nothing() -> None:
    nest = nested([], [1.0], 0.001, 0.0)
    assert (nest.bars, nest.gap, nest.bought) == ((), 0.0, 0.0)


def test_each_length_on_hand_is_there_as_often_as_it_was_counted() -> None:
    """By hand: two of 0.8 m are there for three pieces of 0.7, and 1 m is bought for the third."""
    nest = nested([0.7, 0.7, 0.7], [1.0], 0.001, 0.0, [0.8, 0.8, 0.3])
    assert [(bar.length, bar.on_hand) for bar in nest.bars] == [
        (0.8, True),
        (0.8, True),
        (1.0, False),
    ]
    assert nest.bought == 1.0
    once = nested([0.7, 0.7, 0.7], [1.0], 0.001, 0.0, [0.8])
    assert sum(bar.on_hand for bar in once.bars) == 1


def test_bars_come_in_the_order_they_are_sawn_in() -> None:
    """On hand first, the longest stock next, the fullest first; the longest piece of each first."""
    nest = nested([0.9, 0.5, 0.4, 1.8, 0.95, 0.2], [1.0, 2.0], 0.0, 0.0, [0.9])
    assert nest.bars[0].on_hand
    bought = [bar for bar in nest.bars if not bar.on_hand]
    lengths = [bar.length for bar in bought]
    assert lengths == sorted(lengths, reverse=True)
    for bar in nest.bars:
        assert list(bar.pieces) == sorted(bar.pieces, reverse=True)
    for one, other in itertools.pairwise(bought):
        if one.length == other.length:
            assert sum(one.pieces) >= sum(other.pieces) - 1e-12


@pytest.mark.parametrize("many", [False, True])
def test_the_least_bought_comes_before_the_least_opened_and_the_first_named(
    many: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By hand, in that order: what is bought; of what is on hand the shorter; the first kind."""
    if many:
        monkeypatch.setattr(nesting_programme, "MOST", 1)
    nest = nested([0.5], [1.0, 2.0], 0.0, 0.0, [0.9, 0.6])
    assert [(bar.length, bar.on_hand) for bar in nest.bars] == [(0.6, True)]
    nest = nested([0.9, 0.9, 0.9], [2.0, 1.0], 0.0, 0.0, [0.95])  # one there, two of the first
    assert [(bar.length, bar.on_hand) for bar in nest.bars] == [(0.95, True), (2.0, False)]
    nest = nested([0.9, 0.9, 0.9], [2.0, 1.0], 0.0, 0.0)
    assert sorted(bar.length for bar in nest.bars) == [1.0, 2.0]
    nest = nested([0.5, 0.5, 0.5], [1.0, 1.6], 0.0, 0.0)  # 1.6 alone, not twice 1.0
    assert [bar.length for bar in nest.bars] == [1.6]
    assert nest.gap == 0.0


def test_first_fit_is_a_bound_on_what_is_bought() -> None:
    """Longest first, each in the first bar with room: 3 bars of 1.0; of 1.6 two; the less is kept.

    What is on hand is not bought, and a kind too short for the longest piece does not count.
    """
    pieces = np.array([0.7, 0.6, 0.4, 0.3, 0.3])
    kind = nesting_programme.Kind
    one, two = kind(1.0, 1.0, 5, False), kind(1.6, 1.6, 5, False)
    assert nesting_programme._quick_cost(pieces, [one]) == pytest.approx(3.0)
    assert nesting_programme._quick_cost(pieces, [two]) == pytest.approx(3.2)
    assert nesting_programme._quick_cost(pieces, [one, two]) == pytest.approx(3.0)
    ours, small = kind(9.0, 9.0, 1, True), kind(0.5, 0.5, 5, False)
    assert nesting_programme._quick_cost(pieces, [ours, small, two]) == pytest.approx(3.2)


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"pieces": [0.0]}, "pieces must each be more than zero"),
        ({"pieces": [float("inf")]}, "pieces must each be more than zero"),
        ({"lengths": [-1.0]}, "lengths must each be more than zero"),
        ({"on_hand": [0.0]}, "on_hand must each be more than zero"),
        ({"lengths": []}, "lengths must name a stock length"),
        ({"kerf": -1e-6}, "kerf must be zero or more"),
        ({"trim": float("inf")}, "trim must be zero or more"),
    ],
)
def test_what_is_no_length_is_refused(given: dict[str, object], message: str) -> None:
    usual: dict[str, object] = {"pieces": [0.5], "lengths": [1.0], "kerf": 0.0, "trim": 0.0}
    with pytest.raises(ExhaustError, match=message):
        nested(**(usual | given))  # type: ignore[arg-type]
    assert nested([1.0], [1.0], 0.0, 0.0).bought == 1.0  # just fits


def test_a_plan_that_was_not_proven_says_how_far_it_may_be_from_the_least(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The solver's own gap of the search for the least bought is the plan's."""
    import scipy.optimize

    solve = scipy.optimize.milp

    def unproven(*given: object, **named: object) -> object:
        answer = solve(*given, **named)
        answer.mip_gap = 0.125
        return answer

    monkeypatch.setattr(scipy.optimize, "milp", unproven)
    nest = nested([0.3, 0.4, 0.6], [1.0, 1.4], 0.002, 0.01)
    assert nest.gap == 0.125
