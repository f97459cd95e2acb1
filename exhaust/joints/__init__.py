"""The joints of the trade: thin descriptions on top of `geometry`."""

from __future__ import annotations

from typing import Protocol, Self, runtime_checkable

from exhaust.joints.parallel_x import Envelope as Envelope
from exhaust.joints.parallel_x import ParallelX as ParallelX
from exhaust.stock import Tube


@runtime_checkable
class Joint(Protocol):
    """What every joint answers, whatever its shape."""

    @property
    def tube(self) -> Tube:
        """The tube it is made of."""

    @property
    def narrowest_area(self) -> float:
        """Least area for flow, both sides together [m^2]."""

    @property
    def narrowest_ratio(self) -> float:
        """Narrowest area over the flow area of its tubes."""

    @property
    def window_area(self) -> float:
        """Area of the opening between the two sides [m^2]."""

    def with_tube(self, tube: Tube) -> Self:
        """Return the same joint in another tube."""
