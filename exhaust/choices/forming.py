"""How two sliced legs are brought to their outlet: by the cut, or by stretching."""

from __future__ import annotations

from typing import NamedTuple

from exhaust.geometry.merge import stretch, zero_stretch_cutback
from exhaust.joints.forming import Stretching, ring, stretching
from exhaust.stock import Tube

HALF = 0.5


class Forming(NamedTuple):
    """What it takes to bring two legs to one outlet."""

    cutback: float  # that needs no stretch, on the middle of the wall
    at_half: Stretching  # of a half cutback

    @property
    def stretch_at_half(self) -> float:
        """Share that a half cutback must be stretched."""
        return self.at_half.share

    def words(self) -> str:
        """Return the judgement of a half cutback in a few words."""
        return self.at_half.words(self.cutback)


def forming(leg: Tube, outlet: Tube) -> Forming:
    """Return what it takes to bring two legs of one tube to `outlet`.

    >>> small, large = Tube(od="2.5 in", wall="16 ga"), Tube(od="3 in", wall="16 ga")
    >>> ways = forming(small, large)
    >>> round(ways.cutback, 4), ways.words()
    (0.3456, '20.5 % is over 15.0 % in one step: slice at 0.346')
    """
    return Forming(
        cutback=zero_stretch_cutback(ring(leg), ring(outlet)),
        at_half=stretching(stretch(ring(leg), HALF, ring(outlet)), leg),
    )
