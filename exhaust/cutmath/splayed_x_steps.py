"""What is done to mitred legs at the saw, in order; any joint that has such legs."""

from __future__ import annotations

import math

import attrs

from exhaust.cutmath import splayed_x_poses as poses
from exhaust.cutmath.cutsheet import Step
from exhaust.cutmath.dial import dialled
from exhaust.geometry import mitre, splayed
from exhaust.joints.splayed_end import MitredEnd
from exhaust.show import Fact, cut_length, quantity
from exhaust.stock import DEGREE, Saw, Tube
from exhaust.units import SI

TIPS = "Weld in short runs, opposite sides in turn, the feather tips last and cold."


def blanks(ends: tuple[MitredEnd, ...], labels: str, tube: Tube, saw: Saw) -> Step:
    """Return the square cuts: one blank for the two legs of each of `ends`, and its lines."""
    settings = []
    for end, label in zip(ends, labels.split(), strict=True):
        more, note = clamp_allowance(end, saw), "the mitre's kerf is in it"
        if more > 0.0:
            note += f", and {cut_length(more)} more at each square end for the clamp"
        settings.append(Fact(f"Blank for two legs {label}", legs_blank(end, saw), "cut", note))
    settings += [
        Fact("Blade from square", 0.0, "angle"),
        Fact("Line to line round the tube", math.pi * tube.od / 2.0, "cut", "heel and outer line"),
    ]
    checks = (
        Fact("Outside diameter at the mitre", float(tube.od), "cut", "measure two ways"),
        Fact("Heel line to outer line, across", float(tube.od), "cut"),
    )
    words = (
        "Saw square from long tube, the kerf in the stock; keep the tube's seam off both lines. "
        "Scribe a heel line along each blank and an outer line opposite: they clock both cuts. The "
        "mitre turns the blank's second half end for end, so its heel line is the other one."
    )
    return Step("Saw blanks and mark the lines", labels, words, tuple(settings), checks)


def legs_blank(end: MitredEnd, saw: Saw) -> float:
    """Return the tube to saw square for two legs, mitred apart in its middle [m].

    With what the clamp wants at each square end, and the kerf that takes it off again.

    >>> from exhaust import SplayedX
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> x = SplayedX(tube, included_angle="45 deg", cutback=0.3, leg_length="9 in")
    >>> round(legs_blank(x.entry, Saw(kerf="1.1 mm")), 4)  # two legs and 1.1 mm / cos 22.5 deg
    0.4584
    """
    more = clamp_allowance(end, saw)
    return 2.0 * (end.length + more) + mitre.kerf_along(saw.kerf, end.mitre_angle)


def clamp_allowance(end: MitredEnd, saw: Saw) -> float:
    """Return how much longer than itself a leg is sawn so that the clamp can hold it [m]; or 0.

    >>> from exhaust import SplayedX
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> x = SplayedX(tube, included_angle="45 deg", cutback=0.3, leg_length="9 in")
    >>> clamp_allowance(x.entry, Saw(kerf="1.1 mm", clamp_length="2 in"))
    0.0
    """
    short = end.smallest_length(SI(saw.clamp_length, "length")) - end.length
    return short + saw.kerf if short > 0.0 else 0.0


def in_clamp(end: MitredEnd, saw: Saw) -> MitredEnd:
    """Return an end whose legs are as long as they are sawn, what the clamp wants with them.

    >>> from exhaust import SplayedX
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> x = SplayedX(tube, included_angle="45 deg", cutback=0.3, leg_length="9 in")
    >>> in_clamp(x.entry, Saw(kerf="1.1 mm", clamp_length="2 in")) == x.entry
    True
    """
    return attrs.evolve(end, length=end.length + clamp_allowance(end, saw))


def squared_off(end: MitredEnd, label: str, saw: Saw) -> list[Step]:
    """Return the step that takes off what the clamp wanted, if it wanted anything."""
    if not clamp_allowance(end, saw):
        return []
    settings = (
        Fact("Heel line, long point to the blade", end.long_side, "cut", "kerf on what falls off"),
        Fact("Outer line, short point to the blade", end.short_side, "cut", "the same cut"),
        Fact("Blade from square", 0.0, "angle"),
    )
    words = (
        "The clamp needed more leg than the joint has: mark both lines from the mitre, join the "
        "marks round the tube, and saw square in shaped blocks, the sliced end free of them."
    )
    return [Step("Square the legs off to length", label, words, settings)]


def mitred(end: MitredEnd, label: str, saw: Saw) -> Step:
    """Return the mitre of two legs: one cut through the middle of their blank."""
    end = in_clamp(end, saw)
    at, od = dialled(end.mitre_angle, saw), 2.0 * end.radius
    degree_more = end.mitre_angle + DEGREE
    over = mitre.mitre_opening(od, degree_more)
    settings = [Fact("Blade from square, on the dial", at.dial, "angle")]
    if at.wedge:
        settings.append(
            Fact(
                "Wedge between fence and tube",
                at.wedge,
                "angle",
                "adds to the dial, not against it",
            )
        )
    settings += [
        Fact("Stop to the blade's near face, heel line", end.long_side, "cut"),
        Fact("Stop to the blade's near face, outer line", end.short_side, "cut"),
    ]
    checks = (
        Fact(
            "Mitre opening",
            end.mitre_opening,
            "cut",
            f"{cut_length(over)} would be a mitre of {quantity(degree_more, 'angle')}",
        ),
        Fact(
            "Angle that the opening shows",
            mitre.mitre_shown(od, end.mitre_opening),
            "angle",
            "acos of the measured diameter over the measured opening",
        ),
        Fact("Heel line, square end to long point", end.long_side, "cut"),
        Fact("Outer line, square end to short point", end.short_side, "cut"),
    )
    words = (
        "Heel line and outer line level with each other, half the diameter up. The stop "
        "touches the square end; the kerf falls beyond the first leg. Measure the opening with a "
        "caliper along its long axis: it tells the true angle, which the dial does not. If it is "
        "not the one below, put the measured angle in the job and print again."
    )
    pose = poses.mitre_cut(end, saw, f", {label}")
    return Step("Mitre the legs", label, words, tuple(settings), checks, (pose,))


def lean(tilt: float) -> str:
    """Return which way the blade leans, in words.

    >>> lean(0.1), lean(0.0)
    ('leaning to the heel as it leaves the fence', 'square to the fence')
    """
    if abs(tilt) < 1e-9:
        return "square to the fence"
    side = "heel" if tilt > 0.0 else "outer edge"
    return f"leaning to the {side} as it leaves the fence"


def long_cut(end: MitredEnd, label: str, saw: Saw) -> Step:
    """Return the cut along the joint, with the mitre face on the fence.

    Raises `ExhaustError` for a kerf that takes the whole cut.
    """
    end = in_clamp(end, saw)
    slug = splayed.after_kerf(end.leg, saw.kerf)
    clamp = end.smallest_length(SI(saw.clamp_length, "length"))
    at = dialled(end.tilt, saw)
    settings = [
        Fact("Blade from square to the fence", at.dial, "angle", lean(end.tilt)),
        Fact("Outer edge to the blade's near face", end.kept_width, "cut", "along the fence"),
        Fact("Or heel edge to the blade's near face", end.take_off, "cut", "the same plane"),
        Fact("Half line above the table", end.radius, "cut", "half the diameter"),
    ]
    if at.wedge:
        settings.insert(1, Fact("Wedge on the fence", at.wedge, "angle", "adds to the dial"))
    checks = (
        Fact("Kept width, outer edge to the cut", end.kept_width, "cut", "the same on both legs"),
        Fact("Seam height at the mitre", end.seam_height, "cut"),
        Fact("Run-out along the sawn face, corner to tip", end.run_out, "cut", "the gauge"),
        Fact("Round tube beyond the tip, heel line", end.left_beyond_tip, "cut"),
        Fact("Slug: width of its mitre face", slug.take_off, "cut", "the kerf is gone from it"),
        Fact("Smallest leg for this clamp, centreline", clamp, "cut"),
        Fact(
            "Smallest heel line for this clamp",
            end.run_out_on_wall + saw.clamp_length,
            "cut",
            "run-out on the wall and the clamp",
        ),
    )
    words = (
        f"To the tube this cut is {quantity(end.long_cut_angle, 'angle')} off square, past most "
        "dials: stand the mitre face flat on the fence and saw from it. Outer edge against the "
        "stop, heel and outer line level, a wedge block under the clamp beyond the tip so that the "
        "leg cannot roll. All the kerf falls in the slug. The tip is a feather: back it with a "
        "flat plate, feed slowly at the end and take the burr off by hand."
    )
    return Step(
        "The long cut",
        label,
        words,
        tuple(settings),
        checks,
        poses.long_cut(end, saw, f", {label}"),
    )
