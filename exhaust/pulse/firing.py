"""The cylinders of an engine as the unsteady kernels take them: size, valve, place in the cycle."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from exhaust.engine import Engine
from exhaust.engine.cam import Cam
from exhaust.errors import broken
from exhaust.pulse.arrays import Cylinders

CYCLE = 4 * np.pi  # [rad] of the crank
STEPS = 280  # of a valve's lift


class Charge(NamedTuple):
    """What a cylinder holds as its valve opens, residual apart: `mass` [kg], `temperature` [K]."""

    mass: float
    temperature: float


def firing_angles(engine: Engine) -> dict[int, float]:
    """Return the crank angle at which each cylinder fires, the first of the order at nought [rad].

    Even intervals. Raises `ExhaustError` where the order is not given.

    >>> engine = Engine(displacement="2 L", cylinders=4, firing_order=(1, 3, 4, 2))
    >>> {number: round(float(np.degrees(angle))) for number, angle in firing_angles(engine).items()}
    {1: 0, 3: 180, 4: 360, 2: 540}
    """
    order = engine.firing_order or ((1,) if engine.cylinders == 1 else ())
    if not order:
        remedy = "for example firing_order=(1, 3, 4, 2)"
        raise broken("is needed to place the pulses", "none", remedy).named("firing_order")
    return {number: CYCLE * place / len(order) for place, number in enumerate(order)}


def cylinders_of(
    engine: Engine, cam: Cam, numbers: Sequence[int], ends: Sequence[int], charge: Charge
) -> Cylinders:
    """Return the cylinders of those `numbers`, each behind its pipe's end in `ends`.

    The lift is a half sine squared.

    >>> engine = Engine(displacement="2 L", cylinders=4, firing_order=(1, 3, 4, 2))
    >>> made = cylinders_of(engine, Cam(), [1, 3], [0, 2], Charge(6e-4, 1500.0))
    >>> np.degrees(made.phase).round().tolist(), round(float(np.degrees(made.opens[0])))
    ([0.0, 540.0], 110)
    """
    size, angles = cam.cylinder(engine), firing_angles(engine)
    one = np.ones(len(numbers))
    lift = np.sin(np.linspace(0.0, np.pi, STEPS + 1)) ** 2
    return Cylinders(
        end=np.array(ends, np.int64),
        swept=size.swept * one,
        clearance=size.clearance * one,
        rod_ratio=size.stroke / 2 / size.rod * one,
        phase=np.array([-angles[number] % CYCLE for number in numbers]),
        opens=(np.pi - cam.opens) * one,
        closes=(2 * np.pi + cam.closes) * one,
        flow_area=np.tile(cam.open_area(engine) * lift, (len(numbers), 1)),
        charge=charge.mass * one,
        release_temperature=charge.temperature * one,
    )
