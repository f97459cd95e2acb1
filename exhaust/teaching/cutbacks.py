"""Lesson 2: how deep to slice a heel, and what that opens and closes."""

from __future__ import annotations

import math

from exhaust.engine.assumed import Sentence
from exhaust.geometry import segment
from exhaust.joints import ParallelX
from exhaust.stock import Bend
from exhaust.teaching.exercise import ROUNDED, Exercise, Mistake, demo_x
from exhaust.units import SI

THIRD = 1 / 3


def cut_depth() -> Exercise:
    """Depth of a cut from the heel [m]."""
    x = demo_x()
    od, bore = float(x.tube.od), x.tube.inside_diameter
    return Exercise(
        question=Sentence(
            "A cutback of {} is wanted on {} tube with a wall of {}. How far from the heel is the "
            "blade's face on the side you keep?",
            ((x.cutback, "percent"), (od, "tube"), (float(x.tube.wall), "tube")),
        ),
        kind="cut",
        right=x.cut_depth,
        mistakes=(
            Mistake(
                "half of the diameter taken for the diameter",
                x.cutback * od / 2,
                "Cutback is a share of the whole diameter, heel to throat.",
            ),
            Mistake(
                "the inside diameter",
                x.cutback * bore,
                "Cutback is a share of the outside diameter: it is the outside that stands against "
                "the stop.",
            ),
            Mistake(
                "what is left, not what comes off",
                od - x.cut_depth,
                "The depth is measured from the heel; this is measured from the throat.",
            ),
        ),
        notice="Kerf does not come into it: set this face, and the blade eats the slug.",
    )


def narrowest_share() -> Exercise:
    """Narrowest area of a parallel X over the flow area of its two tubes."""
    x = demo_x().with_(cutback=THIRD)
    tube = x.tube
    outside = segment.kept_area(tube.od / 2, tube.od / 2 * (1 - 2 * THIRD))
    return Exercise(
        question=Sentence(
            "The same bend, {} tube with a wall of {}, is sliced to exactly a third of its outside "
            "diameter. What share of the two tubes' flow area is left where the X is narrowest?",
            ((float(tube.od), "tube"), (float(tube.wall), "tube")),
        ),
        kind="ratio3",
        right=x.narrowest_ratio,
        tolerance=0.003,
        because=ROUNDED,
        mistakes=(
            Mistake(
                "a third off the diameter taken for a third off the area",
                1 - THIRD,
                "A round tube is widest in the middle: the first third of its depth holds less "
                "than a third of it.",
            ),
            Mistake(
                "a third taken off the bore",
                segment.kept_area(1.0, 1 - 2 * THIRD) / math.pi,
                "The blade goes a third into the outside. It has to get through the wall first, so "
                "it takes less than a third of the bore.",
            ),
            Mistake(
                "one tube's area over two tubes'",
                x.narrowest_ratio / 2,
                "Both sides have the same narrow place: two over two, or one over one.",
            ),
            Mistake(
                "the outside circle over the bore's",
                outside / tube.flow_area,
                "Gas runs in the bore: take the bore's circle above and below the line.",
            ),
        ),
        notice="A third of the depth costs well under a third of the area. Half of the depth would "
        "cost half of it, exactly.",
    )


def window_as_wide_as_the_tube() -> Exercise:
    """Cutback whose window has the flow area of one tube."""
    x = demo_x()
    return Exercise(
        question=Sentence(
            "At which cutback is the window between the two sides as large as one tube's flow area?"
        ),
        kind="ratio",
        right=_cutback_for_window(x, 1.0),
        tolerance=0.012,
        because="it is read off a figure",
        mistakes=(
            Mistake(
                "both tubes' flow area",
                _cutback_for_window(x, 2.0),
                "One tube's gas has to get across, not both at once.",
            ),
            Mistake(
                "half of one tube's flow area",
                _cutback_for_window(x, 0.5),
                "Look along the line of one tube's area, which is 1 on this scale.",
            ),
            Mistake(
                "the line of the narrowest area",
                0.5,
                "That line falls as you cut deeper; the window's line climbs.",
            ),
        ),
        notice="So the window is wide enough long before a quarter. From there on more depth buys "
        "window that nobody needs, and pays for it with area that everybody needs.",
    )


def _cutback_for_window(x: ParallelX, ratio: float) -> float:
    from scipy.optimize import brentq

    def over(cutback: float) -> float:
        return x.with_(cutback=cutback).window_ratio - ratio

    return float(brentq(over, 0.03, 0.5, xtol=1e-6))


def length_of_the_opening() -> Exercise:
    """Length of the opening in the outer wall, tip to tip [m]."""
    x = demo_x()
    clr, deep = float(x.bend.clr), x.cut_depth
    return Exercise(
        question=Sentence(
            "A bend of {} tube with a centreline radius of {} is sliced {} deep at the heel. How "
            "long is the opening, tip to tip?",
            ((float(x.tube.od), "tube"), (clr, "tube"), (deep, "cut")),
        ),
        kind="cut",
        right=x.opening_length,
        mistakes=(
            Mistake(
                "one half of the opening",
                x.opening_length / 2,
                "It reaches as far on either side of the middle: double it.",
            ),
            Mistake(
                "the height of the opening",
                x.opening_height,
                "The opening is longer along the bend than it is high.",
            ),
            Mistake(
                "the circle of the centreline",
                2 * math.sqrt(clr**2 - (clr - deep) ** 2),
                "The tips lie on the heel, whose circle is half a diameter larger.",
            ),
        ),
        notice="Measure this at the bench, not the depth: the length moves three times as far as "
        "the depth does, so a rule shows what a caliper would need.",
    )


def deepest_cut() -> Exercise:
    """Largest cutback whose opening stays inside a tight bend."""
    x = demo_x()
    od = float(x.tube.od)
    tight = Bend(x.tube, clr=SI(od, "length"))
    right = ParallelX(tight, cutback=0.28).reach
    half = tight.half_angle
    return Exercise(
        question=Sentence(
            "A tight 90° bend has a centreline radius of {}, the same as its tube's diameter. At "
            "which cutback do the tips of the opening reach the very ends of the bend?",
            ((od, "tube"),),
        ),
        kind="ratio3",
        right=right,
        tolerance=0.006,
        because=ROUNDED,
        mistakes=(
            Mistake(
                "the radius of the centreline",
                1 - math.cos(half),
                "The tips run along the heel: its radius is half a diameter more.",
            ),
            Mistake(
                "the whole angle of the bend",
                1.5,
                "From the middle to an end is half of it, 45°.",
            ),
            Mistake(
                "a bend of one and a half diameters",
                x.reach,
                "This one is tight: one diameter.",
            ),
        ),
        notice="Tight bends run out of heel. Past this the tip lies on the straight end, if the "
        "bend has one, and in the open air if it has not.",
    )
