"""Lesson 3: the ellipse of a mitre, and why a third of it is not a third of the diameter."""

from __future__ import annotations

import math

from exhaust.engine.assumed import Sentence
from exhaust.joints import SplayedX
from exhaust.stock import DEGREE, Tube
from exhaust.teaching.exercise import ROUNDED, Exercise, Mistake

THIRD = 1 / 3
QUARTER_DEGREE = 0.26 * DEGREE


def splayed(included_angle: str) -> SplayedX:
    """Return the splayed X of this lesson, a third off, its legs `included_angle` apart.

    >>> round(splayed("70 deg").narrowest_ratio, 3)
    0.878
    """
    tube = Tube(od="2-1/2 in", wall="16 ga")
    return SplayedX(tube, included_angle=included_angle, cutback=THIRD, leg_length="10 in")


def dial_angle() -> Exercise:
    """Angle of a mitre from a square cut [rad]."""
    x = splayed("50 deg")
    included = float(x.included_angle)
    return Exercise(
        question=Sentence(
            "Two straight legs lie {} apart. What does the saw's dial show for their mitre, "
            "counted from a square cut?",
            ((included, "angle"),),
        ),
        kind="angle",
        right=x.entry.mitre_angle,
        tolerance=QUARTER_DEGREE,
        because="a quarter of a degree is less than a dial shows",
        mistakes=(
            Mistake(
                "the angle between the legs",
                included,
                "Each leg leans only half of it from the joint's middle line.",
            ),
            Mistake(
                "an angle counted along the tube",
                x.entry.long_cut_angle,
                "Nought on the dial is a square cut; you counted from the tube. Take it from 90°.",
            ),
            Mistake(
                "the angle halved twice",
                included / 4,
                "Half of what lies between the legs is already one leg's share.",
            ),
        ),
        notice="The long cut that follows is the rest of the way to 90°, which is past what nearly "
        "every saw can turn: there the mitre's face goes on the fence.",
    )


def mitre_opening() -> Exercise:
    """Long axis of a mitred tube's face [m]."""
    end = splayed("70 deg").entry
    od = 2 * end.radius
    return Exercise(
        question=Sentence(
            "Tube of {} is mitred at {} from square. How long is the ellipse, heel to throat?",
            ((od, "tube"), (end.mitre_angle, "angle")),
        ),
        kind="cut",
        right=end.mitre_opening,
        mistakes=(
            Mistake(
                "a cosine that multiplies",
                od * math.cos(end.mitre_angle),
                "A slanted cut is longer than a square one, never shorter: divide by the cosine.",
            ),
            Mistake(
                "the sine",
                od / math.sin(end.mitre_angle),
                "That would be endless for a square cut. The cosine of nought is 1, which fits.",
            ),
            Mistake(
                "twice the mitre",
                od / math.cos(2 * end.mitre_angle),
                "The mitre is what the dial shows, not what lies between the legs.",
            ),
            Mistake("the diameter", od, "That is how high the ellipse is; it is longer than that."),
        ),
        notice="Measure it before the long cut: the opening shows the angle that the saw really "
        "cut, better than any protractor.",
    )


def a_third_of_the_opening() -> Exercise:
    """What a third of a mitre opening takes off it [m]."""
    end = splayed("70 deg").entry
    od = 2 * end.radius
    return Exercise(
        question=Sentence(
            "A third of that opening ({} tube at {} from square) is to come off. How far from the "
            "heel, across the ellipse, does the long cut start?",
            ((od, "tube"), (end.mitre_angle, "angle")),
        ),
        kind="cut",
        right=end.take_off,
        mistakes=(
            Mistake(
                "a third of the diameter",
                od * THIRD,
                "It is a third of the opening, which is longer than the diameter.",
            ),
            Mistake(
                "what stays",
                end.kept_width,
                "Two thirds stay; mark from the heel, or take this from the outer edge.",
            ),
            Mistake(
                "a third of half of the opening",
                end.take_off / 2,
                "The long axis is the whole ellipse, edge to edge.",
            ),
        ),
        notice="From the outer edge you would set two thirds. The heel's tip is a feather after "
        "the cut, so the kept width is what you can measure.",
    )


def share_really_cut() -> Exercise:
    """Share of the opening that a third of the diameter is, legs at a right angle."""
    end = splayed("90 deg").entry
    od = 2 * end.radius
    right = THIRD * od / end.mitre_opening
    return Exercise(
        question=Sentence(
            "Legs at 90° to each other. Somebody marks a third of the {} diameter along the "
            "ellipse. What share of the opening is really coming off?",
            ((od, "tube"),),
        ),
        kind="ratio3",
        right=right,
        tolerance=0.005,
        because=ROUNDED,
        mistakes=(
            Mistake(
                "a third after all",
                THIRD,
                "The mark is a third of the diameter, but the ellipse it is laid on is longer.",
            ),
            Mistake(
                "the ratio upside down",
                THIRD * end.mitre_opening / od,
                "On a longer ellipse the same mark is a smaller share.",
            ),
            Mistake(
                "the square of the cosine",
                right * od / end.mitre_opening,
                "The ellipse is longer one way only.",
            ),
        ),
        notice="Less than a quarter. Square to the leg, though, a third of the opening is exactly "
        "a third of the diameter: it depends on where you lay the rule.",
    )


def area_across_the_flow() -> Exercise:
    """Share of two tubes' flow area, square to the flow, at the seam of a splayed X."""
    x = splayed("70 deg")
    shown = x.narrowest_ratio
    lean = x.leg_angle
    return Exercise(
        question=Sentence(
            "Straight across the middle of that X (legs {} apart, a third off) the two bores are "
            "open to {} of the tubes' flow area. But the gas comes in at a slant. What share does "
            "it have, square to its way?",
            ((2 * lean, "angle"), (shown, "percent")),
        ),
        kind="ratio3",
        right=x.flow_normal_area / (2 * x.tube.flow_area),
        tolerance=0.005,
        because=ROUNDED,
        mistakes=(
            Mistake(
                "the area straight across",
                shown,
                "That plane cuts the legs at a slant, like the mitre: it shows a longer hole.",
            ),
            Mistake(
                "division by the cosine",
                shown / math.cos(lean),
                "A slanted section is the larger one: multiply by the cosine to get back.",
            ),
            Mistake(
                "the cosine of the angle between the legs",
                shown * math.cos(2 * lean),
                "Each leg is only half of that angle off the middle line.",
            ),
        ),
        notice="A third off leaves the same share at every splay, and in a parallel X too. At 90° "
        "the plane straight across seems to hold more than two whole tubes; it does not.",
    )
