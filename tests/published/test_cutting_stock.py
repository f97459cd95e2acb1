"""Cutting stock, worked in two well-known places (numbers from memory).

Chvatal V. (1983) Linear Programming. Freeman, chapter 13: finals of 45, 36, 31 and 14 inches from
raws of 100 inches; the linear programme needs 452.25 raws, so 453 is least.

"Cutting stock problem" in Wikipedia: 13 widths from parent rolls of 5600 mm; 73 rolls are least.
Both numbers lie in data/published; here the bars themselves are looked at.
"""

from __future__ import annotations

import math

import pytest

from exhaust.published import Value, values
from exhaust.published.in_the_shop import nest_of, pieces_of

(FINALS,), (WIDTHS,) = values("chvatal"), values("cutting-stock")


@pytest.mark.parametrize("value", [FINALS, WIDTHS], ids=repr)
def test_every_piece_is_sawn_from_a_bar_that_holds_it(value: Value) -> None:
    pieces, bar = str(value.inputs["pieces"]), float(value.inputs["bar"])
    nest = nest_of(pieces, bar)
    assert nest.gap == 0.0
    wanted = sorted(length / 1e3 for length in pieces_of(pieces))
    assert sorted(piece for one in nest.bars for piece in one.pieces) == wanted
    assert all(sum(one.pieces) <= bar / 1e3 + 1e-9 for one in nest.bars)


def test_the_least_cannot_be_below_what_the_widths_add_up_to() -> None:
    """Bound: 73 rolls leave 0.4 % waste, and 72 hold less than is wanted."""
    need = sum(pieces_of(str(WIDTHS.inputs["pieces"])))
    assert math.ceil(need / 5600) == WIDTHS.number == 73
    assert 1 - need / (73 * 5600) == pytest.approx(0.00401, abs=1e-5)
