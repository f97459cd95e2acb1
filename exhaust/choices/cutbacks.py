"""One system with its joint sliced more or less: what the gas makes of it, in steady flow."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from exhaust.choices.doubts import doubts
from exhaust.choices.steady import steady_flow
from exhaust.engine.flow import ExhaustFlow
from exhaust.errors import ExhaustError
from exhaust.joints import Joint
from exhaust.system import System

REACH = 0.12  # of cutback, each way from the joint's own
STEP = 0.01


class CutbackInFlow(NamedTuple):
    """A joint at one cutback, and the back pressure of the system with it."""

    cutback: float
    joint: Joint
    back_pressure: float  # gauge, where the gas comes in [Pa]


def over_cutbacks(system: System, flow: ExhaustFlow) -> tuple[CutbackInFlow, ...]:
    """Return the joint of `system` over cutbacks about its own, small to large; that is among them.

    None for a joint that is not sliced. Other cutbacks that the bend does not give, or that choke
    the gas, are left out. What the runs beside it lose or gain in length is not followed.

    >>> from exhaust import exhaust_flow, load_job
    >>> job = load_job("v8-parallel-x.toml")
    >>> found = over_cutbacks(job.system, exhaust_flow(job.engine, job.duty, job.ambient))
    >>> [round(one.cutback, 2) for one in found][:3], 0.28 in [one.cutback for one in found]
    ([0.16, 0.17, 0.18], True)
    """
    own = getattr(system.joint, "cutback", None)
    if system.joint is None or own is None:
        return ()
    joints = {}
    for number in range(-round(REACH / STEP), round(REACH / STEP) + 1):
        cutback = float(own) if number == 0 else round(float(own) + number * STEP, 4)
        try:
            joints[cutback] = system.joint.with_(cutback=cutback)
        except ExhaustError:
            continue  # more or less than the bend can give
    middle, _ = doubts(flow)
    systems = [system.with_(joint=joint) for joint in joints.values()]
    found = steady_flow(systems, flow, middle)
    return tuple(
        CutbackInFlow(cutback, joint, float(pressure))
        for (cutback, joint), pressure, choked in zip(
            joints.items(), found.back_pressure[:, 0], found.choked[:, 0], strict=True
        )
        if joint == system.joint or (np.isfinite(pressure) and not choked)
    )
