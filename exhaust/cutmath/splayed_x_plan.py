"""The finished splayed X from above and on the plane of its mitres, to scale."""

from __future__ import annotations

import numpy as np

from exhaust.cutmath.pose import MIRRORS, Measure, Note, Points, Pose, Shape, across
from exhaust.cutmath.splayed_x_poses import sliced
from exhaust.joints import SplayedX
from exhaust.joints.splayed_end import MitredEnd
from exhaust.show import quantity


def plan(x: SplayedX) -> tuple[Pose, Pose]:
    """Return (plan, section): the joint from above, and across it at the mitres.

    >>> from exhaust import SplayedX, Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> x = SplayedX(tube, included_angle="45 deg", cutback=0.3, leg_length="9 in")
    >>> [view.title for view in plan(x)]
    ['The splayed X', 'Across it at the mitres']
    """
    return _from_above(x), _across(x)


def legs(end: MitredEnd, up: bool) -> list[Shape]:
    """Return the two legs of an end about the seam, x = 0; the mitres go through y = 0."""
    flip = np.array([1.0, 1.0 if up else -1.0])
    shift = np.array([end.leg.plane, 0.0])
    kept, axis = sliced(end, end.leg.plane) - shift, _axis(end) - shift
    found = []
    for side in MIRRORS:
        found.append(Shape("kept", kept * flip * side))
        found.append(Shape("centre", axis * flip * side, closed=False))
    return found


def _axis(end: MitredEnd) -> Points:
    run = end.length * np.array([-np.sin(end.angle), np.cos(end.angle)])
    return np.vstack((np.zeros(2), run))


def _at(end: MitredEnd, along: float, across_leg: float) -> tuple[float, float]:
    """Return a point of the left-hand leg of an end drawn upward, in shares of length and radius.

    `along` from the middle of the mitre, `across_leg` toward the heel.
    """
    c, s = float(np.cos(end.angle)), float(np.sin(end.angle))
    r, h = along * end.length, across_leg * end.radius
    return -r * s + h * c - end.leg.plane, r * c + h * s


def _lines_marked(end: MitredEnd) -> tuple[Note, Note]:
    """Return the notes that show the lines a leg is clocked by, beside an end drawn upward."""
    outer, heel = _at(end, 0.5, -1.0), _at(end, 0.66, 1.0)
    return (
        Note((outer[0] - 1.9 * end.radius, outer[1] + 0.4 * end.radius), "outer\nline", outer),
        Note((0.0, heel[1]), "heel line", heel),
    )


def _end_measures(end: MitredEnd, up: bool, total: float) -> tuple[Measure, Measure]:
    """Return the spacing and the outside width of an end, clear of a drawing `total` [m] long."""
    sign = 1.0 if up else -1.0
    centre = end.length * float(np.cos(end.angle))
    low = centre - end.radius * float(np.sin(end.angle))
    half, wide = end.spacing / 2.0, end.outside_width / 2.0
    text = 0.065 * total  # room for a line of text, which stands above its dimension
    first = 1.0 if up else 1.6
    near, far = (sign * (end.reach + lines * text) for lines in (first, first + 1.4))
    return (
        Measure(
            across((-half, near), (half, near)),
            end.spacing,
            "centre to centre",
            across((-half, sign * centre), (half, sign * centre)),
        ),
        Measure(
            across((-wide, far), (wide, far)),
            end.outside_width,
            "outside",
            across((-wide, sign * low), (wide, sign * low)),
        ),
    )


def _from_above(x: SplayedX) -> Pose:
    first, last = x.entry, x.exit
    top = first.leg.corner + first.run_out
    bottom = -(last.leg.corner + last.run_out)
    seam = Shape("blade", across((0.0, bottom), (0.0, top)), closed=False)
    shapes = [*legs(first, True), *legs(last, False), seam]
    wide = max(first.outside_width, last.outside_width) / 2.0 + 0.7 * first.radius
    inside = -0.5 * wide
    measures = (
        *_end_measures(first, True, x.overall_length),
        *_end_measures(last, False, x.overall_length),
        Measure(
            across((wide, -last.reach), (wide, first.reach)),
            x.overall_length,
            "end to end",
            across((last.exit_offset, -last.reach), (first.exit_offset, first.reach)),
        ),
        Measure(
            across((inside, bottom), (inside, top)),
            x.opening_length,
            "opening",
            across((0.0, bottom), (0.0, top)),
        ),
    )
    (ax, ay), (bx, by) = _at(first, 0.75, 0.0), _at(last, 0.75, 0.0)
    face = 0.8 * first.kept_width * float(np.cos(first.tilt))
    notes = (
        Note((0.0, 0.85 * first.reach), quantity(x.included_angle, "angle")),
        Note((0.0, -0.8 * last.reach), quantity(x.exit_angle, "angle")),
        Note((-ax, ay), "A"),
        Note((-bx, -by), "B"),
        Note((0.7 * wide, 0.0), "mitre", (face, face * float(np.tan(first.tilt)))),
        *_lines_marked(first),
    )
    return Pose("The splayed X", "from above, entry at the top", tuple(shapes), measures, notes)


def kept_face(end: MitredEnd, radius: float, count: int = 121) -> Points:
    """Return the edge of a sliced mitre face on one surface; the seam is at x = 0, sides x > 0.

    Seen square to the mitre.
    """
    stretch, cut = 1.0 / np.cos(end.mitre_angle), end.leg.offset
    last = np.pi - np.arccos(np.clip(cut / radius, -1.0, 1.0))
    turn = np.linspace(-last, last, count)
    x = (radius * np.cos(turn) + cut) * stretch
    return np.column_stack((x, radius * np.sin(turn)))


def _face_shapes(end: MitredEnd) -> list[Shape]:
    """Return both sides' faces in section: outer edge round, inner edge back."""
    ring = np.vstack((kept_face(end, end.radius), kept_face(end, end.leg.bore)[::-1]))
    return [Shape("kept", ring * side) for side in MIRRORS]


def _across(x: SplayedX) -> Pose:
    end = x.entry
    high, low = 1.35 * end.radius, -1.35 * end.radius
    height, wide = end.seam_height / 2.0, end.kept_width
    measures = (
        Measure(across((0.0, -height), (0.0, height)), end.seam_height, "seam"),
        Measure(
            across((-wide, high), (wide, high)),
            2.0 * wide,
            "over both",
            across((-wide, 0.0), (wide, 0.0)),
        ),
        Measure(
            across((0.0, low), (wide, low)),
            wide,
            "keep",
            across((0.0, -height), (wide, 0.0)),
        ),
    )
    return Pose(
        "Across it at the mitres", "square to a mitre face", tuple(_face_shapes(end)), measures, ()
    )
