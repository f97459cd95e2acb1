"""The questions of the trade: what flows, which tube, over which speeds, what its pulses do."""

from exhaust.choices.apart import kept_apart
from exhaust.choices.balance_tubes import BalanceTubeComparison, compare_balance_tubes
from exhaust.choices.crossovers import CrossoverComparison, compare_crossovers
from exhaust.choices.limits import Limits
from exhaust.choices.measured import MeasuredComparison, compare_measured
from exhaust.choices.merges import MergeComparison, compare_merges
from exhaust.choices.merging_pulsed import compare_merges_in_pulses
from exhaust.choices.port_pressures import PortPressures, port_pressures
from exhaust.choices.port_readings import PortReading, PortReadings
from exhaust.choices.pulsed_merges import PulsedMergeComparison
from exhaust.choices.pulses import Pulses
from exhaust.choices.room import Room, RoomFit, joints_that_fit
from exhaust.choices.simulating import simulate
from exhaust.choices.simulation import Simulation
from exhaust.choices.sound import SoundComparison
from exhaust.choices.sounding import compare_sound
from exhaust.choices.speeds import SpeedComparison, compare_speeds
from exhaust.choices.through import FlowThrough, flow_through
from exhaust.choices.tubes import TubeComparison, compare_tubes

__all__ = [
    "BalanceTubeComparison",
    "CrossoverComparison",
    "FlowThrough",
    "Limits",
    "MeasuredComparison",
    "MergeComparison",
    "PortPressures",
    "PortReading",
    "PortReadings",
    "PulsedMergeComparison",
    "Pulses",
    "Room",
    "RoomFit",
    "Simulation",
    "SoundComparison",
    "SpeedComparison",
    "TubeComparison",
    "compare_balance_tubes",
    "compare_crossovers",
    "compare_measured",
    "compare_merges",
    "compare_merges_in_pulses",
    "compare_sound",
    "compare_speeds",
    "compare_tubes",
    "flow_through",
    "joints_that_fit",
    "kept_apart",
    "port_pressures",
    "simulate",
]
