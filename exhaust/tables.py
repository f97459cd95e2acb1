"""Reads data/*.csv and refuses a row without a source.

Units stand in the header (`od_mm`, `density_kg_per_m3`); keys of sources are kept once, in
data/sources.csv. The folder lies beside the package in a checkout and inside it once installed.
"""

from __future__ import annotations

import csv
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from exhaust.errors import ExhaustError, nearest

Row = MappingProxyType[str, str]


@lru_cache(maxsize=4)
def shipped(name: str) -> Path:
    """Return the folder `name` ("data" or "notebooks") that came with the package."""
    package = Path(__file__).resolve().parent
    for place in (package.parent / name, package / name):
        in_checkout = (package.parent / "pyproject.toml").is_file()
        if place.is_dir() and (in_checkout or place.parent == package):
            return place
    raise ExhaustError(f"the folder {name!r} that comes with exhaust is missing; install it again")


def _rows(name: str) -> tuple[dict[str, str], ...]:
    path = shipped("data") / f"{name}.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return tuple(dict(row) for row in csv.DictReader(file))


@lru_cache(maxsize=1)
def sources() -> MappingProxyType[str, str]:
    """Return the citation of every source key."""
    return MappingProxyType({row["key"]: row["citation"] for row in _rows("sources")})


@lru_cache(maxsize=64)
def read(name: str) -> tuple[Row, ...]:
    """Return the rows of data/`name`.csv, each checked to carry a known source.

    >>> read("bwg")[0]["gauge"]
    '20'
    """
    return checked(name, _rows(name), frozenset(sources()))


def checked(name: str, rows: tuple[dict[str, str], ...], known: frozenset[str]) -> tuple[Row, ...]:
    """Return `rows` frozen, or refuse the first that lacks a source or a place in it."""
    for number, row in enumerate(rows, start=2):
        for column in ("source", "where"):
            if not (row.get(column) or "").strip():
                raise ExhaustError(f"data/{name}.csv line {number} has no {column}; add one")
        if row["source"] not in known:
            hint = nearest(row["source"], known)
            raise ExhaustError(
                f"data/{name}.csv line {number} has an unknown source {row['source']!r}; {hint}"
            )
    return tuple(MappingProxyType(row) for row in rows)


def cautions(place: str) -> tuple[str, ...]:
    """Return the cautions to print at `place`: "readme", "sheet", "saw", "purge" …

    >>> any("respirator" in text for text in cautions("saw"))
    True
    """
    return tuple(row["text"] for row in read("caution") if place in row["places"].split())


def lookup(name: str, key: Any, column: str) -> Row:
    """Return the row of data/`name`.csv whose `column` is `key`, or name the nearest.

    >>> lookup("material", "340", "grade")
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: no material "340" in data/material.csv; nearest: "304", "304L"
    """
    rows = read(name)
    for row in rows:
        if row[column] == key:
            return row
    hint = nearest(str(key), [row[column] for row in rows])
    raise ExhaustError(f'no {name} "{key}" in data/{name}.csv; {hint}')
