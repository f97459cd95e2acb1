"""The exhaust flow of an engine at an operating point: the first question of every job."""

from __future__ import annotations

import math

import attrs

from exhaust.bands import Band
from exhaust.describe import require
from exhaust.engine import assumed
from exhaust.engine.assumed import Sentence
from exhaust.engine.breathing import Breathing, brake_power, breathing, check_lambda
from exhaust.engine.descriptions import Ambient, Engine, OperatingPoint
from exhaust.engine.fuel import Fuel, fuel
from exhaust.engine.heat import HotGas, pipe_temperature
from exhaust.engine.intake import Intake, intake_air
from exhaust.engine.species import gas_table
from exhaust.gas.composition import burnt_gas, chemical_energy
from exhaust.gas.properties import Mixture
from exhaust.show import Column, Fact, Result, Table

STANDARD_AIR = Ambient()


@attrs.frozen(kw_only=True, repr=False)
class ExhaustFlow(Result):
    """What comes out of the engine, and the gas at the start of the exhaust pipe.

    Flows [kg/s], pressures [Pa], temperatures [K], power [W]. `gas_temperature` is at the
    collector, or at the outlet of a turbine. `disagreement` is how much more air power and
    bsfc ask for than volumetric efficiency gives, as a share; None unless all three are given.

    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9)
    >>> flow = exhaust_flow(Engine(displacement="2 L", cylinders=4), duty)
    >>> [fact.name for fact in flow.facts()][:3]
    ['exhaust', 'gas temperature', 'power']
    """

    engine: Engine
    duty: OperatingPoint
    ambient: Ambient
    ambient_pressure: float
    ambient_temperature: float
    intake_pressure: float
    intake_temperature: float
    air_flow: float  # dry
    vapour_flow: float
    fuel_flow: float
    gas: Mixture
    gas_temperature_band: Band
    turbine_inlet_temperature: float | None  # None without a turbine, or measured after it
    volumetric_efficiency_band: Band
    power: float
    disagreement: float | None
    sentences: tuple[Sentence, ...]

    title = "Exhaust flow"

    @property
    def mass_flow(self) -> float:
        """All of the exhaust [kg/s]."""
        return self.air_flow + self.vapour_flow + self.fuel_flow

    @property
    def per_cylinder(self) -> float:
        """Exhaust of one cylinder [kg/s]."""
        return self.mass_flow / self.engine.cylinders

    @property
    def per_bank(self) -> dict[str, float]:
        """Exhaust of each bank [kg/s]."""
        banks = self.engine.banks.items()
        return {bank: self.per_cylinder * len(cylinders) for bank, cylinders in banks}

    @property
    def gas_temperature(self) -> float:
        """Gas temperature at the start of the exhaust pipe [K]."""
        return self.gas_temperature_band.middle

    @property
    def mean_effective_pressure(self) -> float:
        """Brake mean effective pressure [Pa]: 4 pi P/(V omega) of a four-stroke."""
        return self.power / (self.engine.displacement * self.duty.speed / (4 * math.pi))

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What was assumed, the gas temperature first, in the unit system in use."""
        return tuple(sentence.words() for sentence in self.sentences)

    def facts(self) -> list[Fact]:
        """Return the headline lines."""
        band = self.gas_temperature_band
        temperature = self.gas_temperature
        facts = [
            Fact("exhaust", self.mass_flow, "mass_flow"),
            Fact("gas temperature", temperature, "temperature", "the first assumption"),
            Fact("power", self.power, "power", "as given" if self.duty.power else "estimated"),
            Fact("gas temperature, low", band.low, "temperature"),
            Fact("gas temperature, high", band.high, "temperature"),
            Fact("dry air", self.air_flow, "mass_flow"),
            Fact("fuel", self.fuel_flow, "mass_flow"),
        ]
        if self.vapour_flow:
            facts.append(Fact("water in the air", self.vapour_flow, "mass_flow"))
        if len(self.per_bank) > 1:
            each = self.per_bank.items()
            facts += [Fact(f"exhaust of {bank} bank", flow, "mass_flow") for bank, flow in each]
        facts += [
            Fact("exhaust of each cylinder", self.per_cylinder, "mass_flow"),
            Fact("volumetric efficiency", self.volumetric_efficiency_band.middle, "percent"),
            Fact("mean effective pressure", self.mean_effective_pressure, "pressure"),
            Fact("ratio of heat capacities", self.gas.gamma(temperature), "ratio3"),
            Fact("speed of sound", self.gas.sound_speed(temperature), "velocity"),
        ]
        return facts

    def rows(self) -> Table:
        """Return the composition of the gas, by mole and by mass."""
        columns = (
            Column("species", "species"),
            Column("mole_fraction", "by mole", "percent"),
            Column("mass_fraction", "by mass", "percent"),
        )
        masses = self.gas.mass_fractions
        shares = self.gas.fractions.items()
        return Table(columns, tuple((name, x, masses[name]) for name, x in shares if x > 0))


def exhaust_flow(
    engine: Engine, duty: OperatingPoint, ambient: Ambient = STANDARD_AIR
) -> ExhaustFlow:
    """Return the exhaust flow of `engine` at `duty` in `ambient`, and its gas.

    Air follows from volumetric efficiency, or from power and bsfc; with both, the first is used
    and the result says how far apart they are.

    >>> engine = Engine(displacement="5 L", cylinders=8)
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
    >>> flow = exhaust_flow(engine, duty)
    >>> round(flow.air_flow, 3), round(flow.mass_flow, 3), round(flow.gas_temperature, -1)
    (0.276, 0.297, 950.0)
    """
    require(engine, Engine, "engine")
    require(duty, OperatingPoint, "duty")
    require(ambient, Ambient, "ambient")
    burnt = fuel(engine.fuel)
    check_lambda(duty, burnt)
    inside = intake_air(duty, ambient)
    taken = breathing(engine, duty, inside, burnt)
    hot = _hot_gas(duty, inside, taken, burnt)
    power, power_said = brake_power(duty, burnt, taken.fuel, hot.released)
    temperature = pipe_temperature(duty, hot)
    return ExhaustFlow(
        engine=engine,
        duty=duty,
        ambient=ambient,
        ambient_pressure=inside.ambient_pressure,
        ambient_temperature=inside.ambient_temperature,
        intake_pressure=inside.pressure,
        intake_temperature=inside.temperature,
        air_flow=taken.air,
        vapour_flow=taken.vapour,
        fuel_flow=taken.fuel,
        gas=hot.gas,
        gas_temperature_band=temperature.band,
        turbine_inlet_temperature=temperature.before_turbine,
        volumetric_efficiency_band=taken.efficiency,
        power=power,
        disagreement=taken.disagreement,
        sentences=(
            assumed.temperature(duty, temperature, burnt),
            *taken.sentences,
            *power_said,
            *assumed.boost(duty, inside),
            assumed.air(ambient, inside),
            *assumed.gas(duty),
        ),
    )


def _hot_gas(duty: OperatingPoint, inside: Intake, taken: Breathing, burnt: Fuel) -> HotGas:
    fractions = burnt_gas(*burnt.atoms, duty.lambda_, inside.humidity_ratio)
    mass_flow = taken.air + taken.vapour + taken.fuel
    unburnt = mass_flow * chemical_energy(fractions)
    return HotGas(
        gas=Mixture(fractions, gas_table()),
        mass_flow=mass_flow,
        released=taken.fuel * burnt.heating_value - unburnt,
        ignition=burnt.ignition,
        ambient_temperature=inside.ambient_temperature,
        compressor_power=(
            (taken.air + taken.vapour) * inside.compressor_work if duty.has_turbine else 0.0
        ),
    )
