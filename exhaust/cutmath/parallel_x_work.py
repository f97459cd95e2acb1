"""One parallel X on one saw: what the settings, checks and drawings are worked out from."""

from __future__ import annotations

from typing import NamedTuple

from exhaust.cutmath.straights import StraightPlan, straight_plan, trimmed_plan
from exhaust.joints import ParallelX
from exhaust.stock import Bend, Saw


class Work(NamedTuple):
    """A parallel X, the saw, and how the straights between its bends are made up."""

    x: ParallelX
    saw: Saw
    plan: StraightPlan

    @property
    def bend(self) -> Bend:
        """The main bend."""
        return self.x.bend

    @property
    def returns(self) -> Bend:
        """The bend that is halved for the returns."""
        return self.x.return_bend

    @property
    def outer(self) -> float:
        """Radius of a main bend's heel [m]."""
        return self.bend.clr + self.x.tube.od / 2

    @property
    def inner(self) -> float:
        """Radius of a main bend's throat [m]."""
        return self.bend.clr - self.x.tube.od / 2

    @property
    def main_straight(self) -> float:
        """Straight end left on the main bend [m]."""
        return 0.0 if self.x.trimmed else self.plan.left_on_main

    @property
    def welded_first(self) -> bool:
        """Whether the opening runs past the bend's own straight end, onto what follows."""
        return self.x.run_on > self.main_straight

    @property
    def tip_to_end(self) -> float:
        """Round tube beyond the opening, along the heel, on the piece that is sliced [m]."""
        if self.x.run_on <= 0:
            return self.x.metal_left_arc + self.main_straight
        return self.sliced_straight - self.x.run_on

    @property
    def sliced_straight(self) -> float:
        """Straight on each end of the piece when it is sliced [m]."""
        return self.x.spacer if self.welded_first else self.main_straight

    @property
    def short(self) -> float:
        """How much shorter every exit comes out than drawn: what its returns turn inward [m]."""
        return self.plan.short_at_exit(float(self.returns.tangent))

    @property
    def overall_length(self) -> float:
        """End to end as this saw makes it [m]."""
        return self.x.overall_length - 2 * self.short


def work_on(x: ParallelX, saw: Saw) -> Work:
    """Return the work that `x` is on `saw`."""
    if x.trimmed:
        return Work(x, saw, trimmed_plan(x.return_bend.tangent))
    return Work(x, saw, straight_plan(x.spacer, x.bend.tangent, x.return_bend.tangent, saw.kerf))
