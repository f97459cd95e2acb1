"""Pieces one after another: heat marched down them all, then pressure up from the end.

By the full march, or by the quick one for thousands of samples. A loss at one place is taken by
the closed Fanno relation; between areas total pressure carries over and the loss stands in the
smaller. Where the gas would pass Mach 1 it moves at Mach 1, at the pressure its mass flow needs,
and `choked` says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NamedTuple, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from exhaust.errors import broken
from exhaust.flow.friction import FloatArray, darcy_factor, quick_darcy_factor, reynolds_number
from exhaust.flow.heat import TubeHeat
from exhaust.flow.impulse import Gas as HeatedGas
from exhaust.flow.impulse import sonic_motion
from exhaust.flow.local_loss import local_loss
from exhaust.flow.march import Cooling, March, cooled, pressed
from exhaust.flow.passage import Heat
from exhaust.flow.piece import Piece
from exhaust.flow.quick import IdealGas, Moving, at_pressure, quick_start
from exhaust.flow.quick_heat import QuickCooling, QuickGas, QuickHeat, quick_cooling

Method = Literal["full", "quick"]


class BurntGas(HeatedGas, Protocol):
    """What a chain asks of a gas; `exhaust.gas` has one, `Mixture`."""

    def viscosity(self, temperature: FloatArray, /) -> FloatArray:
        """Dynamic viscosity at a temperature [K] [Pa s]."""

    def conductivity(self, temperature: FloatArray, /) -> FloatArray:
        """Thermal conductivity at a temperature [K] [W/m/K]."""


class Warmth(NamedTuple):
    """What the way down leaves of one piece, arrays (samples...)."""

    start: FloatArray  # total temperature [K]
    end: FloatArray  # [K]
    wall: FloatArray  # temperature, in the middle [K]
    friction: FloatArray  # Darcy factor [-]
    reynolds: FloatArray


class Cooled(NamedTuple):
    """The heat of pieces in series with the mass flow they were marched for."""

    mass_flow: FloatArray  # [kg/s]
    warmth: tuple[Warmth, ...]
    marches: tuple[Cooling | QuickCooling | None, ...]  # of tube


class PieceFlow(NamedTuple):
    """The gas at both ends of one piece, arrays (samples...)."""

    name: str
    start: Moving
    end: Moving
    warmth: Warmth
    choked: NDArray[np.bool_]


class Chain(NamedTuple):
    """The gas along pieces in series, from the first to the last."""

    pieces: tuple[PieceFlow, ...]

    @property
    def start(self) -> Moving:
        """The gas where the first piece starts."""
        return self.pieces[0].start

    @property
    def end(self) -> Moving:
        """The gas where the last piece ends."""
        return self.pieces[-1].end

    @property
    def choked(self) -> NDArray[np.bool_]:
        """Whether the gas is at Mach 1 somewhere and its pressure stands above what is asked."""
        return np.asarray(np.any([piece.choked for piece in self.pieces], axis=0))


class Chained:
    """Pieces in series with one gas, by one method."""

    def __init__(self, pieces: Sequence[Piece], gas: BurntGas, method: Method = "full") -> None:
        """Make ready to march `gas` along `pieces`."""
        if not pieces:
            raise broken("is empty", None, "give at least one piece").named("pieces")
        self.gas, self.method = gas, method
        self._swift: IdealGas = gas
        self._viscosity = gas.viscosity
        if method == "quick":
            swift = QuickGas(gas)
            self._swift, self._viscosity = swift, swift.viscosity
            pieces = [piece._replace(heat=_quick_heat(piece)) for piece in pieces]
        self.pieces = tuple(pieces)

    def down(
        self,
        mass_flow: FloatArray,
        total_temperature: FloatArray,
        least_cooled: ArrayLike = 0.0,
    ) -> Cooled:
        """Return the heat of each piece, from the `total_temperature` at the start [K].

        A `mass_flow` of less than `least_cooled` cools as if it were that [kg/s].
        """
        found: list[Warmth] = []
        marches: list[Cooling | QuickCooling | None] = []
        T0 = total_temperature
        self.gas.cp(np.array([np.min(T0), np.max(T0)]))  # refuses what lies outside its table
        for piece in self.pieces:
            cooling = self._cooled(piece, mass_flow, T0, least_cooled)
            end = T0 if cooling is None else cooling.end
            wall = np.full_like(T0, np.nan) if cooling is None else cooling.wall
            Re = reynolds_number(mass_flow, piece.bore, self._viscosity((T0 + end) / 2))
            factor = darcy_factor if self.method == "full" else quick_darcy_factor
            rough = np.asarray(piece.roughness) / piece.bore
            needed = piece.is_tube or np.any(piece.loss_per_friction)
            friction = factor(Re, rough) if needed else np.zeros_like(Re)
            found.append(Warmth(T0, end, wall, friction, Re))
            marches.append(cooling)
            T0 = end
        return Cooled(mass_flow, tuple(found), tuple(marches))

    def up(self, cooled: Cooled, pressure: ArrayLike) -> Chain:
        """Return the flow, from static `pressure` at the end [Pa] and the heat of each piece."""
        flows: list[PieceFlow] = []
        at = pressure
        for number in reversed(range(len(self.pieces))):
            flows.insert(0, self._piece(number, cooled, at))
            at = flows[0].start.pressure
        return Chain(tuple(flows))

    def _cooled(
        self, piece: Piece, mass_flow: FloatArray, T0: FloatArray, least: ArrayLike
    ) -> Cooling | QuickCooling | None:
        if not piece.is_tube:
            return None
        flow = np.maximum(mass_flow, least)
        heat = carrying(piece.heat, flow)
        if self.method == "full":
            heat = heat if np.all(flow == mass_flow) else _shared(heat, mass_flow / flow)
            return cooled(piece.passage(0.0), self.gas, mass_flow, T0, heat)
        places = (piece.distance, piece.length, piece.bore)
        return quick_cooling(heat, self._swift, places, flow, T0)

    def _piece(self, number: int, cooled: Cooled, pressure: ArrayLike) -> PieceFlow:
        piece, warm, mass_flow = self.pieces[number], cooled.warmth[number], cooled.mass_flow
        loss, cooling = piece.loss_at(warm.friction), cooled.marches[number]
        if isinstance(cooling, Cooling):
            flow = pressed(cooling, piece.passage(warm.friction), pressure)
            start, end = (_moving(flow, place, self.gas) for place in (0, -1))
            flux = np.asarray(mass_flow / np.asarray(piece.start, float))
            start, choked = _or_sonic(start, flux, warm.start, self.gas), flow.choked
        elif cooling is not None and piece.even:
            flux = np.asarray(mass_flow / np.asarray(piece.end, float))
            end, choked = at_pressure(flux, pressure, warm.end, self._swift)
            loss = warm.friction * np.asarray(piece.length) / piece.bore + loss
            warmth = (warm.start, cooling.middle)
            start = quick_start(end, loss, flux, warmth, self._swift)
        else:
            ends = (warm.start, warm.end)
            start, end, choked = local_loss(piece, mass_flow, ends, loss, pressure, self._swift)
        return PieceFlow(piece.name, start, end, warm, choked)


def carrying(heat: Heat, mass_flow: FloatArray) -> Heat:
    """Return a wall with `mass_flow` [kg/s] of gas along it."""
    return heat.carrying(mass_flow) if isinstance(heat, (TubeHeat, QuickHeat)) else heat


def _shared(heat: Heat, share: FloatArray) -> Heat:
    """Return a wall that takes only a share."""

    def less(
        distance: FloatArray, diameter: FloatArray, temperature: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        wall, loss = heat(distance, diameter, temperature)
        return wall, np.asarray(loss * share)

    return less


def _quick_heat(piece: Piece) -> Heat:
    """Return the wall of a piece for the quick march."""
    return QuickHeat(piece.heat, piece.bore) if isinstance(piece.heat, TubeHeat) else piece.heat


def _moving(flow: March, place: int, gas: HeatedGas) -> Moving:
    """Return the gas at one place of a march."""
    T = flow.temperature[place]
    return Moving(
        flow.pressure[place],
        flow.velocity[place],
        T,
        flow.total_temperature[place],
        np.where(np.isnan(T), np.nan, gas.cp(np.where(np.isnan(T), 300.0, T))),
    )


def _or_sonic(
    at: Moving, flux: FloatArray, total_temperature: FloatArray, gas: HeatedGas
) -> Moving:
    """Return the gas, at Mach 1 where a march that chokes inside a cone has no answer ahead."""
    lost = np.isnan(at.pressure)
    if not np.any(lost):
        return at
    u, T, _ = sonic_motion(gas.enthalpy(total_temperature), gas)
    sonic = (flux * gas.gas_constant * T / u, u, T, total_temperature, gas.cp(T))
    return Moving(*(np.where(lost, new, old) for new, old in zip(sonic, at, strict=True)))


def as_described(chain: Chain) -> Chain:
    """Return a chain marched backward as its pieces are described: start and end change places."""
    return Chain(
        tuple(
            piece._replace(
                start=piece.end,
                end=piece.start,
                warmth=piece.warmth._replace(start=piece.warmth.end, end=piece.warmth.start),
            )
            for piece in reversed(chain.pieces)
        )
    )


def either(first: NDArray[np.bool_], one: Chain, other: Chain) -> Chain:
    """Return `one` where `first`, else `other`, piece by piece."""

    def chosen(a: tuple[FloatArray, ...], b: tuple[FloatArray, ...]) -> list[FloatArray]:
        return [np.where(first, x, y) for x, y in zip(a, b, strict=True)]

    return Chain(
        tuple(
            PieceFlow(
                a.name,
                Moving(*chosen(a.start, b.start)),
                Moving(*chosen(a.end, b.end)),
                Warmth(*chosen(a.warmth, b.warmth)),
                np.where(first, a.choked, b.choked),
            )
            for a, b in zip(one.pieces, other.pieces, strict=True)
        )
    )
