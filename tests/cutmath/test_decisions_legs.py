"""What a sheet decides of mitred and butted legs: limits looked for inside and outside; mm."""

from __future__ import annotations

import math

import pytest
from by_hand import BEND, HEEL, TUBE, A, D, K, R
from told import said, sheet, step, value

from exhaust import Bend, ExhaustError, ParallelToSplayedX, Saw, SplayedX
from exhaust.cutmath.dial import dialled, mitre_on_dial, on_dial

MM = 1e-3


# Mitred legs


SPLAYED = SplayedX(TUBE, included_angle="45 deg", cutback=0.3, leg_length="200 mm")
THETA = math.radians(22.5)
# what a leg is at least: run-out on the wall, the vice, less the mitre's own slope
LEAST = 0.3 * D * (math.tan(THETA) + 1 / math.tan(THETA)) + 50.8 - A * math.tan(THETA)


def test_a_leg_too_short_for_the_vice_is_sawn_longer_and_squared_off() -> None:
    """By what it lacks and the kerf that takes it off again, at both ends of its blank."""
    enough, short = (SPLAYED.with_(leg_length=f"{LEAST + more} mm") for more in (0.05, -10.0))
    assert not any(each.title.startswith("Square the legs") for each in sheet(enough).steps)
    found = sheet(short)
    squared = step(found, "Square the legs off")
    length, longer = LEAST - 10.0, 10.0 + K
    slope = A * math.tan(THETA)
    assert [round(float(f.value) / MM, 6) for f in squared.settings] == pytest.approx(  # type: ignore[arg-type]
        [length + slope, length - slope, 0.0], abs=1e-6
    )
    blank = value(step(found, "Saw blanks").settings, "Blank for two legs A")
    assert blank / MM == pytest.approx(2 * (length + longer) + K / math.cos(THETA))
    note = step(found, "Saw blanks").settings[0].note
    assert note.endswith(f"and {longer:.1f} mm more at each square end for the clamp")
    mitred = value(step(found, "Mitre").settings, "Stop to the blade's near face, heel line")
    assert mitred / MM == pytest.approx(length + longer + slope)
    assert f"saw its blank {longer:.1f} mm longer at the square end" in said(found)
    assert step(found, "Square").parts == "A B"
    bare = sheet(enough)
    assert step(bare, "Saw blanks").settings[0].note == "the mitre's kerf is in it"


def test_ends_of_one_angle_and_two_lengths_are_mitred_apart() -> None:
    x = SPLAYED.with_(exit_leg_length="260 mm")
    titles = [(each.title, each.parts) for each in sheet(x).steps]
    assert [parts for title, parts in titles if title == "Mitre the legs"] == ["A", "B"]
    assert [parts for title, parts in titles if title == "The long cut"] == ["A", "B"]
    assert not any("opposite hand" in each.words for each in sheet(x).steps)
    near = SPLAYED.with_(exit_leg_length="200.0005 mm")
    assert [e.parts for e in sheet(near).steps if e.title == "Mitre the legs"] == ["A B"]


def test_legs_that_lean_are_of_opposite_hand() -> None:
    x = SPLAYED.with_(exit_angle="70 deg", unequal="bisector")
    cuts = [each for each in sheet(x).steps if each.title == "The long cut"]
    tilt = 6.0  # half of 35 less 22.5, on the dial's nearest mark
    assert [cut.words.split(":")[0] for cut in cuts] == ["Legs A and B are of opposite hand"] * 2
    assert f"stands {tilt:.1f}° from square for both, for A leaning to the outer" in cuts[0].words
    assert "for B leaning to the heel" in cuts[1].words


def test_a_long_cut_past_the_dial_has_its_wedge_after_the_dial() -> None:
    """A tilt of 6 degrees on a dial that goes to 5: the rest is on the fence."""
    x = SPLAYED.with_(exit_angle="70 deg", unequal="bisector")
    low = Saw(kerf="1.1 mm", largest_angle="5 deg")
    settings = step(sheet(x, low), "The long cut").settings
    assert [fact.name for fact in settings[:2]] == [
        "Blade from square to the fence",
        "Wedge on the fence",
    ]
    angles = [math.degrees(float(fact.value)) for fact in settings[:2]]  # type: ignore[arg-type]
    assert angles == pytest.approx([5.0, 1.0])
    assert "The long cut of A is 6.0° from square, past the dial" in said(sheet(x, low))


def test_legs_of_unlike_width_are_told_over_each_end() -> None:
    """The plain rule: each mitre half of its own angle, so that the exit is the wider."""
    plain = SPLAYED.with_(exit_angle="60 deg", unequal="plain")
    checks = step(sheet(plain), "Fit").checks
    over = [2 * 0.7 * D / math.cos(math.radians(half)) for half in (22.5, 30.0)]
    assert value(checks, "Over both sides at the mitres") / MM == pytest.approx(over[0])
    assert value(checks, "Over the exit legs at the mitres") / MM == pytest.approx(over[1])
    assert value(checks, "Largest step between the edges") > 0.0
    names = {fact.name for fact in step(sheet(SPLAYED), "Fit").checks}
    assert "Over the exit legs at the mitres" not in names
    assert "Largest step between the edges" not in names


def test_an_angle_off_the_dial_is_rounded_and_told() -> None:
    found = sheet(SPLAYED.with_(included_angle="44.6 deg"))
    assert "for an included angle of 45° instead of 44.6°" in said(found)
    before, after = (
        2 * (200 * math.sin(half) + (0.7 - 0.5) * D / math.cos(half))
        for half in (math.radians(22.3), THETA)
    )
    assert f"the exit becomes {after:.1f} mm instead of {before:.1f} mm" in said(found)
    assert "dial moves in steps" not in said(sheet(SPLAYED))
    half = ParallelToSplayedX(
        BEND, cutback=0.3, included_angle="44.6 deg", leg_length="200 mm", spacer="50 mm"
    )
    assert "the spacing at the legs' ends becomes" in said(sheet(half))
    two = sheet(SPLAYED.with_(included_angle="44.6 deg", exit_angle="60.2 deg", unequal="plain"))
    assert "45° and 60° instead of 44.6° and 60.2°" in said(two)


def test_past_the_dial_a_wedge_adds_what_is_missing() -> None:
    """To 45 degrees; past it the dial's last mark and the rest in a wedge. Steps of 2 end at 44."""
    wide = SplayedX(TUBE, included_angle="100 deg", cutback=0.3, leg_length="250 mm")
    settings = step(sheet(wide), "Mitre").settings
    assert [round(math.degrees(float(f.value)), 6) for f in settings[:2]] == [45.0, 5.0]  # type: ignore[arg-type]
    assert "The mitre of A is 50.0° from square, past the dial: set 45.0°" in said(sheet(wide))
    assert "wedge of 5.0° between fence and work" in said(sheet(wide))
    at = SplayedX(TUBE, included_angle="90 deg", cutback=0.3, leg_length="250 mm")
    assert "past the dial" not in said(sheet(at))
    coarse = Saw(kerf="1 mm", angle_step="2 deg")
    dial, wedge = dialled(math.radians(46), coarse)
    assert (math.degrees(dial), math.degrees(wedge)) == pytest.approx((44.0, 2.0))
    assert dialled(math.radians(-30), coarse) == pytest.approx((math.radians(30), 0.0))
    assert math.degrees(on_dial(math.radians(24.9), coarse)) == pytest.approx(24.0)
    assert math.degrees(on_dial(math.radians(25.1), coarse)) == pytest.approx(26.0)


@pytest.mark.parametrize(("half", "fits"), [(2.6, True), (2.4, False)])
def test_a_mitre_of_less_than_two_degrees_and_a_half_is_no_splay(half: float, fits: bool) -> None:
    fine = Saw(kerf="1 mm", angle_step="0.1 deg")
    if fits:
        assert math.degrees(mitre_on_dial(math.radians(half), fine)) == pytest.approx(half)
        return
    with pytest.raises(ExhaustError, match="angle_step is too coarse"):
        mitre_on_dial(math.radians(half), fine)


# Halved X and butted legs


def test_butted_legs_take_the_bends_own_end_first() -> None:
    """A bend of 90 at 90 included is not trimmed: its end of 60 is the leg to that length."""
    bend = Bend(TUBE, clr=f"{R} mm", tangent="60 mm")
    x = ParallelToSplayedX(
        bend, cutback=0.3, included_angle="90 deg", leg_length="50 mm", legs="butted"
    )
    for length, own, piece in ((50.0, 50.0, 0.0), (60.0, 60.0, 0.0), (85.0, 60.0, 25.0)):
        found = sheet(x.with_(leg_length=f"{length} mm"))
        legs = step(found, "Saw the legs")
        marks = [part.label for part in found.parts]
        if piece:
            assert value(legs.checks, "Length all round") / MM == pytest.approx(piece)
            assert (legs.parts, "D" in marks) == ("D", True)
        else:
            left = value(legs.settings, "Straight left on the splayed end")
            assert left / MM == pytest.approx(own)
            assert (legs.parts, "D" in marks) == ("A", False)
        check = step(found, "Check the splayed end")
        assert value(check.settings, "Angle left past the middle") == pytest.approx(math.pi / 4)
        main = found.parts[0].length / MM
        assert main == pytest.approx(2 * R * math.pi / 4 + own + K / 2)
    narrow = sheet(x.with_(included_angle="89.8 deg"))
    assert "Trim the splayed end" in [each.title for each in narrow.steps]


def test_an_opening_that_runs_onto_butted_legs_says_how_far() -> None:
    """Trimmed to 25 degrees the tip at 31.8 is past the end: (127 cos 25 - 107.95)/sin 25."""
    x = ParallelToSplayedX(
        BEND, cutback=0.3, included_angle="50 deg", leg_length="200 mm", legs="butted"
    )
    quarter = math.radians(25)
    over = (HEEL * math.cos(quarter) - (HEEL - 0.3 * D)) / math.sin(quarter)
    found = sheet(x)
    assert f"the opening runs {over:.1f} mm onto them" in step(found, "Slice").words
    left = value(step(found, "Slice").checks, "Tip to the leg's end, splayed end")
    assert left / MM == pytest.approx(200 - over)
    inside = sheet(x.with_(included_angle="70 deg"))
    assert not step(inside, "Slice").words.startswith("Weld")
    low = Saw(kerf="1.1 mm", height_capacity="60 mm")
    half = x.with_(legs="mitred")
    assert "Halving the tacked X needs 63.5 mm of height" in said(sheet(half, low))
    assert f"the legs step {half.worst_step / MM:.1f} mm" in said(sheet(half)).lower()
