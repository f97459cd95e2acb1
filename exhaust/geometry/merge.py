"""Two sliced tubes into one: how far their joined outline is from a round tube's.

Two tubes, each sliced at the same cutback and closed on each other, have an outline of two kept
arcs. It is formed round and welded to the outlet; it fits without stretching where its perimeter
is the outlet's. The middle of the wall is the line that keeps its length in forming.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from exhaust.errors import broken
from exhaust.geometry import segment


class Ring(NamedTuple):
    """A round tube's section: `od` outside diameter and `wall` [m]."""

    od: float
    wall: float = 0.0

    @property
    def middle(self) -> float:
        """Radius of the middle of the wall [m]; of the outside when the wall is nought."""
        return (self.od - self.wall) / 2.0


def _offset(ring: Ring, cutback: float) -> float:
    """Return the cut's distance from the tube's centre [m], measured on the outside: a (1-2f)."""
    if not 0.0 <= ring.wall < ring.od / 2.0:
        rule = f"must be less than half of od {ring.od * 1e3:.6g} mm"
        raise broken(rule, f"{ring.wall * 1e3:.6g} mm").named("wall")
    height = ring.od / 2.0 * (1.0 - 2.0 * cutback)
    if not abs(height) < ring.middle:
        least = ring.wall / 2.0 / ring.od
        rule = f"must be between {least:.4g} and {1 - least:.4g} to open the tube"
        raise broken(rule, f"{cutback:.4g}").named("cutback")
    return height


def outline_perimeter(ring: Ring, cutback: float) -> float:
    """Return the perimeter of two joined tubes at the middle of the wall [m].

    4 am (pi - beta), cos beta = a (1 - 2f)/am; with no wall that is the outside [spiric].

    >>> round(outline_perimeter(Ring(0.0635), 0.5) * 1e3, 3)
    199.491
    """
    return 2.0 * segment.kept_arc(ring.middle, _offset(ring, cutback))


def stretch(ring: Ring, cutback: float, outlet: Ring) -> float:
    """Return the share that the joined outline must grow to reach the outlet; below zero: shrink.

    pi times the outlet's diameter over `outline_perimeter`, less one, at the middle of the walls;
    give rings without walls for the outside [spiric].

    >>> round(stretch(Ring(0.0635), 0.25, Ring(0.0635)), 4)
    -0.25
    >>> round(stretch(Ring(0.0635, 0.001651), 0.25, Ring(0.0762, 0.001651)), 4)
    -0.1026
    """
    _offset(outlet, 0.5)  # refuses a wall that cannot be
    return 2.0 * math.pi * outlet.middle / outline_perimeter(ring, cutback) - 1.0


def stretch_per_depth(ring: Ring, cutback: float, outlet: Ring) -> float:
    """Return the growth of `stretch` when both tubes are cut deeper by one [1/m].

    The perimeter falls by 4/sin beta for each unit of depth on both, 2/sin beta for one alone,
    so that (1 + stretch) 4/(P sin beta) is the slope [spiric].

    >>> round(stretch_per_depth(Ring(0.0635), 0.3454915, Ring(0.0762)) * 0.5e-3, 4)
    0.0088
    """
    height = _offset(ring, cutback)
    sine = math.sqrt((ring.middle - height) * (ring.middle + height)) / ring.middle
    whole = 1.0 + stretch(ring, cutback, outlet)
    return whole * 4.0 / (outline_perimeter(ring, cutback) * sine)


def cutback_for_stretch(ring: Ring, outlet: Ring, growth: float) -> float:
    """Return the cutback whose outline reaches the outlet when it grows by the share `growth`.

    f = (1 - (am/a) cos beta)/2, beta = pi [1 - middle diameter out/((1 + growth) 2 middle
    diameter)], at the middle of the walls [spiric]. Raises `ExhaustError` for an outlet that even
    so is as wide as both tubes together.

    >>> tube, larger = Ring(0.0635), Ring(0.0762)
    >>> round(cutback_for_stretch(tube, larger, 0.2), 4)
    0.5
    """
    _offset(ring, 0.5)
    _offset(outlet, 0.5)
    if not growth > -1.0:
        raise broken("must be more than -1", f"{growth:.4g}").named("growth")
    unstretched = outlet.middle / (1.0 + growth)
    if not 0.0 < unstretched < 2.0 * ring.middle:
        most = 4e3 * ring.middle * (1.0 + growth)
        rule = f"must be between zero and {most:.6g} mm, both tubes' together"
        got = f"{2e3 * outlet.middle:.6g} mm"
        raise broken(rule, got).named("middle diameter of the outlet")
    # sin keeps the half exact where cos(pi/2) would leave 6e-17
    tilt = math.pi * (unstretched - ring.middle) / (2.0 * ring.middle)
    return 0.5 - ring.middle / ring.od * math.sin(tilt)


def zero_stretch_cutback(ring: Ring, outlet: Ring) -> float:
    """Return the cutback whose outline is as long as the outlet's, at the middle of the walls.

    `cutback_for_stretch` of nought; give rings without walls for the outside. Half, exactly, for
    an outlet of the same tube [spiric].
    Raises `ExhaustError` for an outlet as wide as both tubes together.

    >>> round(zero_stretch_cutback(Ring(0.0635), Ring(0.0762)), 4)
    0.3455
    >>> round(zero_stretch_cutback(Ring(0.0635, 0.001651), Ring(0.0762, 0.001651)), 4)
    0.3456
    """
    return cutback_for_stretch(ring, outlet, 0.0)


def area_before(ring: Ring, cutback: float) -> float:
    """Return the area inside the outline of two joined tubes before forming [m^2].

    2 kept_area at the middle of the wall (the outside without a wall) [spiric].

    >>> round(area_before(Ring(0.0635), 0.5) * 1e6, 2)
    3166.92
    """
    return 2.0 * segment.kept_area(ring.middle, _offset(ring, cutback))


def area_after(ring: Ring, cutback: float) -> float:
    """Return the area when the same outline is formed round [m^2]: perimeter²/(4 pi).

    Never less than before: a circle holds the most for its length.

    >>> tube = Ring(0.0635)
    >>> round(area_after(tube, 0.3454915) / area_before(tube, 0.3454915) - 1, 4)
    0.0381
    """
    return outline_perimeter(ring, cutback) ** 2 / (4.0 * math.pi)


def formed_bore_area(ring: Ring, cutback: float, outlet: Ring) -> float:
    """Return the area inside the outline when it is formed round to the outlet [m^2].

    Its middle line is the outlet's; its wall keeps its volume, t/(1 + stretch) in plane sections.

    >>> tube, larger = Ring(0.0635, 0.001651), Ring(0.0762, 0.001651)
    >>> f = zero_stretch_cutback(tube, larger)
    >>> round(formed_bore_area(tube, f, larger) * 1e6, 2)
    4173.7
    """
    wall = ring.wall / (1.0 + stretch(ring, cutback, outlet))
    return math.pi * (outlet.middle - wall / 2.0) ** 2
