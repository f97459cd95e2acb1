"""What a joint answers about the step between two sawn faces that it welds together."""

from __future__ import annotations

import math
from functools import cached_property
from typing import NamedTuple

import numpy as np

from exhaust.errors import broken
from exhaust.geometry.mismatch import Meeting, Steps, overlap_area
from exhaust.geometry.quadrature import Array
from exhaust.stock import Tube


class StepRound(NamedTuple):
    """How far the second face's edge stands outside the first's, round one half of a side.

    `angle` from the outer edge towards the seam [rad] and `step` there [m]; less than nought:
    inside. The other half is alike.
    """

    angle: Array
    step: Array


class Stepped:
    """A joint whose sides are welded face to face in the middle; it adds `tube` and `meeting`."""

    @property
    def tube(self) -> Tube:
        """The tube it is made of."""
        raise NotImplementedError

    @property
    def meeting(self) -> Meeting:
        """The two faces of a side as `geometry` has them; steps are of the second off the first."""
        raise NotImplementedError

    @property
    def narrowest_area(self) -> float:
        """Least area for flow: what both faces leave open in the middle, both sides [m^2]."""
        at = self.meeting
        bore = at.radius - float(self.tube.wall)
        return 2.0 * overlap_area(at.first, at.second, bore)

    @property
    def narrowest_ratio(self) -> float:
        """Narrowest area over the flow area of two tubes; square to the flow it is less."""
        return self.narrowest_area / (2.0 * self.tube.flow_area)

    @property
    def flow_normal_area(self) -> float:
        """The narrowest area as the flow in the steeper leg sees it, square to that leg [m^2]."""
        return self.narrowest_area * min(self.meeting.first.cosine, self.meeting.second.cosine)

    @property
    def flow_normal_ratio(self) -> float:
        """Flow-normal area over the flow area of two tubes."""
        return self.flow_normal_area / (2.0 * self.tube.flow_area)

    @property
    def window_area(self) -> float:
        """Area of the opening between the two bores [m^2]."""
        raise NotImplementedError

    @property
    def window_ratio(self) -> float:
        """Window area over the flow area of one tube."""
        return self.window_area / self.tube.flow_area

    @cached_property
    def steps(self) -> Steps:
        """The worst steps between the faces' outer edges, where they are, and that at the seam."""
        return self.meeting.steps

    @property
    def worst_step(self) -> float:
        """The largest step between the faces' outer edges, either way [m]."""
        worst = self.steps
        return max(worst.outward, -worst.inward)

    def step_round(self, points: int = 37) -> StepRound:
        """Return the step between the outer edges from the outer edge to the seam."""
        if isinstance(points, bool) or not isinstance(points, int) or points < 2:
            raise broken("must be a whole number, 2 or more", f"{points}").named("points")
        at = self.meeting
        angle = np.linspace(0.0, at.last_angle, points)
        return StepRound(angle, at.step(angle))


def step_words(worst: Steps) -> tuple[float, str]:
    """Return the largest step either way [m] and where it is, in words.

    >>> step_words(Steps(-0.0006, 1.0, 0.0011, 1.967, 0.0013))
    (0.0011, 'outward, 113 deg from the outer edge')
    """
    if worst.outward >= -worst.inward:
        size, way, at = worst.outward, "outward", worst.outward_at
    else:
        size, way, at = -worst.inward, "inward", worst.inward_at
    place = f"{math.degrees(at):.0f} deg from the outer edge" if at > 0.0 else "at the outer edge"
    return size, f"{way}, {place}"
