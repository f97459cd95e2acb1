"""A steady network's links cut into pipes of unsteady flow, with friction and walls as found there.

A link is cut where its area jumps, where the two sides of a crossover lie beside each other, and
at places that are watched. What loses at one place has its loss spread over the tube beside it.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from exhaust.flow.chain import BurntGas, PieceFlow
from exhaust.flow.installed import Installed, Owner
from exhaust.flow.joint_pieces import merges
from exhaust.flow.links import Link
from exhaust.flow.network import NetworkFlow
from exhaust.flow.piece import Piece
from exhaust.joints import HPipe, Joint
from exhaust.pulse.pipes import END_CORRECTION, FEWEST_CELLS, Pipe
from exhaust.system import Part, System

# Length of a part in line, in which its loss is spread [m]: usual bodies, common practice, no
# source.
PART_LENGTHS = {
    "silencer": 0.46,
    "resonator": 0.30,
    "catalyst": 0.12,
    "flexible joint": 0.15,
}
SHORTEST_CELL = 0.5  # of the cell asked for: shorter ones would shorten every step of time
ON, BACK = (1.0, 0.0, 0.0), (-1.0, 0.0, 0.0)  # axes out of a place where a pipe just goes on
_SAME = 1e-9  # of an area


class Bit(NamedTuple):
    """A piece of a pipe in plain numbers, with the steady gas in it.

    Diameters at its `start` and `end` [m], `length` [m], `loss_rate` in heads a metre [1/m],
    `heat_coefficient` [W/m^2/K] and `wall` [K], `pressure` [Pa] and total `temperature` [K].
    """

    start: float
    end: float
    length: float
    loss_rate: float
    heat_coefficient: float
    wall: float
    pressure: float
    temperature: float


class Segment(NamedTuple):
    """One pipe: `bits` one after another between the places `start` and `end`, by name.

    `leaving` and `arriving` point out of those places along it; `owners` what each bit is part of;
    `link` of the steady network that it was cut from.
    """

    name: str
    link: str
    start: str
    end: str
    bits: tuple[Bit, ...]
    owners: tuple[Owner, ...]
    leaving: tuple[float, ...] = ON
    arriving: tuple[float, ...] = BACK

    @property
    def length(self) -> float:
        """Length from place to place [m]."""
        return sum(bit.length for bit in self.bits)


class _Owned(NamedTuple):
    """A piece of a link, what it is part of, the steady gas in it, whether a pipe starts with it.

    `mass_flow` [kg/s].
    """

    owner: Owner
    piece: Piece
    at: PieceFlow
    mass_flow: float
    starts: bool = False


def segments(
    system: System, laid: Installed, flow: NetworkFlow, gas: BurntGas, watched: Collection[str]
) -> list[Segment]:
    """Return the pipes of a `system`, whose steady network is `laid`, with the gas of `flow`.

    Cut at the places that are `watched`, too; longer by the end correction at the open air.
    """
    starts = {link.start for link in laid.network.links}
    named: dict[Owner, str] = {
        line.run: line.end for line in system.graph.lines if line.end in watched
    }
    found = list[Segment]()
    for link in laid.network.links:
        mass_flow = _one(flow.mass_flow[link.name])
        owned = [
            _Owned(owner, _sized(system, link, n, owner), at, mass_flow)
            for n, (owner, at) in enumerate(
                zip(laid.owners[link.name], flow.chains[link.name].pieces, strict=True)
            )
        ]
        groups = _groups(system, _folded(owned), named)
        seams = [
            named.get(before[-1].owner, f"{link.name} | {n}")
            for n, before in enumerate(groups[:-1], 1)
        ]
        places = [link.start, *seams, link.end]
        for n, group in enumerate(groups):
            bits = [_bit(one, gas) for one in group]
            if n == len(groups) - 1 and link.end not in starts:
                bits.append(_beyond(bits[-1]))
            found.append(
                Segment(
                    name=link.name if len(groups) == 1 else f"{link.name} {n + 1}",
                    link=link.name,
                    start=places[n],
                    end=places[n + 1],
                    bits=tuple(bits),
                    owners=tuple(one.owner for one in group),
                    leaving=link.leaving if n == 0 else ON,
                    arriving=link.arriving if n == len(groups) - 1 else BACK,
                )
            )
    return found


def _sized(system: System, link: Link, number: int, owner: Owner) -> Piece:
    """Return a part in line with a usual length, a balance tube with its own; others as they are.

    A balance tube is as long as the gas in it is between the bores of its primaries.
    """
    piece = link.pieces[number]
    thing = system.graph.places.get(owner) if isinstance(owner, str) else None
    if isinstance(thing, Part) and piece.even:
        return piece._replace(length=PART_LENGTHS[thing.kind])
    if isinstance(thing, HPipe) and len(link.pieces) == 1 and not piece.is_tube:
        return piece._replace(length=thing.balance_volume / thing.balance_tube.flow_area)
    return piece


def _folded(owned: Sequence[_Owned]) -> list[_Owned]:
    """Return the tube, with the losses at one place added to that ahead, or behind if none is.

    A jump of area goes: it makes the next tube start a pipe, and the balance there has its loss.
    """
    tubes = list[_Owned]()
    waiting, jumped = 0.0, False
    for one in owned:
        if not one.piece.is_tube:
            lost = _one(one.piece.loss_at(one.at.warmth.friction))
            if not one.piece.even:
                jumped = True
            elif tubes and not jumped:
                tubes[-1] = _with_loss(tubes[-1], lost)
            else:
                waiting += lost
            continue
        if tubes:
            jumped = jumped or not _alike(tubes[-1].piece.end, one.piece.start)
        tubes.append(_with_loss(one, waiting)._replace(starts=jumped))
        waiting, jumped = 0.0, False
    if waiting:
        tubes[-1] = _with_loss(tubes[-1], waiting)
    return tubes


def _with_loss(one: _Owned, loss: float) -> _Owned:
    return one._replace(piece=one.piece._replace(loss=_one(one.piece.loss) + loss))


def _groups(system: System, tubes: Sequence[_Owned], last: Collection[Owner]) -> list[list[_Owned]]:
    """Return the tube of each pipe of a link; a pipe ends with the runs that are `last`."""
    found: list[list[_Owned]] = []
    for one in tubes:
        before = found[-1][-1].owner if found else None
        if (
            before is None
            or one.starts
            or _parted(system, before, one.owner)
            or (before != one.owner and before in last)
        ):
            found.append([])
        found[-1].append(one)
    return found


def _parted(system: System, before: Owner, after: Owner) -> bool:
    """Return whether the side of a crossover starts or ends between two owners."""
    return before != after and any(
        isinstance(owner, str) and is_crossover(system.graph.places.get(owner))
        for owner in (before, after)
    )


def is_crossover(thing: object) -> bool:
    """Return whether something is a joint whose two sides lie beside each other.

    >>> is_crossover(None)
    False
    """
    return isinstance(thing, Joint) and not isinstance(thing, HPipe) and not merges(thing)


def _bit(one: _Owned, gas: BurntGas) -> Bit:
    """Return a piece in plain numbers; its heat coefficient is what the steady march found."""
    piece, warm = one.piece, one.at.warmth
    length, bore = _one(piece.length), _one(piece.bore)
    friction = warm.friction
    passage = piece.passage(friction)
    rate = _one(passage.friction) / bore + _one(passage.local_loss) / length
    hot, cold, wall = _one(warm.start), _one(warm.end), _one(warm.wall)
    middle = (hot + cold) / 2
    h = 0.0
    if np.isfinite(wall) and hot > cold and middle > wall:
        given = abs(one.mass_flow) * _one(gas.cp(np.array(middle))) * (hot - cold)
        h = given / (length * np.pi * bore * (middle - wall))
    start, end = (float(np.sqrt(4 / np.pi * _one(area))) for area in (piece.start, piece.end))
    pressure = (_one(one.at.start.pressure) + _one(one.at.end.pressure)) / 2
    return Bit(start, end, length, rate, h, wall if h else middle, pressure, middle)


def _beyond(last: Bit) -> Bit:
    """Return what the air beyond an open end adds to its length."""
    return last._replace(
        start=last.end, length=END_CORRECTION * last.end / 2, loss_rate=0.0, heat_coefficient=0.0
    )


class Filled(NamedTuple):
    """A `pipe` with the `pressure` [Pa] and `temperature` [K] of the steady gas in its cells.

    `stretched` is how much longer it was made so that its cells are not too short [m].
    """

    pipe: Pipe
    pressure: ArrayLike
    temperature: ArrayLike
    stretched: float


def filled_pipe(segment: Segment, cell: float) -> Filled:
    """Return the pipe of a segment in cells of about `cell` [m], never fewer than two.

    One shorter than two half cells is stretched to that.

    >>> bits = (Bit(0.05, 0.05, 0.2, 0.5, 100.0, 700.0, 1e5, 900.0),)
    >>> found = filled_pipe(Segment("tail", "tail", "a", "b", bits, (0,)), 0.01)
    >>> found.pipe.cells, found.pipe.friction[0].round(6), found.stretched
    (20, np.float64(0.025), 0.0)
    """
    bits = segment.bits
    ends = np.cumsum([0.0, *(bit.length for bit in bits)])
    stretch = max(1.0, FEWEST_CELLS * SHORTEST_CELL * cell / ends[-1])
    ends = ends * stretch
    n = max(FEWEST_CELLS, round(float(ends[-1]) / cell))
    faces = np.linspace(0.0, ends[-1], n + 1)
    width = float(ends[-1]) / n
    lengths = np.diff(ends)

    def mean(values: Sequence[float]) -> np.ndarray:
        summed = np.concatenate([[0.0], np.cumsum(np.array(values) * lengths)])
        return np.asarray(np.diff(np.interp(faces, ends, summed)) / width)

    h = mean([bit.heat_coefficient for bit in bits])
    warmed = mean([bit.heat_coefficient * bit.wall for bit in bits])
    T = mean([bit.temperature for bit in bits])
    area = np.pi / 4 * np.interp(faces, ends, [bits[0].start, *(bit.end for bit in bits)]) ** 2
    across = np.sqrt(2 / np.pi * (area[1:] + area[:-1]))
    pipe = Pipe(
        width=width,
        face_area=area,
        friction=mean([bit.loss_rate for bit in bits]) / stretch * across,
        heat_coefficient=h,
        wall_temperature=np.where(h > 0, warmed / np.where(h > 0, h, 1.0), T),
    )
    pressure = mean([bit.pressure for bit in bits])
    return Filled(pipe, pressure, T, segment.length * (stretch - 1))


def _alike(one: ArrayLike, other: ArrayLike) -> bool:
    return abs(_one(one) - _one(other)) <= _SAME * _one(one)


def _one(value: ArrayLike) -> float:
    return float(np.ravel(value)[0])
