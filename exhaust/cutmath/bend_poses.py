"""Drawings of bends and straights as they sit in the saw, to scale."""

from __future__ import annotations

import math

import numpy as np

from exhaust.cutmath.cutsheet import fits
from exhaust.cutmath.pose import (
    BendView,
    Measure,
    Note,
    Points,
    Pose,
    Shape,
    across,
    arc,
    box,
    halves_of_ring,
)
from exhaust.geometry.elbow import middle_height
from exhaust.joints import ParallelX, YMerge
from exhaust.stock import Bend, Saw, Tube

ABOVE = "bend flat on the deck, from above"
MIDDLE = "The same cut at the middle of the bend"


def _view(bend: Bend, half_angle: float, straight: float) -> BendView:
    radius = bend.tube.od / 2
    return BendView(bend.clr, radius, half_angle, half_angle, straight, straight)


def extent(bend: Bend, straight: float, x: ParallelX) -> tuple[float, float]:
    """Return (chord, depth) of the main bend: along the line through its ends, and across [m]."""
    outline = _view(bend, x.half_angle, straight).outline()
    chord, depth = np.ptp(outline, axis=0)
    return float(chord), float(depth)


def slices(bend: Bend, straight: float, x: ParallelX, saw: Saw) -> tuple[Pose, ...]:
    """Return the heel slice: square to the bend's plane, and the section at its middle."""
    chord, _ = extent(bend, straight, x)
    od = float(x.tube.od)
    plan = slice_plan(_view(bend, x.half_angle, straight), x, saw)
    if fits(saw, od, chord) or not fits(saw, chord, od):
        return plan._replace(seen_from=ABOVE), section(x, saw)
    standing = plan._replace(seen_from="bend standing against a tall stop, from the side")
    return on_deck(standing.turned(-math.pi / 2)), section(x, saw)


def on_deck(pose: Pose) -> Pose:
    """Return the pose with the deck under the lowest point of the work."""
    on_it = ("kept", "waste", "stop")
    work = np.vstack([shape.points for shape in pose.shapes if shape.role in on_it])
    floor = min(shape.points[:, 1].min() for shape in pose.shapes if shape.role == "kept")
    left, right = work[:, 0].min(), work[:, 0].max()
    more, thick = 0.12 * (right - left), 0.05 * (right - left)
    deck = Shape("deck", box(left - more, floor - thick, right + more, floor))
    return pose._replace(shapes=(deck, *pose.shapes))


def slice_plan(view: BendView, x: ParallelX, saw: Saw) -> Pose:
    """Return the heel slice square to the plane of a bend, whose ends may be unlike."""
    od, back, inner = float(x.tube.od), view.clr + view.radius, view.clr - view.radius
    kept_face = back - x.cut_depth
    kept, _ = view.sliced(x.cut_depth)
    _, slug = view.sliced(x.cut_depth - saw.kerf)
    half_chord = float(np.ptp(view.outline()[:, 0])) / 2
    reach = half_chord + 0.25 * od
    tip = x.opening_length / 2
    shapes = (
        Shape("kept", kept),
        Shape("waste", slug),
        Shape("blade", box(-reach, kept_face, reach, kept_face + saw.kerf)),
        Shape("stop", box(-0.6 * od, back, 0.6 * od, back + 0.18 * od)),
        Shape("centre", view.centreline(), closed=False),
        Shape("centre", np.array([(0, view.clr - 1.3 * view.radius), (0, back + 0.1 * od)]), False),
    )
    below, aside = kept_face - 0.28 * od, reach + 0.1 * od
    measures = (
        Measure(
            across((aside, kept_face), (aside, back)),
            x.cut_depth,
            "stop to far face",
            np.array([(reach, kept_face), (0.6 * od, back)]),
        ),
        Measure(
            across((-tip, below), (tip, below)),
            x.opening_length,
            "opening",
            np.array([(-tip, kept_face), (tip, kept_face)]),
        ),
    )
    notes = (
        Note((0.9 * od, back + 0.3 * od), "stop", (0.5 * od, back + 0.09 * od)),
        Note((-reach, kept_face + 0.35 * od), "blade", (-reach + 0.05 * od, kept_face)),
        Note((0.0, inner - 0.3 * od), "clamp this side", (0.0, inner + 0.15 * od)),
        Note((0.35 * od, back - 0.55 * (x.cut_depth - saw.kerf)), "slug"),
    )
    return Pose("Slice the heel", "", shapes, measures, notes)


def section(x: ParallelX | YMerge, saw: Saw, title: str = MIDDLE) -> Pose:
    """Return the heel slice across the middle of the bend."""
    od = float(x.tube.od)
    a, ai = od / 2, x.tube.inside_diameter / 2
    level = a - x.cut_depth
    kept, _ = halves_of_ring(a, ai, level)
    _, slug = halves_of_ring(a, ai, level + saw.kerf)
    height = middle_height(x.elbow, a)
    half = height / 2
    shapes = (
        Shape("kept", kept),
        Shape("waste", slug),
        Shape("blade", box(-1.25 * a, level, 1.25 * a, level + saw.kerf)),
        Shape("stop", box(-0.7 * a, a, 0.7 * a, a + 0.35 * a)),
        Shape("centre", np.array([(0, -1.15 * a), (0, 1.15 * a)]), False),
    )
    under, right, left = level - 0.3 * a, 1.5 * a, -1.5 * a
    measures = (
        Measure(
            across((-half, under), (half, under)),
            height,
            "height",
            np.array([(-half, level), (half, level)]),
        ),
        Measure(
            across((right, level), (right, a)),
            x.cut_depth,
            "depth",
            np.array([(1.25 * a, level), (0.7 * a, a)]),
        ),
        Measure(
            across((left, -a), (left, level)),
            od - x.cut_depth,
            "left",
            np.array([(0.0, -a), (-1.25 * a, level)]),
        ),
    )
    return Pose(title, "along the tube", shapes, measures, ())


def trim(bend: Bend, cut: float, saw: Saw) -> Pose:
    """Return the cut that trims one end of a bend square to the tube, `cut` [rad] off middle."""
    half, straight = bend.half_angle, float(bend.tangent)
    gap = saw.kerf / bend.clr
    parts = (("kept", -half, cut, straight, 0.0), ("waste", cut + gap, half, 0.0, straight))
    shapes = tuple(_piece(bend, *part) for part in parts)
    measure = _round_heel(bend, 0.0, cut)
    note = Note((-0.5 * bend.clr, 0.87 * bend.clr), "clamp (kept)")
    return _radial_cut(
        bend, cut, saw, Pose("Trim the main bend", ABOVE, shapes, (measure,), (note,))
    )


def shorten(bend: Bend, left: float, saw: Saw) -> Pose:
    """Return the cut that takes a straight end down to `left` [m], square to the tube."""
    radius, theta = bend.tube.od / 2, bend.half_angle
    view = BendView(bend.clr, radius, theta, theta, float(bend.tangent), left)
    heading = np.array([math.cos(theta), -math.sin(theta)])
    outward = np.array([math.sin(theta), math.cos(theta)])

    def on_leg(corners: Points) -> Points:
        """Corners given along the straight, and out from the bend's centre."""
        return np.outer(corners[:, 0], heading) + np.outer(corners[:, 1], outward)

    inner, outer = bend.clr - radius, bend.clr + radius
    blade = box(left, inner - 0.5 * radius, left + saw.kerf, outer + 0.7 * radius)
    off = box(left + saw.kerf, inner, max(float(bend.tangent), left + saw.kerf), outer)
    lifted = outer + 0.24 * radius
    path, feet = across((0.0, lifted), (left, lifted)), across((0.0, outer), (left, outer))
    x, y = on_leg(across((left, inner - 0.8 * radius), (left, outer)))[0]
    shapes = (
        Shape("kept", view.outline()),
        Shape("waste", on_leg(off)),
        Shape("blade", on_leg(blade)),
    )
    measures = (Measure(on_leg(path), left, "left", on_leg(feet)),) if left > 0 else ()
    notes = (Note((float(x), float(y)), "blade, square to the tube"),)
    return Pose("Shorten a straight end", ABOVE, shapes, measures, notes).turned(theta)


def in_halves(bend: Bend, saw: Saw, title: str) -> Pose:
    """Return the cut through the middle of a bend, the blade astride it."""
    half, straight = bend.half_angle, float(bend.tangent)
    whole = _piece(bend, "kept", -half, half, straight, straight)
    measure = _round_heel(bend, -half, 0.0, straight)
    return _radial_cut(bend, 0.0, saw, Pose(title, ABOVE, (whole,), (measure,), ()))


def halve(bend: Bend, x: ParallelX | YMerge, saw: Saw) -> Pose:
    """Return the cut that makes returns from a bend."""
    if not x.trimmed:
        return in_halves(bend, saw, "Halve the return bend")
    half, straight = bend.half_angle, float(bend.tangent)
    cut, gap = x.half_angle - half, saw.kerf / bend.clr
    parts = (
        ("kept", -half, cut, straight, 0.0),
        ("waste", cut + gap, -cut - gap, 0.0, 0.0),
        ("kept", -cut, half, 0.0, straight),
    )
    shapes = tuple(_piece(bend, *part) for part in parts if part[1] < part[2])
    measure = _round_heel(bend, -half, cut, straight)
    return _radial_cut(bend, cut, saw, Pose("Cut a return", ABOVE, shapes, (measure,), ()))


def _piece(bend: Bend, role: str, start: float, end: float, before: float, after: float) -> Shape:
    """The part of a bend from angle `start` to `end`, with straights `before` and `after`."""
    view = BendView(bend.clr, bend.tube.od / 2, -start, end, before, after)
    return Shape("kept" if role == "kept" else "waste", view.outline())


def _round_heel(bend: Bend, start: float, end: float, before: float = 0.0) -> Measure:
    """The way round the heel from angle `start` to `end`, the straight `before` it counted."""
    heel = bend.clr + bend.tube.od / 2
    back = before * np.array([-math.cos(start), math.sin(start)])
    paths = [arc(radius, start, end) for radius in (heel, heel + 0.12 * bend.tube.od)]
    if before:
        paths = [np.vstack((path[0] + back, path)) for path in paths]
    on, off = paths
    value = heel * (end - start) + before
    return Measure(off, value, "round the heel", on[[0, -1]])


def _radial_cut(bend: Bend, angle: float, saw: Saw, side: Pose) -> Pose:
    """Add a blade square to the tube at `angle` from the middle, and turn it upright.

    The kerf falls beyond the cut, or astride it when a bend is halved.
    """
    radius = bend.tube.od / 2
    inner, outer = bend.clr - 1.5 * radius, bend.clr + 1.7 * radius
    near = -saw.kerf / 2 if angle == 0 else 0.0
    centre = Shape("centre", arc(bend.clr, -bend.half_angle, bend.half_angle), closed=False)
    turned = side._replace(shapes=(*side.shapes, centre)).turned(angle)
    blade = Shape("blade", box(near, inner, near + saw.kerf, outer))
    label = Note((0.0, inner - 0.3 * radius), "blade, square to the tube")  # the heel is measured
    return turned._replace(shapes=(*turned.shapes, blade), notes=(*turned.notes, label))


def straight(tube: Tube, length: float, saw: Saw) -> Pose:
    """Return the square cut of a straight piece against the stop."""
    od = float(tube.od)
    a = od / 2
    stock = max(1.6 * od, 1.5 * length)
    shapes = (
        Shape("kept", box(0.0, -a, length, a)),
        Shape("kept", box(length + saw.kerf, -a, length + stock, a)),
        Shape("blade", box(length, -1.4 * a, length + saw.kerf, 1.4 * a)),
        Shape("stop", box(-0.18 * od, -1.1 * a, 0.0, 1.1 * a)),
        Shape("centre", np.array([(-0.3 * od, 0.0), (length + stock + 0.1 * od, 0.0)]), False),
    )
    low = -max(1.6 * a, a + 0.07 * (length + stock))  # its text clear of a long thin tube
    path, feet = across((0.0, low), (length, low)), np.array([(0.0, -a), (length, -a)])
    measures = (Measure(path, length, "stop to near face", feet),)
    notes = (
        Note((length + 0.62 * stock, 0.0), "vice on this side"),
        Note((-0.12 * od, 1.45 * a), "stop"),
        Note((length, 1.65 * a), "blade"),
    )
    title = "Saw a straight"
    return Pose(title, "tube flat on the deck, from above", shapes, measures, notes)
