"""What a joint answers about its two ends when they differ."""

from __future__ import annotations

from typing import Protocol

from exhaust.joints.shared import Envelope
from exhaust.stock import Tube


class End(Protocol):
    """Where the two tubes of one end come out."""

    @property
    def spacing(self) -> float:
        """Distance between them, centre to centre [m]."""

    @property
    def gap(self) -> float:
        """Clear distance between them [m]."""

    @property
    def outside_width(self) -> float:
        """Width over both [m]."""


class TwoEnds:
    """A joint whose entry and exit each have a spacing of their own; it adds `ends`, tube, length.

    `spacing`, `gap` and `outside_width` are those of the exit.
    """

    @property
    def tube(self) -> Tube:
        """The tube it is made of."""
        raise NotImplementedError

    @property
    def ends(self) -> tuple[End, End]:
        """Where the tubes come out at the entry and at the exit."""
        raise NotImplementedError

    @property
    def overall_length(self) -> float:
        """Length from end to end along the joint [m]."""
        raise NotImplementedError

    @property
    def entry_spacing(self) -> float:
        """Distance between the tubes' ends at the entry, centre to centre [m]."""
        return self.ends[0].spacing

    @property
    def exit_spacing(self) -> float:
        """Distance between the tubes' ends at the exit, centre to centre [m]."""
        return self.ends[1].spacing

    spacing = exit_spacing

    @property
    def entry_gap(self) -> float:
        """Clear distance between the tubes' ends at the entry [m]."""
        return self.ends[0].gap

    @property
    def gap(self) -> float:
        """Clear distance between the tubes' ends at the exit [m]: at near corners if they splay."""
        return self.ends[1].gap

    @property
    def entry_outside_width(self) -> float:
        """Width over the tubes' ends at the entry [m]."""
        return self.ends[0].outside_width

    @property
    def outside_width(self) -> float:
        """Width over the tubes' ends at the exit [m]: over far corners if they splay."""
        return self.ends[1].outside_width

    @property
    def envelope(self) -> Envelope:
        """Width, length and height of the room that it takes [m]."""
        width = max(end.outside_width for end in self.ends)
        return Envelope(width, self.overall_length, float(self.tube.od))
