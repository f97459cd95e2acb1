"""Ours beside published: round tube cut straight, tolerances of tube, bars to saw pieces from."""

from __future__ import annotations

import math
from collections.abc import Callable
from types import MappingProxyType

from exhaust.cutmath.nesting import Nest, nested
from exhaust.cutmath.readings import tolerance
from exhaust.geometry import segment
from exhaust.stock import wall_thickness


def _chord_at(angle_deg: float) -> float:
    """Return how far from the centre of a unit circle the chord of a centre angle lies."""
    return math.cos(math.radians(angle_deg) / 2)


def pieces_of(pieces: str) -> list[float]:
    """Return the lengths that "97 x 45, 610 x 36" asks for.

    >>> pieces_of("2 x 45, 1 x 36")
    [45.0, 45.0, 36.0]
    """
    pairs = (group.split(" x ") for group in pieces.split(", "))
    return [float(length) for count, length in pairs for _ in range(int(count))]


def nest_of(pieces: str, bar: float) -> Nest:
    """Return the bars to saw pieces from, without kerf; lengths as if in millimetres."""
    return nested([length / 1e3 for length in pieces_of(pieces)], [bar / 1e3], 0.0, 0.0)


OURS: MappingProxyType[str, Callable[..., float]] = MappingProxyType(
    {
        "arc of a segment": lambda angle_deg: (
            2 * math.pi - segment.kept_arc(1.0, _chord_at(angle_deg))
        ),
        "chord of a segment": lambda angle_deg: segment.chord(1.0, _chord_at(angle_deg)),
        "area of a segment": lambda angle_deg: segment.removed_area(1.0, _chord_at(angle_deg)),
        "area of water in a pipe": lambda depth: segment.kept_area(0.5, depth - 0.5),
        "wetted perimeter of a pipe": lambda depth: segment.kept_arc(0.5, depth - 0.5),
        "tolerance of tube": lambda reading, nominal_mm: (
            tolerance(reading, nominal_mm / 1e3)[0] * 1e3
        ),
        "wall of a tube gauge": lambda gauge: wall_thickness(gauge) / 0.0254,
        "least bars": lambda pieces, bar: len(nest_of(pieces, bar).bars),
    }
)
