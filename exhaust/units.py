"""Text with units in, SI inside.

The grammar is small and ours, because a shop writes "2-1/2 in" and "820 °C"; pint does the
conversion. A converted value is an `SI`: a float in SI units that remembers its dimension and the
unit it was written in, so that it is recognised when it comes round again and an error can speak
in the user's unit.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from functools import lru_cache
from typing import TYPE_CHECKING, Any, NamedTuple

from exhaust.errors import ExhaustError, broken, typed

if TYPE_CHECKING:
    import pint


class Dimension(NamedTuple):
    """A kind of quantity that can be typed in."""

    noun: str
    si_unit: str  # as pint writes it
    example: str  # as the shop writes it
    units: tuple[str, ...]  # what an error message offers


DIMENSIONS = {
    "length": Dimension("a length", "m", "3 in", ("in", "ft", "mm", "cm", "m")),
    "volume": Dimension("a volume", "m^3", "5.1 L", ("L", "cc", "in^3", "m^3")),
    "angle": Dimension("an angle", "rad", "45 deg", ("deg", "rad")),
    "speed": Dimension("an engine speed", "rad/s", "6200 rpm", ("rpm", "rad/s")),
    "temperature": Dimension("a temperature", "K", "820 degC", ("degC", "degF", "K")),
    "pressure": Dimension(
        "a pressure", "Pa", "1 psi", ("psi", "kPa", "bar", "mbar", "inHg", "inH2O", "Pa")
    ),
    "velocity": Dimension("a velocity", "m/s", "10 m/s", ("m/s", "km/h", "ft/s", "mph")),
    "volume_flow": Dimension(
        "a volume flow", "m^3/s", "450 cfm", ("cfm", "L/s", "L/min", "cfh", "m^3/h")
    ),
    "power": Dimension("a power", "W", "310 kW", ("kW", "hp", "PS", "W")),
    "fuel_per_energy": Dimension(
        "a fuel rate per power", "kg/J", "270 g/kWh", ("g/kWh", "lb/hp/h")
    ),
    "price_per_length": Dimension("a price per length", "1/m", "4.20 /ft", ("/ft", "/m")),
}

# What a shop or a keyboard writes, and what pint calls it.
_ALIASES = {
    '"': "inch", "″": "inch", "'": "foot", "′": "foot", "l": "liter", "litre": "liter",
    "litres": "liter", "cid": "inch**3", "ci": "inch**3", "cu in": "inch**3", "°": "degree",
    "°c": "degC", "c": "degC", "°f": "degF", "f": "degF", "cfm": "foot**3/minute",
    "cfh": "foot**3/hour", "/ft": "1/foot", "/m": "1/meter",
    "inhg": "inch_Hg", "inh2o": "inch_H2O", "in h2o": "inch_H2O", "ps": "metric_horsepower",
    "hp": "horsepower", "g/kwh": "gram/(kilowatt*hour)", "lb/hp/h": "pound/horsepower/hour",
    "lb/(hp h)": "pound/horsepower/hour", "lb/hp-h": "pound/horsepower/hour",
    "lb/hph": "pound/horsepower/hour",
}  # fmt: skip

NUMBER = r"[+-]?(?:\d+[-\s]+\d+/\d+|\d+/\d+|(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)"
_QUANTITY = re.compile(rf"\s*({NUMBER})\s*(.*?)\s*", re.DOTALL)
_FRACTION = re.compile(r"([+-]?)(?:(\d+)[-\s]+)?(\d+)/(\d+)")


class SI(float):
    """A float in SI units that knows its dimension and the unit it was written in."""

    dimension: str
    unit: str
    scale: float  # SI value of one `unit`
    offset: float  # SI value of nought `unit`
    text: str  # as it was typed, or nothing

    def __new__(
        cls,
        value: float,
        dimension: str,
        unit: str = "",
        scale: float = 1.0,
        offset: float = 0.0,
        text: str = "",
    ) -> SI:
        """Wrap `value` [SI] of `dimension`, written in `unit`, as `text` if it was typed."""
        self = super().__new__(cls, value)
        self.dimension = dimension
        self.unit = unit or DIMENSIONS[dimension].si_unit
        self.scale = scale
        self.offset = offset
        self.text = " ".join(text.split())
        return self

    def __getnewargs__(self) -> tuple[Any, ...]:
        return (float(self), self.dimension, self.unit, self.scale, self.offset, self.text)

    def written(self, value: float | None = None) -> str:
        """Return this value as it was typed, or another `value` [SI] in the same unit.

        >>> length("2-1/2 in").written(), length("2-1/2 in").written(0.0381)
        ('2-1/2 in', '1.5 in')
        """
        if value is None and self.text:
            return self.text
        number = (float(self if value is None else value) - self.offset) / self.scale
        return f"{number:.6g} {self.unit}"


@lru_cache(maxsize=1)
def registry() -> pint.UnitRegistry[Any]:
    """Return the one pint registry, built when first needed."""
    import pint

    return pint.UnitRegistry(cache_folder=None)


@lru_cache(maxsize=512)
def _conversion(unit: str, dimension: str) -> tuple[float, float]:
    """Return (scale, offset) so that SI value = number * scale + offset."""
    import pint

    kind = DIMENSIONS[dimension]
    name = _ALIASES.get(unit.lower(), unit)
    ureg = registry()
    offer = f"use {', '.join(kind.units[:-1])} or {kind.units[-1]}"
    try:
        zero = float(ureg.Quantity(0.0, name).to(kind.si_unit).magnitude)
        far = float(ureg.Quantity(1000.0, name).to(kind.si_unit).magnitude)
    except pint.DimensionalityError as error:
        rule = f"must be {kind.noun}, and {unit!r} is not a unit of it"
        raise broken(rule, None, offer) from error
    except Exception as error:  # pint lets many kinds escape from its parser
        raise broken(f"has a unit that is not known, {unit!r}", None, offer) from error
    return (far - zero) / 1000.0, zero


def _number(text: str) -> float:
    fraction = _FRACTION.fullmatch(text)
    if fraction is None:
        return float(text)
    sign, whole, over, under = fraction.groups()
    if int(under) == 0:
        raise broken("has a fraction over zero", text)
    value = int(whole or 0) + int(over) / int(under)
    return -value if sign == "-" else value


def _from_text(text: str, dimension: str) -> SI:
    kind = DIMENSIONS[dimension]
    example = f'write it like "{kind.example}"'
    if re.search(r"\d,\d", text):
        raise broken("has a comma in its number", repr(text), f"use a point; {example}")
    if not text.strip():
        raise broken("is empty", None, example)
    match = _QUANTITY.fullmatch(text)
    if match is None:
        if re.match(r"\s*[+-]?(nan|inf)", text, re.IGNORECASE):
            raise broken("must be a finite number", repr(text), example)
        raise broken(f"must be {kind.noun}: a number and a unit", repr(text), example)
    number, unit = _number(match[1]), match[2]
    if not unit:
        raise broken(f"must be {kind.noun} with a unit", repr(text.strip()), example)
    if unit.lower() in {"psig", "psia", "barg", "bara", "kpag"}:
        remedy = "the name of the value says whether it is gauge"
        raise broken("takes plain psi, kPa or bar", repr(text), remedy)
    scale, offset = _conversion(unit, dimension)
    return _finite(SI(number * scale + offset, dimension, unit, scale, offset, text), text)


def _from_pint(value: Any, dimension: str) -> SI:
    kind = DIMENSIONS[dimension]
    unit = f"{value.units:~}" or "dimensionless"
    try:
        magnitude = float(value.to(kind.si_unit).magnitude)
    except Exception as error:
        raise broken(f"must be {kind.noun}", str(value), f'for example "{kind.example}"') from error
    return _finite(SI(magnitude, dimension, *_plain_unit(unit, dimension)), value)


def _plain_unit(unit: str, dimension: str) -> tuple[str, float, float]:
    try:
        return (unit, *_conversion(unit, dimension))
    except ExhaustError:
        return (DIMENSIONS[dimension].si_unit, 1.0, 0.0)


def _finite(value: SI, got: object) -> SI:
    if not math.isfinite(value):
        raise broken("must be a finite number", typed(got))
    return value


def quantity(value: object, dimension: str) -> SI:
    """Return `value` (text with a unit, a pint quantity, or an SI) as an SI of `dimension`.

    Raises `RuleError`: a bare number, another dimension, an unknown unit, nothing, nan, infinite.

    >>> quantity("2-1/2 in", "length")
    0.0635
    >>> round(quantity("59 °F", "temperature"), 2)
    288.15
    >>> quantity(3, "length")
    Traceback (most recent call last):
    exhaust.errors.RuleError: must be a length with a unit (got 3); write it like "3 in"
    """
    kind = DIMENSIONS[dimension]
    if isinstance(value, SI):
        if value.dimension != dimension:
            raise broken(f"must be {kind.noun}", value.written(), f'for example "{kind.example}"')
        return _finite(value, value)
    if isinstance(value, str):
        return _from_text(value, dimension)
    if hasattr(value, "magnitude") and hasattr(value, "dimensionality"):
        return _from_pint(value, dimension)
    example = f'write it like "{kind.example}"'
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        raise broken(f"must be {kind.noun} with a unit", f"{value:g}", example)
    raise broken(f"must be {kind.noun} with a unit", typed(value), example)


def length(value: str | float | pint.Quantity[Any]) -> float:
    """Return a length [m]: "3 in", "2-1/2 in", "76.2 mm"."""
    return quantity(value, "length")


def volume(value: str | float | pint.Quantity[Any]) -> float:
    """Return a volume [m^3]: "5.1 L", "311 in^3"."""
    return quantity(value, "volume")


def angle(value: str | float | pint.Quantity[Any]) -> float:
    """Return an angle [rad]: "45 deg"."""
    return quantity(value, "angle")


def speed(value: str | float | pint.Quantity[Any]) -> float:
    """Return an engine speed [rad/s]: "6500 rpm"."""
    return quantity(value, "speed")


def temperature(value: str | float | pint.Quantity[Any]) -> float:
    """Return an absolute temperature [K]: "820 degC", "1500 °F", "1100 K"."""
    return quantity(value, "temperature")


def pressure(value: str | float | pint.Quantity[Any]) -> float:
    """Return a pressure [Pa]: "1 psi", "20 kPa"; the argument's name says whether it is gauge."""
    return quantity(value, "pressure")


def power(value: str | float | pint.Quantity[Any]) -> float:
    """Return a power [W]: "310 kW", "420 hp" (mechanical), "420 PS" (metric)."""
    return quantity(value, "power")


def velocity(value: str | float | pint.Quantity[Any]) -> float:
    """Return a velocity [m/s]: "10 m/s", "60 mph"."""
    return quantity(value, "velocity")


def volume_flow(value: str | float | pint.Quantity[Any]) -> float:
    """Return a volume flow [m^3/s]: "450 cfm", "210 L/s"."""
    return quantity(value, "volume_flow")


def fuel_per_energy(value: str | float | pint.Quantity[Any]) -> float:
    """Return a fuel rate per power [kg/J]: "270 g/kWh", "0.45 lb/hp/h"."""
    return quantity(value, "fuel_per_energy")


def price_per_length(value: str | float | pint.Quantity[Any]) -> float:
    """Return a price per length [1/m], in any money: "4.20 /ft", "14 /m"."""
    return quantity(value, "price_per_length")


def ratio(value: float) -> float:
    """Return a bare, finite number: a share, a ratio, a loss coefficient."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise broken("must be a bare number, without a unit", typed(value))
    if isinstance(value, SI):
        raise broken("must be a bare number, without a unit", value.written())
    if not math.isfinite(value):
        raise broken("must be a finite number", f"{value}")
    return float(value)


def count(value: int) -> int:
    """Return a whole number."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise broken("must be a whole number", typed(value))
    return value


_KINDS = (
    *(length, volume, angle, speed, temperature, pressure, power),
    *(velocity, volume_flow, fuel_per_energy, price_per_length),
)
CONVERTERS: dict[Callable[..., Any], str] = {convert: convert.__name__ for convert in _KINDS}
