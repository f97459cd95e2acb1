"""Moist air and the compressor: worked by hand from the ideal-gas law."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust.errors import ExhaustError
from exhaust.gas import air

ROOM = 101325.0


@pytest.mark.parametrize(
    ("celsius", "relative", "density", "dry", "ratio"),
    [(25.0, 0.5, 1.1769, 1.1654, 0.00988), (30.0, 0.8, 1.1496, 1.1254, 0.02157)],
)
def test_moist_air_by_hand(celsius, relative, density, dry, ratio):
    """Psychrometrics with R of 287.05 and 461.5 J/kg/K, worked apart from this code."""
    kelvin = celsius + 273.15
    made = air.humidity_ratio(relative * air.saturation_pressure(kelvin), ROOM)
    assert made == pytest.approx(ratio, rel=3e-3)
    moist = air.moist_air_density(ROOM, kelvin, made)
    assert moist == pytest.approx(density, rel=3e-4)
    assert moist / (1 + made) == pytest.approx(dry, rel=3e-4)


@given(pressure=st.floats(40e3, 700e3), share=st.floats(0, 0.3))
def test_ratio_and_vapour_pressure_are_inverse(pressure, share):
    ratio = air.humidity_ratio(share * pressure, pressure)
    assert air.vapour_pressure(ratio, pressure) == pytest.approx(share * pressure, abs=1e-6)


@given(temperature=st.floats(230, 320), ratio=st.floats(0, 0.05))
def test_moist_air_is_lighter_than_dry(temperature, ratio):
    dry = air.moist_air_density(ROOM, temperature)
    assert air.moist_air_density(ROOM, temperature, ratio) <= dry


def test_compressor_and_cooler_by_hand():
    """Pressure ratio 2 at 298.15 K, efficiency 0.72, cooler 0.7, 5 kPa lost in it (identity)."""
    hot = air.compressor_temperature(298.15, 2.0, 0.72)
    assert hot == pytest.approx(388.84, abs=0.01)
    charge = hot - 0.7 * (hot - 298.15)
    assert charge == pytest.approx(325.36, abs=0.01)
    assert air.moist_air_density(195e3, charge) == pytest.approx(2.0879, rel=1e-4)


def test_ideal_compressor_keeps_entropy():
    """p^(1-g) T^g stays the same when nothing is lost."""
    hot = air.compressor_temperature(290.0, 3.0, 1.0)
    assert (hot / 290.0) ** 3.5 == pytest.approx(3.0, rel=1e-12)


def test_impossible_air_is_refused_in_words():
    with pytest.raises(ExhaustError, match="temperature of moist air must be between"):
        air.saturation_pressure(400.0)
    with pytest.raises(ExhaustError, match="vapour pressure must be less than the pressure"):
        air.humidity_ratio(2e5, 1e5)
