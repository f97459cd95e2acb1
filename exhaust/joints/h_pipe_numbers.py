"""An H pipe's own numbers as a result: what it measures, and what it leaves open for the gas."""

from __future__ import annotations

from typing import TYPE_CHECKING

import attrs

from exhaust.show import Fact, Result

if TYPE_CHECKING:
    from exhaust.joints import HPipe


@attrs.frozen(kw_only=True, repr=False)
class HPipeNumbers(Result):
    """What an H pipe measures, and what it leaves open for the gas.

    >>> from exhaust import HPipe, Tube
    >>> HPipe(Tube(od="3 in", wall="16 ga"), spacing="10 in", length="12 in").numbers
    <HPipeNumbers: balance tube 3 in x 16 ga, angle 90.0°, offset 0.000 in (0)>
    """

    joint: HPipe

    title = "The H pipe"

    @property
    def assumptions(self) -> tuple[str, ...]:  # type: ignore[override]
        """What the joint's shape assumes."""
        return (
            "The joint's numbers are for round tube with an even wall, a balance tube that sits on "
            "the primaries and holes to its inside; weld metal is not counted.",
        )

    def facts(self) -> list[Fact]:
        """Return the balance tube, the dimensions, the areas, and what it weighs."""
        return [*self.balance_tube(), *self.dimensions(), *self.openings()]

    def balance_tube(self) -> list[Fact]:
        """Return what is cut and drilled."""
        h = self.joint
        found = [
            Fact("balance tube", h.balance_tube.name),
            Fact("angle", float(h.angle), "angle", "to the line midway between the primaries"),
            Fact("offset", float(h.offset), "cut", "of its axis from the primaries' axes"),
            Fact("length to cut it to", h.blank_length, "cut", "before it is saddled"),
            Fact("shortest side", h.shortest_line, "cut", "along the finished tube"),
            Fact("longest line", h.longest_line, "cut", "along the finished tube"),
            Fact("notch", h.notch_depth, "cut", "long point to short point"),
            Fact("hole width", h.hole_width, "cut", "round the primary's outside"),
            Fact("hole length", h.hole_length, "cut", "along the primary"),
        ]
        if h.split is not None:
            words = "each" if h.splay == 0.0 else "the one at the first primary"
            found.append(Fact("pieces for the split", h.pieces[0], "cut", f"two, {words}"))
        return found

    def dimensions(self) -> list[Fact]:
        """Return what can be measured on the joint."""
        h = self.joint
        found = [
            Fact("spacing", h.balance_spacing, "cut", "centre to centre at the balance tube"),
            Fact("gap between the tubes", h.gap, "cut", "at the exit"),
            Fact("outside width", h.outside_width, "cut", "at the exit"),
            Fact("overall length", h.overall_length, "cut", "end to end"),
            Fact("weld", h.weld_length, "cut", "all seams"),
            Fact("mass", h.mass, "mass", "without weld metal or split joint"),
        ]
        if h.splay:
            ends = (("entry", h.entry_spacing), ("exit", h.exit_spacing))
            found[1:1] = [
                Fact(f"spacing at the {end}", value, "cut", "centre to centre")
                for end, value in ends
            ]
        return found

    def openings(self) -> list[Fact]:
        """Return what the joint leaves open for the gas."""
        h = self.joint
        one = "over the flow area of one primary"
        return [
            Fact("narrowest area", h.narrowest_area, "area", "both primaries, not narrowed"),
            Fact("window", h.window_area, "area", "the balance tube's flow area"),
            Fact("window, as a share", h.window_ratio, "percent", one),
            Fact("hole", h.hole_area, "area", "in each primary's outside, rolled flat"),
            Fact("volume", h.inside_volume, "volume", "of gas, balance tube included"),
        ]
