"""Lengths, areas and volumes of a saddle that need an integral, and the tube between two of them.

Where the tube is as wide as the primary its crossing has a kink at the sides; where it is nearly
so, a narrow round. Every quadrant is divided towards its side, finer the narrower the round is,
so that 64 nodes settle each part.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from exhaust.geometry.quadrature import rule
from exhaust.geometry.saddle import (
    Array,
    Crossing,
    Saddle,
    along,
    curve_along,
    curve_on_tube,
    meets_at,
    root,
    slope,
)
from exhaust.geometry.saddle_edge import edge_span
from exhaust.geometry.saddle_turns import NONE
from exhaust.geometry.zeros import LAST, zeros

ROUND = np.linspace(0.0, 2.0 * math.pi, 180, endpoint=False)  # [rad]; narrower brackets are quicker
ALIKE = 1e-12  # difference of two cosines that are the same but for their last digits
FINEST = 20  # divisions by four: the last is 1e-12 of a quadrant


def _divisions(room: float, rho: float) -> int:
    """Return how often a quadrant is divided by four towards its side.

    `room` is between the surfaces at that side [m]; the round is sqrt(2 room/rho) wide.
    """
    narrow = math.sqrt(2.0 * max(room, 0.0) / rho)
    if narrow <= 0.0:
        return 0
    return min(max(math.ceil(math.log(math.pi / 2.0 / narrow, 4.0)), 0), FINEST)


@lru_cache(maxsize=64)
def _nodes(divisions: tuple[int, int]) -> tuple[Array, Array]:
    """Return clock angles once round [rad] and what each counts [rad], so divided at the sides."""
    points, weights = rule()
    clock, share = [], []
    for side, times in zip((math.pi / 2.0, -math.pi / 2.0), divisions, strict=True):
        edges = np.array([0.0, *(math.pi / 2.0 / 4.0**k for k in range(times, -1, -1))])
        width = np.diff(edges)[:, None]
        away = (edges[:-1, None] + width * points).ravel()
        clock += [side + away, side - away]
        share += [(width * weights).ravel()] * 2
    return np.concatenate(clock), np.concatenate(share)


def once_round(crossing: Crossing, function: Callable[[Array], Array]) -> float:
    """Return the integral of a function of the clock angle once round the crossing.

    >>> round(once_round(Crossing(0.0254, 0.0254), lambda clock: np.cos(clock) ** 2), 12)
    3.14159265359
    """
    room = crossing.primary - crossing.rho
    sides = (room - crossing.offset, room + crossing.offset)
    clock, share = _nodes((_divisions(sides[0], crossing.rho), _divisions(sides[1], crossing.rho)))
    return float(np.dot(share, function(clock)))


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
    long_point, _ = saddle.points
    inside = meets_at(saddle.hole, clock)
    return Depths(meets_at(saddle.outside, clock) - long_point, inside - long_point)


def opening_height(crossing: Crossing, y: npt.ArrayLike) -> Array:
    """Return how high the opening is at each place along the primary [m], as `y`; zero beyond it.

    `y` from the crossing of the axes [m]. Where the outline is hollow the two heights are added.
    Centred or square it is 2 sqrt(rho² - x²), x = y/sin g - cot g sqrt(y² + A² - rho²) [saddle].
    The integral over y is pi rho²/sin g, exactly, for any angle and offset.

    >>> opening_height(Crossing(0.030099, 0.023749), [0.0, 0.01, 0.03]).round(6).tolist()
    [0.047498, 0.043082, 0.0]
    """
    at, sine, cosine = (
        np.asarray(y, dtype=float),
        math.sin(crossing.angle),
        math.cos(crossing.angle),
    )
    if crossing.offset != 0.0 and abs(cosine) > NONE:
        return _met_heights(crossing, np.atleast_1d(at)).reshape(at.shape)
    room = (crossing.primary - crossing.rho) * (crossing.primary + crossing.rho)
    x = (at - cosine * np.sqrt(at**2 + room)) / sine
    half = np.sqrt(np.maximum((crossing.rho - x) * (crossing.rho + x), 0.0))
    return np.asarray(2.0 * half)


def _met_heights(crossing: Crossing, y: Array) -> Array:
    """Return heights from where the outline is met: once, at most, between two of its turns."""
    turns = np.mod(curve_along(crossing).turns(), 2.0 * math.pi)
    clocks = np.sort(np.concatenate([turns, ROUND]))
    beyond = along(crossing, clocks) >= y[:, None]
    station, step = np.nonzero(beyond != np.roll(beyond, -1, axis=1))
    clocks = np.append(clocks, clocks[0] + 2.0 * math.pi)
    met = zeros(
        lambda clock: along(crossing, clock) - y[station],
        *(clocks[step], clocks[step + 1]),
        nought=LAST * crossing.primary,
    )
    z = crossing.rho * np.sin(met)
    order = np.lexsort((z, station))
    z, station = z[order], station[order]
    heights = np.zeros(y.shape)
    np.add.at(heights, station[::2], z[1::2] - z[::2])  # in at one, out at the next
    return heights


class Between(NamedTuple):
    """A tube between two primaries: `length` axis to axis along it [m], a saddle at each end."""

    length: float
    first: Saddle
    second: Saddle

    @property
    def unlike(self) -> tuple[Saddle, ...]:
        """Its saddles, of two that are the same or each other turned round only the first."""
        leans = [abs(math.cos(end.angle)) for end in (self.first, self.second)]
        alike = abs(leans[0] - leans[1]) < ALIKE
        return (self.first,) if alike else (self.first, self.second)

    @property
    def lengthened(self) -> float:
        """What leaning does to all that a square saddle takes of the tube, both ends together."""
        return 1.0 / math.sin(self.first.angle) + 1.0 / math.sin(self.second.angle)


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
    tube = Between(spacing / 2.0 * math.cos(splay / 2.0), first, other)
    return tube._replace(length=tube.length * tube.lengthened)


def blank_length(tube: Between, edge: str = "saddle") -> float:
    """Return the length to cut the tube to before it is saddled [m], long point to long point.

    length - least s at each end [saddle]. The long points of a skew tube are on opposite sides, so
    this is more than its longest line. `edge` as in `edge_at`.

    >>> tube = between(0.230, Saddle(0.0381, 0.001651, 0.0254, 0.001651, math.radians(60)))
    >>> round(blank_length(tube) * 1e3, 3), round(blank_length(tube, "straight") * 1e3, 3)
    (208.785, 205.996)
    """
    least = [edge_span(end, edge)[0] for end in tube.unlike]
    return tube.length - least[0] - least[-1]


def line_lengths(tube: Between) -> tuple[float, float]:
    """Return the shortest and the longest line along the outside of the saddled tube [m].

    length - s1 - s2 at one clock angle; square [CC - 2 sqrt(A² - q²)], whose shortest is CC - 2 A
    only where |e| <= rho [saddle].

    >>> tube = between(0.230, Saddle(0.0381, 0.001651, 0.0254, 0.001651, math.radians(60)))
    >>> [round(line * 1e3, 3) for line in line_lengths(tube)]
    [177.593, 199.999]
    """
    ends = [curve_on_tube(end.outside, end.radius) for end in (tube.first, tube.second)]
    both = ends[0]._replace(level=ends[0].level + ends[1].level, lean=ends[0].lean + ends[1].lean)
    low, high = both.span()
    return tube.length - high, tube.length - low


def clear_length(tube: Between) -> float:
    """Return the length over which the tube is whole all round [m]; less than zero: nowhere.

    length - greatest s at each end: what a clamp or a pair of flanges has to itself. For a skew
    tube it is less than the shortest line.

    >>> tube = between(0.230, Saddle(0.0381, 0.001651, 0.0254, 0.001651, math.radians(60)))
    >>> round(clear_length(tube) * 1e3, 3)
    148.264
    """
    greatest = [end.points[1] for end in tube.unlike]
    return tube.length - greatest[0] - greatest[-1]


class Volumes(NamedTuple):
    """What a tube between two primaries takes and has [m^3].

    `plugs`, the metal of the primaries that both holes take; `metal` of the tube, blank less
    notches; `gas` in it between the primaries' bores.
    """

    plugs: float
    metal: float
    gas: float


def volumes(tube: Between) -> Volumes:
    """Return the volumes of a tube between two primaries, pi rho² length - plunges [saddle].

    >>> found = volumes(between(0.180, Saddle(0.03175, 0.001651, 0.0254, 0.001651)))
    >>> [round(volume * 1e9) for volume in found]
    [6426, 32505, 221403]
    """
    square = replace(tube.first, angle=math.pi / 2.0)
    plunges = [
        plunge_volume(crossing) for crossing in (square.outside, square.hole, square.opening)
    ]
    outside, hole, opening = (tube.lengthened * plunge for plunge in plunges)
    whole = [math.pi * rho**2 * tube.length for rho in (square.radius, square.bore)]
    return Volumes(hole - opening, whole[0] - whole[1] - outside + hole, whole[1] - opening)
