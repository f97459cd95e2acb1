"""IAPWS-95 saturation pressure of water, as in the steam tables (values from memory)."""

import pytest

from exhaust.gas import air


@pytest.mark.parametrize(
    ("celsius", "pressure"),
    [
        (0.01, 611.66),
        (10.0, 1228.2),
        (20.0, 2339.3),
        (25.0, 3169.9),
        (30.0, 4246.9),
        (40.0, 7384.9),
        (50.0, 12352.0),
    ],
)
def test_saturation_pressure(celsius, pressure):
    # Buck's fit is good to 0.1 % here; the engine's dry air then moves by less than 0.01 %.
    assert air.saturation_pressure(celsius + 273.15) == pytest.approx(pressure, rel=1.2e-3)
