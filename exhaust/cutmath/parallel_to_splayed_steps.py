"""The steps of half a parallel X with splayed legs, at the saw and the bench, in order."""

from __future__ import annotations

import math

from exhaust.cutmath import bend_poses, parallel_x_steps
from exhaust.cutmath import parallel_to_splayed_poses as own
from exhaust.cutmath.bend_steps import trimmed
from exhaust.cutmath.cutsheet import Step
from exhaust.cutmath.finished import weld
from exhaust.cutmath.parallel_x_work import Work
from exhaust.cutmath.splayed_x_steps import TIPS, blanks, long_cut, mitred, squared_off
from exhaust.geometry import mitre
from exhaust.joints import ParallelToSplayedX
from exhaust.joints.bent_end import BentEnd
from exhaust.joints.splayed_end import MitredEnd
from exhaust.show import Fact, cut_length
from exhaust.stock import Bend, Saw

ENDS = ("Trim the bends", "Shorten the straight ends")
ONE_END = "The parallel end only; the splayed end has its own setting. "
TWO = "This joint takes two. "
SPARE = "This joint takes two; saw four if the spare half is to be used as well. "


def steps(x: ParallelToSplayedX, work: Work) -> tuple[Step, ...]:
    """Return what to do, in order."""
    sawn = parallel_x_steps.steps(work)[:-2]
    if isinstance(x.leg, BentEnd):
        return (*_butted(x, x.leg, work, sawn), _fit(x, work), weld(x, TIPS))
    sawn = tuple(_fewer(each, SPARE) for each in sawn)
    legs = (
        blanks((x.leg,), "D", x.tube, work.saw),
        mitred(x.leg, "D", work.saw),
        _matched(x, x.leg, work.saw),
        *squared_off(x.leg, "D", work.saw),
    )
    return (*sawn, _tack(work), _halve(work), *legs, _fit(x, work), weld(x, TIPS))


def _fewer(each: Step, words: str) -> Step:
    """A step of the parallel X, where only half of its pieces end up in this joint."""
    return each._replace(words=words + each.words) if each.parts in ("B", "C") else each


def _tack(work: Work) -> Step:
    x, clear = work.x, own.tack_clear(work.x)
    settings = (Fact("Tacks from the middle plane, at least", clear, "cut"),)
    checks = (
        Fact("Length of the opening, tip to tip", x.opening_length, "cut"),
        Fact("Over both bends in the middle", mitre.halved_opening(x.tube.od, x.cutback), "cut"),
        Fact("Far corners of the bends' ends", own.spring(work), "cut", "the same at both ends"),
    )
    words = (
        "Put the two sliced bends cut face to cut face on a flat plate, tips to tips, and scribe "
        "the middle plane round both. No tack in the middle: the blade goes there. Tack the seam "
        "top and bottom on both sides of the middle plane, clear of it, then at both tips, so that "
        "neither half comes apart as it is sawn. Returns are not on yet."
    )
    return Step("Tack the X", "A", words, settings, checks)


def _halve(work: Work) -> Step:
    x = work.x
    settings = (
        Fact("Tips of the kept half to the blade's near face", x.opening_length / 2.0, "cut"),
        Fact("Blade from square", 0.0, "angle", "square to the seam"),
        Fact("Kerf, all in the spare half", work.saw.kerf, "cut"),
    )
    checks = (
        Fact("Halved opening, over both bends", mitre.halved_opening(x.tube.od, x.cutback), "cut"),
        Fact("Height of the opening at the cut", x.opening_height, "cut"),
        Fact("Seam left on the kept half, to the tips", x.opening_length / 2.0, "cut"),
        Fact("Far corners of its ends, after the cut", own.spring(work), "cut", "as before it"),
    )
    words = (
        "There is nothing straight to clamp: only the curved inside radii. Make a fixture of two "
        "blocks cut to the throat's radius, screwed to a board, and strap the X down in it on both "
        "sides of the blade. Check that every tack is sound on both sides before the saw starts. "
        "Mark the half to keep; the kerf falls in the other. That one is the spare: a kerf short, "
        "with its seam and bends it makes another joint of this kind after facing. After the cut "
        "measure again: if the halved opening or the ends have sprung open, press the half shut, "
        "tack across the cut end's seam and measure anew before a leg is sawn to it."
    )
    return Step("Secure and halve the X", "A", words, settings, checks, (own.halving(work),))


def _matched(x: ParallelToSplayedX, leg: MitredEnd, saw: Saw) -> Step:
    """The long cut, set from the halved opening as measured."""
    cut = long_cut(leg, "D", saw)
    off = mitre.leg_take_off(leg.mitre_opening, x.halved_opening)
    note = "mitre opening less half the halved opening, both as measured"
    check = Fact("Take-off of each leg", off, "cut", note)
    words = f"Set it from the half that was sawn: keep half of its halved opening. {cut.words}"
    return cut._replace(words=words, checks=(check, *cut.checks))


def _butted(x: ParallelToSplayedX, leg: BentEnd, work: Work, sawn: tuple[Step, ...]) -> list[Step]:
    """The steps when the bends turn on into the legs: nothing is halved but the returns."""
    found = []
    for each in sawn:
        if each.title == "Slice the heel":
            found += [_square_legs(x, leg, work), _trim(x, leg, work), _slice(each, x, leg, work)]
        elif each.title in ENDS:
            found.append(each._replace(words=ONE_END + each.words))
        else:
            found.append(_fewer(each, TWO))
    return found


def left_on_bend(leg: BentEnd, bend: Bend) -> float:
    """Return the straight end that a main bend keeps at the splayed end, part of the leg [m]."""
    trimmed = leg.angle < bend.half_angle - 1e-9
    return 0.0 if trimmed else min(float(bend.tangent), leg.leg.straight)


def _square_legs(x: ParallelToSplayedX, leg: BentEnd, work: Work) -> Step:
    left = left_on_bend(leg, work.bend)
    length = leg.leg.straight - left
    if length <= 0.0:
        own_end = (Fact("Straight left on the splayed end", left, "cut", "kerf on the waste side"),)
        words = "The bend's own straight end is the leg: saw it square to length, no piece to add."
        cut = bend_poses.shorten(work.bend, left, work.saw)
        return Step("Saw the legs", "A", words, own_end, (), (cut,))
    settings = (
        Fact("Stop to the blade's near face", length, "cut", "kerf falls in the stock"),
        Fact("Blade from square", 0.0, "angle"),
    )
    checks = (Fact("Length all round", length, "cut"),)
    words = "Two legs, square at both ends, at one setting. The bend makes the splay."
    pose = bend_poses.straight(x.tube, length, work.saw)
    return Step("Saw the legs", "D", words, settings, checks, (pose,))


def _trim(x: ParallelToSplayedX, leg: BentEnd, work: Work) -> Step:
    settings = (
        *trimmed(work.bend, leg.angle),
        Fact("Angle left past the middle", leg.angle, "angle", "half the included angle"),
    )
    if leg.angle >= work.bend.half_angle - 1e-9:
        words = "The splayed end is the bend's own end: leave it, and only check its angle."
        return Step("Check the splayed end", "A", words, settings)
    words = (
        "One end of each bend only, square to the tube, the kerf on the end that falls off. Do it "
        "before the heel is sliced, while the tube is round. The bends are alike: the second is "
        "turned over to face the first, its trimmed end beside the other's."
    )
    pose = bend_poses.trim(work.bend, leg.angle, work.saw)
    return Step("Trim the splayed end", "A", words, settings, (), (pose,))


def _slice(each: Step, x: ParallelToSplayedX, leg: BentEnd, work: Work) -> Step:
    """The parallel X's heel slice, on a bend whose two ends are not alike."""
    over = leg.leg.straight - leg.left_beyond_tip
    checks = tuple(check for check in each.checks if not check.name.startswith("Tip to end"))
    tips = (
        Fact("Tip to end of bend, parallel end", work.tip_to_end, "cut", "along the heel"),
        Fact("Tip to the leg's end, splayed end", leg.left_beyond_tip, "cut", "along the heel"),
    )
    opening = Fact("Length of the opening", x.opening_length, "cut", checks[0].note)
    words = (
        "Heel against the stop at the scribed middle line, which stands square to the blade's "
        "plane: the two ends are unlike, so their distance to the blade says nothing. Clamp the "
        "kept side. Withdraw the stop before the blade reaches it, and finish the cut. Both bends "
        "are cut at one setting."
    )
    if over > 0.0:
        words = (
            f"Weld the legs to the bends first: the opening runs {cut_length(over)} onto them. "
        ) + words
    pictures = own.butted_slice(x, work.saw, work.sliced_straight)
    return each._replace(words=words, checks=(opening, *checks[1:], *tips), poses=pictures)


def _fit(x: ParallelToSplayedX, work: Work) -> Step:
    half, leg = x.parallel, x.leg
    along = half.overall_length / 2.0 - work.short
    along += leg.reach - leg.radius * math.sin(leg.angle)
    checks = [
        Fact("Length of the opening, tip to tip", x.opening_length, "cut"),
        Fact("Gap between the parallel tubes", half.gap, "cut"),
        Fact("Outside width, parallel end", half.outside_width, "cut"),
        Fact("Gap between the legs' ends", leg.gap, "cut", "at the near corners"),
        Fact("Outside width, legs' ends", leg.outside_width, "cut", "over the far corners"),
        Fact("Overall length, over the legs' corners", x.overall_length - work.short, "cut"),
        Fact(
            "Diagonals of the four ends",
            math.hypot((half.spacing + leg.spacing) / 2.0, along),
            "cut",
            "centre to centre, both alike",
        ),
    ]
    if isinstance(leg, MitredEnd):
        step = Fact("Largest step between the edges", x.worst_step, "tube", "form before tacking")
        checks.insert(1, step)
        words = (
            "Stand the two legs on the halved face, outer edges and seam level. The round of the "
            "bend and the oval of the leg agree in width, not in shape: form the legs' edge to the "
            "bend's. Tack outer edges, then top and bottom, then the legs' own seam from the "
            "middle to the tip. "
        )
    else:
        words = (
            "Sliced bends cut face to cut face, tips to tips; tack the seam at the middle, top and "
            "bottom, then both tips. Butt the legs square to the bends. "
        )
    words += "Then the straights and the returns of the parallel end, measuring after each tack."
    return Step("Fit and tack", "all", words, (), tuple(checks))
