"""A system as the steady solver takes it: its runs, parts and joints as pieces and junctions.

Several systems that differ only in their tube become one network of arrays, the systems along
the first axis. Of pipes that stand side by side alike, one is built: by symmetry nothing flows
across from it to its image.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from exhaust.flow.balance import Link, Network
from exhaust.flow.fittings import (
    cone_contraction_loss,
    cone_expansion_loss,
    contraction_loss,
    expansion_loss,
    mitre_loss,
)
from exhaust.flow.friction import ROUGHNESS, FloatArray
from exhaust.flow.heat import PULSING, Stirring, Surroundings, TubeHeat
from exhaust.flow.heat import Gas as HotGas
from exhaust.flow.losses import bend_loss, narrowing_loss
from exhaust.flow.passage import Heat, no_heat
from exhaust.flow.piece import Piece
from exhaust.joints import Joint, ParallelX
from exhaust.system import Cone, Merge, Part, System

BENCH_DENSITY = 1.2  # air on a flow bench [kg/m^3]
STEP = "step"


class Service(NamedTuple):
    """What tube, bends, parts and weather are like in service; arrays (samples...) or numbers."""

    roughness: ArrayLike = ROUGHNESS.middle  # [m]
    bends: ArrayLike = 1.0  # factor on the loss of bends
    parts: ArrayLike = 1.0  # factor on the loss of silencers and catalysts
    joint: ArrayLike = 1.0  # factor on the loss of a joint
    around: Surroundings | None = None  # none: no heat is lost
    stirring: Stirring = PULSING


class Layout:
    """Builds the network of `systems` alike but for tube, one along the first axis each."""

    def __init__(self, systems: Sequence[System], gas: HotGas, service: Service, axes: int) -> None:
        """Make ready; `axes` is how many axes the samples have."""
        self.systems, self.first = list(systems), systems[0]
        self.graph = self.first.graph
        self.gas, self.service, self.axes = gas, service, axes
        self.reached: dict[str, ArrayLike] = {}  # distance from the ports [m]

    def network(self) -> Network:
        """Return the network."""
        inlets = self.graph.inlets
        shares = inlet_shares(self.first)
        links: list[Link] = []
        waiting = [line for line in self.graph.lines if line.start in inlets]
        for name, inlet in inlets.items():
            self.reached[name] = float(inlet.distance)
        seen: set[str] = set(inlets)
        while waiting:
            line = waiting.pop(0)
            link = self._link(line.run)
            links.append(link)
            if self._is_junction(link.end) and link.end not in seen:
                seen.add(link.end)
                waiting += self.graph.out_of(link.end)
        return Network(tuple(links), {name: shares[name] for name in inlets})

    def _link(self, number: int) -> Link:
        """Return the link that starts with a run, on to the next junction or outlet."""
        line = self.graph.lines[number]
        start = line.start
        pieces = self._half_joint(start, leaving=True) if self._is_junction(start) else []
        while True:
            pieces.append(self._run(line.run))
            end, following = line.end, self.graph.out_of(line.end)
            if self._is_junction(end) or not following:
                break
            pieces += self._between(line.run, end, following[0].run)
            line = following[0]
        if self._is_junction(end):
            pieces += self._half_joint(end, leaving=False)
        reached = self.reached[start]
        placed = []
        for piece in pieces:
            placed.append(piece._replace(distance=reached))
            reached = reached + np.asarray(piece.length, float)
        self.reached[end] = np.maximum(self.reached.get(end, 0.0), reached)
        return Link(
            name=self.first.runs[number].name,
            start=start,
            end=end if following else f"{end} {line.run}",
            pieces=tuple(placed),
            leaving=self._axis(start, number, leaving=True),
            arriving=self._axis(end, line.run, leaving=False),
        )

    def _is_junction(self, place: str) -> bool:
        return len(self.graph.into(place)) + len(self.graph.out_of(place)) > 2

    def _stacked(self, value: Callable[[System], float]) -> FloatArray:
        """Return a number of each system as an array (systems, 1...)."""
        values = np.array([value(system) for system in self.systems], float)
        return values.reshape(-1, *(1,) * self.axes)

    def _area(self, number: int) -> FloatArray:
        return self._stacked(lambda system: system.runs[number].tube.flow_area)

    def _heat(self, number: int) -> Heat:
        around = self.service.around
        if around is None:
            return no_heat
        wall = self._stacked(lambda system: system.runs[number].tube.wall)
        return TubeHeat(self.gas, 1.0, wall, around, self.service.stirring)

    def _run(self, number: int) -> Piece:
        """Return the tube of a run with its bends."""

        def turns(friction: float) -> Callable[[System], float]:
            return lambda system: sum(
                float(bend_loss(bend.tube.inside_diameter, bend.clr, bend.angle, friction))
                for bend in system.runs[number].bends
            )

        run, area = self.first.runs[number], self._area(number)
        smooth, rough = self._stacked(turns(0.0)), self._stacked(turns(1.0))
        bends, parts = (np.asarray(v, float) for v in (self.service.bends, self.service.parts))
        return Piece(
            name=run.name,
            start=area,
            end=area,
            length=run.length,
            roughness=self.service.roughness,
            loss=bends * smooth + parts * run.loss,
            loss_per_friction=bends * (rough - smooth),
            heat=self._heat(number),
        )

    def _between(self, before: int, place: str, after: int) -> Iterator[Piece]:
        """Yield the pieces at a place between two runs."""
        thing = self.graph.places.get(place)
        ahead, behind = self._area(before), self._area(after)
        if isinstance(thing, Joint):
            yield from self._whole_joint(place, before)
        elif isinstance(thing, Part):
            loss = np.asarray(self.service.parts, float) * part_loss(thing, ahead)
            yield Piece(place, ahead, ahead, loss=loss)
        if not np.all(ahead == behind):
            small, large = np.minimum(ahead, behind), np.maximum(ahead, behind)
            ratio = small / large
            if isinstance(thing, Cone):
                yield self._cone(thing, ahead, behind)
            else:
                loss = np.where(behind > ahead, expansion_loss(ratio), contraction_loss(ratio))
                yield Piece(f"{STEP} at {place}", ahead, behind, loss=loss)

    def _cone(self, cone: Cone, ahead: FloatArray, behind: FloatArray) -> Piece:
        """Return a cone; its formula counts its friction, linear in the friction factor."""
        widths = [np.sqrt(4 / np.pi * area) for area in (ahead, behind)]
        angle = 2 * np.arctan(np.abs(widths[1] - widths[0]) / (2 * cone.length))
        ratio = np.minimum(ahead, behind) / np.maximum(ahead, behind)

        def loss(friction: float) -> FloatArray:
            wider, narrower = (
                form(ratio, angle, friction)
                for form in (cone_expansion_loss, cone_contraction_loss)
            )
            return np.where(behind > ahead, wider, narrower)

        return Piece(
            name=cone.name,
            start=ahead,
            end=behind,
            length=cone.length,
            roughness=self.service.roughness,
            loss=loss(0.0),
            loss_per_friction=loss(1.0) - loss(0.0),
        )

    def _whole_joint(self, place: str, number: int) -> Iterator[Piece]:
        """Yield a joint's own way through: half of it, where it is narrowest, the other half."""
        half, narrowest = self._joint_parts(place, number)
        yield from (half, narrowest, half)

    def _half_joint(self, place: str, *, leaving: bool) -> list[Piece]:
        """Return a joint's own way up to where its sides meet; nothing at a plain merge."""
        if not isinstance(self.graph.places.get(place), Joint):
            return []
        half, narrowest = self._joint_parts(place, self.graph.into(place)[0].run)
        return [half] if leaving else [half, narrowest]

    def _joint_parts(self, place: str, number: int) -> tuple[Piece, Piece]:
        """Return half of one side of the joint, in the tube of a run, and its narrowest place."""
        area = self._area(number)

        def of(value: Callable[[Joint], float]) -> FloatArray:
            def at(system: System) -> float:
                assert system.joint is not None
                return value(system.joint)

            return self._stacked(at)

        factor = np.asarray(self.service.joint, float)
        smooth = of(lambda one: turning_loss(one, 0.0))
        rough = of(lambda one: turning_loss(one, 1.0))
        half = Piece(
            name=place,
            start=area,
            end=area,
            length=of(lambda one: one.centreline_length / 2),
            roughness=self.service.roughness,
            loss=factor * smooth / 2,
            loss_per_friction=factor * (rough - smooth) / 2,
            heat=self._heat(number),
        )
        narrow = factor * of(lambda one: float(narrowing_loss(one.narrowest_ratio)))
        return half, Piece(f"{place}, narrowest", area, area, loss=narrow)

    def _axis(self, place: str, number: int, *, leaving: bool) -> tuple[float, ...]:
        """Return the unit vector out of a place along a run."""
        into, out = self.graph.into(place), self.graph.out_of(place)
        thing = self.graph.places.get(place)
        legs = [line.run for line in (out if leaving else into)]
        ahead = 1.0 if leaving else -1.0
        if isinstance(thing, Merge):
            angle = float(thing.angle) if len(legs) > 1 else 0.0
        else:
            angle = thing.leg_angle if isinstance(thing, Joint) and len(legs) > 1 else 0.0
        round_it = 2 * math.pi * legs.index(number) / len(legs) if number in legs else 0.0
        across = math.sin(angle)
        return (
            ahead * math.cos(angle),
            across * math.cos(round_it),
            across * math.sin(round_it),
        )


def turning_loss(joint: Joint, friction: float) -> float:
    """Return the loss coefficient of one side's turns through `joint`, at a friction factor.

    Bends beyond the friction of their length, as `bend_loss`; a splayed joint turns as a mitre.
    """
    if isinstance(joint, ParallelX):
        bore, half = joint.tube.inside_diameter, joint.half_angle
        main = bend_loss(bore, joint.bend.clr, 2 * half, friction)
        returns = bend_loss(bore, joint.return_bend.clr, half, friction)
        return float(main + 2 * returns)
    return float(mitre_loss(joint.turning))


def part_loss(part: Part, area: FloatArray) -> FloatArray:
    """Return the loss coefficient of a part on the head of the tube ahead of it [-].

    From a bench: K = 2 p/(rho u^2) - 1, the bench's own exit taken off; a part that would flow
    more than the tube loses nothing beside it.

    >>> part = Part(name="silencer", rated_flow="450 cfm")
    >>> part_loss(part, np.array([0.002, 0.00417])).round(2).tolist()
    [0.03, 3.48]
    """
    if part.rated_flow is None:
        return np.full_like(area, part.loss or 0.0)
    head = BENCH_DENSITY / 2 * (part.rated_flow / area) ** 2
    return np.maximum(part.rated_depression / head - 1.0, 0.0)


def inlet_shares(system: System) -> Mapping[str, float]:
    """Return the share of one pipe's gas that each inlet brings.

    >>> from exhaust import Run, Tube
    >>> tail = Run(name="tail", tube=Tube(od="3 in", wall="16 ga"), length="2 m")
    >>> inlet_shares(System(runs=[tail]))
    {'engine': 1.0}
    """
    inlets = system.graph.inlets
    count = sum(len(one.cylinders) for one in inlets.values())
    if not count:
        return dict.fromkeys(inlets, 1.0 / len(inlets))
    return {name: len(one.cylinders) / count for name, one in inlets.items()}
