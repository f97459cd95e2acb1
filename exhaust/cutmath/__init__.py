"""From a joint's shape to saw settings and check measurements."""

from __future__ import annotations

from exhaust.cutmath import h_pipe, parallel_to_splayed, parallel_x, splayed_x, y_merge
from exhaust.cutmath.cutsheet import Blank, CutSheet, Part, Step
from exhaust.describe import require
from exhaust.joints import HPipe, Joint, ParallelToSplayedX, ParallelX, SplayedX, YMerge
from exhaust.stock import Saw

__all__ = ["Blank", "CutSheet", "Part", "Step", "cut_sheet"]


def cut_sheet(joint: Joint, saw: Saw) -> CutSheet:
    """Return what to set, saw, check and mind for `joint` on `saw`.

    Raises `ExhaustError` for something that is not a joint or a saw, or a kerf deeper than the
    cut. Every length is for the shop's own saw: the blade's face is named, and the kerf falls in
    the waste.

    >>> from exhaust import Bend, ParallelX, Saw, Tube
    >>> bend = Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")
    >>> sheet = cut_sheet(ParallelX(bend, cutback=0.28, spacing="10.5 in"), Saw(kerf="1.1 mm"))
    >>> print(sheet.steps[1].settings[0].text("metric"))
    21.3 mm
    """
    require(saw, Saw, "saw")
    if isinstance(joint, SplayedX):
        return splayed_x.cut_sheet(joint, saw)
    if isinstance(joint, ParallelToSplayedX):
        return parallel_to_splayed.cut_sheet(joint, saw)
    if isinstance(joint, YMerge):
        return y_merge.cut_sheet(joint, saw)
    if isinstance(joint, HPipe):
        return h_pipe.cut_sheet(joint, saw)
    require(joint, ParallelX, "joint")
    assert isinstance(joint, ParallelX)
    return parallel_x.cut_sheet(joint, saw)
