"""The joints of the trade: thin descriptions on top of `geometry`."""

from __future__ import annotations

from typing import Any, Protocol, Self, runtime_checkable

from exhaust.joints.h_pipe import HPipe as HPipe
from exhaust.joints.h_pipe_split import SplitJoint as SplitJoint
from exhaust.joints.parallel_to_splayed_x import ParallelToSplayedX as ParallelToSplayedX
from exhaust.joints.parallel_x import ParallelX as ParallelX
from exhaust.joints.shared import Envelope as Envelope
from exhaust.joints.shared import Profile as Profile
from exhaust.joints.shared import Seam as Seam
from exhaust.joints.splayed_x import SplayedX as SplayedX
from exhaust.joints.y_merge import YMerge as YMerge
from exhaust.show import Result
from exhaust.stock import Tube


@runtime_checkable
class Joint(Protocol):
    """What every joint answers, whatever its shape. A side is one way through it."""

    @property
    def tube(self) -> Tube:
        """The tube its legs are made of."""

    @property
    def outlet(self) -> Tube:
        """The tube that goes on from it: `tube`, unless it is a merge into another size."""

    @property
    def legs_in(self) -> int:
        """How many tubes come in."""

    @property
    def legs_out(self) -> int:
        """How many tubes go out."""

    @property
    def narrowest_area(self) -> float:
        """Least area for flow, both sides together [m^2]."""

    @property
    def narrowest_ratio(self) -> float:
        """Narrowest area over the flow area of its tubes; each joint says of which."""

    @property
    def flow_normal_area(self) -> float:
        """Least area square to the flow, both sides together [m^2]."""

    @property
    def window_area(self) -> float:
        """Area of the opening between the two sides [m^2]."""

    @property
    def window_ratio(self) -> float:
        """Window area over the flow area of one tube."""

    @property
    def turning(self) -> float:
        """Angle that one side turns through on its way, every turn counted as positive [rad]."""

    @property
    def leg_angle(self) -> float:
        """Angle of a leg to the joint's long direction where the sides meet [rad]."""

    @property
    def spacing(self) -> float:
        """Distance between the tubes where they come out, centre to centre [m]."""

    @property
    def gap(self) -> float:
        """Clear distance between those tubes [m]."""

    @property
    def outside_width(self) -> float:
        """Width over both of them [m]."""

    @property
    def overall_length(self) -> float:
        """Length from end to end [m]."""

    @property
    def centreline_length(self) -> float:
        """Length of one side along its centreline, from end to end [m]."""

    @property
    def envelope(self) -> Envelope:
        """Width, length and height of the room that it takes [m]."""

    @property
    def mass(self) -> float:
        """Mass without weld metal [kg]."""

    @property
    def inside_volume(self) -> float:
        """Volume of gas in it [m^3]."""

    @property
    def seams(self) -> tuple[Seam, ...]:
        """Its welds, one for each kind; the one round the opening first."""

    @property
    def weld_length(self) -> float:
        """Length of all its welds [m]."""

    @property
    def notes(self) -> tuple[str, ...]:
        """What is unusual about it, in words."""

    @property
    def limits(self) -> tuple[str, ...]:
        """What limits it, in words."""

    @property
    def numbers(self) -> Result:
        """What it measures and what it leaves open for the gas, as a result to look at."""

    def profile(self, stations: int = 41) -> Profile:
        """Return area and window along one side, at an odd number of stations."""

    def with_(self, **changes: Any) -> Self:
        """Return a copy with some values changed, checked again."""

    def with_tube(self, tube: Tube) -> Self:
        """Return the same joint in another tube."""
