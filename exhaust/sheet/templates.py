"""Saves the templates of a joint to a PDF or a DXF, whole or not at all."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from exhaust.cutmath import CutSheet
from exhaust.cutmath.templates import THICKNESS
from exhaust.errors import ExhaustError
from exhaust.job.files import checked_path, not_written, write_new, write_whole
from exhaust.joints import Joint
from exhaust.sheet.pack import Pack, packed
from exhaust.sheet.paging import Paper, checked_paper

if TYPE_CHECKING:
    import pint

    Length = str | float | pint.Quantity[Any]

SUFFIXES = (".pdf", ".dxf")
SEAL = b"exhaust templates, SHA-256 of the rest: "


def save_templates(
    what: CutSheet | Joint,
    path: str | Path,
    paper: str = "A4",
    thickness: Length = THICKNESS,
    edge: str = "saddle",
    job: str = "",
) -> Path:
    """Write templates at actual size for `what`, a cut sheet or a joint, and return the path.

    The suffix of `path` says what is written: ".pdf" to print on `paper` "A4" or "Letter", or
    ".dxf" in millimetres. `thickness` of the paper [m] and the `edge` of a saddle as in
    `templates`; `job` is a name to print. An earlier file of the same name is replaced only if
    it was written here and nobody has changed it since.

    Raises `ExhaustError` for what has no templates, for another suffix or paper, and for a file
    in the way that is not ours to replace; then nothing is written.

    >>> import tempfile
    >>> from exhaust import HPipe, Tube
    >>> h = HPipe(Tube(od="2.5 in", wall="16 ga"), spacing="9 in")
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     save_templates(h, Path(folder) / "h.dxf", job="Demo").name
    'h.dxf'
    """
    file = checked_path(path, SUFFIXES)
    size = checked_paper(paper)
    pack = packed(what, thickness, edge, job)
    data = _file(pack, size, file.suffix.lower())
    if not os.path.lexists(file):
        write_new(file, data)
        return file
    _check_ours(file)
    write_whole(file, data)
    return file


def templates_files(what: CutSheet | Joint, job: str, paper: str) -> dict[str, bytes]:
    """Return templates.pdf and templates.dxf as `save_templates` writes them, name to bytes.

    >>> from exhaust import HPipe, Tube
    >>> h = HPipe(Tube(od="2.5 in", wall="16 ga"), spacing="9 in")
    >>> list(templates_files(h, "Demo", "A4"))
    ['templates.pdf', 'templates.dxf']
    """
    pack, size = packed(what, THICKNESS, "saddle", job), checked_paper(paper)
    return {f"templates{suffix}": _file(pack, size, suffix) for suffix in SUFFIXES}


def _file(pack: Pack, size: Paper, suffix: str) -> bytes:
    """Return a file of templates with its seal."""
    if suffix == ".pdf":
        from exhaust.sheet.templates_pdf import templates_pdf

        return _sealed_pdf(templates_pdf(pack, size))
    from exhaust.sheet.templates_dxf import templates_dxf

    return _sealed_dxf(templates_dxf(pack))


def _digest(data: bytes) -> bytes:
    return hashlib.sha256(data).hexdigest().encode("ascii")


def _sealed_pdf(data: bytes) -> bytes:
    """Return the file with its seal as a comment after its end."""
    return data + b"% " + SEAL + _digest(data) + b"\n"


def _sealed_dxf(data: bytes) -> bytes:
    """Return the file with its seal as a comment, group 999, before its start."""
    return b"999\n" + SEAL + _digest(data) + b"\n" + data


def _parted_pdf(data: bytes) -> tuple[bytes, bytes]:
    """Return what is sealed and the seal's line, or nothing for either that is not there."""
    rest, mark, seal = data.rpartition(b"% " + SEAL)
    return (rest, seal) if mark else (data, b"")


def _parted_dxf(data: bytes) -> tuple[bytes, bytes]:
    start = b"999\n" + SEAL
    if not data.startswith(start):
        return data, b""
    seal, _, rest = data[len(start) :].partition(b"\n")
    return rest, seal + b"\n"


PARTED: dict[str, Callable[[bytes], tuple[bytes, bytes]]] = {
    ".pdf": _parted_pdf,
    ".dxf": _parted_dxf,
}


def _check_ours(file: Path) -> None:
    """Refuse a file that was not written here, or that somebody has changed since."""
    remedy = "it is not overwritten: choose another name or move it"
    try:
        plain = file.is_file() and not file.is_symlink()
        data = file.read_bytes() if plain else b""
    except OSError as error:
        raise not_written(file, error) from error
    sealed, seal = PARTED[file.suffix.lower()](data)
    if not seal:
        raise ExhaustError(f"{file} was not written by exhaust; {remedy}")
    if seal != _digest(sealed) + b"\n":
        raise ExhaustError(f"{file} was changed since exhaust wrote it; {remedy}")
