"""ISO 2533:1975 Standard Atmosphere, table by geopotential altitude (values from memory).

Identical below 32 km to the US Standard Atmosphere 1976.
"""

import pytest

from exhaust.engine import Ambient, Engine, OperatingPoint, exhaust_flow
from exhaust.gas import air

# altitude [m], temperature [K], pressure [Pa], density [kg/m^3]
TABLE = [
    (-500.0, 291.40, 107478.0, 1.28489),
    (0.0, 288.15, 101325.0, 1.22500),
    (500.0, 284.90, 95460.8, 1.16727),
    (1000.0, 281.65, 89874.6, 1.11164),
    (2000.0, 275.15, 79495.2, 1.00649),
    (3000.0, 268.65, 70108.5, 0.909122),
    (5000.0, 255.65, 54019.9, 0.736116),
]
PRINTED = 1e-4  # the table's last digit, and a little more


@pytest.mark.parametrize(("altitude", "temperature", "pressure", "density"), TABLE)
def test_the_standard_atmosphere(altitude, temperature, pressure, density):
    assert air.standard_temperature(altitude) == pytest.approx(temperature, rel=PRINTED)
    assert air.standard_pressure(altitude) == pytest.approx(pressure, rel=PRINTED)
    made = air.moist_air_density(pressure, temperature)
    assert made == pytest.approx(density, rel=PRINTED)


@pytest.mark.parametrize(("altitude", "temperature", "pressure", "density"), TABLE)
def test_an_engine_breathes_the_air_of_its_hill(altitude, temperature, pressure, density):
    engine = Engine(displacement="2 L", cylinders=4)
    duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=1.0)
    flow = exhaust_flow(engine, duty, Ambient(altitude=f"{altitude} m"))
    # filled once every two turns: 50 times a second
    assert flow.air_flow == pytest.approx(density * 2e-3 * 50, rel=PRINTED)
    assert flow.ambient_pressure == pytest.approx(pressure, rel=PRINTED)
    assert flow.ambient_temperature == pytest.approx(temperature, rel=PRINTED)


def test_above_the_troposphere_is_refused():
    with pytest.raises(ValueError, match="altitude must be between -2000 m and 11000 m"):
        air.standard_pressure(12000.0)
