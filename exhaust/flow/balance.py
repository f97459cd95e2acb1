"""What a guess at the flows and pressures of a network leaves over, and how that changes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from exhaust.flow.chain import BurntGas, Chain, Chained, Cooled, Method, PieceFlow
from exhaust.flow.friction import FloatArray
from exhaust.flow.junction import drive
from exhaust.flow.piece import Piece
from exhaust.flow.quick import Moving, total_pressure

_NUDGE = 1e-6
_STILL = 1e-7  # of all the flow: what a link without flow is marched with


class Link(NamedTuple):
    """Pieces in series from the place `start` to the place `end`, by name.

    `leaving` and `arriving` are unit vectors out of the junction at its start and at its end,
    along the link [-]; unused where there is no junction.
    """

    name: str
    start: str
    end: str
    pieces: tuple[Piece, ...]
    leaving: tuple[float, ...] = (1.0, 0.0, 0.0)
    arriving: tuple[float, ...] = (-1.0, 0.0, 0.0)


class Network(NamedTuple):
    """`links` in the order of the flow, and the share of the engine's gas at each of `sources`.

    A place that links start from and end at is a junction; one they only end at, an outlet.
    """

    links: tuple[Link, ...]
    sources: Mapping[str, ArrayLike]

    @property
    def junctions(self) -> tuple[str, ...]:
        """The places where links meet."""
        starts = {link.start for link in self.links}
        return tuple(dict.fromkeys(link.end for link in self.links if link.end in starts))

    @property
    def free(self) -> tuple[int, ...]:
        """The links whose flow is not a source's."""
        return tuple(i for i, link in enumerate(self.links) if link.start not in self.sources)


class Guess(NamedTuple):
    """A state of the network."""

    flow: FloatArray  # of each link (links, samples...) [kg/s]
    mouth: FloatArray  # static pressure in each junction (junctions, samples...) [Pa]
    mixed: FloatArray  # total temperature in each junction (junctions, samples...) [K]


class LeftOver(NamedTuple):
    """What a guess leaves over: pressure for each free link, flow for each junction."""

    chains: tuple[Chain, ...]  # of each link, start and end as it is described
    pressure: FloatArray  # (free links, samples...) [Pa]
    flow: FloatArray  # (junctions, samples...) [kg/s]
    mixed: FloatArray  # what the flows mix to (junctions, samples...) [K]


class Balance:
    """A network with the gas that its sources bring, `method` of marching it."""

    def __init__(
        self, network: Network, gas: BurntGas, brought: Sequence[FloatArray], method: Method
    ) -> None:
        """Make ready; `brought` are mass flow [kg/s], total temperature [K], outside [Pa]."""
        self.network, self.gas = network, gas
        pieces = [piece for link in network.links for piece in link.pieces]
        numbers = [value for piece in pieces for value in piece[1:-1]]
        self.shape = np.broadcast_shapes(*(np.shape(value) for value in (*brought, *numbers)))
        self.total, self.hot, self.outside = (np.broadcast_to(one, self.shape) for one in brought)
        self.forward = [Chained(link.pieces, gas, method) for link in network.links]
        self.backward = [
            Chained([piece.turned() for piece in reversed(link.pieces)], gas, method)
            for link in network.links
        ]
        self.kept: dict[tuple[int, bool], Cooled] = {}
        self.order = {name: number for number, name in enumerate(network.junctions)}

    def guess(self) -> Guess:
        """Return flows that balance, divided evenly, and the pressures that they need."""
        arriving = {
            name: np.broadcast_to(np.asarray(share), self.shape) * self.total
            for name, share in self.network.sources.items()
        }
        links = self.network.links
        flow: list[FloatArray] = [np.zeros(self.shape)] * len(links)
        left, order = list(range(len(links))), list[int]()
        while left:
            ready = [
                i for i in left if not any(links[k].end == links[i].start for k in left)
            ] or left[:1]
            for i in ready:
                ways = sum(link.start == links[i].start for link in links)
                flow[i] = arriving.get(links[i].start, np.zeros(self.shape)) / ways
                arriving[links[i].end] = arriving.get(links[i].end, 0.0) + flow[i]
                left.remove(i)
                order.append(i)
        many = (len(self.order), *self.shape)
        at = Guess(
            np.stack(flow), np.broadcast_to(self.outside, many), np.broadcast_to(self.hot, many)
        )
        return at._replace(mouth=self._needed_mouths(at, order))

    def _needed_mouths(self, at: Guess, order: Sequence[int]) -> FloatArray:
        """Return the most that a way on from each junction asks for, from the outlets up [Pa].

        From lower down Newton's steps may lead away: legs ahead would choke there.
        """
        found: dict[int, FloatArray] = {}
        mouth = at.mouth.copy()
        for i in reversed(order):
            number = self.order.get(self.network.links[i].start)
            if number is not None:
                start = self._chain(i, at._replace(mouth=mouth)).start.pressure
                mouth[number] = found[number] = np.fmax(found.get(number, start), start)
        return mouth

    def left_over(self, at: Guess) -> LeftOver:
        """Return what the guess leaves over."""
        links = self.network.links
        chains = tuple(self._chain(i, at) for i in range(len(links)))
        pressure: dict[int, FloatArray] = {}
        flow, mixed = [], []
        for name, number in self.order.items():
            legs = [(i, False) for i, link in enumerate(links) if link.end == name]
            legs += [(i, True) for i, link in enumerate(links) if link.start == name]
            into = np.stack([-at.flow[i] if leaves else at.flow[i] for i, leaves in legs])
            ends = [chains[i].start if leaves else chains[i].end for i, leaves in legs]
            axes = [links[i].leaving if leaves else links[i].arriving for i, leaves in legs]
            needed = self._needed(into, ends, axes)
            for (i, leaves), wanted in zip(legs, needed, strict=True):
                upstream = (at.flow[i] >= 0) == leaves
                # with the sign of the link, so that nothing jumps where its flow turns round
                over = np.where(upstream, wanted - at.mouth[number], 0.0) * (1 if leaves else -1)
                pressure[i] = pressure.get(i, 0.0) + over
            flow.append(into.sum(axis=0))
            mixed.append(self._mixed(into, ends, at.mixed[number]))
        self._drawn(at, chains, pressure)
        free = [pressure[i] for i in self.network.free]
        many = (len(self.order), *self.shape)
        return LeftOver(
            chains,
            np.stack(free) if free else np.zeros((0, *self.shape)),
            np.stack(flow) if flow else np.zeros(many),
            np.stack(mixed) if mixed else np.zeros(many),
        )

    def change(self, at: Guess) -> NDArray[np.float64]:
        """Return how what is left over changes (samples..., n, n), free flows then mouths.

        In shares of all the flow and of the pressure outside.
        """
        here = self.scaled(self.left_over(at))
        columns = []
        for i in self.network.free:
            step = _NUDGE * self.total
            flow = at.flow.copy()
            flow[i] = flow[i] + np.where(flow[i] < 0, -step, step)  # the direction stays
            sign = np.where(at.flow[i] < 0, -1.0, 1.0)
            there = self.scaled(self.left_over(at._replace(flow=flow)))
            columns.append(sign[..., None] * (there - here) / _NUDGE)
        for j in range(len(self.order)):
            mouth = at.mouth.copy()
            mouth[j] = mouth[j] + _NUDGE * self.outside
            there = self.scaled(self.left_over(at._replace(mouth=mouth)))
            columns.append((there - here) / _NUDGE)
        return np.stack(columns, axis=-1)

    def scaled(self, over: LeftOver) -> FloatArray:
        """Return what is left over (samples..., n), in shares of pressure outside and flow."""
        parts = np.concatenate([over.pressure / self.outside, over.flow / self.total])
        return np.moveaxis(parts, 0, -1)

    def _chain(self, i: int, at: Guess) -> Chain:
        """Return the gas along a link, whichever way it flows."""
        link, flow = self.network.links[i], at.flow[i]
        m = np.maximum(np.abs(flow), _STILL * self.total)
        ahead = flow >= 0
        forth = back = None
        if np.any(ahead):
            forth = self._one_way((i, True), m, link.start, link.end, at)
        if not np.all(ahead):
            back = _as_described(self._one_way((i, False), m, link.end, link.start, at))
        if forth is None or back is None:
            return forth or back  # type: ignore[return-value]
        return _either(ahead, forth, back)

    def _one_way(
        self, way: tuple[int, bool], m: FloatArray, start: str, end: str, at: Guess
    ) -> Chain:
        """Return the gas along a link one way; its heat is kept as long as its flow stays."""
        link, ahead = way
        hot = at.mixed[self.order[start]] if start in self.order else self.hot
        pressure = at.mouth[self.order[end]] if end in self.order else self.outside
        chained = (self.forward if ahead else self.backward)[link]
        kept = self.kept.get(way)
        if kept is None or not (
            np.array_equal(kept.mass_flow, m) and np.array_equal(kept.warmth[0].start, hot)
        ):
            kept = self.kept[way] = chained.down(m, hot)
        return chained.up(kept, pressure)

    def _needed(
        self, into: FloatArray, ends: Sequence[Moving], axes: Sequence[tuple[float, ...]]
    ) -> list[FloatArray]:
        """Return the pressure in the mouth that each leg asks for, going out [Pa]."""
        coming = np.maximum(into, 0.0).sum(axis=0)
        share = np.moveaxis(into / np.where(coming > 0, coming, 1.0), 0, -1)
        speed = np.stack([end.velocity for end in ends], axis=-1)
        driven = np.moveaxis(drive(share, speed, np.asarray(axes, float)), -1, 0)
        return [
            end.pressure * (1 + (end.velocity - d) * end.velocity / self._rt(end))
            for end, d in zip(ends, driven, strict=True)
        ]

    def _rt(self, at: Moving) -> FloatArray:
        return np.asarray(self.gas.gas_constant * at.temperature)

    def _mixed(self, into: FloatArray, ends: Sequence[Moving], before: FloatArray) -> FloatArray:
        """Return the temperature that what comes in mixes to."""
        coming = np.maximum(into, 0.0)
        total = coming.sum(axis=0)
        carried = sum(
            m * self.gas.enthalpy(end.total_temperature)
            for m, end in zip(coming, ends, strict=True)
        )
        enthalpy = np.where(total > 0, carried / np.where(total > 0, total, 1.0), 0.0)
        return np.where(total > 0, self.gas.temperature_at(enthalpy), before)

    def _drawn(self, at: Guess, chains: Sequence[Chain], pressure: dict[int, FloatArray]) -> None:
        """Add what links leave over that draw gas in from outside."""
        for i in self.network.free:
            if self.network.links[i].end not in self.order:
                end = chains[i].end
                over = self.outside - total_pressure(end, self.gas)
                pressure[i] = pressure.get(i, 0.0) + np.where(at.flow[i] < 0, over, 0.0)


def _as_described(chain: Chain) -> Chain:
    """Return a chain marched backward as its link is described."""
    turned = [piece._replace(start=piece.end, end=piece.start) for piece in chain.pieces]
    return Chain(tuple(reversed(turned)))


def _either(first: NDArray[np.bool_], one: Chain, other: Chain) -> Chain:
    """Return `one` where `first`, else `other`."""

    def chosen(a: tuple[FloatArray, ...], b: tuple[FloatArray, ...]) -> list[FloatArray]:
        return [np.where(first, x, y) for x, y in zip(a, b, strict=True)]

    return Chain(
        tuple(
            PieceFlow(
                a.name,
                Moving(*chosen(a.start, b.start)),
                Moving(*chosen(a.end, b.end)),
                type(a.warmth)(*chosen(a.warmth, b.warmth)),
                np.where(first, a.choked, b.choked),
            )
            for a, b in zip(one.pieces, other.pieces, strict=True)
        )
    )
