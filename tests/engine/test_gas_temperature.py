"""Gas temperature at the start of the exhaust pipe: heat balance, turbine, measured places."""

import math

import cantera as ct
import pytest

from exhaust.engine import Ambient, Engine, OperatingPoint, exhaust_flow
from exhaust.errors import ExhaustError

PETROL = Engine(displacement="5 L", cylinders=8)
DIESEL = Engine(displacement="3 L", cylinders=6, fuel="diesel")
AIR_CP = 3.5 * 287.05  # [J/kg/K], ideal diatomic gas


def duty_of(**values):
    return OperatingPoint(
        **({"speed": "6000 rpm", "volumetric_efficiency": 0.9, "lambda_": 0.88} | values)
    )


def enthalpy(flow, temperature):
    """Return the enthalpy of the exhaust above 298.15 K [J/kg], by Cantera."""
    gas = ct.Solution("gri30.yaml")
    fractions = {species.upper(): share for species, share in flow.gas.fractions.items()}
    gas.TPX = 298.15, ct.one_atm, fractions
    zero = gas.enthalpy_mass
    gas.TPX = temperature, ct.one_atm, fractions
    return gas.enthalpy_mass - zero


@pytest.mark.parametrize("lambda_", [0.85, 1.0])
def test_the_port_holds_its_share_of_the_heat(lambda_):
    """35 % of the heat of methane burnt so far, from absolute enthalpies in Cantera.

    18 % of the gas's temperature above the air is lost from port to collector.
    """
    engine = Engine(displacement="5 L", cylinders=8, fuel="methane")
    flow = exhaust_flow(engine, duty_of(lambda_=lambda_))
    port = 288.15 + (flow.gas_temperature - 288.15) / (1 - 0.18)
    gas = ct.Solution("gri30.yaml")
    air = 2 * lambda_
    gas.TPX = 298.15, ct.one_atm, {"CH4": 1, "O2": air, "N2": 3.728 * air, "AR": 0.0445 * air}
    before = gas.enthalpy_mass
    fractions = {species.upper(): share for species, share in flow.gas.fractions.items()}
    gas.TPX = 298.15, ct.one_atm, fractions
    released = before - gas.enthalpy_mass
    # heating value rounded to three figures, heat capacities within 0.2 %
    assert enthalpy(flow, port) == pytest.approx(0.35 * released, rel=0.006)


@pytest.mark.parametrize("lambda_", [0.85, 0.9, 1.0])
def test_petrol_at_full_load_is_in_the_usual_range(lambda_):
    """900 to 1050 K at the collector, 1050 to 1200 K at the port (common practice)."""
    flow = exhaust_flow(PETROL, duty_of(lambda_=lambda_))
    assert 900 < flow.gas_temperature < 1050
    port = 288.15 + (flow.gas_temperature - 288.15) / (1 - 0.18)
    assert 1050 < port < 1200


@pytest.mark.parametrize("lambda_", [1.3, 1.5])
def test_diesel_at_full_load_is_in_the_usual_range(lambda_):
    """700 to 900 K ahead of the turbine (common practice)."""
    duty = duty_of(speed="3600 rpm", lambda_=lambda_, boost_gauge="150 kPa")
    flow = exhaust_flow(DIESEL, duty)
    assert 700 < flow.turbine_inlet_temperature < 900
    assert 550 < flow.gas_temperature < flow.turbine_inlet_temperature


@pytest.mark.parametrize("share", [0.0, 0.5])
def test_the_turbine_gives_the_work_of_the_compressor(share):
    weather = Ambient(temperature="25 degC", humidity=share)
    flow = exhaust_flow(PETROL, duty_of(boost_gauge="100 kPa"), weather)
    ratio = 1 + 100e3 / flow.ambient_pressure
    heating = 298.15 * (ratio ** (1 / 3.5) - 1) / 0.70  # efficiency of common practice
    work = (flow.air_flow + flow.vapour_flow) * AIR_CP * heating / 0.97
    drop = enthalpy(flow, flow.turbine_inlet_temperature) - enthalpy(flow, flow.gas_temperature)
    assert flow.mass_flow * drop == pytest.approx(work, rel=0.003)  # heat capacities


def test_boosted_air():
    """Pressure ratio 2 at 15 °C, compressor 0.70, cooler 0.7, by hand."""
    flow = exhaust_flow(PETROL, duty_of(boost_gauge="101.325 kPa"))
    hot = 288.15 * (1 + (2 ** (0.4 / 1.4) - 1) / 0.70)
    charge = hot - 0.7 * (hot - 288.15)
    assert flow.intake_temperature == pytest.approx(charge, rel=1e-9)
    assert flow.intake_pressure == pytest.approx(202650, rel=1e-9)
    density = 202650 / (287.05287 * charge)
    assert flow.air_flow == pytest.approx(0.9 * density * 5e-3 * 50, rel=1e-6)


def test_a_given_charge_temperature_is_used():
    duty = duty_of(boost_gauge="100 kPa", charge_temperature="50 degC")
    flow = exhaust_flow(PETROL, duty)
    assert flow.intake_temperature == pytest.approx(323.15)
    assert any("charge at" in line and "as given" in line for line in flow.assumptions)


def test_water_condensed_by_the_cooler_is_mentioned():
    weather = Ambient(temperature="35 degC", humidity=0.9)
    cold = duty_of(boost_gauge="150 kPa", charge_temperature="30 degC")
    hot = duty_of(boost_gauge="150 kPa", charge_temperature="90 degC")
    words = "the cooler condenses"
    assert words in "".join(exhaust_flow(PETROL, cold, weather).assumptions)
    assert words not in "".join(exhaust_flow(PETROL, hot, weather).assumptions)


def test_measured_at_the_collector():
    flow = exhaust_flow(PETROL, duty_of(gas_temperature="700 degC"))
    assert flow.gas_temperature == pytest.approx(973.15)
    # a thermocouple in the stream, 25 K each way (common practice)
    assert flow.gas_temperature_band == pytest.approx((948.15, 973.15, 998.15))
    assert flow.turbine_inlet_temperature is None


def test_measured_at_the_port():
    """150 K lost on the way at a usual petrol port, 50 K each way (common practice)."""
    duty = duty_of(gas_temperature="1125 K", gas_temperature_at="port")
    flow = exhaust_flow(PETROL, duty)
    assert flow.gas_temperature == pytest.approx(975, abs=2)
    low, middle, high = flow.gas_temperature_band
    half = math.hypot(25 * 0.82, 50)
    assert middle - low == pytest.approx(half, rel=0.01)
    assert high - middle == pytest.approx(half, rel=0.01)


def test_measured_around_the_turbine():
    before = exhaust_flow(PETROL, duty_of(boost_gauge="80 kPa", gas_temperature="1150 K"))
    assert before.turbine_inlet_temperature == pytest.approx(1150)
    after = exhaust_flow(
        PETROL,
        duty_of(
            boost_gauge="80 kPa",
            gas_temperature=f"{before.gas_temperature} K",
            gas_temperature_at="turbine outlet",
        ),
    )
    assert after.gas_temperature == pytest.approx(before.gas_temperature)
    assert after.turbine_inlet_temperature is None
    narrow, wide = after.gas_temperature_band, before.gas_temperature_band
    assert narrow.high - narrow.low < wide.high - wide.low


def test_a_turbine_cannot_take_more_than_there_is():
    duty = duty_of(lambda_=7.0, boost_gauge="590 kPa", volumetric_efficiency=0.5)
    with pytest.raises(ExhaustError, match="boost_gauge needs more turbine work than the exhaust"):
        exhaust_flow(PETROL, duty)


def test_the_first_assumption_says_where_it_is_from():
    texts = {
        "from the heat balance: 35 %": duty_of(),
        "measured at the port within": duty_of(
            gas_temperature="800 degC", gas_temperature_at="port"
        ),
        "in the turbine": duty_of(boost_gauge="80 kPa"),
    }
    for words, duty in texts.items():
        first = exhaust_flow(PETROL, duty).assumptions[0]
        assert first.startswith("Gas temperature")
        assert words in first


def test_a_cool_gas_keeps_a_band_of_60_kelvin():
    """A diesel at light load: the shares differ little in kelvin, the doubt does not shrink."""
    flow = exhaust_flow(DIESEL, duty_of(speed="1500 rpm", lambda_=6.0))
    low, middle, high = flow.gas_temperature_band
    assert middle < 500
    assert middle - low == pytest.approx(60, rel=1e-9)
    assert high - middle == pytest.approx(60, rel=1e-9)


def test_a_supercharger_takes_nothing_from_the_exhaust():
    """Driven by the crank: same air and same port as with a turbocharger, no turbine after it."""
    blown = exhaust_flow(PETROL, duty_of(boost_gauge="60 kPa", charger="supercharger"))
    turbo = exhaust_flow(PETROL, duty_of(boost_gauge="60 kPa"))
    plain = exhaust_flow(PETROL, duty_of())
    assert blown.air_flow == turbo.air_flow
    assert blown.turbine_inlet_temperature is None
    assert blown.gas_temperature == pytest.approx(plain.gas_temperature, rel=1e-12)
    assert turbo.turbine_inlet_temperature > turbo.gas_temperature + 30.0
    assert any(text.startswith("Boost comes from a supercharger") for text in blown.assumptions)
    assert "turbine" not in " ".join(blown.assumptions)
    with pytest.raises(ExhaustError, match="no boost comes from a turbocharger"):
        duty_of(
            boost_gauge="60 kPa",
            charger="supercharger",
            gas_temperature="900 K",
            gas_temperature_at="turbine outlet",
        )
