"""What a result is made of on the screen: facts, and tables of values in SI."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING, NamedTuple

from exhaust.show.numbers import KINDS, System, cut_length, number, quantity, style

if TYPE_CHECKING:
    import pandas as pd


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
        looks = ["words" if column.kind == "text" else "number" for column in self.columns]
        head = "".join(
            f'<th class="{look}">{html.escape(column.heading(system))}</th>'
            for look, column in zip(looks, self.columns, strict=True)
        )
        lines = []
        for index, row in enumerate(self.texts(system)):
            mark = ' class="chosen"' if index == self.marked else ""
            cells = "".join(
                f'<td class="{look}">{html.escape(cell)}</td>'
                for look, cell in zip(looks, row, strict=True)
            )
            lines.append(f"<tr{mark}>{cells}</tr>")
        return f"<table><thead><tr>{head}</tr></thead><tbody>{''.join(lines)}</tbody></table>"
