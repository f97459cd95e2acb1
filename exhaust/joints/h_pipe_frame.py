"""Where the balance tube of an H pipe goes between its primaries, and how near they can come.

Axes: y along the line midway between the primaries, from entry to exit, through the middle of the
balance tube. Primaries open by half of the splay either way.
"""

from __future__ import annotations

import math
from functools import cached_property
from typing import NamedTuple

import attrs

from exhaust.geometry import saddle, saddle_measures
from exhaust.geometry.saddle import Saddle
from exhaust.geometry.saddle_measures import Between
from exhaust.joints.h_pipe_split import SplitJoint
from exhaust.stock import Tube


class Asked(NamedTuple):
    """What an H pipe is described by, in SI."""

    tube: Tube
    balance: Tube
    spacing: float
    angle: float
    offset: float
    splay: float
    length: float | None
    split: SplitJoint | None


@attrs.frozen
class Frame:
    """What follows from the tubes and the angles alone, whatever the spacing."""

    asked: Asked
    first: Saddle

    @cached_property
    def unit(self) -> Between:
        """The balance tube for a spacing of one [m]."""
        return saddle_measures.between(1.0, self.first, float(self.asked.splay))

    @cached_property
    def used_by_saddles(self) -> float:
        """Axis to axis, what the two primaries take of the longest-notched line [m]."""
        return self.unit.length - saddle_measures.line_lengths(self.unit)[0]

    @cached_property
    def used_all_round(self) -> float:
        """Axis to axis, what both notches take together [m]."""
        return self.unit.length - saddle_measures.clear_length(self.unit)

    @cached_property
    def edges(self) -> tuple[tuple[float, float], ...]:
        """Where the footprint starts or ends along a primary from its middle [m].

        Each as (per spacing, constant), the end with its sign so that more is farther out.
        """
        lean = math.cos(self.asked.angle) / 2.0
        ends = (
            (-lean / math.sin(self.first.angle), self.unit.first),
            (lean / math.sin(self.unit.second.angle), self.unit.second),
        )
        found = []
        for station, end in ends:
            low, high = saddle.span_on_primary(end.outside)
            found += [(-station, -low), (station, high)]
        return tuple(found)

    def between(self, spacing: float) -> Between:
        """Return the balance tube at a spacing [m]."""
        return self.unit._replace(length=self.unit.length * spacing)

    def crossings(self, spacing: float) -> tuple[float, float]:
        """Return where the axes cross along each primary, from its entry end [m]."""
        middle = self.length(spacing) / 2.0
        return middle + self.edges[1][0] * spacing, middle + self.edges[3][0] * spacing

    def least_length(self, spacing: float) -> float:
        """Return the least length of the primaries that carries both footprints [m]."""
        return 2.0 * max(rate * spacing + constant for rate, constant in self.edges)

    def greatest_length(self, spacing: float) -> float:
        """Return the length at which splayed primaries touch at the entry [m]; parallel: none."""
        half = self.asked.splay / 2.0
        if half == 0.0:
            return math.inf
        return (spacing - self.asked.tube.od * math.cos(half)) / math.sin(half)

    def length(self, spacing: float) -> float:
        """Return the length of the primaries as given, or a tube's width past each footprint."""
        if self.asked.length is not None:
            return float(self.asked.length)
        return self.least_length(spacing) + 2.0 * float(self.asked.tube.od)

    @property
    def touching(self) -> float:
        """Spacing at which parallel primaries touch, or the balance tube has no short side left."""
        apart = float(self.asked.tube.od) if self.asked.splay == 0.0 else 0.0
        return max(self.used_by_saddles / self.unit.length, apart)

    @property
    def split_fits(self) -> float:
        """Least spacing at which the split joint has whole tube to sit on [m]; none: zero."""
        if self.asked.split is None:
            return 0.0
        return (self.used_all_round + self.asked.split.length) / self.unit.length

    @property
    def spread(self) -> float:
        """Least spacing at which splayed primaries can be as long as they must be [m]."""
        half = self.asked.splay / 2.0
        if half == 0.0:
            return 0.0
        od, sine = float(self.asked.tube.od), math.sin(half)
        if self.asked.length is not None:
            return float(self.asked.length) * sine + od * math.cos(half)
        least = 0.0
        for rate, constant in self.edges:
            grows = 1.0 - 2.0 * rate * sine
            if grows <= 0.0:
                return math.inf
            needs = (2.0 * constant + 2.0 * od) * sine + od * math.cos(half)
            least = max(least, needs / grows)
        return least

    @property
    def least_spacing(self) -> float:
        """Least spacing for the tubes, angles, length and split as they are [m]."""
        return max(self.touching, self.split_fits, self.spread)
