"""Reads a job file: every mistake in it is found and told at once, then it is one `Job`."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from exhaust import show
from exhaust.choices import Limits, PortReadings, Pulses, Room
from exhaust.cutmath.fit import Tolerances
from exhaust.cutmath.measured import Measured
from exhaust.cutmath.supply import PurgeGas, Stock
from exhaust.engine import Ambient, Cam, Engine, OperatingPoint
from exhaust.errors import JobError, broken, nearest
from exhaust.job.crossed import crossed
from exhaust.job.description import About, Job
from exhaust.job.keys import attempt, build, keys_of
from exhaust.job.layout import LISTS, read_system
from exhaust.job.reader import Reader
from exhaust.job.sections import (
    after_build_keys,
    bench_keys,
    header_keys,
    shelf_keys,
    stock_keys,
)
from exhaust.job.text import parsed, text_of
from exhaust.job.working import found
from exhaust.stock import Saw, Tube, alike

SCHEMA = 1
HEAD = ("schema", "units")
SECTIONS = (
    *("job", "engine", "duty", "ambient", "tube", "bend"),
    *("saw", "system", *LISTS, "joint", "shelf", "stock", "purge", "limits", "room"),
    *("tolerances", "measured", "after_build", "cam", "header"),
)


def load_job(path: str | Path) -> Job:
    """Return the job that the file `path` describes.

    Where no such file is, a demo job that came with the package is found by its name alone, and
    so is a working copy that `keep_choice` wrote elsewhere.
    Raises `JobError` with every mistake in the file, one to a line, each starting with its key;
    `ExhaustError` when there is no such file or it cannot be read at all.

    >>> load_job("v8-parallel-x.toml").engine.cylinders
    8
    """
    path = found(Path(path))
    return read_job(text_of(path), path)


def read_job(text: str, path: str | Path = "job.toml") -> Job:
    """Return the job that `text` describes; `path` is where it came from, for messages.

    >>> read_job("schema = 1\\nunits = ")
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: job.toml is not sound TOML at line 2, column 9: ...
    """
    reader = _Reader(parsed(text, Path(path)))
    job = reader.job(Path(path), text)
    if reader.mistakes or job is None:
        raise JobError(reader.mistakes)
    return job


class _Reader(Reader):
    """Reads every section of a job file."""

    def job(self, path: Path, text: str) -> Job | None:
        """Return the job, or None when `mistakes` says why not."""
        self._head()
        parts: dict[str, Any] = {
            "about": self.described("job", About),
            "engine": self.described("engine", Engine),
            "duty": self.described("duty", OperatingPoint),
            "ambient": self.described("ambient", Ambient, optional=True),
            "limits": self.described("limits", Limits, optional=True),
            "tolerances": self.described("tolerances", Tolerances, optional=True),
            "saw": self.described("saw", Saw) if "saw" in self.given else None,
            "room": self.described("room", Room) if "room" in self.given else None,
            "gas": self.described("purge", PurgeGas, optional=True),
            "measured": self._measured(),
        }
        parts["after_build"] = self._after_build(parts["ambient"])
        parts["tube"] = tube = self.described("tube", Tube)
        parts["system"] = read_system(self, tube)
        parts["pulses"] = self._pulses(tube, parts["limits"])
        shelf = self._shelf(tube)
        parts["stock"] = self._stock(tube)
        if self.mistakes:
            return None
        units = show.checked_system(self.given["units"])
        job = Job(units=units, path=path, text=text, **parts, **shelf)
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

    def _measured(self) -> Measured | None:
        """Return what was read at the bench; a bare number is in the job's own units."""
        if "measured" not in self.given:
            return None
        keys = bench_keys(Measured, self._units())
        return build("measured", Measured, self.values("measured", keys), self.mistakes)

    def _after_build(self, ambient: Ambient | None) -> PortReadings | None:
        """Return what was read at the test port; [ambient] holds where that day says no other."""
        if "after_build" not in self.given:
            return None
        values = self.values("after_build", after_build_keys(self._units()))
        if values is None or ambient is None:
            return None
        day = {
            key.argument: values.pop(key.argument)
            for key in keys_of(Ambient)
            if key.argument in values
        }
        if day:
            values["ambient"] = build("after_build", ambient.with_, day, self.mistakes)
        return build("after_build", PortReadings, values, self.mistakes)

    def _units(self) -> show.System:
        """Return the unit system that bare numbers are in."""
        known = self.given.get("units") in show.SYSTEMS
        return show.checked_system(self.given["units"]) if known else "inch"

    def _shelf(self, tube: Tube | None) -> dict[str, Any]:
        material = "304" if tube is None else tube.material
        values = self.values("shelf", shelf_keys(material)) or {}
        for name, tubes in values.items():
            if not tubes:
                self.mistakes.append(f"shelf.{name} is empty; name at least one tube")
            for one in sorted({t.name for t in tubes if tubes.count(t) > 1}):
                self.mistakes.append(f"shelf.{name} names {one} more than once; name it once")
        tubes = values.get("tubes", ())
        if tube is not None and tubes and not any(alike(tube, one) for one in tubes):
            tubes = (*tubes, tube)  # the job's own tube is weighed too
        return {"tubes": tubes, "outlets": values.get("outlets", ())}

    def _pulses(self, tube: Tube | None, limits: Limits | None) -> Pulses | None:
        """Return what a simulation needs beyond the rest: cam, primaries, what is worth having."""
        cam = self.described("cam", Cam, optional=True)
        header: dict[str, Any] | None = {}
        if "header" in self.given:
            header = self.values("header", header_keys("304" if tube is None else tube.material))
        if cam is None or header is None or limits is None:
            return None
        return Pulses(cam=cam, worth_having=limits.worth_having, **header)

    def _stock(self, tube: Tube | None) -> Stock | None:
        """Return what can be had of tube and bends; the usual if [stock] is not there."""
        if "stock" not in self.given:
            return Stock()
        values = self.values("stock", stock_keys("304" if tube is None else tube.material))
        if values is not None and "on_hand" in values:
            values["on_hand"] = [one for entry in values["on_hand"] for one in entry]
        return build("stock", Stock, values, self.mistakes)


def _unit_system(place: str, value: object) -> str:
    if value not in show.SYSTEMS:
        hint = nearest(str(value), show.SYSTEMS)
        raise broken("is not a known choice", repr(value), hint).named(place)
    return str(value)
