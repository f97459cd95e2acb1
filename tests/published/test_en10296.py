"""Tolerances of welded stainless tube: EN 10296-2, classes D3 and T3 of EN ISO 1127.

As two tube suppliers tabulate them (seen): up to 168.3 mm outside diameter D3, 0.75 % or 0.3 mm
either way, whichever is greater, ovality included; T3, 10 % or 0.2 mm. The standards were not seen.
"""

from __future__ import annotations

import pytest

from exhaust import Bend, Measured, ParallelX, Saw, Tube, as_measured
from exhaust.cutmath.readings import tolerance

MM = 1e-3
X = ParallelX(Bend(Tube(od="63.5 mm", wall="1.651 mm"), clr="95.25 mm"), cutback=0.3)
SAW = Saw(kerf="1.1 mm")


@pytest.mark.parametrize(
    ("name", "nominal", "allowed"),
    [
        ("outside diameter", 63.5, 0.47625),
        ("outside diameter", 25.4, 0.3),
        ("outside diameter", 40.0, 0.3),
        ("outside diameter", 101.6, 0.762),
        ("wall", 1.651, 0.2),
        ("wall", 3.0, 0.3),
    ],
)
def test_classes_d3_and_t3(name: str, nominal: float, allowed: float) -> None:
    assert tolerance(name, nominal * MM)[0] == pytest.approx(allowed * MM, rel=1e-12)


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
