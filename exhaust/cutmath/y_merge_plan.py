"""The finished Y merge from above and across the outlet's face, to scale."""

from __future__ import annotations

import numpy as np

from exhaust.cutmath.plan_legs import Leg, leg_shapes
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
    box,
    cut_faces,
    middle_of,
)
from exhaust.geometry import merge_leg
from exhaust.geometry.elbow import middle_height
from exhaust.joints import YMerge

STUB = 0.8  # of the outlet's od that is drawn where the joint has no straight on it


def plan(y: YMerge) -> tuple[Pose, Pose]:
    """Return (plan, section): the merge from above, and across it at the outlet's face.

    >>> from exhaust import Bend, Tube
    >>> y = YMerge(Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in"))
    >>> [view.title for view in plan(y)]
    ['The Y merge', "Across it at the outlet's face"]
    """
    return _from_above(y), _face(y)


def _leg(y: YMerge) -> tuple[Points, list[Shape]]:
    """The right-hand leg: the sliced half bend, and what follows it to the leg's end."""
    a, theta, clr, spacer = y.tube.od / 2, y.half_angle, float(y.bend.clr), float(y.spacer)
    kept, _ = BendView(clr, a, 0.0, theta, 0.0, spacer).sliced(y.cut_depth)
    plane = y.elbow.plane
    main = np.column_stack((plane - kept[:, 1], kept[:, 0]))
    back = y.return_bend
    ends = (0.0, 0.0) if back is None else (float(back.clr), float(back.tangent))
    shapes = leg_shapes(Leg(plane, clr, a, theta, spacer, *ends))
    if y.run_on > 0.0:
        shapes = shapes[1:]  # the straight is sliced too, and drawn with the bend
    return main, shapes


def _from_above(y: YMerge) -> Pose:
    main, legs = _leg(y)
    shapes = [Shape("kept", main * side) for side in MIRRORS]
    shapes += [leg._replace(points=leg.points * side) for leg in legs for side in MIRRORS]
    half_outlet = y.outlet.od / 2
    length = float(y.outlet_straight)
    drawn = length or STUB * y.outlet.od
    tube = box(-half_outlet, -drawn, half_outlet, 0.0)
    shapes.append(Shape("kept" if length else "centre", tube, closed=length > 0.0))
    tip = y.opening_length
    shapes.append(Shape("blade", across((0.0, 0.0), (0.0, tip)), closed=False))
    return Pose(
        "The Y merge",
        "from above, the legs' ends at the top",
        tuple(shapes),
        _measures(y, drawn),
        _notes(y, drawn, legs),
    )


def _measures(y: YMerge, drawn: float) -> tuple[Measure, ...]:
    od, length = float(y.tube.od), float(y.outlet_straight)
    top, half, wide = y.overall_length - length, y.spacing / 2, y.outside_width / 2
    reach = merge_leg.end_reach(od / 2, y.entry_angle)
    ends = top - reach  # in the middle of a leg's end; a splayed leg's corners stand either side
    first, second, aside = top + 0.35 * od, top + 0.95 * od, y.envelope.width / 2 + 0.35 * od
    low, half_outlet = -drawn - 0.4 * od, y.outlet.od / 2
    inside = -(y.envelope.width / 2 + 0.35 * od)
    return (
        Measure(
            across((-half, first), (half, first)),
            y.spacing,
            "centre to centre",
            across((-half, ends), (half, ends)),
        ),
        Measure(
            across((-wide, second), (wide, second)),
            y.outside_width,
            "outside",
            across((-wide, ends - reach), (wide, ends - reach)),
        ),
        Measure(
            across((aside, -length), (aside, top)),
            y.overall_length,
            "end to end",
            across((half_outlet, -length), (y.gap / 2, top)),
        ),
        Measure(
            across((inside, 0.0), (inside, y.opening_length)),
            y.opening_length,
            "opening",
            across((0.0, 0.0), (0.0, y.opening_length)),
        ),
        Measure(
            across((-half_outlet, low), (half_outlet, low)),
            float(y.outlet.od),
            "outlet",
            across((-half_outlet, -drawn), (half_outlet, -drawn)),
        ),
    )


def _notes(y: YMerge, drawn: float, legs: list[Shape]) -> tuple[Note, ...]:
    word = "D, outlet" if y.outlet_straight else "outlet, not of the joint"
    beside = (y.envelope.width / 2 + 0.35 * y.tube.od + y.outlet.od / 2) / 2
    tip = y.opening_length
    marks = [Note(((y.tube.od - y.cut_depth) / 2, 0.3 * tip), "A")]
    if y.return_bend is not None:
        marks.append(Note(middle_of(legs[-3].points), "B"))
    return (
        Note((0.0, -0.5 * drawn), word),
        Note((beside, 0.15 * tip), "crotch", (0.0, tip)),
        *marks,
    )


def _face(y: YMerge) -> Pose:
    """Both legs as sawn, round the bore's halves, and the outlet that they are formed to."""
    a, ai = y.tube.od / 2, y.tube.inside_diameter / 2
    level = a - y.cut_depth
    outlet = arc(y.outlet.od / 2, -np.pi, np.pi, 181)
    shapes = [*cut_faces(a, ai, level), Shape("centre", outlet, closed=False)]
    height, wide = middle_height(y.elbow, a), 2 * a - y.cut_depth
    far = max(wide, y.outlet.od / 2)
    high, low = 1.3 * max(a, y.outlet.od / 2), -1.3 * max(a, y.outlet.od / 2)
    measures = (
        Measure(across((0.0, -height / 2), (0.0, height / 2)), height, "seam"),
        Measure(
            across((-wide, high), (wide, high)),
            2 * wide,
            "over both",
            across((-wide, 0.0), (wide, 0.0)),
        ),
        Measure(
            across((-y.outlet.od / 2, low), (y.outlet.od / 2, low)),
            float(y.outlet.od),
            "outlet",
            across((-y.outlet.od / 2, 0.0), (y.outlet.od / 2, 0.0)),
        ),
    )
    spot = float(y.outlet.od) / 2 * np.sin(np.pi / 4)
    notes = (Note((1.25 * far, 0.9 * high), "outlet", (float(spot), float(spot))),)
    return Pose(
        "Across it at the outlet's face", "along the outlet", tuple(shapes), measures, notes
    )
