"""Straight pieces nested into stock lengths with the least stock opened."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from exhaust.errors import ExhaustError, broken

SLACK = 1e-9  # lengths that differ by less are the same [m]
SECONDS = 10.0  # longest search; a plan not proven least by then says its gap


class Nest(NamedTuple):
    """Which pieces come from which stock length. Lengths [m]."""

    bars: tuple[tuple[float, tuple[float, ...]], ...]  # (stock length, pieces sawn from it)
    gap: float  # stock opened above the least possible, at most, as a share; 0: proven least

    @property
    def opened(self) -> float:
        """Stock opened, all lengths together [m]."""
        return sum(length for length, _ in self.bars)


def nested(pieces: Sequence[float], lengths: Sequence[float], kerf: float, trim: float) -> Nest:
    """Return the nesting of `pieces` (n,) [m] that opens the least stock of `lengths` (m,) [m].

    Any number of each stock length may be opened. `trim` [m] squares one end of each, its kerf
    included; a piece takes one `kerf` [m] more, save a last one that ends with its stock:
    sum(piece + kerf) <= length - trim + kerf. Raises `ExhaustError` for a number that is not more
    than zero (kerf, trim: less than zero), a piece too long for every length, or no plan in time.

    >>> nest = nested([0.5, 0.5, 0.4], [1.0, 1.5], kerf=0.001, trim=0.01)
    >>> round(nest.opened, 3), nest.gap
    (1.5, 0.0)
    """
    _check(pieces, lengths, kerf, trim)
    if not pieces:
        return Nest((), 0.0)
    kinds, wanted = np.unique(np.asarray(pieces, dtype=float), return_counts=True)
    bars = np.repeat(np.unique(np.asarray(lengths, dtype=float)), len(pieces))
    counts, gap = _solved(kinds + kerf, wanted, bars, bars - trim + kerf)
    found = [
        (float(bar), tuple(float(kind) for kind in np.repeat(kinds, row)[::-1]))
        for bar, row in zip(bars, counts, strict=True)
        if row.any()
    ]
    return Nest(tuple(found), gap)


def _check(pieces: Sequence[float], lengths: Sequence[float], kerf: float, trim: float) -> None:
    if not lengths:
        raise broken("must name a stock length").named("lengths")
    for name, values in (("pieces", pieces), ("lengths", lengths)):
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


def _solved(
    sizes: np.ndarray, wanted: np.ndarray, bars: np.ndarray, room: np.ndarray
) -> tuple[np.ndarray, float]:
    """Return the pieces of each kind from each bar (bars, kinds), and the gap."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    b, k = len(bars), len(sizes)
    made = np.hstack([np.tile(np.eye(k), b), np.zeros((k, b))])
    filled = np.hstack([np.kron(np.eye(b), sizes), -np.diag(room)])
    most = np.concatenate([np.tile(wanted, b), np.ones(b)])
    answer = milp(
        np.concatenate([np.zeros(b * k), bars]),
        integrality=np.ones(b * k + b, dtype=np.int64),
        bounds=Bounds(0, most),
        constraints=[
            LinearConstraint(made, wanted, wanted),
            LinearConstraint(filled, -np.inf, SLACK),
        ],
        options={"time_limit": SECONDS, "mip_rel_gap": 0.0},
    )
    if answer.x is None:
        raise ExhaustError(f"pieces could not be nested ({answer.message}); nest fewer at a time")
    return np.rint(answer.x[: b * k]).astype(int).reshape(b, k), float(answer.mip_gap or 0.0)
