"""The edge of a saddled tube: which radius of the wall its marked line belongs to.

A wall has two edges, and they meet the primary at different distances. Which one touches depends
on how the edge is made; the line that is marked on the outside follows from it.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from exhaust.errors import broken, nearest, typed
from exhaust.geometry.saddle import (
    ROUNDING,
    Array,
    Saddle,
    clock_angles,
    curve_on_tube,
    on_tube,
)

TIE = 1e-15  # of the primary's radius: the last digits
EDGES = ("saddle", "straight", "feather")


def edge_at(saddle: Saddle, clock: npt.ArrayLike, edge: str = "saddle") -> Array:
    """Return the line to mark on the outside, from the primary's axis along the tube [m].

    `edge` says how the edge is made: "saddle" follows the primary through the wall (a hole saw or
    mill of its size, or ground to it), s at the outside; "straight" goes square through the wall
    towards the tube's axis (torch, disc, snips), the greatest s of the wall; "feather" is ground
    from outside to a feather edge at the bore, which touches all round, s at the bore [saddle].

    >>> square = Saddle(0.03175, 0.001651, 0.0254, 0.001651)
    >>> [round(float(edge_at(square, math.pi / 2, edge)) * 1e3, 3) for edge in EDGES]
    [19.05, 21.072, 21.072]
    """
    at = clock_angles(clock)
    return on_tube(saddle.outside, at, _marked_radius(saddle, at, edge))


def _marked_radius(saddle: Saddle, clock: Array, edge: str) -> Array:
    if edge == "saddle":
        return np.full(clock.shape, saddle.radius)
    if edge == "straight":
        return contact_radius(saddle, clock)
    if edge == "feather":
        return np.full(clock.shape, saddle.bore)
    known = nearest(edge if isinstance(edge, str) else "", EDGES)
    raise broken("is not a known way to make an edge", typed(edge), known).named("edge")


def edge_span(saddle: Saddle, edge: str = "saddle") -> tuple[float, float]:
    """Return the least and the greatest of `edge_at` [m]: the tube's long and short points.

    An edge cut straight through turns only where its outside or its bore does: where it touches
    between them s rises or falls all the way, as (A sin p - e)/sin c is more than zero [saddle].

    >>> square = Saddle(0.03175, 0.001651, 0.0254, 0.001651)
    >>> [round(s * 1e3, 3) for s in edge_span(square, "straight")]
    [21.072, 31.75]
    """
    if edge == "saddle":
        return saddle.points
    turns = curve_on_tube(saddle.outside, saddle.bore).turns()
    if edge != "feather":
        turns = [*turns, *saddle.turns]
    seats = edge_at(saddle, turns, edge)
    return float(seats.min()), float(seats.max())


def contact_radius(saddle: Saddle, clock: npt.ArrayLike) -> Array:
    """Return which radius of an edge cut straight through the wall touches first [m], as `clock`.

    s is concave in rho: an end of [bore, radius] or (A sin p - e)/sin c between them, with
    tan p = cos g cos c / sin c [saddle]. Where all touch at once it is the outside.

    >>> skew = Saddle(0.0381, 0.001651, 0.0254, 0.001651, math.radians(60))
    >>> [round(float(r) * 1e3, 3) for r in contact_radius(skew, np.radians([0.0, 45.0, 90.0]))]
    [25.4, 24.097, 23.749]
    """
    at = clock_angles(clock)
    crossing = saddle.outside
    sine, lean = np.sin(at), math.cos(saddle.angle) * np.cos(at)
    level = np.abs(sine) < ROUNDING  # there s is straight in rho: an end of the wall
    safe = np.where(level, 1.0, sine)
    best = (saddle.primary * lean * np.sign(safe) / np.hypot(safe, lean) - saddle.offset) / safe
    best = np.clip(np.where(level, saddle.radius, best), saddle.bore, saddle.radius)
    for end in (saddle.bore, saddle.radius):
        better = on_tube(crossing, at, end) >= on_tube(crossing, at, best) - TIE * saddle.primary
        best = np.where(better, end, best)
    return best
