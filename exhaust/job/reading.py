"""Reads a job file: every mistake in it is found and told at once, then it is one `Job`."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Any, TypeVar

import tomlkit
from tomlkit.exceptions import TOMLKitError

from exhaust import show
from exhaust.choices import Limits
from exhaust.engine import Ambient, Engine, OperatingPoint
from exhaust.errors import ExhaustError, JobError, broken, nearest
from exhaust.job.crossed import crossed
from exhaust.job.description import About, Job
from exhaust.job.keys import Key, attempt, build, keys_of, read_table, some_of
from exhaust.job.sections import (
    BEND_KEYS,
    JOINT_KEYS,
    RUN_KEYS,
    SYSTEM_KEYS,
    RunBend,
    shelf_tube,
)
from exhaust.joints import ParallelX
from exhaust.stock import Bend, Saw, Tube
from exhaust.system import Run, System
from exhaust.tables import shipped

SCHEMA = 1
LARGEST_FILE = 1_000_000  # bytes; a job file is a few thousand
HEAD = ("schema", "units")
SECTIONS = (
    *("job", "engine", "duty", "ambient", "tube", "bend"),
    *("saw", "system", "run", "joint", "shelf", "limits"),
)

Made = TypeVar("Made")


def load_job(path: str | Path) -> Job:
    """Return the job that the file `path` describes.

    A demo job that came with the package is found by its name alone where no such file is.
    Raises `JobError` with every mistake in the file, one to a line, each starting with its key;
    `ExhaustError` when there is no such file or it cannot be read at all.

    >>> load_job("v8-parallel-x.toml").engine.cylinders
    8
    """
    path = Path(path)
    demo = shipped("data") / "jobs" / path.name
    if len(path.parts) == 1 and not path.exists() and demo.is_file():
        path = demo
    return read_job(text_of(path), path)


def alike(one: Tube, other: Tube) -> bool:
    """Return whether two tubes are the same metal to a micrometre, however they were typed."""
    near = abs(one.od - other.od) < 1e-6 and abs(one.wall - other.wall) < 1e-6
    return near and one.material == other.material


def text_of(path: Path) -> str:
    """Return the text of a job file, or say in one sentence why it cannot be read."""
    if path.is_dir():
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


def read_job(text: str, path: str | Path = "job.toml") -> Job:
    """Return the job that `text` describes; `path` is where it came from, for messages.

    >>> read_job("schema = 1\\nunits = ")
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: job.toml is not sound TOML at line 2, column 9: ...
    """
    reader = _Reader(_parsed(text, Path(path)))
    job = reader.job(Path(path), text)
    if reader.mistakes or job is None:
        raise JobError(reader.mistakes)
    return job


def _parsed(text: str, path: Path) -> dict[str, Any]:
    try:
        return tomlkit.parse(text).unwrap()
    except (TOMLKitError, ValueError, RecursionError) as error:
        raise ExhaustError(f"{path} is not sound TOML {_where(text, error)}") from error


def _where(text: str, error: Exception) -> str:
    """Return where and why a TOML text is wrong."""
    line, column = getattr(error, "line", 1), getattr(error, "col", 0)
    said = str(error)
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError as second:  # it knows the place better
        said = str(second)
        place = re.search(r"\(at line (\d+), column (\d+)\)", said)
        if place:
            line, column = int(place[1]), int(place[2])
        else:
            line, column = text.count("\n") + 1, len(text.rpartition("\n")[2]) + 1
    except (ValueError, RecursionError):
        pass
    reason = re.sub(r"\s*(\(at .*\)|at line \d+ col \d+)$", "", said)
    reason = f"{reason[:1].lower()}{reason[1:]}" or "it cannot be read"
    return f"at line {line}, column {column}: {reason}; mend that line"


class _Reader:
    """One pass over a parsed file; gathers mistakes."""

    def __init__(self, given: dict[str, Any]) -> None:
        self.given = given
        self.mistakes: list[str] = []

    def job(self, path: Path, text: str) -> Job | None:
        """Return the job, or None when `mistakes` says why not."""
        self._head()
        parts: dict[str, Any] = {
            "about": self._described("job", About),
            "engine": self._described("engine", Engine),
            "duty": self._described("duty", OperatingPoint),
            "ambient": self._described("ambient", Ambient, optional=True),
            "limits": self._described("limits", Limits, optional=True),
        }
        tube = self._described("tube", Tube)
        saw = self._described("saw", Saw) if "saw" in self.given else None
        bend = self._bend(tube)
        runs = self._runs(tube, bend)
        joint = self._joint(bend)
        parts["system"] = self._system(runs, joint)
        shelf = self._shelf(tube)
        if self.mistakes:
            return None
        units = show.checked_system(self.given["units"])
        job = Job(units=units, saw=saw, path=path, text=text, **parts, **shelf)
        self.mistakes += crossed(job)
        return job

    def _head(self) -> None:
        for name in self.given:
            if name not in (*HEAD, *SECTIONS):
                self.mistakes.append(f"{name} is not a section; {nearest(name, SECTIONS)}")
        schema = self.given.get("schema")
        if schema is None:
            self.mistakes.append(f"schema is missing; write schema = {SCHEMA} in the first line")
        elif isinstance(schema, bool) or not isinstance(schema, int) or schema < 1:
            self.mistakes.append(f"schema must be {SCHEMA} (got {schema!r})")
        elif schema > SCHEMA:
            rule = f"schema must be {SCHEMA} (got {schema})"
            raise JobError([f"{rule}; the file is newer than this program: get the newer one"])
        if "units" not in self.given:
            self.mistakes.append('units is missing; write units = "inch" or units = "metric"')
        else:
            attempt("units", self.given["units"], _unit_system, self.mistakes)

    def _values(self, name: str, keys: Sequence[Key]) -> dict[str, Any] | None:
        if name not in self.given:
            needed = ", ".join(key.name for key in keys if key.required)
            self.mistakes.append(f"{name} is missing; add a section [{name}] with {needed}")
            return None
        given = self.given[name]
        if isinstance(given, list):
            self.mistakes.append(f"{name} must be one section; write [{name}], not [[{name}]]")
            return None
        return read_table(name, given, keys, self.mistakes)

    def _described(
        self, name: str, maker: Callable[..., Made], *, optional: bool = False
    ) -> Made | None:
        if optional and name not in self.given:
            return maker()
        values = self._values(name, keys_of(maker))  # type: ignore[arg-type]
        return build(name, maker, values, self.mistakes)

    def _bend(self, tube: Tube | None) -> Bend | None:
        if "bend" not in self.given:
            return None
        values = self._values("bend", BEND_KEYS)
        return None if tube is None else build("bend", partial(Bend, tube), values, self.mistakes)

    def _runs(self, tube: Tube | None, bend: Bend | None) -> list[Run] | None:
        given = self.given.get("run")
        if given is None or given == []:
            self.mistakes.append("run is missing; add a section [[run]] for each run of tube")
            return None
        if not isinstance(given, list):
            self.mistakes.append("run must be written [[run]], once for each run of tube")
            return None
        runs = [self._run(f"run {n}", one, tube, bend) for n, one in enumerate(given, start=1)]
        names = [run.name for run in runs if run is not None]
        for name in sorted({name for name in names if names.count(name) > 1}):
            self.mistakes.append(f"run has {names.count(name)} named {name!r}; name each apart")
        sound = [run for run in runs if run is not None]
        return sound if len(sound) == len(runs) else None

    def _run(self, place: str, given: object, tube: Tube | None, bend: Bend | None) -> Run | None:
        values = read_table(place, given, RUN_KEYS, self.mistakes)
        if values is None or tube is None:
            return None
        before = len(self.mistakes)
        bends: list[Bend] = []
        for number, entry in enumerate(values.get("bends", ()), start=1):
            one = self._run_bend(f"{place}.bends {number}", entry, tube, bend)
            bends += [one] * entry.count if one is not None else []
        if len(self.mistakes) > before or ("bend" in self.given and bend is None):
            return None
        return build(place, Run, values | {"tube": tube, "bends": bends}, self.mistakes)

    def _run_bend(self, place: str, entry: RunBend, tube: Tube, bend: Bend | None) -> Bend | None:
        clr = entry.clr if entry.clr is not None else bend and bend.clr
        if clr is None:
            if "bend" not in self.given:
                remedy = "give { angle, clr }, or describe the usual bend in [bend]"
                self.mistakes.append(f"{place} has no clr; {remedy}")
            return None
        return build(place, partial(Bend, tube), {"clr": clr, "angle": entry.angle}, self.mistakes)

    def _joint(self, bend: Bend | None) -> ParallelX | None:
        if "joint" not in self.given:
            return None
        values = self._values("joint", JOINT_KEYS)
        for name in ("bend", "saw"):
            if name not in self.given:
                self.mistakes.append(f"{name} is missing; the joint needs a section [{name}]")
        if values is None or bend is None:
            return None
        del values["kind"]  # there is one kind as yet
        return_clr = values.pop("return_clr", None)
        if return_clr is not None:
            values["return_bend"] = build(
                "joint.return_clr", bend.with_, {"clr": return_clr}, self.mistakes
            )
            if values["return_bend"] is None:
                return None
        return build("joint", partial(ParallelX, bend), values, self.mistakes)

    def _system(self, runs: list[Run] | None, joint: ParallelX | None) -> System | None:
        values = self._values("system", SYSTEM_KEYS) if "system" in self.given else {}
        if values is None or runs is None or ("joint" in self.given and joint is None):
            return None
        return build("system", System, values | {"runs": runs, "joint": joint}, self.mistakes)

    def _shelf(self, tube: Tube | None) -> dict[str, Any]:
        material = "304" if tube is None else tube.material
        read = partial(some_of, read=partial(shelf_tube, material=material))
        keys = (Key("tubes", "tubes", read, required=True), Key("outlets", "outlets", read))
        values = self._values("shelf", keys) or {}
        for name, tubes in values.items():
            if not tubes:
                self.mistakes.append(f"shelf.{name} is empty; name at least one tube")
            for one in sorted({t.name for t in tubes if tubes.count(t) > 1}):
                self.mistakes.append(f"shelf.{name} names {one} more than once; name it once")
        tubes = values.get("tubes", ())
        if tube is not None and tubes and not any(alike(tube, one) for one in tubes):
            tubes = (*tubes, tube)  # the job's own tube is weighed too
        return {"tubes": tubes, "outlets": values.get("outlets", ())}


def _unit_system(place: str, value: object) -> str:
    if value not in show.SYSTEMS:
        hint = nearest(str(value), show.SYSTEMS)
        raise broken("is not a known choice", repr(value), hint).named(place)
    return str(value)
