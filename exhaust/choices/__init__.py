"""The questions of the trade: which tube, same size or stepped."""

from exhaust.choices.limits import Limits
from exhaust.choices.merges import MergeComparison, compare_merges
from exhaust.choices.tubes import TubeComparison, compare_tubes

__all__ = ["Limits", "MergeComparison", "TubeComparison", "compare_merges", "compare_tubes"]
