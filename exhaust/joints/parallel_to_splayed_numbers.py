"""The numbers of half a parallel X with splayed legs, as a result."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from exhaust.joints.splayed_end import MitredEnd
from exhaust.joints.splayed_numbers import leg_facts, step_facts
from exhaust.show import Fact, Result

if TYPE_CHECKING:
    from exhaust.joints import ParallelToSplayedX


@attrs.frozen(kw_only=True, repr=False)
class ParallelToSplayedNumbers(Result):
    """What the joint measures, and what it leaves open for the gas.

    >>> from exhaust import Bend, ParallelToSplayedX, Tube
    >>> bend = Bend(Tube(od="2.5 in", wall="16 ga"), clr="3.75 in")
    >>> x = ParallelToSplayedX(bend, cutback=0.3, included_angle="45 deg", leg_length="8 in")
    >>> x.numbers
    <ParallelToSplayedNumbers: cutback 0.300, cut depth 0.750 in (3/4), halved opening 3.500 in...>
    """

    joint: ParallelToSplayedX

    title = "Half a parallel X with splayed legs"

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What the joint's shape assumes."""
        return (
            "The joint's numbers are for round tube with an even wall, bends true to their clr and "
            "angle, and legs true to theirs; weld metal is not counted.",
        )

    def facts(self) -> list[Fact]:
        """Return the bends, the legs, the dimensions, the areas, and what it weighs."""
        x = self.joint
        found = [
            Fact("cutback", x.cutback, "ratio3", "share of the outside diameter"),
            Fact("cut depth", x.parallel.cut_depth, "cut", "from the bend's heel"),
            Fact("halved opening", x.halved_opening, "cut", "over both bends in the middle"),
        ]
        if isinstance(x.leg, MitredEnd):
            share = Fact("cutback of the legs", x.leg.cutback, "ratio3", "of the mitre opening")
            found += [share, *leg_facts(x.leg), *step_facts(x.steps)]
        else:
            found.append(Fact("bend past the middle", x.leg.angle, "angle", "then the leg, square"))
        return [*found, *self.dimensions(), *self.openings()]

    def dimensions(self) -> list[Fact]:
        """Return what can be measured on the joint."""
        x = self.joint
        return [
            Fact("opening length", x.opening_length, "cut", "tip to tip, outside"),
            Fact("opening height", x.opening_height, "cut", "outside"),
            Fact("straight between the bends", x.parallel.spacer, "cut", "on the parallel side"),
            Fact("spacing at the entry", x.entry_spacing, "cut", "centre to centre"),
            Fact("spacing at the exit", x.exit_spacing, "cut", "centre to centre"),
            Fact("gap between the tubes", x.gap, "cut", "at the exit"),
            Fact("outside width", x.outside_width, "cut", "at the exit"),
            Fact("overall length", x.overall_length, "cut", "over the legs' corners"),
            Fact("centreline length", x.centreline_length, "cut", "one side, end to end"),
            Fact("mass", x.mass, "mass", "all of it, without weld metal"),
        ]

    def openings(self) -> list[Fact]:
        """Return what the joint leaves open for the gas."""
        x = self.joint
        two, one = "over the flow area of two tubes", "over the flow area of one tube"
        return [
            Fact("narrowest area", x.narrowest_area, "area", "where bends and legs meet"),
            Fact("narrowest area, as a share", x.narrowest_ratio, "percent", two),
            Fact("square to the flow", x.flow_normal_area, "area", "where it is narrowest"),
            Fact("square to the flow, as a share", x.flow_normal_ratio, "percent", two),
            Fact("window", x.window_area, "area", "the opening between the two sides"),
            Fact("window, as a share", x.window_ratio, "percent", one),
        ]
