"""Writes the files of a job sheet to a folder, each whole or not at all.

manifest.json lists what was written with its SHA-256. A later run replaces only files that the
manifest lists and that nobody has changed since; anything else in the way is refused by name
before anything is written.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping, Sequence
from pathlib import Path

from exhaust.errors import ExhaustError
from exhaust.job.files import not_written, write_beside, write_whole
from exhaust.show import listed

MANIFEST = "manifest.json"
KIND = "exhaust job sheet"
PAGES = ("job-sheet.pdf", "job-sheet.html", "results.json", "cut-list.csv")
NAMES = (*PAGES, "templates.pdf", "templates.dxf")  # all that a job sheet ever writes


def write_folder(folder: Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write `files` (name to bytes) and the manifest to `folder`; return their paths.

    Raises `ExhaustError`: the folder cannot be used, or a file in the way is not ours. A failure
    while writing leaves every file either as it was or whole and new, and the next run knows both.
    """
    ours = checked_folder(folder, tuple(files))
    made = _made(folder)
    parts: dict[str, Path] = {}
    try:
        for name, data in files.items():
            parts[name] = write_beside(folder / name, data)
        hashes = {name: digest(data) for name, data in files.items()}
        write_whole(folder / MANIFEST, _manifest(hashes, ours))
        for name, part in parts.items():
            _moved(part, folder / name)
        for name in set(ours) - set(files):
            (folder / name).unlink(missing_ok=True)
        write_whole(folder / MANIFEST, _manifest(hashes, {}))
    finally:
        for part in parts.values():
            part.unlink(missing_ok=True)
        _forget(made)
    return (*(folder / name for name in files), folder / MANIFEST)


def checked_folder(folder: Path, names: Sequence[str]) -> dict[str, str]:
    """Return the files in `folder` that are ours and unchanged, name to SHA-256.

    Raises `ExhaustError` when `folder` is a file, or names what is in the way of `names`.
    """
    try:
        if not folder.exists() and not folder.is_symlink():
            _check_place(folder.absolute().parent)
            return {}
        if not folder.is_dir():
            raise ExhaustError(f"{folder} is not a folder; choose another --out")
        _check_place(folder)
        listed_before = _listed_before(folder)
        present = [name for name in (*NAMES, *names) if os.path.lexists(folder / name)]
        state = {name: _state(folder / name, listed_before.get(name, ())) for name in present}
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise ExhaustError(f"{folder} cannot be used ({reason}); choose another --out") from error
    wanted = [name for name in present if name in names or name in listed_before]
    foreign = sorted({name for name in wanted if state[name] == "foreign"})
    changed = sorted({name for name in wanted if state[name] == "changed"})
    if foreign or changed:
        why = []
        if foreign:
            why.append(f"holds {listed(foreign)} that exhaust did not write")
        if changed:
            why.append(f"holds {listed(changed)} changed since exhaust wrote it")
        remedy = "nothing was written: move it, or choose another --out"
        raise ExhaustError(f"{folder} {' and '.join(why)}; {remedy}")
    return {name: state[name] for name in wanted}


def _check_place(place: Path) -> None:
    """Refuse a place where no folder or file can be made."""
    while not place.exists():
        place = place.parent
    if not place.is_dir():
        raise ExhaustError(f"{place} is not a folder; choose another --out")
    if not os.access(place, os.W_OK | os.X_OK):
        raise ExhaustError(f"{place} may not be written to; choose another --out")


def digest(data: bytes) -> str:
    """Return the SHA-256 of `data` in hexadecimal.

    >>> digest(b"")[:8]
    'e3b0c442'
    """
    return hashlib.sha256(data).hexdigest()


def _state(path: Path, known: Sequence[str]) -> str:
    """Return the SHA-256 of a file that is ours, or "foreign", or "changed"."""
    if not known or path.is_symlink() or not path.is_file():
        return "foreign"
    found = digest(path.read_bytes())
    return found if found in known else "changed"


def _listed_before(folder: Path) -> dict[str, tuple[str, ...]]:
    """Return the hashes that the folder's manifest knows of each file."""
    path = folder / MANIFEST
    if not os.path.lexists(path):
        return {}
    try:
        if path.is_symlink():
            raise ValueError("a link")
        found = json.loads(path.read_text(encoding="utf-8"))
        if found["kind"] != KIND:
            raise ValueError("another kind")
        known: dict[str, tuple[str, ...]] = {}
        for group in (found["files"], found["being_replaced"]):
            for name, hash_ in group.items():
                known[name] = (*known.get(name, ()), str(hash_))
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        rule = f"{path} was not written by exhaust, or was changed"
        remedy = "nothing was written: move it, or choose another --out"
        raise ExhaustError(f"{rule}; {remedy}") from error
    return known


def _manifest(hashes: Mapping[str, str], before: Mapping[str, str]) -> bytes:
    content = {
        "kind": KIND,
        "what": "SHA-256 of every file that exhaust wrote here; a changed file is not replaced",
        "files": dict(sorted(hashes.items())),
        "being_replaced": dict(sorted(before.items())),
    }
    return (json.dumps(content, indent=2) + "\n").encode("ascii")


def _made(folder: Path) -> list[Path]:
    """Create `folder` and return the folders that had to be made, innermost first."""
    missing = []
    place = folder
    while not place.exists():
        missing.append(place)
        place = place.parent
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        _forget(missing)
        reason = getattr(error, "strerror", None) or error
        raise ExhaustError(f"{folder} cannot be made ({reason}); choose another --out") from error
    return missing


def _forget(made: Sequence[Path]) -> None:
    """Remove the folders in `made` that hold nothing."""
    for place in made:
        if place.is_dir() and not any(place.iterdir()):
            place.rmdir()


def _moved(part: Path, path: Path) -> None:
    try:
        os.replace(part, path)
    except OSError as error:
        raise not_written(path, error) from error
