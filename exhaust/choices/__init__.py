"""The questions of the trade: what flows, which tube, over which speeds, what its pulses do."""

from exhaust.choices.limits import Limits
from exhaust.choices.merges import MergeComparison, compare_merges
from exhaust.choices.pulses import Pulses
from exhaust.choices.room import Room, RoomFit, joints_that_fit
from exhaust.choices.simulating import simulate
from exhaust.choices.simulation import Simulation
from exhaust.choices.speeds import SpeedComparison, compare_speeds
from exhaust.choices.through import FlowThrough, flow_through
from exhaust.choices.tubes import TubeComparison, compare_tubes

__all__ = [
    "FlowThrough",
    "Limits",
    "MergeComparison",
    "Pulses",
    "Room",
    "RoomFit",
    "Simulation",
    "SpeedComparison",
    "TubeComparison",
    "compare_merges",
    "compare_speeds",
    "compare_tubes",
    "flow_through",
    "joints_that_fit",
    "simulate",
]
