"""The parallel X at the saw: two bends with the heel sliced, back to back, and their returns."""

from __future__ import annotations

import math
from typing import NamedTuple

from exhaust.cutmath import poses_parallel_x as poses
from exhaust.cutmath.cutsheet import CutSheet, Part, Step, fits, too_big
from exhaust.cutmath.straights import StraightPlan, straight_plan, trimmed_plan
from exhaust.errors import broken
from exhaust.joints import ParallelX
from exhaust.show import Column, Fact, Table, cut_length
from exhaust.stock import Bend, Saw, material

SHRINK = (0.5e-3, 1.0e-3)  # of one welded joint [m]; common practice, no source
RING = 12e-3  # a straight piece shorter than this is a ring that is hard to saw and weld [m]

CAUTIONS = (
    "Never hold a bend in the saw by hand: vice, blocks or a fixture, guards down.",
    "Eye and ear protection; sliced edges are sharp, deburr before handling.",
    "Fume from stainless holds hexavalent chromium: extraction and a respirator.",
    "Argon from the purge pools low and suffocates: air the bay.",
    "No chlorinated cleaner near the arc.",
)


class Work(NamedTuple):
    """What one job at the saw is about."""

    x: ParallelX
    saw: Saw
    plan: StraightPlan

    @property
    def bend(self) -> Bend:
        """The main bend."""
        return self.x.bend

    @property
    def returns(self) -> Bend:
        """The bend that is halved for the returns."""
        return self.x.return_bend or self.x.bend

    @property
    def main_straight(self) -> float:
        """Straight end left on the main bend [m]."""
        return 0.0 if self.x.trimmed else self.plan.left_on_main


def cut_sheet(x: ParallelX, saw: Saw) -> CutSheet:
    """Return the cut sheet of a parallel X.

    Raises `ExhaustError` when the kerf is as deep as the cut.
    """
    if saw.kerf >= x.cut_depth:
        rule = f"must be less than the cut depth of {cut_length(x.cut_depth)}"
        raise broken(rule, cut_length(saw.kerf), "measure it on a test cut").named("kerf")
    returns = x.return_bend or x.bend
    plan = (
        trimmed_plan(returns.tangent)
        if x.trimmed
        else straight_plan(x.spacer, x.bend.tangent, returns.tangent, saw.kerf)
    )
    work = Work(x, saw, plan)
    return CutSheet(
        joint=x,
        saw=saw,
        parts=_parts(work),
        steps=_steps(work),
        finished=_finished(work),
        warnings=_warnings(work),
        cautions=CAUTIONS,
        assumptions=_assumptions(work),
        title="Cut sheet: parallel X",
    )


def _parts(work: Work) -> tuple[Part, ...]:
    x, tube, returns = work.x, work.x.tube, work.returns
    slug = material(tube.material).density * x.slug_volume(work.saw.kerf)
    main = work.bend.clr * 2 * x.half_angle + 2 * work.main_straight
    back = returns.clr * x.half_angle + max(work.plan.at_exit, 0.0) + work.plan.left_on_return
    if not x.trimmed:
        back -= work.saw.kerf / 2
    per_metre = tube.mass_per_length
    parts = [
        Part("A", "main bend, heel sliced", 2, _bend_text(work.bend), main, main * per_metre - slug),
        Part("B", _return_text(work), 4, _bend_text(returns), back, back * per_metre),
    ]
    if work.plan.piece:
        length = work.plan.piece
        parts.append(Part("C", "straight", 4, f"tube {tube.name}", length, length * per_metre))
    return tuple(parts)


def _bend_text(bend: Bend) -> str:
    degrees = math.degrees(bend.angle)
    return f"{degrees:.4g}° bend, {bend.tube.name}, clr {cut_length(bend.clr)}"


def _return_text(work: Work) -> str:
    angle = math.degrees(work.x.half_angle)
    return f"return, {angle:.1f}° of bend, two from each bend"


def _steps(work: Work) -> tuple[Step, ...]:
    steps = [_measure(work)]
    ends = _ends(work)
    if ends is not None:
        steps.append(ends)
    steps += [_slice(work), _halve(work)]
    if work.plan.piece:
        steps.append(_straights(work))
    return (*steps, _fit(work), _weld(work))


def _measure(work: Work) -> Step:
    tube, bend = work.x.tube, work.bend
    checks = (
        Fact("Outside diameter, heel to throat", float(tube.od), "cut"),
        Fact("Outside diameter, square to that", float(tube.od), "cut"),
        Fact("Wall at the heel, at least", bend.heel_wall, "cut", "by volume; good bends are thicker"),
        Fact("Angle of each bend", float(bend.angle), "angle", "all alike within half a degree"),
        Fact("Straight end on each side", float(bend.tangent), "cut"),
    )
    words = (
        "Measure every bend before cutting one. If an angle, a diameter or a straight end is not "
        "what the sheet says, put the measured value in the job and print the sheet again. "
        "Scribe the middle of each bend right round: half the heel arc from either end."
    )
    middle = Fact("Heel, end to middle", _heel_to_middle(bend), "cut", "measured round the outside")
    return Step("Measure and mark", "A B", words, (middle,), checks)


def _heel_to_middle(bend: Bend) -> float:
    return (bend.clr + bend.tube.od / 2) * bend.half_angle + bend.tangent


def _ends(work: Work) -> Step | None:
    x, bend = work.x, work.bend
    outer, inner = bend.clr + x.tube.od / 2, bend.clr - x.tube.od / 2
    if x.trimmed:
        settings = (
            Fact("Heel, middle to cut", outer * x.half_angle, "cut"),
            Fact("Throat, middle to cut", inner * x.half_angle, "cut"),
            Fact("Angle left each side of the middle", x.half_angle, "angle"),
        )
        words = (
            "The spacing asked for is less than full bends give, so every bend is trimmed to the "
            "same angle. Mark heel and throat from the middle line, join the marks round the "
            "tube, and saw square to the tube with the kerf on the end that falls off."
        )
        return Step("Trim the main bends", "A", words, settings, (), (poses.trim(work.bend, x, work.saw),))
    if work.main_straight < bend.tangent:
        settings = (Fact("Straight left on each end", work.main_straight, "cut"),)
        words = "Saw the straight ends off square, both ends alike, the kerf on the waste side."
        return Step("Shorten the straight ends", "A", words, settings)
    return None


def _slice(work: Work) -> Step:
    x, kerf = work.x, work.saw.kerf
    settings = (
        Fact("Stop to the blade's far face (kept side)", x.cut_depth, "cut"),
        Fact("Stop to the blade's near face", x.cut_depth - kerf, "cut", "kerf falls in the slug"),
        Fact("Blade from square", 0.0, "angle"),
    )
    checks = (
        Fact("Length of the opening", x.opening_length, "cut", _gauge_words(x)),
        Fact("Height of the opening", x.opening_height, "cut"),
        Fact("Tip to end of bend along the heel", _tip_to_end(work), "cut", "the same at both ends"),
        Fact("Throat to cut face at the middle", x.tube.od - x.cut_depth, "cut"),
        Fact("Slug: greatest depth", x.cut_depth - kerf, "cut"),
        Fact("Slug: length", x.slug_length(kerf), "cut"),
    )
    words = (
        "Heel against the stop, touching at the middle line; the two ends the same distance from "
        "the blade's plane, so that the cut is parallel to the line through both ends. Clamp the "
        "kept side. Withdraw the stop before the blade reaches it, and finish the cut. Both bends "
        "are cut at one setting."
    )
    return Step("Slice the heel", "A", words, settings, checks, poses.slices(work.bend, work.main_straight, x, work.saw))


def _tip_to_end(work: Work) -> float:
    x, bend = work.x, work.bend
    arc = (bend.clr + x.tube.od / 2) * (x.half_angle - x.cut_half_angle)
    return work.main_straight - x.run_on if x.run_on > 0 else arc + work.main_straight


def _gauge_words(x: ParallelX) -> str:
    slope = x.opening_length_per_depth
    return f"the gauge: moves {slope:.1f} for 1 of depth"


def _halve(work: Work) -> Step:
    x, returns, kerf = work.x, work.returns, work.saw.kerf
    outer, inner = returns.clr + x.tube.od / 2, returns.clr - x.tube.od / 2
    if x.trimmed:
        settings = (
            Fact("Heel, factory end of bend to cut", outer * x.half_angle + returns.tangent, "cut"),
            Fact("Throat, factory end of bend to cut", inner * x.half_angle + returns.tangent, "cut"),
        )
        words = (
            "Two returns from each bend, one from each end; the kerf and what is left between them "
            "are waste. Factory ends go outward."
        )
        return Step("Cut the returns", "B", words, settings, (), (poses.halve(returns, x, work.saw),))
    settings = (
        Fact("Heel, end to the middle of the blade", _heel_to_middle(returns), "cut"),
        Fact("Throat, end to the middle of the blade", inner * returns.half_angle + returns.tangent, "cut"),
        Fact("Blade from square", 0.0, "angle"),
    )
    face = "outward, at the exit" if work.plan.sawn_face_out else "toward the main bend"
    words = (
        "Set the blade astride the middle line: a kerf costs each half half its width in length, "
        f"nothing in angle. A bend that measures 90 halves into two 45s. Sawn faces go {face}."
    )
    checks = (
        Fact("Heel of each half", _heel_to_middle(returns) - kerf / 2, "cut"),
        Fact("Angle of each half", returns.half_angle, "angle"),
    )
    return Step("Halve the returns", "B", words, settings, checks, (poses.halve(returns, x, work.saw),))


def _straights(work: Work) -> Step:
    length = work.plan.piece
    settings = (
        Fact("Stop to the blade's near face", length, "cut", "kerf falls in the stock"),
        Fact("Blade from square", 0.0, "angle"),
    )
    checks = (Fact("Length all round", length, "cut"),)
    words = "Saw square from tube held in the vice; the stop touches the piece, four at one setting."
    pose = poses.straight(work.x.tube, length, work.saw)
    return Step("Saw the straights", "C", words, settings, checks, (pose,))


def _fit(work: Work) -> Step:
    x = work.x
    checks = (
        Fact("Gap between the tubes, front", x.gap, "cut"),
        Fact("Gap between the tubes, back", x.gap, "cut"),
        Fact("Outside width, front", x.outside_width, "cut"),
        Fact("Outside width, back", x.outside_width, "cut"),
        Fact("Overall length", _overall(work), "cut"),
        Fact("Diagonals of the four exits", math.hypot(x.spacing, _overall(work)), "cut", "both alike: the X is square"),
    )
    words = (
        "Dry-fit on a flat plate: tips to tips, no step at the sides. Tack the seam at the middle, "
        "top and bottom, then both tips; then each return in opposite pairs, checking the four "
        "exits after each tack. A few hundredths open is nothing, a rocking joint goes back."
    )
    return Step("Fit and tack", "A B C" if work.plan.piece else "A B", words, (), checks)


def _weld(work: Work) -> Step:
    x = work.x
    butts = 4 * work.plan.butt_welds
    total = x.weld_length + butts * math.pi * x.tube.od
    settings = (
        Fact("Seam round the window", x.weld_length, "cut"),
        Fact(f"{butts} butt welds", butts * math.pi * x.tube.od, "cut"),
        Fact("Weld in all", total, "run"),
        Fact("Filler", material(x.tube.material).filler, "text"),
    )
    words = (
        "Purge inside until a meter reads the oxygen wanted; four volume changes are a start, not "
        "a proof. Weld in short runs, opposite sides in turn."
    )
    return Step("Weld", "all", words, settings)


def _overall(work: Work) -> float:
    """End to end as this saw makes it: straight ends and kerf at the exits included."""
    returns = work.returns
    bends = (work.bend.clr + returns.clr) * math.sin(work.x.half_angle)
    straight = work.x.spacer * math.cos(work.x.half_angle)
    return 2 * (bends + straight + work.plan.at_exit)


def _finished(work: Work) -> Table:
    """After tacking as designed; after welding each joint has drawn in by SHRINK."""
    x, butts = work.x, work.plan.butt_welds
    across = 1 + 2 * butts * math.sin(x.half_angle)  # the seam and two legs side by side
    along = 2 * butts * math.cos(x.half_angle)
    columns = (
        Column("dimension", "Dimension"),
        Column("tacked", "After tacking", "cut"),
        Column("welded_most", "After welding, at most", "cut"),
        Column("welded_least", "After welding, at least", "cut"),
    )
    rows = []
    for name, value, joints in (
        ("Spacing, centre to centre", x.spacing, across),
        ("Gap between the tubes", x.gap, across),
        ("Outside width", x.outside_width, across),
        ("Overall length", _overall(work), along),
    ):
        rows.append((name, value, value - joints * SHRINK[0], value - joints * SHRINK[1]))
    return Table(columns, tuple(rows))


def _warnings(work: Work) -> tuple[str, ...]:
    x, saw, plan, od = work.x, work.saw, work.plan, float(work.x.tube.od)
    found = list(x.notes)
    chord, _ = poses.extent(work.bend, work.main_straight, x)
    if not fits(saw, od, chord) and not fits(saw, chord, od):
        found.append(too_big("The main bend, flat or standing,", saw, min(od, chord), max(od, chord)))
    if 0 < plan.piece < RING:
        found.append(
            f"Each straight is a ring of {cut_length(plan.piece)}, hard to saw and weld: widen the "
            "spacing or choose bends with longer straight ends"
        )
    elif 0 < plan.piece < saw.clamp_length:
        found.append(
            f"A straight of {cut_length(plan.piece)} is shorter than the vice holds "
            f"({cut_length(saw.clamp_length)}): saw it from long stock, never the other way round"
        )
    left = _tip_to_end(work)
    if left < saw.clamp_length:
        found.append(
            f"Only {cut_length(left)} of round tube is left beyond the opening, less than the vice "
            f"holds ({cut_length(saw.clamp_length)}): clamp the bend in shaped blocks"
        )
    return tuple(found)


def _assumptions(work: Work) -> tuple[str, ...]:
    degree = abs(work.x.spacing_per_degree)
    return (
        f"Bends are true: one degree off on all of them moves the spacing {cut_length(degree)}.",
        "Tube is round with an even wall; a bend's heel is thinner than that (measure it).",
        f"Kerf {cut_length(work.saw.kerf)} as measured on a test cut.",
        f"Each welded joint draws in {cut_length(SHRINK[0])} to {cut_length(SHRINK[1])} "
        "(common practice).",
    )
