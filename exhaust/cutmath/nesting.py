"""Pieces nested into stock with the least bought: lengths of tube, or the angles of bends.

Stock bought comes first; among plans that buy the same, the one that opens the least of what is
on hand, then the one that has most of the lengths named first. Few pieces to a bar: an integer
programme over every way to fill one (Gilmore and Gomory); too many ways: one over which piece
comes from which bar.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from exhaust.cutmath.nesting_programme import Kind, by_bars, by_ways, ways
from exhaust.errors import broken

SLACK = 1e-9  # lengths that differ by less are the same [m]


class Bar(NamedTuple):
    """One bar that is opened: its length, the pieces from it in order, whether it is on hand."""

    length: float
    pieces: tuple[float, ...]
    on_hand: bool


class Nest(NamedTuple):
    """Which pieces come from which bar. Lengths [m]."""

    bars: tuple[Bar, ...]
    gap: float  # stock bought above the least possible, at most, as a share; 0: proven least

    @property
    def bought(self) -> float:
        """Stock to buy, all lengths together [m]."""
        return sum(bar.length for bar in self.bars if not bar.on_hand)


def nested(
    pieces: Sequence[float],
    lengths: Sequence[float],
    kerf: float,
    trim: float,
    on_hand: Sequence[float] = (),
) -> Nest:
    """Return the nesting of `pieces` (n,) [m] that buys the least stock of `lengths` (m,) [m].

    Any number of each length may be bought; each of `on_hand` [m] is there once. `trim` [m]
    squares one end of each, its kerf included; a piece takes one `kerf` [m] more, save a last one
    that ends with its stock: sum(piece + kerf) <= length - trim + kerf. Raises `ExhaustError` for
    a number that is not more than zero (kerf, trim: less than zero), a piece too long for every
    length, or no plan in time.

    >>> nest = nested([0.5, 0.5, 0.4], [1.0, 1.5], kerf=0.001, trim=0.01)
    >>> round(nest.bought, 3), nest.gap
    (1.5, 0.0)
    """
    _check(pieces, lengths, kerf, trim, on_hand)
    if not pieces:
        return Nest((), 0.0)
    sizes, wanted = np.unique(np.asarray(pieces, dtype=float), return_counts=True)
    kinds = [
        *(Kind(float(x), x - trim + kerf, len(pieces), False) for x in dict.fromkeys(lengths)),
        *(
            Kind(float(x), x - trim + kerf, int(many), True)
            for x, many in zip(*np.unique(on_hand, return_counts=True), strict=True)
            if x - trim > sizes[0] - SLACK
        ),
    ]
    filled = [ways(sizes + kerf, wanted, kind.room) for kind in kinds]
    known = [one for one in filled if one is not None]
    if len(known) == len(kinds):
        found, gap = by_ways(wanted, kinds, known)
    else:
        found, gap = by_bars(sizes + kerf, wanted, kinds)
    bars = [
        Bar(kinds[kind].length, _pieces(sizes, row), kinds[kind].on_hand) for kind, row in found
    ]
    return Nest(tuple(sorted(bars, key=_order)), gap)


def _pieces(sizes: np.ndarray, counts: np.ndarray) -> tuple[float, ...]:
    """Return the pieces of one bar, longest first."""
    return tuple(float(size) for size in np.repeat(sizes, counts)[::-1])


def _order(bar: Bar) -> tuple[object, ...]:
    """What is on hand first, then the longest stock, the fullest first."""
    return (not bar.on_hand, -bar.length, -sum(bar.pieces), tuple(-piece for piece in bar.pieces))


def _check(
    pieces: Sequence[float],
    lengths: Sequence[float],
    kerf: float,
    trim: float,
    on_hand: Sequence[float],
) -> None:
    if not lengths:
        raise broken("must name a stock length").named("lengths")
    for name, values in (("pieces", pieces), ("lengths", lengths), ("on_hand", on_hand)):
        if not all(0 < value < np.inf for value in values):
            raise broken("must each be more than zero", list(values)).named(name)
    for name, value in (("kerf", kerf), ("trim", trim)):
        if not 0 <= value < np.inf:
            raise broken("must be zero or more", value).named(name)
    if pieces and max(pieces) > max(lengths) - trim + SLACK:
        raise broken(
            f"must fit the longest stock of {max(lengths) * 1e3:.1f} mm less its trim",
            f"{max(pieces) * 1e3:.1f} mm",
            "name a longer stock length or weld the piece from two",
        ).named("pieces")
