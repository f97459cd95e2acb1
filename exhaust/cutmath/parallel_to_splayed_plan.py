"""Half a parallel X with splayed legs from above, and where bends and legs meet, to scale."""

from __future__ import annotations

import math

from exhaust.cutmath import splayed_x_plan
from exhaust.cutmath.parallel_to_splayed_poses import main_bend
from exhaust.cutmath.plan_legs import pieces
from exhaust.cutmath.pose import (
    MIRRORS,
    Measure,
    Note,
    Pose,
    Shape,
    across,
    clipped,
    cut_faces,
    middle_of,
)
from exhaust.joints import ParallelToSplayedX
from exhaust.joints.bent_end import BentEnd
from exhaust.show import quantity


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
