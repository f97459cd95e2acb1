"""Results: the checks of one source, and all sources over against each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from exhaust import tables
from exhaust.errors import ExhaustError, nearest
from exhaust.published.checks import Check, check
from exhaust.published.values import TAKEN, sources, values
from exhaust.show import Column, Fact, Result, Table, facts_html, items_html

if TYPE_CHECKING:
    import pandas as pd

    from exhaust.show import System

ROWS = (
    Column("source", "source"),
    Column("what", "what"),
    Column("at", "at"),
    Column("published", "published"),
    Column("ours", "ours"),
    Column("difference", "difference"),
    Column("tolerance", "tolerance"),
    Column("judgement", "judgement"),
)
SUMMARY = (
    Column("source", "source"),
    Column("citation", "what it is"),
    Column("checks", "checks", "count"),
    Column("agree", "agree", "count"),
    Column("differ", "differ", "count"),
    Column("farthest", "farthest, over tolerance", "ratio"),
)

SHORT = 30  # rows; a longer table is folded


@attrs.frozen(kw_only=True, repr=False)
class Checks(Result):
    """Some checks, one a row: published, ours, difference, tolerance and judgement."""

    checks: tuple[Check, ...]
    title: str = ""

    @property
    def differing(self) -> Checks:
        """Those that lie outside their tolerance, with the reason."""
        found = tuple(one for one in self.checks if not one.agrees)
        return Checks(checks=found, title="What differs, and why")

    @property
    def reason(self) -> str:  # type: ignore[override]
        """How many agree, in words."""
        count = len(self.checks)
        differ = sum(not one.agrees for one in self.checks)
        surprises = sum(not one.sound for one in self.checks)
        why = f", and {surprises} not as expected" if surprises else ", for reasons that are known"
        if not count:
            return "Nothing differs."
        if differ == count:
            return f"{_counted(count)} differ{why}."
        if differ:
            return f"{count - differ} of {_counted(count)} agree; {differ} differ{why}."
        return f"All {_counted(count)} agree." if count > 1 else "The one check agrees."

    def facts(self) -> list[Fact]:
        """Return how many there are, agree and differ, and how the published numbers got here."""
        agree = sum(one.agrees for one in self.checks)
        counted = [
            Fact("checks", len(self.checks), "count"),
            Fact("agree", agree, "count"),
            Fact("differ", len(self.checks) - agree, "count"),
        ]
        for taken, words in TAKEN.items():
            count = sum(one.value.taken == taken for one in self.checks)
            counted += [Fact(f"value {words}", count, "count")] if count else []
        return counted

    def rows(self) -> Table:
        """Return a row a check, as text: published as printed, ours to what the tolerance tells."""
        return Table(ROWS, tuple(_shown(one) for one in self.checks))

    def body_html(self, system: System | None = None) -> str:
        """Return the table, then why the tolerances are what they are and where values stand."""
        because = dict.fromkeys(one.value.because for one in self.checks)
        where = dict.fromkeys(_where(one) for one in self.checks)
        rows = self.rows()
        if len({one.value.source for one in self.checks}) == 1:
            rows = Table(rows.columns[1:], tuple(row[1:] for row in rows.rows))
        tail = items_html("Tolerances", list(because)) + items_html("Where it stands", list(where))
        fold = "" if len(self.checks) > SHORT else " open"
        summary = f"<summary>{_counted(len(self.checks))}</summary>"
        return f"<details{fold}>{summary}{rows.html(system)}{tail}</details>"

    @property
    def table(self) -> pd.DataFrame:
        """The checks as a pandas table of numbers, each in the unit of its row."""
        values = tuple(_numbers(one) for one in self.checks)
        return Table((*ROWS, Column("unit", "unit")), values).frame()


@attrs.frozen(kw_only=True, repr=False)
class PublishedChecks(Checks):
    """All checks; shows a line a source, and `of` a source shows its own."""

    title: str = "Ours beside published, by source"

    def of(self, source: str) -> Checks:
        """Return the checks of one source; raises ExhaustError for one that is not there.

        >>> published_checks("iso80000").of("iso80000").reason
        'All 2 checks agree.'
        """
        found = tuple(one for one in self.checks if one.value.source == source)
        if not found:
            known = dict.fromkeys(one.value.source for one in self.checks)
            raise ExhaustError(f"no check of {source!r} is among these; {nearest(source, known)}")
        return Checks(checks=found, title=tables.sources()[source])

    def summary(self) -> Table:
        """Return a line a source."""
        keys = dict.fromkeys(one.value.source for one in self.checks)
        return Table(SUMMARY, tuple(_line(self.of(key), key) for key in keys))

    def body_html(self, system: System | None = None) -> str:
        """Return the counts, and a line a source."""
        return facts_html(self.facts(), system) + self.summary().html(system)


def published_checks(*wanted: str) -> PublishedChecks:
    """Return every published value beside ours, or those of the sources `wanted` by key.

    Each value stands in data/published with its source, its tolerance and the reason of both.
    Raises ExhaustError for a source that has no values.

    >>> published_checks("iso2533")
    <PublishedChecks: checks 21, agree 21, differ 0>
    """
    found = (check(value) for source in wanted or sources() for value in values(source))
    return PublishedChecks(checks=tuple(found))


def _counted(count: int) -> str:
    return f"{count} check{'s' if count > 1 else ''}"


def _shown(one: Check) -> tuple[str, ...]:
    value, unit = one.value, one.value.unit
    ours, difference, tolerance = one.texts()
    printed = f"{value.printed} {unit}".rstrip()
    return value.source, value.what, value.at, printed, ours, difference, tolerance, one.judgement


def _numbers(one: Check) -> tuple[float | str, ...]:
    value = one.value
    said = value.source, value.what, value.at
    numbers = value.number, one.ours, one.difference, value.tolerance
    return *said, *numbers, one.judgement, value.unit


def _where(one: Check) -> str:
    return f"{one.value.where} ({TAKEN[one.value.taken]})"


def _line(part: Checks, key: str) -> tuple[float | str, ...]:
    agree, count = sum(one.agrees for one in part.checks), len(part.checks)
    farthest = max(abs(one.of_tolerance) for one in part.checks)
    return key, part.title, count, agree, count - agree, farthest
