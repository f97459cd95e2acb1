"""The air in the intake of an engine: weather, hill and boost."""

from __future__ import annotations

import attrs

from exhaust.engine.descriptions import Ambient, OperatingPoint
from exhaust.gas import air

COMPRESSOR_EFFICIENCY = 0.70  # isentropic; common practice
COOLER_EFFECTIVENESS = 0.70  # share of the heating taken out; common practice


@attrs.frozen(kw_only=True)
class Intake:
    """Air outside and in the intake manifold.

    >>> Intake(ambient_pressure=101325.0, ambient_temperature=288.15, pressure=101325.0,
    ...        temperature=288.15, humidity_ratio=0.0, compressor_work=0.0).wet
    False
    """

    ambient_pressure: float  # [Pa]
    ambient_temperature: float  # [K]
    pressure: float  # [Pa]
    temperature: float  # [K]
    humidity_ratio: float  # [kg of water per kg of dry air]
    compressor_work: float  # nought without boost [J per kg of air]

    @property
    def density(self) -> float:
        """Density of the moist air in the intake [kg/m^3]."""
        return air.moist_air_density(self.pressure, self.temperature, self.humidity_ratio)

    @property
    def wet(self) -> bool:
        """Whether a charge cooler brings the air below its dew point."""
        if self.pressure == self.ambient_pressure or self.temperature > 360.0:
            return False
        vapour = air.vapour_pressure(self.humidity_ratio, self.pressure)
        return vapour > air.saturation_pressure(self.temperature)


def intake_air(duty: OperatingPoint, ambient: Ambient) -> Intake:
    """Return the air outside and in the intake.

    Without boost the intake has the air outside. With boost: the compressor and cooler of
    common practice, unless `duty` gives charge_temperature.

    >>> intake = intake_air(OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9), Ambient())
    >>> round(intake.density, 3)
    1.225
    """
    pressure = air.standard_pressure(ambient.altitude)
    temperature = ambient.temperature
    if temperature is None:
        temperature = air.standard_temperature(ambient.altitude)
    vapour = ambient.humidity * air.saturation_pressure(temperature)
    ratio = (pressure + duty.boost_gauge) / pressure
    hot = air.compressor_temperature(temperature, ratio, COMPRESSOR_EFFICIENCY)
    charge = duty.charge_temperature
    if charge is None:
        charge = hot - COOLER_EFFECTIVENESS * (hot - temperature)
    return Intake(
        ambient_pressure=pressure,
        ambient_temperature=float(temperature),
        pressure=pressure + duty.boost_gauge,
        temperature=float(charge),
        humidity_ratio=air.humidity_ratio(vapour, pressure),
        compressor_work=air.AIR_CP * (hot - temperature),
    )
