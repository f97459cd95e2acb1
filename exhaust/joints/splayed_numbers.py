"""A splayed X's own numbers as a result: what it measures, and what it leaves open for the gas."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from exhaust.joints.stepped import step_words
from exhaust.show import Fact, Result

if TYPE_CHECKING:
    from exhaust.geometry.mismatch import Steps
    from exhaust.joints import SplayedX
    from exhaust.joints.splayed_end import MitredEnd


@attrs.frozen(kw_only=True, repr=False)
class SplayedNumbers(Result):
    """What a splayed X measures, and what it leaves open for the gas.

    >>> from exhaust import SplayedX, Tube
    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> SplayedX(tube, included_angle="45 deg", cutback=1 / 3, leg_length="8 in").numbers
    <SplayedNumbers: cutback 0.333, mitre 22.5°, mitre opening 2.706 in (2-45/64)>
    """

    joint: SplayedX

    title = "The splayed X"

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What the joint's shape assumes."""
        return (
            "The joint's numbers are for round tube with an even wall and legs true to their "
            "angles; weld metal is not counted.",
        )

    def facts(self) -> list[Fact]:
        """Return the legs, the dimensions, then the areas, then what it weighs."""
        x = self.joint
        share = Fact("cutback", x.cutback, "ratio3", "share of the mitre opening")
        if x.entry == x.exit:
            legs = leg_facts(x.entry)
        else:
            legs = [*leg_facts(x.entry, ", entry"), *leg_facts(x.exit, ", exit")]
            legs += step_facts(x.steps)
        return [share, *legs, *self.dimensions(), *self.openings()]

    def dimensions(self) -> list[Fact]:
        """Return what can be measured on the joint."""
        x = self.joint
        return [
            Fact("opening length", x.opening_length, "cut", "tip to tip, outside"),
            Fact("opening height", x.opening_height, "cut", "outside"),
            Fact("spacing at the entry", x.entry_spacing, "cut", "centre to centre"),
            Fact("spacing at the exit", x.exit_spacing, "cut", "centre to centre"),
            Fact("gap between the tubes", x.gap, "cut", "at the exit, near corners"),
            Fact("outside width", x.outside_width, "cut", "at the exit, far corners"),
            Fact("overall length", x.overall_length, "cut", "over the ends' corners"),
            Fact("centreline length", x.centreline_length, "cut", "one side, end to end"),
            Fact("mass", x.mass, "mass", "all four legs, without weld metal"),
        ]

    def openings(self) -> list[Fact]:
        """Return what the joint leaves open for the gas."""
        x = self.joint
        two, one = "over the flow area of two tubes", "over the flow area of one tube"
        return [
            Fact("narrowest area", x.narrowest_area, "area", "in the plane of the mitres"),
            Fact("narrowest area, as a share", x.narrowest_ratio, "percent", two),
            Fact("square to the flow", x.flow_normal_area, "area", "where it is narrowest"),
            Fact("square to the flow, as a share", x.flow_normal_ratio, "percent", two),
            Fact("window", x.window_area, "area", "the opening between the two sides"),
            Fact("window, as a share", x.window_ratio, "percent", one),
        ]


def leg_facts(end: MitredEnd, which: str = "") -> list[Fact]:
    """Return what is sawn and measured on a mitred leg."""
    return [
        Fact(f"mitre{which}", end.mitre_angle, "angle", "from a square cut"),
        Fact(f"mitre opening{which}", end.mitre_opening, "cut", "long axis of the sawn face"),
        Fact(f"take-off{which}", end.take_off, "cut", "from the heel of the opening"),
        Fact(f"kept width{which}", end.kept_width, "cut", "from the outer edge"),
        Fact(f"long cut{which}", end.long_cut_angle, "angle", "from a square cut"),
        Fact(f"run-out{which}", end.run_out, "cut", "along the joint, mitre to tip"),
        Fact(f"run-out on the wall{which}", end.run_out_on_wall, "cut", "along the heel line"),
        Fact(f"long side{which}", end.long_side, "cut", "heel line before the long cut"),
        Fact(f"short side{which}", end.short_side, "cut", "line at the outer edge"),
    ]


def step_facts(worst: Steps) -> list[Fact]:
    """Return how far the faces that are welded together step apart."""
    size, where = step_words(worst)
    return [
        Fact("worst step of the edges", size, "tube", where),
        Fact("step at the seam", worst.at_seam, "tube", "the exit leg's face higher, top only"),
    ]
