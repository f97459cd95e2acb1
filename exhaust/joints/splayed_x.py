"""The splayed X: four straight legs, mitred in pairs, sliced and welded side to side."""

from __future__ import annotations

from functools import cached_property
from typing import Self

import attrs
import numpy as np

from exhaust import units
from exhaust.describe import Description, a, one_of, positive, within
from exhaust.geometry import splayed, splayed_measures
from exhaust.geometry.mismatch import Meeting
from exhaust.joints import splayed_rules as rules
from exhaust.joints.shared import Crossover, Profile, Seam, odd
from exhaust.joints.spaced import FAR, optional_length
from exhaust.joints.splayed_end import MitredEnd
from exhaust.joints.splayed_numbers import SplayedNumbers
from exhaust.joints.stepped import Stepped
from exhaust.joints.two_ends import TwoEnds
from exhaust.stock import Tube, material


@attrs.frozen(kw_only=True, repr=False)
class SplayedX(Stepped, TwoEnds, Crossover, Description):
    """Four straight legs of `tube`: two to a side, mitred; the sides sliced and welded together.

    `included_angle` between the two entry legs [rad] and `exit_angle` between the exit legs (none:
    the same); `cutback`, the share of the mitre opening that the long cut takes off its heel;
    `leg_length` of the entry legs and `exit_leg_length` (none: the same) on the centreline, from
    the middle of the mitre to the square end [m]. `unequal` says how ends of different angles are
    mitred: "bisector", both at half the angle between them, which leaves no mismatch; "plain", each
    at its own angle with its own share taken off, which leaves one wider than the other; "equal
    width", each at its own angle with the exit legs sliced to the width of the entry legs.

    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> x = SplayedX(tube, included_angle="45 deg", cutback=1 / 3, leg_length="8 in")
    >>> round(x.narrowest_ratio, 4), round(x.window_ratio, 3), round(x.entry.kept_width * 1e3, 2)
    (0.7784, 1.468, 45.82)
    """

    tube: Tube = attrs.field(validator=a(Tube), kw_only=False)
    included_angle: float = attrs.field(
        converter=units.angle,
        validator=within(*rules.SPLAY, "it is the angle between the two legs of one end"),
    )
    cutback: float = attrs.field(converter=units.ratio)
    leg_length: float = attrs.field(converter=units.length, validator=[positive, within(0.0, FAR)])
    _exit_angle: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.angle),
        validator=attrs.validators.optional(within(*rules.SPLAY)),
        metadata={"dimension": "angle"},
    )
    _exit_leg_length: float | None = optional_length(positive)
    unequal: str = attrs.field(
        default=rules.BISECTOR, validator=one_of(rules.PLAIN, rules.EQUAL_WIDTH, rules.BISECTOR)
    )
    _ends: rules.Ends = attrs.field(init=False, eq=False, repr=False)

    def __attrs_post_init__(self) -> None:
        object.__setattr__(self, "_ends", rules.ends(self._asked))

    @property
    def _asked(self) -> rules.Asked:
        own = self._exit_leg_length is not None
        return rules.Asked(
            tube=self.tube,
            cutback=self.cutback,
            angles=(self.included_angle, self.exit_angle),
            lengths=(self.leg_length, self.exit_leg_length),
            names=("leg_length", "exit_leg_length" if own else "leg_length"),
            unequal=self.unequal,
        )

    def with_tube(self, tube: Tube) -> Self:
        """Return the same joint in another tube: angles, share and lengths of legs as given.

        >>> tube = Tube(od="3 in", wall="16 ga")
        >>> x = SplayedX(tube, included_angle="45 deg", cutback=0.3, leg_length="9 in")
        >>> round(x.with_tube(Tube(od="2.5 in", wall="16 ga")).entry.take_off / 0.0254, 3)
        0.812
        """
        return self.with_(tube=tube)

    @property
    def exit_angle(self) -> float:
        """Angle between the two exit legs [rad]."""
        return self.included_angle if self._exit_angle is None else self._exit_angle

    @property
    def exit_leg_length(self) -> float:
        """Length of an exit leg, middle of the mitre to its square end [m]."""
        return self.leg_length if self._exit_leg_length is None else self._exit_leg_length

    @property
    def entry(self) -> MitredEnd:
        """The legs of the entry: saw angles, openings, run-outs."""
        return self._ends.entry

    @property
    def exit(self) -> MitredEnd:
        """The legs of the exit."""
        return self._ends.exit

    @property
    def meeting(self) -> Meeting:
        """The two faces of one side as `geometry` has them, the entry leg's first."""
        return Meeting(self.entry.face, self.exit.face, self.entry.radius)

    @property
    def width_mismatch(self) -> float:
        """How much wider the exit legs' kept faces are than the entry legs', each [m]."""
        return self.exit.kept_width - self.entry.kept_width

    @property
    def notes(self) -> tuple[str, ...]:
        """What is unusual about this joint, in words."""
        found = rules.shares((self.entry.cutback, self.exit.cutback))
        found += rules.mismatch(
            *(self._ends, self.unequal, self.steps), self.tube.od, self.tube.wall
        )
        ratios = self.window_ratio, self.narrowest_ratio, self.flow_normal_ratio
        return (*found, *rules.small_window(*ratios))

    @property
    def limits(self) -> tuple[str, ...]:
        """What limits this joint, in words."""
        return rules.limits(self._asked, self._ends)

    @property
    def numbers(self) -> SplayedNumbers:
        """What it measures and what it leaves open for the gas, as a result to look at."""
        return SplayedNumbers(joint=self)

    # The opening between the sides

    @property
    def opening_length(self) -> float:
        """Length of the opening in the outer wall, tip to tip along the joint [m]."""
        return self.entry.run_out + self.exit.run_out

    @property
    def opening_height(self) -> float:
        """Greatest height of the opening in the outer wall [m]."""
        return max(splayed.opening_height(end.leg, end.radius) for end in self._ends)

    @property
    def bore_opening_length(self) -> float:
        """Length of the opening in the bore [m]."""
        return self.entry.bore_run_out + self.exit.bore_run_out

    @property
    def window_area(self) -> float:
        """Area of the opening between the two bores [m^2]."""
        return sum(end.window(end.leg.bore) for end in self._ends)

    @property
    def land_area(self) -> float:
        """Area of wall that meets wall around the window [m^2]."""
        return sum(end.window(end.radius) for end in self._ends) - self.window_area

    @property
    def turning(self) -> float:
        """Angle that one side turns through, all of it at its mitre [rad]."""
        return self.entry.angle + self.exit.angle

    mitre_turning = turning

    @property
    def leg_angle(self) -> float:
        """Angle of an entry leg to the joint's long direction: half the included angle [rad]."""
        return self.entry.angle

    @property
    def exit_leg_angle(self) -> float:
        """Angle of an exit leg to the joint's long direction [rad]."""
        return self.exit.angle

    def profile(self, stations: int = 41) -> Profile:
        """Return area and window along one side, at an odd number of stations; the middle the seam.

        A section runs straight across the joint, and its area is taken square to the leg. The
        steps close up towards the window's tips. Where each face has its own shape the middle has
        what both leave open.

        >>> tube = Tube(od="3 in", wall="16 ga")
        >>> x = SplayedX(tube, included_angle="45 deg", cutback=0.3, leg_length="9 in")
        >>> [round(float(area) * 1e6) for area in x.profile(5).leg_area]
        [4174, 4174, 3165, 4174, 4174]
        """
        count = odd(stations) // 2
        entry = self.entry.half(count, self.exit.angle)
        leaving = self.exit.half(count, self.entry.angle)
        start = self.entry.length
        before = start - entry.position[:0:-1]
        position = np.concatenate([before, start + leaving.position])
        area = np.concatenate([entry.leg_area[:0:-1], leaving.leg_area])
        height = np.concatenate([entry.window_height[:0:-1], leaving.window_height])
        area[count] = self.flow_normal_area / 2.0
        height[count] = min(entry.window_height[0], leaving.window_height[0])
        return Profile(position, area, height)

    # Where the tubes come out

    @property
    def ends(self) -> tuple[MitredEnd, MitredEnd]:
        """The legs of the entry and of the exit."""
        return self._ends

    @property
    def overall_length(self) -> float:
        """Length from end to end along the joint, over the ends' corners [m]."""
        return self.entry.reach + self.exit.reach

    @property
    def centreline_length(self) -> float:
        """Length of one side along its centreline, end to end [m]."""
        return self.entry.length + self.exit.length

    # What it takes to weld, what it weighs and holds

    @property
    def seams(self) -> tuple[Seam, ...]:
        """The seam round the opening, and the mitre of each side; unlike faces: the longer edge."""
        edges = (splayed_measures.mitre_seam(end.leg, end.radius) for end in self._ends)
        return (
            Seam("round the opening", sum(end.opening_seam for end in self._ends), 1),
            Seam("mitre", max(edges), 2),
        )

    @cached_property
    def mass(self) -> float:
        """Mass of the joint without weld metal [kg]."""
        slugs = sum(
            end.removed_volume(end.radius) - end.removed_volume(end.leg.bore) for end in self._ends
        )
        metal = self.tube.metal_area * self.centreline_length - slugs
        return 2.0 * material(self.tube.material).density * metal

    @property
    def inside_volume(self) -> float:
        """Volume of gas between the exits, both sides [m^3]."""
        cut = sum(end.removed_volume(end.leg.bore) for end in self._ends)
        return 2.0 * (self.tube.flow_area * self.centreline_length - cut)
