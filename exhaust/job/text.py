"""The text of a job file: from the disk, and parsed as TOML, or why it cannot be."""

from __future__ import annotations

import os
import re
import tomllib
from pathlib import Path
from typing import TYPE_CHECKING, Any

from exhaust.errors import ExhaustError

if TYPE_CHECKING:
    import tomlkit

LARGEST_FILE = 1_000_000  # bytes; a job file is a few thousand


def text_of(path: Path) -> str:
    """Return the text of a job file, or say in one sentence why it cannot be read."""
    if os.path.isdir(path):  # False too where the name itself is refused
        raise ExhaustError(f"{path} is a folder; name the job file in it")
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except FileNotFoundError as error:
        raise ExhaustError(f"there is no file {path}; check the name and the folder") from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise ExhaustError(f"{path} cannot be read ({reason}); check the file") from error
    if len(data) > LARGEST_FILE:
        raise ExhaustError(f"{path} is too large to be a job file; check the name")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        rule = f"{path} is not UTF-8 text (line {line})"
        raise ExhaustError(f"{rule}; save it as UTF-8 in the editor") from error


def parsed(text: str, path: Path) -> dict[str, Any]:
    """Return the sections of a job file as plain values, or say where it is no TOML.

    >>> parsed("schema = 1", Path("job.toml"))
    {'schema': 1}
    """
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise ExhaustError(f"{path} is not sound TOML {_where(text, error)}") from error


def with_comments(text: str, path: Path) -> tomlkit.TOMLDocument:
    """Return a job file to be changed and written again, its comments in their places."""
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    try:
        return tomlkit.parse(text)
    except TOMLKitError as error:  # sound, but not as this second reader has it
        rule = f"{path} cannot be written again ({error})"
        raise ExhaustError(f"{rule}; write its sections in the usual order") from error


def _where(text: str, error: Exception) -> str:
    """Return where and why a TOML text is wrong."""
    said = str(error)
    place = re.search(r"\(at line (\d+), column (\d+)\)", said)
    if place:
        line, column = int(place[1]), int(place[2])
    elif "at end of document" in said:
        line, column = text.count("\n") + 1, len(text.rpartition("\n")[2]) + 1
    else:  # too deep or too long a number, wherever it is
        line, column = 1, 1
    reason = re.sub(r"\s*\(at [^()]*\)$", "", said)
    return f"at line {line}, column {column}: {reason[:1].lower()}{reason[1:]}; mend that line"
