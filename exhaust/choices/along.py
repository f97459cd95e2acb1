"""What the gas does along a system, place by place."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Sequence
from itertools import groupby
from typing import NamedTuple

import attrs
import numpy as np

from exhaust.choices.steady import FloatArray, Steady
from exhaust.engine.flow import ExhaustFlow
from exhaust.flow.chain import PieceFlow
from exhaust.flow.installed import Owner
from exhaust.flow.moving import dynamic_head, mach_number, total_pressure
from exhaust.flow.quick import Moving
from exhaust.joints import Joint
from exhaust.stock import Tube, material
from exhaust.system import Cone, Graph, System


@attrs.frozen(kw_only=True)
class PlaceFlow:
    """One run, part, cone, joint or merge with the gas through it.

    Of a place where streams meet or part, all of its gas: temperatures and pressures are means by
    flow, over the streams where they come in and where they go out.
    """

    name: str
    tube: Tube
    mass_flow: float  # [kg/s]
    length: float  # on the centreline of one side; nought for a part or a merge [m]
    start_temperature: float  # of the gas, total [K]
    end_temperature: float  # [K]
    wall_temperature: float | None  # in the middle; None for a part or a merge [K]
    velocity: float  # the largest at its ends [m/s]
    mach: float  # there
    dynamic_head: float  # where it starts [Pa]
    total_pressure_loss: float  # [Pa]
    growth: float  # in length, cold to hot [m]


class _End(NamedTuple):
    """The gas where one stream comes into a place or goes out of it."""

    mass_flow: float  # [kg/s]
    at: Moving


class _Passed(NamedTuple):
    """The streams into a place and out of it, and its own pieces."""

    into: list[_End]
    out: list[_End]
    pieces: list[PieceFlow]


def _empty() -> _Passed:
    return _Passed([], [], [])


def along(system: System, steady: Steady, flow: ExhaustFlow) -> dict[Owner, PlaceFlow]:
    """Return what flows through each run, by number, and each place, by name, as the gas goes.

    `steady` is the flow through this one system, one sample of it. The losses of total pressure,
    each by its share of the flow, add up to what is lost between inlets and outlets.
    """
    graph = system.graph
    rows: dict[Owner, _Passed] = {}
    meeting: defaultdict[Owner, _Passed] = defaultdict(_empty)
    for link in steady.installed.network.links:
        owners = steady.installed.owners[link.name]
        runs = [owner for owner in owners if isinstance(owner, int)]
        if not runs:
            continue  # a balance tube: within its joint
        mass_flow = float(steady.flow.mass_flow[link.name].flat[0])
        first = _junction(graph, graph.lines[runs[0]].start)
        last = _junction(graph, graph.lines[runs[-1]].end)
        if first is not None:
            rows.setdefault(first, meeting[first])
        groups = _groups(owners, steady.flow.chains[link.name].pieces)
        for owner, pieces in groups:
            inside = owner in (first, last)
            passed = meeting[owner] if inside else rows.setdefault(owner, _empty())
            passed.pieces.extend(pieces)
            if not inside:
                passed.into.append(_End(mass_flow, pieces[0].start))
                passed.out.append(_End(mass_flow, pieces[-1].end))
        if first is not None:
            owner, pieces = groups[0]
            at = pieces[-1].end if owner == first else pieces[0].start
            meeting[first].out.append(_End(mass_flow, at))
        if last is not None:
            owner, pieces = groups[-1]
            at = pieces[0].start if owner == last else pieces[-1].end
            meeting[last].into.append(_End(mass_flow, at))
    return {owner: _place_flow(owner, one, system, flow) for owner, one in rows.items()}


def _junction(graph: Graph, place: str) -> str | None:
    """Return `place` if streams meet or part there."""
    return place if len(graph.into(place)) + len(graph.out_of(place)) > 2 else None


def _groups(
    owners: Sequence[Owner], pieces: Sequence[PieceFlow]
) -> list[tuple[Owner, list[PieceFlow]]]:
    """Return the pieces of a link, those of one owner together."""
    pairs = zip(owners, pieces, strict=True)
    return [(owner, [one for _, one in of]) for owner, of in groupby(pairs, lambda pair: pair[0])]


def _place_flow(owner: Owner, passed: _Passed, system: System, flow: ExhaustFlow) -> PlaceFlow:
    gas, (name, tube, length) = flow.gas, _stock(owner, system)
    walls = [float(one.warmth.wall.flat[0]) for one in passed.pieces]
    known = [wall for wall in walls if np.isfinite(wall)]
    wall = sum(known) / len(known) if known else None
    fastest = max((*passed.into, *passed.out), key=lambda end: float(end.at.velocity.flat[0])).at
    warmer = 0.0 if wall is None else wall - flow.ambient_temperature

    def pressure(at: Moving) -> FloatArray:
        return total_pressure(at, gas)

    return PlaceFlow(
        name=name,
        tube=tube,
        mass_flow=sum(end.mass_flow for end in passed.into),
        length=length,
        start_temperature=_mean(passed.into, lambda at: at.total_temperature),
        end_temperature=_mean(passed.out, lambda at: at.total_temperature),
        wall_temperature=wall,
        velocity=float(fastest.velocity.flat[0]),
        mach=float(mach_number(fastest, gas).flat[0]),
        dynamic_head=_mean(passed.into, lambda at: dynamic_head(at, gas)),
        total_pressure_loss=_mean(passed.into, pressure) - _mean(passed.out, pressure),
        growth=length * material(tube.material).expansion * warmer,
    )


def _mean(ends: Sequence[_End], value: Callable[[Moving], FloatArray]) -> float:
    """Return the mean of a value by flow."""
    total = sum(end.mass_flow for end in ends)
    return sum(end.mass_flow / total * float(value(end.at).flat[0]) for end in ends)


def _stock(owner: Owner, system: System) -> tuple[str, Tube, float]:
    """Return what a run or place is called, its tube and its length [m]."""
    if isinstance(owner, int):
        run = system.runs[owner]
        return run.name, run.tube, float(run.length)
    graph, thing = system.graph, system.graph.places.get(owner)
    if isinstance(thing, Joint):
        return owner, thing.tube, float(thing.centreline_length)
    into, out = graph.into(owner), graph.out_of(owner)
    tube = system.runs[(out if len(out) == 1 < len(into) else into)[0].run].tube
    length = float(thing.length) if isinstance(thing, Cone) else 0.0
    # A step between two runs stands where nothing else does.
    return (owner if thing is not None else f"step at {owner}"), tube, length
