"""What the customer brings: an engine, an operating point, the weather."""

from __future__ import annotations

import math
from typing import Any

import attrs

from exhaust import tables, units
from exhaust.describe import Description, not_negative, one_of, positive, within
from exhaust.errors import broken, typed
from exhaust.show import listed
from exhaust.units import SI

LITRE = 1e-3
LEAST = 20e-6  # of one cylinder [m^3]; a small model engine has more
RPM = math.pi / 30
TURNING = within(100 * RPM, 25000 * RPM, "is it crankshaft speed?")


def _cylinder_numbers(value: object) -> tuple[int, ...]:
    if isinstance(value, (str, bytes)) or not hasattr(value, "__iter__"):
        raise broken("must be a list of cylinder numbers", typed(value), "for example (1, 3, 4, 2)")
    return tuple(units.count(number) for number in value)


def _known_fuel(instance: object, field: attrs.Attribute[Any], value: object) -> None:
    if not isinstance(value, str):
        raise broken("must be the name of a fuel", typed(value)).named(field.name)
    tables.lookup("fuel", value, "fuel")


@attrs.frozen(kw_only=True, repr=False)
class Engine(Description):
    """A four-stroke piston engine.

    `displacement` of all cylinders [m^3]; `cylinders`; `firing_order` names each cylinder once;
    `left_bank` the cylinders that breathe into the left pipe (none: one bank); `fuel` from
    data/fuel.csv; `compression_ratio` (used for the cost of back pressure).

    >>> engine = Engine(displacement="311 in^3", cylinders=8, left_bank=(1, 3, 5, 7),
    ...                 firing_order=(1, 8, 4, 3, 6, 5, 7, 2))
    >>> engine.banks
    {'left': (1, 3, 5, 7), 'right': (2, 4, 6, 8)}
    """

    displacement: float = attrs.field(
        converter=units.volume,
        validator=within(0.02 * LITRE, 60 * LITRE, "give it for the whole engine"),
    )
    cylinders: int = attrs.field(converter=units.count, validator=within(1, 24))
    firing_order: tuple[int, ...] = attrs.field(default=(), converter=_cylinder_numbers)
    left_bank: tuple[int, ...] = attrs.field(default=(), converter=_cylinder_numbers)
    fuel: str = attrs.field(
        default="gasoline", validator=_known_fuel, metadata={"table": ("fuel", "fuel")}
    )
    compression_ratio: float = attrs.field(
        default=10.0, converter=units.ratio, validator=within(5.0, 25.0)
    )

    def __attrs_post_init__(self) -> None:
        self._check_size()
        if self.firing_order:
            self._check_numbers("firing_order", self.firing_order)
            missing = sorted(set(range(1, self.cylinders + 1)) - set(self.firing_order))
            if missing:
                rule = f"does not name cylinder {listed(missing)} of {self.cylinders}"
                raise broken(rule, None, "name each cylinder once").named("firing_order")
        self._check_numbers("left_bank", self.left_bank)

    def _check_size(self) -> None:
        size = self.displacement
        size = size if isinstance(size, SI) else SI(size, "volume")
        least = LEAST * self.cylinders
        if size < least:
            rule = f"must be more than {size.written(least)} for {self.cylinders} cylinders"
            got = size.written()
            raise broken(rule, got, "is its unit right?").named("displacement")

    def _check_numbers(self, name: str, numbers: tuple[int, ...]) -> None:
        for number in numbers:
            if not 1 <= number <= self.cylinders:
                rule = f"names cylinder {number} but the engine has {self.cylinders}"
                raise broken(rule).named(name)
            if numbers.count(number) > 1:
                rule = f"names cylinder {number} {numbers.count(number)} times"
                raise broken(rule, None, "name each cylinder once").named(name)

    @property
    def banks(self) -> dict[str, tuple[int, ...]]:
        """The cylinders that breathe into each pipe, by bank."""
        everyone = tuple(range(1, self.cylinders + 1))
        rest = tuple(number for number in everyone if number not in self.left_bank)
        if not self.left_bank or not rest:
            return {"all": everyone}
        return {"left": tuple(sorted(self.left_bank)), "right": rest}


@attrs.frozen(kw_only=True, repr=False)
class OperatingPoint(Description):
    """How hard the engine works.

    `speed` [rad/s]; `volumetric_efficiency` against the air in the intake, or `power` [W] and
    `bsfc` [kg/J], or both; `lambda_`, air over stoichiometric air; `boost_gauge`, intake
    manifold gauge pressure of a charged engine [Pa], from a `charger` driven by the exhaust
    ("turbocharger") or by the crank ("supercharger"); `charge_temperature` after the cooler [K];
    `gas_temperature` [K] as measured and `gas_temperature_at`, the place it was taken.

    >>> OperatingPoint(speed="6200 rpm", lambda_=0.88)
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: duty must give volumetric_efficiency, or power and bsfc
    """

    speed: float = attrs.field(converter=units.speed, validator=TURNING)
    volumetric_efficiency: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.ratio),
        validator=within(0.05, 1.6, "0.92 means 92 %"),
    )
    power: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.power),
        validator=attrs.validators.optional(positive),
        metadata={"dimension": "power"},
    )
    bsfc: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.fuel_per_energy),
        validator=within(100e-3 / 3.6e6, 1500e-3 / 3.6e6, "270 g/kWh is usual at full load"),
        metadata={"dimension": "fuel_per_energy"},
    )
    lambda_: float = attrs.field(default=1.0, converter=units.ratio, validator=within(0.5, 8.0))
    boost_gauge: float = attrs.field(
        default=SI(0.0, "pressure", "kPa", 1e3),
        converter=units.pressure,
        validator=within(0.0, 600e3),
    )
    charger: str = attrs.field(
        default="turbocharger", validator=one_of("turbocharger", "supercharger")
    )
    charge_temperature: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.temperature),
        validator=within(230.0, 500.0),
        metadata={"dimension": "temperature"},
    )
    gas_temperature: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.temperature),
        validator=within(400.0, 1500.0, "exhaust gas at full load is 700 to 1200 K"),
        metadata={"dimension": "temperature"},
    )
    gas_temperature_at: str = attrs.field(
        default="collector", validator=one_of("port", "collector", "turbine outlet")
    )

    def __attrs_post_init__(self) -> None:
        if self.volumetric_efficiency is None and (self.power is None or self.bsfc is None):
            if self.power is not None:
                raise broken("has power but no bsfc", None, 'for example bsfc="270 g/kWh"').named(
                    "duty"
                )
            raise broken("must give volumetric_efficiency, or power and bsfc").named("duty")
        if self.gas_temperature_at == "turbine outlet" and not self.has_turbine:
            rule = 'says "turbine outlet" but no boost comes from a turbocharger'
            raise broken(rule, None, "give boost_gauge, or the place").named("gas_temperature_at")

    @property
    def has_turbine(self) -> bool:
        """Whether the gas drives a turbine before it reaches the pipe."""
        return self.boost_gauge > 0 and self.charger == "turbocharger"


@attrs.frozen(kw_only=True, repr=False)
class Ambient(Description):
    """The weather and the hill: `altitude` [m], `temperature` [K], relative `humidity`.

    Pressure follows from altitude by the standard atmosphere (ISO 2533); so does temperature
    when it is not given.

    >>> Ambient(altitude="300 m")
    Ambient(altitude=300 m)
    """

    altitude: float = attrs.field(
        default=SI(0.0, "length", "m"),
        converter=units.length,
        validator=within(-500.0, 6000.0),
        metadata={"bare": ("ft", "m")},
    )
    temperature: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.temperature),
        validator=within(220.0, 330.0),
        metadata={"dimension": "temperature"},
    )
    humidity: float = attrs.field(
        default=0.0,
        converter=units.ratio,
        validator=[not_negative, within(0.0, 1.0, "0.4 means 40 %")],
    )
