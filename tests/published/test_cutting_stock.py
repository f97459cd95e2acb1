"""Cutting stock, worked in two well-known places (numbers from memory).

Chvatal V. (1983) Linear Programming. Freeman, chapter 13: finals of 45, 36, 31 and 14 inches from
raws of 100 inches; the linear programme needs 452.25 raws, so 453 is least.

"Cutting stock problem" in Wikipedia: 13 widths from parent rolls of 5600 mm; 73 rolls are least.
"""

from __future__ import annotations

import math

import pytest

from exhaust.cutmath.nesting import nested

FINALS = {45: 97, 36: 610, 31: 395, 14: 211}  # inches: how many
WIDTHS = {
    **{1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20},
    **{2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20},
}  # mm: how many


def each(wanted: dict[int, int]) -> list[float]:
    return [size / 1e3 for size, count in wanted.items() for _ in range(count)]


@pytest.mark.parametrize(("wanted", "stock", "least"), [(FINALS, 100, 453), (WIDTHS, 5600, 73)])
def test_the_least_number_of_rolls(wanted: dict[int, int], stock: int, least: int) -> None:
    nest = nested(each(wanted), [stock / 1e3], 0.0, 0.0)
    assert len(nest.bars) == least
    assert nest.gap == 0.0
    assert sorted(piece for bar in nest.bars for piece in bar.pieces) == sorted(each(wanted))
    assert all(sum(bar.pieces) <= stock / 1e3 + 1e-9 for bar in nest.bars)


def test_the_least_cannot_be_below_what_the_widths_add_up_to() -> None:
    """Bound: 73 rolls leave 0.4 % waste, and 72 hold less than is wanted."""
    need = sum(size * count for size, count in WIDTHS.items())
    assert math.ceil(need / 5600) == 73
    assert 1 - need / (73 * 5600) == pytest.approx(0.00401, abs=1e-5)
