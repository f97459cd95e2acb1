"""Which drawings stand beside each step, and which words a step of an H pipe needs: by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from by_hand_sheets import SHEETS
from h_frames import (
    BOTH,
    CLOCK,
    EQUAL,
    HS,
    OFFSET,
    SAW,
    SKEW,
    SPLAYED,
    SPLIT,
    SQUARE,
    Frame,
    sheet_of,
    step,
)

from exhaust import HPipe, cut_sheet
from exhaust.stock import material

SLICE = ["Slice the heel", "The same cut at the middle of the bend"]
LONG = "The same cut on the mitre face"
RETURNS = {"Halve the returns": ["Halve the return bend"]}
DRAWN: dict[str, dict[str, list[str]]] = {
    "parallel X": {"Slice the heel": SLICE} | RETURNS | {"Saw the straights": ["Saw a straight"]},
    "sawn faces out": {"Slice the heel": SLICE} | RETURNS,
    "trimmed": {
        "Trim the bends": ["Trim the main bend"],
        "Slice the heel": SLICE,
        "Cut the returns": ["Cut a return"],
    },
    "splayed alike": {
        "Mitre the legs": ["Mitre two legs with one cut, A B"],
        "The long cut": ["The long cut, A B", LONG],
    },
    "half, mitred": {
        "Shorten the straight ends": ["Shorten a straight end"],
        "Slice the heel": SLICE,
        **RETURNS,
        "Secure and halve the X": ["Halve the tacked X"],
        "Mitre the legs": ["Mitre two legs with one cut, D"],
        "The long cut": ["The long cut, D", LONG],
    },
    "half, butted": {
        "Shorten the straight ends": ["Shorten a straight end"],
        "Saw the legs": ["Saw a straight"],
        "Trim the splayed end": ["Trim the main bend"],
        "Slice the heel": SLICE,
        **RETURNS,
    },
    "Y": {
        "Halve the bend and check the angle": ["Halve the bend into two legs"],
        "Saw the straights": ["Saw a straight"],
        "Slice the heel": ["Slice the heel", "The same cut on the outlet face"],
        **RETURNS,
        "Fit the outlet": ["Saw a straight"],
    },
}


def drawings(joint: object) -> dict[str, list[str]]:
    steps = cut_sheet(joint, SAW).steps  # type: ignore[arg-type]
    return {each.title: [pose.title for pose in each.poses] for each in steps if each.poses}


@pytest.mark.parametrize("name", DRAWN)
def test_every_cut_is_drawn_beside_its_step(name: str) -> None:
    assert drawings(SHEETS[name]()[0]) == DRAWN[name]


def drilled(*which: str) -> list[str]:
    return [
        f"{what}, {one}" for one in which for what in ("Drill the hole", "Set it under the drill")
    ]


def of_h(holes: list[str], sawn: list[str], rough: list[str]) -> dict[str, list[str]]:
    return {
        "Measure and mark": ["Clock the lines"],
        "Saw the primaries": ["Saw a primary"],
        "Hole the primaries": holes,
        "Saw the balance tube": [f"Saw the balance tube square{which}" for which in sawn],
        "Rough out the notches": [f"Rough out the notch{which}" for which in rough],
    }


BOTH_SIDES = [", exit side", ", entry side"]
ENDS = [", left end", ", right end"]


@pytest.mark.parametrize(
    ("h", "wanted"),
    [
        (SQUARE, of_h(drilled("either primary"), [""], [""])),
        (SKEW, of_h(drilled("left primary"), [""], [""])),
        (OFFSET, of_h(drilled("left primary"), [""], BOTH_SIDES)),
        (SPLIT, of_h(drilled("either primary"), [""], [""])),
        (SPLAYED, of_h(drilled("left primary", "right primary"), [""], ENDS)),
        (
            HS["splayed and split"],
            of_h(
                drilled("left primary", "right primary"),
                [", left piece", ", right piece"],
                [end + side for end in ENDS for side in BOTH_SIDES],
            ),
        ),
    ],
    ids=["square", "skew", "offset", "split", "splayed", "splayed and split"],
)
def test_an_h_is_drawn_once_for_all_that_is_alike(h: HPipe, wanted: dict[str, list[str]]) -> None:
    assert drawings(h) == wanted


# Words that tell one case from another


def words(h: HPipe, title: str) -> str:
    return step(sheet_of(h, SAW), title).words


def test_ends_cut_alike_are_told_once_and_how_the_other_lies() -> None:
    """Square: alike. Skew or offset: the right end is the left turned end for end. Splayed: not."""
    for title in ("Rough", "Grind"):
        turned = [h for h in (SQUARE, EQUAL, SKEW, OFFSET, BOTH, SPLIT, SPLAYED)
                  if "turn the tube end for end" in words(h, title)]  # fmt: skip
        assert turned == [SKEW, BOTH], title
    alike = [h for h in (SQUARE, SKEW, OFFSET, SPLAYED) if "cut alike" in words(h, "Rough")]
    assert alike == [SQUARE, OFFSET]


def test_holes_are_told_for_one_primary_where_they_are_alike() -> None:
    slope = "A hole saw walks on a slope"
    for h, turned, unlike, sloped in (
        (SQUARE, False, False, False),
        (OFFSET, False, False, False),
        (SKEW, True, False, True),
        (SPLAYED, False, True, True),
    ):
        said = words(h, "Hole")
        assert ("turned end for end, its top still the top" in said) is turned
        assert ("mark left and right before drilling" in said) is unlike
        assert (slope in said) is sloped
    facts = step(sheet_of(SPLAYED, SAW), "Hole")
    names = [fact.name for fact in (*facts.settings, *facts.checks)]
    assert "Left primary: entry end to the pilot, on the facing line" in names
    assert "Right primary: entry end to the hole's far edge" in names
    note = next(fact.note for fact in facts.checks if fact.name == "Hole along the primary")
    assert note == "its long axis"
    plain = step(sheet_of(SKEW, SAW), "Hole").checks
    assert next(fact.note for fact in plain if fact.name == "Hole along the primary") == ""


def test_an_offset_is_told_with_its_side() -> None:
    for h, over, towards in ((OFFSET, "above", "top"), (BOTH, "below", "bottom")):
        facts = step(sheet_of(h, SAW), "Hole").settings
        pilot = [
            fact.name for fact in facts if "the facing line" in fact.name and over in fact.name
        ]
        assert len(pilot) == (1 if h is OFFSET else 2)
        spindle = {fact.note for fact in facts if "spindle" in fact.name.lower()}
        assert spindle == {f"towards its {towards}"}
    assert not any("pindle" in fact.name for fact in step(sheet_of(SKEW, SAW), "Hole").settings)


def test_a_twist_is_none_where_the_tube_is_square() -> None:
    for h, none in ((SQUARE, True), (OFFSET, True), (SKEW, False), (SPLAYED, False)):
        facts = step(sheet_of(h, SAW), "Grind").settings
        note = next(fact.note for fact in facts if fact.name.startswith("Twist"))
        assert note.startswith("none: both ends") is none


def test_a_split_is_bolted_up_before_tacks_and_stays_so() -> None:
    clamped = SPLIT.with_(split=SPLIT.split.with_(kind="clamp"))  # type: ignore[union-attr]
    for h, welded in ((SPLIT, True), (clamped, False)):
        assert h.split is not None
        assert h.split.welded is welded
        said = words(h, "Fit the split")
        assert ("tack each half of the joint" in said) is welded
        assert ("clamp the two pieces together" in said) is not welded
        assert "Keep the split joint bolted up" in words(h, "Weld")
        across = {row[0]: row[1:] for row in sheet_of(h, SAW).finished.rows}
        tacked, most, _ = (float(x) for x in across["Spacing at the exit, centre to centre"])
        assert tacked - most == pytest.approx((4 if welded else 2) * 0.5e-3)
    assert "split" not in words(SQUARE, "Weld")
    assert "Two pieces: the sawn end" in words(SPLIT, "Saw the balance")
    assert "Two pieces" not in words(SQUARE, "Saw the balance")


# Pieces


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
