"""Steady flow through any graph of pieces: parallel ways, unequal tails, reverse flow.

Gas comes in at sources, meets at junctions and leaves at outlets. Unknown are the flow of each
link that no source feeds alone, and the static pressure in the mouth of each junction. A link
gives the pressure it needs at its start; a junction passes the momentum of what comes in to what
goes out [control-volume], as `leg_pressures` does but for a compressible gas of mixed temperature:
p_mouth = p + G (u - |M| cos(k b)) where gas goes out, p_mouth = p where it comes in. Newton's
method, its matrix from the quick march, finds flows that balance at every junction.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from exhaust.errors import ExhaustError
from exhaust.flow.balance import Balance, Guess, LeftOver
from exhaust.flow.chain import BurntGas, Chain, Method
from exhaust.flow.friction import FloatArray
from exhaust.flow.links import Network, check_network
from exhaust.flow.passage import more_than_zero

MASS_TOLERANCE = 1e-11  # of all the flow, left over at a junction
PRESSURE_TOLERANCE = 1e-10  # of the pressure outside
HEAT_TOLERANCE = 1e-10  # of a junction's temperature
MOST_STEPS = 40
_HALVINGS = 5  # of a step that leaves more over; then it is taken whole, out of a dead end
_LESS = 0.999  # of what was left over before: less than that is no way on
_LONGEST = 0.3  # step, of all the flow and of the pressure in a mouth


class NetworkFlow(NamedTuple):
    """The flow through every link, arrays (samples...), settled to the residuals given.

    `mass_flow` of each link, below nought against its direction [kg/s]; `chains` the gas along
    each, start and end as it is described; `mouths` static pressure in each junction [Pa].
    """

    mass_flow: dict[str, FloatArray]
    chains: dict[str, Chain]
    mouths: dict[str, FloatArray]
    mass_residual: float  # of all the flow
    energy_residual: float  # of a junction's temperature
    pressure_residual: float  # of the pressure outside
    steps: int

    @property
    def choked(self) -> NDArray[np.bool_]:
        """Whether the gas chokes anywhere."""
        return np.asarray(np.any([chain.choked for chain in self.chains.values()], axis=0))


def network_flow(
    network: Network,
    gas: BurntGas,
    mass_flow: ArrayLike,
    total_temperature: ArrayLike,
    outlet_pressure: ArrayLike,
    method: Method = "full",
) -> NetworkFlow:
    """Return the flow of `mass_flow` [kg/s] in all, at `total_temperature` [K], to the outlets.

    Arrays broadcast to the samples; `outlet_pressure` static, absolute [Pa].

    Raises ExhaustError, with what is left over and where, when the flow does not settle, and
    where air would be drawn in at an outlet.

    >>> from exhaust.engine.species import gas_table
    >>> from exhaust.flow.links import Link
    >>> from exhaust.flow.piece import Piece
    >>> from exhaust.gas.properties import Mixture
    >>> gas = Mixture({"N2": 0.73, "CO2": 0.13, "H2O": 0.14}, gas_table())
    >>> tail = Piece("tail", 0.002, 0.002, 2.0, 1e-5)
    >>> ways = [Link(str(length), "fork", f"tip {length}", (tail._replace(length=length),))
    ...         for length in (1.0, 4.0)]
    >>> whole = Network((Link("down", "engine", "fork", (tail,)), *ways), {"engine": 1.0})
    >>> flow = network_flow(whole, gas, 0.1, 900.0, 101325.0)
    >>> {name: round(float(m), 3) for name, m in flow.mass_flow.items()}
    {'down': 0.1, '1.0': 0.069, '4.0': 0.031}
    """
    check_network(network)
    brought = [
        more_than_zero("mass_flow", mass_flow),
        more_than_zero("total_temperature", total_temperature),
        more_than_zero("outlet_pressure", outlet_pressure),
    ]
    quick = Balance(network, gas, brought, "quick")
    if not quick.order:
        balance = quick if method == "quick" else Balance(network, gas, brought, method)
        at = balance.guess()
        return _answer(balance, at, balance.left_over(at), 0)
    at, over, steps = _settled(quick, quick, quick.guess())
    balance = quick
    if method == "full":
        balance = Balance(network, gas, brought, method)
        at, over, steps = _settled(balance, quick, at)
    _refuse_drawn_air(network, at)
    return _answer(balance, at, over, steps)


def _settled(balance: Balance, quick: Balance, at: Guess) -> tuple[Guess, LeftOver, int]:
    """Return a guess that leaves nothing over, by Newton's method from the guess `at`."""
    over = balance.left_over(at)
    for step in range(MOST_STEPS):
        if _small(balance, at, over):
            return at, over, step
        scaled = balance.scaled(over)
        move = _limited(balance, at, np.linalg.solve(quick.change(at), -scaled[..., None])[..., 0])
        at, over = _shorter(balance, at, over, move)
    _refuse_drawn_air(balance.network, at)
    mass, pressure, heat = (float(np.max(part)) for part in _residuals(balance, at, over))
    raise ExhaustError(
        f"the flow through the network did not settle in {MOST_STEPS} steps: {mass:.1e} of the "
        f"flow, {pressure:.1e} of the pressure and {heat:.1e} of the temperature are left over, "
        f"most at {_worst(balance, over)!r}; is a run far too small, or an "
        "outlet far too wide?"
    )


def _limited(balance: Balance, at: Guess, move: NDArray[Any]) -> FloatArray:
    """Return a move no longer than `_LONGEST` of all the flow and of each mouth's own pressure."""
    size = np.abs(move)
    size[..., len(balance.network.free) :] *= np.moveaxis(balance.outside / at.mouth, 0, -1)
    longest = np.max(size, axis=-1, keepdims=True)
    return np.asarray(move * np.minimum(1.0, _LONGEST / np.maximum(longest, _LONGEST)))


def _shorter(
    balance: Balance, at: Guess, over: LeftOver, move: FloatArray
) -> tuple[Guess, LeftOver]:
    """Return the guess moved, each sample halved until it leaves no more over than before."""
    before = _size(balance, at, over)
    share = np.ones(balance.shape)
    for _ in range(_HALVINGS):
        there = _moved(balance, at, move * share[..., None])._replace(mixed=over.mixed)
        found = balance.left_over(there)
        worse = ~(_size(balance, there, found) <= np.maximum(_LESS * before, PRESSURE_TOLERANCE))
        if not np.any(worse):
            return there, found
        share = np.where(worse, share / 2, share)
    share = np.where(worse, 1.0, share)
    there = _moved(balance, at, move * share[..., None])._replace(mixed=over.mixed)
    return there, balance.left_over(there)


def _size(balance: Balance, at: Guess, over: LeftOver) -> FloatArray:
    """Return the most that is left over (samples...), of pressure, flow and temperature."""
    scaled = np.max(np.abs(balance.scaled(over)), axis=-1)
    return np.asarray(np.maximum(scaled, np.max(over.heat, axis=0)))


def _moved(balance: Balance, at: Guess, move: FloatArray) -> Guess:
    free = balance.network.free
    flow, mouth = at.flow.copy(), at.mouth.copy()
    for column, i in enumerate(free):
        flow[i] = flow[i] + move[..., column] * balance.total
    for j in range(len(balance.order)):
        mouth[j] = mouth[j] + move[..., len(free) + j] * balance.outside
    return at._replace(flow=flow, mouth=mouth)


def _residuals(
    balance: Balance, at: Guess, over: LeftOver
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return what is left over of flow, pressure and temperature, each in shares."""
    return (
        np.abs(over.flow / balance.total),
        np.abs(over.pressure / balance.outside),
        over.heat,
    )


def _small(balance: Balance, at: Guess, over: LeftOver) -> bool:
    most = (MASS_TOLERANCE, PRESSURE_TOLERANCE, HEAT_TOLERANCE)
    parts = _residuals(balance, at, over)
    return all(bool(np.all(part <= few)) for part, few in zip(parts, most, strict=True))


def _worst(balance: Balance, over: LeftOver) -> str:
    """Return the name of the link or junction that leaves most over."""
    names = [balance.network.links[i].name for i in balance.network.free] + list(balance.order)
    scaled = np.abs(balance.scaled(over)).reshape(-1, len(names))
    return names[int(np.argmax(np.nan_to_num(scaled, nan=np.inf).max(axis=0)))]


def _refuse_drawn_air(network: Network, at: Guess) -> None:
    for link, flow in zip(network.links, at.flow, strict=True):
        ends = {one.start for one in network.links}
        if link.end not in ends and np.any(flow < 0):
            raise ExhaustError(
                f"run {link.name!r} would draw air in from outside; check which way the junctions "
                "ahead of it point"
            )


def _answer(balance: Balance, at: Guess, over: LeftOver, steps: int) -> NetworkFlow:
    names = [link.name for link in balance.network.links]
    mass, pressure, heat = (
        float(np.max(part, initial=0.0)) for part in _residuals(balance, at, over)
    )
    return NetworkFlow(
        mass_flow=dict(zip(names, at.flow, strict=True)),
        chains=dict(zip(names, over.chains, strict=True)),
        mouths=dict(zip(balance.order, at.mouth, strict=True)),
        mass_residual=mass,
        energy_residual=heat,
        pressure_residual=pressure,
        steps=steps,
    )
