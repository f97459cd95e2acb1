"""A finished joint in plan and section, to scale."""

from __future__ import annotations

from exhaust.cutmath import (
    h_pipe_plan,
    parallel_to_splayed_plan,
    parallel_x_plan,
    splayed_x_plan,
    y_merge_plan,
)
from exhaust.cutmath.pose import Pose
from exhaust.describe import require
from exhaust.joints import HPipe, Joint, ParallelToSplayedX, ParallelX, SplayedX, YMerge


def plan(x: Joint) -> tuple[Pose, Pose]:
    """Return (plan, section): the joint from above, and across its middle.

    Raises `ExhaustError` for a joint that there is no drawing of.

    >>> from exhaust import Bend, ParallelX, Tube
    >>> bend = Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")
    >>> [view.title for view in plan(ParallelX(bend, cutback=0.28))]
    ['The parallel X', 'Across its middle']
    """
    if isinstance(x, SplayedX):
        return splayed_x_plan.plan(x)
    if isinstance(x, YMerge):
        return y_merge_plan.plan(x)
    if isinstance(x, HPipe):
        return h_pipe_plan.plan(x)
    if isinstance(x, ParallelToSplayedX):
        return parallel_to_splayed_plan.plan(x)
    require(x, ParallelX, "joint")
    assert isinstance(x, ParallelX)
    return parallel_x_plan.plan(x)
