"""The ways in which the distance between a joint's tubes is given, as fields of a description."""

from __future__ import annotations

from typing import Any

import attrs

from exhaust import units
from exhaust.describe import argument_name, within
from exhaust.errors import broken
from exhaust.joints.parallel_x_rules import text

FAR = 10.0  # no exhaust is wider [m]
WAYS = ("spacing", "gap", "outside_width", "spacer")


def a_straight(instance: object, field: attrs.Attribute[Any], value: float) -> None:
    """Refuse a straight of less than nothing."""
    if value < 0:
        remedy = "bends too wide apart are trimmed: give spacing= instead"
        raise broken("must not be less than zero", text(value), remedy).named(argument_name(field))


def optional_length(validator: Any) -> Any:
    """Return a field for a length that may be left out, checked by `validator` where given."""
    return attrs.field(
        default=None,
        converter=attrs.converters.optional(units.length),
        validator=attrs.validators.optional([validator, within(-FAR, FAR)]),
        metadata={"dimension": "length"},
    )
