"""The fit of an H pipe: a notched balance tube between two primaries."""

from __future__ import annotations

import math

import numpy as np

from exhaust.cutmath.fit.model import Error, Fitted, SeamFit, Slips, errors, worse
from exhaust.geometry import fit
from exhaust.geometry.fit import Seat, Seating
from exhaust.geometry.quadrature import Array
from exhaust.geometry.saddle import Saddle
from exhaust.joints import HPipe

STATIONS = 96  # round the tube, closer where a wide tube's notch is steep


class HFit:
    """An H pipe as its errors see it: the notches are marked from square-sawn ends."""

    def __init__(self, h: HPipe) -> None:
        self.h = h
        even = np.linspace(-math.pi, math.pi, STATIONS, endpoint=False)
        self.clock = even + 0.35 * np.sin(2.0 * even)  # crowds towards both sides
        self.notches = [_as_drawn(end).meets_at(self.clock) for end in h.saddles]

    @property
    def errors(self) -> tuple[Error, ...]:
        """Everything that may be off."""
        return errors(
            depth="notch 1,notch 2",
            blade_angle="square slant",
            clocking="notch 1 clock,notch 2 clock",
            offset="offset 1,offset 2",
            od="balance tube,primary 1,primary 2",
        )

    def fitted(self, slips: Slips, turned: int) -> Fitted:
        """Return what `slips` do to the saddles and to the spacing of the primaries.

        The tube is rolled until both ends share what its notches are twisted against each other.
        """
        h = self.h
        twist = (slips("notch 1 clock") - slips("notch 2 clock")) / 2.0
        slants = (slips("square slant"), turned * slips("square slant"))
        seats, closed, short = [], slips.nothing[:, 0], slips.nothing[:, 0]
        for number, sign in ((0, 1.0), (1, -1.0)):
            seats.append(self._seated(slips, number, slants[number], sign * twist))
            flat = self._seated(slips, number, slips.nothing, slips.nothing)
            cut = slips(f"notch {number + 1}")[:, 0]
            closed = closed + (flat.out - cut) * math.sin(h.saddles[number].angle)
            short = short + cut
        along = h.centreline_length / 2.0 * np.tan(slants[0] + slants[1])[:, 0]
        fits = [SeamFit(np.asarray(np.max(seat.normal, axis=-1)), None) for seat in seats]
        names = [seam.name for seam in h.seams if seam.name.startswith("balance tube")]
        seams = dict(zip(names, fits, strict=True)) if len(names) == 2 else {names[0]: worse(*fits)}
        ends = {"entry": closed - along, "exit": closed + along}
        return Fitted(seams, ends, np.maximum(short, 0.0))

    def _seated(self, slips: Slips, number: int, slant: Array, twist: Array) -> Seat:
        end, mark = self.h.saddles[number], number + 1
        at = Seating(
            end.primary + slips(f"primary {mark}") / 2.0,
            end.radius + slips("balance tube") / 2.0,
            end.angle + slant,
            end.offset + slips(f"offset {mark}"),
            twist,
        )
        return fit.seated(self.notches[number], self.clock, at)


def _as_drawn(end: Saddle) -> Seating:
    return Seating(end.primary, end.radius, end.angle, end.offset)
