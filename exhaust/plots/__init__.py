"""Figures of finished results. No physics: every number exists in a result."""

from exhaust.plots.comparisons import merge_comparison, tube_comparison
from exhaust.plots.fit import fit_shares
from exhaust.plots.measured import measured_back_pressure
from exhaust.plots.poses import joint_plan, pose, side_by_side
from exhaust.plots.published import published_differences
from exhaust.plots.pulses import merges_in_pulses
from exhaust.plots.sound import Clip, clips, orders
from exhaust.plots.steady import band_shares, flow_along, over_speeds
from exhaust.plots.stock import stock_cuts
from exhaust.plots.style import STYLE, Picture
from exhaust.plots.traces import balance_tubes, crossover_comparison, two_streams, waves

__all__ = [
    "STYLE",
    "Clip",
    "Picture",
    "balance_tubes",
    "band_shares",
    "clips",
    "crossover_comparison",
    "fit_shares",
    "flow_along",
    "joint_plan",
    "measured_back_pressure",
    "merge_comparison",
    "merges_in_pulses",
    "orders",
    "over_speeds",
    "pose",
    "published_differences",
    "side_by_side",
    "stock_cuts",
    "tube_comparison",
    "two_streams",
    "waves",
]
