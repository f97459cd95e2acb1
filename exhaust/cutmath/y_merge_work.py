"""One Y merge on one saw: what the settings, checks and drawings are worked out from."""

from __future__ import annotations

import math
from typing import NamedTuple

from exhaust.cutmath.dial import in_degrees
from exhaust.cutmath.straights import StraightPlan, splayed_plan, straight_plan, trimmed_plan
from exhaust.geometry import merge_leg, segment
from exhaust.geometry.elbow import after_kerf
from exhaust.joints import YMerge
from exhaust.joints.forming import FITS
from exhaust.stock import Bend, Saw
from exhaust.units import SI

HALF = 1e-3  # a cutback so near to half leaves two halves of one tube [-]


class YWork(NamedTuple):
    """A Y merge, the saw, and how the straight on each leg is made up. Lengths [m]."""

    y: YMerge
    saw: Saw
    plan: StraightPlan

    @property
    def blank(self) -> Bend:
        """The bend as it is halved: trimmed, or its straight ends shortened, where need be."""
        bend, left = self.y.bend, SI(self.left_on_leg, "length")
        return bend.with_(angle=in_degrees(2.0 * self.y.half_angle), tangent=left)

    @property
    def left_on_leg(self) -> float:
        """Straight end that the half bend keeps [m]."""
        return 0.0 if self.y.trimmed else self.plan.left_on_main

    @property
    def own_straight(self) -> float:
        """Straight on a leg while it is sliced: its own end and the piece tacked on [m]."""
        return self.left_on_leg + self.plan.piece

    @property
    def handle(self) -> float:
        """Offcut to tack on where a leg's own straight is too short to clamp; or 0 [m]."""
        short = self.beyond_tip < self.saw.clamp_length
        return float(self.saw.clamp_length) if short else 0.0

    @property
    def beyond_tip(self) -> float:
        """Straight past the tip of the opening that a clamp can hold: none of the bend [m]."""
        return self.own_straight - float(self.y.run_on)

    @property
    def sawn_opening(self) -> float:
        """The opening from the sawn face to the tip: halving took half a kerf of it [m]."""
        return self.y.sawn_opening_length(SI(self.saw.kerf, "length"))

    @property
    def slug_length(self) -> float:
        """Length of the slug, both kerfs gone from it [m]; refuses a kerf as deep as the cut."""
        kerf = float(self.saw.kerf)
        self.y.slug_depth(self.saw.kerf)
        return merge_leg.sawn_opening_length(after_kerf(self.y.elbow, kerf), kerf)

    @property
    def overall_length(self) -> float:
        """Legs' ends to the end of the outlet's straight as this saw makes it [m]."""
        back = self.y.return_bend
        short = 0.0 if back is None else self.plan.short_at_exit(float(back.tangent))
        return self.y.overall_length - short - self.saw.kerf / 2.0

    @property
    def leg_metal(self) -> float:
        """Volume of metal of a half bend as sliced, its own straight with it [m^3]."""
        y, cut = self.y, self.y.elbow
        ring = segment.kept_area(cut.radius, cut.offset) - segment.kept_area(cut.bore, cut.offset)
        length = y.bend.clr * y.half_angle + self.left_on_leg
        return y.tube.metal_area * length - y.slug_volume() - ring * self.saw.kerf / 2.0

    @property
    def formed(self) -> bool:
        """Whether the joined outline is anything but the outlet's own circle."""
        y = self.y
        same = abs(y.outlet.od - y.tube.od) < FITS * y.tube.od
        return not (same and abs(y.cutback - 0.5) < HALF)

    @property
    def passes(self) -> int:
        """Steps that the stretch is taken in, each no more than one step takes."""
        asked = self.y.stretching
        if asked.share < FITS:
            return 0
        return math.ceil(math.log1p(asked.share) / math.log1p(asked.in_one_step) - 1e-9)

    @property
    def outside_before(self) -> float:
        """Tape round the outside of both legs closed on each other, at the sawn face [m]."""
        cut = self.y.elbow
        return 2.0 * segment.kept_arc(cut.radius, cut.offset)


def work_on(y: YMerge, saw: Saw) -> YWork:
    """Return the work that `y` is on `saw`."""
    back = y.return_bend
    if back is None:
        return YWork(y, saw, splayed_plan(float(y.spacer), float(y.bend.tangent)))
    if y.trimmed:
        return YWork(y, saw, trimmed_plan(float(back.tangent)))
    found = straight_plan(float(y.spacer), float(y.bend.tangent), float(back.tangent), saw.kerf)
    return YWork(y, saw, found)
