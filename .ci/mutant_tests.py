"""Which test passes through which line, and whether it notices that the line is broken."""

from __future__ import annotations

import importlib.abc
import importlib.machinery
import importlib.util
import json
import os
import resource
import signal
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from mutant_sites import Mutant

SUITE = (
    *("tests/geometry", "tests/published/test_circular_segments.py", "tests/joints"),
    *("tests/cutmath", "exhaust/geometry", "exhaust/joints", "exhaust/cutmath"),
)
QUIET = ("-q", "-x", "-p", "no:cacheprovider", "-p", "no:nbval", "--no-header", "--tb=no")
ADDOPTS = ("-o", "addopts=--doctest-modules --hypothesis-profile=ci -m 'not slow'")
LEFT_OUT = ("--ignore-glob=*solid*", "-k", "not milliseconds")
FIRST = 10  # tests in the first go; most mutants fall to one of them
LIMIT = 90  # [s] of processor time for one mutant; what hangs is noticed
HEAVY = (
    "numpy",
    "scipy.integrate",
    "scipy.optimize",
    "scipy.special",
    "hypothesis",
    "attrs",
    "pint",
)


@dataclass
class Suite:
    """The tests through every line of every module, and how long each takes."""

    seconds: float = 0.0
    took: dict[str, float] = field(default_factory=dict)
    lines: dict[str, dict[int, list[str]]] = field(default_factory=dict)

    @property
    def count(self) -> int:
        """How many tests there are."""
        return len(self.took)

    @classmethod
    def traced(cls, paths: Iterable[str]) -> Suite:
        """Run every test once, and note what it passes through of `paths`."""
        for name in HEAVY:  # what every trial would import again
            importlib.import_module(name)
        start = time.monotonic()
        with tempfile.TemporaryDirectory() as folder:
            notes = Path(folder) / "notes.json"
            if not (child := os.fork()):
                _trace(list(paths), notes)
            if os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]):
                raise SystemExit("the tests fail before anything is broken")
            took, lines = json.loads(notes.read_text())
        suite = cls(time.monotonic() - start, took)
        for file, by_line in lines.items():
            suite.lines[file] = {int(line): tests for line, tests in by_line.items()}
        return suite

    def through(self, mutant: Mutant) -> tuple[list[str], list[str]]:
        """Return the tests through the mutant's line, quickest first, and all others that count.

        They are those of every file with a test through the module: what a fixture or a cache
        makes once is traced to the first test alone, and read by the rest. No test passes through
        what is read on import, a constant or a default: there the modules count that import it.
        """
        modules = [str(mutant.path)]
        first = sorted(self._at(modules[0], mutant.line), key=self.took.__getitem__)
        if not first:
            modules += self._importers(mutant.path)
        files = {test.partition("::")[0] for module in modules for test in self._at(module)}
        every = {test for test in self.took if test.partition("::")[0] in files}
        rest = sorted(every.difference(first[:FIRST]), key=self.took.__getitem__)
        return first[:FIRST], rest

    def _at(self, file: str, line: int | None = None) -> set[str]:
        """Return the tests through a module, or through one line of it."""
        by_line = self.lines.get(file, {})
        lines = by_line if line is None else [line]
        return {test for number in lines for test in by_line.get(number, ())}

    def _importers(self, path: Path) -> list[str]:
        name = ".".join(path.with_suffix("").parts).removesuffix(".__init__")
        return [file for file in self.lines if f"from {name} import" in Path(file).read_text()]


class _Tracer:
    """A pytest plugin that tells coverage which test is running."""

    def __init__(self, coverage: Any) -> None:
        self.coverage = coverage
        self.took: dict[str, float] = {}

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Any:
        self.coverage.switch_context(item.nodeid)
        start = time.perf_counter()
        done = yield
        self.took[item.nodeid] = time.perf_counter() - start
        self.coverage.switch_context("")
        return done


def _trace(paths: list[str], notes: Path) -> None:
    """Write what every test passes through to `notes`, and end the process."""
    import coverage

    _hush()
    watch = coverage.Coverage(data_file=None, include=[_pattern(path) for path in paths])
    watch.start()
    tracer = _Tracer(watch)
    code = pytest.main([*QUIET, *ADDOPTS, *LEFT_OUT, *SUITE], plugins=[tracer])
    watch.stop()
    data, lines = watch.get_data(), {}
    assert data.measured_files(), paths
    for file in data.measured_files():
        by_line = data.contexts_by_lineno(file)
        lines[os.path.relpath(file)] = {n: [t for t in by_line[n] if t] for n in by_line}
    notes.write_text(json.dumps((tracer.took, lines)))
    os._exit(int(code))


def _pattern(path: str) -> str:
    return path if path.endswith(".py") else f"{path}/*"


def trial(
    mutants: Iterable[Mutant], suite: Suite, workers: int, end: float
) -> Iterator[tuple[Mutant, str]]:
    """Yield for every mutant whether it was "caught", "survived" or ran "out of time".

    After `end` on the monotonic clock [s] no more are started.
    """
    waiting, running = iter(mutants), dict[int, Mutant]()
    words = defaultdict(lambda: "caught", {0: "survived", -signal.SIGXCPU: "out of time"})
    while True:
        while len(running) < workers and time.monotonic() < end:
            if (mutant := next(waiting, None)) is None:
                break
            if not (child := os.fork()):
                _try(mutant, suite)
            running[child] = mutant
        if not running:
            return
        child, status = os.wait()
        yield running.pop(child), words[os.waitstatus_to_exitcode(status)]


class _InPlace(importlib.abc.MetaPathFinder, importlib.machinery.SourceFileLoader):
    """Loads the mutant in the place of its module."""

    def __init__(self, mutant: Mutant) -> None:
        name = ".".join(mutant.path.with_suffix("").parts).removesuffix(".__init__")
        super().__init__(name, str(mutant.path.resolve()))
        self.text = mutant.code

    def find_spec(self, fullname: str, path: Any = None, target: Any = None) -> Any:
        if fullname != self.name:
            return None
        return importlib.util.spec_from_file_location(fullname, self.path, loader=self)

    def get_code(self, fullname: str) -> Any:
        return compile(self.text, self.path, "exec", dont_inherit=True)


class _Broken:
    """A pytest plugin: the mutant comes before the module, and one example that fails is enough."""

    def __init__(self, mutant: Mutant) -> None:
        self.loader = _InPlace(mutant)

    def pytest_configure(self) -> None:
        if self.loader in sys.meta_path:
            sys.meta_path.remove(self.loader)
        sys.meta_path.insert(0, self.loader)  # before pytest's own, which would read the file

    def pytest_collection_finish(self) -> None:
        from hypothesis import Phase, settings

        usual = settings.get_profile("ci")
        settings.register_profile("mutants", usual, phases=(Phase.explicit, Phase.generate))
        settings.load_profile("mutants")


def _try(mutant: Mutant, suite: Suite) -> None:
    """Run the tests on a mutant and end the process: 0 if none noticed."""
    resource.setrlimit(resource.RLIMIT_CPU, (LIMIT, LIMIT + 5))
    _hush()
    try:
        broken = _Broken(mutant)
        for tests in suite.through(mutant):
            if tests and pytest.main([*QUIET, *ADDOPTS, *tests], plugins=[broken]):
                os._exit(1)
    except BaseException:  # a mutant may break anything: that is noticed
        os._exit(1)
    os._exit(0)


def _hush() -> None:
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
