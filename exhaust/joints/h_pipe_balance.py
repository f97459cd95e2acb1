"""What an H pipe answers about its balance tube and the holes for it."""

from __future__ import annotations

from functools import cached_property

from exhaust.geometry import saddle, saddle_measures
from exhaust.geometry.saddle import Saddle
from exhaust.geometry.saddle_measures import Between, Volumes
from exhaust.joints.h_pipe_split import SplitJoint


class Balanced:
    """The balance tube, its saddles and its holes; a joint adds `between` and `split`."""

    split: SplitJoint | None

    @property
    def between(self) -> Between:
        """The balance tube as `geometry` has it: axis to axis, a saddle at each end."""
        raise NotImplementedError

    @property
    def saddles(self) -> tuple[Saddle, Saddle]:
        """The saddles on the first and on the second primary, as `geometry` has them."""
        return self.between.first, self.between.second

    @property
    def balance_length(self) -> float:
        """Length of the balance tube along its axis, from primary's axis to primary's axis [m]."""
        return self.between.length

    @cached_property
    def blank_length(self) -> float:
        """Length to cut the balance tube to before it is saddled, split or not [m]."""
        return saddle_measures.blank_length(self.between)

    @cached_property
    def straight_edge_blank_length(self) -> float:
        """The same when its edges are cut straight through the wall [m], which is shorter."""
        return saddle_measures.blank_length(self.between, "straight")

    @cached_property
    def _lines(self) -> tuple[float, float]:
        return saddle_measures.line_lengths(self.between)

    @property
    def shortest_line(self) -> float:
        """Shortest line along the outside of the balance tube, saddle to saddle [m]."""
        return self._lines[0]

    @property
    def longest_line(self) -> float:
        """Longest line along the outside of the balance tube, saddle to saddle [m]."""
        return self._lines[1]

    @cached_property
    def clear_length(self) -> float:
        """Length over which the balance tube is whole all round [m]: room for a split joint."""
        return saddle_measures.clear_length(self.between)

    @cached_property
    def pieces(self) -> tuple[float, ...]:
        """Lengths of tube to cut for the balance tube [m]: one, or two if it is split.

        The split is in the middle of `clear_length`; its gap comes off both.
        """
        if self.split is None:
            return (self.blank_length,)
        found = []
        for end in self.saddles:
            low, high = end.points
            found.append(high - low + (self.clear_length - self.split.gap) / 2.0)
        return tuple(found)

    @cached_property
    def notch_depth(self) -> float:
        """Depth of the saddle, long point to short point along the tube, the deeper end's [m]."""
        return max(end.points[1] - end.points[0] for end in self.between.unlike)

    @property
    def hole_width(self) -> float:
        """Width of the hole in a primary, round its outside [m]."""
        return saddle.width_round(self.saddles[0].hole)

    @cached_property
    def hole_length(self) -> float:
        """Length of the hole along the primary, on its outside; the longer of the two [m]."""
        spans = (saddle.span_on_primary(end.hole) for end in self.between.unlike)
        return max(high - low for low, high in spans)

    @cached_property
    def hole_area(self) -> float:
        """Area of the hole in the first primary, its outside rolled flat [m^2]."""
        return saddle_measures.hole_area(self.saddles[0].hole)

    @cached_property
    def volumes(self) -> Volumes:
        """What the balance tube takes of the primaries, its own metal, and the gas in it [m^3]."""
        return saddle_measures.volumes(self.between)

    @property
    def balance_volume(self) -> float:
        """Volume of gas in the balance tube between the bores of the primaries [m^3]."""
        return self.volumes.gas
