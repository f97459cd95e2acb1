"""Drawings of a tacked X in its fixture, and of a bend with unlike ends, to scale."""

from __future__ import annotations

import math

import numpy as np

from exhaust.cutmath.bend_poses import ABOVE, section, slice_plan
from exhaust.cutmath.parallel_x_work import Work
from exhaust.cutmath.pose import (
    MIRRORS,
    BendView,
    Measure,
    Note,
    Points,
    Pose,
    Shape,
    across,
    arc,
    clipped,
    middle_of,
)
from exhaust.joints import ParallelToSplayedX, ParallelX
from exhaust.joints.bent_end import BentEnd
from exhaust.stock import Saw

BLOCK = (0.14, 0.62)  # where the fixture bears on a throat, from the middle [rad]


def main_bend(x: ParallelX, ahead: float, back: float, straights: tuple[float, float]) -> Points:
    """Return the right-hand sliced bend, seam at x = 0: `ahead` and `back` of its middle [rad]."""
    clr, a = float(x.bend.clr), float(x.tube.od) / 2.0
    view = BendView(clr, a, back, ahead, straights[1], straights[0])
    kept, _ = view.sliced(x.cut_depth)
    return np.column_stack((clr + a - x.cut_depth - kept[:, 1], kept[:, 0]))


def tack_clear(x: ParallelX) -> float:
    """Return how far from the middle plane the nearest tacks stay [m]: a third of the way out."""
    return x.opening_length / 6.0


def spring(work: Work) -> float:
    """Return the width over the far corners of the two main bends' ends [m]."""
    x = work.x
    straight, half = work.sliced_straight, x.half_angle
    out = BendView(x.bend.clr, x.tube.od / 2, half, half, straight, straight).end(work.inner, 1)[1]
    return 2.0 * (work.outer - x.cut_depth - out)


def halving(work: Work) -> Pose:
    """Return the tacked X in its fixture, the blade across its middle; the kept half is above."""
    x, kerf, od = work.x, work.saw.kerf, float(work.x.tube.od)
    straight = work.sliced_straight
    whole = main_bend(x, x.half_angle, x.half_angle, (straight, straight))
    kept, spare = clipped(whole, 0.0, keep_below=False), clipped(whole, -kerf, keep_below=True)
    wide, tip = x.tube.od - x.cut_depth, x.opening_length / 2.0
    reach = wide + 0.9 * od
    shapes = [Shape("kept", kept * side) for side in MIRRORS]
    shapes += [Shape("waste", spare * side) for side in MIRRORS]
    blade = np.array([(-reach, -kerf), (reach, -kerf), (reach, 0.0), (-reach, 0.0)])
    shapes += [Shape("stop", block * side) for block in _blocks(work) for side in MIRRORS]
    shapes += [Shape("blade", blade), Shape("centre", across((0.0, -tip), (0.0, tip)), False)]
    top = float(whole[:, 1].max())
    halved, clear = 2.0 * wide, tack_clear(x)
    aside, far = -reach - 0.1 * od, spring(work) / 2.0
    corner = abs(float(whole[np.argmax(whole[:, 0]), 1]))
    measures = (
        Measure(
            across((aside, 0.0), (aside, tip)),
            tip,
            "to the tips",
            across((-wide, 0.0), (0.0, tip)),
        ),
        Measure(
            across((-wide, -top - 0.3 * od), (wide, -top - 0.3 * od)),
            halved,
            "halved opening",
            across((-wide, 0.0), (wide, 0.0)),
        ),
        Measure(
            across((-far, top + 0.4 * od), (far, top + 0.4 * od)),
            2.0 * far,
            "over its ends",
            across((-far, corner), (far, corner)),
        ),
    )
    notes = (
        Note((reach + 0.55 * od, 0.25 * od), "blade", (reach, -kerf / 2.0)),
        Note((reach + 0.75 * od, 0.75 * top), "keep this half", (0.6 * far, 0.6 * top)),
        Note((reach + 0.75 * od, -0.75 * top), "spare", (0.6 * far, -0.6 * top)),
        Note((reach + 0.75 * od, 0.45 * top), "fixture", middle_of(_blocks(work)[0])),
        Note((-reach - 0.55 * od, 0.72 * top), "tacks", (0.0, clear)),
        Note((-reach - 0.55 * od, -0.72 * top), "tacks", (0.0, -clear)),
    )
    title = "Halve the tacked X"
    return Pose(title, "flat in its fixture, from above", tuple(shapes), measures, notes)


def _blocks(work: Work) -> tuple[Points, Points]:
    """The fixture's right-hand blocks, in the curved throat on each side of the blade."""
    centre = work.outer - work.x.cut_depth
    most = min(BLOCK[1], work.x.half_angle)
    bear = arc(work.inner, BLOCK[0] * most, most, 31)
    flat = work.inner * math.cos(most) - 0.25 * work.x.tube.od
    ends = np.array([(bear[-1, 0], flat), (bear[0, 0], flat)])
    shape = np.vstack((bear, ends))
    upper = np.column_stack((centre - shape[:, 1], shape[:, 0]))
    return upper, upper * np.array([1.0, -1.0])


def butted_slice(x: ParallelToSplayedX, saw: Saw, straight: float) -> tuple[Pose, Pose]:
    """Return the heel slice of a bend whose splayed end is trimmed to the legs' angle."""
    half, leg = x.parallel, x.leg
    assert isinstance(leg, BentEnd)
    welded = leg.leg.straight if leg.left_beyond_tip < leg.leg.straight else 0.0
    radius = float(x.tube.od) / 2.0
    view = BendView(half.bend.clr, radius, half.half_angle, leg.angle, straight, welded)
    plan = slice_plan(view, half, saw)._replace(seen_from=ABOVE)
    return plan, section(half, saw)
