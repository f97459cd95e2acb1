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
from exhaust.flow.march import Cooling, March, cooled, pressed
from exhaust.flow.passage import Heat
from exhaust.flow.piece import Piece
from exhaust.flow.pipe import (
    Gas,
    State,
    mach_before,
    mach_from_static,
    mach_from_total,
    state,
)
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

    def down(self, mass_flow: FloatArray, total_temperature: FloatArray) -> Cooled:
        """Return the heat of each piece, from the `total_temperature` at the start [K]."""
        found: list[Warmth] = []
        marches: list[Cooling | QuickCooling | None] = []
        T0 = total_temperature
        self.gas.cp(np.array([np.min(T0), np.max(T0)]))  # refuses what lies outside its table
        for piece in self.pieces:
            cooling = self._cooled(piece, mass_flow, T0)
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
        self, piece: Piece, mass_flow: FloatArray, T0: FloatArray
    ) -> Cooling | QuickCooling | None:
        if not piece.is_tube:
            return None
        heat = carrying(piece.heat, mass_flow)
        if self.method == "full":
            return cooled(piece.passage(0.0), self.gas, mass_flow, T0, heat)
        places = (piece.distance, piece.length, piece.bore)
        return quick_cooling(heat, self._swift, places, mass_flow, T0)

    def _piece(self, number: int, cooled: Cooled, pressure: ArrayLike) -> PieceFlow:
        piece, warm, mass_flow = self.pieces[number], cooled.warmth[number], cooled.mass_flow
        loss, cooling = piece.loss_at(warm.friction), cooled.marches[number]
        if isinstance(cooling, Cooling):
            flow = pressed(cooling, piece.passage(warm.friction), pressure)
            start, end = (_moving(flow, place, self.gas) for place in (0, -1))
            choked = flow.choked
        elif cooling is not None and piece.even:
            flux = np.asarray(mass_flow / np.asarray(piece.end, float))
            end, choked = at_pressure(flux, pressure, warm.end, self._swift)
            loss = warm.friction * np.asarray(piece.length) / piece.bore + loss
            warmth = (warm.start, cooling.middle)
            start = quick_start(end, loss, flux, warmth, self._swift)
        else:
            start, end, choked = _at_one_place(piece, mass_flow, warm, loss, pressure, self._swift)
        return PieceFlow(piece.name, start, end, warm, choked)


def carrying(heat: Heat, mass_flow: FloatArray) -> Heat:
    """Return a wall with `mass_flow` [kg/s] of gas along it."""
    return heat.carrying(mass_flow) if isinstance(heat, (TubeHeat, QuickHeat)) else heat


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


def _at_one_place(
    piece: Piece,
    mass_flow: FloatArray,
    warm: Warmth,
    loss: FloatArray,
    pressure: ArrayLike,
    gas: IdealGas,
) -> tuple[Moving, Moving, NDArray[np.bool_]]:
    """Return the gas on both sides of a loss at one place, and where it chokes.

    Up from the end: without loss into the smaller area, the Fanno relation there, and without
    loss into the area at the start.
    """
    T0, R = warm.end, gas.gas_constant
    cp = gas.cp(T0)
    ideal = Gas(cp / (cp - R), R)
    thrust = mass_flow * np.sqrt(R * T0)
    first, last = (np.asarray(area, float) for area in (piece.start, piece.end))
    flux = thrust / last
    mach, choked = _up_to_one(mach_from_static(flux, pressure, ideal.gamma))
    end = state(mach, flux, T0, ideal)
    flux = thrust / np.minimum(first, last)
    mach, more = _up_to_one(mach_from_total(flux, end.total_pressure, ideal.gamma))
    ahead = state(mach_before(mach, loss, ideal.gamma), flux, T0, ideal)
    mach, most = _up_to_one(mach_from_total(thrust / first, ahead.total_pressure, ideal.gamma))
    start = state(mach, thrust / first, T0, ideal)
    return _from(start, T0, cp), _from(end, T0, cp), choked | more | most


def _up_to_one(mach: FloatArray) -> tuple[FloatArray, NDArray[np.bool_]]:
    """Return Mach numbers held at 1, and which of them were held there."""
    choked = ~(mach < 1)
    return np.where(choked, 1.0, mach), choked


def _from(at: State, T0: FloatArray, cp: FloatArray) -> Moving:
    T = T0 - at.velocity**2 / (2 * cp)
    return Moving(*np.broadcast_arrays(at.pressure, at.velocity, T, T0, cp))
