"""What is read from the pulses at one place, over one cycle of the crank."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import Literal, NamedTuple

import attrs
import numpy as np
from numpy.typing import NDArray

from exhaust.joints import HPipe, YMerge
from exhaust.pulse.arrays import Gas, Trace
from exhaust.pulse.crossing import side_name
from exhaust.pulse.laid import Laid
from exhaust.pulse.segments import Segment, is_crossover
from exhaust.system import Merge, System

FloatArray = NDArray[np.float64]
Kind = Literal["port", "collector", "leg", "joint", "balance tube", "outlet", "run"]


class Probe(NamedTuple):
    """A cell that is watched: `name` and `kind` of the place, `area` there [m^2]."""

    name: str
    kind: Kind
    cell: int
    area: float


@attrs.frozen(kw_only=True, eq=False)
class Wave:
    """The gas at one place over a cycle, arrays [721], one sample to a degree of the crank.

    `name` and `kind` of the place; `angle` from where the first cylinder fires [rad]; `area` of
    the pipe [m^2]; flow is counted with the run, in a balance tube from the first side on.

    >>> still = np.zeros(721)
    >>> gas = Gas(1.33, 289.0)
    >>> Wave(name="tail", kind="outlet", angle=still, area=1e-3, density=still + 0.4,
    ...      velocity=still, pressure=still + 1e5, gas=gas).swing
    0.0
    """

    name: str
    kind: Kind
    angle: FloatArray
    area: float
    density: FloatArray  # [kg/m^3]
    velocity: FloatArray  # [m/s]
    pressure: FloatArray  # static, absolute [Pa]
    gas: Gas = attrs.field(repr=False)

    @cached_property
    def mass_flow(self) -> FloatArray:
        """Mass flow [kg/s]."""
        return np.asarray(self.density * self.velocity * self.area)

    @cached_property
    def temperature(self) -> FloatArray:
        """Static temperature [K]."""
        return np.asarray(self.pressure / (self.density * self.gas.gas_constant))

    @cached_property
    def mach(self) -> FloatArray:
        """Mach number, of the flow either way."""
        return np.asarray(
            np.abs(self.velocity) / np.sqrt(self.gas.gamma * self.pressure / self.density)
        )

    @property
    def mean_pressure(self) -> float:
        """Mean static pressure over the cycle, absolute [Pa]."""
        return over_cycle(self.pressure)

    @property
    def mean_mass_flow(self) -> float:
        """Mean mass flow over the cycle [kg/s]."""
        return over_cycle(self.mass_flow)

    @property
    def swing(self) -> float:
        """Highest less lowest pressure [Pa]."""
        return float(np.ptp(self.pressure))

    @property
    def peak_velocity(self) -> float:
        """The fastest, either way [m/s]."""
        return float(np.max(np.abs(self.velocity)))

    @property
    def peak_mach(self) -> float:
        """The highest Mach number."""
        return float(np.max(self.mach))


def over_cycle(values: FloatArray) -> float:
    """Return the mean of samples at even angles over a whole cycle, the last one the first again.

    >>> over_cycle(np.array([0.0, 2.0, 4.0, 0.0]))
    2.0
    """
    return float(np.mean(values[:-1]))


def overlap(first: Wave, second: Wave) -> float:
    """Return how much two flows come at once: 2 integral min(a, b) / integral (a + b).

    Nought where they take turns, 1 where they are one and the same. Flow back counts as none.

    >>> turn = np.array([1.0, 1.0, 0.0, 0.0, 1.0])
    >>> flows = [Wave(name="leg", kind="leg", angle=turn, area=1.0, density=turn, velocity=v,
    ...               pressure=turn, gas=Gas(1.33, 289.0)) for v in (turn, turn[::-1])]
    >>> overlap(flows[0], flows[0]), round(overlap(*flows), 2)
    (1.0, 0.67)
    """
    a, b = (np.maximum(one.mass_flow, 0.0) for one in (first, second))
    whole = over_cycle(a + b)
    return 2 * over_cycle(np.minimum(a, b)) / whole if whole > 0 else 0.0


def probes(system: System, one: Laid, collectors: Sequence[str]) -> list[Probe]:
    """Return the places to watch: ports first, then down the pipes, each named in words."""
    found = [
        _probe(one, pipe, 0.0, f"cylinder {number}", "port") for number, pipe in one.ports.items()
    ]
    for place in collectors:
        found += [_probe(one, pipe, 0.0, place, "collector") for pipe in one.leaving(place)]
    for place in dict.fromkeys(segment.end for segment in one.segments):
        thing = system.graph.places.get(place)
        if place not in collectors and isinstance(thing, (Merge, YMerge)):
            found += [
                _probe(one, pipe, 1.0, f"{_named(system, segment, -1)} at {place}", "leg")
                for pipe, segment in enumerate(one.segments)
                if segment.end == place
            ]
    found += _of_joint(system, one)
    found += [
        _probe(one, pipe, 1.0, _named(system, one.segments[pipe], -1), "outlet")
        for pipe in one.outlets
    ]
    return found + list(_along(system, one))


def _along(system: System, one: Laid) -> Iterator[Probe]:
    """Yield the start and the middle of every pipe that is tube of a run, primaries apart."""
    for pipe, segment in enumerate(one.segments):
        runs = [system.runs[owner].name for owner in segment.owners if isinstance(owner, int)]
        if runs and pipe not in one.ports.values():
            yield _probe(one, pipe, 0.0, f"start of {runs[0]}", "run")
            way = f"half way along {runs[0]}"
            if len(runs) > 1:
                way = f"half way from {runs[0]} to {runs[-1]}"
            yield _probe(one, pipe, 0.5, way, "run")


def _of_joint(system: System, one: Laid) -> Iterator[Probe]:
    """Yield the middles of the sides of a crossover, or of a balance tube and beside its ends."""
    place = system.joint_at
    names = [segment.name for segment in one.segments]
    if is_crossover(system.joint):
        for n in range(2):
            name = side_name(place, n)
            yield _probe(one, names.index(name), 0.5, name, "joint")
    elif isinstance(system.joint, HPipe):
        for n in range(2):
            for pipe in one.leaving(f"{place} | side {n + 1}"):
                if names[pipe] != f"{place} | balance tube":
                    yield _probe(one, pipe, 0.0, side_name(place, n), "joint")
        pipe = names.index(f"{place} | balance tube")
        yield _probe(one, pipe, 0.5, f"{place}, balance tube", "balance tube")


def _named(system: System, segment: Segment, which: int) -> str:
    """Return the name of the first (0) or the last (-1) run or place that a pipe is part of."""
    owner = segment.owners[which]
    return system.runs[owner].name if isinstance(owner, int) else owner


def _probe(one: Laid, pipe: int, share: float, name: str, kind: Kind) -> Probe:
    cell, mesh = one.cell(pipe, share), one.network.mesh
    return Probe(name, kind, cell, float(mesh.per_width[cell] / mesh.per_volume[cell]))


def read_waves(places: Sequence[Probe], trace: Trace, gas: Gas) -> tuple[Wave, ...]:
    """Return what was traced at each place, over one cycle."""
    angle = np.linspace(0.0, 4 * np.pi, len(trace.times))
    return tuple(
        Wave(
            name=place.name,
            kind=place.kind,
            angle=angle,
            area=place.area,
            density=trace.values[:, n, 0].copy(),
            velocity=trace.values[:, n, 1].copy(),
            pressure=trace.values[:, n, 2].copy(),
            gas=gas,
        )
        for n, place in enumerate(places)
    )
