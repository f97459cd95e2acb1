"""Marks for the slice of a bend, laid off on the bend again, lie in the plane of the cut."""

from __future__ import annotations

import math

import pytest
from wrapped import BENT, DEGREE, EXACT, HS, MEETS, SPLAYED, TUBE

from exhaust import ExhaustError
from exhaust.cutmath.ordinates import ordinates


@pytest.mark.parametrize("name", BENT)
def test_marks_on_a_bend_lie_in_its_cut(name: str) -> None:
    """Every mark, laid off on the torus or the straight after it, is on the plane of the cut."""
    joint = BENT[name]
    found = ordinates(joint)
    a = TUBE.od / 2
    clr = 63.5e-3 if name == "run on" else 95.25e-3
    plane = clr + a * (1 - 2 * joint.cutback)
    for towards, clock, round_it, heel, wall, to_end in found.rows().rows:
        assert not isinstance(clock, str)
        half = 22.5 * DEGREE if towards == "the splayed end" else math.pi / 4
        assert round_it == pytest.approx(a * clock, abs=EXACT)
        r = clr + a * math.cos(clock)
        past = max(heel - (clr + a) * half, 0.0)
        turned = half if past else heel / (clr + a)
        x = r * math.cos(turned) - past * math.sin(turned)
        assert x == pytest.approx(plane, abs=MEETS)
        assert wall == pytest.approx(r * turned + past, abs=MEETS)
        assert to_end == pytest.approx((clr + a) * half - heel, abs=EXACT)


def test_marks_run_from_the_tip_round_to_the_middle() -> None:
    """The first is the tip, half of the opening's length off as seen straight on; the last 0."""
    x = BENT["parallel"]
    rows = ordinates(x).rows().rows
    tip = (95.25e-3 + 31.75e-3) * math.sin(rows[0][3] / (95.25e-3 + 31.75e-3))  # type: ignore[operator]
    assert tip == pytest.approx(x.opening_length / 2, abs=EXACT)
    assert rows[-1][3:5] == (0.0, 0.0)
    assert rows[-1][1] == pytest.approx(math.acos(1 - 2 * 0.3), abs=1e-15)
    assert all(isinstance(cell, str) or math.isfinite(cell) for row in rows for cell in row)


def test_a_butted_leg_on_which_the_opening_runs_on_has_marks_of_its_own() -> None:
    """At 45 deg included the tip is past the end of the bend's part towards the leg."""
    towards = {row[0] for row in ordinates(BENT["butted"]).rows().rows}
    assert towards == {"the parallel end", "the splayed end"}
    wide = BENT["butted"].with_(included_angle="90 deg")
    assert {row[0] for row in ordinates(wide).rows().rows} == {"either end"}


@pytest.mark.parametrize("joint", [SPLAYED["equal"], HS["square"], TUBE])
def test_what_has_no_cut_on_a_bend_has_no_marks(joint: object) -> None:
    with pytest.raises(ExhaustError, match="joint has no cut on a bend"):
        ordinates(joint)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("cutback", "clocks"),
    [(0.3, [0, 15, 30, 45, 60]), (0.26, [0, 15, 30, 45]), (0.24, [0, 15, 30, 45])],
)
def test_a_mark_each_quarter_of_an_hour_and_none_close_to_the_last(
    cutback: float, clocks: list[int]
) -> None:
    """Every 15 degrees, and the widest, acos(1 - 2f): 66.4, 61.3 and 58.7; 3 degrees are close."""
    x = BENT["parallel"].with_(cutback=cutback)
    rows = ordinates(x).rows().rows
    widest = math.degrees(math.acos(1 - 2 * cutback))
    found = [math.degrees(float(row[1])) for row in rows]
    assert found == pytest.approx([*clocks, widest])


def test_the_headline_is_depth_tips_and_width() -> None:
    """0.3 of 63.5 deep; heel of 127 to acos(107.95/127); 31.75 acos(0.4) round from the heel."""
    facts = {fact.name: float(fact.value) for fact in ordinates(BENT["parallel"]).facts()}  # type: ignore[arg-type]
    assert facts == {
        "cut depth": pytest.approx(19.05e-3),
        "from the middle to the tip, along the heel": pytest.approx(
            0.127 * math.acos(107.95 / 127)
        ),
        "from the heel to the cut": pytest.approx(31.75e-3 * math.acos(0.4)),
    }
    both = ordinates(BENT["butted"]).facts()
    notes = [fact.note for fact in both if fact.name.startswith("from the middle")]
    assert notes == ["towards the parallel end", "towards the splayed end"]
    assert float(both[1].value) != pytest.approx(float(both[2].value))  # type: ignore[arg-type]
    assert [way.towards for way in ordinates(BENT["mitred"]).ways] == ["the parallel end"]
    assert [way.towards for way in ordinates(BENT["merge"]).ways] == ["the leg's end"]
