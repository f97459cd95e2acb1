"""ISO 2533:1975 Standard Atmosphere, table by geopotential altitude (values from memory).

Identical below 32 km to the US Standard Atmosphere 1976. The table lies in data/published.
"""

import pytest

from exhaust.engine import Ambient, Engine, OperatingPoint, exhaust_flow
from exhaust.gas import air
from exhaust.published import values

PRINTED = 1e-4  # the table's last digit, and a little more
COLUMNS = (
    values("iso2533", f"{what} of the standard atmosphere")
    for what in ("temperature", "pressure", "density")
)


@pytest.mark.parametrize("line", list(zip(*COLUMNS, strict=True)), ids=str)
def test_an_engine_breathes_the_air_of_its_hill(line):
    engine = Engine(displacement="2 L", cylinders=4)
    duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=1.0)
    temperature, pressure, density = (one.number for one in line)
    altitude = line[0].inputs["altitude_m"]
    flow = exhaust_flow(engine, duty, Ambient(altitude=f"{altitude} m"))
    # filled once every two turns: 50 times a second
    assert flow.air_flow == pytest.approx(density * 2e-3 * 50, rel=PRINTED)
    assert flow.ambient_pressure == pytest.approx(pressure, rel=PRINTED)
    assert flow.ambient_temperature == pytest.approx(temperature, rel=PRINTED)
    made = air.moist_air_density(pressure, temperature)
    assert made == pytest.approx(density, rel=PRINTED)


def test_above_the_troposphere_is_refused():
    with pytest.raises(ValueError, match="altitude must be between -2000 m and 11000 m"):
        air.standard_pressure(12000.0)
