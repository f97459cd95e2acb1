"""The one pattern of all descriptions: frozen, keyword-friendly, checked when made.

A description is an attrs class on `Description`. Each dimensioned field has a converter from
`units`; the base class gives converter errors the field's name, and turns a missing or unknown
argument into a sentence. Text is parsed once: `attrs.evolve` and `from_si` take values that are
already SI.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Self, TypeVar

import attrs

from exhaust import units
from exhaust.errors import ExhaustError, RuleError, broken, nearest, typed
from exhaust.units import SI

Validator = Callable[[Any, "attrs.Attribute[Any]", Any], None]
_Kind = TypeVar("_Kind")


def argument_name(field: attrs.Attribute[Any]) -> str:
    """Return the name of the argument that fills `field`."""
    return field.alias or field.name


def convert(field: attrs.Attribute[Any], value: object) -> Any:
    """Return `value` through the converter of `field`; an error carries the field's name."""
    if field.converter is None:
        return value
    try:
        return field.converter(value)  # type: ignore[operator]
    except RuleError as error:
        raise error.named(argument_name(field)) from error


class _DescriptionType(type):
    """Checks the arguments of a description by name before attrs sees them."""

    __attrs_attrs__: tuple[attrs.Attribute[Any], ...]

    def __call__(cls, *args: Any, **named: Any) -> Any:
        fields = [field for field in cls.__attrs_attrs__ if field.init]
        given = bind(cls.__name__, fields, args, named)
        ready = {
            argument_name(field): convert(field, given[argument_name(field)])
            for field in fields
            if argument_name(field) in given
        }
        return super().__call__(**ready)


def bind(
    owner: str, fields: list[attrs.Attribute[Any]], args: tuple[Any, ...], named: dict[str, Any]
) -> dict[str, Any]:
    """Return positional and named arguments as one mapping, or say what is wrong with them."""
    names = [argument_name(field) for field in fields]
    positional = [argument_name(field) for field in fields if not field.kw_only]
    if len(args) > len(positional):
        allowed = f"{len(positional)} without a name" if positional else "every value by name"
        raise ExhaustError(f"{owner} takes {allowed} (got {len(args)}); name them: {names[0]}=…")
    given = dict(zip(positional, args, strict=False))
    for name, value in named.items():
        if name not in names:
            raise ExhaustError(f"{owner} has no {name!r}; {nearest(name, names)}")
        if name in given:
            raise ExhaustError(f"{owner} was given {name} twice; give it once")
        given[name] = value
    for field in fields:
        name = argument_name(field)
        if field.default is attrs.NOTHING and name not in given:
            raise ExhaustError(f"{owner} needs {name}; {example_of(field)}")
    return given


def dimension_of(field: attrs.Attribute[Any]) -> str | None:
    """Return the dimension of `field`, or None for a bare value or a part."""
    if "dimension" in field.metadata:
        return str(field.metadata["dimension"])
    converter: Any = field.converter
    return units.CONVERTERS.get(converter)


def example_of(field: attrs.Attribute[Any]) -> str:
    """Return how `field` is written, for a message."""
    dimension = dimension_of(field)
    name = argument_name(field)
    if dimension is None:
        return f"give {name}=…"
    return f'for example {name}="{units.DIMENSIONS[dimension].example}"'


class Description(metaclass=_DescriptionType):
    """Base of everything that describes the job; holds no computation of flow."""

    @classmethod
    def from_si(cls, **values: Any) -> Self:
        """Return one from plain floats in SI units: no text, for sliders and sampling."""
        for field in cls.__attrs_attrs__:
            name = argument_name(field)
            dimension = dimension_of(field)
            if dimension and isinstance(values.get(name), float):
                values[name] = SI(values[name], dimension)
        return cls(**values)

    def with_(self, **changes: Any) -> Self:
        """Return a copy with some values changed, checked again."""
        fields = [field for field in type(self).__attrs_attrs__ if field.init]
        values = {argument_name(field): getattr(self, field.name) for field in fields}
        return type(self)(**(values | changes))

    def __repr__(self) -> str:
        shown = []
        for field in type(self).__attrs_attrs__:
            value = getattr(self, field.name)
            if not field.repr or value == field.default:
                continue
            text = value.written() if isinstance(value, SI) else repr(value)
            shown.append(f"{argument_name(field)}={text}")
        return f"{type(self).__name__}({', '.join(shown)})"


def _shown(value: object) -> str:
    return value.written() if isinstance(value, SI) else f"{value}"


def _limit(value: object, bound: float) -> str:
    return value.written(bound) if isinstance(value, SI) else f"{bound:g}"


def positive(instance: object, field: attrs.Attribute[Any], value: float) -> None:
    """Refuse a value that is not more than zero."""
    if value <= 0:
        raise broken("must be more than zero", _shown(value)).named(argument_name(field))


def not_negative(instance: object, field: attrs.Attribute[Any], value: float) -> None:
    """Refuse a value below zero."""
    if value < 0:
        raise broken("must not be less than zero", _shown(value)).named(argument_name(field))


def within(low: float, high: float, remedy: str = "") -> Validator:
    """Return a validator that refuses a value outside [low, high] (SI)."""

    def check(instance: object, field: attrs.Attribute[Any], value: float | None) -> None:
        if value is None or low <= value <= high:
            return
        rule = f"must be between {_limit(value, low)} and {_limit(value, high)}"
        raise broken(rule, _shown(value), remedy).named(argument_name(field))

    return check


class OneOf:
    """A validator that refuses any text but `choices`."""

    def __init__(self, choices: tuple[str, ...]) -> None:
        self.choices = choices

    def __call__(self, instance: object, field: attrs.Attribute[Any], value: str | None) -> None:
        """Refuse a `value` that is not among the choices."""
        if value not in self.choices:
            known = nearest(value if isinstance(value, str) else "", self.choices)
            raise broken("is not a known choice", typed(value), known).named(argument_name(field))


def one_of(*choices: str) -> OneOf:
    """Return a validator that refuses any text but `choices`."""
    return OneOf(choices)


def a(kind: type) -> Validator:
    """Return a validator that refuses a value that is not a `kind`."""

    def check(instance: object, field: attrs.Attribute[Any], value: object) -> None:
        if not isinstance(value, kind):
            got = "nothing" if value is None else type(value).__name__
            raise broken(f"must be a {kind.__name__}", got).named(argument_name(field))

    return check


def require(value: object, kind: type[_Kind], name: str) -> _Kind:
    """Return `value` if it is a `kind`, or refuse it by the `name` of the argument.

    >>> require("3 in", float, "tube")
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: tube must be a float (got text '3 in'); make one with float(…)
    """
    if isinstance(value, kind):
        return value
    got = f"text {value!r}" if isinstance(value, str) else type(value).__name__
    if value is None:
        got = "nothing"
    article = "an" if kind.__name__[0] in "AEIOU" else "a"
    rule = f"must be {article} {kind.__name__}"
    order = "check the order, or " if isinstance(value, Description) else ""
    raise broken(rule, got, f"{order}make one with {kind.__name__}(…)").named(name)
