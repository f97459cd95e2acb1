"""The finished parallel X from above and across its middle, to scale."""

from __future__ import annotations

import numpy as np

from exhaust.cutmath.plan_legs import pieces
from exhaust.cutmath.pose import Measure, Note, Pose, Shape, across, cut_faces, middle_of
from exhaust.joints import ParallelX


def plan(x: ParallelX) -> tuple[Pose, Pose]:
    """Return (plan, section): the joint from above, and across its middle.

    >>> from exhaust import Bend, Tube
    >>> bend = Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")
    >>> [view.title for view in plan(ParallelX(bend, cutback=0.28))]
    ['The parallel X', 'Across its middle']
    """
    return _from_above(x), _middle(x)


def _from_above(x: ParallelX) -> Pose:
    main, legs = pieces(x)
    sides = [np.array([side, 1.0]) for side in (1.0, -1.0)]
    corners = [np.array([side, end]) for side in (1.0, -1.0) for end in (1.0, -1.0)]
    mirrored = [Shape("kept", main * sign) for sign in sides]
    mirrored += [leg._replace(points=leg.points * sign) for leg in legs for sign in corners]
    od, half, length = float(x.tube.od), x.spacing / 2, x.overall_length / 2
    tip = x.opening_length / 2
    seam = Shape("blade", np.array([(0.0, -tip), (0.0, tip)]), closed=False)
    above, below, aside = length + 0.3 * od, -length - 0.6 * od, half + od / 2 + 0.35 * od
    wide = x.outside_width / 2
    measures = (
        Measure(
            across((-half, above), (half, above)),
            x.spacing,
            "centre to centre",
            np.array([(-half, length), (half, length)]),
        ),
        Measure(
            across((-wide, below), (wide, below)),
            x.outside_width,
            "outside",
            np.array([(-wide, -length), (wide, -length)]),
        ),
        Measure(
            across((aside, -length), (aside, length)),
            x.overall_length,
            "end to end",
            np.array([(wide, -length), (wide, length)]),
        ),
    )
    notes = (
        Note((-1.05 * half - 0.3 * od, 0.0), "seam", (0.0, 0.25 * tip)),
        Note(((od - x.cut_depth) / 2, 0.0), "A"),
        Note(middle_of(legs[1].points), "B"),
    )
    return Pose("The parallel X", "from above", (*mirrored, seam), measures, notes)


def _middle(x: ParallelX) -> Pose:
    a, ai = x.tube.od / 2, x.tube.inside_diameter / 2
    level = a - x.cut_depth
    half = x.opening_height / 2
    wide = 2 * a - x.cut_depth
    high = a * 1.25
    measures = (
        Measure(
            across((0.0, -half), (0.0, half)),
            x.opening_height,
            "opening",
        ),
        Measure(
            across((-wide, high), (wide, high)),
            2 * wide,
            "over both",
            np.array([(-wide, 0.0), (wide, 0.0)]),
        ),
    )
    shapes = tuple(cut_faces(a, ai, level))
    return Pose("Across its middle", "along the tubes", shapes, measures, ())
