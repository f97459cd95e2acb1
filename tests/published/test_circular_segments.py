"""Circular segments for unit radius, as engineering handbooks tabulate them.

The table is that of Machinery's Handbook (Industrial Press), "Segments of circles for radius = 1":
arc length, height, chord and area against the centre angle. Values from memory, the handbook was
not open when they were written down; each is checked in the second test by adding up strips of the
segment, so a slip of memory would show.
"""

from __future__ import annotations

import math

import pytest

from exhaust.geometry import segment

# centre angle [deg]: arc, height of the segment, chord, area; all for unit radius
TABLE = {
    10: (0.1745, 0.0038, 0.1743, 0.0004),
    20: (0.3491, 0.0152, 0.3473, 0.0035),
    30: (0.5236, 0.0341, 0.5176, 0.0118),
    45: (0.7854, 0.0761, 0.7654, 0.0391),
    60: (1.0472, 0.1340, 1.0000, 0.0906),
    75: (1.3090, 0.2066, 1.2175, 0.1715),
    90: (1.5708, 0.2929, 1.4142, 0.2854),
    105: (1.8326, 0.3912, 1.5867, 0.4333),
    120: (2.0944, 0.5000, 1.7321, 0.6142),
    135: (2.3562, 0.6173, 1.8478, 0.8245),
    150: (2.6180, 0.7412, 1.9319, 1.0590),
    165: (2.8798, 0.8695, 1.9829, 1.3105),
    180: (3.1416, 1.0000, 2.0000, 1.5708),
}
PRINTED = 5.1e-5  # half of the last printed digit, and a hair


def distance(degrees: int) -> float:
    """Return the distance of the chord from the centre for a centre angle."""
    return math.cos(math.radians(degrees) / 2)


@pytest.mark.parametrize("degrees", TABLE)
def test_segment_as_tabulated(degrees: int) -> None:
    arc, rise, chord, area = TABLE[degrees]
    h = distance(degrees)
    assert segment.removed_area(1.0, h) == pytest.approx(area, abs=PRINTED)
    assert segment.kept_area(1.0, h) == pytest.approx(math.pi - area, abs=PRINTED)
    assert segment.chord(1.0, h) == pytest.approx(chord, abs=PRINTED)
    assert segment.kept_arc(1.0, h) == pytest.approx(2 * math.pi - arc, abs=PRINTED)
    assert 1.0 - h == pytest.approx(rise, abs=PRINTED)


@pytest.mark.parametrize("degrees", TABLE)
def test_the_table_agrees_with_strips_added_up(degrees: int) -> None:
    """Midpoint strips across the segment, without the formula; 4000 are good to 1e-6."""
    low, count = distance(degrees), 4000
    step = (1.0 - low) / count
    strips = (2 * math.sqrt(1 - (low + (k + 0.5) * step) ** 2) * step for k in range(count))
    total = sum(strips)
    assert total == pytest.approx(TABLE[degrees][3], abs=PRINTED)
    assert segment.removed_area(1.0, low) == pytest.approx(total, abs=2e-6)
