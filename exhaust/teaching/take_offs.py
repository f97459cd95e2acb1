"""Lesson 4: what comes off a leg that meets a halved X, derived."""

from __future__ import annotations

import math

from exhaust.engine.assumed import Sentence
from exhaust.geometry import mitre
from exhaust.joints import ParallelToSplayedX
from exhaust.joints.splayed_end import MitredEnd
from exhaust.stock import Bend, Tube
from exhaust.teaching.exercise import ROUNDED, Exercise, Mistake
from exhaust.units import length

MEASURED = (length("4.16 in"), length("3.29 in"))  # a halved X and a leg, on somebody's bench
CALIPER = length("0.005 in")


def crossed_over() -> ParallelToSplayedX:
    """Return the joint of this lesson: a parallel X halved, legs 45° apart.

    >>> round(crossed_over().halved_opening / 0.0254, 3)
    4.2
    """
    bend = Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")
    return ParallelToSplayedX(bend, cutback=0.3, included_angle="45 deg", leg_length="9 in")


def _leg() -> MitredEnd:
    leg = crossed_over().leg
    assert isinstance(leg, MitredEnd)
    return leg


def halved_opening() -> Exercise:
    """Width of a parallel X sawn in half, edge to edge [m]."""
    x = crossed_over()
    od = float(x.tube.od)
    return Exercise(
        question=Sentence(
            "Two bends of {} tube, each with {} sliced off its heel, are tacked back to back and "
            "sawn in half. How wide is the figure of eight, outer edge to outer edge?",
            ((od, "tube"), (x.cutback, "percent")),
        ),
        kind="cut",
        right=x.halved_opening,
        mistakes=(
            Mistake(
                "one bend sliced and the other whole",
                (2 - x.cutback) * od,
                "Both heels were sliced: take it off twice.",
            ),
            Mistake(
                "one bend's share of it",
                x.halved_opening / 2,
                "That is one side; the figure of eight is two of them.",
            ),
            Mistake(
                "each cutback taken off twice",
                2 * (1 - 2 * x.cutback) * od,
                "Each bend loses its own slice once, from its own heel.",
            ),
        ),
        notice="This is the number to measure when the X is halved: half of what it lacks of two "
        "diameters is how deep you really cut.",
    )


def take_off_of_a_leg() -> Exercise:
    """What comes off each mitred leg to meet a halved X [m]."""
    x, leg = crossed_over(), _leg()
    od = float(x.tube.od)
    return Exercise(
        question=Sentence(
            "Two legs of the same {} tube, mitred for {} between them, are to meet that figure of "
            "eight, which is {} wide. How much comes off each leg's opening, from its heel?",
            ((od, "tube"), (2 * leg.angle, "angle"), (x.halved_opening, "cut")),
        ),
        kind="cut",
        right=leg.take_off,
        mistakes=(
            Mistake(
                "cutback times diameter",
                x.cutback * od,
                "That is what came off the bends. The legs' ellipses are longer, so more must go.",
            ),
            Mistake(
                "the same cutback on the ellipse",
                x.cutback * leg.mitre_opening,
                "The same share of a longer opening leaves more than the X has: widths must agree, "
                "not shares.",
            ),
            Mistake(
                "both legs' take-off",
                2 * leg.take_off,
                "Together they are that much too wide; each loses half of it.",
            ),
            Mistake("what stays of a leg", leg.kept_width, "Take this from the leg's opening."),
            Mistake(
                "the angle between the legs as the mitre",
                od / math.cos(2 * leg.angle) - x.halved_opening / 2,
                "The mitre is half of what lies between the legs.",
            ),
        ),
        notice="Nothing to remember: two ellipses side by side, less the width they must meet, "
        "shared between two legs.",
    )


def share_of_its_opening() -> Exercise:
    """Share of its own opening that a leg loses."""
    x, leg = crossed_over(), _leg()
    return Exercise(
        question=Sentence(
            "What share of its own opening does each of those legs lose? (Bends of {} tube sliced "
            "by {}, legs {} apart.)",
            ((float(x.tube.od), "tube"), (x.cutback, "percent"), (2 * leg.angle, "angle")),
        ),
        kind="ratio3",
        right=leg.cutback,
        tolerance=0.006,
        because=ROUNDED,
        mistakes=(
            Mistake(
                "the cutback of the bends",
                x.cutback,
                "The legs lose more than the bends did, of an opening that is longer.",
            ),
            Mistake(
                "a share of the diameter",
                leg.take_off / x.tube.od,
                "Divide by the leg's opening, not by its diameter.",
            ),
            Mistake(
                "the angle between the legs as the mitre",
                mitre.leg_cutback(x.cutback, 2 * leg.angle),
                "The mitre is half of what lies between the legs.",
            ),
        ),
        notice="It climbs with the splay. At 90° it passes a half, and the seam comes to lie on "
        "the far side of the tube's widest place.",
    )


def take_off_as_measured() -> Exercise:
    """The take-off from what was measured at the bench [m]."""
    x, leg = crossed_over(), _leg()
    halved, opening = MEASURED
    return Exercise(
        question=Sentence(
            "At the bench the halved X measures {} and a mitred leg {}. How much comes off that "
            "leg now?",
            ((halved, "cut"), (opening, "cut")),
        ),
        kind="cut",
        right=mitre.leg_take_off(opening, halved),
        tolerance=CALIPER,
        because="a caliper shows that much",
        mistakes=(
            Mistake(
                "the numbers of the drawing",
                leg.take_off,
                "The metal is what it is: use what you measured.",
            ),
            Mistake(
                "the X as drawn",
                mitre.leg_take_off(opening, x.halved_opening),
                "The leg has to meet this X, not the one on paper.",
            ),
            Mistake(
                "the leg as drawn",
                mitre.leg_take_off(leg.mitre_opening, halved),
                "The saw did not cut quite the angle on paper: this leg's opening counts.",
            ),
            Mistake(
                "the whole width of the X",
                halved - opening,
                "Each leg meets half of the X.",
            ),
        ),
        notice="The same sum with measured numbers swallows the errors of three cuts before it. "
        "This is why it pays to know where the sum comes from.",
    )
