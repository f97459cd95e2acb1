"""Writes a file whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Sequence
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


def copy_new(sources: Sequence[Path], folder: Path) -> list[Path]:
    """Copy files into `folder`, made if need be; refuse if any of them is there already.

    A failure or an interruption on the way takes back what was copied.
    """
    taken = [source.name for source in sources if os.path.lexists(folder / source.name)]
    if taken:
        rule = f"{folder} holds {listed(taken)} already and nothing is overwritten"
        raise ExhaustError(f"{rule}; choose another folder")
    made: list[Path] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        raise not_written(folder, error) from error
    try:
        for source in sources:
            write_new(folder / source.name, source.read_bytes())
            made.append(folder / source.name)
    except BaseException:
        for path in made:
            path.unlink(missing_ok=True)
        raise
    return made
