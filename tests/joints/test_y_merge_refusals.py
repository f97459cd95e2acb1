"""What a YMerge refuses: the name, the rule, the value, the remedy, in the user's unit."""

from __future__ import annotations

from typing import Any

import pytest

from exhaust import Bend, ExhaustError, Tube, YMerge

TUBE = Tube(od="63.5 mm", wall="1.651 mm")
BEND = Bend(TUBE, clr="95.25 mm")  # 1.5 D
TIGHT = Bend(TUBE, clr="63.5 mm")  # 1.0 D

REFUSED: list[tuple[dict[str, Any], str]] = [
    (
        {"outlet": Tube(od="3.5 in", wall="16 ga")},
        "cutback must be at most 0.435 to reach 3.5 in x 16 ga: 304 is not stretched past 30.0 % "
        "(got 0.50, which asks 41.1 %); 0.207 needs no stretch",
    ),
    (
        {"outlet": Tube(od="2 in", wall="16 ga")},
        "outlet must be as large as the legs, 63.5 mm x 1.651 mm, or larger (got 2 in x 16 ga); ",
    ),
    (
        {"outlet": Tube(od="5 in", wall="16 ga")},
        "outlet must be less than 4.935 in, both legs of 63.5 mm x 1.651 mm side by side (got 5 in",
    ),
    ({"outlet": "3 in"}, "outlet must be a Tube (got str)"),
    (
        {"bend": TIGHT},
        "cutback 0.50 runs past the end of a 90 deg bend at clr 63.5 mm (most it can take is "
        "0.439); use a larger clr or leave straight ends on the bend (a spacer of 5.448 mm or "
        "more)",
    ),
    ({"cutback": 0.0}, "cutback must be between 0 and 1 (got 0); "),
    ({"cutback": 50}, "cutback must be between 0 and 1 (got 50); "),
    (
        {"cutback": 0.02},
        "cutback must be more than 0.026 to cut through a wall of 1.651 mm (got 0.02); 0.5 is "
        "usual for an outlet of the same size",
    ),
    ({"legs": "crossed"}, "legs is not a known choice (got 'crossed'); known: "),
    (
        {"legs": "splayed", "return_bend": BEND},
        'return_bend has no use where the legs stay splayed; leave it out or give legs="parallel"',
    ),
    (
        {"legs": "splayed", "bend": BEND.with_(angle="180 deg")},
        "bend turns 180 deg, but splayed legs take less than 180 deg; ",
    ),
    (
        {"return_bend": BEND.with_(angle="60 deg")},
        "return_bend must turn as much as the bend, 90 deg (got 60 deg); ",
    ),
    ({"spacing": "3.5 in"}, "spacing must be at least 3.75 in (got 3.5 in); "),
    ({"gap": "30 mm"}, "gap must be at least 31.75 mm (got 30 mm); "),
    (
        {"legs": "splayed", "spacing": "55 mm"},
        "spacing must be at least 55.8 mm (got 55 mm); a smaller clr or a bend of less angle",
    ),
    ({"legs": "splayed", "gap": "10 mm"}, "gap must be at least 10.9 mm (got 10 mm); "),
    (
        {"legs": "splayed", "outside_width": "100 mm"},
        "outside_width must be at least 100.7 mm (got 100 mm); ",
    ),
    (
        {"gap": "5 in", "spacer": "1 in"},
        "YMerge takes one of spacing, gap, outside_width or spacer (got gap and spacer); ",
    ),
    ({"spacer": "-1 mm"}, "spacer must not be less than zero (got -1 mm)"),
    ({"outlet_straight": "-1 in"}, "outlet_straight must not be less than zero (got -1 in)"),
    ({"outlet_straight": 4}, "outlet_straight must be a length with a unit (got 4); "),
]


@pytest.mark.parametrize(("values", "words"), REFUSED)
def test_refusals_say_the_limit_and_the_remedy(values: dict[str, Any], words: str) -> None:
    with pytest.raises(ExhaustError) as error:
        YMerge(**({"bend": BEND} | values))
    assert str(error.value).startswith(words)


@pytest.mark.parametrize(
    "values",
    [
        {"outlet": Tube(od="3.5 in", wall="16 ga"), "cutback": 0.435},
        {"outlet": Tube(od="4.93 in", wall="16 ga"), "cutback": 0.05},
        {"bend": TIGHT, "cutback": 0.439},
        {"bend": TIGHT, "spacer": "5.448 mm"},
        {"cutback": 0.027, "outlet": Tube(od="4.8 in", wall="16 ga")},
        {"gap": "31.75 mm"},
        {"legs": "splayed", "spacing": "55.8 mm"},
        {"legs": "splayed", "gap": "10.9 mm"},
        {"legs": "splayed", "outside_width": "100.7 mm"},
        {"legs": "splayed", "bend": BEND.with_(angle="179 deg")},
        {"bend": BEND.with_(angle="180 deg")},
    ],
)
def test_near_every_limit_it_works(values: dict[str, Any]) -> None:
    assert YMerge(**({"bend": BEND} | values)).narrowest_area > 0


def test_slips_are_checked_by_name() -> None:
    y = YMerge(BEND)
    with pytest.raises(ExhaustError, match=r"kerf must be a length with a unit \(got 0\.0015\)"):
        y.left_behind_tip(kerf=0.0015)
    with pytest.raises(ExhaustError, match=r"kerf must not be less than zero \(got -1 mm\)"):
        y.sawn_opening_length("-1 mm")
    with pytest.raises(ExhaustError, match="short must be an angle with a unit"):
        y.left_behind_tip(short=1)
    with pytest.raises(ExhaustError, match="short must be less than 45 deg, all of the half bend"):
        y.left_behind_tip(short="50 deg")
    with pytest.raises(ExhaustError, match="deeper must keep the cut within"):
        y.left_behind_tip(kerf="9 in")
    with pytest.raises(ExhaustError, match=r"kerf must be between zero and 254 mm"):
        y.sawn_opening_length("300 mm")
