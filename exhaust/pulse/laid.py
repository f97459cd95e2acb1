"""A system as the unsteady solver takes it: pipes in cells, junctions, window, cylinders, air."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from exhaust.engine import Engine
from exhaust.engine.cam import Cam
from exhaust.flow.chain import BurntGas, Chain, Warmth
from exhaust.flow.installed import Installed
from exhaust.flow.network import NetworkFlow
from exhaust.flow.piece import Piece
from exhaust.flow.quick import Moving
from exhaust.pulse.arrays import FloatArray, Gas, Network, State
from exhaust.pulse.crossing import joined, narrowed, side_name, sides_of, window
from exhaust.pulse.firing import Charge, cylinders_of
from exhaust.pulse.network import (
    Fittings,
    Junction,
    Reservoir,
    cells_of,
    filled,
    network,
    no_windows,
)
from exhaust.pulse.segments import Filled, Segment, filled_pipe, is_crossover, segments
from exhaust.system import System

STRAIGHT = 2  # ends that meet where a pipe just goes on


class Found(NamedTuple):
    """The steady flow of a system: its network as `laid`, the `flow` in it, the burnt `gas`.

    Heat capacities stay those at the `temperature` of the collectors [K]. Arrays (samples,).
    """

    laid: Installed
    flow: NetworkFlow
    gas: BurntGas
    temperature: ArrayLike


def picked(found: Found, sample: int) -> Found:
    """Return one sample of the steady flow of one system, in plain numbers."""

    def one(value: ArrayLike) -> float:
        array = np.asarray(value, float)
        return float(array.flat[0] if array.size == 1 else array.reshape(-1)[sample])

    def piece(part: Piece) -> Piece:
        return part._replace(
            start=one(part.start),
            end=one(part.end),
            length=one(part.length),
            roughness=one(part.roughness),
            loss=one(part.loss),
            loss_per_friction=one(part.loss_per_friction),
            distance=one(part.distance),
        )

    def chain(part: Chain) -> Chain:
        return Chain(
            tuple(
                at._replace(
                    start=Moving(*(np.array(one(x)) for x in at.start)),
                    end=Moving(*(np.array(one(x)) for x in at.end)),
                    warmth=Warmth(*(np.array(one(x)) for x in at.warmth)),
                )
                for at in part.pieces
            )
        )

    network = found.laid.network
    links = tuple(
        link._replace(pieces=tuple(piece(part) for part in link.pieces)) for link in network.links
    )
    return found._replace(
        laid=found.laid._replace(network=network._replace(links=links)),
        flow=found.flow._replace(
            mass_flow={name: np.array(one(x)) for name, x in found.flow.mass_flow.items()},
            chains={name: chain(part) for name, part in found.flow.chains.items()},
        ),
        temperature=one(found.temperature),
    )


class Grid(NamedTuple):
    """How fine the pipes are: length of a `cell` [m]; `momentum`, the balance where streams meet,
    or else one pressure; the loss of a crossover's `window` in heads of the flow through it [-].
    """

    cell: float
    momentum: bool
    window: float


class Outside(NamedTuple):
    """The air at the open ends: `pressure` [Pa] and `temperature` [K]."""

    pressure: float
    temperature: float


class Laid(NamedTuple):
    """A network to be marched, and where in it the places of the system are.

    `segments` and `pipes` as they were cut, by number; `ports` the pipe of each cylinder. Pipe k
    has the ends 2 k and 2 k + 1.
    """

    network: Network
    segments: tuple[Segment, ...]
    pipes: tuple[Filled, ...]
    ports: Mapping[int, int]

    def arriving(self, place: str) -> list[int]:
        """Return the numbers of the pipes that end at a place."""
        return [k for k, one in enumerate(self.segments) if one.end == place]

    def leaving(self, place: str) -> list[int]:
        """Return the numbers of the pipes that start at a place."""
        return [k for k, one in enumerate(self.segments) if one.start == place]

    @property
    def outlets(self) -> list[int]:
        """Numbers of the pipes that end in the open air."""
        return [int(end) // 2 for end in self.network.reservoirs.end]

    def cell(self, pipe: int, share: float) -> int:
        """Return the cell at a share of a pipe's length."""
        cells = cells_of(self.network, pipe)
        count = cells.stop - cells.start
        return int(cells.start + min(int(share * count), count - 1))


def laid(
    system: System, found: Found, watched: Sequence[str], grid: Grid, outside: Outside
) -> Laid:
    """Return a system's unsteady network, every inlet one cylinder's port, shut by a wall.

    `watched` are places where a pipe ends so that what passes is counted there.
    """
    parts = segments(system, found.laid, found.flow, found.gas, watched)
    crossing = system.joint if is_crossover(system.joint) else None
    if crossing is not None:
        parts = joined(parts, system, found.laid)
    pipes = [filled_pipe(one, grid.cell) for one in parts]
    windows = no_windows()
    if crossing is not None:
        names = [one.name for one in parts]
        one, other = (names.index(side_name(system.joint_at, n)) for n in range(2))
        plain = [filled.pipe for filled in pipes]
        windows = window(plain, (one, other), crossing, grid.window)
        for k in (one, other):
            pipes[k] = pipes[k]._replace(pipe=narrowed(plain[k], sides_of(crossing, plain[k])))
    number = {one.start: k for k, one in enumerate(parts)}
    inlets = system.graph.inlets.items()
    ports = {inlet.cylinders[0]: number[name] for name, inlet in inlets}
    fittings = Fittings(
        closed=[2 * pipe for pipe in ports.values()],
        reservoirs=[Reservoir(end, *outside) for end in _open_ends(parts)],
        junctions=_junctions(parts, grid.momentum),
        windows=windows,
    )
    net = network(_gas(found), [filled.pipe for filled in pipes], fittings)
    return Laid(net, tuple(parts), tuple(pipes), ports)


def with_cylinders(one: Laid, engine: Engine, cam: Cam, charge: Charge) -> Laid:
    """Return a network with the engine's cylinders in the place of the walls at its ports."""
    ends = [2 * pipe for pipe in one.ports.values()]
    made = cylinders_of(engine, cam, list(one.ports), ends, charge)
    open_ = np.empty(0, np.int64)
    return one._replace(network=one.network._replace(closed=open_, cylinders=made))


def at_rest(one: Laid) -> State:
    """Return the network filled with the steady gas, at rest."""

    def spread(values: Sequence[ArrayLike]) -> FloatArray:
        return np.concatenate([np.pad(np.asarray(v, float), 1, mode="edge") for v in values])

    pressure = spread([pipe.pressure for pipe in one.pipes])
    return filled(one.network, pressure, spread([pipe.temperature for pipe in one.pipes]))


def _gas(found: Found) -> Gas:
    cp, R = float(found.gas.cp(np.asarray(found.temperature))), found.gas.gas_constant
    return Gas(cp / (cp - R), R)


def _open_ends(parts: Sequence[Segment]) -> list[int]:
    starts = {one.start for one in parts}
    return [2 * k + 1 for k, one in enumerate(parts) if one.end not in starts]


def _junctions(parts: Sequence[Segment], momentum: bool) -> list[Junction]:
    """Return where pipes meet; one that just goes on keeps its momentum by either model."""
    found = []
    for place in dict.fromkeys(one.end for one in parts):
        legs = [(2 * k + 1, one.arriving) for k, one in enumerate(parts) if one.end == place]
        legs += [(2 * k, one.leaving) for k, one in enumerate(parts) if one.start == place]
        if len(legs) > 1:
            keeps = momentum or len(legs) == STRAIGHT
            axes = [axis for _, axis in legs] if keeps else None
            found.append(Junction([end for end, _ in legs], axes))
    return found
