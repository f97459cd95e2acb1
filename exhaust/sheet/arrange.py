"""Arranges facts, tables and the job file's own text for paper. Computes nothing."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from exhaust import __version__, show
from exhaust.job import Job
from exhaust.job.text import parsed
from exhaust.sheet.blocks import Written
from exhaust.show import Fact, Table

MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


def as_written(job: Job) -> list[Written]:
    """Return every section of the job file, its keys and values as they were typed."""
    found = []
    for name, section in parsed(job.text, job.path).items():
        for number, one in enumerate(section if isinstance(section, list) else [section], start=1):
            if not isinstance(one, dict) or name == "job":
                continue
            title = f"{name} {number}" if isinstance(section, list) else name
            lines = [(key.replace("_", " "), typed(value)) for key, value in one.items()]
            found.append(Written(title.capitalize(), lines))
    return found


def typed(value: Any) -> str:
    """Return a value of the job file as words.

    >>> typed([{"angle": "60 deg", "count": 2}, "90 deg"])
    '60 deg (count 2); 90 deg'
    """
    if isinstance(value, list):
        gap = "; " if any(isinstance(one, dict) for one in value) else ", "
        return gap.join(typed(one) for one in value)
    if isinstance(value, dict):
        (_, first), *rest = value.items()
        more = ", ".join(f"{key.replace('_', ' ')} {typed(one)}" for key, one in rest)
        return f"{typed(first)} ({more})" if more else typed(first)
    return str(value)


def narrowed(table: Table, keys: Sequence[str]) -> Table:
    """Return `table` with the columns `keys` only."""
    places = [i for i, column in enumerate(table.columns) if column.key in keys]
    return table._replace(
        columns=tuple(table.columns[i] for i in places),
        rows=tuple(tuple(row[i] for i in places) for row in table.rows),
    )


def banded(facts: Sequence[Fact]) -> list[Fact]:
    """Return `facts` with each "…, low" and "…, high" moved to the note of its own line.

    >>> lines = [Fact("cost", 0.02, "percent"), Fact("cost, low", 0.01, "percent"),
    ...          Fact("cost, high", 0.03, "percent")]
    >>> banded(lines)
    [Fact(name='cost', value=0.02, kind='percent', note='1.0 to 3.0 %')]
    """
    named = {fact.name: fact for fact in facts}
    found = []
    for fact in facts:
        low, high = named.get(f"{fact.name}, low"), named.get(f"{fact.name}, high")
        if low is not None and high is not None:
            band = show.spread(_number(low), _number(high), fact.kind)
            found.append(fact._replace(note=f"{band}; {fact.note}" if fact.note else band))
        elif fact.name.removesuffix(", low").removesuffix(", high") == fact.name:
            found.append(fact)
    return found


def _number(fact: Fact) -> float:
    assert isinstance(fact.value, (int, float))
    return fact.value


def opened(text: str) -> str:
    """Return `text` with a capital first letter, as a line of a form starts; a key stays as it is.

    >>> opened("gas temperature"), opened("largest_od is given")
    ('Gas temperature', 'largest_od is given')
    """
    if "_" in text.partition(" ")[0]:
        return text
    return f"{text[:1].upper()}{text[1:]}"


def for_whom(job: Job) -> str:
    """Return what the sheet is, and for whom where the job says."""
    return f"Job sheet for {job.customer}" if job.customer else "Job sheet"


def dated(today: date) -> str:
    """Return when the sheet was printed.

    >>> dated(date(2026, 3, 9))
    'Printed from the job file on 9 March 2026'
    """
    return f"Printed from the job file on {today.day} {MONTHS[today.month - 1]} {today.year}"


def closing(job: Job) -> str:
    """Return the last line of a sheet: what made it, and where more stands."""
    inch = "0.001 in, the nearest 1/64 beside it"
    return (
        f"Made by exhaust {__version__} from {job.path.name}. Lengths to saw to are rounded to "
        f"{inch if job.units == 'inch' else '0.1 mm'}. Numbers for other programs stand in "
        "results.json, the parts in cut-list.csv."
    )
