"""Lesson 6: the balance tube of an H pipe, its hole, its notch and how fast it acts."""

from __future__ import annotations

import math

from exhaust.engine.assumed import Sentence
from exhaust.gas.air import AIR_GAMMA, DRY_AIR_GAS_CONSTANT
from exhaust.joints import HPipe
from exhaust.stock import DEGREE, Tube
from exhaust.teaching.exercise import ROUNDED, Exercise, Mistake, demo_flow, demo_job


def crossing() -> HPipe:
    """Return the H pipe of this lesson: 2 in across two pipes of 2-1/2 in, square.

    >>> round(crossing().blank_length / 0.0254, 3)
    7.5
    """
    small = Tube(od="2 in", wall="16 ga")
    return HPipe(Tube(od="2-1/2 in", wall="16 ga"), balance_tube=small, spacing="9 in")


def area_of_the_balance_tube() -> Exercise:
    """Flow area of a balance tube over that of a primary."""
    h = crossing()
    large, small = h.tube, h.balance_tube
    right = small.flow_area / large.flow_area
    return Exercise(
        question=Sentence(
            "A balance tube of {} joins two pipes of {}; every wall is {}. What share of one "
            "pipe's flow area does it have?",
            ((float(small.od), "tube"), (float(large.od), "tube"), (float(large.wall), "tube")),
        ),
        kind="ratio3",
        right=right,
        tolerance=0.006,
        because=ROUNDED,
        mistakes=(
            Mistake(
                "the ratio of the diameters",
                small.inside_diameter / large.inside_diameter,
                "Area goes with the square of the diameter.",
            ),
            Mistake(
                "the outside diameters",
                (small.od / large.od) ** 2,
                "The wall is as thick on the small tube as on the large, and costs it more: take "
                "the insides.",
            ),
            Mistake("the ratio upside down", 1 / right, "The balance tube is the smaller one."),
        ),
        notice="It looks nearly as large as the pipe and has well under two thirds of its area. "
        "Shops ask for 75 to 100 %: one size down is already too small for that.",
    )


def hole_in_the_pipe() -> Exercise:
    """Size of the hole drilled in a primary [m]."""
    h = crossing()
    small = h.balance_tube
    return Exercise(
        question=Sentence(
            "That balance tube ({}, wall {}) sits on the outside of the pipe like a saddle. How "
            "large a hole do you drill in the pipe?",
            ((float(small.od), "tube"), (float(small.wall), "tube")),
        ),
        kind="cut",
        right=h.hole_length,
        mistakes=(
            Mistake(
                "the outside of the balance tube",
                float(small.od),
                "Then it would fall through. It stands on the pipe, so the hole is as large as its "
                "inside.",
            ),
            Mistake(
                "one wall taken off",
                float(small.od - small.wall),
                "There is a wall on either side.",
            ),
            Mistake(
                "the inside of the pipe",
                h.tube.inside_diameter,
                "That would cut the pipe in two.",
            ),
            Mistake(
                "the radius",
                small.inside_diameter / 2,
                "A hole saw is named by its diameter.",
            ),
        ),
        notice="Drill before the pipes are fixed, and take the burr off inside: nobody gets there "
        "later. Round the pipe the hole is wider than the saw, because the pipe curves away.",
    )


def depth_of_the_notch() -> Exercise:
    """Depth of the saddle, long point to short point [m]."""
    h = crossing()
    large, small = float(h.tube.od) / 2, float(h.balance_tube.od) / 2
    bore = h.balance_tube.inside_diameter / 2
    return Exercise(
        question=Sentence(
            "How deep is the notch in the end of that balance tube ({} on {}), from its long "
            "points to its short points, on the outside?",
            ((2 * small, "tube"), (2 * large, "tube")),
        ),
        kind="cut",
        right=h.notch_depth,
        mistakes=(
            Mistake(
                "diameters taken for radii",
                2 * h.notch_depth,
                "The triangle has the pipe's radius, the tube's radius, and what is left.",
            ),
            Mistake(
                "the inside of the balance tube",
                large - math.sqrt(large**2 - bore**2),
                "On the outside it is the outside of the tube that meets the pipe.",
            ),
            Mistake(
                "what is left of the radius",
                math.sqrt(large**2 - small**2),
                "That is how far the long points stop short of the pipe's axis. The short points "
                "touch at its full radius: take the difference.",
            ),
            Mistake(
                "the square of the sides added",
                math.sqrt(large**2 + small**2) - large,
                "The pipe's radius is the long side of the triangle: subtract the squares.",
            ),
        ),
        notice="The nearer the two sizes, the deeper the notch. For equal tubes it is half a "
        "diameter, and the edge thins to nothing at the sides.",
    )


def blank_of_the_balance_tube() -> Exercise:
    """Length to cut a balance tube to before it is notched [m]."""
    h = crossing()
    large = float(h.tube.od) / 2
    return Exercise(
        question=Sentence(
            "The two pipes of {} stand {} apart, centre to centre. How long do you cut the {} "
            "balance tube, before both its ends are notched?",
            ((2 * large, "tube"), (h.spacing, "cut"), (float(h.balance_tube.od), "tube")),
        ),
        kind="cut",
        right=h.blank_length,
        mistakes=(
            Mistake(
                "the gap between the pipes",
                h.spacing - 2 * large,
                "That is the shortest line on the tube. Its long points reach round the pipes.",
            ),
            Mistake(
                "centre to centre",
                h.spacing,
                "No part of the tube reaches a pipe's axis.",
            ),
            Mistake(
                "one notch only",
                h.spacing - 2 * large + h.notch_depth,
                "There is a notch at each end.",
            ),
        ),
        notice="Gap and two notches. Cut it short and it is scrap; the gap alone would be short "
        "by both of them.",
    )


def crank_while_a_wave_crosses() -> Exercise:
    """Angle that the crank turns while a wave crosses the balance tube [rad]."""
    h, job, flow = crossing(), demo_job(), demo_flow()
    sound = float(flow.gas.sound_speed(flow.gas_temperature))
    right = h.balance_length / sound * job.duty.speed
    cold = math.sqrt(AIR_GAMMA * DRY_AIR_GAS_CONSTANT * flow.ambient_temperature)
    return Exercise(
        question=Sentence(
            "A pulse crosses that balance tube, {} from axis to axis, at the speed of sound in the "
            "hot gas, {}. How many degrees does the crank turn meanwhile at {}?",
            ((h.balance_length, "cut"), (sound, "velocity"), (job.duty.speed, "speed")),
        ),
        kind="angle",
        right=right,
        tolerance=0.03 * right,
        because=ROUNDED,
        mistakes=(
            Mistake(
                "the speed of sound in cold air",
                right * sound / cold,
                "Sound is nearly twice as fast in gas as hot as this.",
            ),
            Mistake("there and back", 2 * right, "Once across is what it takes to be felt."),
            Mistake(
                "turns of the crank taken for degrees",
                right / (2 * math.pi) * DEGREE,
                "A turn has 360 degrees.",
            ),
            Mistake("degrees of the camshaft", right / 2, "The speed is that of the crank."),
        ),
        notice="The pulses of one bank come a quarter to three quarters of a turn apart, so the "
        "other side feels each one almost at once: the tube is short, whatever its length.",
    )
