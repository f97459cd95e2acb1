"""What a job file says and may say, one entry for each key: what a form has to ask.

Names, units, choices and what is usual come from the fields that the keys fill.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple

import attrs

from exhaust import tables
from exhaust.choices import Limits, Room
from exhaust.cutmath.fit import Tolerances
from exhaust.cutmath.measured import Measured
from exhaust.cutmath.supply import PurgeGas
from exhaust.describe import OneOf
from exhaust.engine import Ambient, Cam, Engine, OperatingPoint
from exhaust.job.description import About
from exhaust.job.editing import FILE
from exhaust.job.keys import Key, keys_of, with_unit
from exhaust.job.layout import PLACES
from exhaust.job.sections import (
    BEND_KEYS,
    JOINTS,
    PARALLEL_X,
    SYSTEM_KEYS,
    after_build_keys,
    bench_keys,
    header_keys,
    run_keys,
    shelf_keys,
    stock_keys,
)
from exhaust.job.text import with_comments
from exhaust.show import SYSTEMS
from exhaust.show import System as Units
from exhaust.stock import Saw, Tube
from exhaust.system import Inlet, Sensor
from exhaust.units import SI, quantity

_WHOLE = re.compile(r"[+-]?\d{1,18}")
_DECIMAL = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")
_BETWEEN = {"count": r"[\s,;-]+", "": r"\s*[,;]\s*"}
UNITS = Key("units", "units", lambda place, value: value, True)


class Entry(NamedTuple):
    """One key of a job file as it is asked for."""

    place: str  # "engine.displacement", "run 2.length"
    key: Key
    typed: str  # as it stands in the file; nothing if it is left out
    unit: str  # that a bare number is in
    usual: str  # what holds where it is left out, if anything does
    choices: tuple[str, ...]  # what it may be, where that is known
    remark: str  # that stands behind it in the file
    in_line: bool  # whether it can be typed on one line

    @property
    def words(self) -> str:
        """What it is called."""
        return self.key.name.replace("_", " ")

    def value(self, typed: str) -> Any:
        """Return what was typed as the file is to hold it; None for nothing.

        A bare number gets its unit. What cannot be read stays as it is, for the reader to refuse.

        >>> first = sections_of('units = "inch"')["tube"][0]
        >>> first.value("2-1/2"), first.value("60 mm"), first.value(" ")
        ('2-1/2 in', '60 mm', None)
        """
        text = typed.strip()
        if not text:
            return None
        if self.key.many:
            parts = re.split(_BETWEEN.get(self.key.many, _BETWEEN[""]), text)
            return [self._one(part) for part in parts if part]
        return self._one(text)

    def _one(self, text: str) -> Any:
        if self.unit:
            return with_unit(text, self.unit)
        field = self.key.field
        kind = "str" if field is None else str(field.type)
        if self.key.many == "count" or (not self.key.many and kind.startswith(("int", "float"))):
            if _WHOLE.fullmatch(text):
                return int(text)
            if _DECIMAL.fullmatch(text):
                return float(text)
        return text


def sections_of(text: str, path: str | Path = FILE) -> dict[str, tuple[Entry, ...]]:
    """Return every entry of the job file `text` by section, in the order of reading.

    Sections that the file does not have are there too, empty; of those written [[ ]] there is
    one for each that the file has, "run 1", "run 2".

    >>> sections = sections_of('units = "metric"\\n[tube]\\nod = "60 mm"  # in the rack')
    >>> [(one.words, one.typed, one.unit, one.remark) for one in sections["tube"]][:2]
    [('od', '60 mm', 'mm', 'in the rack'), ('wall', '', 'mm', '')]
    """
    document: Any = with_comments(text, Path(path))
    said = document.get("units")
    system: Units = "metric" if said == "metric" else "inch"
    top = _entry("units", UNITS, document, system)._replace(choices=SYSTEMS)
    found: dict[str, tuple[Entry, ...]] = {"": (top,)}
    for name, keys in _keys(document, system).items():
        given = document.get(name, {})
        many = isinstance(given, list)
        for number, table in enumerate(given if many else [given], start=1):
            place = f"{name} {number}" if many else name
            found[place] = _section(place, keys, table, system)
        if name in _MANY and not many:
            del found[name]
    return found


_MANY = ("run", "inlet", *PLACES, "sensor")


def _keys(document: Mapping[str, Any], system: Units) -> dict[str, tuple[Key, ...]]:
    """Return the keys of every section, those of the joint by its kind."""
    joint = document.get("joint", {})
    kind = joint.get("kind") if isinstance(joint, Mapping) else None
    known = kind if isinstance(kind, str) and kind in JOINTS else PARALLEL_X
    plain: dict[str, Any] = {
        **{"job": About, "engine": Engine, "duty": OperatingPoint, "ambient": Ambient},
        **{"tube": Tube, "saw": Saw, "room": Room, "limits": Limits, "purge": PurgeGas},
        **{"tolerances": Tolerances, "cam": Cam, "inlet": Inlet, "sensor": Sensor, **PLACES},
    }
    keys = {name: keys_of(description) for name, description in plain.items()} | {
        "bend": BEND_KEYS,
        "system": SYSTEM_KEYS,
        "run": run_keys(),
        "joint": JOINTS[known].keys,
        "shelf": shelf_keys(),
        "stock": stock_keys(),
        "header": header_keys(),
        "measured": bench_keys(Measured, system),
        "after_build": after_build_keys(system),
    }
    return {name: keys[name] for name in ORDER}


ORDER = (
    *("job", "engine", "duty", "ambient", "tube", "shelf", "limits", "bend", "joint", "room"),
    *("saw", "tolerances", "stock", "purge", "system", *_MANY, "measured", "after_build"),
    *("cam", "header"),
)


def _section(place: str, keys: tuple[Key, ...], table: Any, system: Units) -> tuple[Entry, ...]:
    """Return the entries of one section, those first that are known."""
    given = table if isinstance(table, Mapping) else {}
    known = {key.name for key in keys}
    extra = (Key(name, name, lambda place, value: value) for name in given if name not in known)
    return tuple(_entry(f"{place}.{key.name}", key, given, system) for key in (*keys, *extra))


def _entry(place: str, key: Key, given: Mapping[str, Any], system: Units) -> Entry:
    item = given.get(key.name)
    trivia = getattr(item, "trivia", None)
    unit = key.unit(system)
    return Entry(
        place=place,
        key=key,
        typed="" if item is None else _typed(item),
        unit=unit,
        usual=_usual(key, unit),
        choices=_choices(key),
        remark="" if trivia is None else trivia.comment.lstrip("# "),
        in_line=_in_line(item),
    )


def _typed(item: Any) -> str:
    """Return a value of the file as it is typed into a form."""
    if isinstance(item, str):
        return str(item)
    if isinstance(item, list) and _in_line(item):
        return ", ".join(_typed(one) for one in item)
    return " ".join(item.as_string().split())


def _in_line(item: Any) -> bool:
    return not isinstance(item, Mapping) and not (
        isinstance(item, list) and any(isinstance(one, (Mapping, list)) for one in item)
    )


def _choices(key: Key) -> tuple[str, ...]:
    field = key.field
    if key.name == "kind" and field is None:
        return tuple(JOINTS)
    if field is None:
        return ()
    if isinstance(field.validator, OneOf):
        return field.validator.choices
    if "table" in field.metadata:
        name, column = field.metadata["table"]
        return tuple(row[column] for row in tables.read(name))
    return ()


def _usual(key: Key, unit: str) -> str:
    """Return what holds where the key is left out, in `unit` where it is a quantity."""
    usual = None if key.field is None else key.field.default
    if usual is None or usual is attrs.NOTHING or usual == () or usual == "":
        return ""
    if isinstance(usual, tuple):
        return ", ".join(one.written() if isinstance(one, SI) else str(one) for one in usual)
    if isinstance(usual, SI) and unit:
        in_unit = quantity(f"1 {unit}", usual.dimension)
        number = (usual - in_unit.offset) / in_unit.scale
        return f"{number:.3g} {unit}"
    return f"{usual:g}" if isinstance(usual, (int, float)) else str(usual)
