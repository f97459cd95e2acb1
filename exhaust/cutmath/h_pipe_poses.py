"""Drawings of an H pipe's pieces at the saw and under the drill, to scale."""

from __future__ import annotations

import math

import numpy as np

from exhaust.cutmath.dial import dialled
from exhaust.cutmath.h_pipe_work import SIDES, End, HWork
from exhaust.cutmath.h_pipe_work import Hole as Drilled
from exhaust.cutmath.pose import Measure, Note, Points, Pose, Shape, across, arc, box
from exhaust.geometry.saddle_rough import FlatCut, short_point
from exhaust.show import quantity
from exhaust.stock import Saw

BESIDE = {1: "exit", -1: "entry"}
DRAWN = 2.2  # diameters of tube drawn behind a notch
SEAM_SHOWN = 0.75 * math.pi  # of the balance tube's own seam on the page, from its top [rad]


def roughs(end: End, saw: Saw, which: str = "") -> tuple[Pose, ...]:
    """Return the flat cuts of an end: in one drawing, or one each where the tube is rolled."""
    if not end.made:
        return ()
    if not end.saddle.offset:
        return (_rough(end, end.made, saw, which),)
    return tuple(_rough(end, (cut,), saw, which) for cut in end.made)


def _rough(end: End, cuts: tuple[FlatCut, ...], saw: Saw, which: str) -> Pose:
    """The tube from above, its square end at x = 0; the exit side of a left end up the page."""
    r, first, up = end.saddle.radius, cuts[0], _up(end)
    y = np.linspace(-r, r, 241)
    turn = np.arccos(np.clip(up * first.side * y / r, -1.0, 1.0))
    clock = first.line + first.side * turn  # of the lines that are seen from above
    level = np.max([np.zeros_like(y), *(cut.at(clock) - end.square for cut in cuts)], axis=0)
    long = max(DRAWN * 2.0 * r, 1.4 * float(level.max()))
    finished = np.array([end.finished(at) for at in clock])
    shapes = [
        Shape("kept", np.vstack((np.column_stack((level, y)), [(long, r), (long, -r)]))),
        Shape("waste", np.vstack((np.column_stack((level, y)), [(0.0, r), (0.0, -r)]))),
        Shape("centre", np.column_stack((finished, y)), closed=False),
        Shape("centre", across((-0.5 * r, 0.0), (long + 0.2 * r, 0.0)), closed=False),
    ]
    measures: list[Measure] = []
    notes = [Note((long - 0.5 * r, 0.45 * r), "vice"), _edge_note(finished, y, r)]
    if not end.saddle.offset:
        notes += [
            Note((long - 0.45 * r, up * side * 1.2 * r), f"{word} side")
            for side, word in BESIDE.items()
        ]
    for cut in cuts:
        found = _blade(end, cut, saw)
        shapes.append(found[0])
        measures.append(found[1])
        notes.append(found[2])
    rolled = end.saddle.offset != 0.0
    seen = "from above, top line up"
    if rolled:
        seen = f"from above, rolled until the cut's line is {lies(first)}"
    side = ", exit side" if first.side > 0 else ", entry side"
    title = f"Rough out the notch{which}{side if rolled else ''}"
    return Pose(title, seen, tuple(shapes), tuple(measures), tuple(notes))


def _up(end: End) -> float:
    """Whether the exit side is up the page (1) or down (-1) with the square end on the left."""
    return 1.0 if end.side == 0 else -1.0


def lies(cut: FlatCut) -> str:
    """Return where the line that a flat cut is set by lies: level, or up if it leans across."""
    return "level" if cut.angle > 0.0 else "up"


def _edge_note(finished: Points, y: Points, r: float) -> Note:
    place = int(np.argmin(np.abs(y + 0.15 * r)))
    at = (float(finished[place]), float(y[place]))
    return Note((at[0] + 1.1 * r, -0.45 * r), "finished edge", at)


def _blade(end: End, cut: FlatCut, saw: Saw) -> tuple[Shape, Measure, Note]:
    """The blade of a cut, the distance it is set by, and its angle in words."""
    r, lean, side = end.saddle.radius, math.tan(cut.angle), cut.side * _up(end)
    near = max(end.start(cut) - 0.35 * r, -1.35 * r) if cut.angle > 0.0 else -0.25 * r
    outward = np.array([near, 1.35 * r])
    x = cut.middle - end.square + lean * outward
    dust = saw.kerf / math.cos(cut.angle)
    band = np.column_stack(([*x, *(x[::-1] - dust)], side * np.array([*outward, *outward[::-1]])))
    shown = r if cut.angle > 0.0 else 0.0
    depth = end.depth(cut)
    out = side * 2.15 * r
    measure = Measure(
        across((0.0, out), (depth, out)),
        depth,
        "on the top line" if cut.angle < 0.0 and not end.saddle.offset else "on the cut's line",
        across((0.0, side * min(shown, r)), (depth, side * shown)),
    )
    at = dialled(cut.angle, saw)
    words = f"blade {quantity(at.dial, 'angle')}"
    if at.wedge:
        words += f"\nand a wedge of {quantity(at.wedge, 'angle')}"
    tip = (float(x[-1]), side * 1.35 * r)
    return Shape("blade", band), measure, Note((tip[0] + 1.3 * r, tip[1]), words, tip)


def clocking(work: HWork) -> Pose:
    """Return the lines round the balance tube, and where its notches are deepest."""
    h = work.h
    r = h.balance_tube.od / 2.0
    start = SEAM_SHOWN - 2.0 * math.pi  # the ring closes at the tube's own seam
    ring = (arc(r, start, SEAM_SHOWN, 121), arc(r - h.balance_tube.wall, SEAM_SHOWN, start, 121))
    lines = [
        Shape("centre", across((-1.25 * r, 0.0), (1.25 * r, 0.0)), closed=False),
        Shape("centre", across((0.0, -1.25 * r), (0.0, 1.25 * r)), closed=False),
    ]
    names = (
        *(((0.0, 1.9), "top, 12"), ((-1.75, 0.0), "exit side, 9")),
        *(((0.0, -1.5), "bottom, 6"), ((1.75, 0.0), "entry side, 3")),
    )
    notes = [Note((x * r, y * r), text) for (x, y), text in names]
    notes += [*_short_points(work, r), _seam(work, r)]
    shapes = (Shape("kept", np.vstack(ring)), *lines)
    quarter = Measure(arc(1.12 * r, 0.0, math.pi / 2.0, 31), math.pi * r / 2.0, "quarter")
    return Pose(
        "Clock the lines", "balance tube from its left end", shapes, (quarter,), tuple(notes)
    )


def _on_ring(clock: float, radius: float) -> tuple[float, float]:
    """Where a clock angle of `geometry` is drawn: the exit side on the left, the top up."""
    return -radius * math.cos(clock), radius * math.sin(clock)


def _short_points(work: HWork, r: float) -> list[Note]:
    if work.square and not work.h.offset:
        return [Note((0.0, 0.0), "notches deepest\nat 3 and 9")]
    found = []
    for end in work.ends:
        at = short_point(end.saddle)
        text = f"{SIDES[end.side]} notch\ndeepest"
        place = (0.0, (0.4, -0.4)[end.side] * r)
        found.append(Note(place, text, _on_ring(at, r)))
        if work.square:
            return [found[0]._replace(text="deepest,\nboth sides")]
    return found


def _seam(work: HWork, r: float) -> Note:
    at = -0.75 * math.pi  # midway between the bottom and the entry side
    return Note(_on_ring(at, 2.0 * r), "tube's own seam", _on_ring(at, r))


def drilling(work: HWork, hole: Drilled) -> tuple[Pose, ...]:
    """Return the primary under the drill: from its entry end, and from the side."""
    return _under_drill(work, hole), _along(work, hole)


def _under_drill(work: HWork, hole: Drilled) -> Pose:
    """Facing line up, from the entry: the top of a left primary is then on its left."""
    h, saddle = work.h, work.ends[hole.side].saddle
    a, bore = saddle.primary, saddle.bore
    flip = -1.0 if hole.side == 0 else 1.0  # which way the top lies
    e = flip * saddle.offset
    ring = (arc(a, -math.pi, math.pi, 181), arc(a - saddle.primary_wall, math.pi, -math.pi, 181))
    thick, top = 0.05 * a, 1.55 * a
    shapes = [Shape("kept", np.vstack(ring)), Shape("stop", _vee(a))]
    for side in (-1.0, 1.0):
        edge = e + side * bore
        low = math.sqrt(max(a**2 - edge**2, 0.0)) - 2.0 * saddle.primary_wall
        inner, outer = sorted((edge, edge - side * thick))
        shapes.append(Shape("blade", box(inner, low, outer, top)))
    shapes += [
        Shape("centre", across((e, 0.55 * a), (e, 1.9 * a)), closed=False),
        Shape("centre", across((0.0, -0.3 * a), (0.0, 1.25 * a)), closed=False),
    ]
    measures = [
        Measure(
            across((e - bore, 1.75 * a), (e + bore, 1.75 * a)),
            2.0 * bore,
            "hole saw",
            across((e - bore, top), (e + bore, top)),
        )
    ]
    if saddle.offset:
        place = 0.35 * a
        measures.append(Measure(across((0.0, place), (e, place)), abs(saddle.offset), "offset"))
    notes = (
        Note((flip * 1.4 * a, 0.0), "top"),
        Note((-flip * 1.45 * a, 0.95 * a), "facing line up", (0.0, a)),
        Note((0.0, -1.35 * a), "vee blocks"),
    )
    title = f"Drill the hole, {_which(work, hole)}"
    return Pose(
        title, f"from the entry end of {h.tube.name}", tuple(shapes), tuple(measures), notes
    )


def _vee(a: float) -> Points:
    """A vee block of a right angle under a tube of radius `a` [m]."""
    low, reach = -math.sqrt(2.0) * a, 0.95 * a
    return np.array(
        [
            (-reach, low - 0.35 * a),
            (reach, low - 0.35 * a),
            (reach, low + reach),
            (0.0, low),
            (-reach, low + reach),
        ]
    )


def _along(work: HWork, hole: Drilled) -> Pose:
    """The primary from the side, its entry end on the left, tilted under an upright spindle."""
    h, saddle = work.h, work.ends[hole.side].saddle
    a, long = saddle.primary, h.centreline_length
    pilot = np.array([hole.pilot, math.sqrt(a**2 - saddle.offset**2)])
    c, s = math.cos(hole.lean), math.sin(hole.lean)
    matrix = np.array([[c, s], [-s, c]])  # the drill's lean to the exit lifts that end

    def placed(points: list[tuple[float, float]]) -> Points:
        turned: Points = (np.array(points) - pilot) @ matrix
        return turned

    tube = placed([(0.0, -a), (long, -a), (long, a), (0.0, a)])
    axis = placed([(-0.2 * a, 0.0), (long + 0.2 * a, 0.0)])
    edges = placed([(hole.near, a), (hole.far, a)])
    bore, top = saddle.bore, 1.3 * a
    lowest = float(tube[:, 1].min())
    shapes = (
        Shape(
            "deck", box(float(tube[:, 0].min()), lowest - 0.2 * a, float(tube[:, 0].max()), lowest)
        ),
        Shape("kept", tube),
        *_wedge(tube),
        Shape("centre", axis, closed=False),
        Shape("blade", box(-bore, float(edges[:, 1].min()), -bore + 0.05 * a, top)),
        Shape("blade", box(bore - 0.05 * a, float(edges[:, 1].min()), bore, top)),
        Shape("centre", across((0.0, -1.2 * a), (0.0, top + 0.3 * a)), closed=False),
    )
    line = placed([(0.0, 2.7 * a), (hole.pilot, 2.7 * a)])
    under = placed([(hole.near, -1.45 * a), (hole.far, -1.45 * a)])
    measures = (
        Measure(line, hole.pilot, "entry end to pilot", placed([(0.0, a), (hole.pilot, a)])),
        Measure(under, hole.far - hole.near, "hole", placed([(hole.near, a), (hole.far, a)])),
    )
    tilt = (
        f"tube {quantity(abs(hole.lean), 'angle')} from level"
        if abs(hole.lean) > 1e-9
        else "tube level"
    )
    entry, leaving = placed([(0.35 * a, 0.0), (long - 0.35 * a, 0.0)])
    notes = (
        Note((float(entry[0]), float(entry[1])), "entry"),
        Note((float(leaving[0]), float(leaving[1])), "exit"),
        Note((bore + 1.9 * a, top + 0.5 * a), f"spindle upright,\n{tilt}", (0.0, top + 0.2 * a)),
    )
    seen = f"from the side, its {('bottom', 'top')[hole.side]} toward you"
    return Pose(f"Set it under the drill, {_which(work, hole)}", seen, shapes, measures, notes)


def _wedge(tube: Points) -> tuple[Shape, ...]:
    """What holds a tilted tube up, from its lower edge to the deck."""
    low, high = sorted(tube[:2].tolist(), key=lambda corner: float(corner[1]))
    if high[1] - low[1] < 1e-9:
        return ()
    return (Shape("stop", np.array([low, high, (high[0], low[1])])),)


def _which(work: HWork, hole: Drilled) -> str:
    return "either primary" if work.square and not work.h.offset else f"{SIDES[hole.side]} primary"
