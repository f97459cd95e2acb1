"""The steps of a Y merge at the saw and the bench, in order."""

from __future__ import annotations

import math

from exhaust.cutmath import bend_poses as bends
from exhaust.cutmath import y_merge_poses as poses
from exhaust.cutmath.bend_steps import (
    astride,
    ends_sawn,
    heel_to_middle,
    measured,
    returns_sawn,
    stop_and_kerf,
    straights_sawn,
    throat_to_middle,
)
from exhaust.cutmath.cutsheet import Step
from exhaust.cutmath.finished import weld
from exhaust.cutmath.y_merge_work import YWork
from exhaust.joints.forming import FITS
from exhaust.show import Fact, cut_length
from exhaust.stock import DEGREE
from exhaust.units import SI

TRIM = "trim both ends of the bend to the same angle before it is halved."


def steps(work: YWork) -> tuple[Step, ...]:
    """Return what to do, in order: a half bend has its straight before it loses its heel."""
    y = work.y
    found = [measured(y.bend, "A" if y.return_bend is None else "A B")]
    found += [*ends_sawn(y, work.left_on_leg, work.saw, TRIM), _halve(work)]
    if work.plan.piece:
        found.append(straights_sawn(y.tube, work.plan.piece, work.saw, "two"))
    found += [_tack_straight(work), _slice(work)]
    if y.return_bend is not None:
        found.append(returns_sawn(y, y.return_bend, work.plan, work.saw))
    found.append(_fit(work))
    found += [_form(work)] if work.formed else []
    return (*found, _outlet(work), _weld(work))


def _halve(work: YWork) -> Step:
    blank, kerf = work.blank, work.saw.kerf
    settings = astride(blank)
    checks = (
        Fact("Angle of each half", work.y.half_angle, "angle", "between its two end faces"),
        Fact("Heel of each half", heel_to_middle(blank) - kerf / 2, "cut"),
        Fact("Throat of each half", throat_to_middle(blank) - kerf / 2, "cut"),
        *_behind(work),
    )
    words = (
        "One bend makes both legs: set the blade astride the middle line. The kerf costs each half "
        "half its width in length, nothing in angle. The sawn faces are the outlet face. Measure "
        "the angle of each half now: a bend that is off makes a tapered half, and the slice is "
        "then no longer square to the outlet face. Put the measured angle in the job and print "
        "again, or dress the sawn face to the angle."
    )
    pose = bends.in_halves(blank, work.saw, "Halve the bend into two legs")
    return Step("Halve the bend and check the angle", "A", words, settings, checks, (pose,))


def _behind(work: YWork) -> tuple[Fact, ...]:
    """Return what is left behind the tip of the opening, and what slips take of it."""
    y, kerf = work.y, SI(work.saw.kerf, "length")
    both = y.left_behind_tip(kerf, SI(DEGREE, "angle"))
    return (
        Fact("Left of the half bend behind the tip", y.left_behind_tip(), "cut", _past_words(work)),
        Fact("A degree less on a half takes of it", y.left_per_angle * DEGREE, "cut"),
        Fact("The kerf on the wrong side takes of it", y.left_per_depth * work.saw.kerf, "cut"),
        Fact("Left with both", both, "cut", "less than nought: the tip is past the half bend"),
    )


def _past_words(work: YWork) -> str:
    if work.y.run_on > 0.0:
        return "the opening runs past the half bend onto the straight"
    return "along the heel"


def _tack_straight(work: YWork) -> Step:
    y = work.y
    settings = [Fact("Straight past the half bend", work.own_straight, "cut")]
    if work.handle:
        settings.append(Fact("Offcut of the same tube, at least", work.handle, "cut"))
    checks = (
        Fact("Straight to the outlet's line", y.half_angle, "angle", "across heel and throat"),
    )
    if work.plan.piece:
        words = "Butt the straight to the end of the half bend, heel lines in line, and tack it on "
        words += "the throat and both sides. "
        if y.run_on > 0.0:
            words += "The opening runs onto it: weld it round before the slice. "
    elif work.own_straight > 0.0:
        words = "The straight end of the bend is the leg's straight. "
    else:
        words = "The leg has no straight of its own. "
    if work.handle:
        words += (
            "It is too short to clamp: tack an offcut to its end, three tacks, clear of the heel; "
            "grind it off after the slice."
        )
    words += " Draw the heel line along the leg: both legs are clocked by it."
    parts = "A C" if work.plan.piece else "A"
    return Step("Tack the straight on", parts, words.replace("  ", " "), tuple(settings), checks)


def _slice(work: YWork) -> Step:
    y, kerf = work.y, work.saw.kerf
    settings = (
        *stop_and_kerf(y.cut_depth, kerf),
        Fact("Outlet face from square to the blade", 0.0, "angle"),
        Fact("Straight to the blade", y.half_angle, "angle", "block between clamp and fence"),
    )
    slope = y.opening_length_per_depth
    checks = (
        Fact(
            "Length of the opening, outlet face to tip",
            work.sawn_opening,
            "cut",
            f"the gauge: moves {slope:.1f} for 1 of depth",
        ),
        Fact("Height of the opening", y.opening_height, "cut"),
        Fact("Throat to cut face on the outlet face", y.tube.od - y.cut_depth, "cut"),
        *_behind(work)[:1],
        Fact("Slug: greatest depth", y.cut_depth - kerf, "cut"),
        Fact("Slug: length", work.slug_length, "cut"),
    )
    held = "Heel of the outlet face against the stop; "
    backed = "Back the thin edge with flat plate"
    if poses.stands(work):
        held = "Stand the leg on its outlet face, heel against a tall stop; "
        backed = "The deck backs the thin edge: no gap under it"
    words = (
        f"{held}the outlet face square to the blade, checked with a square; the straight clamped, "
        f"never the half bend. {backed}: the wall left beside the outlet face springs and the tip "
        "is a feather. Withdraw the stop before the blade reaches it, and finish the cut. Both "
        "legs at one setting: they are alike, and one is turned over to face the other."
    )
    return Step("Slice the heel", "A", words, settings, checks, poses.slices(work))


def _fit(work: YWork) -> Step:
    y = work.y
    spacing = [
        Fact("Gap between the legs' ends", y.gap, "cut", "the same at top and bottom"),
        Fact("Outside width over the legs' ends", y.outside_width, "cut"),
    ]
    across = Fact("Over both legs at the outlet face", 2 * (y.tube.od - y.cut_depth), "cut")
    tape = Fact("Tape round both at the outlet face", work.outside_before, "cut")
    words = (
        "On a flat plate close the legs cut face to cut face, outlet faces in one plane. Tack at "
        "the outlet face top and bottom, then the crotch, then between, opposite in turn. Check "
        "the outlet face with a square after each tack. "
    )
    if y.return_bend is not None:
        words += "Then tack the returns, one each side in turn, their ends square to the plate. "
    words += "A gap at the crotch says that a half was off its angle: dress it, do not force it."
    parts = "A" if y.return_bend is None else "A B"
    return Step("Fit and tack the legs", parts, words, (), (across, tape, *spacing))


def _form(work: YWork) -> Step:
    y, asked = work.y, work.y.stretching
    outside = math.pi * y.outlet.od
    settings = [
        Fact("Outside of the formed end", float(y.outlet.od), "tube", "the outlet's own"),
        Fact("Stretch, middle of the wall", asked.share, "percent", y.forming_words),
        Fact("Depth to form, at least", work.sawn_opening, "cut", "it must reach the crotch"),
    ]
    if work.passes:
        settings.insert(
            2, Fact("Passes, evenly", work.passes, "count", "none more than one step takes")
        )
    checks = (
        Fact("Tape round the outside before", work.outside_before, "cut"),
        Fact("Tape round the outside after", outside, "cut"),
    )
    words = (
        "Weld the seam of the legs first, inside purged, and let it cool. Then form the joined "
        "outline round on a mandrel of the outlet. "
    )
    if asked.share > FITS:
        words += (
            "The swage crosses two seams: what a table says of elongation does not hold across a "
            "bead. Go in small steps and look for cracks at the beads after each. "
        )
    elif asked.share < -FITS:
        words += "The outline is not stretched but gathered or pressed: no thinning. "
    words += "Check that the end is square to the seam and dress it flat."
    return Step("Form the outline to the outlet", "A", words, tuple(settings), checks)


def _outlet(work: YWork) -> Step:
    y, straight = work.y, float(work.y.outlet_straight)
    settings: tuple[Fact, ...] = ()
    if straight:
        settings = (Fact("Stop to the blade's near face, outlet straight", straight, "cut"),)
    checks = (
        Fact("Overall length, legs' ends to outlet's end", work.overall_length, "cut"),
        Fact("Outlet square to the legs' line", 90.0 * DEGREE, "angle", "both ways"),
    )
    words = (
        "Saw the outlet square. Tack it at the two seams, then halfway between on each side, "
        "opposite in turn; a step outward at the seam is filed, not filled. Leave "
        f"{cut_length(0.1016)} to {cut_length(0.1524)} of straight before the next part (common "
        "practice)."
    )
    poses_of = (bends.straight(y.outlet, straight, work.saw),) if straight else ()
    return Step("Fit the outlet", "D" if straight else "A", words, settings, checks, poses_of)


def _weld(work: YWork) -> Step:
    last = " (done before forming), the outlet last" if work.formed else ", then the outlet"
    order = (
        "Order: butt welds on the legs, the seam from the crotch to the outlet face in short runs "
        f"top and bottom in turn{last}. The crotch is thin and drawn to a feather: start on it "
        "cold and run off it."
    )
    return weld(work.y, order)
