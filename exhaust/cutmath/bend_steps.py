"""Steps that joints of bends share: measuring, shortening, halving, the straights between."""

from __future__ import annotations

import math

from exhaust.cutmath import bend_poses as poses
from exhaust.cutmath.cutsheet import Step
from exhaust.cutmath.straights import StraightPlan
from exhaust.joints import ParallelX, YMerge
from exhaust.show import Fact
from exhaust.stock import Bend, Saw, Tube


def heel_to_middle(bend: Bend) -> float:
    """Return the way round the heel from an end of `bend` to its middle [m].

    >>> bend = Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")
    >>> round(heel_to_middle(bend) / 0.0254, 3), round(throat_to_middle(bend) / 0.0254, 3)
    (4.712, 2.356)
    """
    return (bend.clr + bend.tube.od / 2) * bend.half_angle + bend.tangent


def throat_to_middle(bend: Bend) -> float:
    """Return the way round the throat from an end of `bend` to its middle [m]."""
    return (bend.clr - bend.tube.od / 2) * bend.half_angle + bend.tangent


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


def trimmed(bend: Bend, angle: float) -> tuple[Fact, ...]:
    """Return the settings that trim a bend square at `angle` [rad] from its middle."""
    outer, inner = (bend.clr + side * bend.tube.od / 2 for side in (1, -1))
    return (
        Fact("Heel, middle to cut", outer * angle, "cut"),
        Fact("Throat, middle to cut", inner * angle, "cut"),
    )


def ends_sawn(joint: ParallelX | YMerge, left: float, saw: Saw, trim: str) -> list[Step]:
    """Return how a bend's ends are made: trimmed as the words `trim` say, or `left` [m] long."""
    bend, half = joint.bend, joint.half_angle
    if joint.trimmed:
        settings = (
            *trimmed(bend, half),
            Fact("Angle left each side of the middle", half, "angle"),
        )
        words = (
            f"The spacing asked for is less than whole bends give: {trim} Mark heel and throat "
            "from the middle line, join the marks round the tube, and saw square to it, the kerf "
            "on the end that falls off."
        )
        pose = poses.trim(bend, half, saw)
        return [Step("Trim the bends", "A", words, settings, (), (pose,))]
    if left < bend.tangent:
        settings = (Fact("Straight left on each end", left, "cut"),)
        words = "Saw the straight ends off square, both alike, the kerf on the waste side."
        pose = poses.shorten(bend, left, saw)
        return [Step("Shorten the straight ends", "A", words, settings, (), (pose,))]
    return []


def astride(bend: Bend) -> tuple[Fact, ...]:
    """Return the settings that halve a bend, the blade astride its middle line."""
    return (
        Fact("Heel, end to the middle of the blade", heel_to_middle(bend), "cut"),
        Fact("Throat, end to the middle of the blade", throat_to_middle(bend), "cut"),
        Fact("Blade from square", 0.0, "angle"),
    )


def stop_and_kerf(depth: float, kerf: float) -> tuple[Fact, ...]:
    """Return the settings that slice a heel `depth` [m] deep, the kerf in what falls off.

    >>> [round(fact.value, 4) for fact in stop_and_kerf(0.0213, 0.0011)]
    [0.0213, 0.0202]
    """
    return (
        Fact("Stop to the blade's far face (kept side)", depth, "cut"),
        Fact("Stop to the blade's near face", depth - kerf, "cut", "kerf falls in the slug"),
    )


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
    settings = astride(returns)
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
