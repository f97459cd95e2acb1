"""The Y merge: two half bends, sliced at the heel and closed on each other, into one outlet."""

from __future__ import annotations

from functools import cached_property
from typing import Any, Self

import attrs

from exhaust import units
from exhaust.describe import Description, a, not_negative, one_of, positive, within
from exhaust.geometry import crossover, merge_leg
from exhaust.geometry.crossover import Quarter
from exhaust.geometry.elbow import SlicedElbow
from exhaust.joints import parallel_x_rules as bends
from exhaust.joints import y_merge_rules as rules
from exhaust.joints.shared import Envelope
from exhaust.joints.spaced import FAR, WAYS, a_straight, optional_length
from exhaust.joints.y_merge_cut import MergeCut
from exhaust.joints.y_merge_numbers import YMergeNumbers
from exhaust.stock import INCH, Bend, Tube
from exhaust.units import SI


@attrs.frozen(kw_only=True, repr=False)
class YMerge(MergeCut, Description):
    """Two halves of a bend, sliced at the heel and closed on each other, welded to an outlet.

    `bend` is halved for the two legs; `outlet` (none: the legs' own tube) is as large as a leg or
    larger; `cutback` is the share of the outside diameter that comes off each heel. `legs`:
    "parallel", brought parallel by a halved `return_bend` (none: the same as `bend`), whose
    straight ends stand at the entry; or "splayed", as the half bends leave them. At most one of:
    `spacing` at the legs' ends, centre to centre [m]; `gap` between the legs [m]; `outside_width`
    [m]; `spacer`, the straight on each leg after its half bend, straight end of the bend included
    [m]. None of them: no spacer. Parallel legs nearer than whole bends give are trimmed.
    `outlet_straight`, straight tube on the outlet that belongs to the joint [m].

    >>> y = YMerge(Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in"), spacing="10 in")
    >>> round(y.opening_length / 0.0254, 3), round(y.metal_left_arc / 0.0254, 3), y.stretch
    (3.969, 0.376, 0.0)
    """

    bend: Bend = attrs.field(validator=a(Bend), kw_only=False)
    _outlet: Tube | None = attrs.field(default=None, validator=attrs.validators.optional(a(Tube)))
    cutback: float = attrs.field(default=0.5, converter=units.ratio)
    legs: str = attrs.field(default=rules.PARALLEL, validator=one_of(rules.PARALLEL, rules.SPLAYED))
    _spacing: float | None = optional_length(positive)
    _gap: float | None = optional_length(not_negative)
    _outside_width: float | None = optional_length(positive)
    _spacer: float | None = optional_length(a_straight)
    _return_bend: Bend | None = attrs.field(
        default=None, validator=attrs.validators.optional(a(Bend))
    )
    outlet_straight: float = attrs.field(
        default=SI(0.0, "length", "in", INCH),
        converter=units.length,
        validator=[not_negative, within(0.0, FAR)],
    )
    _placed: bends.Placed = attrs.field(init=False, eq=False, repr=False)

    def __attrs_post_init__(self) -> None:
        bends.check_cutback(self.bend, self.cutback, rules.USUAL)
        rules.check_outlet(self.tube, self.outlet)
        rules.check_splay(self.bend, self.legs)
        rules.check_return(self.bend, self._return_bend, self.legs)
        rules.check_stretch(self.tube, self.outlet, self.cutback)
        asked = bends.the_one_given("YMerge", {name: getattr(self, f"_{name}") for name in WAYS})
        at = rules.placed(self.bend, self.return_bend, self.cutback, asked)
        object.__setattr__(self, "_placed", at)

    def with_(self, **changes: Any) -> Self:
        """Return a copy with some values changed; one way of spacing takes another's place.

        >>> y = YMerge(Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in"), spacing="10 in")
        >>> y.with_(spacer="1 in").spacer
        0.0254
        """
        if any(changes.get(name) is not None for name in WAYS):
            changes = dict.fromkeys(WAYS) | changes
        return super().with_(**changes)

    def with_tube(self, tube: Tube, outlet: Tube | None = None) -> Self:
        """Return the same merge of legs in another tube, and in another `outlet` where given.

        Without one, an outlet that was named stays; one that was not is the legs' tube.

        >>> y = YMerge(Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in"))
        >>> y.with_tube(Tube(od="2.5 in", wall="16 ga")).outlet.name
        '2.5 in x 16 ga'
        """
        back = None if self._return_bend is None else self._return_bend.with_tube(tube)
        goes_on = self._outlet if outlet is None else outlet
        return self.with_(bend=self.bend.with_tube(tube), return_bend=back, outlet=goes_on)

    @property
    def tube(self) -> Tube:
        """The tube its legs are made of."""
        return self.bend.tube

    @property
    def outlet(self) -> Tube:
        """The tube that goes on from it."""
        return self._outlet or self.tube

    @property
    def splayed(self) -> bool:
        """Whether the legs come in at an angle to each other."""
        return self.legs == rules.SPLAYED

    @property
    def return_bend(self) -> Bend | None:
        """The bend that is halved to bring the legs parallel; none where they stay splayed."""
        return None if self.splayed else self._return_bend or self.bend

    @property
    def half_angle(self) -> float:
        """Angle that every half bend turns, trimmed if need be [rad]."""
        return self._placed.half_angle

    @property
    def trimmed(self) -> bool:
        """Whether the half bends are trimmed to reach the spacing."""
        return self._placed.trimmed

    @property
    def spacer(self) -> float:
        """Straight on each leg after its half bend [m]."""
        return self._placed.spacer

    @cached_property
    def elbow(self) -> SlicedElbow:
        """The whole bend of which both legs are halves, as `geometry` has it."""
        tube, clr = self.tube, float(self.bend.clr)
        radius, wall = tube.od / 2.0, float(tube.wall)
        return SlicedElbow(clr, radius, wall, self.half_angle, self.spacer, self.cutback)

    @property
    def quarter(self) -> Quarter:
        """One leg as `geometry` has it: a quarter of an X."""
        cut, back = self.elbow, self.return_bend
        clr, end = (0.0, 0.0) if back is None else (float(back.clr), float(back.tangent))
        return Quarter(cut.offset, cut.clr, clr, self.half_angle, self.spacer, end)

    @property
    def notes(self) -> tuple[str, ...]:
        """What is unusual about this joint, in words."""
        return rules.notes(self.bend, self.outlet, self.elbow, self._placed)

    @property
    def limits(self) -> tuple[str, ...]:
        """What limits this joint, in words."""
        held = any((self._spacing, self._gap is not None, self._outside_width))
        back = self.return_bend
        if held and back is None:
            most = 1.0  # the straight grows with the cut as much as the opening runs on
        else:
            spacing = self.spacing if held else None
            most = bends.deepest(self.bend, back or self.bend, self._placed, spacing)
        return rules.limits(self.bend, self.outlet, self.elbow, most, self.least_spacing)

    @property
    def numbers(self) -> YMergeNumbers:
        """What it measures and what it leaves open for the gas, as a result to look at."""
        return YMergeNumbers(joint=self)

    # Where the legs come in

    @property
    def entry_angle(self) -> float:
        """Angle of a leg to the outlet's axis where it comes in [rad]; none for parallel legs."""
        return self.half_angle if self.splayed else 0.0

    @property
    def turning(self) -> float:
        """Angle that one side turns through: a half bend, or two for parallel legs [rad]."""
        return self.half_angle if self.splayed else 2.0 * self.half_angle

    @property
    def spacing(self) -> float:
        """Distance between the legs' ends, centre to centre [m]; the outlet is one tube."""
        return crossover.spacing(self.quarter)

    @property
    def _across(self) -> float:
        return merge_leg.end_width(self.elbow.radius, self.entry_angle)

    @property
    def gap(self) -> float:
        """Clear distance between the legs' ends [m]."""
        return self.spacing - self._across

    @property
    def outside_width(self) -> float:
        """Width over both legs' ends [m]."""
        return self.spacing + self._across

    @property
    def least_spacing(self) -> float:
        """Least spacing at this cutback; parallel legs are trimmed as far as it allows [m]."""
        if self.splayed:
            return rules.least_splayed(self.bend, self.cutback)
        whole = self.quarter._replace(half_angle=self.bend.half_angle)
        return crossover.least_spacing(whole, self.elbow.radius)

    @property
    def spacing_per_degree(self) -> float:
        """Change of spacing when every half bend turns more by the same angle [m/rad]."""
        return crossover.spacing_per_angle(self.quarter)

    @property
    def leg_length(self) -> float:
        """Length of one leg along its centreline, from its end to the outlet's face [m]."""
        return crossover.centreline_length(self.quarter) / 2.0

    @property
    def centreline_length(self) -> float:
        """Length of one side along its centreline, outlet straight included [m]."""
        return self.leg_length + self.outlet_straight

    @property
    def overall_length(self) -> float:
        """Length from the legs' furthest edge to the end of the outlet straight [m]."""
        along = crossover.overall_length(self.quarter) / 2.0
        beyond = merge_leg.end_reach(self.elbow.radius, self.entry_angle)
        return along + beyond + self.outlet_straight

    @property
    def envelope(self) -> Envelope:
        """Width, length and height of the room that it takes [m]."""
        wide = max(self.outside_width, float(self.outlet.od))
        high = max(float(self.tube.od), float(self.outlet.od))
        return Envelope(wide, self.overall_length, high)

    @property
    def leg_angle(self) -> float:
        """Angle of a leg to the outlet's axis at its face [rad]: none, a half bend ends square."""
        return 0.0

    @property
    def leg_butts(self) -> int:
        """Butt welds on both legs together, the outlet's not counted."""
        back = self.return_bend
        if back is None:
            return 2 if self.spacer > self.bend.tangent else 0
        return 4 if self.spacer > self.bend.tangent + back.tangent else 2
