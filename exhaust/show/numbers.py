"""SI to shop units: systems, kinds of number, rounding for use."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from fractions import Fraction
from typing import Any, Literal, NamedTuple

from exhaust.errors import broken, nearest

System = Literal["inch", "metric"]
SYSTEMS: tuple[System, ...] = ("inch", "metric")

_system: ContextVar[System] = ContextVar("system", default="inch")


class Style(NamedTuple):
    """How one kind of number is shown in one unit system."""

    unit: str
    scale: float  # SI value of one unit
    digits: int  # decimals
    offset: float = 0.0  # SI value of nought units


_IN, _LB, _PSI = 0.0254, 0.45359237, 6894.757293168361

# kind -> (SI unit, inch style, metric style). A kind is what a number is for, not its dimension.
KINDS: dict[str, tuple[str, Style, Style]] = {
    "cut": ("m", Style("in", _IN, 3), Style("mm", 1e-3, 1)),
    "tube": ("m", Style("in", _IN, 3), Style("mm", 1e-3, 2)),
    "growth": ("m", Style("in", _IN, 2), Style("mm", 1e-3, 1)),
    "roughness": ("m", Style("in", _IN, 5), Style("mm", 1e-3, 3)),
    "run": ("m", Style("ft", 0.3048, 1), Style("m", 1.0, 2)),
    "area": ("m^2", Style("in²", _IN**2, 2), Style("cm²", 1e-4, 1)),
    "volume": ("m^3", Style("in³", _IN**3, 1), Style("L", 1e-3, 2)),
    "gas": ("m^3", Style("ft³", 0.3048**3, 1), Style("L", 1e-3, 0)),
    "volume_flow": ("m^3/s", Style("cfm", 0.3048**3 / 60, 0), Style("L/s", 1e-3, 0)),
    "gas_flow": ("m^3/s", Style("cfh", 0.3048**3 / 3600, 0), Style("L/min", 1e-3 / 60, 1)),
    "duration": ("s", Style("min", 60.0, 1), Style("min", 60.0, 1)),
    "angle": ("rad", Style("°", math.pi / 180, 1), Style("°", math.pi / 180, 1)),
    "pressure": ("Pa", Style("psi", _PSI, 2), Style("kPa", 1e3, 1)),
    "pressure_per_length": (
        "Pa/m",
        Style("psi/ft", _PSI / 0.3048, 3),
        Style("kPa/m", 1e3, 2),
    ),
    "velocity": ("m/s", Style("ft/s", 0.3048, 0), Style("m/s", 1.0, 0)),
    "mass_flow": ("kg/s", Style("lb/min", _LB / 60, 1), Style("g/s", 1e-3, 1)),
    "mass": ("kg", Style("lb", _LB, 2), Style("kg", 1.0, 2)),
    "mass_per_length": ("kg/m", Style("lb/ft", _LB / 0.3048, 2), Style("kg/m", 1.0, 2)),
    "temperature": ("K", Style("°F", 5 / 9, 0, 459.67 * 5 / 9), Style("°C", 1.0, 0, 273.15)),
    "temperature_step": ("K", Style("°F", 5 / 9, 0), Style("K", 1.0, 0)),
    "power": ("W", Style("hp", 745.6998715822702, 0), Style("kW", 1e3, 0)),
    "speed": ("rad/s", Style("rpm", math.pi / 30, 0), Style("rpm", math.pi / 30, 0)),
    "fuel_per_energy": (
        "kg/J",
        Style("lb/hp·h", _LB / 2684519.537696173, 3),
        Style("g/kWh", 1e-3 / 3.6e6, 0),
    ),
    "density": ("kg/m^3", Style("kg/m³", 1.0, 3), Style("kg/m³", 1.0, 3)),
    "frequency": ("Hz", Style("Hz", 1.0, 0), Style("Hz", 1.0, 0)),
    "decibel": ("dB", Style("dB", 1.0, 1), Style("dB", 1.0, 1)),
    "percent": ("", Style("%", 1e-2, 1), Style("%", 1e-2, 1)),
    "oxygen": ("", Style("%", 1e-2, 3), Style("%", 1e-2, 3)),
    "ratio": ("", Style("", 1.0, 2), Style("", 1.0, 2)),
    "ratio3": ("", Style("", 1.0, 3), Style("", 1.0, 3)),
    "count": ("", Style("", 1.0, 0), Style("", 1.0, 0)),
    "thousands": ("", Style("thousand", 1e3, 0), Style("thousand", 1e3, 0)),
    "text": ("", Style("", 1.0, 0), Style("", 1.0, 0)),
}


def unit_system() -> System:
    """Return the unit system that results show themselves in."""
    return _system.get()


def use_units(system: System) -> None:
    """Show results in "inch" or "metric" from here on (the start is "inch").

    >>> use_units("imperial")
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: units is not a known choice (got 'imperial'); known: ...
    """
    _system.set(checked_system(system))


def checked_system(system: object) -> System:
    """Return `system` if it is one of SYSTEMS, or refuse it."""
    for known in SYSTEMS:
        if system == known:
            return known
    hint = nearest(str(system), SYSTEMS)
    raise broken("is not a known choice", repr(system), hint).named("units")


@contextmanager
def shown_in(system: System) -> Iterator[None]:
    """Show in `system` inside a with block."""
    token = _system.set(checked_system(system))
    try:
        yield
    finally:
        _system.reset(token)


def style(kind: str, system: System | None = None) -> Style:
    """Return how `kind` is shown in `system` (or the one in use)."""
    _, inch, metric = KINDS[kind]
    return inch if (system or unit_system()) == "inch" else metric


def number(value: float, kind: str, system: System | None = None) -> str:
    """Return `value` [SI] as a rounded number in shop units, without the unit.

    >>> number(0.0762, "cut", "inch"), number(0.0762, "cut", "metric")
    ('3.000', '76.2')
    """
    if not math.isfinite(value):
        return "–"
    look = style(kind, system)
    text = f"{(value - look.offset) / look.scale:.{look.digits}f}"
    return text.removeprefix("-") if float(text) == 0 else text


def quantity(value: float | str | None, kind: str, system: System | None = None) -> str:
    """Return `value` [SI] as rounded text with its unit; text passes as it is.

    >>> quantity(1093.15, "temperature", "metric"), quantity(0.3, "mass_flow", "inch")
    ('820 °C', '39.7 lb/min')
    """
    if value is None:
        return "–"
    if isinstance(value, str):
        return value
    unit = style(kind, system).unit
    gap = "" if unit in {"°", ""} else " "
    return f"{number(value, kind, system)}{gap}{unit}"


def cut_length(value: float, system: System | None = None) -> str:
    """Return a length to saw to: 0.1 mm, or 0.001 in with the nearest 1/64 beside it.

    >>> cut_length(0.02134, "metric"), cut_length(0.02134, "inch")
    ('21.3 mm', '0.840 in (27/32)')
    """
    text = quantity(value, "cut", system)
    if (system or unit_system()) == "metric":
        return text
    sixty_fourths = round(abs(value) / _IN * 64)
    whole, rest = divmod(sixty_fourths, 64)
    parts = [str(whole)] if whole or not rest else []
    if rest:
        parts.append(str(Fraction(rest, 64)))
    sign = "-" if value < 0 and sixty_fourths else ""
    return f"{text} ({sign}{'-'.join(parts)})"


def spread(low: float, high: float, kind: str, system: System | None = None) -> str:
    """Return a band as text: "5.2 to 7.9 kPa".

    >>> spread(5200.0, 7900.0, "pressure", "metric")
    '5.2 to 7.9 kPa'
    """
    return f"{number(low, kind, system)} to {quantity(high, kind, system)}"


def listed(values: Sequence[Any]) -> str:
    """Return values as words: "1, 2 and 3"."""
    texts = [str(value) for value in values]
    return texts[0] if len(texts) == 1 else f"{', '.join(texts[:-1])} and {texts[-1]}"
