"""The keys of the job file, taken from the fields of the descriptions they fill.

A key is checked by the converter and the validator of its own field, so that the job file and
Python say the same of the same mistake. Nothing here knows one section from another.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Sequence
from typing import Any, NamedTuple, TypeVar

import attrs

from exhaust import units
from exhaust.describe import Description, argument_name, convert, dimension_of
from exhaust.errors import ExhaustError, JobError, broken, nearest
from exhaust.show import SYSTEMS
from exhaust.show import System as Units

# The unit that a bare number is in, by dimension, where a job is in (inch, metric). A field for
# which another is usual says so in its metadata, as "bare".
BARE = {
    "length": ("in", "mm"),
    "volume": ("in^3", "L"),
    "angle": ("deg", "deg"),
    "speed": ("rpm", "rpm"),
    "temperature": ("degF", "degC"),
    "pressure": ("psi", "kPa"),
    "velocity": ("ft/s", "m/s"),
    "volume_flow": ("cfm", "L/s"),
    "power": ("hp", "kW"),
    "fuel_per_energy": ("lb/hp/h", "g/kWh"),
    "price_per_length": ("/ft", "/m"),
}
_BARE_NUMBER = re.compile(rf"\s*{units.NUMBER}\s*")

LARGEST = 10**12  # no number of a job is larger; floats of larger whole numbers may overflow

Made = TypeVar("Made")
Read = Callable[[str, object], Any]  # (place in the file, value as written) -> value


class Key(NamedTuple):
    """One key of a section: its name in the file, the argument it fills, how it is read.

    `field` is that of the description, where there is one of its own; `many` says of a list what
    its entries are: a dimension, "count" or "text".
    """

    name: str
    argument: str
    read: Read
    required: bool = False
    example: str = "…"  # as the file writes it
    field: attrs.Attribute[Any] | None = None
    many: str = ""

    def unit(self, system: Units) -> str:
        """Return the unit that a bare number is in; nothing where it stays bare.

        >>> from exhaust.engine import Ambient
        >>> [key.unit("inch") for key in keys_of(Ambient)]
        ['ft', 'degF', '']
        """
        own = None if self.field is None else dimension_of(self.field)
        dimension = self.many or own
        if dimension not in BARE:
            return ""
        usual = self.field.metadata.get("bare") if self.field is not None else None
        return str((usual or BARE[dimension])[SYSTEMS.index(system)])


def keys_of(description: type[Description], without: Collection[str] = ()) -> tuple[Key, ...]:
    """Return the keys of the fields of `description`, but for those in `without`.

    >>> from exhaust.stock import Tube
    >>> [key.name for key in keys_of(Tube)]
    ['od', 'wall', 'material']
    """
    fields = [field for field in description.__attrs_attrs__ if field.init]
    return tuple(_key(field) for field in fields if argument_name(field) not in without)


def _key(field: attrs.Attribute[Any]) -> Key:
    argument = argument_name(field)
    dimension = dimension_of(field)
    example = "…" if dimension is None else f'"{units.DIMENSIONS[dimension].example}"'

    def read(place: str, value: object) -> Any:
        return read_field(field, place, value)

    needed = field.default is attrs.NOTHING
    return Key(argument.rstrip("_"), argument, read, needed, example, field, _entries_of(field))


def _entries_of(field: attrs.Attribute[Any]) -> str:
    kind = str(field.type)
    if not kind.startswith("tuple"):
        return ""
    return str(field.metadata.get("each", "count" if kind.startswith("tuple[int") else "text"))


def read_field(field: attrs.Attribute[Any], place: str, value: object) -> Any:
    """Return `value` as `field` keeps it, checked; an error names `place`.

    >>> from exhaust.stock import Tube
    >>> read_field(Tube.__attrs_attrs__[0], "tube.od", 3)
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: tube.od must be a length with a unit (got 3); write it like "3 in"
    """
    named = field.evolve(name=place, alias=place)
    converted = convert(named, value)
    if named.validator is not None:
        named.validator(None, named, converted)
    return converted


def with_unit(text: str, unit: str) -> str:
    """Return `text` with `unit` behind it if it is a bare number.

    >>> with_unit("2-1/2", "in"), with_unit("60 mm", "in")
    ('2-1/2 in', '60 mm')
    """
    return f"{text.strip()} {unit}" if unit and _BARE_NUMBER.fullmatch(text) else text


def some_of(place: str, value: object, read: Read) -> tuple[Any, ...]:
    """Return a list read entry by entry; every mistake in it is reported."""
    if not isinstance(value, list):
        raise broken("must be a list, in [ ]", _written(value)).named(place)
    mistakes: list[str] = []
    entries = []
    for number, entry in enumerate(value, start=1):
        entries.append(attempt(f"{place} {number}", entry, read, mistakes))
    if mistakes:
        raise JobError(mistakes)
    return tuple(entries)


def attempt(place: str, value: object, read: Read, mistakes: list[str]) -> Any:
    """Return `value` as `read` gives it, or None with what is wrong added to `mistakes`."""
    if isinstance(value, (int, float)) and abs(value) > LARGEST and abs(value) < float("inf"):
        mistakes.append(f"{place} is far too large a number; check it")
        return None
    try:
        return read(place, value)
    except JobError as error:
        mistakes.extend(error.mistakes)
    except ExhaustError as error:
        mistakes.append(_placed(place, str(error)))
    return None


def read_table(
    place: str, given: object, keys: Sequence[Key], mistakes: list[str]
) -> dict[str, Any] | None:
    """Return the values of one section by argument, or None if anything in it is wrong.

    >>> from exhaust.stock import Tube
    >>> mistakes = []
    >>> read_table("tube", {"od": "3 in", "wal": "16 ga"}, keys_of(Tube), mistakes)
    >>> mistakes
    ['tube.wal is not a key of tube; nearest: "wall"', 'tube.wall is missing; for example ...']
    """
    if not isinstance(given, dict):
        mistakes.append(f"{place} must be a section of keys and values (got {_written(given)})")
        return None
    before = len(mistakes)
    known = {key.name: key for key in keys}
    for name in given:
        if name not in known:
            mistakes.append(f"{place}.{name} is not a key of {place}; {nearest(name, known)}")
    values = {}
    for key in keys:
        if key.name in given:
            here = f"{place}.{key.name}"
            values[key.argument] = attempt(here, given[key.name], key.read, mistakes)
        elif key.required:
            example = f"for example {key.name} = {key.example}"
            remedy = f"add {key.name} = …" if key.example == "…" else example
            mistakes.append(f"{place}.{key.name} is missing; {remedy}")
    return values if len(mistakes) == before else None


def build(
    place: str, maker: Callable[..., Made], values: dict[str, Any] | None, mistakes: list[str]
) -> Made | None:
    """Return `maker` of `values`, or None with what is wrong added to `mistakes`.

    None for `values` means that its own mistakes are known already.

    >>> from exhaust.stock import Tube
    >>> mistakes = []
    >>> build("tube", Tube, {"od": "3 in", "wall": "2 in"}, mistakes)
    >>> mistakes
    ['tube.wall must be less than half of od 3 in (got 2 in); check which number is the wall']
    """
    if values is None:
        return None
    try:
        return maker(**values)
    except ExhaustError as error:
        own = getattr(getattr(maker, "func", maker), "__name__", "")  # as Python calls it
        message = str(error)
        if own and message.startswith(f"{own} "):
            message = place + message.removeprefix(own)
        mistakes.append(_placed(place, message, values))
        return None


def _placed(place: str, message: str, values: Collection[str] = ()) -> str:
    """Return `message` starting with its key."""
    if message.startswith((f"{place} ", f"{place}:", f"{place}.")):
        return message
    if message.split(" ", 1)[0] in values:
        return f"{place}.{message}"
    return f"{place}: {message}"


def _written(value: object) -> str:
    if isinstance(value, list):
        return "a list"
    return "a section" if isinstance(value, dict) else repr(value)
