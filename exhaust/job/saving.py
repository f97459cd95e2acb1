"""Writes a working copy of a job file with another tube; its comments stay."""

from __future__ import annotations

from collections.abc import MutableMapping
from pathlib import Path
from typing import Any

import tomlkit

from exhaust import show
from exhaust.job.description import Job
from exhaust.job.files import write_new
from exhaust.job.reading import read_job
from exhaust.stock import INCH, MILLIMETRE, Tube
from exhaust.units import SI, length


def save_copy(job: Job, path: str | Path, tube: Tube | None = None) -> Path:
    """Write the job file again at `path`, in `tube` if one is given, and return the path.

    Bends keep their clr over od. Refuses to overwrite; raises `JobError`, and writes nothing,
    when the job cannot be made in that tube.

    >>> import tempfile
    >>> from exhaust.job import load_job
    >>> from exhaust.tables import shipped
    >>> job = load_job(shipped("data") / "jobs" / "v8-parallel-x.toml")
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = save_copy(job, Path(folder) / "mine.toml", Tube(od="2-3/4 in", wall="16 ga"))
    ...     load_job(path).system.tube.name
    '2-3/4 in x 16 ga'
    """
    path = Path(path)
    text = job.text if tube is None else with_tube(job, tube)
    read_job(text, path)
    write_new(path, text.encode("utf-8"))
    return path


def with_tube(job: Job, tube: Tube) -> str:
    """Return the text of the job file in `tube`, comments kept."""
    document: Any = tomlkit.parse(job.text)
    share = tube.od / job.system.tube.od
    stock = document["tube"]
    if tube.od != job.system.tube.od:
        stock["od"] = _typed(tube.od, job.units)
    if tube.wall != job.system.tube.wall:
        stock["wall"] = _typed(tube.wall, job.units)
    if tube.material != job.system.tube.material:
        stock["material"] = tube.material
    if share != 1:
        for place, key, length in _radii(document, job):
            place[key] = _written(length * share, job.units)
    return tomlkit.dumps(document)


def _radii(document: Any, job: Job) -> list[tuple[MutableMapping[str, Any], str, float]]:
    """Return every clr in the file: the table that holds it, its key and its length [m]."""
    found = []
    if "bend" in document:
        found.append((document["bend"], "clr"))
    if "return_clr" in document.get("joint", {}):
        found.append((document["joint"], "return_clr"))
    for run in document["run"]:
        bends = run.get("bends", ())
        found += [(bend, "clr") for bend in bends if hasattr(bend, "keys") and "clr" in bend]
    return [(table, key, length(str(table[key]))) for table, key in found]


def _written(length: float, units: show.System) -> str:
    unit, scale = ("in", INCH) if units == "inch" else ("mm", MILLIMETRE)
    return f"{length / scale:.6g} {unit}"


def _typed(length: float, units: show.System) -> str:
    return length.written() if isinstance(length, SI) else _written(length, units)
