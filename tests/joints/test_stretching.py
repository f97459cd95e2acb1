"""What a metal takes in stretch, in words; the limits are common practice, no source."""

from __future__ import annotations

import pytest

from exhaust.joints.forming import MOST_IN_ONE_STEP, SHARE_OF_ELONGATION, stretching
from exhaust.stock import Tube


def words(share: float, grade: str = "304") -> str:
    return stretching(share, Tube(od="3 in", wall="16 ga", material=grade)).words(0.346)


def test_the_judgement_grows_with_the_stretch() -> None:
    assert (MOST_IN_ONE_STEP, SHARE_OF_ELONGATION) == (0.15, 0.75)
    assert words(0.0) == "no stretch"
    assert words(0.149) == "14.9 % in one step"
    assert words(0.151) == "15.1 % is over 15.0 % in one step: slice at 0.346"
    assert words(0.301) == "30.1 % is past what the metal takes: slice at 0.346"


def test_too_long_an_outline_is_gathered() -> None:
    assert words(-0.05) == "5.0 % too long: gather it or slice at 0.346"
    assert words(-0.0004) == "no stretch"


@pytest.mark.parametrize(
    ("grade", "most", "step"),
    # three quarters of the least elongation in data/material.csv
    [("304", 0.30, 0.15), ("409", 0.15, 0.15), ("439", 0.165, 0.15), ("mild steel", 0.21, 0.15)],
)
def test_the_metal_decides(grade: str, most: float, step: float) -> None:
    asked = stretching(most + 1e-6, Tube(od="3 in", wall="16 ga", material=grade))
    assert asked.most == pytest.approx(most)
    assert asked.in_one_step == pytest.approx(step)
    assert asked.past_the_metal
    assert not asked._replace(share=most - 1e-6).past_the_metal
    assert asked.words(0.3).endswith("less across a weld") == (grade in {"409", "439"})
