"""The flow through a system as installed, place by place: pressure, heat, growth."""

from __future__ import annotations

import html

import attrs

from exhaust import show
from exhaust.bands import Band, contributions
from exhaust.choices.along import PlaceFlow, along
from exhaust.choices.assumed import cost_assumptions, service_assumptions
from exhaust.choices.choosing import percent_band
from exhaust.choices.doubts import MERGES, NAMES, Doubts, doubts
from exhaust.choices.growth import Growth, growth, growth_notes
from exhaust.choices.ports import port_note, sensor_note
from exhaust.choices.steady import FloatArray, band_about, steady_flow
from exhaust.describe import require
from exhaust.engine import Ambient, Engine, OperatingPoint
from exhaust.engine.flow import ExhaustFlow, exhaust_flow
from exhaust.flow.cost import EXPANSION_RATIO
from exhaust.show import Column, Fact, Result, Table, listed, quantity, spread
from exhaust.system import System

STANDARD_AIR = Ambient()
MOST_NAMES = 2  # inlets; more are not named


@attrs.frozen(kw_only=True, repr=False)
class FlowThrough(Result):
    """The flow through a system, `places` in the order the gas takes.

    Of pipes alike, one. Losses of the places, each by its share of the flow, and the head that
    leaves add up to the total pressure lost. `contributions` is the share of the band of the
    power cost that each input explains, largest first; `growth` is what heat does to the lengths.
    """

    system: System
    flow: ExhaustFlow
    places: tuple[PlaceFlow, ...]
    back_pressure: Band  # gauge, where the gas comes in [Pa]
    total_pressure_loss: Band  # from there to still air outside [Pa]
    power_cost: Band  # share of power
    leaving_head: float  # what the gas carries out, lost in still air [Pa]
    choked: bool
    contributions: dict[str, float]
    growth: Growth

    title = "Flow through the system"

    @property
    def reason(self) -> str:  # type: ignore[override]
        """The headline in words."""
        band = spread(self.back_pressure.low, self.back_pressure.high, "pressure")
        said = [
            f"Back pressure {self._where} is {quantity(self.back_pressure.middle, 'pressure')} "
            f"({band}), which costs {percent_band(self.power_cost)} of power."
        ]
        if self.flow.duty.has_turbine:
            said.append(
                f"Ahead of the turbine it is about {EXPANSION_RATIO.middle:g} times as much."
            )
        if self.choked:
            said.append("The gas reaches Mach 1 on the way: this system is far too small.")
        return " ".join(said)

    @property
    def notes(self) -> tuple[str, ...]:
        """What to mind when it is built: growth, sensors, where to measure."""
        sensors = sensor_note(self.system, self.flow.engine)
        said = [*growth_notes(self.growth), *([] if sensors is None else [sensors])]
        return (*said, port_note(self.system))

    def body_html(self, unit_system: show.System | None = None) -> str:
        """Return facts and places, then what to mind."""
        items = "".join(f"<li>{html.escape(line)}</li>" for line in self.notes)
        return f"{super().body_html(unit_system)}<p>Mind</p><ul>{items}</ul>"

    @property
    def _where(self) -> str:
        if self.flow.duty.has_turbine:
            return "at the turbine outlet"
        names = [inlet.name for inlet in self.system.inlets]
        if not names:
            return "at the collector"
        return f"at {listed(names)}" if len(names) <= MOST_NAMES else "where the gas comes in"

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

    >>> from exhaust import Run, Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> duals = System(runs=[Run(name="all", tube=tube, length="4 m", loss=2.0)], pipes=2)
    >>> engine = Engine(displacement="5 L", cylinders=8)
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
    >>> answer = flow_through(duals, engine, duty)
    >>> [place.name for place in answer.places], round(answer.places[0].end_temperature, -1)
    (['all'], 840.0)
    """
    require(system, System, "system")
    flow = exhaust_flow(engine, duty, ambient)
    middle, samples = doubts(flow)
    at_middle = steady_flow([system], flow, middle)
    sampled = steady_flow([system], flow, samples, "quick")
    places = along(system, at_middle, flow)
    return FlowThrough(
        system=system,
        flow=flow,
        places=tuple(places.values()),
        back_pressure=band_about(at_middle.back_pressure, sampled.back_pressure),
        total_pressure_loss=band_about(at_middle.total_pressure_loss, sampled.total_pressure_loss),
        power_cost=band_about(at_middle.power_cost, sampled.power_cost),
        leaving_head=float(at_middle.leaving_head[0, 0]),
        choked=bool(at_middle.choked[0, 0]),
        contributions=contributions(_at_work(samples, system), sampled.power_cost[0]),
        growth=growth(system, places, flow),
    )


def _at_work(inputs: Doubts, system: System) -> dict[str, FloatArray]:
    """Return the inputs that the flow through `system` depends on, by name."""
    idle = (*MERGES, *(() if system.joint else ("joint",)))
    return {name: value for name, value in inputs._asdict().items() if name not in idle}
