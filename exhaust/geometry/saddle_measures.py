"""Lengths, areas and volumes of a saddle that need an integral, and the tube between two of them.

Where the tube is as wide as the primary its crossing has a kink at the sides; where it is nearly
so, a narrow round. Every quadrant is divided towards its side, finer the narrower the round is,
so that 64 nodes settle each part.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from exhaust.geometry.extremes import SAMPLES, extremes, narrowed
from exhaust.geometry.quadrature import rule
from exhaust.geometry.saddle import (
    Array,
    Crossing,
    Saddle,
    along,
    meets_at,
    root,
    slope,
    span_on_tube,
)
from exhaust.geometry.saddle_edge import edge_span

FINEST = 20  # divisions by four: the last is 1e-12 of a quadrant


def _graded(room: float, rho: float) -> list[float]:
    """Return the ends of the parts of a quadrant, from its side out [rad].

    `room` is between the surfaces at that side [m]; the round is sqrt(2 room/rho) wide.
    """
    narrow = math.sqrt(2.0 * max(room, 0.0) / rho)
    edges = [math.pi / 2.0]
    while 0.0 < narrow < edges[-1] and len(edges) <= FINEST:
        edges.append(edges[-1] / 4.0)
    return [0.0, *reversed(edges)]


def once_round(crossing: Crossing, function: Callable[[Array], Array]) -> float:
    """Return the integral of a function of the clock angle once round the crossing.

    >>> round(once_round(Crossing(0.0254, 0.0254), lambda clock: np.cos(clock) ** 2), 12)
    3.14159265359
    """
    points, weights = rule()
    clock, share = [], []
    for side, shift in ((math.pi / 2.0, -crossing.offset), (-math.pi / 2.0, crossing.offset)):
        edges = np.array(_graded(crossing.primary - crossing.rho + shift, crossing.rho))
        width = np.diff(edges)[:, None]
        away = (edges[:-1, None] + width * points).ravel()
        clock += [side + away, side - away]
        share += [(width * weights).ravel()] * 2
    return float(np.dot(np.concatenate(share), function(np.concatenate(clock))))


def seam_length(crossing: Crossing) -> float:
    """Return the length of the crossing, once round [m]: the weld on the outside.

    Integral of sqrt(rho² + s'²) over the clock [saddle].

    >>> round(seam_length(Crossing(0.03175, 0.0254)) * 1e3, 3)
    169.143
    """
    return once_round(crossing, lambda clock: np.hypot(crossing.rho, slope(crossing, clock)))


def hole_area(crossing: Crossing) -> float:
    """Return the area of the hole in the primary's surface, rolled flat [m^2].

    (A/sin g) integral rho² cos² c / sqrt(A² - q²) dc [saddle]; larger than the tube's section.

    >>> round(hole_area(Crossing(0.03175, 0.023749)) * 1e6, 2)
    1933.68
    """

    def strip(clock: Array) -> Array:
        return (crossing.rho * np.cos(clock)) ** 2 / root(crossing, clock, crossing.rho)

    return crossing.primary / math.sin(crossing.angle) * once_round(crossing, strip)


def plunge_volume(crossing: Crossing) -> float:
    """Return the volume of the tube's surface between the primary's axis and its surface [m^3].

    (1/sin g) integral rho² cos² c sqrt(A² - q²) dc [saddle]: the mean s over the tube's section.

    >>> round(plunge_volume(Crossing(0.03175, 0.023749)) * 1e9, 1)
    51983.1
    """

    def strip(clock: Array) -> Array:
        return (crossing.rho * np.cos(clock)) ** 2 * root(crossing, clock, crossing.rho)

    return once_round(crossing, strip) / math.sin(crossing.angle)


def plug_volume(saddle: Saddle) -> float:
    """Return the volume of metal that the hole takes from the primary's wall [m^3].

    >>> round(plug_volume(Saddle(0.03175, 0.001651, 0.0254, 0.001651)) * 1e9, 1)
    3212.9
    """
    return plunge_volume(saddle.hole) - plunge_volume(saddle.opening)


class Depths(NamedTuple):
    """How deep a saddle is at each clock angle, from the tube's long point outside [m]."""

    outside: Array
    inside: Array


def depths(saddle: Saddle, clock: npt.ArrayLike) -> Depths:
    """Return how deep the saddle is at each clock angle, on the outside and on the inside [m].

    >>> square = Saddle(0.03175, 0.001651, 0.0254, 0.001651)
    >>> both = depths(square, [0.0, math.pi / 2])
    >>> both.outside.round(6).tolist(), both.inside.round(6).tolist()
    ([0.0127, 0.0], [0.0127, 0.002022])
    """
    long_point, _ = span_on_tube(saddle.outside)
    inside = meets_at(saddle.hole, clock)
    return Depths(meets_at(saddle.outside, clock) - long_point, inside - long_point)


def opening_height(crossing: Crossing, y: npt.ArrayLike) -> Array:
    """Return how high the opening is at each place along the primary [m], as `y`; zero beyond it.

    `y` from the crossing of the axes [m]. Where the outline is hollow the two heights are added.
    The integral over y is pi rho²/sin g, exactly, for any angle and offset.

    >>> opening_height(Crossing(0.030099, 0.023749), [0.0, 0.01, 0.03]).round(6).tolist()
    [0.047498, 0.043082, 0.0]
    """
    wanted = np.atleast_1d(np.asarray(y, dtype=float))
    samples = np.linspace(-math.pi, math.pi, SAMPLES + 1)
    beyond = along(crossing, samples) >= wanted[:, None]
    station, step = np.nonzero(beyond[:, 1:] != beyond[:, :-1])
    left, _ = narrowed(
        samples[step],
        samples[step + 1],
        lambda clock: along(crossing, clock) >= wanted[station, None],
    )
    z = crossing.rho * np.sin(left)
    order = np.lexsort((z, station))
    z, station = z[order], station[order]
    heights = np.zeros(wanted.shape)
    np.add.at(heights, station[::2], z[1::2] - z[::2])  # in at one, out at the next
    return heights.reshape(np.shape(y))


class Between(NamedTuple):
    """A tube between two primaries: `length` axis to axis along it [m], a saddle at each end."""

    length: float
    first: Saddle
    second: Saddle


def between(spacing: float, first: Saddle, splay: float = 0.0) -> Between:
    """Return the tube between two primaries of one size `spacing` apart [m].

    `first` has the angle at the first primary. The primaries open by `splay` [rad] towards y; the
    angle at the second is pi - angle + splay. `spacing` is across the line midway between them,
    at the middle of the tube: length = (spacing/2) cos(splay/2) (1/sin g1 + 1/sin g2) [saddle].

    >>> tube = between(0.230, Saddle(0.0381, 0.001651, 0.0254, 0.001651, math.radians(60)))
    >>> round(tube.length * 1e3, 3), round(math.degrees(tube.second.angle), 3)
    (265.581, 120.0)
    """
    other = Saddle(
        *(first.primary, first.primary_wall, first.radius, first.wall),
        angle=math.pi - first.angle + splay,
        offset=first.offset,
    )
    share = 1.0 / math.sin(first.angle) + 1.0 / math.sin(other.angle)
    return Between(spacing / 2.0 * math.cos(splay / 2.0) * share, first, other)


def blank_length(tube: Between, edge: str = "saddle") -> float:
    """Return the length to cut the tube to before it is saddled [m], long point to long point.

    length - least s at each end [saddle]. The long points of a skew tube are on opposite sides, so
    this is more than its longest line. `edge` as in `edge_at`.

    >>> tube = between(0.230, Saddle(0.0381, 0.001651, 0.0254, 0.001651, math.radians(60)))
    >>> round(blank_length(tube) * 1e3, 3), round(blank_length(tube, "straight") * 1e3, 3)
    (208.785, 205.996)
    """
    return tube.length - edge_span(tube.first, edge)[0] - edge_span(tube.second, edge)[0]


def line_lengths(tube: Between) -> tuple[float, float]:
    """Return the shortest and the longest line along the outside of the saddled tube [m].

    length - s1 - s2 at one clock angle; square [CC - 2 sqrt(A² - q²)], whose shortest is CC - 2 A
    only where |e| <= rho [saddle].

    >>> tube = between(0.230, Saddle(0.0381, 0.001651, 0.0254, 0.001651, math.radians(60)))
    >>> [round(line * 1e3, 3) for line in line_lengths(tube)]
    [177.593, 199.999]
    """
    ends = (tube.first.outside, tube.second.outside)
    low, high = extremes(
        lambda c: meets_at(ends[0], c) + meets_at(ends[1], c),
        lambda c: slope(ends[0], c) + slope(ends[1], c),
    )
    return tube.length - high, tube.length - low


def clear_length(tube: Between) -> float:
    """Return the length over which the tube is whole all round [m]; less than zero: nowhere.

    length - greatest s at each end: what a clamp or a pair of flanges has to itself. For a skew
    tube it is less than the shortest line.

    >>> tube = between(0.230, Saddle(0.0381, 0.001651, 0.0254, 0.001651, math.radians(60)))
    >>> round(clear_length(tube) * 1e3, 3)
    148.264
    """
    first, second = (span_on_tube(end.outside)[1] for end in (tube.first, tube.second))
    return tube.length - first - second


def tube_volume(tube: Between, rho: float, primary: float) -> float:
    """Return the volume inside the surface `rho` between the primaries' surfaces `primary` [m^3].

    pi rho² length - `plunge_volume` at each end [saddle].

    >>> tube = between(0.180, Saddle(0.03175, 0.001651, 0.0254, 0.001651))
    >>> round(tube_volume(tube, 0.023749, 0.030099) * 1e9)
    221403
    """
    volume = math.pi * rho**2 * tube.length
    for end in (tube.first, tube.second):
        volume -= plunge_volume(Crossing(primary, rho, end.angle, end.offset))
    return volume
