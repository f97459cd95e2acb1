"""What a gauge read at the test port once the exhaust was on the car."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import attrs

from exhaust import units
from exhaust.describe import Description, a, within
from exhaust.engine import Ambient
from exhaust.engine.descriptions import RPM
from exhaust.errors import broken, typed
from exhaust.units import SI

# A dial gauge that spans 60 kPa and is within 1.6 % of that; common practice, no source.
GAUGE = SI(1000.0, "pressure", "kPa", 1e3)


@attrs.frozen(kw_only=True, repr=False)
class PortReading(Description):
    """One reading at the test port, at full load.

    `speed` of the engine [rad/s]; `back_pressure_gauge` [Pa], below zero where the port sucks;
    and what was measured with it, if anything: `volumetric_efficiency`, from the air that the
    engine took, and `gas_temperature` in the stream at the port [K].

    >>> PortReading(speed="5000 rpm", back_pressure_gauge="0.8 psi")
    PortReading(speed=5000 rpm, back_pressure_gauge=0.8 psi)
    """

    speed: float = attrs.field(
        converter=units.speed, validator=within(100 * RPM, 25000 * RPM, "is it crankshaft speed?")
    )
    back_pressure_gauge: float = attrs.field(
        converter=units.pressure,
        validator=within(-20e3, 400e3, "it is the pressure over that of the air outside"),
    )
    volumetric_efficiency: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.ratio),
        validator=within(0.05, 1.6, "0.92 means 92 %"),
    )
    gas_temperature: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.temperature),
        validator=within(400.0, 1500.0, "exhaust gas at full load is 700 to 1200 K"),
        metadata={"dimension": "temperature"},
    )


def _readings(value: object) -> tuple[PortReading, ...]:
    if isinstance(value, (str, bytes)) or not isinstance(value, Iterable):
        raise broken("must be a list of PortReading", typed(value))
    found = tuple(value)
    for one in found:
        if not isinstance(one, PortReading):
            raise broken("must be a list of PortReading", f"one {type(one).__name__}")
    if not found:
        raise broken("is empty", None, "give at least one reading")
    return tuple(sorted(found, key=lambda one: one.speed))


@attrs.frozen(kw_only=True, repr=False)
class PortReadings(Description):
    """Back pressure read at the test port over engine speeds, once the exhaust is on the car.

    `readings`, kept slow to fast; `gauge_accuracy`, how far the gauge may be off either way [Pa];
    `ambient`, the weather of the day and the hill (none: the job's own).

    >>> read = [PortReading(speed=f"{n} rpm", back_pressure_gauge="0.8 psi") for n in (5000, 4000)]
    >>> [one.speed.written() for one in PortReadings(readings=read).readings]
    ['4000 rpm', '5000 rpm']
    """

    readings: tuple[PortReading, ...] = attrs.field(converter=_readings)
    gauge_accuracy: float = attrs.field(
        default=GAUGE,
        converter=units.pressure,
        validator=within(1.0, 50e3, "it is how far the gauge may be off"),
    )
    ambient: Ambient | None = attrs.field(
        default=None, validator=attrs.validators.optional(a(Ambient))
    )

    def __attrs_post_init__(self) -> None:
        speeds = [one.speed for one in self.readings]
        for before, after in zip(self.readings, self.readings[1:], strict=False):
            if after.speed - before.speed < RPM:
                rule = f"has two readings at {_written(after.speed)}"
                remedy = "give each speed once, with the mean of what was read"
                raise broken(rule, None, remedy).named("readings")
        for name in ("volumetric_efficiency", "gas_temperature"):
            given = [one.speed for one in self.readings if getattr(one, name) is not None]
            if given and len(given) < len(speeds):
                left = next(_written(speed) for speed in speeds if speed not in given)
                rule = f"has {name} at some speeds but not at {left}"
                raise broken(rule, None, "give it with every reading or with none").named(
                    "readings"
                )

    def has(self, name: str) -> bool:
        """Return whether `name` was measured with every reading.

        >>> read = PortReading(speed="5000 rpm", back_pressure_gauge="0.8 psi")
        >>> PortReadings(readings=[read]).has("gas_temperature")
        False
        """
        return all(getattr(one, name) is not None for one in self.readings)


def _written(value: Any) -> str:
    return value.written() if isinstance(value, SI) else f"{value / RPM:g} rpm"
