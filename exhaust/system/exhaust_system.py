"""The exhaust as installed, from where the gas comes in to the open air.

Every question reads the same system. Stock is named once: `with_tube` rebuilds the runs and the
joint together, and a joint whose tube differs from its runs is refused.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import attrs

from exhaust import units
from exhaust.describe import Description, require, within
from exhaust.errors import broken
from exhaust.joints import Joint, YMerge
from exhaust.show import listed
from exhaust.stock import Tube
from exhaust.system.checks import check
from exhaust.system.graph import Graph, laid
from exhaust.system.places import Cone, Inlet, Merge, Part, Place, Sensor
from exhaust.system.run import OPEN_AIR, Run, a_name, all_of

ENGINE = Inlet(name="engine")  # where none is described
SIDES = ("left", "right")  # of two pipes; more are numbered


def _runs(value: object) -> tuple[Run, ...]:
    runs = all_of(value, Run, "runs")
    if not runs:
        raise broken("is empty", None, "give at least one run of tube")
    return runs


def _inlets(value: object) -> tuple[Inlet, ...]:
    return all_of(value, Inlet, "inlets")


def _places(value: object) -> tuple[Place, ...]:
    return all_of(value, (Part, Cone, Merge), "places: Part, Cone or Merge")


def _sensors(value: object) -> tuple[Sensor, ...]:
    return all_of(value, Sensor, "sensors")


def a_joint(instance: object, field: attrs.Attribute[Any], value: object) -> None:
    """Refuse a value that is not a joint."""
    if not isinstance(value, Joint):
        got = type(value).__name__
        raise broken("must be a joint, such as a ParallelX", got).named(field.name)


@attrs.frozen(kw_only=True, repr=False)
class System(Description):
    """An exhaust: `runs` of tube between places, `pipes` of it alike, a `joint`.

    Runs follow each other in the order they are listed, from the inlet to the open air, unless
    their `from_` and `to` name other places. `inlets` are where gas comes in (none: one, from all
    cylinders of the pipe); `places` are the parts, cones and merges between runs. The `joint`
    stands at the place `joint_at`, or where no run names that, between the first run and the
    second. The first run into a crossover and the first out of it are on one side. `sensors`
    stand in runs.

    `pipes` stand side by side, mirror images that share the engine's flow evenly: 2 for true
    duals. What is listed, parts, merges and sensors too, is then one of them, and a crossover
    ties it to its image.

    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> duals = System(runs=[Run(name="tail", tube=tube, length="3.2 m")], pipes=2)
    >>> duals.with_tube(Tube(od="2.5 in", wall="16 ga")).tube.name
    '2.5 in x 16 ga'
    """

    runs: tuple[Run, ...] = attrs.field(converter=_runs)
    pipes: int = attrs.field(default=1, converter=units.count, validator=within(1, 8))
    joint: Joint | None = attrs.field(default=None, validator=attrs.validators.optional(a_joint))
    joint_at: str = attrs.field(default="joint", validator=a_name)
    inlets: tuple[Inlet, ...] = attrs.field(default=(), converter=_inlets)
    places: tuple[Place, ...] = attrs.field(default=(), converter=_places)
    sensors: tuple[Sensor, ...] = attrs.field(default=(), converter=_sensors)
    _graph: Graph = attrs.field(init=False, eq=False, repr=False)

    def __attrs_post_init__(self) -> None:
        described: dict[str, Place | Joint] = {place.name: place for place in self.places}
        if self.joint is not None:
            described[self.joint_at] = self.joint
        joint_at = None if self.joint is None else self.joint_at
        graph = laid(self.runs, self.inlets or (ENGINE,), described, joint_at)
        object.__setattr__(self, "_graph", graph)
        check(self)

    @property
    def graph(self) -> Graph:
        """The places and the lines between them."""
        return self._graph

    @property
    def tube(self) -> Tube:
        """The tube that most of the length is made of; the first of those that share it."""
        tubes = dict.fromkeys(run.tube for run in self.runs)
        length = {tube: sum(r.length for r in self.runs if r.tube == tube) for tube in tubes}
        return max(length, key=lambda tube: length[tube])

    def with_tube(self, tube: Tube, instead_of: Tube | None = None) -> System:
        """Return the same system in another tube, runs and joint together.

        Everywhere, or only `instead_of` the runs in that tube. A cone that is left between two
        runs of one size goes.

        >>> small, large = Tube(od="2.5 in", wall="16 ga"), Tube(od="3 in", wall="16 ga")
        >>> runs = [Run(name=tube.name, tube=tube, length="2 m") for tube in (small, large)]
        >>> [run.tube.name for run in System(runs=runs).with_tube(large, instead_of=small).runs]
        ['3 in x 16 ga', '3 in x 16 ga']
        """
        require(tube, Tube, "tube")
        own = dict.fromkeys(run.tube for run in self.runs)
        if instead_of is not None and require(instead_of, Tube, "instead_of") not in own:
            rule = "is the tube of no run"
            remedy = f"runs are in {listed([one.name for one in own])}"
            raise broken(rule, instead_of.name, remedy).named("instead_of")
        new = {one: tube if instead_of in (None, one) else one for one in own}
        runs = tuple(run if new[run.tube] == run.tube else run.with_tube(tube) for run in self.runs)
        places = [place for place in self.places if not self._is_needless(place, runs)]
        joint = None if self.joint is None else _in_tubes(self.joint, new)
        return self.with_(runs=runs, joint=joint, places=places)

    def _is_needless(self, place: Place, runs: tuple[Run, ...]) -> bool:
        """Return whether `place` is a cone with nothing left to bring together."""
        ends = (*self.graph.into(place.name), *self.graph.out_of(place.name))
        sizes = {runs[line.run].tube.inside_diameter for line in ends}
        return isinstance(place, Cone) and len(sizes) == 1

    def unfolded(self) -> System:
        """Return the system with each of its `pipes` described in full, one by one.

        Which cylinders feed which pipe is then left open: the pipes share the engine evenly.

        >>> tube = Tube(od="3 in", wall="16 ga")
        >>> duals = System(runs=[Run(name="tail", tube=tube, length="3.2 m")], pipes=2)
        >>> [run.name for run in duals.unfolded().runs]
        ['left tail', 'right tail']
        """
        if self.pipes == 1:
            return self
        sides = SIDES if self.pipes == len(SIDES) else [f"pipe {n + 1}" for n in range(self.pipes)]
        parts = [self._side(side) for side in sides]
        whole: dict[str, Any] = {
            name: [one for part in parts for one in part[name]] for name in parts[0]
        }
        return self.with_(pipes=1, **whole)

    def _side(self, side: str) -> dict[str, list[Any]]:
        """Return the runs, inlets, places and sensors of one pipe, named for its side."""
        shared = {OPEN_AIR} if self.joint is None else {OPEN_AIR, self.joint_at}

        def named(place: str) -> str:
            return place if place in shared else f"{side} {place}"

        lines = zip(self.runs, self.graph.lines, strict=True)
        return {
            "runs": [
                run.with_(name=f"{side} {run.name}", from_=named(line.start), to=named(line.end))
                for run, line in lines
            ],
            "inlets": [
                one.with_(name=named(one.name), cylinders=()) for one in self.graph.inlets.values()
            ],
            "places": [one.with_(name=named(one.name)) for one in self.places],
            "sensors": [
                one.with_(name=f"{side} {one.name}", run=f"{side} {one.run}")
                for one in self.sensors
            ],
        }


def _in_tubes(joint: Joint, new: Mapping[Tube, Tube]) -> Joint:
    """Return `joint` with its legs and its outlet each in its `new` tube."""
    legs, outlet = new.get(joint.tube, joint.tube), new.get(joint.outlet, joint.outlet)
    if (legs, outlet) == (joint.tube, joint.outlet):
        return joint
    if isinstance(joint, YMerge):  # at once: one alone may not fit the other
        return joint.with_tube(legs, outlet)
    return joint.with_tube(legs)
