"""What a gauge at the test port is expected to read, before it has read anything."""

from __future__ import annotations

import attrs

from exhaust.bands import Band
from exhaust.choices.assumed import service_assumptions
from exhaust.choices.at_port import at_speeds
from exhaust.choices.ports import PressureTap
from exhaust.choices.speeds import duties_at, given_speeds, usual_speeds
from exhaust.choices.steady import band_about
from exhaust.describe import require
from exhaust.engine import Ambient, Engine, OperatingPoint
from exhaust.engine.flow import ExhaustFlow, exhaust_flow
from exhaust.show import Column, Fact, Result, Table, quantity, spread
from exhaust.system import System

STANDARD_AIR = Ambient()
# Shares of the duty's speed that are worth reading beside it: slower, gauges show next to nothing.
SLOWEST, FASTEST = 0.4, 0.95


@attrs.frozen(kw_only=True, repr=False)
class PortPressures(Result):
    """Expected gauge pressure at the test port, `points` of (speed [rad/s], pressure [Pa])."""

    system: System
    flow: ExhaustFlow  # at the duty
    tap: PressureTap
    points: tuple[tuple[float, Band], ...]

    title = "Back pressure to expect at the test port"

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What was assumed, the gas temperature first."""
        return (*self.flow.assumptions, *service_assumptions(self.system))

    def facts(self) -> list[Fact]:
        """Return the expected pressure at each speed, its band beside it."""
        return [
            Fact(
                f"At {quantity(speed, 'speed')}",
                band.middle,
                "pressure",
                f"{spread(band.low, band.high, 'pressure')} expected",
            )
            for speed, band in self.points
        ]

    def rows(self) -> Table:
        """Return speed, expected pressure and its band."""
        columns = (
            Column("speed", "speed", "speed"),
            Column("pressure_gauge", "expected", "pressure"),
            Column("pressure_low", "low", "pressure"),
            Column("pressure_high", "high", "pressure"),
        )
        rows = tuple((speed, band.middle, band.low, band.high) for speed, band in self.points)
        return Table(columns, rows)


def port_pressures(
    system: System, engine: Engine, duty: OperatingPoint, ambient: Ambient = STANDARD_AIR
) -> PortPressures:
    """Return what a gauge at the test port is expected to read, up to the duty's speed.

    >>> from exhaust import Run, Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> duals = System(runs=[Run(name="all", tube=tube, length="4 m", loss=2.0)], pipes=2)
    >>> engine = Engine(displacement="5 L", cylinders=8)
    >>> duty = OperatingPoint(speed="5500 rpm", volumetric_efficiency=0.9, lambda_=0.88)
    >>> [fact.name for fact in port_pressures(duals, engine, duty).facts()]
    ['At 2500 rpm', 'At 3000 rpm', 'At 3500 rpm', ..., 'At 5000 rpm', 'At 5500 rpm']
    """
    require(system, System, "system")
    flow = exhaust_flow(engine, duty, ambient)
    usual = [one for one in usual_speeds(duty) if SLOWEST <= one / duty.speed <= FASTEST]
    speeds = given_speeds([*usual, duty.speed], [])  # type: ignore[list-item]
    flows = [exhaust_flow(engine, one, ambient) for one in duties_at(flow, speeds)]
    at = at_speeds(system, flow, flows)
    middle, sampled = at.pressure(at.middle()), at.pressure(at.sampled())
    points = tuple((speed, band_about(middle[k], sampled[k])) for k, speed in enumerate(speeds))
    return PortPressures(system=system, flow=flow, tap=at.port.tap, points=points)
