"""What a ParallelToSplayedX refuses: the name, the rule, the value, the remedy, in words."""

from __future__ import annotations

from typing import Any

import pytest

from exhaust import Bend, ExhaustError, ParallelToSplayedX, Tube

TUBE = Tube(od="63.5 mm", wall="1.651 mm")
BEND = Bend(TUBE, clr="95.25 mm")  # 1.5 D


@pytest.mark.parametrize(
    ("given_", "words"),
    [
        (
            {"leg_length": "1 in"},
            "leg_length must be at least 1.981 in for the opening to end before the leg does (got "
            "1 in); it runs from the middle of the mitre to the square end",
        ),
        (
            {"legs": "butted", "included_angle": "100 deg"},
            "included_angle must be at most 90 deg, what the bend turns, for butted legs (got 100 "
            "deg); use bends of a larger angle or mitred legs",
        ),
        (
            {"legs": "butted", "included_angle": "20 deg", "leg_length": "50 mm"},
            "leg_length must be at least 98.6 mm for the opening to end before the leg does (got "
            "50 mm); at 20 deg the opening runs past the bend",
        ),
        (
            {"cutback": 0.8, "spacer": "1 m", "leg_length": "2 m", "included_angle": "170 deg"},
            "included_angle must be less than 165 deg at cutback 0.80, or nothing of the legs is "
            "left",
        ),
        ({"cutback": 0.9}, "cutback 0.90 runs past the end of a 90 deg bend at clr 95.25 mm"),
        ({"cutback": 0.02}, "cutback must be more than 0.026 to cut through a wall of 1.651 mm"),
        ({"spacing": "3 in"}, "spacing must be at least 3.25 in (got 3 in); "),
        (
            {"spacing": "10 in", "gap": "3 in"},
            "ParallelToSplayedX takes one of spacing, gap, outside_width or spacer (got spacing "
            "and gap); leave the others out",
        ),
        ({"return_bend": BEND.with_(angle="60 deg")}, "return_bend must turn as much as the bend"),
        ({"parallel_end": "left"}, "parallel_end is not a known choice (got 'left'); known: "),
        ({"legs": "welded"}, "legs is not a known choice (got 'welded'); "),
        ({"bend": TUBE}, "bend must be a Bend (got Tube)"),
    ],
)
def test_refusals_say_the_limit_and_the_remedy(given_: dict[str, Any], words: str) -> None:
    good = {"bend": BEND, "cutback": 0.3, "included_angle": "45 deg", "leg_length": "200 mm"}
    with pytest.raises(ExhaustError) as error:
        ParallelToSplayedX(**(good | given_))
    assert str(error.value).startswith(words), str(error.value)
