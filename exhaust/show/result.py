"""How results show themselves: in a notebook, as a table, and in a word or two."""

from __future__ import annotations

import html
from collections.abc import Sequence
from typing import TYPE_CHECKING

from exhaust.show.numbers import KINDS, System, spread
from exhaust.show.table import Column, Fact, Table

if TYPE_CHECKING:
    import pandas as pd


# A notebook aligns every cell of a table to the right; words read better from the left.
STYLE = """<style>
.exhaust-result table { border-collapse: collapse; }
.exhaust-result th, .exhaust-result td { text-align: left !important; vertical-align: top; }
.exhaust-result thead th { vertical-align: bottom; }
.exhaust-result td.number, .exhaust-result th.number { text-align: right !important; }
.exhaust-result td.words { min-width: 6em; }
.exhaust-result td.words:first-child, .exhaust-result .facts th { white-space: nowrap; }
.exhaust-result tr.chosen td { font-weight: bold; }
</style>"""


class Result:
    """Base of every result: shows itself in a notebook, gives a table and its assumptions.

    A result is frozen and complete when made. `reason` is its answer in words, where it has one;
    `assumptions` says what was assumed, the most important first.
    """

    title: str = ""
    reason: str = ""
    assumptions: tuple[str, ...] = ()

    def facts(self) -> Sequence[Fact]:
        """Return the headline lines."""
        raise NotImplementedError

    def rows(self) -> Table | None:
        """Return the table of the result, if it is more than its facts."""
        return None

    def body_html(self, system: System | None = None) -> str:
        """Return facts and table as HTML; a result made of steps shows those."""
        rows = self.rows()
        return facts_html(banded(self.facts(), system), system) + (
            "" if rows is None else rows.html(system)
        )

    @property
    def table(self) -> pd.DataFrame:
        """The result as a pandas table in SI units."""
        rows = self.rows()
        if rows is not None:
            return rows.frame()
        columns = (Column("name", "name"), Column("value", "value"), Column("unit", "unit"))
        values = tuple(
            (fact.name, "–" if fact.value is None else fact.value, KINDS[fact.kind][0])
            for fact in self.facts()
        )
        return Table(columns, values).frame()

    def __repr__(self) -> str:
        shown = ", ".join(f"{fact.name} {fact.text()}" for fact in list(self.facts())[:3])
        return f"<{type(self).__name__}: {shown}>"

    def _repr_html_(self) -> str:
        return result_html(self)


def result_html(result: Result, system: System | None = None) -> str:
    """Return a result as HTML: title, answer, facts, table, and the first assumption in view."""
    parts = [STYLE]
    if result.title:
        parts.append(f"<h4>{html.escape(result.title)}</h4>")
    if result.reason:
        parts.append(f"<p><strong>{html.escape(result.reason)}</strong></p>")
    parts.append(result.body_html(system))
    parts.append(assumptions_html(result.assumptions))
    return f'<div class="exhaust-result">{"".join(parts)}</div>'


def assumptions_html(assumptions: Sequence[str]) -> str:
    """Return the first assumption in view and the others folded away."""
    if not assumptions:
        return ""
    first, *rest = (html.escape(line) for line in assumptions)
    text = f"<p>Assumed: {first}</p>"
    if rest:
        items = "".join(f"<li>{line}</li>" for line in rest)
        text += f"<details><summary>and {len(rest)} more</summary><ul>{items}</ul></details>"
    return text


def facts_html(facts: Sequence[Fact], system: System | None = None) -> str:
    """Return facts as an HTML table: name, value, note."""
    lines = "".join(
        f"<tr><th>{html.escape(fact.name)}</th>"
        f'<td class="{"words" if fact.kind == "text" else "number"}">'
        f"{html.escape(fact.text(system))}</td><td>{html.escape(fact.note)}</td></tr>"
        for fact in facts
    )
    return f'<table class="facts"><tbody>{lines}</tbody></table>'


def items_html(title: str, lines: Sequence[str]) -> str:
    """Return lines as an HTML list under a heading; no lines, nothing.

    >>> items_html("Mind", ["the tip"])
    '<h5>Mind</h5><ul><li>the tip</li></ul>'
    """
    items = "".join(f"<li>{html.escape(line)}</li>" for line in lines)
    return f"<h5>{html.escape(title)}</h5><ul>{items}</ul>" if lines else ""


def banded(facts: Sequence[Fact], system: System | None = None) -> list[Fact]:
    """Return `facts` with each "…, low" and "…, high" moved to the note of its own line.

    >>> lines = [Fact("cost", 0.02, "percent"), Fact("cost, low", 0.01, "percent"),
    ...          Fact("cost, high", 0.03, "percent")]
    >>> banded(lines)
    [Fact(name='cost', value=0.02, kind='percent', note='1.0 to 3.0 %')]
    """
    named = {fact.name: fact.value for fact in facts}
    found = []
    for fact in facts:
        low, high = named.get(f"{fact.name}, low"), named.get(f"{fact.name}, high")
        if isinstance(low, float) and isinstance(high, float):
            band = spread(low, high, fact.kind, system)
            found.append(fact._replace(note=f"{band}; {fact.note}" if fact.note else band))
        elif not fact.name.endswith((", low", ", high")):
            found.append(fact)
    return found
