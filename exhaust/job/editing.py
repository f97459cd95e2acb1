"""Changes single values in the text of a job file; comments and all else stay as they are."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, MutableMapping
from pathlib import Path
from typing import Any

from exhaust.errors import ExhaustError, JobError
from exhaust.job.reading import read_job
from exhaust.job.text import parsed, with_comments

Table = MutableMapping[str, Any]
FILE = Path("job.toml")
TOP = ""  # the section of what stands above the first one
_PLACE = re.compile(r"(?:(\w+)(?: (\d+))?\.)?(\w+)")


def split_place(place: str) -> tuple[str, int | None, str]:
    """Return the section, its number if it is written [[ ]], and the key of a place in the file.

    >>> split_place("run 2.length"), split_place("tube.od"), split_place("units")
    (('run', 2, 'length'), ('tube', None, 'od'), ('', None, 'units'))
    """
    match = _PLACE.fullmatch(place)
    if match is None:
        raise ExhaustError(f"{place} cannot be changed by itself; change it in the file")
    section, number, key = match.groups()
    return section or TOP, int(number) if number else None, key


def with_values(text: str, values: Mapping[str, object], path: str | Path = FILE) -> str:
    """Return the job file `text` with values changed by place; None takes a key away.

    A key that is taken away becomes a comment, as it was written; one that comes back takes the
    place of that comment. A new key stands behind the last of its section, a new section at the
    end. Values are not checked: `mistakes_in` says what is wrong with them.

    >>> print(with_values('[tube]\\nod = "3 in"  # in the rack', {"tube.od": "2.5 in"}))
    [tube]
    od = "2.5 in" # in the rack
    """
    for place, value in values.items():
        plain = list(value) if isinstance(value, tuple) else value
        text = _with_value(text, place, plain, Path(path))
    return text


def mistakes_in(text: str, path: str | Path = FILE) -> tuple[str, ...]:
    """Return every mistake in the job file `text`, as the command line says them.

    >>> mistakes_in("schema = 1")[0]
    'units is missing; write units = "inch" or units = "metric"'
    """
    try:
        read_job(text, path)
    except JobError as error:
        return error.mistakes
    except ExhaustError as error:
        return (str(error),)
    return ()


def by_place(mistakes: Iterable[str], places: Iterable[str]) -> dict[str, list[str]]:
    """Return `mistakes` by the longest of `places` that they start with; the others under "".

    >>> by_place(["run 1.length is missing", "run is missing"], ["run 1", "run 1.length"])
    {'run 1.length': ['run 1.length is missing'], '': ['run is missing']}
    """
    found: dict[str, list[str]] = {}
    longest = sorted(places, key=len, reverse=True)
    for mistake in mistakes:
        starts = (place for place in longest if re.match(rf"{re.escape(place)}(?!\w)", mistake))
        found.setdefault(next(starts, ""), []).append(mistake)
    return found


def _with_value(text: str, place: str, value: object, path: Path) -> str:
    section, number, key = split_place(place)
    lines = text.splitlines(keepends=True)
    span = _span(lines, section, number)
    if value is None:
        changed = _commented(lines, span, key)
        return "".join(changed) if _says(changed, place, None, path) else _without(text, place)
    back = _uncommented(lines, span, key)
    if back is not None and value_at("".join(back), place, path) is not None:
        text = "".join(back)
    document: Any = with_comments(text, path)
    table = _table(document, section, number, make=True)
    put = _replace if key in table else _append
    put(table, key, _item(value))
    text = document.as_string()
    if not _says([text], place, value, path):
        raise ExhaustError(f"{place} cannot be written; change it in the file itself")
    return text


def value_at(text: str, place: str, path: str | Path = FILE) -> Any:
    """Return the plain value at a place in the file, or None if nothing stands there.

    >>> value_at('[tube]\\nod = "3 in"', "tube.od")
    '3 in'
    """
    try:
        section, number, key = split_place(place)
        return _table(parsed(text, Path(path)), section, number).get(key)
    except ExhaustError:
        return None


def _says(lines: list[str], place: str, value: object, path: Path) -> bool:
    text = "".join(lines)
    try:
        parsed(text, path)
    except ExhaustError:
        return False
    return bool(value_at(text, place, path) == value)


def _table(document: Any, section: str, number: int | None, *, make: bool = False) -> Table:
    """Return the table of a section, new if need be and so wanted; refuse what is no table."""
    if section == TOP:
        return document  # type: ignore[no-any-return]
    if make and section not in document and number is None:
        _add_section(document, section)
    found = document.get(section)
    if number is not None:
        found = found[number - 1] if isinstance(found, list) and number <= len(found) else None
    if not isinstance(found, MutableMapping):
        name = section if number is None else f"{section} {number}"
        raise ExhaustError(f"{name} is not a section of the file; write it there first")
    return found


def _add_section(document: Any, section: str) -> None:
    import tomlkit

    if document.as_string().strip():
        document.add(tomlkit.nl())
    document.add(section, tomlkit.table())


def _item(value: object) -> Any:
    """Return a value as the file is to hold it: on one line."""
    import tomlkit

    if isinstance(value, Mapping):
        table = tomlkit.inline_table()
        table.update({key: _item(one) for key, one in value.items()})
        return table
    if isinstance(value, list):
        array = tomlkit.array()
        array.extend(_item(one) for one in value)
        return array
    return tomlkit.item(value)


def _replace(table: Any, key: str, value: object) -> None:
    """Put `value` in the place of another; a comment behind it stays in its column."""
    old = table[key]
    before = len(old.as_string())
    table[key] = value
    trivia = table[key].trivia
    if trivia.comment:
        room = before + len(trivia.comment_ws) - len(table[key].as_string())
        trivia.comment_ws = " " * max(room, 1)


def _append(table: Any, key: str, value: object) -> None:
    """Write a new key behind the last of a table, ahead of comments and blank lines that follow."""
    container = getattr(table, "value", table)
    body = getattr(container, "body", None)
    rest = []
    while body and body[-1][0] is None:
        rest.append(body.pop())
    table[key] = value
    if body:
        body.extend(reversed(rest))


def _without(text: str, place: str) -> str:
    section, number, key = split_place(place)
    document: Any = with_comments(text, FILE)
    _table(document, section, number).pop(key, None)
    return str(document.as_string())


def _span(lines: list[str], section: str, number: int | None) -> range:
    """Return the lines of a section, its heading not among them; none if it is not written so."""
    name = re.escape(section)
    head = rf"\s*\[{name}\]" if number is None else rf"\s*\[\[{name}\]\]"
    starts = [n + 1 for n, line in enumerate(lines) if re.match(head, line)]
    wanted = (number or 1) - 1
    if section == TOP:
        start = 0
    elif wanted < len(starts):
        start = starts[wanted]
    else:
        return range(0)
    ends = (n for n in range(start, len(lines)) if re.match(r"\s*(#\s*)?\[+\w+\]", lines[n]))
    return range(start, next(ends, len(lines)))


def _commented(lines: list[str], span: range, key: str) -> list[str]:
    """Return the lines with that of `key` made a comment."""
    found = [n for n in span if re.match(rf"{re.escape(key)}\s*=", lines[n])]
    return [f"# {line}" if n in found[:1] else line for n, line in enumerate(lines)]


def _uncommented(lines: list[str], span: range, key: str) -> list[str] | None:
    """Return the lines with that of `key` no longer a comment, or None if none is so written."""
    if any(re.match(rf"\s*{re.escape(key)}\s*=", lines[n]) for n in span):
        return None
    for n in span:
        if re.match(rf"#\s*{re.escape(key)}\s*=", lines[n]):
            return [*lines[:n], re.sub(r"^#\s*", "", lines[n]), *lines[n + 1 :]]
    return None
