"""Drawings of a mitred leg as it sits in the saw, to scale; seen from above but for the section."""

from __future__ import annotations

import math

import numpy as np

from exhaust.cutmath.dial import dialled
from exhaust.cutmath.pose import Measure, Note, Points, Pose, Shape, across, box, clipped
from exhaust.geometry import splayed
from exhaust.joints.splayed_end import MitredEnd
from exhaust.show import quantity
from exhaust.stock import Saw


def outline(end: MitredEnd) -> Points:
    """Return the corners of a mitred leg in `geometry`'s axes: x to the seam, y along the joint.

    From the long point: long point, short point, the two corners of the square end.
    """
    a, c, s = end.radius, math.cos(end.angle), math.sin(end.angle)
    axis, heel = np.array([-s, c]), np.array([c, s])
    beyond = a * math.tan(end.mitre_angle)
    return np.array(
        [
            a * heel - beyond * axis,
            -a * heel + beyond * axis,
            -a * heel + end.length * axis,
            a * heel + end.length * axis,
        ]
    )


def sliced(end: MitredEnd, level: float, kept: bool = True) -> Points:
    """Return the part of the leg short of (or past) the plane x = `level` [m]."""
    swapped = clipped(outline(end)[:, ::-1], level, keep_below=kept)
    return swapped[:, ::-1]


def _turned(points: Points, angle: float) -> Points:
    c, s = math.cos(angle), math.sin(angle)
    turned: Points = points @ np.array([[c, s], [-s, c]])
    return turned


def mitre_cut(end: MitredEnd, saw: Saw, which: str = "") -> Pose:
    """Return the mitre: the blank lies along x, its square end on the stop, heel line nearest."""
    a, m, dust = end.radius, end.mitre_angle, saw.kerf / math.cos(end.mitre_angle)
    long, short = end.long_side, end.short_side
    total = 2.0 * end.length + dust
    reach = 1.5 * a
    shift = reach * math.tan(m)
    middle = end.length
    blade = np.array(
        [
            (middle + shift, -reach),
            (middle + shift + dust, -reach),
            (middle - shift + dust, reach),
            (middle - shift, reach),
        ]
    )
    kept = np.array([(0.0, -a), (long, -a), (short, a), (0.0, a)])
    mate = np.array([(long + dust, -a), (total, -a), (total, a), (short + dust, a)])
    stop = box(-0.36 * a, -1.1 * a, 0.0, 1.1 * a)
    shapes = [Shape("kept", kept), Shape("kept", mate), Shape("blade", blade), Shape("stop", stop)]
    shapes.append(Shape("centre", np.array([(-0.5 * a, 0.0), (total + 0.2 * a, 0.0)]), False))
    low, high = -2.1 * a, 1.9 * a
    measures = (
        Measure(across((0.0, low), (long, low)), long, "heel line", across((0, -a), (long, -a))),
        Measure(
            across((0.0, high), (short, high)), short, "outer line", across((0, a), (short, a))
        ),
    )
    at = dialled(m, saw)
    words = f"blade {quantity(at.dial, 'angle')} from square"
    if at.wedge:
        words += f", tube on a wedge of {quantity(at.wedge, 'angle')}"
    notes = (
        Note((middle - shift + 1.6 * a, 2.7 * a), words, (middle - shift + dust, reach)),
        Note((-0.2 * a, 1.5 * a), "stop"),
        Note((0.3 * long, 0.45 * a), "clamp"),
        Note((0.5 * (long + dust + total), 0.45 * a), "second leg"),
    )
    title = f"Mitre two legs with one cut{which}"
    return Pose(title, "tube flat on the deck, from above", tuple(shapes), measures, notes)


def long_cut(end: MitredEnd, saw: Saw, which: str = "") -> tuple[Pose, Pose]:
    """Return the long cut: the mitre face on the fence from above, and along the fence."""
    return _from_above(end, saw, which), _face(end, saw)


def _from_above(end: MitredEnd, saw: Saw, which: str) -> Pose:
    a, leg, tilt = end.radius, end.leg, end.tilt
    plane, lowest = leg.plane, leg.corner
    half = end.mitre_opening / 2.0
    kept, slug = sliced(end, plane), sliced(end, plane + saw.kerf, kept=False)
    blade = box(plane, lowest - 0.7 * a, plane + saw.kerf, lowest + end.run_out + 0.6 * a)
    parts = [Shape("kept", kept), Shape("waste", slug), Shape("blade", blade)]
    shapes = [part._replace(points=_turned(part.points, -tilt)) for part in parts]
    corner, tip = _turned(np.array([(plane, lowest), (plane, lowest + end.run_out)]), -tilt)
    edge = float(corner[0])
    wide = 0.5 * a
    shapes.append(Shape("stop", box(-half - wide, -0.45 * a, edge - 0.15 * a, 0.0)))
    shapes.append(Shape("stop", box(edge + 0.3 * a, -0.45 * a, half + wide, 0.0)))
    axis = _turned(
        end.length * np.array([(0.0, 0.0), (-math.sin(end.angle), math.cos(end.angle))]), -tilt
    )
    shapes.append(Shape("centre", axis, closed=False))
    low, side = -1.3 * a, half + 0.9 * a
    measures = (
        Measure(
            across((-half, low), (edge, low)), end.kept_width, "keep", across((-half, 0), (edge, 0))
        ),
        Measure(
            np.array([corner, tip]) + np.array([side - edge, 0.0]),
            end.run_out,
            "run-out",
            np.array([corner, tip]),
        ),
    )
    lean = f"blade {quantity(abs(tilt), 'angle')} from square to the fence"
    if abs(tilt) < 1e-9:
        lean = "blade square to the fence"
    place = _turned(np.array([(plane, lowest + end.run_out + 0.6 * a)]), -tilt)[0]
    wedge = axis[0] + 0.62 * (axis[1] - axis[0])
    notes = (
        Note(
            (float(place[0]) + 0.6 * a, float(place[1]) + 0.4 * a),
            lean,
            (float(place[0]), float(place[1])),
        ),
        Note((half + 1.7 * a, -0.22 * a), "fence"),
        Note((float(wedge[0]), float(wedge[1])), "clamp over\nwedge block"),
    )
    title = f"The long cut{which}"
    return Pose(title, "mitre face on the fence, from above", tuple(shapes), measures, notes)


def _ellipse(end: MitredEnd, radius: float) -> Points:
    turn = np.linspace(0.0, 2.0 * math.pi, 181)
    wide = radius / math.cos(end.mitre_angle)
    return np.column_stack((wide * np.cos(turn), end.radius + radius * np.sin(turn)))


def _face(end: MitredEnd, saw: Saw) -> Pose:
    """The mitre face as the fence sees it: half line half a diameter above the table."""
    a, half = end.radius, end.mitre_opening / 2.0
    cut = end.kept_width - half
    far = cut + saw.kerf / math.cos(end.tilt)
    ring = _ellipse(end, a)
    bore = _ellipse(end, end.leg.bore)
    height = splayed.seam_height(end.leg, a)
    shapes = (
        Shape("deck", box(-1.5 * half, -0.3 * a, 1.5 * half, 0.0)),
        Shape("kept", ring),
        Shape("centre", bore, closed=False),
        Shape("blade", box(cut, -0.3 * a, far, 2.4 * a)),
        Shape("centre", across((-1.3 * half, a), (1.3 * half, a)), closed=False),
    )
    side, top = -1.35 * half, 2.75 * a
    measures = (
        Measure(across((side, 0.0), (side, a)), a, "half line", across((0.0, 0.0), (-half, a))),
        Measure(
            across((-half, top), (cut, top)),
            end.kept_width,
            "keep",
            across((-half, a), (cut, 2.4 * a)),
        ),
        Measure(
            across((1.35 * half, a - height / 2.0), (1.35 * half, a + height / 2.0)),
            height,
            "seam height",
            across((cut, a - height / 2.0), (cut, a + height / 2.0)),
        ),
    )
    notes = (Note((0.0, -0.15 * a), "table"), Note((0.5 * (far + half), 0.72 * a), "slug"))
    return Pose("The same cut on the mitre face", "from the fence", shapes, measures, notes)
