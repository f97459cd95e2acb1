"""The questions of the trade: what flows, which tube, same size or stepped, over which speeds."""

from exhaust.choices.limits import Limits
from exhaust.choices.merges import MergeComparison, compare_merges
from exhaust.choices.room import Room, RoomFit, joints_that_fit
from exhaust.choices.speeds import SpeedComparison, compare_speeds
from exhaust.choices.through import FlowThrough, flow_through
from exhaust.choices.tubes import TubeComparison, compare_tubes

__all__ = [
    "FlowThrough",
    "Limits",
    "MergeComparison",
    "Room",
    "RoomFit",
    "SpeedComparison",
    "TubeComparison",
    "compare_merges",
    "compare_speeds",
    "compare_tubes",
    "flow_through",
    "joints_that_fit",
]
