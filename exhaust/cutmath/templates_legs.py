"""Templates of a mitred leg: its mitre, and the mitre with the long cut that takes its heel."""

from __future__ import annotations

import numpy as np

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
from exhaust.geometry.quadrature import Array
from exhaust.geometry.splayed import MitredLeg
from exhaust.geometry.unroll import HeelCut, heel_corner, heel_outline, mitre_outline
from exhaust.joints.splayed_end import MitredEnd
from exhaust.show import quantity
from exhaust.stock import Tube

NAMES = ("6, throat", "9", "12, heel", "3", "6, throat")
ALIKE = "both hands alike"
SAME = 1e-12  # [m] or [rad]; ends that differ by no more are cut alike

WRAP = (
    "Wrap it with the print outward and the straight edge towards the leg's square end; the sides "
    "meet at the throat line, 6 o'clock, opposite the heel line."
)
KEEP = "The sawn edge of the paper is the edge that is kept: the kerf falls beyond it."
CLOCKED = (
    "Clock by the heel line that was drawn along the tube for the mitre. Dashed is the mitre as it "
    "was sawn first: lay that part on the sawn edge and the rest is the long cut."
)


def leg_templates(
    tube: Tube, entry: MitredEnd, leaving: MitredEnd | None, thickness: float
) -> list[Template]:
    """Return the templates of the legs of one end, and of the other where it has legs.

    Ends whose legs are cut alike share theirs. `thickness` of the paper [m].
    """
    tubing = Tubing(tube.name, float(tube.od) / 2.0, thickness)
    if leaving is None:
        return _one_kind(tubing, "leg", 2, entry)
    if _alike(entry, leaving):
        return _one_kind(tubing, "leg", 4, entry)
    first = _one_kind(tubing, "entry leg", 2, entry)
    return [*first, *_one_kind(tubing, "exit leg", 2, leaving)]


def _alike(one: MitredEnd, other: MitredEnd) -> bool:
    pairs = (
        (one.leg.angle, other.leg.angle),
        (one.leg.mitre, other.leg.mitre),
        (one.leg.offset, other.leg.offset),
        (one.length, other.length),
    )
    return all(abs(first - second) < SAME for first, second in pairs)


def heel_cut(leg: MitredLeg) -> HeelCut:
    """Return the two cuts of a leg as `geometry` rolls them flat."""
    return HeelCut(leg.radius, leg.mitre, leg.angle, leg.cutback)


def _one_kind(tubing: Tubing, name: str, pieces: int, end: MitredEnd) -> list[Template]:
    return [_mitre(tubing, name, pieces, end), _long_cut(tubing, name, pieces, end)]


def _mitre(tubing: Tubing, name: str, pieces: int, end: MitredEnd) -> Template:
    flat = mitre_outline(tubing.radius, end.leg.mitre, ROUND, tubing.thickness)
    cut = Line("cut", np.column_stack(flat))
    notes = (
        f"The mitre is {quantity(end.mitre_angle, 'angle')} from a square cut; its long point is "
        f"at the heel, 12 o'clock. Sawn flat through both walls.",
        WRAP,
        KEEP,
    )
    return _leg(tubing, cut, Piece(f"{name}: mitre", pieces, ALIKE, notes), end)


def _long_cut(tubing: Tubing, name: str, pieces: int, end: MitredEnd) -> Template:
    cut = heel_cut(end.leg)
    clock = heel_clock(cut)
    line = Line("cut", np.column_stack(heel_outline(cut, clock, tubing.thickness)))
    corner = heel_corner(cut)
    gone = np.linspace(-corner, corner, ROUND.size)
    sawn = np.column_stack(mitre_outline(cut.radius, cut.mitre, gone, tubing.thickness))
    notes = (
        f"The long cut runs along the joint, {quantity(end.long_cut_angle, 'angle')} from a square "
        "cut, and takes the heel off; the mitre is left on the throat side. Both are flat through "
        "the walls.",
        CLOCKED,
        WRAP,
        KEEP,
    )
    piece = Piece(f"{name}: mitre and long cut", pieces, ALIKE, notes)
    return _leg(tubing, line, piece, end, Line("guide", sawn))


def heel_clock(cut: HeelCut) -> Array:
    """Return clock angles once round [rad], the corners of the two cuts among them."""
    corner = heel_corner(cut)
    return np.unique(np.concatenate([ROUND, [-corner, corner]]))


def _leg(tubing: Tubing, cut: Line, piece: Piece, end: MitredEnd, *more: Line) -> Template:
    """Return the sheet from the cut to a straight edge: a body's width on, or the square end."""
    top = min(float(cut.points[:, 1].max()) + BODY, float(end.length))
    left = past_edge(float(end.length) - top, "square end")
    band = Band(cut, straight(tubing, top), NAMES)
    return laid_out(tubing, band, piece._replace(written=(left,)), more)
