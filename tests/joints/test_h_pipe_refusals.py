"""What an HPipe refuses: the name, the rule, the value, the remedy, in the user's unit."""

from __future__ import annotations

from typing import Any

import pytest

from exhaust import ExhaustError, HPipe, SplitJoint, Tube

TUBE = Tube(od="63.5 mm", wall="1.651 mm")
WIDE = Tube(od="76.2 mm", wall="1.651 mm")
SMALL = Tube(od="50.8 mm", wall="1.651 mm")

REFUSED: list[tuple[dict[str, Any], str]] = [
    ({"spacing": "2 in"}, "spacing must be at least 2.5 in (got 2 in); that is where the prim"),
    (
        {"balance_tube": WIDE},
        "balance_tube must not be wider than the primary, 63.5 mm (got 76.2 mm); the saddle would",
    ),
    (
        {"balance_tube": Tube(od="63.5 mm", wall="1.2 mm")},
        "balance_tube must have a wall of 1.651 mm or more (got 1.2 mm); its bore would run past",
    ),
    (
        {"balance_tube": SMALL, "offset": "0.3 in"},
        "offset must be within 0.25 in either way (got 0.3 in); the saddle would run past the",
    ),
    ({"angle": "10 deg"}, "angle must be between 15 deg and 165 deg (got 10 deg); 90 deg is"),
    (
        {"angle": "160 deg", "splay": "20 deg"},
        "splay must be at most 10 deg for a balance tube at 160 deg (got 20 deg); past it one end",
    ),
    ({"splay": "-5 deg"}, "splay must not be less than zero (got -5 deg)"),
    ({"length": "2 in"}, "length must be at least 2.5 in to carry the saddle of the balance tube"),
    (
        {"length": "1.2 m", "splay": "20 deg"},
        "length must be at most 0.6764 m for primaries that splay (got 1.2 m); longer, they run",
    ),
    (
        {"balance_tube": SMALL, "split": SplitJoint(kind="flange", length="5 in")},
        "split takes 5 in of whole tube but the balance tube has 116.5 mm between its saddles; "
        "use a spacing of 190.5 mm or more",
    ),
    ({"split": "V-band"}, "split must be a SplitJoint (got str)"),
]


@pytest.mark.parametrize(("values", "words"), REFUSED)
def test_refusals_say_the_limit_and_the_remedy(values: dict[str, Any], words: str) -> None:
    with pytest.raises(ExhaustError) as error:
        HPipe(TUBE, **({"spacing": "180 mm"} | values))
    assert str(error.value).startswith(words)


def test_a_flush_offset_and_an_equal_tube_are_taken() -> None:
    flush = HPipe(TUBE, balance_tube=SMALL, spacing="180 mm", offset="1/4 in")
    assert flush.blank_length == pytest.approx(0.180, abs=1e-8)  # the saddle ends on the side
    assert HPipe(TUBE, spacing="180 mm").blank_length == pytest.approx(0.180, abs=1e-8)


def test_a_split_joint_covers_its_gap() -> None:
    with pytest.raises(ExhaustError, match="gap must not be more than length 10 mm"):
        SplitJoint(kind="clamp", length="10 mm", gap="11 mm")
    with pytest.raises(ExhaustError, match="kind is not a known choice"):
        SplitJoint(kind="v band", length="1 in")
