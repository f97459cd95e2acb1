"""The flow through a system as installed, place by place: pressure, heat, growth."""

from __future__ import annotations

import attrs
import numpy as np

from exhaust.bands import Band, band_of, contributions
from exhaust.choices.assumed import cost_assumptions, service_assumptions
from exhaust.choices.choosing import percent_band
from exhaust.choices.doubts import NAMES, doubts
from exhaust.choices.growth import Growth, growth_notes
from exhaust.choices.steady import Steady, steady_flow
from exhaust.describe import require
from exhaust.engine import Ambient, Engine, OperatingPoint
from exhaust.engine.flow import ExhaustFlow, exhaust_flow
from exhaust.flow.chain import PieceFlow
from exhaust.flow.moving import dynamic_head, mach_number, total_pressure
from exhaust.gas.properties import Mixture
from exhaust.show import Column, Fact, Result, Table, quantity, spread
from exhaust.stock import Tube, material
from exhaust.system import System

STANDARD_AIR = Ambient()


@attrs.frozen(kw_only=True)
class PlaceFlow:
    """One run, part or joint with the gas through it."""

    name: str
    tube: Tube
    mass_flow: float  # [kg/s]
    length: float  # nought for a part [m]
    start_temperature: float  # of the gas, total [K]
    end_temperature: float  # [K]
    wall_temperature: float | None  # in the middle; None for a part [K]
    velocity: float  # the larger of its ends [m/s]
    mach: float  # there
    dynamic_head: float  # where it starts [Pa]
    total_pressure_loss: float  # [Pa]
    growth: float  # in length, cold to hot [m]


@attrs.frozen(kw_only=True, repr=False)
class FlowThrough(Result):
    """The flow through a system, `places` in the order the gas takes.

    Of pipes alike, one. `contributions` is the share of the band of the power cost that each
    input explains, largest first; `growth` is what heat does to the lengths.
    """

    system: System
    flow: ExhaustFlow
    places: tuple[PlaceFlow, ...]
    back_pressure: Band  # gauge, where the gas comes in [Pa]
    total_pressure_loss: Band  # from there to still air outside [Pa]
    power_cost: Band  # share of power
    leaving_head: float  # dynamic head that is lost outside [Pa]
    choked: bool
    contributions: dict[str, float]
    growth: Growth

    title = "Flow through the system"

    @property
    def reason(self) -> str:  # type: ignore[override]
        """The headline in words."""
        where = "turbine outlet" if self.flow.duty.has_turbine else "collector"
        band = spread(self.back_pressure.low, self.back_pressure.high, "pressure")
        said = [
            f"Back pressure at the {where} is {quantity(self.back_pressure.middle, 'pressure')} "
            f"({band}), which costs {percent_band(self.power_cost)} of power."
        ]
        if self.choked:
            said.append("The gas reaches Mach 1 on the way: this system is far too small.")
        return " ".join([*said, *growth_notes(self.growth)])

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What was assumed, the gas temperature first."""
        return (
            *self.flow.assumptions,
            *service_assumptions(self.system),
            *cost_assumptions(self.flow),
        )

    def facts(self) -> list[Fact]:
        """Return the headline lines."""
        pressure, cost = self.back_pressure, self.power_cost
        largest = list(self.contributions.items())[:2]
        said = [f"{NAMES[name]} {quantity(share, 'percent')}" for name, share in largest]
        last = self.places[-1]
        return [
            Fact("back pressure", pressure.middle, "pressure", "gauge, where the gas comes in"),
            Fact("power cost", cost.middle, "percent"),
            Fact("gas temperature where it leaves", last.end_temperature, "temperature"),
            Fact("back pressure, low", pressure.low, "pressure"),
            Fact("back pressure, high", pressure.high, "pressure"),
            Fact("power cost, low", cost.low, "percent"),
            Fact("power cost, high", cost.high, "percent"),
            Fact("total pressure lost", self.total_pressure_loss.middle, "pressure"),
            Fact("of that, head that leaves", self.leaving_head, "pressure"),
            Fact("growth, cold to hot", self.growth.along, "growth", "from inlet to outlet"),
            Fact("what moves the answer most", " and ".join(said), note="share of the band"),
        ]

    def rows(self) -> Table:
        """Return the places in the order the gas takes."""
        columns = (
            Column("place", "place"),
            Column("tube", "tube"),
            Column("gas_in", "gas in", "temperature"),
            Column("gas_out", "gas out", "temperature"),
            Column("wall", "wall", "temperature"),
            Column("velocity", "velocity", "velocity"),
            Column("mach", "Mach", "ratio"),
            Column("dynamic_head", "dynamic head", "pressure"),
            Column("total_pressure_loss", "loss", "pressure"),
            Column("growth", "growth", "growth"),
        )
        rows = tuple(
            (
                one.name,
                one.tube.name,
                one.start_temperature,
                one.end_temperature,
                "–" if one.wall_temperature is None else one.wall_temperature,
                one.velocity,
                one.mach,
                one.dynamic_head,
                one.total_pressure_loss,
                one.growth,
            )
            for one in self.places
        )
        return Table(columns, rows)


def flow_through(
    system: System, engine: Engine, duty: OperatingPoint, ambient: Ambient = STANDARD_AIR
) -> FlowThrough:
    """Return the flow through `system` place by place, with its back pressure and growth.

    >>> from exhaust import Run
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> duals = System(runs=[Run(name="all", tube=tube, length="4 m", loss=2.0)], pipes=2)
    >>> engine = Engine(displacement="5 L", cylinders=8)
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
    >>> answer = flow_through(duals, engine, duty)
    >>> [place.name for place in answer.places], round(answer.places[0].end_temperature, -1)
    (['all'], 850.0)
    """
    flow = exhaust_flow(engine, duty, ambient)
    middle, samples = doubts(flow)
    at_middle = steady_flow([require(system, System, "system")], flow, middle)
    sampled = steady_flow([system], flow, samples, "quick")
    places = _places(system, at_middle, flow)
    cost = sampled.power_cost[0]
    return FlowThrough(
        system=system,
        flow=flow,
        places=places,
        back_pressure=_around(at_middle.back_pressure, sampled.back_pressure),
        total_pressure_loss=_around(at_middle.total_pressure_loss, sampled.total_pressure_loss),
        power_cost=_around(at_middle.power_cost, sampled.power_cost),
        leaving_head=float(dynamic_head(at_middle.end, flow.gas)[0, 0]),
        choked=bool(at_middle.choked[0, 0]),
        contributions=contributions(samples._asdict(), cost),
        growth=Growth.of(system, {one.name: one for one in places}, flow.ambient_temperature),
    )


def _around(middle: np.ndarray, samples: np.ndarray) -> Band:
    """Return the band of the samples about the middle that the full march gives."""
    low, _, high = band_of(samples[0])
    value = float(middle[0, 0])
    return Band(min(low, value), value, max(high, value))


def _places(system: System, steady: Steady, flow: ExhaustFlow) -> tuple[PlaceFlow, ...]:
    """Return what flows through each place, the halves of a joint taken together."""
    found: list[PlaceFlow] = []
    stock = {run.name: (run.tube, float(run.length)) for run in system.runs}
    for link in steady.network.links:
        chain = steady.flow.chains[link.name]
        mass_flow = float(steady.flow.mass_flow[link.name].flat[0])
        tube = stock[link.name][0]
        groups: dict[str, list[PieceFlow]] = {}
        for piece in chain.pieces:
            groups.setdefault(piece.name.removesuffix(", narrowest"), []).append(piece)
        for name, pieces in groups.items():
            tube, length = stock.get(name, (tube, 0.0))
            if name == system.joint_at and system.joint is not None:
                halves = sum(piece.warmth.wall.flat[0] > 0 for piece in pieces)
                length = halves * system.joint.centreline_length / 2
            found.append(_place(name, tube, length, pieces, (mass_flow, flow)))
    return tuple(found)


def _place(
    name: str,
    tube: Tube,
    length: float,
    pieces: list[PieceFlow],
    flowing: tuple[float, ExhaustFlow],
) -> PlaceFlow:
    mass_flow, flow = flowing
    gas: Mixture = flow.gas
    first, last = pieces[0], pieces[-1]
    walls = [float(one.warmth.wall.flat[0]) for one in pieces]
    known = [wall for wall in walls if np.isfinite(wall)]
    wall = float(np.mean(known)) if known else None
    ends = [first.start, last.end]
    fastest = max(ends, key=lambda at: float(at.velocity.flat[0]))
    warmer = 0.0 if wall is None else wall - flow.ambient_temperature
    return PlaceFlow(
        name=name,
        tube=tube,
        mass_flow=mass_flow,
        length=length,
        start_temperature=float(first.start.total_temperature.flat[0]),
        end_temperature=float(last.end.total_temperature.flat[0]),
        wall_temperature=wall,
        velocity=float(fastest.velocity.flat[0]),
        mach=float(mach_number(fastest, gas).flat[0]),
        dynamic_head=float(dynamic_head(first.start, gas).flat[0]),
        total_pressure_loss=float(
            (total_pressure(first.start, gas) - total_pressure(last.end, gas)).flat[0]
        ),
        growth=length * material(tube.material).expansion * warmer,
    )
