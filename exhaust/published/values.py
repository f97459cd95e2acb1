"""Published values, one a row of data/published/*.csv; a file is named for its source.

A row says what was published, at which inputs (the columns of its own file, unit in the header),
how far ours may lie from it and why so far, where the number comes from, and, where ours is known
to lie farther off, the reason.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from types import MappingProxyType

import attrs

from exhaust import tables
from exhaust.errors import ExhaustError, broken, nearest

FIXED = (
    *("what", "published", "unit", "tolerance", "tolerance_share", "because", "differs"),
    *("taken", "source", "where"),
)
# How the number got here; none of these is the book lying open.
TAKEN = MappingProxyType(
    {
        "seen": "read where it was published",
        "quoted": "as another open work quotes it",
        "memory": "from memory",
        "worked": "worked out apart from this package, by the source's own formula",
    }
)
UNITS = MappingProxyType(  # how a header has them, and how they are read
    {
        **{unit: f" {unit}" for unit in ("mm", "m", "K", "Hz")},
        **{"m_per_s": " m/s", "W_per_m_K": " W/m/K", "deg": "°", "degC": " °C"},
    }
)
PEOPLE = ("mach", "prandtl", "rayleigh", "reynolds")

Input = float | str


@attrs.frozen(kw_only=True)
class Value:
    """One published number, `printed` in `unit`, and what it is good for.

    >>> one = values("iec61672")[0]
    >>> one
    iec61672: weighting A for the ear, frequency 31.5 Hz
    >>> one.printed, one.unit, one.tolerance, one.taken
    ('-39.4', 'dB', 0.06, 'memory')
    """

    source: str
    where: str
    what: str
    inputs: MappingProxyType[str, Input]  # by column, in the unit of its header
    printed: str
    unit: str
    tolerance: float  # in the same unit
    because: str  # why so much and no more
    differs: str  # why ours lies outside that, where it does
    taken: str  # one of TAKEN

    @property
    def number(self) -> float:
        """The published number."""
        return float(self.printed)

    @property
    def at(self) -> str:
        """The inputs in words."""
        return ", ".join(_said(column, value) for column, value in self.inputs.items())

    def __repr__(self) -> str:
        return f"{self.source}: {self.what}" + (f", {self.at}" if self.inputs else "")


def sources() -> tuple[str, ...]:
    """Return the keys of all sources that have published values here.

    >>> "iso2533" in sources()
    True
    """
    folder = tables.shipped("data") / "published"
    return tuple(sorted(path.stem for path in folder.glob("*.csv")))


@lru_cache(maxsize=64)
def values(source: str, what: str = "") -> tuple[Value, ...]:
    """Return the published values of a source, or those of one quantity of it.

    >>> len(values("iec61672")), len(values("iec61672", "weighting A for the ear"))
    (9, 9)
    >>> values("iso2353")
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: there are no published values of 'iso2353'; nearest: "iso2533"
    """
    if source not in sources():
        hint = nearest(source, sources())
        raise ExhaustError(f"there are no published values of {source!r}; {hint}")
    found = tuple(_values(source))
    return tuple(one for one in found if one.what == what) if what else found


def _values(source: str) -> Iterator[Value]:
    for line, row in enumerate(tables.read(f"published/{source}"), start=2):
        try:
            yield value_of(row)
        except ExhaustError as error:
            raise ExhaustError(f"data/published/{source}.csv line {line}: {error}") from error


def value_of(row: MappingProxyType[str, str]) -> Value:
    """Return a row as a published value; refuses one that says too little.

    Raises ExhaustError without a number, a tolerance and its reason, or for an unknown origin.
    """
    share, absolute = row["tolerance_share"], row["tolerance"]
    if bool(share) == bool(absolute):
        raise broken("must stand either in the unit or as a share").named("tolerance")
    if not row["because"]:
        raise broken("must say why the tolerance is what it is").named("because")
    if row["taken"] not in TAKEN:
        raise broken("is not known", row["taken"], nearest(row["taken"], TAKEN)).named("taken")
    inputs = {key: _input(text) for key, text in row.items() if text and key not in FIXED}
    published = _number(row["published"], "published")
    tolerance = _number(share or absolute, "tolerance") * (abs(published) if share else 1.0)
    if not tolerance > 0:
        raise broken("must be more than zero").named("tolerance")
    return Value(
        **{key: row[key] for key in ("source", "where", "what", "unit", "because", "taken")},
        inputs=MappingProxyType(inputs),
        printed=row["published"],
        tolerance=tolerance,
        differs=row.get("differs", ""),
    )


def _number(text: str, name: str) -> float:
    try:
        return float(text)
    except ValueError as error:
        raise broken("must be a number", repr(text)).named(name) from error


def _input(text: str) -> Input:
    try:
        return float(text)
    except ValueError:
        return text


def _said(column: str, value: Input) -> str:
    """Return an input in words: "altitude 500 m"; text speaks for itself."""
    if isinstance(value, str):
        return value
    unit = next((u for u in UNITS if column.endswith(f"_{u}")), "")
    words = column.removesuffix(f"_{unit}").split("_")
    name = " ".join(word.capitalize() if word in PEOPLE else word for word in words)
    return f"{name} {value:.7g}{UNITS.get(unit, '')}"
