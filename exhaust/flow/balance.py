"""What a guess at the flows and pressures of a network leaves over, and how that changes.

Heat first, as along one run: at given flows the temperature in each junction follows from what
comes in, with no guess. Then each link gives the pressure it needs at its start.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from exhaust.flow.chain import BurntGas, Chain, Chained, Cooled, Method, as_described, either
from exhaust.flow.friction import FloatArray
from exhaust.flow.heat import TubeHeat
from exhaust.flow.junction import mouth_pressures
from exhaust.flow.links import Link as Link
from exhaust.flow.links import Network as Network
from exhaust.flow.piece import Piece, turned_round
from exhaust.flow.quick import Moving, total_pressure

_NUDGE = 1e-6
_STILL = 1e-10  # of all the flow: what a link without flow is marched with
# Of all the flow: what a link with less is cooled like. Less than that cools to the air within a
# few diameters, which no march follows, and brings nobody any heat.
_SLOW = 2e-3
_KEPT = 2  # marches of a link that are kept: the guess's own and one nudged


class Guess(NamedTuple):
    """A state of the network."""

    flow: FloatArray  # of each link (links, samples...) [kg/s]
    mouth: FloatArray  # static pressure in each junction (junctions, samples...) [Pa]
    mixed: FloatArray  # total temperature to start from in each junction [K]


class LeftOver(NamedTuple):
    """What a guess leaves over: pressure for each free link, flow for each junction."""

    chains: tuple[Chain, ...]  # of each link, start and end as it is described
    pressure: FloatArray  # (free links, samples...) [Pa]
    flow: FloatArray  # (junctions, samples...) [kg/s]
    mixed: FloatArray  # what the flows mix to (junctions, samples...) [K]
    heat: FloatArray  # and what that still changed by, a share (junctions, samples...)


class _Leg(NamedTuple):
    """A link where it meets a junction; whether it `leaves` there as it is described."""

    link: int
    leaves: bool


class Balance:
    """A network with the gas that its sources bring, `method` of marching it."""

    def __init__(
        self, network: Network, gas: BurntGas, brought: Sequence[FloatArray], method: Method
    ) -> None:
        """Make ready; `brought` are mass flow [kg/s], total temperature [K], outside [Pa]."""
        self.network, self.gas = network, gas
        pieces = [piece for link in network.links for piece in link.pieces]
        numbers = [value for piece in pieces for value in _numbers(piece)]
        shares = network.sources.values()
        self.shape = np.broadcast_shapes(*(np.shape(v) for v in (*brought, *numbers, *shares)))
        self.total, self.hot, self.outside = (np.broadcast_to(one, self.shape) for one in brought)
        self.forward = [Chained(link.pieces, gas, method) for link in network.links]
        self.backward = [Chained(turned_round(link.pieces), gas, method) for link in network.links]
        self.order = {name: number for number, name in enumerate(network.junctions)}
        self._legs = {
            name: [_Leg(i, False) for i, link in enumerate(network.links) if link.end == name]
            + [_Leg(i, True) for i, link in enumerate(network.links) if link.start == name]
            for name in self.order
        }
        self._heats: dict[_Leg, list[Cooled]] = {}
        self._flows: dict[_Leg, list[tuple[Cooled, FloatArray, Chain]]] = {}

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
        mouth, mixed = at.mouth.copy(), self._warmed(at)[0]
        for i in reversed(order):
            number = self.order.get(self.network.links[i].start)
            if number is not None:
                start = self._chain(i, at._replace(mouth=mouth), mixed).start.pressure
                mouth[number] = found[number] = np.fmax(found.get(number, start), start)
        return mouth

    def left_over(self, at: Guess) -> LeftOver:
        """Return what the guess leaves over."""
        links = self.network.links
        mixed, heat = self._warmed(at)
        chains = tuple(self._chain(i, at, mixed) for i in range(len(links)))
        pressure = np.zeros((len(links), *self.shape))
        flow = np.zeros((len(self.order), *self.shape))
        for name, number in self.order.items():
            legs = self._legs[name]
            into = self._into(legs, at.flow)
            ends = [chains[i].start if leaves else chains[i].end for i, leaves in legs]
            axes = [links[i].leaving if leaves else links[i].arriving for i, leaves in legs]
            needed = self._needed(into, ends, axes)
            for (i, leaves), wanted in zip(legs, needed, strict=True):
                upstream = (at.flow[i] >= 0) == leaves
                # with the sign of the link, so that nothing jumps where its flow turns round
                over = np.where(upstream, wanted - at.mouth[number], 0.0)
                pressure[i] += over if leaves else -over
            flow[number] = into.sum(axis=0)
        for i in self.network.free:
            if links[i].end not in self.order:  # gas drawn in from outside
                over = self.outside - total_pressure(chains[i].end, self.gas)
                pressure[i] += np.where(at.flow[i] < 0, over, 0.0)
        return LeftOver(chains, pressure[list(self.network.free)], flow, mixed, heat)

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

    def _into(self, legs: Sequence[_Leg], flow: FloatArray) -> FloatArray:
        """Return what comes into a junction along each leg (legs, samples...) [kg/s]."""
        return np.stack([-flow[i] if leaves else flow[i] for i, leaves in legs])

    def _warmed(self, at: Guess) -> tuple[FloatArray, FloatArray]:
        """Return the temperature in each junction [K], and the share it last changed by.

        Pass after pass from junction to junction: one in the order of the flow settles them all
        unless gas runs round in a ring.
        """
        mixed = at.mixed.copy()
        for _ in range(len(self.order) + 1):
            before = mixed.copy()
            for name, number in self.order.items():
                mixed[number] = self._mixed(self._legs[name], at.flow, mixed, mixed[number])
            if np.array_equal(mixed, before):
                break
        return mixed, np.abs(mixed / before - 1) if len(mixed) else mixed

    def _mixed(
        self, legs: Sequence[_Leg], flow: FloatArray, mixed: FloatArray, before: FloatArray
    ) -> FloatArray:
        """Return the temperature that what comes in mixes to."""
        coming = np.maximum(self._into(legs, flow), 0.0)
        total = coming.sum(axis=0)
        carried = np.zeros(self.shape)
        for (i, leaves), m in zip(legs, coming, strict=True):
            if np.any(m > 0):
                end = self._heat(_Leg(i, not leaves), flow, mixed).warmth[-1].end
                carried = carried + m * self.gas.enthalpy(end)
        some = total > 0
        enthalpy = np.where(some, carried / np.where(some, total, 1.0), 0.0)
        return np.where(some, self.gas.temperature_at(enthalpy), before)

    def _heat(self, way: _Leg, flow: FloatArray, mixed: FloatArray) -> Cooled:
        """Return the heat along a link, its start ahead if it `leaves` there."""
        link = self.network.links[way.link]
        m = np.maximum(np.abs(flow[way.link]), _STILL * self.total)
        start = link.start if way.leaves else link.end
        hot = mixed[self.order[start]] if start in self.order else self.hot
        kept = self._heats.setdefault(way, [])
        for one in kept:
            if np.array_equal(one.mass_flow, m) and np.array_equal(one.warmth[0].start, hot):
                return one
        chained = (self.forward if way.leaves else self.backward)[way.link]
        found = chained.down(m, hot, _SLOW * self.total)
        self._heats[way] = [found, *kept][:_KEPT]
        return found

    def _chain(self, i: int, at: Guess, mixed: FloatArray) -> Chain:
        """Return the gas along a link, whichever way it flows."""
        ahead = at.flow[i] >= 0
        ways = [way for way in (True, False) if np.any(ahead == way)]
        found = [self._one_way(_Leg(i, way), at, mixed) for way in ways]
        return found[0] if len(found) == 1 else either(ahead, *found)

    def _one_way(self, way: _Leg, at: Guess, mixed: FloatArray) -> Chain:
        """Return the gas along a link one way, as it is described."""
        link = self.network.links[way.link]
        end = link.end if way.leaves else link.start
        pressure = at.mouth[self.order[end]] if end in self.order else self.outside
        heat = self._heat(way, at.flow, mixed)
        kept = self._flows.setdefault(way, [])
        for cooled, asked, chain in kept:
            if cooled is heat and np.array_equal(asked, pressure):
                return chain
        chained = (self.forward if way.leaves else self.backward)[way.link]
        found = chained.up(heat, pressure)
        found = found if way.leaves else as_described(found)
        self._flows[way] = [(heat, np.array(pressure), found), *kept][:_KEPT]
        return found

    def _needed(
        self, into: FloatArray, ends: Sequence[Moving], axes: Sequence[tuple[float, ...]]
    ) -> FloatArray:
        """Return the pressure in the mouth that each leg asks for, going out [Pa]."""
        pressure, velocity, temperature = (
            np.stack([end[column] for end in ends], axis=-1) for column in range(3)
        )
        flow, heat = np.moveaxis(into, 0, -1), self.gas.gas_constant * temperature
        asked = mouth_pressures(flow, pressure, velocity, heat, np.asarray(axes, float))
        return np.moveaxis(asked, -1, 0)


def _numbers(piece: Piece) -> Iterator[ArrayLike]:
    """Yield all that may differ from sample to sample in a piece and the wall round it."""
    yield from piece[1:-1]
    if isinstance(piece.heat, TubeHeat):
        yield piece.heat.wall
        yield from piece.heat.around[1:]
        yield from piece.heat.stirring
