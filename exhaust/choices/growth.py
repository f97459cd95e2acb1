"""What heat does to the lengths of a system, and where it must be let move."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, NamedTuple

from exhaust.engine.flow import ExhaustFlow
from exhaust.flow.installed import Owner, in_order
from exhaust.joints import Joint
from exhaust.show import quantity
from exhaust.stock import material
from exhaust.system import OPEN_AIR, Graph, Merge, Part, System

if TYPE_CHECKING:
    from exhaust.choices.along import PlaceFlow

# Beyond this, hangers must let the pipe slide; common practice, no source.
SLIDES = 5e-3  # [m]


class Tie(NamedTuple):
    """A place that ties pipes together which the engine holds apart."""

    name: str
    across: float | None  # how much it grows between the pipes; None where they meet [m]
    flexible: bool  # a flexible joint stands ahead of it in every pipe


class Growth(NamedTuple):
    """Growth from cold to hot."""

    along: float  # of the way from inlet to outlet that grows most [m]
    ties: tuple[Tie, ...]


def growth(system: System, places: Mapping[Owner, PlaceFlow], flow: ExhaustFlow) -> Growth:
    """Return the growth of `system` from cold, with the gas through its `places`."""
    graph = system.graph
    so_far = dict.fromkeys(graph.inlets, 0.0)
    for line in in_order(graph):
        behind = places[line.end].growth if line.end in places else 0.0
        reached = so_far[line.start] + places[line.run].growth + behind
        so_far[line.end] = max(so_far.get(line.end, 0.0), reached)
    return Growth(so_far.get(OPEN_AIR, 0.0), tuple(_ties(system, places, flow)))


def _ties(system: System, places: Mapping[Owner, PlaceFlow], flow: ExhaustFlow) -> Iterator[Tie]:
    """Yield the joints and merges that tie pipes together, but for those of one bank's ports."""
    graph = system.graph
    for name, thing in graph.places.items():
        across = None
        if isinstance(thing, Joint) and thing.legs_in > 1:
            wall = places[name].wall_temperature
            if wall is not None and thing.legs_out > 1:
                warmer = wall - flow.ambient_temperature
                across = thing.spacing * material(thing.tube.material).expansion * warmer
        elif not isinstance(thing, Merge) or not _brings_together(graph, name, flow):
            continue
        yield Tie(name, across, _flexible_ahead(graph, name))


def _brings_together(graph: Graph, place: str, flow: ExhaustFlow) -> bool:
    """Return whether streams meet at `place` that may come from two banks."""
    if len(graph.into(place)) < 2:
        return False
    ahead = {name for line in graph.into(place) for name in graph.passed(line.run)}
    inlets = [inlet for name, inlet in graph.inlets.items() if name in ahead]
    cylinders = {number for inlet in inlets for number in inlet.cylinders}
    known = all(inlet.cylinders for inlet in inlets)
    return not (known and any(cylinders <= set(bank) for bank in flow.engine.banks.values()))


def _flexible_ahead(graph: Graph, place: str) -> bool:
    """Return whether a flexible joint stands on every way from an inlet to `place`."""

    def gives(start: str) -> bool:
        thing = graph.places.get(start)
        flexible = isinstance(thing, Part) and thing.kind == "flexible joint"
        return flexible or _flexible_ahead(graph, start)

    ways = graph.into(place)
    return bool(ways) and all(gives(line.start) for line in ways)


def growth_notes(growth: Growth) -> list[str]:
    """Return what growth asks for, in words.

    >>> growth_notes(Growth(0.012, ()))
    ['Hot, the pipe is 0.47 in longer than cold: hangers must let it slide.']
    """
    said = []
    if growth.along > SLIDES:
        longer = quantity(growth.along, "growth")
        said.append(f"Hot, the pipe is {longer} longer than cold: hangers must let it slide.")
    for tie in growth.ties:
        grows = ""
        if tie.across is not None:
            grows = f" and grow {quantity(tie.across, 'growth')} further apart"
        if tie.flexible:
            remedy = "the flexible joint ahead of it takes that up"
        else:
            remedy = "put a flexible joint or a slip ahead of it"
        said.append(f"At {tie.name} the pipes are tied together{grows}: {remedy}.")
    return said
