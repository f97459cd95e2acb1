"""Templates of an H pipe: the saddles of its balance tube and the holes in its primaries.

The left primary is on the left looking along the flow. The joint's own axes: x from the left
primary to the right one, y with the flow, z up.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from exhaust.cutmath.pose import Points
from exhaust.cutmath.template import (
    BODY,
    ROUND,
    Band,
    Line,
    Piece,
    Template,
    Tubing,
    laid_out,
    past_edge,
    straight,
)
from exhaust.geometry.saddle import Saddle, span_on_tube
from exhaust.geometry.saddle_edge import edge_span
from exhaust.geometry.unroll import hole_outline, saddle_outline
from exhaust.joints import HPipe
from exhaust.show import cut_length, quantity

SQUARE = 1e-12  # [rad]
SIDES = ("left", "right")
EITHER = "both hands alike"

EDGES = {
    "straight": "The line is for an edge cut straight through the wall, square to it, towards the "
    "tube's axis (disc, snips, torch): the wall is allowed for, and no part of the edge runs into "
    "the primary.",
    "saddle": "The line is for an edge that follows the primary through the wall: a hole saw or "
    "mill of its outside diameter, or ground to it. Cut straight through, it would rock.",
    "feather": "The line is for an edge ground from outside to a feather at the inside of the "
    "tube, which then touches all round.",
}
WRAP_END = (
    "Wrap it with the print outward and the 12 o'clock line on the top of the tube; the sides meet "
    "at the bottom, 6 o'clock. Both ends are clocked to the same top line."
)
KEEP_END = "The notched edge of the paper is the edge that is kept. Check the gap all round."
WRAP_HOLE = (
    "Wrap it round the primary with the print outward; the sides meet on the side away from the "
    "other primary. Lay the cross on the mark where the axes of the two tubes cross, seen from "
    "above."
)
BEFORE = "Cut the hole before the primaries are fixed, and keep the tube's own weld seam away."


class _End(NamedTuple):
    """One end of the balance tube: its saddle, which side, how its edge is made, its piece."""

    saddle: Saddle
    side: int  # 0 left, 1 right
    edge: str
    whole: float  # tube that is whole all round and its own, from the notch on [m]
    cut_square: bool  # whether that ends in a square end, at a split


def balance_templates(h: HPipe, thickness: float, edge: str) -> list[Template]:
    """Return the templates of the balance tube's ends and of the holes for it.

    `thickness` of the paper [m]; `edge` as in `saddle_edge.edge_at`.
    """
    tubing = Tubing(h.balance_tube.name, float(h.balance_tube.od) / 2.0, thickness)
    alike = abs(h.angle - math.pi / 2.0) < SQUARE and h.splay < SQUARE
    sides = (0,) if alike else (0, 1)
    found = [_hole(h, side, thickness, alike) for side in sides]
    clear = h.balance_length - sum(edge_span(end, edge)[1] for end in h.saddles)
    if h.split is None and clear < 2.0 * BODY:
        return [_both_ends(h, tubing, edge), *found]
    ends = [_notched(h, tubing, _end(h, side, edge, clear), alike) for side in sides]
    return [*ends, *found]


def _end(h: HPipe, side: int, edge: str, clear: float) -> _End:
    saddle = h.saddles[side]
    if h.split is None:
        return _End(saddle, side, edge, clear / 2.0, False)
    square = span_on_tube(saddle.outside)[1] + (h.clear_length - h.split.gap) / 2.0
    return _End(saddle, side, edge, square - edge_span(saddle, edge)[1], True)


def _notch(saddle: Saddle, edge: str, thickness: float) -> Points:
    """Return a notch [m]: round the tube from 6 o'clock, 12 at nought, and from the axis out.

    The clock angle of `geometry` is nought at the side of the exits and a quarter at the top.
    """
    flat = saddle_outline(saddle, ROUND + math.pi / 2.0, edge, thickness)
    arc = flat.arc - flat.arc[ROUND.size // 2]
    return np.column_stack([arc, flat.height])


NAMES = ("6, bottom", "9, exit side", "12, top", "3, entry side", "6, bottom")


def _notched(h: HPipe, tubing: Tubing, end: _End, alike: bool) -> Template:
    """Return one end: the left with the tube above its notch, the right with it below."""
    points = _notch(end.saddle, end.edge, tubing.thickness)
    low, high = edge_span(end.saddle, end.edge)
    top = high + min(BODY, end.whole)
    which = "either end" if alike else f"{SIDES[end.side]} end"
    hand = EITHER if alike else SIDES[end.side]
    notes = (
        f"Notch {cut_length(high - low)} deep on the line, on a primary of {h.tube.name}, "
        f"{quantity(h.saddles[0].angle, 'angle')} to the tube.",
        EDGES[end.edge],
        WRAP_END,
        KEEP_END,
    )
    written = [past_edge(end.whole - (top - high), "square end")] if end.cut_square else []
    if not end.cut_square:
        tops = [edge_span(saddle, end.edge)[1] + BODY for saddle in h.saddles]
        written.append(f"edge to edge {cut_length(h.balance_length - sum(tops))}")
    piece = Piece(f"balance tube, {which}", 2 if alike else 1, hand, notes, tuple(written))
    cut, edge = Line("cut", points), straight(tubing, top)
    if end.side == 0:
        names = ("6", "9", "12, top", "3", "6") if alike else NAMES
        return laid_out(tubing, Band(cut, edge, names), piece)
    turned = np.array([1.0, -1.0])
    cut, edge = (line._replace(points=line.points * turned) for line in (cut, edge))
    return laid_out(tubing, Band(edge, cut, NAMES), piece)


def _both_ends(h: HPipe, tubing: Tubing, edge: str) -> Template:
    """Return the whole balance tube on one sheet: too short for a sheet at each end."""
    left, right = (_notch(end, edge, tubing.thickness) for end in h.saddles)
    upper = np.column_stack([right[:, 0], h.balance_length - right[:, 1]])
    blank = h.balance_length - sum(edge_span(end, edge)[0] for end in h.saddles)
    notes = (
        f"Both notches at once: the tube is too short for a sheet at each end. Blank "
        f"{cut_length(blank)}, long point to long point, for primaries of {h.tube.name}.",
        EDGES[edge],
        WRAP_END,
        KEEP_END,
    )
    piece = Piece("balance tube, both ends", 1, "left end below", notes)
    return laid_out(tubing, Band(Line("cut", left), Line("cut", upper), NAMES), piece)


REACH = 5e-3  # of the cross past the hole [m]
ALIKE_NAMES = ("away", "12, top", "faces other primary", "6, bottom", "away")
HOLE_NAMES = (
    ("away", "12, top", "faces right primary", "6, bottom", "away"),
    ("away", "6, bottom", "faces left primary", "12, top", "away"),
)


def _hole(h: HPipe, side: int, thickness: float, alike: bool) -> Template:
    """Return the hole in a primary, the flow running up the sheet.

    Seen from the other primary, the top is on the left of the left one and on the right of the
    right one.
    """
    tubing = Tubing(h.tube.name, float(h.tube.od) / 2.0, thickness)
    crossing = h.saddles[side].hole
    flat = hole_outline(crossing, ROUND, thickness)
    points = np.column_stack([flat.arc * (-1.0 if side == 0 else 1.0), flat.height])
    (left, low), (right, high) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    name = "either primary" if alike else f"{SIDES[side]} primary"
    notes: tuple[str, ...] = (
        f"Hole {cut_length(high - low)} along the primary, {cut_length(right - left)} round it: "
        f"the inside of {h.balance_tube.name}, {cut_length(h.balance_tube.inside_diameter)}, not "
        "its outside.",
        WRAP_HOLE if alike else f"{WRAP_HOLE} The flow runs up the sheet.",
        BEFORE,
    )
    if alike:
        notes = (*notes, "For the other primary turn it upside down: the top stays the top.")
    hand = EITHER if alike else SIDES[side]
    piece = Piece(f"hole for balance tube, {name}", 2 if alike else 1, hand, notes)
    names = ALIKE_NAMES if alike else HOLE_NAMES[side]
    band = Band(straight(tubing, low - BODY / 2.0), straight(tubing, high + BODY), names)
    cross = np.array([(left - REACH, 0.0), (right + REACH, 0.0)])
    return laid_out(tubing, band, piece, (Line("hole", points), Line("guide", cross)))
