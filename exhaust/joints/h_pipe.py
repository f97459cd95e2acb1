"""The H pipe: two primaries with a balance tube between them."""

from __future__ import annotations

import math
from functools import cached_property
from typing import Self

import attrs
import numpy as np

from exhaust import units
from exhaust.describe import Description, a, not_negative, positive, within
from exhaust.geometry import saddle, saddle_measures
from exhaust.geometry.saddle_measures import Between
from exhaust.joints import h_pipe_rules as rules
from exhaust.joints.h_pipe_balance import Balanced
from exhaust.joints.h_pipe_frame import Asked, Frame
from exhaust.joints.h_pipe_numbers import HPipeNumbers
from exhaust.joints.h_pipe_split import SplitJoint
from exhaust.joints.shared import Crossover, Envelope, Profile, Seam, odd
from exhaust.stock import DEGREE, INCH, Tube, material
from exhaust.units import SI

FAR = 10.0  # no exhaust is wider [m]


@attrs.frozen(kw_only=True, repr=False)
class HPipe(Balanced, Crossover, Description):
    """Two primaries of `tube`, and a balance tube that is saddled on both.

    `balance_tube` (none: the same tube); `spacing` of the primaries, centre to centre, at the
    middle of the balance tube [m]; `angle` of the balance tube to the line midway between them
    [rad]; `offset` by which its axis passes beside theirs, up or down [m]; `splay`, the angle by
    which the primaries open from entry to exit [rad]; `length` of the primaries through the joint
    [m] (none: a tube's diameter past the saddle at each end), the balance tube in the middle of
    it; `split`, a joint in the middle of the balance tube.

    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> h = HPipe(tube, balance_tube=Tube(od="2 in", wall="16 ga"), spacing="10 in")
    >>> round(h.window_ratio, 3), round(h.blank_length / 0.0254, 3)
    (0.425, 7.764)
    """

    tube: Tube = attrs.field(validator=a(Tube), kw_only=False)
    _balance_tube: Tube | None = attrs.field(
        default=None, validator=attrs.validators.optional(a(Tube))
    )
    _spacing: float = attrs.field(converter=units.length, validator=[positive, within(0.0, FAR)])
    angle: float = attrs.field(
        default=SI(90 * DEGREE, "angle", "deg", DEGREE),
        converter=units.angle,
        validator=within(15 * DEGREE, 165 * DEGREE, "90 deg is square to the primaries"),
    )
    offset: float = attrs.field(
        default=SI(0.0, "length", "in", INCH), converter=units.length, validator=within(-FAR, FAR)
    )
    splay: float = attrs.field(
        default=SI(0.0, "angle", "deg", DEGREE),
        converter=units.angle,
        validator=[not_negative, within(0.0, 90 * DEGREE)],
    )
    _length: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.length),
        validator=attrs.validators.optional([positive, within(0.0, FAR)]),
        metadata={"dimension": "length"},
    )
    split: SplitJoint | None = attrs.field(
        default=None, validator=attrs.validators.optional(a(SplitJoint))
    )
    _frame: Frame = attrs.field(init=False, eq=False, repr=False)

    def __attrs_post_init__(self) -> None:
        asked = Asked(
            *(self.tube, self.balance_tube, self._spacing, self.angle),
            *(self.offset, self.splay, self._length, self.split),
        )
        object.__setattr__(self, "_frame", rules.checked(asked))

    def with_tube(self, tube: Tube) -> Self:
        """Return the same joint in another tube; a balance tube that was named stays as it is.

        >>> h = HPipe(Tube(od="3 in", wall="16 ga"), spacing="10 in")
        >>> h.with_tube(Tube(od="2.5 in", wall="16 ga")).balance_tube.name
        '2.5 in x 16 ga'
        """
        return self.with_(tube=tube)

    @property
    def balance_tube(self) -> Tube:
        """The tube between the two sides."""
        return self._balance_tube or self.tube

    @property
    def notes(self) -> tuple[str, ...]:
        """What is unusual about this joint, in words."""
        return rules.notes(self._frame)

    @property
    def limits(self) -> tuple[str, ...]:
        """What limits this joint, in words."""
        return rules.limits(self._frame)

    @property
    def numbers(self) -> HPipeNumbers:
        """What it measures and what it leaves open for the gas, as a result to look at."""
        return HPipeNumbers(joint=self)

    # What the gas sees

    @property
    def narrowest_area(self) -> float:
        """Least area for flow: both primaries, which the balance tube does not narrow [m^2]."""
        return 2.0 * self.tube.flow_area

    @property
    def narrowest_ratio(self) -> float:
        """Narrowest area over the flow area of two primaries: all of it."""
        return self.narrowest_area / (2.0 * self.tube.flow_area)

    @property
    def flow_normal_area(self) -> float:
        """Least area square to the flow, both primaries together [m^2]."""
        return self.narrowest_area

    @property
    def window_area(self) -> float:
        """Area of the opening between the two sides: the balance tube's flow area [m^2]."""
        return self.balance_tube.flow_area

    @property
    def window_ratio(self) -> float:
        """Window area over the flow area of one primary."""
        return self.window_area / self.tube.flow_area

    @property
    def turning(self) -> float:
        """Angle that one side turns through [rad]: none, the primaries go straight on."""
        return 0.0

    @property
    def leg_angle(self) -> float:
        """Angle of the balance tube to the line midway between the primaries [rad], acute."""
        return min(float(self.angle), math.pi - self.angle)

    def profile(self, stations: int = 41) -> Profile:
        """Return area and window along the first primary, at an odd number of stations.

        Even steps beside the opening; on it they close up towards its two tips, where its height
        rises as a square root. The height is that of the hole in the primary's bore, across the
        primary; its integral times the sine of the crossing angle is the window.

        >>> h = HPipe(Tube(od="3 in", wall="16 ga"), spacing="10 in", length="12 in")
        >>> (h.profile(5).window_height / 0.0254).round(3).tolist()
        [0.0, 0.0, 2.87, 0.0, 0.0]
        """
        opening = self.saddles[0].opening
        middle, _ = self.crossings
        low, high = (middle + y for y in saddle.span_on_primary(opening))
        beside = max(odd(stations) // 8, 1)
        inside = stations - 2 * beside
        turn = np.linspace(0.0, math.pi, inside) if inside > 1 else np.array([math.pi / 2.0])
        position = np.concatenate(
            [
                np.linspace(0.0, low, beside, endpoint=False),
                (low + high) / 2.0 - (high - low) / 2.0 * np.cos(turn),
                np.linspace(self.centreline_length, high, beside, endpoint=False)[::-1],
            ]
        )
        height = saddle_measures.opening_height(opening, position - middle)
        return Profile(position, np.full(stations, self.tube.flow_area), height)

    # The balance tube and its saddles

    @property
    def between(self) -> Between:
        """The balance tube as `geometry` has it: axis to axis, a saddle at each end."""
        return self._frame.between(float(self._spacing))

    @property
    def crossings(self) -> tuple[float, float]:
        """Where the balance tube's axis meets each primary's, from its entry end [m]."""
        return self._frame.crossings(self._spacing)

    # Where the tubes come out

    @cached_property
    def centreline_length(self) -> float:
        """Length of one primary through the joint, exit to exit [m], as given or as found."""
        return self._frame.length(self._spacing)

    def _opened(self, along: float) -> float:
        return self._spacing + 2.0 * along * math.sin(self.splay / 2.0)

    @property
    def balance_spacing(self) -> float:
        """Distance between the primaries at the middle of the balance tube [m], as given."""
        return float(self._spacing)

    @property
    def entry_spacing(self) -> float:
        """Distance between the primaries at the entry, centre to centre [m]."""
        return self._opened(-self.centreline_length / 2.0)

    @property
    def exit_spacing(self) -> float:
        """Distance between the primaries at the exit, centre to centre [m]."""
        return self._opened(self.centreline_length / 2.0)

    @property
    def spacing(self) -> float:
        """Distance between the primaries at the exit [m]; parallel ones have it all along."""
        return self.exit_spacing

    @property
    def _across(self) -> float:
        return float(self.tube.od) * math.cos(self.splay / 2.0)

    @property
    def entry_gap(self) -> float:
        """Clear distance between the primaries at the entry [m]."""
        return self.entry_spacing - self._across

    @property
    def gap(self) -> float:
        """Clear distance between the primaries at the exit [m]."""
        return self.exit_spacing - self._across

    @property
    def outside_width(self) -> float:
        """Width over both primaries at the exit [m]."""
        return self.exit_spacing + self._across

    @property
    def overall_length(self) -> float:
        """Length from end to end along the line midway between the primaries [m]."""
        half = self.splay / 2.0
        return self.centreline_length * math.cos(half) + self.tube.od * math.sin(half)

    @property
    def envelope(self) -> Envelope:
        """Width, length and height of the room that it takes, a split joint not counted [m]."""
        return Envelope(self.outside_width, self.overall_length, float(self.tube.od))

    @property
    def least_spacing(self) -> float:
        """Least spacing for the tubes, angles, length and split as they are [m]."""
        return self._frame.least_spacing

    # What it takes to weld, what it weighs and holds

    @cached_property
    def seams(self) -> tuple[Seam, ...]:
        """The seam round each saddle, and those of a split joint that is welded on."""
        lengths = [saddle_measures.seam_length(end.outside) for end in self.between.unlike]
        if len(lengths) == 1:
            found = [Seam("balance tube to primary", lengths[0], 2)]
        else:
            found = [
                Seam("balance tube to first primary", lengths[0], 1),
                Seam("balance tube to second primary", lengths[1], 1),
            ]
        if self.split is not None and self.split.welded:
            round_it = math.pi * self.balance_tube.od
            found.append(Seam(f"{self.split.kind} to balance tube", round_it, 2))
        return tuple(found)

    @cached_property
    def mass(self) -> float:
        """Mass without weld metal and without the split joint's own parts [kg]."""
        tube, other = self.tube, self.balance_tube
        primaries = 2.0 * tube.metal_area * self.centreline_length - self.volumes.plugs
        balance = self.volumes.metal
        if self.split is not None:
            balance -= other.metal_area * self.split.gap
        return material(tube.material).density * primaries + (
            material(other.material).density * balance
        )

    @property
    def inside_volume(self) -> float:
        """Volume of gas in both primaries and the balance tube [m^3]."""
        return self.narrowest_area * self.centreline_length + self.balance_volume
