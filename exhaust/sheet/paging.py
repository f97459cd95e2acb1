"""Divides a drawing at full size over sheets of paper that are joined again by their crosses.

Plain lengths [m]; nothing here draws.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from exhaust.errors import broken, nearest, typed

OVERLAP = 12e-3  # that two sheets both show, half on either side of their join [m]
CLEAR = 7.5e-3  # of a join from a line that is better left whole [m]
SHIFTS = (0.0, -8e-3, -16e-3, 8e-3, 16e-3, -24e-3, 24e-3)  # tried in turn for that [m]


class Paper(NamedTuple):
    """A size of paper, upright [m]."""

    name: str
    width: float
    height: float


PAPERS = {
    paper.name: paper for paper in (Paper("A4", 0.210, 0.297), Paper("Letter", 0.2159, 0.2794))
}


class Room(NamedTuple):
    """Where a drawing may stand on a sheet of paper: from its lower left corner [m]."""

    left: float
    bottom: float
    width: float
    height: float


class Tile(NamedTuple):
    """One sheet's part of a drawing: which of the rows from the top and of the columns, and [m]."""

    row: int
    column: int
    left: float
    bottom: float
    right: float
    top: float


class Paged(NamedTuple):
    """A drawing on its sheets: `tiles` in reading order, where they join, the rows and columns."""

    tiles: tuple[Tile, ...]
    across: tuple[float, ...]  # joins between columns, from the left [m]
    along: tuple[float, ...]  # joins between rows, from the bottom [m]

    @property
    def rows(self) -> int:
        """How many rows of sheets."""
        return len(self.along) + 1

    @property
    def columns(self) -> int:
        """How many columns of sheets."""
        return len(self.across) + 1


def usual_paper(units: str) -> Paper:
    """Return the paper of a shop that works in `units`.

    >>> usual_paper("inch").name, usual_paper("metric").name
    ('Letter', 'A4')
    """
    return PAPERS["Letter" if units == "inch" else "A4"]


def checked_paper(paper: object) -> Paper:
    """Return the size of paper of that name, or refuse it.

    >>> checked_paper("A3")
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: paper is not a known choice (got 'A3'); nearest: "A4"
    """
    if isinstance(paper, str) and paper in PAPERS:
        return PAPERS[paper]
    known = nearest(paper if isinstance(paper, str) else "", PAPERS)
    raise broken("is not a known choice", typed(paper), known).named("paper")


def joins(
    low: float, high: float, available: float, spared: Sequence[float] = ()
) -> tuple[float, ...]:
    """Return where a length from `low` to `high` is divided to fit on `available` [m].

    Equal shares, each sheet with half of OVERLAP more at a join; all moved a little, where there
    is room, so that no join is within CLEAR of a line in `spared`.

    >>> joins(0.0, 0.25, 0.19), joins(0.0, 0.25, 0.19, [0.125])
    ((0.125,), (0.117,))
    """
    count = 1
    while True:
        share = (high - low) / count
        found = tuple(low + share * number for number in range(1, count))
        if _fit(_shown(low, high, found), available):
            break
        count += 1
    for shift in SHIFTS:
        moved = tuple(round(place + shift, 9) for place in found)
        clear = all(abs(place - line) >= CLEAR for place in moved for line in spared)
        if clear and _fit(_shown(low, high, moved), available):
            return moved
    return found


def _shown(low: float, high: float, found: Sequence[float]) -> list[tuple[float, float]]:
    """Return what each sheet shows of a length, overlap and all [m]."""
    half = OVERLAP / 2.0
    starts, ends = (low, *found), (*found, high)
    return [(max(a - half, low), min(b + half, high)) for a, b in zip(starts, ends, strict=True)]


def _fit(shown: Sequence[tuple[float, float]], available: float) -> bool:
    return all(high - low <= available for low, high in shown)


def paged(
    bounds: tuple[float, float, float, float], room: Room, spared: Sequence[float] = ()
) -> Paged:
    """Return a drawing's `bounds` (left, bottom, right, top) [m] divided over sheets with `room`.

    `spared` are upright lines that a join keeps clear of [m].

    >>> found = paged((-0.12, 0.0, 0.12, 0.1), Room(0.01, 0.01, 0.19, 0.25))
    >>> found.rows, found.columns, [round(tile.right, 3) for tile in found.tiles]
    (1, 2, [0.006, 0.12])
    """
    left, bottom, right, top = bounds
    across = joins(left, right, room.width, spared)
    along = joins(bottom, top, room.height)
    columns = _shown(left, right, across)
    rows = _shown(bottom, top, along)[::-1]
    tiles = [
        Tile(row, column, x0, y0, x1, y1)
        for row, (y0, y1) in enumerate(rows, start=1)
        for column, (x0, x1) in enumerate(columns, start=1)
    ]
    return Paged(tuple(tiles), across, along)


def crosses(page: Paged, bounds: tuple[float, float, float, float]) -> list[tuple[float, float]]:
    """Return where the crosses stand by which sheets are laid on each other [m].

    Two on each stretch of a join, at its quarters; every one of them is on both sheets.

    >>> found = paged((-0.12, 0.0, 0.12, 0.1), Room(0.01, 0.01, 0.19, 0.25))
    >>> [(round(x, 3), round(y, 3)) for x, y in crosses(found, (-0.12, 0.0, 0.12, 0.1))]
    [(0.0, 0.025), (0.0, 0.075)]
    """
    left, bottom, right, top = bounds
    upright = [(x, y) for x in page.across for y in _quarters((bottom, *page.along, top))]
    level = [(x, y) for y in page.along for x in _quarters((left, *page.across, right))]
    return upright + level


def _quarters(ends: Sequence[float]) -> list[float]:
    """Return the places a quarter in from both ends of each stretch."""
    found = []
    for low, high in pairwise(ends):
        found += [low + (high - low) / 4.0, high - (high - low) / 4.0]
    return found
