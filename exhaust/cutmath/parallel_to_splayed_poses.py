"""Drawings of a tacked X in its fixture, and of the finished joint, to scale."""

from __future__ import annotations

import math

import numpy as np

from exhaust.cutmath import splayed_x_plan
from exhaust.cutmath.parallel_x_work import Work
from exhaust.cutmath.plan_legs import pieces
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
    cut_faces,
    middle_of,
)
from exhaust.joints import ParallelToSplayedX, ParallelX
from exhaust.joints.bent_end import BentEnd
from exhaust.show import quantity
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


def plan(x: ParallelToSplayedX) -> tuple[Pose, Pose]:
    """Return (plan, section): the joint from above, its legs below, and the halved X's face.

    >>> from exhaust import Bend, ParallelToSplayedX, Tube
    >>> bend = Bend(Tube(od="2.5 in", wall="16 ga"), clr="3.75 in")
    >>> x = ParallelToSplayedX(bend, cutback=0.3, included_angle="45 deg", leg_length="8 in")
    >>> [view.title for view in plan(x)]
    ['Half a parallel X with splayed legs', 'Where bends and legs meet']
    """
    return _from_above(x), _face(x)


def _from_above(x: ParallelToSplayedX) -> Pose:
    half, od, leg = x.parallel, float(x.tube.od), x.leg
    shapes = _parallel_half(x)
    if isinstance(leg, BentEnd):
        shapes += _bent_legs(x, leg)
    else:
        shapes += splayed_x_plan.legs(leg, up=False)
    top, reach = half.overall_length / 2.0, leg.reach
    tips = across((0.0, -leg.run_out), (0.0, half.opening_length / 2.0))
    wide, spaced = half.outside_width / 2.0, half.spacing / 2.0
    out = leg.outside_width / 2.0
    aside, text = max(wide, out) + 0.35 * od, 0.065 * x.overall_length
    near, far = top + text, top + 2.4 * text
    low, mark = -reach - 1.6 * text, leg.exit_offset
    corner = mark - leg.radius * math.cos(leg.angle)
    measures = (
        Measure(
            across((-spaced, near), (spaced, near)),
            half.spacing,
            "centre to centre",
            across((-spaced, top), (spaced, top)),
        ),
        Measure(
            across((-wide, far), (wide, far)),
            half.outside_width,
            "outside",
            across((-wide, top), (wide, top)),
        ),
        Measure(
            across((-out, low), (out, low)),
            leg.outside_width,
            "outside",
            across((-out, -reach), (out, -reach)),
        ),
        Measure(
            across((aside, -reach), (aside, top)),
            x.overall_length,
            "end to end",
            across((corner, -reach), (wide, top)),
        ),
    )
    side = 0.4 * leg.spacing, -0.75 * reach
    notes = [
        Note((0.0, -0.85 * reach), quantity(x.included_angle, "angle")),
        Note(((x.tube.od - half.cut_depth) / 2.0, 0.25 * half.opening_length), "A"),
        Note(middle_of(shapes[4].points), "B"),
        Note(side, "D"),
    ]
    shapes.append(Shape("blade", tips, closed=False))
    flow = "entry" if x.parallel_end == "entry" else "exit"
    seen = f"from above, the {flow} at the top"
    return Pose("Half a parallel X with splayed legs", seen, tuple(shapes), measures, tuple(notes))


def _parallel_half(x: ParallelToSplayedX) -> list[Shape]:
    """Both sides from the middle to the parallel end: bend, straight, return."""
    main, after = pieces(x.parallel)
    parts = [Shape("kept", clipped(main, 0.0, keep_below=False)), *after]
    return [part._replace(points=part.points * side) for part in parts for side in MIRRORS]


def _bent_legs(x: ParallelToSplayedX, leg: BentEnd) -> list[Shape]:
    bend = main_bend(x.parallel, leg.angle, leg.angle, (leg.leg.straight, leg.leg.straight))
    below = clipped(bend, 0.0, keep_below=True)
    return [Shape("kept", below * side) for side in MIRRORS]


def _face(x: ParallelToSplayedX) -> Pose:
    """The face of the halved X, and the edge of the legs that are welded to it."""
    half, a = x.parallel, float(x.tube.od) / 2.0
    level = a - half.cut_depth
    shapes = cut_faces(a, x.tube.inside_diameter / 2.0, level)
    notes: tuple[Note, ...] = ()
    if not isinstance(x.leg, BentEnd):
        edge = splayed_x_plan.kept_face(x.leg, x.leg.radius)
        shapes += [Shape("blade", edge * side, closed=False) for side in MIRRORS]
        at = edge[len(edge) // 3]
        place = (1.25 * x.halved_opening / 2.0, -1.25 * a)
        notes = (Note(place, "legs' outer edge", (float(at[0]), float(at[1]))),)
    high, tall, wide = 1.4 * a, half.opening_height / 2.0, x.halved_opening / 2.0
    measures = (
        Measure(across((0.0, -tall), (0.0, tall)), half.opening_height, "opening"),
        Measure(
            across((-wide, high), (wide, high)),
            x.halved_opening,
            "halved opening",
            across((-wide, 0.0), (wide, 0.0)),
        ),
    )
    title = "Where bends and legs meet"
    return Pose(title, "along the joint", tuple(shapes), measures, notes)


def butted_slice(x: ParallelToSplayedX, saw: Saw, straight: float) -> tuple[Pose, Pose]:
    """Return the heel slice of a bend whose splayed end is trimmed to the legs' angle."""
    from exhaust.cutmath import poses_parallel_x as poses

    half, leg = x.parallel, x.leg
    assert isinstance(leg, BentEnd)
    welded = leg.leg.straight if leg.left_beyond_tip < leg.leg.straight else 0.0
    radius = float(x.tube.od) / 2.0
    view = BendView(half.bend.clr, radius, half.half_angle, leg.angle, straight, welded)
    plan = poses.slice_plan(view, half, saw)._replace(seen_from=poses.ABOVE)
    return plan, poses.section(half, saw)
