"""What heat does to the lengths of a system, and where it must be let move."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, NamedTuple

from exhaust.joints import Joint
from exhaust.show import quantity
from exhaust.stock import material
from exhaust.system import OPEN_AIR, Graph, Merge, Part, System

if TYPE_CHECKING:
    from exhaust.choices.through import PlaceFlow

# Beyond this, hangers must let the pipe slide; common practice, no source.
SLIDES = 5e-3  # [m]


class Tie(NamedTuple):
    """A place that ties pipes together which the engine holds apart."""

    name: str
    across: float | None  # how much it grows between the pipes; None where they meet [m]
    flexible: bool  # a flexible joint stands ahead of it in every pipe


class Growth(NamedTuple):
    """Growth from cold to hot."""

    along: float  # of the longest way from inlet to outlet [m]
    ties: tuple[Tie, ...]

    @classmethod
    def of(cls, system: System, places: Mapping[str, PlaceFlow], ambient: float) -> Growth:
        """Return the growth of `system`, its `places` by name, cold at `ambient` [K]."""
        graph = system.graph
        along = dict.fromkeys(graph.inlets, 0.0)
        for line in _in_order(graph):
            run = places[system.runs[line.run].name]
            behind = places[line.end].growth if line.end in places else 0.0
            so_far = along[line.start] + run.growth + behind
            along[line.end] = max(along.get(line.end, 0.0), so_far)
        return cls(along.get(OPEN_AIR, 0.0), tuple(_ties(system, places, ambient)))


def _in_order(graph: Graph) -> list:  # type: ignore[type-arg]
    """Return the lines so that each comes after those that end where it starts."""
    left, found = list(graph.lines), []
    while left:
        ready = [one for one in left if not any(other.end == one.start for other in left)]
        found += ready
        left = [one for one in left if one not in ready]
    return found


def _ties(system: System, places: Mapping[str, PlaceFlow], ambient: float) -> list[Tie]:
    graph, found = system.graph, []
    for name, thing in graph.places.items():
        across = None
        if isinstance(thing, Joint):
            if thing.legs_in < 2:
                continue
            wall = places[name].wall_temperature if name in places else None
            if wall is not None and thing.legs_out > 1:
                across = thing.spacing * material(thing.tube.material).expansion * (wall - ambient)
        elif not (isinstance(thing, Merge) and len(graph.into(name)) > 1):
            continue
        found.append(Tie(name, across, _flexible_ahead(graph, name)))
    return found


def _flexible_ahead(graph: Graph, place: str) -> bool:
    """Whether a flexible joint stands on every way from an inlet to `place`."""
    if place in graph.inlets:
        return False
    ways = graph.into(place)

    def bends(start: str) -> bool:
        thing = graph.places.get(start)
        if isinstance(thing, Part) and thing.kind == "flexible joint":
            return True
        return _flexible_ahead(graph, start)

    return bool(ways) and all(bends(line.start) for line in ways)


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
            grows = f" and grows {quantity(tie.across, 'growth')} sideways"
        if tie.flexible:
            said.append(f"{tie.name} ties the pipes together{grows}; a flexible joint is ahead.")
        else:
            said.append(
                f"{tie.name} ties the pipes together{grows}: it needs a flexible joint or a slip "
                "before here."
            )
    return said
