"""The answer of a simulation: waves at each place, and what they cost."""

from __future__ import annotations

import attrs

from exhaust.choices.pulses import Pulses
from exhaust.choices.simulation_words import simulation_assumptions, simulation_reason
from exhaust.choices.waves import Kind, Wave, overlap
from exhaust.engine.flow import ExhaustFlow
from exhaust.errors import broken, nearest
from exhaust.show import Column, Fact, Result, Table
from exhaust.system import System


@attrs.frozen(kw_only=True)
class CylinderPulse:
    """One cylinder over a cycle; pressures gauge [Pa], work [J]."""

    number: int
    fires: float  # crank angle [rad]
    port_pressure: float  # mean over the cycle
    exhaust_stroke_pressure: float  # in the port, mean from bottom to top dead centre
    pumping_pressure: float  # in the cylinder, on the piston from bottom to top dead centre
    residual: float  # share of burnt gas left as the valve closes
    work: float  # on the piston while the valve is open


@attrs.frozen(kw_only=True)
class Balance:
    """What a cycle leaves over: shares of the mass and of the energy that came in."""

    mass: float
    energy: float


@attrs.frozen(kw_only=True, repr=False)
class Simulation(Result):
    """The waves of one engine speed, in a cycle that repeats (or `outcome` says otherwise).

    `waves` at each place, ports first; `cylinders` in the order of their numbers; `mass_flow` and
    mean total `gas_temperature` at the collectors, to hold against those of `flow`; `balance` of
    the last cycle; `stretched` the pipes that were too short for two cells, by how much [m].
    """

    system: System
    flow: ExhaustFlow
    pulses: Pulses
    headers: tuple[str, ...]
    outcome: str  # "steady", "alternating" or "unsettled"
    cycles: int
    change: float  # of the port pressures, against the cycle it is like [Pa]
    waves: tuple[Wave, ...]
    cylinders: tuple[CylinderPulse, ...]
    mass_flow: float  # [kg/s]
    gas_temperature: float  # [K]
    balance: Balance
    cells: int
    stretched: tuple[tuple[str, float], ...]
    unsolved: int  # junction solutions that did not settle

    title = "Pulses"

    def of(self, kind: Kind) -> tuple[Wave, ...]:
        """Return the waves at all places of a kind: "port", "outlet" …"""
        return tuple(wave for wave in self.waves if wave.kind == kind)

    def wave(self, name: str) -> Wave:
        """Return the wave at the place of a name, or refuse it with the nearest."""
        for one in self.waves:
            if one.name == name:
                return one
        known = nearest(name, dict.fromkeys(one.name for one in self.waves))
        raise broken("is no place of the simulation", repr(name), known).named("name")

    @property
    def pumping_pressure(self) -> float:
        """Gauge pressure that the pistons push the gas out against, mean of the cylinders [Pa]."""
        return self._mean("pumping_pressure")

    @property
    def port_pressure(self) -> float:
        """Mean gauge pressure in the ports [Pa]."""
        return self._mean("port_pressure")

    @property
    def exhaust_stroke_pressure(self) -> float:
        """Mean gauge pressure in the ports during the exhaust stroke [Pa]."""
        return self._mean("exhaust_stroke_pressure")

    @property
    def residual(self) -> float:
        """Share of burnt gas left in the cylinders as the valves close, their mean."""
        return self._mean("residual")

    @property
    def fastest(self) -> Wave:
        """The wave at the place where the gas moves at the highest Mach number."""
        return max(self.waves, key=lambda wave: wave.peak_mach)

    @property
    def overlap(self) -> float | None:
        """How much the two streams of a merge or crossover come at once, 0 to 1; None of others."""
        for kind in ("leg", "joint"):
            found = self.of(kind)
            if len(found) == 2:
                return overlap(*found)
        return None

    def _mean(self, name: str) -> float:
        values: list[float] = [getattr(one, name) for one in self.cylinders]
        return sum(values) / len(values)

    @property
    def reason(self) -> str:  # type: ignore[override]
        """The answer in words."""
        return " ".join(simulation_reason(self))

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What was assumed, the gas temperature first."""
        return (*self.flow.assumptions, *simulation_assumptions(self))

    def facts(self) -> list[Fact]:
        """Return the headline lines."""
        fastest = self.fastest
        found = [
            Fact("pumping pressure", self.pumping_pressure, "pressure", "gauge, on the pistons"),
            Fact("pressure at the ports", self.port_pressure, "pressure", "gauge, mean"),
            Fact("burnt gas left behind", self.residual, "percent", "of what a cylinder holds"),
            Fact(
                "pressure at the ports in the exhaust stroke",
                self.exhaust_stroke_pressure,
                "pressure",
                "gauge, mean",
            ),
            Fact("highest Mach number", fastest.peak_mach, "ratio", fastest.name),
            Fact("fastest gas", fastest.peak_velocity, "velocity", fastest.name),
            Fact("gas temperature at the collector", self.gas_temperature, "temperature", "mean"),
            Fact("exhaust", self.mass_flow, "mass_flow"),
            Fact("cycles until it repeats", float(self.cycles), "count", self.outcome),
        ]
        if self.overlap is not None:
            note = "of the two streams: 0 in turn, 1 at once"
            found.insert(5, Fact("overlap where they meet", self.overlap, "ratio", note))
        return found

    def rows(self) -> Table:
        """Return what passes at each place."""
        columns = (
            Column("place", "place"),
            Column("kind", "what it is"),
            Column("mean_pressure_gauge", "mean pressure", "pressure"),
            Column("lowest_gauge", "lowest", "pressure"),
            Column("highest_gauge", "highest", "pressure"),
            Column("mass_flow", "flow", "mass_flow"),
            Column("peak_velocity", "fastest", "velocity"),
            Column("peak_mach", "Mach", "ratio"),
        )
        outside = self.flow.ambient_pressure
        rows = tuple(
            (
                one.name,
                one.kind,
                one.mean_pressure - outside,
                float(one.pressure.min()) - outside,
                float(one.pressure.max()) - outside,
                one.mean_mass_flow,
                one.peak_velocity,
                one.peak_mach,
            )
            for one in self.waves
        )
        return Table(columns, rows)
