"""The parallel X: two bends with the heel sliced off, back to back, and their return bends."""

from __future__ import annotations

import math
from functools import cached_property
from typing import Any, Self

import attrs
import numpy as np

from exhaust import units
from exhaust.describe import Description, a, not_negative, positive
from exhaust.geometry import crossover, elbow, elbow_measures, elbow_sections
from exhaust.geometry.crossover import Quarter
from exhaust.geometry.elbow import SlicedElbow
from exhaust.joints import parallel_x_rules as rules
from exhaust.joints.numbers import JointNumbers
from exhaust.joints.shared import Crossover, Envelope, Profile, Seam, odd
from exhaust.joints.sliced import Sliced
from exhaust.joints.spaced import WAYS, a_straight, optional_length
from exhaust.stock import Bend, Tube, material


@attrs.frozen(kw_only=True, repr=False)
class ParallelX(Sliced, Crossover, Description):
    """Two bends, sliced at the heel and welded back to back, brought parallel by return bends.

    `bend` is sliced; `cutback` is the share of the outside diameter that comes off its heel;
    `return_bend` (none: the same as `bend`) is halved for the four returns, and its straight
    ends stand at the exits. At most one of: `spacing` between the exits, centre to centre [m];
    `gap` between the tubes [m]; `outside_width` [m]; `spacer`, the straight on each leg between
    main bend and return bend, straight ends of the bends included [m]. None of them: no spacer.
    A spacing less than whole bends give is reached by trimming every bend to the same angle.

    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> x = ParallelX(Bend(tube, clr="4.5 in"), cutback=0.28, spacing="10.5 in")
    >>> round(x.narrowest_ratio, 3), round(x.window_ratio, 2), round(x.spacer / 0.0254, 2)
    (0.782, 1.88, 2.76)
    """

    bend: Bend = attrs.field(validator=a(Bend), kw_only=False)
    cutback: float = attrs.field(converter=units.ratio)
    _spacing: float | None = optional_length(positive)
    _gap: float | None = optional_length(not_negative)
    _outside_width: float | None = optional_length(positive)
    _spacer: float | None = optional_length(a_straight)
    _return_bend: Bend | None = attrs.field(
        default=None, validator=attrs.validators.optional(a(Bend))
    )
    _placed: rules.Placed = attrs.field(init=False, eq=False, repr=False)

    def __attrs_post_init__(self) -> None:
        rules.check_cutback(self.bend, self.cutback)
        rules.check_return(self.bend, self.return_bend)
        asked = rules.the_one_given("ParallelX", {name: getattr(self, f"_{name}") for name in WAYS})
        at = rules.placed(self.bend, self.return_bend, self.cutback, asked)
        object.__setattr__(self, "_placed", at)

    def with_(self, **changes: Any) -> Self:
        """Return a copy with some values changed; one way of spacing takes another's place.

        >>> tube = Tube(od="3 in", wall="16 ga")
        >>> x = ParallelX(Bend(tube, clr="4.5 in"), cutback=0.28, spacing="10.5 in")
        >>> x.with_(spacer="1 in").spacer
        0.0254
        """
        if any(changes.get(name) is not None for name in WAYS):
            changes = dict.fromkeys(WAYS) | changes
        return super().with_(**changes)

    def with_tube(self, tube: Tube) -> Self:
        """Return the same joint in another tube: clr over od and cutback kept, spacing as given.

        >>> x = ParallelX(Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in"), cutback=0.28)
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
    def return_bend(self) -> Bend:
        """The bend that is halved for the returns."""
        return self._return_bend or self.bend

    @property
    def half_angle(self) -> float:
        """Angle that every half bend turns, trimmed if need be [rad]."""
        return self._placed.half_angle

    @property
    def trimmed(self) -> bool:
        """Whether the bends are trimmed to less than their angle to reach the spacing."""
        return self._placed.trimmed

    @property
    def spacer(self) -> float:
        """Straight on each leg between main bend and return bend [m]."""
        return self._placed.spacer

    @cached_property
    def elbow(self) -> SlicedElbow:
        """The sliced bend as `geometry` has it, trimmed, with its straight ends."""
        tube = self.tube
        radius, wall = tube.od / 2.0, float(tube.wall)
        clr, half = float(self.bend.clr), self.half_angle
        return SlicedElbow(clr, radius, wall, half, self.spacer, self.cutback)

    @property
    def quarter(self) -> Quarter:
        """One quarter of the joint as `geometry` has it."""
        back = self.return_bend
        clr, end = float(back.clr), float(back.tangent)
        cut = self.elbow
        return Quarter(cut.offset, cut.clr, clr, self.half_angle, self.spacer, end)

    @property
    def reach(self) -> float:
        """Largest cutback whose opening stays inside the whole bend (1 or more: any does)."""
        return elbow.reach(self.bend.clr, self.tube.od / 2.0, self.bend.half_angle)

    @property
    def notes(self) -> tuple[str, ...]:
        """What is unusual about this joint, in words."""
        return rules.notes(self.bend, self.cutback, self._placed, self.run_on)

    @property
    def limits(self) -> tuple[str, ...]:
        """What limits this joint, in words."""
        held = any((self._spacing, self._gap is not None, self._outside_width))
        spacing = self.spacing if held else None
        most = rules.deepest(self.bend, self.return_bend, self._placed, spacing)
        return rules.limits(self.bend, most, self.least_spacing)

    @property
    def numbers(self) -> JointNumbers:
        """What it measures and what it leaves open for the gas, as a result to look at."""
        return JointNumbers(joint=self)

    # What the gas sees

    @property
    def narrowest_area(self) -> float:
        """Least area for flow: both bores together in the middle of the joint [m^2]."""
        return 2.0 * elbow.throat_area(self.elbow)

    @property
    def narrowest_ratio(self) -> float:
        """Narrowest area over the flow area of two tubes."""
        return self.narrowest_area / (2.0 * self.tube.flow_area)

    @property
    def flow_normal_area(self) -> float:
        """Least area square to the flow [m^2]: where it is narrowest both sides run parallel."""
        return self.narrowest_area

    @property
    def narrowest_perimeter(self) -> float:
        """Wall that the gas touches where it is narrowest, both sides [m]; the window is none."""
        return 2.0 * elbow.throat_perimeter(self.elbow)

    @cached_property
    def window_area(self) -> float:
        """Area of the opening between the two bores [m^2]."""
        return elbow_measures.opening_area(self.elbow, self.elbow.bore)

    @property
    def window_ratio(self) -> float:
        """Window area over the flow area of one tube."""
        return self.window_area / self.tube.flow_area

    @property
    def turning(self) -> float:
        """Angle that one side turns through: a half bend, the main bend, a half bend [rad]."""
        return 4.0 * self.half_angle

    @property
    def leg_angle(self) -> float:
        """Angle of a side to the joint's long direction in the middle [rad]: none."""
        return 0.0

    def profile(self, stations: int = 41) -> Profile:
        """Return area and window along one side, exit to exit, at an odd number of stations.

        >>> x = ParallelX(Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in"), cutback=0.28)
        >>> along = x.profile(5)
        >>> [round(float(area) * 1e6) for area in along.leg_area]
        [4174, 4174, 3264, 4174, 4174]
        """
        position = np.linspace(0.0, self.centreline_length, odd(stations))
        from_middle = position - self.centreline_length / 2.0
        return Profile(position, *elbow_sections.along(self.elbow, from_middle))

    @cached_property
    def land_area(self) -> float:
        """Area of wall that meets wall around the window [m^2]."""
        outside = elbow_measures.opening_area(self.elbow, self.elbow.radius)
        return outside - self.window_area

    # Where the tubes come out

    @property
    def spacing(self) -> float:
        """Distance between the exits, centre to centre [m]."""
        return crossover.spacing(self.quarter)

    @property
    def gap(self) -> float:
        """Clear distance between the tubes at the exits [m]."""
        return self.spacing - self.tube.od

    @property
    def outside_width(self) -> float:
        """Width over both tubes at the exits [m]."""
        return self.spacing + self.tube.od

    overall_width = outside_width

    @property
    def least_spacing(self) -> float:
        """Least spacing at this cutback, bends trimmed as far as the opening allows [m]."""
        whole = self.quarter._replace(half_angle=self.bend.half_angle)
        return crossover.least_spacing(whole, self.elbow.radius)

    @property
    def spacing_per_degree(self) -> float:
        """Change of spacing when every half bend turns more by the same angle [m/rad]."""
        return crossover.spacing_per_angle(self.quarter)

    @property
    def overall_length(self) -> float:
        """Length from exit to exit, with the return bends' own straight ends [m]."""
        return crossover.overall_length(self.quarter)

    @property
    def centreline_length(self) -> float:
        """Length of one tube along its centreline, exit to exit [m]."""
        return crossover.centreline_length(self.quarter)

    @property
    def envelope(self) -> Envelope:
        """Width, length and height of the room that it takes [m]."""
        return Envelope(self.overall_width, self.overall_length, float(self.tube.od))

    # What it takes to weld, what it weighs and holds

    @property
    def seams(self) -> tuple[Seam, ...]:
        """The seam round the opening, and the butt welds between main and return bends.

        A straight that the bends' own straight ends do not reach is a piece of its own, with two.
        """
        piece = self.spacer > self.bend.tangent + self.return_bend.tangent
        round_it = math.pi * self.tube.od
        return (
            Seam("round the opening", self.opening_seam, 1),
            Seam("bend to return bend", round_it, 8 if piece else 4),
        )

    @property
    def mass(self) -> float:
        """Mass of the joint without weld metal [kg]."""
        metal = self.tube.metal_area * self.centreline_length - self.slug_volume()
        return 2.0 * material(self.tube.material).density * metal

    @property
    def inside_volume(self) -> float:
        """Volume of gas between the exits, both sides [m^3]."""
        cut = elbow_measures.removed_volume(self.elbow, self.elbow.bore)
        return 2.0 * (self.tube.flow_area * self.centreline_length - cut)
