"""Where along two pipes the pressure between them swings most, with nothing to join them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import NamedTuple

import numpy as np

from exhaust.choices.crossover_systems import SIDES
from exhaust.choices.headers import Headed, with_headers
from exhaust.choices.pulses import Pulses
from exhaust.choices.repeating import Aim, ready, repeated
from exhaust.choices.sweeping import swept
from exhaust.choices.waves import FloatArray
from exhaust.engine.flow import ExhaustFlow
from exhaust.pulse.laid import Laid
from exhaust.system import System

POINTS = 101  # along the pipes


class Swing(NamedTuple):
    """Root mean square of the pressure between two pipes [Pa] at each `position` [m] from where
    they start, the mean of the speeds; arrays (points,).
    """

    position: FloatArray
    pressure: FloatArray

    @property
    def most(self) -> float:
        """Where it swings most [m]."""
        return float(self.position[np.argmax(self.pressure)])


def swing_along(system: System, flows: Sequence[ExhaustFlow], pulses: Pulses) -> Swing:
    """Return the swing along a system of two pipes apart, from its two collectors down."""
    headed = with_headers(system, flows[0].engine, pulses.primary)
    quiet = pulses.with_(progress=False, executor=None)
    found = swept(partial(_swing, headed, quiet), list(flows), pulses)
    last = min(one.position[-1] for one in found)
    position = np.linspace(0.0, last, POINTS)
    pressures = [np.interp(position, one.position, one.pressure) for one in found]
    return Swing(position, np.mean(pressures, axis=0))


def _swing(headed: Headed, pulses: Pulses, flow: ExhaustFlow) -> Swing:
    one = ready(headed, flow, pulses)
    ways = [_way(one, place) for place in headed.collectors[:SIDES]]
    cells = [cell for _, way in ways for cell in way]
    aim = Aim(flow.gas_temperature, headed.collectors)
    found = repeated(one, flow.duty.speed, aim, pulses, cells)
    pressure = found.last.trace.values[:-1, :, 2]
    split = len(ways[0][1])
    shorter = min(ways, key=lambda way: way[0][-1])[0]
    sides = [
        np.array([np.interp(shorter, position, row) for row in part])
        for (position, _), part in zip(
            ways, (pressure[:, :split], pressure[:, split:]), strict=True
        )
    ]
    return Swing(shorter, np.sqrt(np.mean((sides[0] - sides[1]) ** 2, axis=0)))


def _way(one: Laid, collector: str) -> tuple[FloatArray, list[int]]:
    """Return the cells from a collector to the open air and how far each is from it [m]."""
    reached, position, cells = 0.0, list[float](), list[int]()
    (pipe,) = one.leaving(collector)
    while True:
        made = one.pipes[pipe].pipe
        first = one.cell(pipe, 0.0)
        cells += range(first, first + made.cells)
        position += (reached + (np.arange(made.cells) + 0.5) * made.width).tolist()
        reached += made.cells * made.width
        following = one.leaving(one.segments[pipe].end)
        if len(following) != 1:
            return np.array(position), cells
        (pipe,) = following
