"""How hot the gas is where the exhaust pipe starts, and how sure that is.

Measured where it was measured, or from the engine's heat balance. From there it cools to the
collector and, where there is a turbine, gives it the work of the compressor.
"""

from __future__ import annotations

import math

import attrs

from exhaust.bands import Band
from exhaust.engine.descriptions import OperatingPoint
from exhaust.errors import broken
from exhaust.gas.properties import Mixture

# Share of the released heat that leaves with the exhaust at full load [heywood, from memory].
EXHAUST_SHARE = {"spark": Band(0.30, 0.35, 0.40), "compression": Band(0.22, 0.28, 0.35)}
# From port to collector, of the gas's temperature above the air: 150 K (100 to 200) at a usual
# petrol port of 1125 K; common practice.
PORT_DROP = Band(0.12, 0.18, 0.24)
TURBO_PORT_DROP = Band(0.03, 0.09, 0.15)  # to a turbine close to the ports: half of that
THERMOCOUPLE = 25.0  # of one in the stream, each way [K]; common practice
LEAST_BAND = 60.0  # of a temperature that was not measured, each way [K]; common practice
TURBINE_DROP_SPREAD = 0.2  # of the turbine's drop, for the compressor's efficiency
SHAFT_EFFICIENCY = 0.97  # of a turbocharger's bearings; common practice


@attrs.frozen(kw_only=True)
class HotGas:
    """Gas as it leaves the cylinders, before its temperature is known: see `pipe_temperature`."""

    gas: Mixture
    mass_flow: float  # [kg/s]
    released: float  # heat that the burnt share of the fuel gave [W]
    ignition: str
    ambient_temperature: float  # [K]
    compressor_power: float  # that a turbine must give; nought without one [W]


@attrs.frozen(kw_only=True)
class PipeTemperature:
    """Temperature where the exhaust pipe starts, and on the way there."""

    band: Band  # [K]
    before_turbine: float | None  # [K]
    port: float | None  # where the port was the start of the reckoning [K]
    collector: float | None  # likewise [K]


def pipe_temperature(duty: OperatingPoint, hot: HotGas) -> PipeTemperature:
    """Return the gas temperature at the collector, or at the outlet of a turbine.

    Its band joins independent doubts in quadrature: of the share of heat (or the thermocouple),
    of the drop from port to collector, of the turbine's drop.

    >>> from exhaust.engine.species import gas_table
    >>> air = Mixture({"N2": 0.79, "O2": 0.21}, gas_table())
    >>> hot = HotGas(gas=air, mass_flow=0.3, released=800e3, ignition="spark",
    ...              ambient_temperature=288.15, compressor_power=0.0)
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9)
    >>> [round(value, -1) for value in pipe_temperature(duty, hot).band]
    [890.0, 1000.0, 1100.0]
    """
    port = collector = None
    turbine = hot.compressor_power > 0
    if duty.gas_temperature is None:
        shares = EXHAUST_SHARE[hot.ignition]
        per_mass = hot.released / hot.mass_flow
        band = Band(*(hot.gas.temperature_at(share * per_mass) for share in shares))
    else:
        band = _around(float(duty.gas_temperature), THERMOCOUPLE)
    if duty.gas_temperature is None or duty.gas_temperature_at == "port":
        port = band.middle
        drop = TURBO_PORT_DROP if turbine else PORT_DROP
        band = _at_collector(band, hot.ambient_temperature, drop)
        collector = band.middle
    before = None
    if turbine and (duty.gas_temperature is None or duty.gas_temperature_at != "turbine outlet"):
        before = band.middle
        band = _after_turbine(band, hot)
    if duty.gas_temperature is None:
        low, middle, high = band
        band = Band(min(low, middle - LEAST_BAND), middle, max(high, middle + LEAST_BAND))
    return PipeTemperature(band=band, before_turbine=before, port=port, collector=collector)


def _around(middle: float, down: float, up: float | None = None) -> Band:
    return Band(middle - down, middle, middle + (down if up is None else up))


def _at_collector(port: Band, ambient: float, drop: Band) -> Band:
    """Return T_c = T_p - d (T_p - T_a), doubts of T_p and d in quadrature."""
    excess = port.middle - ambient
    doubt = (drop.high - drop.middle) * excess
    kept = 1 - drop.middle
    return _around(
        ambient + kept * excess,
        math.hypot(kept * (port.middle - port.low), doubt),
        math.hypot(kept * (port.high - port.middle), doubt),
    )


def _after_turbine(inlet: Band, hot: HotGas) -> Band:
    """Return the temperature once the gas has given m (h3 - h4) = compressor power / 0.97."""
    work = hot.compressor_power / SHAFT_EFFICIENCY / hot.mass_flow
    left = hot.gas.enthalpy(inlet.middle) - work
    if left <= hot.gas.enthalpy(hot.ambient_temperature):
        rule = "needs more turbine work than the exhaust gas holds"
        raise broken(rule, None, "check boost_gauge, lambda_ and gas_temperature").named(
            "boost_gauge"
        )
    outlet = hot.gas.temperature_at(left)
    doubt = TURBINE_DROP_SPREAD * (inlet.middle - outlet)
    return _around(
        outlet,
        math.hypot(inlet.middle - inlet.low, doubt),
        math.hypot(inlet.high - inlet.middle, doubt),
    )
