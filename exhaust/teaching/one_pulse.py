"""Lesson 5: when one pulse at a time holds."""

from __future__ import annotations

import math
from itertools import pairwise

from exhaust.engine import Cam
from exhaust.engine.assumed import Sentence
from exhaust.pulse.firing import CYCLE, firing_angles
from exhaust.show import listed
from exhaust.stock import DEGREE
from exhaust.teaching.exercise import Exercise, Mistake, demo_job

BOTTOM_TO_TOP = math.pi  # the exhaust stroke [rad]
NO_ROUNDING = "degrees of the crank are whole here"
CAM = Cam(opens="60 deg", closes="20 deg")


def gaps_of_a_bank() -> tuple[float, ...]:
    """Return the crank angles from pulse to pulse in the left bank of the demo job [rad].

    >>> [round(math.degrees(gap)) for gap in gaps_of_a_bank()]
    [270, 180, 90, 180]
    """
    engine = demo_job().engine
    fires = firing_angles(engine)
    angles = sorted(fires[number] for number in engine.left_bank)
    return tuple(after - before for before, after in pairwise((*angles, angles[0] + CYCLE)))


def open_angle() -> float:
    """Return how long an exhaust valve of the lesson's cam is open [rad].

    >>> round(math.degrees(open_angle()))
    260
    """
    return float(CAM.opens) + BOTTOM_TO_TOP + float(CAM.closes)


def time_between_pulses() -> Exercise:
    """Mean crank angle from one pulse of a bank to the next [rad]."""
    engine = demo_job().engine
    bank = len(engine.left_bank)
    return Exercise(
        question=Sentence(
            "A four-stroke V8 has four cylinders to a bank. How far does the crank turn, on "
            "average, from one pulse in a bank's pipe to the next?"
        ),
        kind="angle",
        right=CYCLE / bank,
        tolerance=DEGREE,
        because=NO_ROUNDING,
        mistakes=(
            Mistake(
                "one turn for a cycle, or all eight cylinders in one pipe",
                CYCLE / engine.cylinders,
                "A cycle is two turns, and only one bank's four share this pipe.",
            ),
            Mistake(
                "one turn for a cycle and all eight cylinders",
                CYCLE / 2 / engine.cylinders,
                "A cycle is two turns, and only one bank's four share this pipe.",
            ),
            Mistake("a whole turn for every pulse", CYCLE / 2, "Each cylinder fires once in two."),
        ),
        notice="On average. Whether they come evenly is a matter of the firing order.",
    )


def closest_pulses() -> Exercise:
    """Least crank angle from one pulse of a bank to the next [rad]."""
    engine = demo_job().engine
    gaps = gaps_of_a_bank()
    order, bank = (listed(numbers) for numbers in (engine.firing_order, engine.left_bank))
    return Exercise(
        question=Sentence(
            f"The firing order is {order}, evenly spaced over two turns; cylinders {bank} breathe "
            "into the left pipe. How far apart are its two closest pulses?"
        ),
        kind="angle",
        right=min(gaps),
        tolerance=DEGREE,
        because=NO_ROUNDING,
        mistakes=(
            Mistake(
                "the average",
                CYCLE / len(gaps),
                "This bank does not fire evenly: write the order down and cross out the others.",
            ),
            Mistake(
                "the widest gap",
                max(gaps),
                "That is the longest wait. Somewhere two of its cylinders follow each other.",
            ),
            Mistake(
                "one turn for the whole order",
                min(gaps) / 2,
                "The order takes two turns of the crank.",
            ),
        ),
        notice="Two neighbours in the order, in one pipe: this is the burble of such an engine, "
        "and why its two pipes want to breathe into each other.",
    )


def valve_open() -> Exercise:
    """Crank angle for which an exhaust valve is open [rad]."""
    right = open_angle()
    opens, closes = float(CAM.opens), float(CAM.closes)
    return Exercise(
        question=Sentence(
            "An exhaust valve opens {} before bottom dead centre and closes {} after top dead "
            "centre. For how much of the crank's turning is it open?",
            ((opens, "angle"), (closes, "angle")),
        ),
        kind="angle",
        right=right,
        tolerance=DEGREE,
        because=NO_ROUNDING,
        mistakes=(
            Mistake(
                "the exhaust stroke alone",
                BOTTOM_TO_TOP,
                "It opens before that stroke and closes after it.",
            ),
            Mistake(
                "the stroke left out",
                opens + closes,
                "Between the two dead centres lies a stroke of 180°.",
            ),
            Mistake(
                "closing before top dead centre",
                right - 2 * closes,
                "It closes after: that is added.",
            ),
            Mistake(
                "degrees of the camshaft",
                right / 2,
                "The cam turns half as fast, but these are degrees of the crank.",
            ),
        ),
        notice="Well over a third of the whole cycle: a pulse is not a bang, it is a breath.",
    )


def pulses_at_once() -> Exercise:
    """Crank angle for which two neighbouring pulses of a bank come together [rad]."""
    right = open_angle() - min(gaps_of_a_bank())
    return Exercise(
        question=Sentence(
            "With valves open for {} and the two closest pulses of the bank {} apart, for how much "
            "of the crank's turning do both cylinders blow at once?",
            ((open_angle(), "angle"), (min(gaps_of_a_bank()), "angle")),
        ),
        kind="angle",
        right=right,
        tolerance=DEGREE,
        because=NO_ROUNDING,
        mistakes=(
            Mistake(
                "the distance between them",
                min(gaps_of_a_bank()),
                "The second begins that much later; the first is still open until its time is up.",
            ),
            Mistake(
                "both times added",
                open_angle() + min(gaps_of_a_bank()),
                "That is from the first one's start to the second one's end.",
            ),
            Mistake(
                "the average distance",
                open_angle() - CYCLE / len(gaps_of_a_bank()),
                "These two are closer than the average.",
            ),
        ),
        notice='So "one pulse at a time" is not true of this bank, at any engine speed. What '
        "changes with speed is the echoes, not the overlap of the valves.",
    )


def cylinders_for_one_pipe() -> Exercise:
    """Most cylinders, evenly fired, whose pulses never meet in one pipe."""
    right = math.floor(CYCLE / open_angle())
    return Exercise(
        question=Sentence(
            "Valves are open for {}. How many cylinders, evenly fired, can share one pipe so that "
            "never two are open at once?",
            ((open_angle(), "angle"),),
        ),
        kind="count",
        right=float(right),
        tolerance=0.01,
        because="cylinders come whole",
        mistakes=(
            Mistake(
                "a share of a cylinder",
                CYCLE / open_angle(),
                "You are nearly there, but cylinders come whole: round down, or the last overlaps.",
            ),
            Mistake(
                "a number rounded up",
                right + 1.0,
                "With that many they overlap by a little: round down.",
            ),
            Mistake(
                "one turn for a cycle",
                math.floor(CYCLE / 2 / open_angle()),
                "A cycle is two turns.",
            ),
        ),
        notice="One more overlaps only a little, which is why threes in one pipe work so well. "
        "A pipe with four is never a pipe with one pulse at a time.",
    )
