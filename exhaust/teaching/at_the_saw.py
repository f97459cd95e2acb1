"""Lesson 7: kerf, clocking and what a degree costs."""

from __future__ import annotations

import math

from exhaust.engine.assumed import Sentence
from exhaust.geometry import crossover
from exhaust.stock import DEGREE, INCH
from exhaust.teaching.exercise import Exercise, Mistake, demo_saw, demo_x
from exhaust.units import SI

THOUSANDTHS = 0.003 * INCH
FORGIVEN = "a few thousandths are forgiven"
NO_RADIANS = "Small angles work in radians: a degree is one in 57.3."


def depth_of_the_slug() -> Exercise:
    """Depth of what falls off [m]."""
    x, saw = demo_x(), demo_saw()
    kerf = float(saw.kerf)
    return Exercise(
        question=Sentence(
            "The kept-side face of the blade stands {} from the heel, and the kerf is {}. The slug "
            "falls off. How deep is it?",
            ((x.cut_depth, "cut"), (kerf, "tube")),
        ),
        kind="cut",
        right=x.slug_depth(saw.kerf),
        mistakes=(
            Mistake(
                "no kerf",
                x.cut_depth,
                "The blade turns a strip of metal into chips, and all of it came off the slug.",
            ),
            Mistake(
                "the kerf on the kept side",
                x.cut_depth + kerf,
                "The kept face is where you set it; the blade stands between it and the slug.",
            ),
            Mistake(
                "half of the kerf",
                x.cut_depth - kerf / 2,
                "The depth was set to the blade's face, not to its middle.",
            ),
        ),
        notice="The slug is a free test piece: measure it, add the kerf, and you know the depth "
        "without touching the part.",
    )


def kerf_on_the_kept_side() -> Exercise:
    """How much nearer the exits come when the kerf went to the kept side of both bends [m]."""
    x, saw = demo_x(), demo_saw()
    kerf = float(saw.kerf)
    deeper = x.with_(spacer=SI(x.spacer, "length")).with_(cutback=x.cutback + kerf / x.tube.od)
    right = x.spacing - deeper.spacing
    return Exercise(
        question=Sentence(
            "On both bends the wrong face of the blade was set to the mark: the kerf, {}, went to "
            "the side you keep. The straights were cut as drawn. How much nearer do the exits come "
            "to each other?",
            ((kerf, "tube"),),
        ),
        kind="cut",
        right=right,
        mistakes=(
            Mistake(
                "one bend",
                right / 2,
                "Both bends lost it, and they lie back to back.",
            ),
            Mistake(
                "the bend's 45° in it",
                right * math.sin(x.half_angle),
                "Each bend moves straight towards the other by what came off; no angle comes in.",
            ),
            Mistake(
                "both ends counted",
                2 * right,
                "The sides move as a whole: the spacing changes once, the same at either end.",
            ),
        ),
        notice="The opening gets longer by three times as much as the cut gets deeper, and the "
        "narrowest area shrinks: see it before the weld by measuring the opening.",
    )


def length_of_a_half_bend() -> Exercise:
    """Centreline that each half of a halved bend loses to the kerf [m]."""
    x, saw = demo_x(), demo_saw()
    kerf = float(saw.kerf)
    half = crossover.halved_length_lost(float(x.return_bend.clr), kerf)
    lost = crossover.halved_spacing_lost(x.half_angle, kerf)
    return Exercise(
        question=Sentence(
            "A 90° bend is sawn in two halves for the returns, with a kerf of {}. How much shorter "
            "is each half than half of the bend, along its centreline?",
            ((kerf, "tube"),),
        ),
        kind="cut",
        right=half,
        tolerance=THOUSANDTHS,
        because=FORGIVEN,
        mistakes=(
            Mistake(
                "all of the kerf",
                2 * half,
                "One strip of metal is gone, and each half lost half of it.",
            ),
            Mistake("nothing lost", 0.0, "The chips came from somewhere."),
            Mistake(
                "what the spacing loses",
                lost,
                "That is how much nearer the exits come if the sawn faces meet the main bend.",
            ),
        ),
        notice="The angle is untouched: each face is parallel to where it should be. Kerf costs "
        "length, not angle. Turn the sawn faces to the exits and the spacing does not change.",
    )


def a_degree_on_every_bend() -> Exercise:
    """How much wider the exits stand with bends a degree over [m]."""
    x = demo_x()
    quarter = x.quarter
    half = DEGREE / 2
    straight, over = (
        crossover.spacing(quarter._replace(half_angle=x.half_angle + each)) for each in (0.0, half)
    )
    whole = crossover.spacing(quarter._replace(half_angle=x.half_angle + DEGREE))
    return Exercise(
        question=Sentence(
            "Every 90° bend in the rack measures a degree over, so each half turns half a degree "
            "more. The X is {} long, exit to exit, without straight ends. How much wider apart do "
            "the exits come to stand?",
            ((crossover.overall_length(quarter._replace(end=0.0)), "cut"),),
        ),
        kind="cut",
        right=over - straight,
        mistakes=(
            Mistake(
                "a whole degree in each half",
                whole - straight,
                "The degree is shared by the two halves of each bend.",
            ),
            Mistake(
                "one end of the X",
                (over - straight) / 2,
                "From the middle the sides part towards both sides: count both.",
            ),
            Mistake(
                "degrees taken for radians",
                x.spacing_per_degree / 2,
                NO_RADIANS,
            ),
        ),
        notice="More than three kerfs, from a degree that nobody sees. Measure every bend before "
        "cutting one: the spacer can take it up, if you know.",
    )


def roll_in_the_saw() -> Exercise:
    """How far the opening walks along the heel for a degree of roll [m]."""
    x = demo_x()
    clr, radius = float(x.bend.clr), float(x.tube.od) / 2
    return Exercise(
        question=Sentence(
            "The heel touches the stop at one point, so the bend can roll there. Tube of {}, "
            "centreline radius {}. How far does the opening walk along the heel for one degree?",
            ((2 * radius, "tube"), (clr, "tube")),
        ),
        kind="cut",
        right=(clr + radius) * DEGREE,
        tolerance=THOUSANDTHS,
        because=FORGIVEN,
        mistakes=(
            Mistake(
                "the radius of the centreline",
                clr * DEGREE,
                "The opening lies on the heel, half a diameter further out.",
            ),
            Mistake(
                "the radius of the tube",
                radius * DEGREE,
                "The bend rolls about the middle of its bend, not about its own tube.",
            ),
            Mistake("degrees taken for radians", clr + radius, NO_RADIANS),
            Mistake(
                "both ends together",
                2 * (clr + radius) * DEGREE,
                "One end gains it and the other loses it; that difference is what you can measure.",
            ),
        ),
        notice="The depth is right all the same, so the gauge at the stop sees nothing. Measure "
        "from each tip to its end of the bend: the two must be equal.",
    )


def slant_of_the_blade() -> Exercise:
    """Gap at the far tip when both bends were sawn slanted and lie so that it doubles [m]."""
    x = demo_x()
    slant = DEGREE / 2
    one = x.opening_length * math.tan(slant)
    return Exercise(
        question=Sentence(
            "The fence is {} off, and both heels were sliced against it; each opening is {} long. "
            "The second bend is flipped over, so that the two errors add up. How wide is the gap "
            "at the far tip when the near tips touch?",
            ((slant, "angle"), (x.opening_length, "cut")),
        ),
        kind="cut",
        right=2 * one,
        tolerance=THOUSANDTHS,
        because=FORGIVEN,
        mistakes=(
            Mistake(
                "one face only",
                one,
                "Both faces are slanted, and turned this way they lean apart.",
            ),
            Mistake(
                "the height of the opening",
                2 * x.opening_height * math.tan(slant),
                "A fence that is off slants the cut along the opening, over its whole length.",
            ),
            Mistake(
                "degrees taken for radians",
                2 * x.opening_length * slant / DEGREE,
                NO_RADIANS,
            ),
        ),
        notice="Turned end for end instead, the same two faces would lie flat on each other. Find "
        "out which way your saw is off before you choose.",
    )
