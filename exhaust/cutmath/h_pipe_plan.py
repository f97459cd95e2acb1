"""The finished H pipe from above and across, to scale."""

from __future__ import annotations

import math

import numpy as np

from exhaust.cutmath.h_pipe_work import balance_marks, primary_marks
from exhaust.cutmath.pose import Measure, Note, Points, Pose, Shape, across
from exhaust.geometry.saddle import Saddle, meets_at
from exhaust.joints import HPipe
from exhaust.show import quantity

HALF = np.linspace(0.0, math.pi, 121)  # clock angles that are seen from above [rad]


def plan(h: HPipe) -> tuple[Pose, Pose]:
    """Return (plan, section): the joint from above, and through the balance tube.

    >>> from exhaust import HPipe, Tube
    >>> h = HPipe(Tube(od="3 in", wall="16 ga"), spacing="10 in")
    >>> [view.title for view in plan(h)]
    ['The H pipe', 'Across it, through the balance tube']
    """
    return _from_above(h), _across(h)


def _axis(h: HPipe) -> Points:
    """Direction of the balance tube in plan, from the left primary to the right one."""
    return np.array([math.sin(h.angle), math.cos(h.angle)])


def _flow(h: HPipe, side: int) -> Points:
    half = h.splay / 2.0
    return np.array([(-1.0, 1.0)[side] * math.sin(half), math.cos(half)])


def _met(h: HPipe, side: int) -> Points:
    """Where the axes cross in plan, from the middle of the balance tube [m]."""
    along = h.crossings[side] - h.centreline_length / 2.0
    middle = np.array([(-0.5, 0.5)[side] * h.balance_spacing, 0.0])
    found: Points = middle + along * _flow(h, side)
    return found


def notch(h: HPipe, side: int) -> Points:
    """Return the finished edge of an end, on the lines seen from above, in plan [m]."""
    saddle = h.saddles[side]
    u = _axis(h) * (1.0, -1.0)[side]
    beside = np.array([-_axis(h)[1], _axis(h)[0]])  # to the exit side
    out = meets_at(saddle.outside, HALF)
    found: Points = (
        _met(h, side) + np.outer(out, u) + np.outer(saddle.radius * np.cos(HALF), beside)
    )
    return found


def _primary(h: HPipe, side: int) -> tuple[Shape, Shape]:
    flow, a, half = _flow(h, side), h.tube.od / 2.0, h.centreline_length / 2.0
    normal = np.array([flow[1], -flow[0]])
    middle = np.array([(-0.5, 0.5)[side] * h.balance_spacing, 0.0])
    ends = middle - half * flow, middle + half * flow
    corners = [ends[0] - a * normal, ends[0] + a * normal, ends[1] + a * normal]
    axis = [middle - (half + 0.3 * a) * flow, middle + (half + 0.3 * a) * flow]
    corners.append(ends[1] - a * normal)
    return Shape("kept", np.array(corners)), Shape("centre", np.array(axis), closed=False)


def _split(h: HPipe) -> list[Shape]:
    """The room that a split joint takes, in the middle of what is whole all round."""
    if h.split is None:
        return []
    u, r = _axis(h), h.balance_tube.od / 2.0
    beside = np.array([-u[1], u[0]])
    deep = float(meets_at(h.saddles[0].outside, HALF).max())
    middle = _met(h, 0) + (deep + h.clear_length / 2.0) * u
    found = []
    for half, reach in ((h.split.length / 2.0, 1.25 * r), (h.split.gap / 2.0, 1.45 * r)):
        corners = [(-half, -reach), (half, -reach), (half, reach), (-half, reach)]
        points = middle + np.array([along * u + out * beside for along, out in corners])
        found.append(Shape("stop", points))
    return found


def _from_above(h: HPipe) -> Pose:
    left, right = notch(h, 0), notch(h, 1)
    tube = Shape("kept", np.vstack((left, right[::-1])))
    axis = np.vstack((_met(h, 0), _met(h, 1)))
    shapes = [*_primary(h, 0), *_primary(h, 1), tube, *_split(h)]
    shapes += [Shape("blade", edge, closed=False) for edge in (left, right)]
    shapes.append(Shape("centre", axis, closed=False))
    seen = f"from above; balance tube {h.balance_tube.name} at {quantity(h.angle, 'angle')}"
    return Pose(
        "The H pipe",
        seen,
        tuple(shapes),
        _plan_measures(h),
        _plan_notes(h),
    )


def _plan_measures(h: HPipe) -> tuple[Measure, ...]:
    a, half = h.tube.od / 2.0, h.splay / 2.0
    end = h.centreline_length / 2.0 * math.cos(half)
    aside = max(h.exit_spacing, h.entry_spacing) / 2.0 + 2.2 * a
    if not _level(h):  # there is a station beside it
        aside += 0.25 * max(h.outside_width, h.overall_length)
    text = 0.04 * max(2.0 * aside, h.overall_length)  # a line of it stands above its dimension
    top = h.overall_length / 2.0 + max(0.6 * a, text)
    low = -h.overall_length / 2.0 - max(0.9 * a, 1.8 * text)
    found = [
        Measure(
            across((-h.exit_spacing / 2.0, top), (h.exit_spacing / 2.0, top)),
            h.exit_spacing,
            "exit, centre to centre",
            across((-h.exit_spacing / 2.0, end), (h.exit_spacing / 2.0, end)),
        ),
        Measure(
            across((-h.entry_spacing / 2.0, low), (h.entry_spacing / 2.0, low)),
            h.entry_spacing,
            "entry, centre to centre",
            across((-h.entry_spacing / 2.0, -end), (h.entry_spacing / 2.0, -end)),
        ),
        Measure(
            across((aside, -h.overall_length / 2.0), (aside, h.overall_length / 2.0)),
            h.overall_length,
            "end to end",
            across((h.entry_spacing / 2.0, -end), (h.exit_spacing / 2.0, end)),
        ),
    ]
    return (*found, *_stations(h, a))


def _level(h: HPipe) -> bool:
    """Whether both crossings are as far from the entry."""
    return abs(h.crossings[0] - h.crossings[1]) < 1e-9


def _stations(h: HPipe, a: float) -> tuple[Measure, ...]:
    """From the entry end of each primary to where the balance tube's axis meets its axis."""
    found = []
    for side in (0,) if _level(h) else (0, 1):
        flow, out = _flow(h, side), (-1.0, 1.0)[side]
        normal = out * np.array([flow[1], -flow[0]]) * (1.45 * a)
        entry = _met(h, side) - h.crossings[side] * flow
        path = np.vstack((entry + normal, _met(h, side) + normal))
        feet = np.vstack((entry, _met(h, side)))
        found.append(Measure(path, h.crossings[side], "to the axis", feet))
    return tuple(found)


def _plan_notes(h: HPipe) -> tuple[Note, ...]:
    r = h.balance_tube.od / 2.0
    middle = (_met(h, 0) + _met(h, 1)) / 2.0
    u = _axis(h)
    beside = np.array([-u[1], u[0]])
    above = middle + 2.3 * r * beside
    notes = [
        Note(
            _pair(above),
            "top line: clocks\nboth notches",
            _pair(middle + 0.12 * h.clear_length * u),
        ),
    ]
    marks = primary_marks(h).split()
    for side in (0, 1):
        flow = _flow(h, side)
        start = _met(h, side) - h.crossings[side] * flow
        words = (*((0.1, "entry"), (0.9, "exit")), (0.3, marks[min(side, len(marks) - 1)]))
        notes += [
            Note(_pair(start + share * h.centreline_length * flow), word) for share, word in words
        ]
    pieces = balance_marks(h).split()
    places = (-0.33, 0.33) if h.split else (0.33,)
    for piece, place in zip((pieces[0], pieces[-1]), places, strict=False):
        notes.append(Note(_pair(middle + place * h.clear_length * u), piece))
    return tuple(notes)


def _pair(point: Points) -> tuple[float, float]:
    return float(point[0]), float(point[1])


def _across(h: HPipe) -> Pose:
    """The upright plane through the balance tube's axis, seen along the flow; walls in section.

    On it a primary is an ellipse, A/sin g by A; seen along the flow it is A sin(angle)/sin g wide.
    """
    lean, half = math.sin(h.angle), h.balance_length / 2.0
    shapes = [Shape("kept", wall) for wall in _walls(h)]
    for side, saddle in enumerate(h.saddles):
        centre = (-1.0, 1.0)[side] * half
        for piece in _ring(saddle, (1.0, -1.0)[side]):
            shapes.append(Shape("kept", (piece + np.array([centre, 0.0])) * np.array([lean, 1.0])))
    a, e, r, wide = h.tube.od / 2.0, float(h.offset), h.balance_tube.od / 2.0, half * lean
    axis = across((-wide - 1.3 * a, 0.0), (wide + 1.3 * a, 0.0))
    shapes.append(Shape("centre", axis, closed=False))
    measures = [
        Measure(
            across((-wide, 1.5 * a), (wide, 1.5 * a)),
            2.0 * wide,
            "between the crossings" if h.splay else "centre to centre",
            across((-wide, 0.0), (wide, 0.0)),
        ),
        Measure(across((0.0, e - r), (0.0, e + r)), 2.0 * r, "outside"),
    ]
    notes = [Note((0.0, -1.25 * a), "walls cut through: the hole is the tube's inside")]
    if e:
        shapes.append(Shape("centre", across((-wide, e), (wide, e)), closed=False))
        place = wide + 1.6 * a
        measures.append(
            Measure(
                across((place, 0.0), (place, e)), abs(e), "offset", across((wide, 0.0), (wide, e))
            )
        )
    seen = "seen along the flow, the top up"
    return Pose(
        "Across it, through the balance tube", seen, tuple(shapes), tuple(measures), tuple(notes)
    )


def _walls(h: HPipe) -> list[Points]:
    """The two walls of the balance tube in section, in its own length; the joint's middle is 0."""
    lean, half, found = math.sin(h.angle), h.balance_length / 2.0, []
    for turn in (1.0, -1.0):
        height = h.offset + turn * np.linspace(h.saddles[0].bore, h.saddles[0].radius, 21)
        ends = []
        for side, saddle in enumerate(h.saddles):
            out = np.sqrt(np.maximum(saddle.primary**2 - height**2, 0.0)) / math.sin(saddle.angle)
            ends.append((-1.0, 1.0)[side] * (half - out))
        left, right = (np.column_stack((end * lean, height)) for end in ends)
        found.append(np.vstack((left, right[::-1])))
    return found


def _ring(saddle: Saddle, inward: float) -> list[Points]:
    """A primary's wall in section without its hole; `inward` 1 where the balance tube is at +x."""
    edges = []
    for radius in (saddle.primary, saddle.primary - saddle.primary_wall):
        low, high = (
            math.asin(max(-1.0, min((saddle.offset + sign * saddle.bore) / radius, 1.0)))
            for sign in (-1.0, 1.0)
        )
        turn = np.linspace(high, low + 2.0 * math.pi, 181)
        wide = radius / math.sin(saddle.angle)
        edges.append(np.column_stack((inward * wide * np.cos(turn), radius * np.sin(turn))))
    return [np.vstack((edges[0], edges[1][::-1]))]
