"""Circular segments for unit radius, as engineering handbooks tabulate them.

The table is that of Machinery's Handbook (Industrial Press), "Segments of circles for radius = 1":
arc length, chord and area against the centre angle. The values in data/published are from memory,
the handbook was not open when they were written down; each area is checked here by adding up strips
of the segment, so a slip of memory would show.
"""

from __future__ import annotations

import math

import pytest

from exhaust.geometry import segment
from exhaust.published import Value, values

PRINTED = 5.1e-5  # half of the last printed digit, and a hair


def distance(degrees: float) -> float:
    """Return the distance of the chord from the centre for a centre angle."""
    return math.cos(math.radians(degrees) / 2)


@pytest.mark.parametrize("area", values("segments", "area of a segment"), ids=repr)
def test_the_table_agrees_with_strips_added_up(area: Value) -> None:
    """Midpoint strips across the segment, without the formula; 4000 are good to 1e-6."""
    degrees, count = float(area.inputs["angle_deg"]), 4000
    low = distance(degrees)
    step = (1.0 - low) / count
    strips = (2 * math.sqrt(1 - (low + (k + 0.5) * step) ** 2) * step for k in range(count))
    total = sum(strips)
    assert total == pytest.approx(area.number, abs=PRINTED)
    assert segment.removed_area(1.0, low) == pytest.approx(total, abs=2e-6)
    assert segment.kept_area(1.0, low) == pytest.approx(math.pi - total, abs=2e-6)
    left = 2 * math.pi - math.radians(degrees)  # of the circle
    assert segment.kept_arc(1.0, low) == pytest.approx(left, rel=1e-12)
