"""What ends a search: a difference worth having, room, and the most back pressure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import attrs

from exhaust import units
from exhaust.describe import Description, positive, within
from exhaust.errors import ExhaustError, broken
from exhaust.show import listed
from exhaust.stock import Tube
from exhaust.units import SI

LENGTH: dict[str, Any] = {"dimension": "length"}
PRESSURE: dict[str, Any] = {"dimension": "pressure"}


@attrs.frozen(kw_only=True, repr=False)
class Limits(Description):
    """When to stop looking for more.

    `worth_having`, the least share of power worth deciding on (1 % is about what a chassis
    dynamometer repeats to; common practice); `largest_od` that there is room for [m];
    `largest_back_pressure_gauge` at the start of the pipe [Pa].

    >>> Limits(largest_od="3 in")
    Limits(largest_od=3 in)
    """

    worth_having: float = attrs.field(
        default=0.01, converter=units.ratio, validator=within(0.0, 0.5, "0.01 means 1 % of power")
    )
    largest_od: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.length),
        validator=attrs.validators.optional(positive),
        metadata=LENGTH,
    )
    largest_back_pressure_gauge: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.pressure),
        validator=attrs.validators.optional(positive),
        metadata=PRESSURE,
    )


def misfits(tube: Tube, choked: bool, pressure: float, limits: Limits) -> list[str]:
    """Return what keeps a tube from fitting, as phrases after "is"; nothing if it fits.

    `pressure` gauge, to hold against largest_back_pressure_gauge [Pa].

    >>> misfits(Tube(od="4 in", wall="16 ga"), False, 9e3, Limits(largest_od="3 in"))
    ['over the largest od, 3 in']
    """
    why = []
    if choked:
        why.append("choked (gas at Mach 1)")
    if limits.largest_od is not None and tube.od > limits.largest_od * (1 + 1e-9):
        why.append(f"over the largest od, {_written(limits.largest_od)}")
    most = limits.largest_back_pressure_gauge
    if most is not None and pressure > most:
        why.append(f"over the largest back pressure, {_written(most)}")
    return why


def none_fits(name: str, misfit: Mapping[Tube, Sequence[str]]) -> ExhaustError:
    """Return the error for a list of tubes `name` of which none fits, and why each does not.

    >>> none_fits("tubes", {Tube(od="4 in", wall="16 ga"): ["over the largest od, 3 in"]})
    ExhaustError('tubes hold none that fits: 4 in x 16 ga is over the largest od, 3 in; give ...')
    """
    whys = "; ".join(f"{tube.name} is {listed(why)}" for tube, why in misfit.items())
    remedy = "give other tubes, more pipes or wider limits"
    return broken(f"hold none that fits: {whys}", None, remedy).named(name)


def misfits_in_words(misfit: Mapping[Tube, Sequence[str]]) -> list[str]:
    """Return a sentence for each thing that keeps tubes from fitting.

    >>> misfits_in_words({Tube(od="4 in", wall="16 ga"): ["over the largest od, 3 in"]})
    ['4 in x 16 ga is over the largest od, 3 in.']
    """
    names: dict[str, list[str]] = {}
    for tube, phrases in misfit.items():
        for phrase in phrases:
            names.setdefault(phrase, []).append(tube.name)
    return [
        f"{listed(those)} {'is' if len(those) == 1 else 'are'} {phrase}."
        for phrase, those in names.items()
    ]


def _written(value: float) -> str:
    return value.written() if isinstance(value, SI) else f"{value:.6g}"
