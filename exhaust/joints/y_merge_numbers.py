"""A Y merge's own numbers as a result: what it measures, what forming takes, what it opens."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from exhaust.show import Fact, Result
from exhaust.stock import DEGREE

if TYPE_CHECKING:
    from exhaust.joints import YMerge


@attrs.frozen(kw_only=True, repr=False)
class YMergeNumbers(Result):
    """What a Y merge measures, how far it is formed, and what it leaves open for the gas.

    >>> from exhaust import Bend, Tube, YMerge
    >>> YMerge(Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")).numbers
    <YMergeNumbers: outlet 3 in x 16 ga, cutback 0.500, cut depth 1.500 in (1-1/2)>
    """

    joint: YMerge

    title = "The Y merge"

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What the joint's shape assumes."""
        return (
            "The joint's numbers are for round tube with an even wall and bends true to their "
            "clr and angle, as cut and before the outline is formed round; weld metal is not "
            "counted.",
            "In forming, the middle of the wall keeps its length where there is no stretch. What "
            "a metal takes in stretch is a share of the elongation in tables (common practice).",
            "Leave 4 to 6 in of straight after a merge before the next part (common practice).",
        )

    def facts(self) -> list[Fact]:
        """Return the cut, what forming takes, the dimensions, and the areas."""
        return [*self.cut(), *self.forming(), *self.dimensions(), *self.openings()]

    def cut(self) -> list[Fact]:
        """Return what is sawn on each leg."""
        y = self.joint
        return [
            Fact("outlet", y.outlet.name),
            Fact("cutback", y.cutback, "ratio3", "share of the outside diameter"),
            Fact("cut depth", y.cut_depth, "cut", "from the heel"),
            Fact("opening length", y.opening_length, "cut", "outlet face to tip, outside"),
            Fact("opening height", y.opening_height, "cut", "outside"),
            Fact(
                "left behind the tip", y.metal_left_arc, "cut", "of the half bend, along the heel"
            ),
            Fact(
                "a degree less on the half bend takes",
                y.left_per_angle * DEGREE,
                "cut",
                "of what is left behind the tip",
            ),
            Fact("a deeper cut takes", y.left_per_depth, "ratio", "times as much of it"),
        ]

    def forming(self) -> list[Fact]:
        """Return what it takes to bring the outline to the outlet."""
        y = self.joint
        return [
            Fact("cutback without stretch", y.zero_stretch_cutback, "ratio3", "middle of the wall"),
            Fact("the same outside", y.zero_stretch_cutback_outside, "ratio3", "by the outside"),
            Fact("stretch", y.stretch, "percent", "of the outline, middle of the wall"),
            Fact("forming", y.forming_words),
        ]

    def dimensions(self) -> list[Fact]:
        """Return what can be measured on the joint."""
        y = self.joint
        where = "at the legs' ends"
        return [
            Fact("spacing", y.spacing, "cut", f"centre to centre {where}"),
            Fact("gap between the legs", y.gap, "cut", where),
            Fact("outside width", y.outside_width, "cut", where),
            Fact("straight on each leg", y.spacer, "cut", "after the half bend"),
            Fact("straight on the outlet", float(y.outlet_straight), "cut", "of the outlet's tube"),
            Fact("overall length", y.overall_length, "cut", "end to end"),
            Fact("centreline length", y.centreline_length, "cut", "one leg and the outlet"),
            Fact("weld", y.weld_length, "cut", "all seams"),
            Fact("mass", y.mass, "mass", "without weld metal"),
        ]

    def openings(self) -> list[Fact]:
        """Return what the joint leaves open for the gas."""
        y = self.joint
        two, one = "over the flow area of two legs", "over the flow area of one leg"
        return [
            Fact("narrowest area", y.narrowest_area, "area", "both legs as cut, or the outlet"),
            Fact("narrowest area, as a share", y.narrowest_ratio, "percent", two),
            Fact("at the outlet when formed", y.formed_area, "area", "inside the round outline"),
            Fact("window", y.window_area, "area", "where both legs meet"),
            Fact("window, as a share", y.window_ratio, "percent", one),
            Fact("legs over outlet", y.area_ratio, "ratio", "flow areas"),
        ]
