"""What a sheet decides: which steps, on which pieces, in what words, and where each limit lies.

Limits are common practice, no source, and are looked for just inside and just outside; angles and
lengths in the words are worked by hand. mm and degrees.
"""

from __future__ import annotations

import math

import pytest
from by_hand import BEND, HEEL, TANGENT, TUBE, WIDE, A, D, K, R
from by_hand_sheets import SHEETS
from told import said, sheet, step, value

from exhaust import (
    Bend,
    ParallelX,
    Saw,
    Tube,
    YMerge,
)
from exhaust.cutmath import Step

MM = 1e-3


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


def test_a_merge_without_returns_is_as_long_as_its_splayed_legs() -> None:
    """R sin 45, the straight's share, the far corner of its end, the outlet; half a kerf less."""
    y = YMerge(BEND, legs="splayed", spacer="60 mm", outlet_straight="80 mm")
    long = (R + 60 + A) * math.sqrt(0.5) + 80 - K / 2
    found = step(sheet(y), "Fit the outlet").checks[0]
    assert found.name == "Overall length, legs' ends to outlet's end"
    assert float(found.value) / MM == pytest.approx(long)  # type: ignore[arg-type]
