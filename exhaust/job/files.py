"""Writes a file whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path

from exhaust.errors import ExhaustError, broken, typed
from exhaust.show import listed


def checked_path(path: object, suffixes: Sequence[str]) -> Path:
    """Return a path that ends in one of `suffixes`, which says what is written, or refuse it.

    >>> checked_path("h.pdf", (".pdf", ".dxf")).name
    'h.pdf'
    """
    if not isinstance(path, (str, Path)):
        example = f'for example "h{suffixes[0]}"'
        raise broken("must be text or a Path", typed(path), example).named("path")
    file = Path(path)
    if file.suffix.lower() not in suffixes:
        rule = f"must end in {' or '.join(suffixes)}"
        raise broken(rule, f"{str(path)!r}", "the ending says what is written").named("path")
    return file


def write_whole(path: Path, data: bytes) -> None:
    """Write `data` to `path`, replacing what is there; a failure leaves `path` as it was.

    Raises `ExhaustError` in one sentence when the disk or the folder refuses.
    """
    part = write_beside(path, data)
    try:
        os.replace(part, path)
    except OSError as error:
        raise not_written(path, error) from error
    finally:
        part.unlink(missing_ok=True)


def write_new(path: Path, data: bytes) -> None:
    """Write `data` to `path`, whole or not at all, and refuse if something is there already."""
    try:
        path.open("xb").close()  # takes the name: nobody else can have it meanwhile
    except FileExistsError as error:
        rule = f"{path} is there already and is not overwritten"
        raise ExhaustError(f"{rule}; choose another name or move it") from error
    except (OSError, ValueError) as error:
        raise not_written(path, error) from error
    try:
        write_whole(path, data)
    except BaseException:
        path.unlink(missing_ok=True)
        raise


def write_beside(path: Path, data: bytes) -> Path:
    """Write `data` to a file of its own beside `path` and return where; to be moved or removed."""
    part: str | None = None
    try:
        handle, part = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(part, 0o666 & ~_umask())
    except BaseException as error:
        if part is not None:
            Path(part).unlink(missing_ok=True)
        if isinstance(error, (OSError, ValueError)):
            raise not_written(path, error) from error
        raise
    return Path(part)


def not_written(path: Path, error: Exception) -> ExhaustError:
    """Return the sentence for a file that could not be written."""
    reason = getattr(error, "strerror", None) or str(error)
    return ExhaustError(f"{path} cannot be written ({reason}); check the folder and the disk")


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def copy_new(sources: Mapping[str, Path], folder: Path) -> list[Path]:
    """Copy files into `folder`, each to its own place in it; refuse if one is there already.

    Folders are made if need be. A failure or an interruption on the way takes back what was
    copied and the folders made inside `folder`.
    """
    taken = [place for place in sources if os.path.lexists(folder / place)]
    if taken:
        rule = f"{folder} holds {listed(taken)} already and nothing is overwritten"
        raise ExhaustError(f"{rule}; choose another folder")
    made: list[Path] = []
    opened: list[Path] = []
    _make_folder(folder)
    try:
        for place, source in sources.items():
            inside = (folder / place).parent
            if not inside.exists():
                _make_folder(inside)
                opened.append(inside)
            write_new(folder / place, source.read_bytes())
            made.append(folder / place)
    except BaseException:
        for path in made:
            path.unlink(missing_ok=True)
        for path in reversed(opened):
            with suppress(OSError):  # somebody else put something there meanwhile
                path.rmdir()
        raise
    return made


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        raise not_written(folder, error) from error
