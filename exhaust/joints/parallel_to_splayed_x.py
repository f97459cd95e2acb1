"""Half a parallel X at one end, two straight legs that splay at the other."""

from __future__ import annotations

import math
from functools import cached_property
from typing import Any, Self

import attrs
import numpy as np

from exhaust import units
from exhaust.describe import Description, a, not_negative, one_of, positive, within
from exhaust.geometry import mitre, segment, splayed, splayed_measures
from exhaust.geometry.mismatch import Face, Meeting
from exhaust.joints import parallel_to_splayed_rules as rules
from exhaust.joints.bent_end import BentEnd, sliced_half
from exhaust.joints.parallel_to_splayed_numbers import ParallelToSplayedNumbers
from exhaust.joints.parallel_x import ParallelX
from exhaust.joints.parallel_x_rules import the_one_given
from exhaust.joints.shared import Crossover, Profile, Seam, odd
from exhaust.joints.spaced import FAR, WAYS, a_straight, optional_length
from exhaust.joints.splayed_end import MitredEnd
from exhaust.joints.splayed_rules import SPLAY, small_window
from exhaust.joints.stepped import Stepped
from exhaust.joints.two_ends import End, TwoEnds
from exhaust.stock import Bend, Tube, material


@attrs.frozen(kw_only=True, repr=False)
class ParallelToSplayedX(Stepped, TwoEnds, Crossover, Description):
    """Half a parallel X, and two straight legs that go on from its middle apart.

    `bend`, `cutback`, `return_bend` and one of `spacing`, `gap`, `outside_width`, `spacer` are
    those of the `ParallelX` that is sawn in half across its middle: the distance is that of its
    parallel tubes. `included_angle` between the two legs [rad]. `legs` "mitred": each mitred at
    half that angle and sliced to the width of the halved bend, which leaves a step between their
    edges; "butted": the bend turns on by half that angle past its middle and the leg is butted
    square to it, which leaves none. `leg_length` on the centreline, from the middle of the mitre or
    from the end of the bend to the square end [m]. `parallel_end` is the end that the parallel
    tubes are at, "entry" or "exit".

    >>> bend = Bend(Tube(od="2.5 in", wall="16 ga"), clr="3.75 in")
    >>> x = ParallelToSplayedX(bend, cutback=0.3, included_angle="45 deg", leg_length="8 in")
    >>> round(x.narrowest_ratio, 4), round(x.window_ratio, 3), round(x.leg.take_off * 1e3, 2)
    (0.7463, 1.798, 24.28)
    """

    bend: Bend = attrs.field(validator=a(Bend), kw_only=False)
    cutback: float = attrs.field(converter=units.ratio)
    included_angle: float = attrs.field(
        converter=units.angle,
        validator=within(*SPLAY, "it is the angle between the two straight legs"),
    )
    leg_length: float = attrs.field(converter=units.length, validator=[positive, within(0.0, FAR)])
    _spacing: float | None = optional_length(positive)
    _gap: float | None = optional_length(not_negative)
    _outside_width: float | None = optional_length(positive)
    _spacer: float | None = optional_length(a_straight)
    _return_bend: Bend | None = attrs.field(
        default=None, validator=attrs.validators.optional(a(Bend))
    )
    legs: str = attrs.field(default=rules.MITRED, validator=one_of(rules.MITRED, rules.BUTTED))
    parallel_end: str = attrs.field(default="entry", validator=one_of("entry", "exit"))
    _parallel: ParallelX = attrs.field(init=False, eq=False, repr=False)
    _leg: MitredEnd | BentEnd = attrs.field(init=False, eq=False, repr=False)

    def __attrs_post_init__(self) -> None:
        ways = {name: getattr(self, f"_{name}") for name in WAYS}
        the_one_given(type(self).__name__, ways)
        x = ParallelX(self.bend, cutback=self.cutback, return_bend=self._return_bend, **ways)
        object.__setattr__(self, "_parallel", x)
        object.__setattr__(self, "_leg", rules.end(self._asked))

    @property
    def _asked(self) -> rules.Asked:
        given = (self._spacing, self._gap, self._outside_width)
        held = next((way for way in given if way is not None), None)
        return rules.Asked(self.parallel, self.included_angle, self.leg_length, self.legs, held)

    def with_(self, **changes: Any) -> Self:
        """Return a copy with some values changed; one way of spacing takes another's place.

        >>> bend = Bend(Tube(od="2.5 in", wall="16 ga"), clr="3.75 in")
        >>> x = ParallelToSplayedX(
        ...     bend, cutback=0.3, included_angle="45 deg", leg_length="8 in", spacing="10 in"
        ... )
        >>> x.with_(spacer="1 in").parallel.spacer
        0.0254
        """
        if any(changes.get(name) is not None for name in WAYS):
            changes = dict.fromkeys(WAYS) | changes
        return super().with_(**changes)

    def with_tube(self, tube: Tube) -> Self:
        """Return the same joint in another tube: clr over od kept, spacing and legs as given.

        >>> bend = Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")
        >>> x = ParallelToSplayedX(bend, cutback=0.3, included_angle="45 deg", leg_length="8 in")
        >>> round(x.with_tube(Tube(od="2.5 in", wall="16 ga")).bend.clr / 0.0254, 3)
        3.75
        """
        back = None if self._return_bend is None else self._return_bend.with_tube(tube)
        return self.with_(bend=self.bend.with_tube(tube), return_bend=back)

    @property
    def tube(self) -> Tube:
        """The tube it is made of."""
        return self.bend.tube

    @property
    def parallel(self) -> ParallelX:
        """The parallel X that is sawn in half; the joint keeps one half of it."""
        return self._parallel

    @property
    def leg(self) -> MitredEnd | BentEnd:
        """The straight legs: saw angles, openings, run-outs."""
        return self._leg

    @property
    def halved_opening(self) -> float:
        """Width of the X where it is sawn in half, over both sides [m]."""
        return mitre.halved_opening(float(self.tube.od), self.cutback)

    @property
    def meeting(self) -> Meeting:
        """The two faces of one side as `geometry` has them, the bend's first."""
        return Meeting(Face(1.0, self.parallel.elbow.offset), self.leg.face, self.leg.radius)

    @property
    def notes(self) -> tuple[str, ...]:
        """What is unusual about this joint, in words."""
        ratios = self.window_ratio, self.narrowest_ratio, self.flow_normal_ratio
        return (*rules.notes(self._asked, self.leg), *small_window(*ratios))

    @property
    def limits(self) -> tuple[str, ...]:
        """What limits this joint, in words."""
        return rules.limits(self._asked, self.leg)

    @property
    def numbers(self) -> ParallelToSplayedNumbers:
        """What it measures and what it leaves open for the gas, as a result to look at."""
        return ParallelToSplayedNumbers(joint=self)

    # The opening between the sides

    @property
    def opening_length(self) -> float:
        """Length of the opening in the outer wall, tip to tip along the joint [m]."""
        return self.parallel.opening_length / 2.0 + self.leg.run_out

    @property
    def opening_height(self) -> float:
        """Greatest height of the opening in the outer wall [m]."""
        bent = self.parallel.opening_height
        if isinstance(self.leg, BentEnd):
            return bent
        return max(bent, splayed.opening_height(self.leg.leg, self.leg.radius))

    @property
    def bore_opening_length(self) -> float:
        """Length of the opening in the bore [m]."""
        return self.parallel.bore_opening_length / 2.0 + self.leg.bore_run_out

    @cached_property
    def window_area(self) -> float:
        """Area of the opening between the two bores [m^2]."""
        return self.parallel.window_area / 2.0 + self.leg.window(self.leg.leg.bore)

    @property
    def turning(self) -> float:
        """Angle that one side turns through: half a return, half the main bend, the leg [rad]."""
        return self.parallel.turning / 2.0 + self.leg.angle

    @property
    def mitre_turning(self) -> float:
        """How much of that is turned at a mitre [rad]: none where the legs are butted."""
        return 0.0 if isinstance(self.leg, BentEnd) else self.leg.angle

    @property
    def leg_angle(self) -> float:
        """Angle of a side to the joint's long direction as it comes to the middle [rad].

        None from the parallel end; the leg's own from the splayed end.
        """
        return 0.0 if self._parallel_first else self.leg.angle

    @property
    def exit_leg_angle(self) -> float:
        """Angle of a side to the joint's long direction as it leaves the middle [rad]."""
        return self.leg.angle if self._parallel_first else 0.0

    @property
    def _parallel_first(self) -> bool:
        return self.parallel_end == "entry"

    def profile(self, stations: int = 41) -> Profile:
        """Return area and window along one side, at an odd number of stations; the middle the seam.

        On bends a section is square to the path; on mitred legs it runs straight across the joint
        and its area is taken square to the leg. The steps close up towards the window's tips. The
        middle has what bend and leg both leave open.

        >>> bend = Bend(Tube(od="2.5 in", wall="16 ga"), clr="3.75 in")
        >>> x = ParallelToSplayedX(bend, cutback=0.3, included_angle="45 deg", leg_length="8 in")
        >>> [round(float(area) * 1e6) for area in x.profile(5).leg_area]
        [2846, 2846, 1962, 2846, 2846]
        """
        count, start = odd(stations) // 2, self.parallel.centreline_length / 2.0
        bent = sliced_half(self.parallel.elbow, start, count)
        leg = self.leg.half(count, 0.0)
        first, second = (bent, leg) if self._parallel_first else (leg, bent)
        before = first.position[-1] - first.position[:0:-1]
        position = np.concatenate([before, first.position[-1] + second.position])
        area = np.concatenate([first.leg_area[:0:-1], second.leg_area])
        height = np.concatenate([first.window_height[:0:-1], second.window_height])
        area[count] = self.flow_normal_area / 2.0
        height[count] = min(bent.window_height[0], leg.window_height[0])
        return Profile(position, area, height)

    # Where the tubes come out

    @property
    def ends(self) -> tuple[End, End]:
        """What comes out at the entry and at the exit: the parallel X's tubes, the legs."""
        return (self.parallel, self.leg) if self._parallel_first else (self.leg, self.parallel)

    @property
    def overall_length(self) -> float:
        """Length from end to end along the joint, over the legs' corners [m]."""
        return self.parallel.overall_length / 2.0 + self.leg.reach

    @property
    def centreline_length(self) -> float:
        """Length of one side along its centreline, end to end [m]."""
        return self.parallel.centreline_length / 2.0 + self.leg.centreline

    # What it takes to weld, what it weighs and holds

    @property
    def seams(self) -> tuple[Seam, ...]:
        """The seam round the opening, the legs' welds, and those of the return bends."""
        opening = self.parallel.opening_seam / 2.0 + self.leg.opening_seam
        butts = self.parallel.seams[1]
        if isinstance(self.leg, BentEnd):
            joined = Seam("bend to leg", math.pi * self.tube.od, 2)
        else:
            cut, radius = self.parallel.elbow, self.leg.radius
            bent = segment.kept_arc(radius, cut.offset)
            joined = Seam("mitre", max(bent, splayed_measures.mitre_seam(self.leg.leg, radius)), 2)
        return (
            Seam("round the opening", opening, 1),
            joined,
            butts._replace(count=butts.count // 2),
        )

    @cached_property
    def mass(self) -> float:
        """Mass of the joint without weld metal [kg]."""
        leg = self.leg
        slug = leg.removed_volume(leg.radius) - leg.removed_volume(leg.leg.bore)
        metal = self.tube.metal_area * leg.centreline - slug
        return self.parallel.mass / 2.0 + 2.0 * material(self.tube.material).density * metal

    @property
    def inside_volume(self) -> float:
        """Volume of gas between the ends, both sides [m^3]."""
        leg = self.leg
        own = self.tube.flow_area * leg.centreline - leg.removed_volume(leg.leg.bore)
        return self.parallel.inside_volume / 2.0 + 2.0 * own
