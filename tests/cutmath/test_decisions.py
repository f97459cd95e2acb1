"""What a sheet decides: which steps, on which pieces, in what words, and where each limit lies.

Limits are common practice, no source, and are looked for just inside and just outside; angles and
lengths in the words are worked by hand. mm and degrees.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from h_frames import CLOCK, HS, Frame, sheet_of
from test_sheets_by_hand import BEND, HEEL, SAW, SHEETS, TANGENT, TUBE, WIDE, A, D, K, R

from exhaust import (
    Bend,
    ParallelToSplayedX,
    ParallelX,
    Saw,
    SplayedX,
    Tube,
    YMerge,
    cut_sheet,
)
from exhaust.cutmath import CutSheet, Step
from exhaust.cutmath.dial import dialled, on_dial
from exhaust.joints import Joint
from exhaust.show import shown_in
from exhaust.stock import material

MM = 1e-3


def sheet(joint: Joint, saw: Saw = SAW) -> CutSheet:
    with shown_in("metric"):
        return cut_sheet(joint, saw)


def step(found: CutSheet, title: str) -> Step:
    return next(each for each in found.steps if each.title.startswith(title))


def said(found: CutSheet) -> str:
    return " ".join(found.warnings)


def value(facts: object, name: str) -> float:
    (found,) = (float(fact.value) for fact in facts if fact.name == name)  # type: ignore[attr-defined]
    return found


PIECES = {
    "parallel X": ["A B", "A", "B", "C", "A B C", "all"],
    "sawn faces out": ["A B", "A", "B", "A B", "all"],
    "trimmed": ["A B", "A", "A", "B", "A B", "all"],
    "splayed alike": ["A B", "A B", "A B", "A B", "all"],
    "splayed unlike": ["A B", "A B", "A", "B", "A B", "all"],
    "half, mitred": ["A B", "A", "A", "B", "A", "A", "D", "D", "D", "all", "all"],
    "half, butted": ["A B", "A", "D", "A", "A", "B", "all", "all"],
    "Y": ["A B", "A", "C", "A C", "A", "B", "A B", "A", "D", "all"],
}


@pytest.mark.parametrize("name", PIECES)
def test_each_step_is_done_to_its_pieces(name: str) -> None:
    """By hand: mains are A, returns B, straights C, legs and outlets D."""
    assert [each.parts for each in sheet(SHEETS[name]()[0]).steps] == PIECES[name]


@pytest.mark.parametrize(
    ("name", "balance", "primaries"),
    [
        ("square", "A", "B"),
        ("split", "A", "B"),
        ("skew", "A", "B"),
        ("splayed", "A", "B C"),
        ("splayed and split", "A B", "C D"),
    ],
)
def test_pieces_of_an_h_that_are_alike_have_one_mark(
    name: str, balance: str, primaries: str
) -> None:
    """Turned end for end left is right, unless the primaries splay; a split tube is two pieces."""
    found = sheet_of(HS[name], SAW)
    both, split = f"{balance} {primaries}", [balance] if HS[name].split else []
    assert [each.parts for each in found.steps] == [
        *(both, primaries, primaries, balance, balance, balance, *split, both, "all")
    ]
    assert [part.label for part in found.parts] == both.split()


def test_pieces_of_an_h_that_differ_weigh_what_they_are() -> None:
    """The tube's metal from each primary to the split, by rays in space."""
    h = HS["splayed and split"]
    frame, tube = Frame(h), h.balance_tube
    clock = np.linspace(-math.pi, math.pi, 721)[:-1]
    x, weights = np.polynomial.legendre.leggauss(10)
    rings = float(tube.od) / 2 - float(tube.wall) * (1 - x) / 2
    left, right = (
        sum(
            weight * rho * float(np.mean(frame.met(side, clock, rho)))
            for weight, rho in zip(weights, rings, strict=True)
        )
        * math.pi
        * float(tube.wall)
        for side in (0, 1)
    )
    assert h.split is not None
    density = material(tube.material).density
    parts = {part.label: part.mass for part in sheet_of(h, SAW).parts}
    whole = density * (right - left)
    ring = tube.mass_per_length
    assert parts["A"] + parts["B"] == pytest.approx(whole - ring * h.split.gap, rel=1e-4)
    middle = sheet_of(h, SAW)
    pieces = {part.label: part.length for part in middle.parts}
    frame_long = [frame.met(side, CLOCK, float(tube.od) / 2) for side in (0, 1)]
    ends = frame_long[0].min() + pieces["A"], frame_long[1].max() - pieces["B"]
    assert ends[1] - ends[0] == pytest.approx(h.split.gap, abs=1e-6)
    assert parts["A"] == pytest.approx(ring * ends[0] - density * left, rel=1e-4)


# Straights between bends


def x_with(spacer: float, tangent: float = TANGENT, back: float | None = None) -> ParallelX:
    bend = Bend(TUBE, clr=f"{R} mm", tangent=f"{tangent} mm")
    other = bend if back is None else bend.with_(tangent=f"{back} mm")
    return ParallelX(bend, cutback=0.3, spacer=f"{spacer} mm", return_bend=other)


def test_a_straight_is_the_bends_own_end_then_both_ends_then_a_piece() -> None:
    """Own end 30: straights to 29.45 (half a kerf more); both ends to 60; a piece past that."""
    for spacer, titles in (
        (29.4, ["Shorten the straight ends"]),
        (29.5, ["Shorten the straight ends"]),
        (30.1, []),
        (59.9, []),
        (60.1, ["Saw the straights"]),
    ):
        found = sheet(x_with(spacer))
        made = [each.title for each in found.steps]
        wanted = ["Shorten the straight ends", "Saw the straights"]
        assert [title for title in wanted if title in made] == titles, spacer
        out = "Sawn faces go outward" in step(found, "Halve the returns").words
        assert out == (29.45 < spacer < 60.0)
        turned = "The returns are turned, straight end inward" in said(found)
        assert turned == out
    sawn = step(sheet(x_with(60.1)), "Saw the straights")
    piece = value(sawn.settings, "Stop to the blade's near face")
    assert piece / MM == pytest.approx(60.1 + K / 2 - TANGENT)
    short = x_with(45.0, tangent=TANGENT + 0.03)
    assert f"comes out {TANGENT + 0.03 + K / 2:.1f} mm shorter" in said(sheet(short))
    none = x_with(10.0, tangent=0.0)
    assert "The returns are turned" not in said(sheet(none))


def test_a_straight_end_gives_way_so_that_a_piece_is_no_ring() -> None:
    """25 mm are sawn well; a piece of 5 more than the end's 30 takes 20 of the end instead."""
    for spacer in (34.0, 54.0, 56.0):
        joint = x_with(spacer, back=0.0)
        found = sheet(joint)
        need = spacer + K / 2
        left = TANGENT if need - TANGENT >= 25.0 else need - 25.0
        piece = value(step(found, "Saw the straights").checks, "Length all round")
        assert piece / MM == pytest.approx(need - left)
        shortened = [each for each in found.steps if each.title.startswith("Shorten")]
        assert bool(shortened) == (left < TANGENT)
        if shortened:
            assert value(shortened[0].settings, "Straight left on each end") / MM == pytest.approx(
                left
            )


@pytest.mark.parametrize(
    ("spacer", "ring", "short"),
    [(11.43, True, False), (11.63, False, True), (50.23, False, True), (50.3, False, False)],
)
def test_rings_and_pieces_shorter_than_the_vice_are_told(
    spacer: float, ring: bool, short: bool
) -> None:
    """Half a kerf more than the straight: a ring under 12 mm, out of the vice under 50.8."""
    words = said(sheet(x_with(spacer, tangent=0.0)))
    assert ("is a ring of" in words) is ring
    assert ("shorter than the vice holds" in words) is short
    if ring:
        assert f"is a ring of {spacer + K / 2:.1f} mm" in words
    elif short:
        assert f"A straight of {spacer + K / 2:.1f} mm" in words


def test_an_opening_past_the_bend_is_on_a_straight_that_is_welded_on_first() -> None:
    """1.0 D at 0.5 runs (95.25 cos 45 - 63.5)/sin 45 = 5.45 onto the straight."""
    bend = Bend(TUBE, clr="63.5 mm", tangent="0 mm")
    past, inside = (ParallelX(bend, cutback=f, spacer="60 mm") for f in (0.5, 0.43))
    order = [each.title for each in sheet(past).steps]
    assert order.index("Saw the straights") < order.index("Slice the heel")
    slicing = step(sheet(past), "Slice the heel")
    assert slicing.words.startswith("Weld the straights to the bend first")
    runs = ((63.5 + A) * math.cos(math.pi / 4) - 63.5) / math.sin(math.pi / 4)
    left = value(slicing.checks, "Tip to end of bend along the heel")
    assert left / MM == pytest.approx(60.0 - runs)
    order = [each.title for each in sheet(inside).steps]
    assert order.index("Saw the straights") > order.index("Slice the heel")
    assert not step(sheet(inside), "Slice the heel").words.startswith("Weld")
    own = ParallelX(bend.with_(tangent="60 mm"), cutback=0.5, spacer="40 mm")
    assert not step(sheet(own), "Slice the heel").words.startswith("Weld")  # its own end is there
    left = value(step(sheet(own), "Slice the heel").checks, "Tip to end of bend along the heel")
    assert left / MM == pytest.approx(40.0 + K / 2 - runs)


def test_what_is_left_beyond_an_opening_is_held_by_the_vice() -> None:
    joint = x_with(60.0)
    left = value(step(sheet(joint), "Slice").checks, "Tip to end of bend along the heel")
    for clamp, told in ((left / MM - 0.1, False), (left / MM + 0.1, True)):
        words = said(sheet(joint, Saw(kerf="1.1 mm", clamp_length=f"{clamp} mm")))
        assert ("of round tube is left beyond the opening" in words) is told
    assert f"Only {left / MM:.1f} mm of round tube" in words


def test_the_gauge_says_what_a_deeper_cut_does_to_it() -> None:
    """Twice plane over half chord: 2 x 107.95/66.901 = 3.23; of a half bend once."""
    plane = HEEL - 0.3 * D
    slope = 2 * plane / math.sqrt(HEEL**2 - plane**2)
    note = step(sheet(x_with(45.0)), "Slice").checks[0].note
    assert note == f"the gauge: moves {slope:.1f} for 1 of depth"
    y = YMerge(BEND, cutback=0.3, outlet=WIDE)
    note = step(sheet(y), "Slice").checks[0].note
    assert note == f"the gauge: moves {slope / 2:.1f} for 1 of depth"


def test_a_degree_of_every_bend_moves_the_spacing_by_what_is_said() -> None:
    """Half a degree on each half: 2 ((R + R) sin 45 + s cos 45) times half a degree."""
    more = 2 * (2 * R * math.sin(math.pi / 4) + 45 * math.cos(math.pi / 4)) * math.radians(0.5)
    assumed = sheet(x_with(45.0)).assumptions
    assert any(f"moves the spacing {more:.1f} mm wider" in words for words in assumed)
    y = YMerge(BEND, spacing="280 mm")
    degree = abs(y.spacing_per_degree) * math.radians(1.0) / MM
    assert any(f"moves the spacing {degree:.1f} mm" in words for words in sheet(y).assumptions)


# Merges


def test_a_merge_is_formed_where_its_outline_is_not_the_outlets() -> None:
    """Half of two equal tubes is one tube; a cutback 0.001 from it, or another outlet, is not."""

    def formed(**change: object) -> Step | None:
        y = YMerge(BEND, **({"cutback": 0.5} | change))  # type: ignore[arg-type]
        steps = [each for each in sheet(y).steps if each.title.startswith("Form")]
        return steps[0] if steps else None

    assert formed() is None
    assert formed(cutback=0.4991) is None
    assert formed(cutback=0.4989) is not None
    assert formed(outlet=Tube(od="63.53 mm", wall="1.651 mm")) is None
    assert formed(outlet=Tube(od="63.54 mm", wall="1.651 mm")) is not None
    wide = formed(cutback=0.45, outlet=WIDE)
    assert wide is not None
    assert "look for cracks at the beads" in wide.words
    long = formed(cutback=0.3, outlet=Tube(od="70 mm", wall="1.651 mm"))
    assert long is not None
    assert "gathered or pressed" in long.words
    assert "Passes, evenly" not in {fact.name for fact in long.settings}


@pytest.mark.parametrize(
    ("od", "passes"), [("72.7 mm", 1), ("72.77735 mm", 1), ("72.9 mm", 2), ("82 mm", 2)]
)
def test_a_stretch_is_taken_in_passes_that_multiply(od: str, passes: int) -> None:
    """15 % in one (common practice): 1.15, 1.3225, 1.5209 times the outline, mid wall."""
    y = YMerge(BEND, cutback=0.5, outlet=Tube(od=od, wall="1.651 mm"))
    grown = (float(od.split()[0]) - 1.651) / (D - 1.651)
    assert 1.15 ** (passes - 1) < grown <= 1.15**passes + 1e-12
    found = sheet(y)
    assert value(step(found, "Form").settings, "Passes, evenly") == passes
    assert (f"form it in {passes} passes" in said(found)) is (passes > 1)
    if passes > 1:
        assert f"A stretch of {100 * (grown - 1):.1f} % is more than 15.0 %" in said(found)


def test_a_leg_is_held_by_its_straight_past_the_tip() -> None:
    """Own straight less what the opening runs onto it; an offcut as long as the vice else."""
    for spacer, handled in ((50.9, False), (50.7, True)):
        found = sheet(YMerge(BEND, legs="splayed", spacer=f"{spacer} mm"))
        names = {fact.name for fact in step(found, "Tack").settings}
        assert ("Offcut of the same tube, at least" in names) is handled
        assert ("tack an offcut on for the slice" in said(found)) is handled
    assert "Only 50.7 mm of straight is left past the tip" in said(found)
    bend = Bend(TUBE, clr="63.5 mm", tangent="0 mm")
    runs = ((63.5 + A) * math.cos(math.pi / 4) - 63.5) / math.sin(math.pi / 4)
    for spacer, handled in ((50.8 + runs + 0.1, False), (50.8 + runs - 0.1, True)):
        found = sheet(YMerge(bend, cutback=0.5, legs="splayed", spacer=f"{spacer} mm"))
        assert ("tack an offcut on for the slice" in said(found)) is handled
        tack = step(found, "Tack")
        assert "weld it round before the slice" in tack.words
        note = next(f.note for f in step(found, "Halve the bend").checks if "behind" in f.name)
        assert note == "the opening runs past the half bend onto the straight"
    short = sheet(YMerge(bend, cutback=0.5, legs="splayed", spacer="5.5 mm"))
    assert "Only 0.1 mm of straight" in said(short)
    note = next(
        f.note
        for f in step(sheet(YMerge(BEND)), "Halve the bend").checks
        if f.name.startswith("Left of the half bend")
    )
    assert note == "along the heel"


def test_an_outlet_without_a_straight_is_only_fitted() -> None:
    bare = step(sheet(YMerge(BEND)), "Fit the outlet")
    assert (bare.parts, bare.settings, bare.poses) == ("A", (), ())
    assert "101.6 mm to 152.4 mm of straight" in bare.words
    own = step(sheet(YMerge(BEND, outlet_straight="80 mm")), "Fit the outlet")
    assert (own.parts, len(own.settings), len(own.poses)) == ("D", 1, 1)
    assert step(sheet(YMerge(BEND, legs="splayed")), "Fit and tack").parts == "A"
    assert step(sheet(YMerge(BEND, legs="splayed")), "Measure").parts == "A"
    assert "the outlet last" in step(sheet(YMerge(BEND, outlet=WIDE, cutback=0.4)), "Weld").words
    assert ", then the outlet" in step(sheet(YMerge(BEND)), "Weld").words


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
    from exhaust import ExhaustError
    from exhaust.cutmath.dial import mitre_on_dial

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
