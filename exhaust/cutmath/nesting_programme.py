"""The two integer programmes of a nesting, each exact, solved by HiGHS."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from exhaust.errors import ExhaustError

if TYPE_CHECKING:
    from scipy.optimize import LinearConstraint

    Array = np.ndarray

SLACK = 1e-9  # lengths that differ by less are the same [m]
PROVEN = 1e-6  # a gap smaller than this is rounding
LONG, SHORT = 20_000, 300  # branches searched; a plan not proven least by then says its gap
SECONDS = 10.0  # longest search, should a branch take long
MOST = 20_000  # steps taken to list the ways to fill a bar, before the other programme is used


class Kind(NamedTuple):
    """One kind of bar: its length and the room for pieces with their kerf [m], how many there are.

    Those that are `on_hand` cost nothing.
    """

    length: float
    room: float
    most: int
    on_hand: bool


Filled = list[tuple[int, "Array"]]  # of each bar opened: its kind, how many of each size


def ways(sizes: Array, wanted: Array, room: float) -> Array | None:
    """Return every way to fill a bar to which no more can be added (ways, sizes), or None.

    `sizes` [m] ascending, no more than `wanted` of each; None if there are too many to list.

    >>> ways(np.array([2.0, 3.0]), np.array([5, 5]), 7.0).tolist()
    [[0, 2], [2, 1], [3, 0]]
    """
    rest = np.concatenate([[0.0], np.cumsum(sizes * wanted)])  # of all smaller sizes
    found: list[tuple[int, ...]] = []
    stack: list[tuple[float, tuple[int, ...]]] = [(room, ())]
    for _ in range(MOST):
        if not stack:
            return np.array(found, dtype=int).reshape(len(found), len(sizes))
        left, taken = stack.pop()
        at = len(sizes) - 1 - len(taken)
        if at < 0:
            counts = np.array(taken[::-1], dtype=int)
            if np.all((counts == wanted) | (sizes > left + SLACK)) and counts.any():
                found.append(taken[::-1])
            continue
        top = min(int(wanted[at]), int((left + SLACK) / sizes[at]))
        for count in range(max(top, 0) + 1):
            after = left - count * sizes[at]
            if count == top or after - rest[at] < sizes[at] - SLACK:  # else one more would fit
                stack.append((after, (*taken, count)))
    return None


def by_ways(wanted: Array, kinds: Sequence[Kind], filled: Sequence[Array]) -> tuple[Filled, float]:
    """Return the bars opened, how often each of the ways in `filled` is used being unknown."""
    from scipy.optimize import LinearConstraint

    kind = np.repeat(np.arange(len(kinds)), [len(one) for one in filled])
    table = np.vstack(filled)
    of_kind = np.array([kind == number for number in range(len(kinds))], dtype=float)
    most = np.array([one.most for one in kinds], dtype=float)
    limits = [
        LinearConstraint(table.T, wanted, np.inf),
        LinearConstraint(of_kind, 0.0, most),
    ]
    used, gap = _least(kinds, kind, most[kind], limits)
    left, found = wanted.copy(), []
    for number in np.repeat(np.arange(len(kind)), np.rint(used).astype(int)):
        counts = np.minimum(table[number], left)  # a way may make more than is wanted
        left = left - counts
        if counts.any():
            found.append((int(kind[number]), counts))
    return found, gap


def by_bars(sizes: Array, wanted: Array, kinds: Sequence[Kind]) -> tuple[Filled, float]:
    """Return the bars opened, how many of each size come from each bar being unknown."""
    from scipy.optimize import LinearConstraint

    cost = _quick_cost(np.repeat(sizes, wanted)[::-1], kinds)
    counts = [one.most if one.on_hand else int(cost / one.length + SLACK) for one in kinds]
    kind = np.repeat(np.arange(len(kinds)), counts)
    room = np.array([one.room for one in kinds])[kind]
    b, k = len(kind), len(sizes)
    made = np.hstack([np.zeros((k, b)), np.tile(np.eye(k), b)])
    full = np.hstack([-np.diag(room), np.kron(np.eye(b), sizes)])
    limits = [LinearConstraint(made, wanted, wanted), LinearConstraint(full, -np.inf, SLACK)]
    most = np.concatenate([np.ones(b), np.tile(wanted, b)])
    solved, gap = _least(kinds, kind, most, limits)
    rows = np.rint(solved[b:]).astype(int).reshape(b, k)
    return [(int(one), row) for one, row in zip(kind, rows, strict=True) if row.any()], gap


def _quick_cost(pieces: Array, kinds: Sequence[Kind]) -> float:
    """Return what is bought if each piece, longest first, goes in the first bar with room [m]."""
    costs = []
    for kind in kinds:
        if kind.on_hand or pieces[0] > kind.room + SLACK:
            continue
        left: list[float] = []
        for piece in pieces:
            place = next((n for n, room in enumerate(left) if piece <= room + SLACK), len(left))
            left += [kind.room] if place == len(left) else []
            left[place] -= float(piece)
        costs.append(len(left) * kind.length)
    return min(costs)


def _least(
    kinds: Sequence[Kind], kind: Array, most: Array, limits: list[LinearConstraint]
) -> tuple[Array, float]:
    """Return the whole numbers that buy least, and the gap of that.

    Then they open least of what is on hand, then most of the kinds that come first, as far as a
    short search finds. The first unknowns stand for bars of a `kind`; any others cost nothing.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    lengths = np.array([one.length for one in kinds])[kind]
    ours = np.array([one.on_hand for one in kinds])[kind]
    costs = [np.where(ours, 0.0, lengths)]
    costs += [np.where(ours, lengths, 0.0)] if ours.any() else []
    costs += [np.where(ours, 0.0, kind)] if np.any(kind[~ours]) else []
    gap, found = 0.0, np.zeros(len(most))
    for number, cost in enumerate(costs):
        whole = np.concatenate([cost, np.zeros(len(most) - len(kind))])
        answer = milp(
            whole,
            integrality=np.ones(len(most), dtype=np.int64),
            bounds=Bounds(0, most),
            constraints=limits,
            options={
                "time_limit": SECONDS,
                "node_limit": SHORT if number else LONG,
                "mip_rel_gap": 0.0,
            },
        )
        if answer.x is None and number:
            break
        if answer.x is None:
            rule = f"pieces could not be nested ({answer.message})"
            raise ExhaustError(f"{rule}; nest fewer at a time")
        limits.append(LinearConstraint(whole, -np.inf, answer.fun + 1e-6))
        found = np.asarray(answer.x)
        if not number and answer.fun > SLACK and (answer.mip_gap or 0.0) > PROVEN:
            gap = float(answer.mip_gap)
    return found, gap
