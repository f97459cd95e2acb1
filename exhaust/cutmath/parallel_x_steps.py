"""The steps of a parallel X at the saw and the bench, in order."""

from __future__ import annotations

import math

from exhaust.cutmath import bend_poses as poses
from exhaust.cutmath.bend_steps import (
    ends_sawn,
    measured,
    returns_sawn,
    stop_and_kerf,
    straights_sawn,
)
from exhaust.cutmath.cutsheet import Step
from exhaust.cutmath.finished import weld
from exhaust.cutmath.parallel_x_work import Work
from exhaust.joints import ParallelX
from exhaust.show import Fact

TRIM = "every bend is trimmed to the same angle."


def steps(work: Work) -> tuple[Step, ...]:
    """Return what to do, in order: round tube is sawn before a bend loses its heel."""
    x, plan, saw = work.x, work.plan, work.saw
    straights = [straights_sawn(x.tube, plan.piece, saw, "four")] if plan.piece else []
    first, last = (straights, []) if work.welded_first else ([], straights)
    return (
        measured(work.bend, "A B"),
        *ends_sawn(x, work.main_straight, saw, TRIM),
        *first,
        _slice(work),
        returns_sawn(x, work.returns, plan, saw),
        *last,
        _fit(work),
        weld(x, "Weld in short runs, opposite sides in turn."),
    )


def _slice(work: Work) -> Step:
    x, kerf = work.x, work.saw.kerf
    settings = (
        *stop_and_kerf(x.cut_depth, kerf),
        Fact("Blade from square", 0.0, "angle"),
    )
    checks = (
        Fact("Length of the opening", x.opening_length, "cut", _gauge_words(x)),
        Fact("Height of the opening", x.opening_height, "cut"),
        Fact("Tip to end of bend along the heel", work.tip_to_end, "cut", "the same at both ends"),
        Fact("Throat to cut face at the middle", x.tube.od - x.cut_depth, "cut"),
        Fact("Slug: greatest depth", x.cut_depth - kerf, "cut"),
        Fact("Slug: length", x.slug_length(kerf), "cut"),
    )
    words = (
        "Heel against the stop, touching at the middle line; the two ends the same distance from "
        "the blade's plane, so that the cut is parallel to the line through both ends. Clamp the "
        "kept side, and back the thin lips beside the opening with a block. Withdraw the stop "
        "before the blade reaches it, finish the cut, seat the bend again and measure: one that "
        "rolled has its depth, but its opening has walked to one end. Both bends are cut at one "
        "setting and are alike; the second is turned to face the first."
    )
    if work.welded_first:
        words = "Weld the straights to the bend first: the opening runs onto them. " + words
    return Step(
        "Slice the heel",
        "A",
        words,
        settings,
        checks,
        poses.slices(work.bend, work.sliced_straight, x, work.saw),
    )


def _gauge_words(x: ParallelX) -> str:
    slope = x.opening_length_per_depth
    return f"the gauge: moves {slope:.1f} for 1 of depth"


def _fit(work: Work) -> Step:
    x = work.x
    checks = (
        Fact("Gap between the tubes, front", x.gap, "cut"),
        Fact("Gap between the tubes, back", x.gap, "cut"),
        Fact("Outside width, front", x.outside_width, "cut"),
        Fact("Outside width, back", x.outside_width, "cut"),
        Fact("Overall length", work.overall_length, "cut"),
        Fact(
            "Diagonals of the four exits",
            math.hypot(x.spacing, work.overall_length),
            "cut",
            "both alike: the X is square",
        ),
    )
    words = (
        "Dry-fit on a flat plate: tips to tips, no step at the sides. Tack the seam at the middle, "
        "top and bottom, then both tips; then each return in opposite pairs, checking the four "
        "exits after each tack. A hair of gap "
        "closes in welding; a joint that rocks goes back to the file."
    )
    return Step("Fit and tack", "A B C" if work.plan.piece else "A B", words, (), checks)
