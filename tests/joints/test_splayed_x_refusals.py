"""What a SplayedX refuses: the name, the rule, the value, the remedy, in the user's unit."""

from __future__ import annotations

from typing import Any

import pytest

from exhaust import ExhaustError, SplayedX, Tube

TUBE = Tube(od="63.5 mm", wall="1.651 mm")


@pytest.mark.parametrize(
    ("given_", "words"),
    [
        ({"cutback": 30}, "cutback must be between 0 and 1 (got 30); 0.33 means a third of the"),
        (
            {"cutback": 0.02},
            "cutback must be more than 0.026 to cut through a wall of 1.651 mm (got 0.02); ",
        ),
        ({"cutback": 0.98}, "cutback must be less than 0.974 to leave any of the tube (got 0.98)"),
        (
            {"leg_length": "40 mm"},
            "leg_length must be at least 46.72 mm for the opening to end before the leg does (got "
            "40 mm); it runs from the middle of the mitre to the square end",
        ),
        (
            {"exit_leg_length": "1-1/2 in"},
            "exit_leg_length must be at least 1.84 in for the opening to end before the leg does",
        ),
        (
            {"leg_length": "1 in", "included_angle": "120 deg", "cutback": 0.1},
            "leg_length must be at least 2.166 in to leave any of its short side (got 1 in); ",
        ),
        ({"included_angle": "3 deg"}, "included_angle must be between 5 deg and 170 deg (got 3"),
        ({"exit_angle": "3 rad"}, "exit_angle must be between 0.0872665 rad and 2.96706 rad"),
        (
            {"exit_angle": "10 deg", "included_angle": "120 deg", "unequal": "equal width"},
            "unequal 'equal width' would take a share of -0.328 off the exit legs; they can lose "
            "0.026 to 0.974: use 'bisector'",
        ),
        ({"unequal": "bisect"}, "unequal is not a known choice (got 'bisect'); nearest: "),
        ({"tube": "3 in"}, "tube must be a Tube (got str)"),
        ({"leg_length": 200}, "leg_length must be a length with a unit (got 200); "),
    ],
)
def test_refusals_say_the_limit_and_the_remedy(given_: dict[str, Any], words: str) -> None:
    good = {"tube": TUBE, "included_angle": "45 deg", "cutback": 1 / 3, "leg_length": "200 mm"}
    with pytest.raises(ExhaustError) as error:
        SplayedX(**(good | given_))
    assert str(error.value).startswith(words)
