"""The places of a system and the runs between them, those that were left out filled in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest
from typing import NamedTuple

from exhaust.joints import Joint
from exhaust.system.places import Inlet, Place
from exhaust.system.run import OPEN_AIR, Run

SEAM = " | "  # between the names of two runs, where nothing else stands between them


class Line(NamedTuple):
    """A run by its number, between two places by name."""

    run: int
    start: str
    end: str


class Graph(NamedTuple):
    """`lines` in the order of the runs; every inlet, and every place that is described, by name.

    A name in neither, but for the open air, is a seam: one run goes on in the next.
    """

    lines: tuple[Line, ...]
    inlets: Mapping[str, Inlet]
    places: Mapping[str, Place | Joint]

    def into(self, place: str) -> list[Line]:
        """Return the lines that end at `place`, in the order of the runs."""
        return [line for line in self.lines if line.end == place]

    def out_of(self, place: str) -> list[Line]:
        """Return the lines that start at `place`, in the order of the runs."""
        return [line for line in self.lines if line.start == place]

    def passed(self, run: int) -> list[str]:
        """Return every place that gas may have passed before run number `run`, nearest first."""
        found = [self.lines[run].start]
        for place in found:
            found += [line.start for line in self.into(place) if line.start not in found]
        return found


def laid(
    runs: Sequence[Run],
    inlets: Sequence[Inlet],
    places: Mapping[str, Place | Joint],
    joint_at: str | None,
) -> Graph:
    """Return the graph of `runs` between `inlets` and `places`; nothing of it is checked here.

    A run without `from_` goes on from the run before it, the first from the first inlet; one
    without `to` goes on into the next if that has no `from_`, else to the open air. A joint that
    stands at `joint_at`, where no run names it, stands between the first run and the second.
    """
    named = {name for run in runs for name in (run.from_, run.to)}
    seam = None if joint_at in named else joint_at
    lines = tuple(_lines(runs, inlets[0].name, seam))
    return Graph(lines, {one.name: one for one in inlets}, places)


def _lines(runs: Sequence[Run], before: str, seam: str | None) -> Iterator[Line]:
    """Yield each run between its places; `before` the first, `seam` after the first."""
    for number, (run, following) in enumerate(zip_longest(runs, runs[1:])):
        start = run.from_ or before
        if run.to is not None:
            end = run.to
        elif following is None or following.from_ is not None:
            end = OPEN_AIR
        elif number == 0 and seam is not None:
            end = seam
        else:
            end = f"{run.name}{SEAM}{following.name}"
        before = end
        yield Line(number, start, end)
