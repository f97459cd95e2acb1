"""SI to shop units, tables, and how results show themselves.

Nothing here computes: a number on the screen exists in a result or it does not exist.
"""

from __future__ import annotations

import html
import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from exhaust.errors import broken, nearest

if TYPE_CHECKING:
    import pandas as pd

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
    "run": ("m", Style("ft", 0.3048, 1), Style("m", 1.0, 2)),
    "area": ("m^2", Style("in²", _IN**2, 2), Style("cm²", 1e-4, 1)),
    "volume": ("m^3", Style("in³", _IN**3, 1), Style("L", 1e-3, 2)),
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
    "percent": ("", Style("%", 1e-2, 1), Style("%", 1e-2, 1)),
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


class Fact(NamedTuple):
    """One line of a result: a name, a value [SI] or text, its kind, and a note."""

    name: str
    value: float | str | None
    kind: str = "text"
    note: str = ""

    def text(self, system: System | None = None) -> str:
        """Return the value as it is shown."""
        if self.kind == "cut" and isinstance(self.value, (int, float)):
            return cut_length(self.value, system)
        return quantity(self.value, self.kind, system)


class Column(NamedTuple):
    """One column of a table."""

    key: str  # for the data frame and results.json
    title: str  # for a reader
    kind: str = "text"

    def heading(self, system: System | None = None) -> str:
        """Return the title with its unit in shop units."""
        unit = style(self.kind, system).unit
        return f"{self.title} [{unit}]" if unit else self.title

    def si_heading(self) -> str:
        """Return the key with its SI unit, as a data frame has it."""
        unit = KINDS[self.kind][0]
        return f"{self.key} [{unit}]" if unit else self.key


class Table(NamedTuple):
    """Rows of values [SI] under named columns."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[float | str, ...], ...]
    marked: int | None = None  # the row to point at

    def frame(self) -> pd.DataFrame:
        """Return a pandas table in SI units, the unit in each heading."""
        import pandas as pd

        return pd.DataFrame(self.rows, columns=[column.si_heading() for column in self.columns])

    def texts(self, system: System | None = None) -> list[list[str]]:
        """Return every cell as it is shown."""
        return [
            [
                value if isinstance(value, str) else number(value, column.kind, system)
                for column, value in zip(self.columns, row, strict=True)
            ]
            for row in self.rows
        ]

    def html(self, system: System | None = None) -> str:
        """Return the table as HTML in shop units."""
        head = "".join(f"<th>{html.escape(c.heading(system))}</th>" for c in self.columns)
        lines = []
        for index, row in enumerate(self.texts(system)):
            mark = ' class="chosen"' if index == self.marked else ""
            cells = "".join(
                f"<td{'' if column.kind == 'text' else ALIGN_RIGHT}>{html.escape(cell)}</td>"
                for column, cell in zip(self.columns, row, strict=True)
            )
            lines.append(f"<tr{mark}>{cells}</tr>")
        return f"<table><thead><tr>{head}</tr></thead><tbody>{''.join(lines)}</tbody></table>"


ALIGN_RIGHT = ' class="number"'


class Result:
    """Base of every result: shows itself in a notebook, gives a table and its assumptions.

    A result is frozen and complete when made. `assumptions` says in words what was assumed,
    the most important first.
    """

    title: str = ""
    assumptions: tuple[str, ...] = ()

    def facts(self) -> Sequence[Fact]:
        """Return the headline lines."""
        raise NotImplementedError

    def rows(self) -> Table | None:
        """Return the table of the result, if it is more than its facts."""
        return None

    @property
    def table(self) -> pd.DataFrame:
        """The result as a pandas table in SI units."""
        rows = self.rows()
        if rows is not None:
            return rows.frame()
        columns = (Column("name", "name"), Column("value", "value"), Column("unit", "unit"))
        values = tuple((f.name, f.value or 0.0, KINDS[f.kind][0]) for f in self.facts())
        return Table(columns, values).frame()

    def __repr__(self) -> str:
        shown = ", ".join(f"{fact.name} {fact.text()}" for fact in list(self.facts())[:3])
        return f"<{type(self).__name__}: {shown}>"

    def _repr_html_(self) -> str:
        return result_html(self)


def result_html(result: Result, system: System | None = None) -> str:
    """Return a result as HTML: title, facts, table, assumptions."""
    parts = [f"<h4>{html.escape(result.title)}</h4>"] if result.title else []
    parts.append(facts_html(result.facts(), system))
    rows = result.rows()
    if rows is not None:
        parts.append(rows.html(system))
    if result.assumptions:
        items = "".join(f"<li>{html.escape(line)}</li>" for line in result.assumptions)
        parts.append(f"<p>Assumed:</p><ol>{items}</ol>")
    return f'<div class="exhaust-result">{"".join(parts)}</div>'


def facts_html(facts: Sequence[Fact], system: System | None = None) -> str:
    """Return facts as a two- or three-column HTML table."""
    lines = "".join(
        f"<tr><th>{html.escape(fact.name)}</th><td>{html.escape(fact.text(system))}</td>"
        f"<td>{html.escape(fact.note)}</td></tr>"
        for fact in facts
    )
    return f'<table class="facts"><tbody>{lines}</tbody></table>'


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
