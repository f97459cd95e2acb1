"""A joint's own numbers as a result: what it measures, and what it leaves open for the gas."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from exhaust.show import Fact, Result

if TYPE_CHECKING:
    from exhaust.joints import ParallelX


@attrs.frozen(kw_only=True, repr=False)
class JointNumbers(Result):
    """What a parallel X measures, and what it leaves open for the gas.

    >>> from exhaust import Bend, ParallelX, Tube
    >>> ParallelX(Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in"), cutback=0.28).numbers
    <JointNumbers: cutback 0.280, cut depth 0.840 in (27/32), opening length 6.124 in (6-1/8)>
    """

    joint: ParallelX

    title = "The parallel X"

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What the joint's shape assumes."""
        return (
            "The joint's numbers are for round tube with an even wall and bends true to their "
            "clr and angle; weld metal is not counted.",
        )

    def facts(self) -> list[Fact]:
        """Return the dimensions, then the areas, then what it weighs."""
        return [*self.dimensions(), *self.openings()]

    def dimensions(self) -> list[Fact]:
        """Return what can be measured on the joint."""
        x = self.joint
        return [
            Fact("cutback", x.cutback, "ratio3", "share of the outside diameter"),
            Fact("cut depth", x.cut_depth, "cut", "from the heel"),
            Fact("opening length", x.opening_length, "cut", "tip to tip, outside"),
            Fact("opening height", x.opening_height, "cut", "outside"),
            Fact("spacing", x.spacing, "cut", "centre to centre at the exits"),
            Fact("gap between the tubes", x.gap, "cut", "at the exits"),
            Fact("outside width", x.outside_width, "cut", "at the exits"),
            Fact("straight between the bends", x.spacer, "cut", "on each leg"),
            Fact("overall length", x.overall_length, "cut", "exit to exit"),
            Fact("centreline length", x.centreline_length, "cut", "one tube, exit to exit"),
            Fact("mass", x.mass, "mass", "both tubes, without weld metal"),
        ]

    def openings(self) -> list[Fact]:
        """Return what the joint leaves open for the gas."""
        x = self.joint
        two, one = "over the flow area of two tubes", "over the flow area of one tube"
        return [
            Fact("narrowest area", x.narrowest_area, "area", "both sides together"),
            Fact("narrowest area, as a share", x.narrowest_ratio, "percent", two),
            Fact("window", x.window_area, "area", "the opening between the two sides"),
            Fact("window, as a share", x.window_ratio, "percent", one),
        ]
