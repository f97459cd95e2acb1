"""What a ParallelX refuses: the name, the rule, the value, the remedy, in the user's unit."""

from __future__ import annotations

from typing import Any

import pytest

from exhaust import Bend, ExhaustError, ParallelX, Tube

TUBE = Tube(od="63.5 mm", wall="1.651 mm")
BEND = Bend(TUBE, clr="95.25 mm")  # 1.5 D
TIGHT = Bend(TUBE, clr="63.5 mm")  # 1.0 D


def made(bend: Bend = BEND, **given: Any) -> ParallelX:
    return ParallelX(bend, **({"cutback": 0.30} | given))


REFUSED: list[tuple[Bend, dict[str, Any], str]] = [
    (
        TIGHT,
        {"cutback": 0.5},
        "cutback 0.50 runs past the end of a 90 deg bend at clr 63.5 mm (most it can take is "
        "0.439); use a larger clr or leave straight ends on the bend (a spacer of 5.448 mm or "
        "more)",
    ),
    (
        TIGHT,
        {"cutback": 0.5, "spacer": "2 mm"},
        "cutback 0.50 runs past the end of a 90 deg bend at clr 63.5 mm with 2 mm of straight "
        "(most it can take is 0.461); use a larger clr or leave straight ends on the bend "
        "(a spacer of 5.448 mm or more)",
    ),
    (BEND, {"cutback": 30}, "cutback must be between 0 and 1 (got 30); 0.30 means 30 % of"),
    (BEND, {"cutback": 0.0}, "cutback must be between 0 and 1 (got 0); "),
    (
        BEND,
        {"cutback": 0.02},
        "cutback must be more than 0.026 to cut through a wall of 1.651 mm (got 0.02); ",
    ),
    (
        BEND,
        {"cutback": 0.98},
        "cutback must be less than 0.974 to leave any of the tube (got 0.98)",
    ),
    (
        BEND,
        {"spacing": "3 in"},
        "spacing must be at least 3.25 in (got 3 in); a shallower cutback or a smaller clr",
    ),
    (BEND, {"gap": "10 mm"}, "gap must be at least 19.05 mm (got 10 mm); "),
    (BEND, {"outside_width": "140 mm"}, "outside_width must be at least 146.1 mm (got 140 mm); "),
    (
        BEND,
        {"spacing": "8 in", "gap": "6 in"},
        "ParallelX takes one of spacing, gap, outside_width or spacer (got spacing and gap); ",
    ),
    (BEND, {"spacer": "-12 mm"}, "spacer must not be less than zero (got -12 mm); bends too wide"),
    (
        BEND,
        {"return_bend": Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")},
        "return_bend is made of 3 in x 16 ga but the bend of 63.5 mm x 1.651 mm; ",
    ),
    (
        BEND,
        {"return_bend": BEND.with_(angle="60 deg")},
        "return_bend must turn as much as the bend, 90 deg (got 60 deg); ",
    ),
    (BEND, {"return_bend": TUBE}, "return_bend must be a Bend (got Tube)"),
    (BEND, {"spacing": 200}, "spacing must be a length with a unit (got 200); "),
    (BEND, {"cutback": "19 mm"}, "cutback must be a bare number, without a unit (got '19 mm')"),
]


@pytest.mark.parametrize(("bend", "values", "words"), REFUSED)
def test_refusals_say_the_limit_and_the_remedy(
    bend: Bend, values: dict[str, Any], words: str
) -> None:
    with pytest.raises(ExhaustError) as error:
        made(bend, **values)
    assert str(error.value).startswith(words)


@pytest.mark.parametrize(
    ("bend", "name", "limit", "cutback"),
    [
        (BEND, "spacing", "3.25 in", 0.30),
        (BEND, "outside_width", "146.1 mm", 0.30),
        (TIGHT, "spacer", "5.448 mm", 0.50),
    ],
)
def test_the_limit_in_a_refusal_is_one_that_is_taken(
    bend: Bend, name: str, limit: str, cutback: float
) -> None:
    assert made(bend, cutback=cutback, **{name: limit}).least_spacing > TUBE.od


def test_the_cutback_in_a_refusal_is_one_that_is_taken() -> None:
    assert made(TIGHT, cutback=0.439).run_on == 0.0
    assert made(TIGHT, cutback=0.461, spacer="2 mm").run_on == pytest.approx(2e-3, abs=0.1e-3)
    with pytest.raises(ExhaustError, match="runs past the end"):
        made(TIGHT, cutback=0.440)


def test_kerf_is_checked() -> None:
    x = made()
    with pytest.raises(ExhaustError, match=r"kerf must be a length with a unit \(got 0\.0015\)"):
        x.slug_length(0.0015)
    with pytest.raises(ExhaustError, match=r"kerf must be between zero and 0\.685 in, what the"):
        x.slug_depth("0.7 in")
