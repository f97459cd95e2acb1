"""A system as the steady solver takes it: links of pieces between junctions.

Several systems that differ only in their tube become one network of arrays, the systems along
the first axis. Of pipes that stand side by side alike, one is built: by symmetry nothing flows
across from it to its image.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from exhaust.errors import broken
from exhaust.flow.balance import Link, Network
from exhaust.flow.heat import Gas as HotGas
from exhaust.flow.joint_pieces import across, joint_middle, joint_tube, merges
from exhaust.flow.piece import Piece
from exhaust.flow.system_pieces import Pieces, Service
from exhaust.joints import HPipe, Joint
from exhaust.system import Graph, Line, Merge, System

Owner = int | str  # a run by its number, a place by its name


class Installed(NamedTuple):
    """The `network` of systems, and what in them each piece of a link is part of."""

    network: Network
    owners: dict[str, tuple[Owner, ...]]  # by link, piece by piece


def installed(systems: Sequence[System], gas: HotGas, service: Service, axes: int = 0) -> Installed:
    """Return the network of one pipe of each of `systems`, alike but for tube.

    `axes` is how many axes the samples have; the systems lie along the axis before them.

    >>> from exhaust import Run, Tube
    >>> from exhaust.engine.species import gas_table
    >>> from exhaust.gas.properties import Mixture
    >>> air = Mixture({"N2": 0.79, "O2": 0.21}, gas_table())
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> runs = [Run(name=name, tube=tube, length="1 m") for name in ("head", "tail")]
    >>> found = installed([System(runs=runs)], air, Service())
    >>> [(link.start, link.end) for link in found.network.links], found.owners
    ([('engine', 'open air 1')], {'head': (0, 1)})
    """
    layout = _Layout(Pieces(systems, gas, service, axes))
    return Installed(layout.network(), layout.owners)


class _Layout:
    """Walks the graph of a system and builds its links."""

    def __init__(self, pieces: Pieces) -> None:
        self.pieces, self.graph = pieces, pieces.first.graph
        self.links: list[Link] = []
        self.owners: dict[str, tuple[Owner, ...]] = {}
        self.reached: dict[str, ArrayLike] = {}  # distance from the ports [m]

    def network(self) -> Network:
        """Return the network, its links in the order of the flow."""
        inlets = self.graph.inlets
        for name, inlet in inlets.items():
            self.reached[name] = float(inlet.distance)
        tied: set[str] = set()
        for line in in_order(self.graph):
            if line.start not in inlets and not self._is_junction(line.start):
                continue
            if isinstance(self._thing(line.start), HPipe) and line.start not in tied:
                tied.add(line.start)
                self._tie(line.start)
            self._link(line)
        return Network(tuple(self.links), inlet_shares(self.pieces.first))

    def _link(self, line: Line) -> None:
        """Add the link that starts with a run, on to the next junction or outlet."""
        first, found = line, list[tuple[Owner, Piece]]()
        if self._is_junction(line.start):
            found += self._joint(line.start, line.run, leaving=True)
        while True:
            found.append((line.run, self.pieces.run(line.run)))
            following = self.graph.out_of(line.end)
            if not following or self._is_junction(line.end):
                break
            (after,) = following
            found += self._passed(line, after)
            line = after
        if self._is_junction(line.end):
            found += self._joint(line.end, line.run, leaving=False)
        link = Link(
            name=self.pieces.first.runs[first.run].name,
            start=self._node(first, leaving=True),
            end=self._node(line, leaving=False),
            pieces=(),
            leaving=self._axis(first, leaving=True),
            arriving=self._axis(line, leaving=False),
        )
        self._add(link, found)

    def _add(self, link: Link, found: Sequence[tuple[Owner, Piece]]) -> None:
        """Add a link with its pieces, each at its distance from the ports."""
        reached = self.reached[link.start]
        placed = []
        for _, piece in found:
            placed.append(piece._replace(distance=reached))
            reached = reached + np.asarray(piece.length, float)
        self.reached[link.end] = np.maximum(self.reached.get(link.end, 0.0), reached)
        self.links.append(link._replace(pieces=tuple(placed)))
        self.owners[link.name] = tuple(owner for owner, _ in found)

    def _passed(self, before: Line, after: Line) -> list[tuple[Owner, Piece]]:
        """Return the pieces at a place between two runs."""
        place = before.end
        if isinstance(self._thing(place), Joint):
            return [
                (place, joint_tube(self.pieces, place, before.run, leaving=False)),
                (place, joint_middle(self.pieces, place, before.run)),
                (place, joint_tube(self.pieces, place, after.run, leaving=True)),
            ]
        return [(place, piece) for piece in self.pieces.between(before.run, place, after.run)]

    def _joint(self, place: str, run: int, *, leaving: bool) -> list[tuple[Owner, Piece]]:
        """Return a joint's own way up to where its sides meet; nothing at a plain merge."""
        thing = self._thing(place)
        if not isinstance(thing, Joint):
            return []
        found = [joint_tube(self.pieces, place, run, leaving=leaving)]
        if not leaving and not merges(thing):
            found.append(joint_middle(self.pieces, place, run))
        if leaving and not found[0].is_tube:
            return []  # a merge whose outlet starts with the run
        return [(place, piece) for piece in found]

    def _tie(self, place: str) -> None:
        """Add the balance tube of an H pipe, from its first side to its second."""
        joint = self._thing(place)
        assert isinstance(joint, HPipe)
        first, second = (self._node(line, leaving=True) for line in self.graph.out_of(place))
        along, up = math.cos(joint.angle), math.sin(joint.angle)
        name = f"{place} | balance tube"
        pieces = (across(self.pieces, place),)
        self.links.append(Link(name, first, second, pieces, (along, up, 0.0), (-along, -up, 0.0)))
        self.owners[name] = (place,)

    def _thing(self, place: str) -> object:
        return self.pieces.places.get(place)

    def _is_junction(self, place: str) -> bool:
        return len(self.graph.into(place)) + len(self.graph.out_of(place)) > 2

    def _node(self, line: Line, *, leaving: bool) -> str:
        """Return where in the network a run starts or ends: at an H pipe, on one side of it."""
        place = line.start if leaving else line.end
        if not leaving and not self.graph.out_of(place):
            return f"{place} {line.run}"
        if not (isinstance(self._thing(place), HPipe) and self._is_junction(place)):
            return place
        lines = self.graph.out_of(place) if leaving else self.graph.into(place)
        return f"{place} | side {lines.index(line) + 1}"

    def _axis(self, line: Line, *, leaving: bool) -> tuple[float, ...]:
        """Return the unit vector out of a place along a run.

        Legs that merge or part lie round the axis of the one; the sides of a crossover lie beside
        each other there, its turns counted on the way.
        """
        place = line.start if leaving else line.end
        lines = self.graph.out_of(place) if leaving else self.graph.into(place)
        thing, angle = self._thing(place), 0.0
        if isinstance(thing, Merge) and len(lines) > 1:
            angle = float(thing.angle)
        elif isinstance(thing, Joint) and merges(thing) and len(lines) > 1:
            angle = float(thing.leg_angle)
        round_it = 2 * math.pi * lines.index(line) / len(lines)
        out = 1.0 if leaving else -1.0
        wide = math.sin(angle)
        return (
            out * math.cos(angle),
            wide * math.cos(round_it),
            wide * math.sin(round_it),
        )


def in_order(graph: Graph) -> list[Line]:
    """Return the lines so that each comes after all that end where it starts.

    >>> from exhaust import Run, Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> runs = [Run(name=name, tube=tube, length="1 m") for name in ("head", "tail")]
    >>> [line.run for line in in_order(System(runs=runs).graph)]
    [0, 1]
    """
    left, found = list(graph.lines), list[Line]()
    while left:
        ends = {line.end for line in left}
        found += [line for line in left if line.start not in ends]
        left = [line for line in left if line.start in ends]
    return found


def inlet_shares(system: System) -> Mapping[str, float]:
    """Return the share of one pipe's gas that each inlet brings.

    Raises `ExhaustError` where some inlets name their cylinders and others none.

    >>> from exhaust import Run, Tube
    >>> tail = Run(name="tail", tube=Tube(od="3 in", wall="16 ga"), length="2 m")
    >>> inlet_shares(System(runs=[tail]))
    {'engine': 1.0}
    """
    inlets = system.graph.inlets
    count = sum(len(one.cylinders) for one in inlets.values())
    if not count:
        return dict.fromkeys(inlets, 1.0 / len(inlets))
    for name, one in inlets.items():
        if not one.cylinders:
            rule = "names no cylinders where other inlets do"
            raise broken(rule, None, "name them for every inlet or none").named(f"inlet {name!r}")
    return {name: len(one.cylinders) / count for name, one in inlets.items()}
