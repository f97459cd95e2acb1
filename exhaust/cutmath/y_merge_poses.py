"""Drawings of a Y merge's half bend as it sits in the saw, to scale."""

from __future__ import annotations

import math

import numpy as np

from exhaust.cutmath.bend_poses import on_deck, section
from exhaust.cutmath.cutsheet import fits
from exhaust.cutmath.pose import (
    BendView,
    Measure,
    Note,
    Points,
    Pose,
    Shape,
    across,
    box,
    clipped,
)
from exhaust.cutmath.y_merge_work import YWork

ABOVE = "half bend flat on the deck, from above"
STANDING = "outlet face down on the deck, heel against a tall stop, from the side"
ON_FACE = "The same cut on the outlet face"


def _past(outline: Points, start: float) -> Points:
    """Return the part of an outline past x = `start` [m]: half a kerf went in halving."""
    return clipped(outline[:, ::-1], start, keep_below=False)[:, ::-1]


def outline(work: YWork) -> Points:
    """Return the half bend with its straight as it is sliced; the outlet face is on the left."""
    y = work.y
    straight = work.own_straight + work.handle
    view = BendView(y.bend.clr, y.tube.od / 2, 0.0, y.half_angle, 0.0, straight)
    return _past(view.outline(), work.saw.kerf / 2)


def extent(work: YWork) -> tuple[float, float]:
    """Return (length along the cut, width across it) of the piece that is sliced [m]."""
    along, wide = np.ptp(outline(work), axis=0)
    return float(along), float(wide)


def slices(work: YWork) -> tuple[Pose, ...]:
    """Return the heel slice square to the bend's plane and on the outlet face."""
    flat = _square_to_bend(work)
    if not stands(work):
        return flat, section(work.y, work.saw, ON_FACE)
    (*shapes, _), (*notes, _) = flat.shapes, flat.notes  # the deck is the plate
    standing = flat._replace(seen_from=STANDING, shapes=tuple(shapes), notes=tuple(notes))
    return on_deck(standing.turned(math.pi / 2)), section(work.y, work.saw, ON_FACE)


def stands(work: YWork) -> bool:
    """Return whether the leg goes under the guides on its outlet face, and only so."""
    od, (along, _) = float(work.y.tube.od), extent(work)
    return fits(work.saw, along, od) and not fits(work.saw, od, along)


def _square_to_bend(work: YWork) -> Pose:
    y, kerf, od = work.y, work.saw.kerf, float(work.y.tube.od)
    back = y.bend.clr + od / 2
    face, start = back - y.cut_depth, kerf / 2
    whole = outline(work)
    kept = clipped(whole, face, keep_below=True)
    slug = clipped(whole, face + kerf, keep_below=False)
    reach = start + work.sawn_opening + 0.4 * od
    throat = back - od
    stop = box(start, back, start + 0.7 * od, back + 0.18 * od)
    plate = box(start - 0.14 * od, throat - 0.1 * od, start, face - 0.06 * od)
    shapes = (
        Shape("kept", kept),
        Shape("waste", slug),
        Shape("blade", box(start - 0.35 * od, face, reach, face + kerf)),
        Shape("stop", stop),
        Shape("stop", plate),
    )
    tip, above, left = start + work.sawn_opening, back + 0.5 * od, start - 0.55 * od
    measures = (
        Measure(
            across((left, face), (left, back)),
            y.cut_depth,
            "stop to far face",
            across((start - 0.35 * od, face), (start, back)),
        ),
        Measure(
            across((start, above), (tip, above)),
            work.sawn_opening,
            "opening",
            across((start, back + 0.18 * od), (tip, face)),
        ),
    )
    return Pose("Slice the heel", ABOVE, shapes, measures, _notes(work))


def _notes(work: YWork) -> tuple[Note, ...]:
    y, od, start = work.y, float(work.y.tube.od), work.saw.kerf / 2
    back, theta = y.bend.clr + od / 2, y.half_angle
    straight = work.own_straight + work.handle
    middle = y.bend.clr - 0.35 * od  # clear of the blade, on the throat side
    clamp = (
        middle * math.sin(theta) + 0.6 * straight * math.cos(theta),
        middle * math.cos(theta) - 0.6 * straight * math.sin(theta),
    )
    slug = back - 0.5 * (y.cut_depth + work.saw.kerf) + 0.5 * work.saw.kerf
    return (
        Note((start + 0.35 * od, back + 0.09 * od), "stop"),
        Note((start + 0.3 * od, slug + 0.04 * od), "slug"),
        Note(clamp, "clamp the\nstraight" if not work.handle else "clamp the\noffcut"),
        Note(
            (start - 1.0 * od, back - 1.3 * od),
            "flat plate on the outlet face:\nsquare to the blade",
            (start - 0.1 * od, back - 0.85 * od),
        ),
    )
