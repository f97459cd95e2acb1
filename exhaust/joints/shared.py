"""What every joint answers in the same shape: the room it takes, its seams, its profile."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, NamedTuple

from exhaust.errors import broken

if TYPE_CHECKING:
    from exhaust.geometry.quadrature import Array
    from exhaust.stock import Tube


class Envelope(NamedTuple):
    """The room that a joint takes [m].

    >>> Envelope(width=0.25, length=0.31, height=0.0635).width
    0.25
    """

    width: float
    length: float
    height: float


class Seam(NamedTuple):
    """One kind of weld: what it joins, the `length` of one [m], how many there are.

    >>> Seam("bend to return", 0.2, count=4).count
    4
    """

    name: str
    length: float
    count: int  # type: ignore[assignment]  # tuple.count is not wanted


class Profile(NamedTuple):
    """One side of a joint along its own centreline, from entry to exit; arrays [stations].

    `position` from the entry [m]; `leg_area` for flow, square to the side's own path [m^2];
    `window_height` of the opening to the other side, in the same section [m], nought beside it.

    >>> import numpy as np
    >>> a = Profile(np.array([0.0, 0.1]), np.array([3e-3, 2e-3]), np.array([0.0, 0.04]))
    >>> float(a.leg_area.min())
    0.002
    """

    position: Array
    leg_area: Array
    window_height: Array


def welded(seams: Iterable[Seam]) -> float:
    """Return the length of all `seams` together [m].

    >>> welded([Seam("round the opening", 0.3, 1), Seam("bend to return", 0.2, 4)])
    1.1
    """
    return sum(seam.count * seam.length for seam in seams)


def odd(stations: int) -> int:
    """Return a number of stations that has one in the middle, or refuse it.

    >>> odd(40)
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: stations must be an odd whole number, 3 or more (got 40); one...
    """
    if (
        isinstance(stations, bool)
        or not isinstance(stations, int)
        or stations < 3
        or stations % 2 == 0
    ):
        rule = "must be an odd whole number, 3 or more"
        raise broken(rule, f"{stations}", "one of them is the middle").named("stations")
    return stations


class Crossover:
    """What every joint of two tubes in and the same two out answers; it adds the rest."""

    legs_in: int = 2
    legs_out: int = 2

    @property
    def tube(self) -> Tube:
        """The tube it is made of."""
        raise NotImplementedError

    @property
    def outlet(self) -> Tube:
        """The tube that goes on from it: its own."""
        return self.tube

    @property
    def seams(self) -> tuple[Seam, ...]:
        """Its welds, one for each kind; the one round the opening first."""
        raise NotImplementedError

    @property
    def weld_length(self) -> float:
        """Length of all its welds [m]."""
        return welded(self.seams)
