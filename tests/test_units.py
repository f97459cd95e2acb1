"""Text with units in, SI inside: the shop's grammar, and conversions against exact factors."""

from __future__ import annotations

import copy
import math
import pickle

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust import units
from exhaust.errors import RuleError
from exhaust.stock import wall_thickness

INCH = 0.0254  # exact by definition (international yard and pound agreement, 1959)
POUND = 0.45359237  # exact
GRAVITY = 9.80665  # standard, exact

EXACT = [
    (units.length, "3 in", 3 * INCH),
    (units.length, '3"', 3 * INCH),
    (units.length, "2-1/2 in", 2.5 * INCH),
    (units.length, "2 1/2 in", 2.5 * INCH),
    (units.length, "1/16 in", INCH / 16),
    (units.length, "-1/16 in", -INCH / 16),
    (units.length, "76.2 mm", 0.0762),
    (units.length, ".5 ft", 6 * INCH),
    (units.length, "1e3 mm", 1.0),
    (units.volume, "311 in^3", 311 * INCH**3),
    (units.volume, "311 cid", 311 * INCH**3),
    (units.volume, "5.1 L", 5.1e-3),
    (units.volume, "5100 cc", 5.1e-3),
    (units.angle, "45 deg", math.pi / 4),
    (units.angle, "45°", math.pi / 4),
    (units.speed, "6200 rpm", 6200 * 2 * math.pi / 60),
    (units.temperature, "820 degC", 1093.15),
    (units.temperature, "820 °C", 1093.15),
    (units.temperature, "1508 degF", 1093.15),
    (units.temperature, "1508 F", 1093.15),
    (units.temperature, "1093.15 K", 1093.15),
    (units.temperature, "-40 degC", 233.15),
    (units.pressure, "1 psi", POUND * GRAVITY / INCH**2),
    (units.pressure, "20 kPa", 20e3),
    (units.pressure, "1 bar", 1e5),
    (units.power, "420 hp", 420 * 550 * POUND * GRAVITY * 0.3048),
    (units.power, "420 PS", 420 * 75 * GRAVITY),
    (units.power, "310 kW", 310e3),
    (units.fuel_per_energy, "270 g/kWh", 0.270 / 3.6e6),
    (
        units.fuel_per_energy,
        "0.45 lb/hp/h",
        0.45 * POUND / (550 * POUND * GRAVITY * 0.3048) / 3600,
    ),
    (wall_thickness, "16 ga", 0.065 * INCH),  # BWG, not sheet gauge (0.0598 or 0.0625)
    (wall_thickness, "18 BWG", 0.049 * INCH),
    (wall_thickness, "1.5 mm", 1.5e-3),
]


@pytest.mark.parametrize(("convert", "text", "value"), EXACT)
def test_a_shop_number_is_what_its_definition_says(convert, text, value) -> None:  # type: ignore[no-untyped-def]
    assert convert(text) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("3", "must be a length with a unit (got '3'); write it like \"3 in\""),
        ("3 kg", "must be a length, and 'kg' is not a unit of it; use in, ft, mm, cm or m"),
        ("3 foo", "has a unit that is not known, 'foo'; use in, ft, mm, cm or m"),
        ("", 'is empty; write it like "3 in"'),
        ("2,5 in", "has a comma in its number (got '2,5 in'); use a point"),
        ("nan mm", "must be a finite number (got 'nan mm')"),
        ("1/0 in", "has a fraction over zero (got 1/0)"),
        ("about 3 in", "must be a length: a number and a unit (got 'about 3 in')"),
    ],
)
def test_what_is_not_a_length_is_told_how_to_become_one(text: str, words: str) -> None:
    with pytest.raises(RuleError) as caught:
        units.length(text)
    assert str(caught.value).startswith(words)


@pytest.mark.parametrize("text", ["3 psig", "2 barg", "14.7 psia"])
def test_gauge_is_said_by_the_name_not_by_the_unit(text: str) -> None:
    with pytest.raises(RuleError, match="the name of the value says whether it is gauge"):
        units.pressure(text)


def test_a_pint_quantity_of_any_registry_will_do() -> None:
    own = pint.UnitRegistry()
    assert units.length(own.Quantity(3, "inch")) == pytest.approx(3 * INCH)
    assert units.temperature(own.Quantity(20, "degC")) == pytest.approx(293.15)
    with pytest.raises(RuleError, match="must be a length"):
        units.length(own.Quantity(3, "kg"))
    with pytest.raises(RuleError, match="finite"):
        units.length(own.Quantity(math.nan, "m"))


@given(st.floats(1e-6, 1e6))
def test_a_converted_value_is_known_when_it_comes_round_again(value: float) -> None:
    once = units.length(f"{value!r} mm")
    assert units.length(once) is once
    for again in (copy.deepcopy(once), pickle.loads(pickle.dumps(once))):
        assert again == once
        assert units.length(again).written() == once.written()  # type: ignore[attr-defined]
    with pytest.raises(RuleError, match="must be a pressure"):
        units.pressure(once)


def test_arithmetic_gives_plain_floats_that_need_a_unit_again() -> None:
    double = units.length("3 in") * 2
    assert type(double) is float
    with pytest.raises(RuleError, match="with a unit"):
        units.length(double)


@given(whole=st.integers(0, 99), over=st.integers(0, 63))
def test_fractions_read_as_they_are_written(whole: int, over: int) -> None:
    assert units.length(f"{whole}-{over}/64 in") == pytest.approx((whole + over / 64) * INCH)


@pytest.mark.parametrize("value", [True, "3", None, 3j, [3]])
def test_a_share_is_a_bare_number(value: object) -> None:
    with pytest.raises(RuleError, match="bare number"):
        units.ratio(value)  # type: ignore[arg-type]
    with pytest.raises(RuleError, match="whole number"):
        units.count(value)  # type: ignore[arg-type]
