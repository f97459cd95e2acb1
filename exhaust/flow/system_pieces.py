"""Runs, parts, steps and cones of a system as pieces; systems alike but for tube along axis 0."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from exhaust.flow.fittings import (
    cone_contraction_loss,
    cone_expansion_loss,
    contraction_loss,
    expansion_loss,
)
from exhaust.flow.friction import ROUGHNESS, FloatArray
from exhaust.flow.heat import PULSING, Stirring, Surroundings, TubeHeat
from exhaust.flow.heat import Gas as HotGas
from exhaust.flow.losses import bend_loss
from exhaust.flow.passage import Heat, no_heat
from exhaust.flow.piece import Piece
from exhaust.joints import Joint
from exhaust.system import Cone, Part, Place, System

BENCH_DENSITY = 1.2  # air on a flow bench [kg/m^3]
_LEVEL = 1.0  # angle that stands for a cone between two tubes of one size [rad]
_SOME = 0.05  # friction factor at which the slope of a cone's loss is taken


class Service(NamedTuple):
    """What tube, bends, parts and weather are like in service; arrays (samples...) or numbers."""

    roughness: ArrayLike = ROUGHNESS.middle  # [m]
    bends: ArrayLike = 1.0  # factor on the loss of bends
    parts: ArrayLike = 1.0  # factor on the loss of silencers and catalysts
    joint: ArrayLike = 1.0  # factor on the loss of a joint
    around: Surroundings | None = None  # none: no heat is lost
    stirring: Stirring = PULSING


class Pieces:
    """Makes the pieces of `systems` alike but for tube; arrays (systems, samples...)."""

    def __init__(self, systems: Sequence[System], gas: HotGas, service: Service, axes: int) -> None:
        """Make ready; `axes` is how many axes the samples have."""
        self.systems, self.first = tuple(systems), systems[0]
        self.gas, self.service, self.axes = gas, service, axes
        # A cone goes where a tube makes both of its ends alike: another system may still have it.
        self.places: dict[str, Place | Joint] = {}
        for system in self.systems:
            self.places |= system.graph.places

    def stacked(self, value: Callable[[System], float]) -> FloatArray:
        """Return a number of each system as an array (systems, 1...)."""
        values = np.array([value(system) for system in self.systems], float)
        return values.reshape(-1, *(1,) * self.axes)

    def area(self, run: int) -> FloatArray:
        """Return the flow area of a run [m^2]."""
        return self.stacked(lambda system: system.runs[run].tube.flow_area)

    def heat(self, run: int) -> Heat:
        """Return what the wall of a run's tube takes."""
        around = self.service.around
        if around is None:
            return no_heat
        wall = self.stacked(lambda system: system.runs[run].tube.wall)
        return TubeHeat(self.gas, 1.0, wall, around, self.service.stirring)

    def run(self, number: int) -> Piece:
        """Return the tube of a run with its bends."""

        def turns(friction: float) -> Callable[[System], float]:
            return lambda system: sum(
                float(bend_loss(bend.tube.inside_diameter, bend.clr, bend.angle, friction))
                for bend in system.runs[number].bends
            )

        run, area = self.first.runs[number], self.area(number)
        smooth, rough = self.stacked(turns(0.0)), self.stacked(turns(1.0))
        bends, parts = (np.asarray(v, float) for v in (self.service.bends, self.service.parts))
        return Piece(
            name=run.name,
            start=area,
            end=area,
            length=run.length,
            roughness=self.service.roughness,
            loss=bends * smooth + parts * run.loss,
            loss_per_friction=bends * (rough - smooth),
            heat=self.heat(number),
        )

    def between(self, before: int, place: str, after: int) -> Iterator[Piece]:
        """Yield a part, a cone or a step at a place between two runs, by number."""
        thing = self.places.get(place)
        ahead, behind = self.area(before), self.area(after)
        if isinstance(thing, Part):
            loss = np.asarray(self.service.parts, float) * part_loss(thing, ahead)
            yield Piece(place, ahead, ahead, loss=loss)
        if np.all(ahead == behind):
            return
        if isinstance(thing, Cone):
            yield self._cone(thing, before, after)
        else:
            ratio = np.minimum(ahead, behind) / np.maximum(ahead, behind)
            loss = np.where(behind > ahead, expansion_loss(ratio), contraction_loss(ratio))
            yield Piece(place, ahead, behind, loss=loss)

    def _cone(self, cone: Cone, before: int, after: int) -> Piece:
        """Return a cone; its formula counts its friction, linear in the friction factor.

        Between two tubes of one size that friction is f L/D, as in tube.
        """
        ahead, behind = self.area(before), self.area(after)
        small, large = np.minimum(ahead, behind), np.maximum(ahead, behind)
        widths = [np.sqrt(4 / np.pi * area) for area in (small, large)]
        even = small == large
        angle = np.where(
            even, _LEVEL, 2 * np.arctan((widths[1] - widths[0]) / (2 * float(cone.length)))
        )

        def loss(friction: float) -> FloatArray:
            wider, narrower = (
                form(small / large, angle, friction)
                for form in (cone_expansion_loss, cone_contraction_loss)
            )
            return np.where(behind > ahead, wider, narrower)

        rubbing = np.where(even, cone.length / widths[0], (loss(_SOME) - loss(0.0)) / _SOME)
        return Piece(
            name=cone.name,
            start=ahead,
            end=behind,
            length=cone.length,
            roughness=self.service.roughness,
            loss=loss(0.0),
            loss_per_friction=rubbing,
            heat=self.heat(before),
        )


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
