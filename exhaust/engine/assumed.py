"""What an exhaust flow assumes, in sentences that follow the unit system in use."""

from __future__ import annotations

from typing import NamedTuple

from exhaust import show
from exhaust.engine import heat, intake
from exhaust.engine.descriptions import Ambient, OperatingPoint
from exhaust.engine.fuel import Fuel


class Sentence(NamedTuple):
    """A sentence with values [SI] in it, rounded when it is read."""

    text: str  # with {} for each value
    values: tuple[tuple[float, str], ...] = ()  # value and kind

    def words(self) -> str:
        """Return the sentence in the unit system in use.

        >>> with show.shown_in("metric"):
        ...     Sentence("at {}", ((1093.15, "temperature"),)).words()
        'at 820 °C'
        """
        return self.text.format(*(show.quantity(value, kind) for value, kind in self.values))


def percent(share: float) -> str:
    """Return a share as text in whole percent.

    >>> percent(0.35)
    '35 %'
    """
    return f"{share * 100:.0f} %"


def temperature(duty: OperatingPoint, gas: heat.PipeTemperature, fuel: Fuel) -> Sentence:
    """Return how hot the gas is where the exhaust pipe starts, its band and where it is from.

    >>> from exhaust.bands import Band
    >>> from exhaust.engine.fuel import fuel
    >>> duty = OperatingPoint(speed="600 rad/s", volumetric_efficiency=0.9, gas_temperature="900 K")
    >>> band = Band(875.0, 900.0, 925.0)
    >>> gas = heat.PipeTemperature(band=band, before_turbine=None, port=None, collector=None)
    >>> with show.shown_in("metric"):
    ...     temperature(duty, gas, fuel("gasoline")).words()
    'Gas temperature 627 °C at the collector (602 °C to 652 °C), from 627 °C measured at ...'
    """
    values = [(value, "temperature") for value in (gas.band.middle, gas.band.low, gas.band.high)]
    place = "turbine outlet" if duty.has_turbine else "collector"
    text = f"Gas temperature {{}} at the {place} ({{}} to {{}})"
    if duty.gas_temperature is None:
        share = heat.EXHAUST_SHARE[fuel.ignition]
        text += f", from the heat balance: {percent(share.middle)} of the released heat "
        text += f"({percent(share.low)} to {percent(share.high)}) leaves as hot exhaust"
    else:
        text += f", from {{}} measured at the {duty.gas_temperature_at} within {{}}"
        values += [(float(duty.gas_temperature), "temperature")]
        values += [(heat.THERMOCOUPLE, "temperature_step")]
    if gas.port is not None and gas.collector is not None:
        to = "turbine" if duty.has_turbine else "collector"
        text += f", less {{}} from port to {to} (common practice)"
        values.append((gas.port - gas.collector, "temperature_step"))
    if gas.before_turbine is not None:
        text += ", less {} in the turbine"
        values.append((gas.before_turbine - gas.band.middle, "temperature_step"))
    if duty.gas_temperature is None:
        text += "; measure it to narrow the band"
    return Sentence(text + ".", tuple(values))


def air(ambient: Ambient, inside: intake.Intake) -> Sentence:
    """Return the air outside.

    >>> duty = OperatingPoint(speed="600 rad/s", volumetric_efficiency=0.9)
    >>> with show.shown_in("metric"):
    ...     air(Ambient(), intake.intake_air(duty, Ambient())).words()
    'Air outside at 101.3 kPa (ISO 2533 at this altitude) and 15 °C (ISO 2533), dry.'
    """
    text = "Air outside at {} (ISO 2533 at this altitude) and {}"
    text += " (as given)" if ambient.temperature is not None else " (ISO 2533)"
    values = [(inside.ambient_pressure, "pressure"), (inside.ambient_temperature, "temperature")]
    text += f", humidity {percent(ambient.humidity)}." if ambient.humidity else ", dry."
    return Sentence(text, tuple(values))


def boost(duty: OperatingPoint, inside: intake.Intake) -> list[Sentence]:
    """Return what a charged engine assumes; nothing without boost.

    >>> duty = OperatingPoint(speed="600 rad/s", volumetric_efficiency=0.9)
    >>> boost(duty, intake.intake_air(duty, Ambient()))
    []
    """
    if not duty.boost_gauge:
        return []
    text = f"Boost comes from a {duty.charger}: compressor efficiency "
    text += percent(intake.COMPRESSOR_EFFICIENCY)
    if duty.has_turbine:
        text += f", bearings {percent(heat.SHAFT_EFFICIENCY)}"
    if duty.charge_temperature is None:
        text += f", a cooler that takes out {percent(intake.COOLER_EFFECTIVENESS)} of the heating"
        text += " (charge at {}); common practice."
    else:
        text += " (common practice); charge at {} as given."
    said = [Sentence(text, ((inside.temperature, "temperature"),))]
    if inside.wet:
        said.append(Sentence("Water that the cooler condenses is counted as vapour."))
    return said


def gas(duty: OperatingPoint) -> list[Sentence]:
    """Return what the composition and properties of the gas assume.

    >>> gas(OperatingPoint(speed="600 rad/s", volumetric_efficiency=0.9))[0].words()
    'Burnt completely, without dissociation or unburnt fuel.'
    """
    text = "Burnt completely, without dissociation or unburnt fuel."
    if duty.lambda_ < 1:
        text = "Rich gas keeps the CO and H2 that it had near 1740 K; no unburnt fuel."
    said = [Sentence(text), Sentence("Every cylinder passes an equal share.")]
    if duty.lambda_ < 1:
        said.append(Sentence("Viscosity and conductivity of CO are taken as those of N2."))
    return said
