"""The exhaust flow of an engine: air, fuel, power, and what it says of itself."""

import copy
import math
import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust import show
from exhaust.engine import Ambient, Engine, ExhaustFlow, OperatingPoint, exhaust_flow
from exhaust.errors import ExhaustError

FIVE_LITRES = Engine(displacement="5 L", cylinders=8, left_bank=(1, 3, 5, 7))
FULL_LOAD = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
ROUND_OFF = 1e-12


def flow_of(**duty):
    values = {"speed": "6000 rpm", "lambda_": 0.88} | duty
    return exhaust_flow(FIVE_LITRES, OperatingPoint(**values))


def test_air_of_a_four_stroke():
    """0.9 * 101325/(287.05287 * 300) * 5e-3 * 6000/60/2 = 0.26474 kg/s, by hand."""
    flow = exhaust_flow(FIVE_LITRES, FULL_LOAD, Ambient(temperature="300 K"))
    assert flow.air_flow == pytest.approx(0.26474, rel=1e-4)
    assert flow.vapour_flow == 0
    assert flow.fuel_flow == pytest.approx(0.26474 / (0.88 * 14.60), rel=1e-3)


def test_air_from_power_and_bsfc():
    """300 kW at 270 g/kWh burns 22.5 g/s; lambda 0.88 of 14.6 (definition of bsfc)."""
    flow = flow_of(power="300 kW", bsfc="270 g/kWh")
    assert flow.fuel_flow == pytest.approx(0.0225, rel=1e-9)
    assert flow.air_flow == pytest.approx(0.28907, rel=1e-3)
    assert flow.mass_flow == pytest.approx(0.31157, rel=1e-3)
    assert flow.power == pytest.approx(300e3)
    # the same air by the other route: eta = m/(rho V N/2)
    efficiency = flow.air_flow / (1.225 * 5e-3 * 50)
    assert flow.volumetric_efficiency_band.middle == pytest.approx(efficiency, rel=1e-4)
    assert flow.disagreement is None
    assert any("it means a volumetric efficiency of 94" in line for line in flow.assumptions)


def test_power_and_bsfc_come_back_from_a_typed_efficiency():
    first = flow_of(power="300 kW", bsfc="270 g/kWh")
    again = flow_of(volumetric_efficiency=first.volumetric_efficiency_band.middle, bsfc="270 g/kWh")
    assert again.power == pytest.approx(300e3, rel=ROUND_OFF)
    assert again.mass_flow == pytest.approx(first.mass_flow, rel=ROUND_OFF)


@pytest.mark.parametrize(("kilowatts", "word"), [(330, "more"), (220, "less")])
def test_two_routes_that_disagree_are_told_apart(kilowatts, word):
    alone = flow_of(volumetric_efficiency=0.9)
    flow = flow_of(volumetric_efficiency=0.9, power=f"{kilowatts} kW", bsfc="270 g/kWh")
    assert flow.air_flow == alone.air_flow  # the typed efficiency is used
    other = 0.88 * 14.60 * kilowatts * 0.270 / 3600
    assert flow.disagreement == pytest.approx(other / alone.air_flow - 1, abs=1e-3)
    said = flow.assumptions[1]
    assert f"{abs(flow.disagreement):.1%}".replace("%", f" % {word} air") in said
    assert "check lambda, bsfc" in said


@given(
    share=st.floats(0.3, 1.2),
    lambda_=st.floats(0.75, 1.4),
    humidity=st.floats(0, 1),
    altitude=st.floats(0, 3000),
    left=st.integers(1, 7),
)
def test_what_goes_in_comes_out(share, lambda_, humidity, altitude, left):
    engine = Engine.from_si(displacement=5e-3, cylinders=8, left_bank=tuple(range(1, left + 1)))
    duty = OperatingPoint.from_si(speed=600.0, volumetric_efficiency=share, lambda_=lambda_)
    weather = Ambient.from_si(altitude=altitude, temperature=300.0, humidity=humidity)
    flow = exhaust_flow(engine, duty, weather)
    parts = flow.air_flow + flow.vapour_flow + flow.fuel_flow
    assert flow.mass_flow == pytest.approx(parts, rel=ROUND_OFF)
    assert sum(flow.per_bank.values()) == pytest.approx(flow.mass_flow, rel=ROUND_OFF)
    assert flow.per_bank["left"] == pytest.approx(left * flow.per_cylinder, rel=ROUND_OFF)
    # nitrogen is kept: 3.728 N2 in 4.7725 of dry air, and in the exhaust
    brought = flow.air_flow * 3.728 * 28.014 / (31.998 + 3.728 * 28.014 + 0.0445 * 39.948)
    assert flow.gas.mass_fractions["N2"] * flow.mass_flow == pytest.approx(brought, rel=1e-6)
    low, middle, high = flow.gas_temperature_band
    assert low <= middle - 60 < middle + 60 <= high


def test_one_bank():
    engine = Engine(displacement="2 L", cylinders=4)
    flow = exhaust_flow(engine, FULL_LOAD)
    assert flow.per_bank == {"all": pytest.approx(flow.mass_flow)}


def test_wet_air_holds_less_oxygen():
    """At 30 °C and 80 % dry air weighs 1.1254 kg/m^3 and brings 0.02157 of water, by hand."""
    weather = Ambient(temperature="30 degC", humidity=0.8)
    flow = exhaust_flow(FIVE_LITRES, FULL_LOAD, weather)
    assert flow.air_flow == pytest.approx(0.9 * 1.1254 * 5e-3 * 50, rel=3e-4)
    assert flow.vapour_flow / flow.air_flow == pytest.approx(0.02157, rel=3e-3)
    dry = exhaust_flow(FIVE_LITRES, FULL_LOAD, Ambient(temperature="30 degC"))
    assert flow.fuel_flow < dry.fuel_flow
    assert flow.gas.fractions["H2O"] > dry.gas.fractions["H2O"] + 0.02


def test_mean_effective_pressure():
    """300 kW of 5 L at 6000 rpm: P/(V N/2) = 300e3/(5e-3 * 50) = 1.2 MPa, by hand."""
    flow = flow_of(volumetric_efficiency=0.95, power="300 kW")
    assert flow.mean_effective_pressure == pytest.approx(1.2e6, rel=1e-9)


@pytest.mark.parametrize(
    ("fuel", "lambda_", "bsfc"),
    [
        ("gasoline", 0.9, 270.0),
        ("diesel", 1.4, 215.0),
        ("ethanol", 0.9, 270.0 * 44.0 / 26.9),
        ("methanol", 0.9, 270.0 * 44.0 / 20.0),
    ],
)
def test_power_is_estimated_from_the_fuel(fuel, lambda_, bsfc):
    """Usual full-load bsfc, by heating value (common practice, no source)."""
    engine = Engine(displacement="5 L", cylinders=8, fuel=fuel)
    duty = OperatingPoint(speed="4000 rpm", volumetric_efficiency=0.9, lambda_=lambda_)
    flow = exhaust_flow(engine, duty)
    assert flow.power == pytest.approx(flow.fuel_flow / (bsfc / 3.6e9), rel=1e-6)
    with show.shown_in("metric"):
        text = "\n".join(flow.assumptions)
    assert f"bsfc of {bsfc:.0f} g/kWh on {fuel}" in text


def test_bands_of_volumetric_efficiency():
    typed = flow_of(volumetric_efficiency=0.9).volumetric_efficiency_band
    assert (typed.low, typed.high) == (pytest.approx(0.873), pytest.approx(0.927))
    reckoned = flow_of(power="280 kW", bsfc="270 g/kWh").volumetric_efficiency_band
    assert reckoned.high / reckoned.middle == pytest.approx(1.05)


@pytest.mark.parametrize(
    "fuel", ["gasoline", "E10", "E85", "ethanol", "methanol", "diesel", "propane", "methane"]
)
def test_every_shipped_fuel_runs(fuel):
    engine = Engine(displacement="5 L", cylinders=8, fuel=fuel)
    duty = OperatingPoint(speed="4000 rpm", volumetric_efficiency=0.9, lambda_=1.2)
    flow = exhaust_flow(engine, duty)
    assert 700 < flow.gas_temperature < 1100
    assert 0.2 < flow.power / (flow.fuel_flow * 44e6) < 0.45 or fuel in {
        "E85", "ethanol", "methanol",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("duty", "message"),
    [
        (
            {"volumetric_efficiency": 0.9, "power": "600 kW"},
            r"power must be at most 415 kW, half of the heat .* \(got 600 kW\); check its unit",
        ),
        (
            {"volumetric_efficiency": 0.9, "bsfc": "110 g/kWh"},
            r"bsfc must be at least 164 g/kWh, half of the heat .* \(got 110 g/kWh\)",
        ),
        (
            {"power": "900 kW", "bsfc": "270 g/kWh"},
            r"power and bsfc must mean a volumetric efficiency between 5 % and 160 % \(got 322 %\)",
        ),
    ],
)
def test_an_impossible_duty_is_refused(duty, message):
    with pytest.raises(ExhaustError, match=message):
        exhaust_flow(FIVE_LITRES, OperatingPoint(**({"speed": "6000 rpm", "lambda_": 1.0} | duty)))


def test_a_diesel_at_the_default_lambda_is_refused():
    engine = Engine(displacement="3 L", cylinders=6, fuel="diesel")
    duty = OperatingPoint(speed="3600 rpm", volumetric_efficiency=0.9)
    with pytest.raises(ExhaustError, match=r"lambda_ of diesel must be at least 1.05 \(got 1\)"):
        exhaust_flow(engine, duty)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (({"displacement": "5 L"}, FULL_LOAD), r"engine must be an Engine \(got dict\)"),
        ((FIVE_LITRES, "6000 rpm"), r"duty must be an OperatingPoint \(got text '6000 rpm'\)"),
        ((FULL_LOAD, FIVE_LITRES), r"engine must be an Engine \(got OperatingPoint\)"),
        ((FIVE_LITRES, FULL_LOAD, "300 m"), r"ambient must be an Ambient \(got text '300 m'\)"),
        ((FIVE_LITRES, None), r"duty must be an OperatingPoint \(got nothing\)"),
    ],
)
def test_the_wrong_kind_of_argument_is_named(arguments, message):
    with pytest.raises(ExhaustError, match=message):
        exhaust_flow(*arguments)


def test_it_shows_itself():
    flow = exhaust_flow(FIVE_LITRES, FULL_LOAD, Ambient(humidity=0.4))
    with show.shown_in("metric"):
        assert repr(flow).startswith("<ExhaustFlow: exhaust 29")
        assert "°C" in flow.assumptions[0]
        html = flow._repr_html_()
        assert "exhaust of left bank" in html
        assert "H2O" in html
        assert "water in the air" in html
    with show.shown_in("inch"):
        assert "°F" in flow.assumptions[0]
        assert "°C" not in "".join(flow.assumptions)
    assert flow.assumptions[0].startswith("Gas temperature")
    assert flow.table["mole_fraction"].sum() == pytest.approx(1)
    assert flow.table["mass_fraction"].sum() == pytest.approx(1)


def test_it_survives_copying():
    flow = exhaust_flow(FIVE_LITRES, FULL_LOAD)
    assert exhaust_flow(FIVE_LITRES, FULL_LOAD) == flow
    sent = pickle.loads(pickle.dumps(flow))
    assert isinstance(sent, ExhaustFlow)
    assert math.isclose(copy.deepcopy(sent).mass_flow, flow.mass_flow)


def test_a_displacement_in_the_wrong_unit_is_noticed() -> None:
    """The cylinder of a model engine holds more; a bare 5.1 in an inch job is cubic inches."""
    with pytest.raises(ExhaustError) as caught:
        Engine(displacement="5.1 in^3", cylinders=8)
    said = "displacement must be more than 9.7638 in^3 for 8 cylinders (got 5.1 in^3)"
    assert str(caught.value) == f"{said}; is its unit right?"
    assert Engine(displacement="25 cm^3", cylinders=1).displacement == pytest.approx(25e-6)
