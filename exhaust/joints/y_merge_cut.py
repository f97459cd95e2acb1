"""What a Y merge answers about its cut and its forming, its areas and what it weighs."""

from __future__ import annotations

import math
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from exhaust import units
from exhaust.errors import RuleError, broken
from exhaust.geometry import elbow, elbow_measures, elbow_sections, merge, merge_leg
from exhaust.geometry.merge import Ring
from exhaust.joints.forming import Stretching, ring
from exhaust.joints.parallel_x_rules import text
from exhaust.joints.shared import Profile, Seam, odd, welded
from exhaust.joints.sliced import NO_KERF, Sliced
from exhaust.joints.y_merge_rules import stretched
from exhaust.stock import Tube, material
from exhaust.units import SI

if TYPE_CHECKING:
    import pint

    Length = str | float | pint.Quantity[Any]
    Angle = str | float | pint.Quantity[Any]

NO_ANGLE = SI(0.0, "angle", "deg", math.pi / 180)


class MergeCut(Sliced):
    """Two half bends, sliced and formed to an outlet; a merge adds where its legs come in."""

    part: float = 0.5  # one leg is half of the sliced bend
    legs_in: int = 2
    legs_out: int = 1

    @property
    def tube(self) -> Tube:
        """The tube its legs are made of."""
        raise NotImplementedError

    @property
    def outlet(self) -> Tube:
        """The tube that goes on from it."""
        raise NotImplementedError

    @property
    def leg_length(self) -> float:
        """Length of one leg along its centreline [m]."""
        raise NotImplementedError

    @property
    def centreline_length(self) -> float:
        """Length of one side along its centreline, outlet straight included [m]."""
        raise NotImplementedError

    @property
    def leg_butts(self) -> int:
        """Butt welds on both legs together, the outlet's not counted."""
        raise NotImplementedError

    # Behind the tip, and what a slip takes of it

    @property
    def left_per_angle(self) -> float:
        """What of the heel behind the tip goes when a half bend turns less by one [m/rad]."""
        return merge_leg.taken_per_angle(self.elbow)

    @property
    def left_per_depth(self) -> float:
        """What of the heel behind the tip goes when the cut is deeper by one [m/m]."""
        return merge_leg.taken_per_depth(self.elbow)

    def left_behind_tip(self, kerf: Length = NO_KERF, short: Angle = NO_ANGLE) -> float:
        """Return the heel of the half bend left behind the tip when things go wrong [m].

        `kerf` [m] fell on the kept side of the slice; the half bend turns `short` [rad] of what it
        should. Below zero: the tip is past the end of the half bend.

        >>> from exhaust import Bend, YMerge
        >>> y = YMerge(Bend(Tube(od="63.5 mm", wall="1.651 mm"), clr="95.25 mm"))
        >>> [round(y.left_behind_tip(*slips) * 1e3, 2) for slips in ((), ("1.1 mm", "1 deg"))]
        [7.96, 4.09]
        """
        deeper, turn = _checked("kerf", kerf), _checked("short", short)
        return merge_leg.left_behind_tip(self.elbow, turn, deeper)

    def sawn_opening_length(self, kerf: Length = NO_KERF) -> float:
        """Return the opening from the sawn face to the tip when halving took `kerf` [m].

        Half of the kerf comes off each half: off its length, not off its angle, and so off the
        opening, not off what is left behind the tip.

        >>> from exhaust import Bend, YMerge
        >>> y = YMerge(Bend(Tube(od="63.5 mm", wall="1.651 mm"), clr="95.25 mm"))
        >>> round((y.opening_length - y.sawn_opening_length("1.5 mm")) * 1e3, 2)
        0.75
        """
        return merge_leg.sawn_opening_length(self.elbow, _checked("kerf", kerf))

    # Bringing the outline to the outlet

    @property
    def zero_stretch_cutback(self) -> float:
        """Cutback whose outline reaches the outlet as cut, on the middle of the wall."""
        return merge.zero_stretch_cutback(ring(self.tube), ring(self.outlet))

    @property
    def zero_stretch_cutback_outside(self) -> float:
        """The same by the outside of the tubes; unlike only where the walls are unlike."""
        return merge.zero_stretch_cutback(Ring(self.tube.od), Ring(self.outlet.od))

    @property
    def stretching(self) -> Stretching:
        """How far the outline must be stretched to reach the outlet, and what its metal takes."""
        return stretched(self.tube, self.outlet, self.elbow.cutback)

    @property
    def stretch(self) -> float:
        """Share that the outline must grow, on the middle of the wall; below zero: shrink."""
        return self.stretching.share

    @property
    def stretch_outside(self) -> float:
        """The same share by the outside of the tubes."""
        return merge.stretch(Ring(self.tube.od), self.elbow.cutback, Ring(self.outlet.od))

    @property
    def stretch_per_depth(self) -> float:
        """Growth of the stretch when both legs are cut deeper by one [1/m]."""
        return merge.stretch_per_depth(ring(self.tube), self.elbow.cutback, ring(self.outlet))

    @property
    def outline_length(self) -> float:
        """Perimeter of the joined legs at the outlet before forming, middle of the wall [m]."""
        return merge.outline_perimeter(ring(self.tube), self.elbow.cutback)

    @property
    def forming_words(self) -> str:
        """What bringing the outline to the outlet takes, in a few words."""
        return self.stretching.words(self.zero_stretch_cutback)

    # What the gas sees

    @property
    def face_area(self) -> float:
        """Flow area of both legs at the outlet's face, as cut and before forming [m^2]."""
        return 2.0 * elbow.throat_area(self.elbow)

    @property
    def formed_area(self) -> float:
        """Flow area there when the outline is formed round to the outlet [m^2]."""
        return merge.formed_bore_area(ring(self.tube), self.elbow.cutback, ring(self.outlet))

    @property
    def narrowest_area(self) -> float:
        """Least area for flow [m^2]: both legs as cut at the outlet's face, or the outlet.

        Forming the outline round makes the first larger, never smaller.
        """
        return min(self.face_area, self.outlet.flow_area)

    @property
    def narrowest_ratio(self) -> float:
        """Narrowest area over the flow area of two legs."""
        return self.narrowest_area / (2.0 * self.tube.flow_area)

    @property
    def flow_normal_area(self) -> float:
        """Least area square to the flow [m^2]: at the outlet's face both legs run along it."""
        return self.narrowest_area

    @property
    def area_ratio(self) -> float:
        """Flow area of two legs over the outlet's."""
        return 2.0 * self.tube.flow_area / self.outlet.flow_area

    @cached_property
    def window_area(self) -> float:
        """Area of the opening between the legs, from the outlet's face to its tip [m^2]."""
        return self.part * elbow_measures.opening_area(self.elbow, self.elbow.bore)

    @property
    def window_ratio(self) -> float:
        """Window area over the flow area of one leg."""
        return self.window_area / self.tube.flow_area

    @cached_property
    def land_area(self) -> float:
        """Area of wall that meets wall beside the window [m^2]."""
        outside = elbow_measures.opening_area(self.elbow, self.elbow.radius)
        return self.part * outside - self.window_area

    def profile(self, stations: int = 41) -> Profile:
        """Return area and window along one leg and the outlet, at an odd number of stations.

        As cut, before forming; on the outlet a side has half of the tube.

        >>> from exhaust import Bend, YMerge
        >>> y = YMerge(Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in"), outlet_straight="4 in")
        >>> [round(float(area) * 1e6) for area in y.profile(5).leg_area]
        [4174, 4174, 2593, 2087, 2087]
        """
        position = np.linspace(0.0, self.centreline_length, odd(stations))
        to_face = self.leg_length - position
        merged = to_face < -elbow.SLACK
        area, height = elbow_sections.along(self.elbow, np.maximum(to_face, 0.0))
        return Profile(
            position,
            np.where(merged, self.outlet.flow_area / 2.0, area),
            np.where(merged, 0.0, height),
        )

    # What it takes to weld, what it weighs and holds

    @property
    def seams(self) -> tuple[Seam, ...]:
        """The seam of the two legs, the weld round the outlet, the butt welds on the legs."""
        found = [
            Seam("along the opening", self.opening_seam, 1),
            Seam("legs to outlet", math.pi * self.outlet.od, 1),
            Seam("on the legs", math.pi * self.tube.od, self.leg_butts),
        ]
        return tuple(seam for seam in found if seam.count)

    @property
    def weld_length(self) -> float:
        """Length of all its welds [m]."""
        return welded(self.seams)

    @property
    def _outlet_length(self) -> float:
        return self.centreline_length - self.leg_length

    @property
    def mass(self) -> float:
        """Mass without weld metal [kg]."""
        legs = 2.0 * (self.tube.metal_area * self.leg_length - self.slug_volume())
        outlet = self.outlet.mass_per_length * self._outlet_length
        return material(self.tube.material).density * legs + outlet

    @property
    def inside_volume(self) -> float:
        """Volume of gas from the legs' ends to the end of the outlet straight [m^3], as cut."""
        cut = self.part * elbow_measures.removed_volume(self.elbow, self.elbow.bore)
        legs = 2.0 * (self.tube.flow_area * self.leg_length - cut)
        return legs + self.outlet.flow_area * self._outlet_length


def _checked(name: str, value: Length | Angle) -> float:
    """Return a slip as SI, or refuse it by its name."""
    try:
        found = units.length(value) if name == "kerf" else units.angle(value)
    except RuleError as error:
        raise error.named(name) from error
    if not found >= 0.0:
        raise broken("must not be less than zero", text(found)).named(name)
    return found
