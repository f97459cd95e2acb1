"""What the shop buys from and has on hand, and what it purges with."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import Any

import attrs

from exhaust import units
from exhaust.describe import Description, a, not_negative, positive, within
from exhaust.errors import broken, typed
from exhaust.stock import DEGREE, INCH, Bend, Tube
from exhaust.system.run import all_of
from exhaust.units import SI

AIR = 0.21  # oxygen in air, by volume
FOOT = 12 * INCH


@attrs.frozen(kw_only=True, repr=False)
class Offcut(Description):
    """A straight length of `tube` that is on hand: `length` [m].

    >>> round(Offcut(Tube(od="3 in", wall="16 ga"), length="40 in").length, 3)
    1.016
    """

    tube: Tube = attrs.field(validator=a(Tube), kw_only=False)
    length: float = attrs.field(converter=units.length, validator=within(1e-3, 30.0))


def _listed(value: object, noun: str) -> tuple[Any, ...]:
    if not isinstance(value, Iterable) or isinstance(value, (str, bytes)):
        raise broken(f"must be a list of {noun}", typed(value))
    return tuple(value)


def _lengths(value: object) -> tuple[float, ...]:
    return tuple(units.length(one) for one in _listed(value, "lengths"))


def _angles(value: object) -> tuple[float, ...]:
    return tuple(units.angle(one) for one in _listed(value, "angles"))


def _all_within(low: float, high: float) -> Callable[..., None]:
    one = within(low, high)

    def check(instance: object, field: attrs.Attribute[Any], value: tuple[float, ...]) -> None:
        for number in value:
            one(instance, field, number)

    return check


def _some(instance: object, field: attrs.Attribute[Any], value: tuple[object, ...]) -> None:
    if not value:
        raise broken("is empty", None, "name at least one").named(field.name)


def _on_hand(value: object) -> tuple[Offcut | Bend, ...]:
    return all_of(value, (Offcut, Bend), "Offcut and Bend")


@attrs.frozen(kw_only=True, repr=False)
class Stock(Description):
    """What tube and bends can be had.

    `lengths` that straight tube is sold in, those preferred first [m] (none: 20 ft for tube
    written in inches, else 6 m; common practice); `trim`, what squaring one end of a length
    takes, its kerf with it [m]; `bend_angles` that bends are sold in, likewise [rad]; `on_hand`,
    an `Offcut` or a `Bend` for each piece that is there; `price_per_length` of straight tube
    [1/m] and `price_per_bend`, both of the system's own tube, in any money.

    >>> stock = Stock(lengths=["10 ft", "20 ft"], price_per_length="4.20 /ft")
    >>> round(stock.price_per_length, 3)
    13.78
    """

    lengths: tuple[float, ...] = attrs.field(
        default=(),
        converter=_lengths,
        validator=_all_within(0.1, 30.0),
        metadata={"each": "length", "bare": ("ft", "m")},
    )
    trim: float = attrs.field(
        default=SI(5e-3, "length", "mm", 1e-3),  # common practice
        converter=units.length,
        validator=[not_negative, within(0.0, 0.05)],
    )
    bend_angles: tuple[float, ...] = attrs.field(
        default=(SI(math.pi / 2, "angle", "deg", DEGREE), SI(math.pi, "angle", "deg", DEGREE)),
        converter=_angles,
        validator=[_some, _all_within(5 * DEGREE, 185 * DEGREE)],
        metadata={"each": "angle"},
    )
    on_hand: tuple[Offcut | Bend, ...] = attrs.field(default=(), converter=_on_hand)
    price_per_length: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.price_per_length),
        validator=attrs.validators.optional(positive),
        metadata={"dimension": "price_per_length"},
    )
    price_per_bend: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.ratio),
        validator=attrs.validators.optional([positive, within(0.0, 1e6)]),
    )

    def sold(self, tube: Tube) -> tuple[float, ...]:
        """Return the lengths that `tube` is sold in [m].

        >>> Stock().sold(Tube(od="76.1 mm", wall="1.6 mm"))
        (6.0,)
        """
        if self.lengths:
            return self.lengths
        return (SI(20 * FOOT, "length", "ft", FOOT) if tube.in_inches else SI(6.0, "length", "m"),)


def _share(value: object) -> float:
    share = units.ratio(value)  # type: ignore[arg-type]
    if not 0.0 < share < AIR:
        raise broken(f"must be a share between 0 and {AIR}", typed(value), "0.001 is 0.1 %")
    return share


@attrs.frozen(kw_only=True, repr=False)
class PurgeGas(Description):
    """How welds are kept from air on the inside: `flow` of argon [m^3/s], `oxygen` to purge to.

    `oxygen` is a share by volume: 0.001 is 0.1 %, 0.00005 is 50 ppm. Both defaults are common
    practice, no source.

    >>> round(PurgeGas(flow="30 cfh").flow * 60e3, 2)  # L/min
    14.16
    """

    flow: float = attrs.field(
        default=SI(15e-3 / 60, "volume_flow", "L/min", 1e-3 / 60),
        converter=units.volume_flow,
        validator=positive,
        metadata={"bare": ("cfh", "L/min")},
    )
    oxygen: float = attrs.field(default=0.001, converter=_share)
