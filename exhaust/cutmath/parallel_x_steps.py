"""The steps of a parallel X at the saw and the bench, in order."""

from __future__ import annotations

import math

from exhaust.cutmath import poses_parallel_x as poses
from exhaust.cutmath.cutsheet import Step
from exhaust.cutmath.parallel_x_work import Work, heel_to_middle, throat_to_middle
from exhaust.cutmath.straights import StraightPlan
from exhaust.joints import ParallelX, YMerge
from exhaust.show import Fact
from exhaust.stock import Bend, Saw, Tube, material


def steps(work: Work) -> tuple[Step, ...]:
    """Return what to do, in order: round tube is sawn before a bend loses its heel."""
    sawn = [_measure(work), _ends(work), _slice(work), _halve(work)]
    if work.plan.piece:
        sawn.insert(2 if work.welded_first else 4, _straights(work))
    return (*(step for step in sawn if step is not None), _fit(work), _weld(work))


def _measure(work: Work) -> Step:
    return measured(work.bend, "A B")


def measured(bend: Bend, parts: str) -> Step:
    """Return what to measure on a bend before it is cut."""
    tube = bend.tube
    checks = (
        Fact("Outside diameter, heel to throat", float(tube.od), "cut"),
        Fact("Outside diameter, square to that", float(tube.od), "cut"),
        Fact(
            "Wall at the heel, at least",
            bend.heel_wall,
            "tube",
            "by volume; good bends are thicker",
        ),
        Fact("Angle of each bend", float(bend.angle), "angle", "all alike within half a degree"),
        Fact("Straight end on each side", float(bend.tangent), "cut"),
    )
    words = (
        "Measure every bend before cutting one. If an angle, a diameter or a straight end is not "
        "what the sheet says, put the measured value in the job and print the sheet again. "
        "Scribe the middle of each bend right round: half the heel arc from either end."
    )
    middle = Fact("Heel, end to middle", heel_to_middle(bend), "cut", "measured round the outside")
    return Step("Measure and mark", parts, words, (middle,), checks)


def _ends(work: Work) -> Step | None:
    x, bend = work.x, work.bend
    if x.trimmed:
        settings: tuple[Fact, ...] = (
            Fact("Heel, middle to cut", work.outer * x.half_angle, "cut"),
            Fact("Throat, middle to cut", work.inner * x.half_angle, "cut"),
            Fact("Angle left each side of the middle", x.half_angle, "angle"),
        )
        words = (
            "The spacing asked for is less than full bends give, so every bend is trimmed to the "
            "same angle. Mark heel and throat from the middle line, join the marks round the "
            "tube, and saw square to the tube with the kerf on the end that falls off."
        )
        return Step(
            "Trim the main bends",
            "A",
            words,
            settings,
            (),
            (poses.trim(work.bend, x.half_angle, work.saw),),
        )
    if work.main_straight < bend.tangent:
        settings = (Fact("Straight left on each end", work.main_straight, "cut"),)
        words = "Saw the straight ends off square, both ends alike, the kerf on the waste side."
        pose = poses.shorten(bend, work.main_straight, work.saw)
        return Step("Shorten the straight ends", "A", words, settings, (), (pose,))
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


def _halve(work: Work) -> Step:
    return returns_sawn(work.x, work.returns, work.plan, work.saw)


def returns_sawn(x: ParallelX | YMerge, returns: Bend, plan: StraightPlan, saw: Saw) -> Step:
    """Return how the returns are sawn from their bends, whole or trimmed."""
    kerf = saw.kerf
    outer, inner = returns.clr + x.tube.od / 2, returns.clr - x.tube.od / 2
    if x.trimmed:
        settings: tuple[Fact, ...] = (
            Fact("Heel, factory end of bend to cut", outer * x.half_angle + returns.tangent, "cut"),
            Fact(
                "Throat, factory end of bend to cut", inner * x.half_angle + returns.tangent, "cut"
            ),
        )
        words = (
            "Two returns from each bend, one from each end; the kerf and what is left between them "
            "are waste. Factory ends go outward."
        )
        return Step("Cut the returns", "B", words, settings, (), (poses.halve(returns, x, saw),))
    settings = (
        Fact("Heel, end to the middle of the blade", heel_to_middle(returns), "cut"),
        Fact(
            "Throat, end to the middle of the blade",
            throat_to_middle(returns),
            "cut",
        ),
        Fact("Blade from square", 0.0, "angle"),
    )
    if plan.left_on_return < returns.tangent and plan.sawn_face_out:
        left = plan.left_on_return
        settings += (Fact("Straight left on the factory end", left, "cut", "toward the main bend"),)
    face = "outward, at the exit" if plan.sawn_face_out else "toward the main bend"
    words = (
        "Set the blade astride the middle line: a kerf costs each half half its width in length, "
        f"nothing in angle. A bend that measures {_degrees(returns.angle)} halves into two of "
        f"{_degrees(returns.half_angle)}. Sawn faces go {face}."
    )
    checks = (
        Fact("Heel of each half", heel_to_middle(returns) - kerf / 2, "cut"),
        Fact("Angle of each half", returns.half_angle, "angle"),
    )
    return Step("Halve the returns", "B", words, settings, checks, (poses.halve(returns, x, saw),))


def _degrees(angle: float) -> str:
    return f"{math.degrees(angle):.4g}°"


def _straights(work: Work) -> Step:
    return straights_sawn(work.x.tube, work.plan.piece, work.saw, "four")


def straights_sawn(tube: Tube, length: float, saw: Saw, count: str) -> Step:
    """Return how `count` straights of `length` [m] are sawn at one setting."""
    settings = (
        Fact("Stop to the blade's near face", length, "cut", "kerf falls in the stock"),
        Fact("Blade from square", 0.0, "angle"),
    )
    checks = (Fact("Length all round", length, "cut"),)
    words = (
        "Saw square from tube held in the vice; the stop touches the piece, "
        f"{count} at one setting."
    )
    pose = poses.straight(tube, length, saw)
    return Step("Saw the straights", "C", words, settings, checks, (pose,))


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


def _weld(work: Work) -> Step:
    x = work.x
    butts = 4 * work.plan.butt_welds
    settings = (
        Fact("Seam round the window", x.opening_seam, "cut"),
        Fact(f"{butts} butt welds", butts * math.pi * x.tube.od, "cut"),
        Fact("Weld in all", x.weld_length, "run"),
        Fact("Filler", material(x.tube.material).filler, "text"),
    )
    words = (
        "Purge inside until a meter reads the oxygen wanted; four volume changes are a start, not "
        "a proof. Weld in short runs, opposite sides in turn."
    )
    return Step("Weld", "all", words, settings)
