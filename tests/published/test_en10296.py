"""Tolerances of welded stainless tube: EN 10296-2, classes D3 and T3 of EN ISO 1127.

As two tube suppliers tabulate them (seen): up to 168.3 mm outside diameter D3, 0.75 % or 0.3 mm
either way, whichever is greater, ovality included; T3, 10 % or 0.2 mm. The standards were not seen.
The tolerances themselves lie in data/published; here readings are judged by them.
"""

from __future__ import annotations

import pytest

from exhaust import Bend, Measured, ParallelX, Saw, Tube, as_measured

X = ParallelX(Bend(Tube(od="63.5 mm", wall="1.651 mm"), clr="95.25 mm"), cutback=0.3)
SAW = Saw(kerf="1.1 mm")


@pytest.mark.parametrize(
    ("text", "within"),
    [("63.97 mm", True), ("63.99 mm", False), ("63.03 mm", True), ("63.01 mm", False)],
)
def test_a_diameter_is_told_to_be_within_or_not(text: str, within: bool) -> None:
    reading = as_measured(X, SAW, Measured(od_side_to_side=text)).readings[0]
    assert reading.within is within
    assert "EN 10296-2" in reading.source


def test_a_thin_wall_is_told() -> None:
    thin, good = (as_measured(X, SAW, Measured(wall=w)).readings[0] for w in ("1.44 mm", "1.5 mm"))
    assert (thin.within, good.within) == (False, True)
