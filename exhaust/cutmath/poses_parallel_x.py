"""Drawings of a parallel X's pieces as they sit in the saw, to scale."""

from __future__ import annotations

import math

import numpy as np

from exhaust.cutmath.cutsheet import fits
from exhaust.cutmath.pose import BendView, Measure, Note, Pose, Shape, arc, box
from exhaust.joints import ParallelX
from exhaust.stock import Bend, Saw, Tube


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
    plan = _slice_plan(_view(bend, x.half_angle, straight), x, saw)
    if fits(saw, od, chord) or not fits(saw, chord, od):
        lying = plan._replace(title="Slice the heel", seen_from="bend flat on the deck, from above")
        return lying, _section(x, saw)
    standing = plan._replace(
        title="Slice the heel", seen_from="bend standing on one end against a tall stop, from the side"
    )
    return standing.turned(-math.pi / 2), _section(x, saw)


def _slice_plan(view: BendView, x: ParallelX, saw: Saw) -> Pose:
    od, back = float(x.tube.od), view.clr + view.radius
    kept_face = back - x.cut_depth
    kept, slug = view.sliced(x.cut_depth)
    _, slug = BendView(*view).sliced(x.cut_depth - saw.kerf)
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
    below = kept_face - 0.28 * od
    measures = (
        Measure((reach, kept_face), (reach, back), x.cut_depth, "stop to far face"),
        Measure((-tip, below), (tip, below), x.opening_length, "opening"),
    )
    notes = (
        Note((0.0, back + 0.36 * od), "stop", (0.0, back + 0.12 * od)),
        Note((-reach, kept_face + 0.35 * od), "blade", (-reach + 0.05 * od, kept_face)),
        Note((0.0, view.clr - 0.62 * view.radius), "clamp this side (kept)"),
        Note((0.3 * od, back - 0.5 * (x.cut_depth - saw.kerf)), "slug"),
    )
    return Pose("", "", shapes, measures, notes)


def _section(x: ParallelX, saw: Saw) -> Pose:
    od = float(x.tube.od)
    a, ai = od / 2, x.tube.inside_diameter / 2
    level = a - x.cut_depth
    ring = _ring(a, ai)
    half = x.opening_height / 2
    shapes = (
        Shape("kept", _below(ring, level)),
        Shape("waste", _above(ring, level + saw.kerf)),
        Shape("blade", box(-1.25 * a, level, 1.25 * a, level + saw.kerf)),
        Shape("stop", box(-0.7 * a, a, 0.7 * a, a + 0.35 * a)),
        Shape("centre", np.array([(0, -1.15 * a), (0, 1.15 * a)]), False),
    )
    measures = (
        Measure((-half, level - 0.3 * a), (half, level - 0.3 * a), x.opening_height, "height"),
        Measure((1.7 * a, level), (1.7 * a, a), x.cut_depth, "depth"),
        Measure((-1.7 * a, -a), (-1.7 * a, level), od - x.cut_depth, "left"),
    )
    return Pose("The same cut at the middle of the bend", "along the tube", shapes, measures, ())


def _ring(outer: float, inner: float) -> list[np.ndarray]:
    return [arc(outer, -math.pi, math.pi, 181), arc(inner, math.pi, -math.pi, 181)]


def _below(ring: list[np.ndarray], level: float) -> np.ndarray:
    return np.vstack([part[part[:, 1] <= level][_from_gap(part[:, 1] <= level)] for part in ring])


def _above(ring: list[np.ndarray], level: float) -> np.ndarray:
    return np.vstack([part[part[:, 1] >= level] for part in ring])


def _from_gap(inside: np.ndarray) -> np.ndarray:
    """Return the order that starts a kept arc just after the gap the cut leaves in it."""
    count = int(inside.sum())
    first = inside[: int(np.argmin(inside))].sum() if not inside.all() else 0
    return np.roll(np.arange(count), -int(first))


def trim(bend: Bend, x: ParallelX, saw: Saw) -> Pose:
    """Return the cut that trims one end of a bend square to the tube."""
    view = _view(bend, bend.half_angle, bend.tangent)
    pose = _radial_cut(view, x.half_angle, saw, centred=False)
    outer = view.clr + view.radius
    measures = (
        Measure((0.0, outer), _on(outer, x.half_angle), outer * x.half_angle, "round the heel"),
    )
    notes = (*pose.notes, Note((-0.5 * view.clr, view.clr), "clamp (kept)"))
    pose = pose._replace(title="Trim the main bend", measures=measures, notes=notes)
    return pose.turned(-x.half_angle)


def halve(bend: Bend, x: ParallelX, saw: Saw) -> Pose:
    """Return the cut that makes returns from a bend."""
    view = _view(bend, bend.half_angle, bend.tangent)
    outer = view.clr + view.radius
    left = view.end(outer, -1)
    if x.trimmed:
        angle = x.half_angle - bend.half_angle
        pose = _radial_cut(view, angle, saw, centred=False)._replace(title="Cut a return")
        heel = outer * x.half_angle + bend.tangent
        measures = (Measure(left, _on(outer, angle), heel, "round the heel"),)
        return pose._replace(measures=measures).turned(-angle)
    pose = _radial_cut(view, 0.0, saw, centred=True)._replace(title="Halve the return bend")
    heel = outer * bend.half_angle + bend.tangent
    return pose._replace(measures=(Measure(left, (0.0, outer), heel, "round the heel"),))


def _on(radius: float, angle: float) -> tuple[float, float]:
    return radius * math.sin(angle), radius * math.cos(angle)


def _radial_cut(view: BendView, angle: float, saw: Saw, centred: bool) -> Pose:
    """A blade along the radius at `angle` from the middle; the kerf beyond it, or astride."""
    inner, outer = view.clr - 1.5 * view.radius, view.clr + 1.6 * view.radius
    near = -saw.kerf / 2 if centred else 0.0
    across = np.array([(near, inner), (near + saw.kerf, inner), (near + saw.kerf, outer), (near, outer)])
    c, s = math.cos(angle), math.sin(angle)
    blade = across @ np.array([[c, -s], [s, c]])
    shapes = (
        Shape("kept", view.outline()),
        Shape("blade", blade),
        Shape("centre", view.centreline(), closed=False),
    )
    top = _on(outer, angle)
    notes = (Note((top[0], top[1] + 0.35 * view.radius), "blade, square to the tube"),)
    return Pose("", "bend flat on the deck, from above", shapes, (), notes)


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
    measures = (Measure((0.0, -1.25 * a), (length, -1.25 * a), length, "stop to near face"),)
    notes = (
        Note((length + 0.62 * stock, 0.45 * a), "vice on this side"),
        Note((-0.12 * od, 1.45 * a), "stop"),
        Note((length, 1.65 * a), "blade"),
    )
    title = "Saw a straight"
    return Pose(title, "tube flat on the deck, from above", shapes, measures, notes)
