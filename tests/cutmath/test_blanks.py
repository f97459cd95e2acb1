"""What comes off the shelf for each piece holds the piece, its kerf and what the clamp wants."""

from __future__ import annotations

import math

import pytest

from exhaust import (
    Bend,
    HPipe,
    ParallelToSplayedX,
    ParallelX,
    Saw,
    SplayedX,
    SplitJoint,
    Tube,
    YMerge,
    cut_sheet,
)
from exhaust.cutmath import CutSheet
from exhaust.joints import Joint
from exhaust.stock import INCH

TUBE = Tube(od="3 in", wall="16 ga")
SAW = Saw(kerf="1.1 mm", clamp_length="2 in")
KERF = 1.1e-3
BEND = Bend(TUBE, clr="4.5 in")
ENDED = Bend(TUBE, clr="4.5 in", tangent="2 in")

JOINTS: dict[str, Joint] = {
    "bare bends": ParallelX(BEND, cutback=0.28, spacing="10.5 in"),
    "straight ends": ParallelX(ENDED, cutback=0.28, spacing="12 in"),
    "trimmed": ParallelX(BEND, cutback=0.28, spacing="4 in"),
    "splayed": SplayedX(TUBE, included_angle="45 deg", cutback=0.3, leg_length="9 in"),
    "half": ParallelToSplayedX(BEND, cutback=0.28, included_angle="45 deg", leg_length="9 in"),
    "butted": ParallelToSplayedX(
        ENDED, cutback=0.28, included_angle="60 deg", leg_length="9 in", legs="butted"
    ),
    "merge": YMerge(ENDED, spacing="12 in", outlet_straight="4 in"),
    "balance": HPipe(TUBE, spacing="12 in", angle="70 deg"),
    "balance split": HPipe(
        TUBE,
        spacing="14 in",
        angle="80 deg",
        splay="10 deg",
        split=SplitJoint(kind="flange", length="2 in", gap="1/8 in"),
    ),
}


@pytest.fixture(params=JOINTS)
def sheet(request: pytest.FixtureRequest) -> CutSheet:
    return cut_sheet(JOINTS[request.param], SAW)


def test_pieces_and_the_kerf_between_them_fit_their_blank(sheet: CutSheet) -> None:
    """Invariant; 1 um for rounding. A half that both halves share gives half a kerf each."""
    for part in sheet.parts:
        makes = part.blank.makes
        if "halved with its mate" in part.what:
            continue  # it is sawn from the tacked X, not from a bend
        assert makes * part.length + (makes - 1) * KERF <= part.blank.length + 1e-6, part


def test_blanks_weigh_at_least_what_is_made_of_them(sheet: CutSheet) -> None:
    """Invariant: metal is only taken away."""
    for part in sheet.parts:
        stock = part.blank.stock
        tube = stock.tube if isinstance(stock, Bend) else stock
        blanks = part.blanks * part.blank.length * tube.mass_per_length
        assert blanks >= part.pieces * part.mass - 1e-9, part


def test_bends_are_taken_whole_and_tube_to_length(sheet: CutSheet) -> None:
    for part in sheet.parts:
        stock = part.blank.stock
        if isinstance(stock, Bend):
            assert part.blank.length == stock.centreline_length
            assert part.blank.name.startswith("90° bend, 3 in x 16 ga, clr 4.5 in")
        else:
            assert part.blank.name == "tube 3 in x 16 ga"


def test_bends_of_each_joint_counted_by_hand() -> None:
    """Exact: a main bend each; two returns, or both legs of a merge, from one."""

    def bends(name: str) -> int:
        parts = cut_sheet(JOINTS[name], SAW).parts
        return sum(part.blanks for part in parts if isinstance(part.blank.stock, Bend))

    found = {name: bends(name) for name in JOINTS}
    assert found == {
        **{"bare bends": 4, "straight ends": 4, "trimmed": 4},
        **{"splayed": 0, "half": 3, "butted": 3, "merge": 2, "balance": 0, "balance split": 0},
    }


def test_two_legs_and_the_kerf_of_their_mitre_by_hand() -> None:
    """Exact: 9 in twice, and 1.1 mm over the cosine of the mitre of 22.5 degrees."""
    first, second = cut_sheet(JOINTS["splayed"], SAW).parts
    want = 18 * INCH + KERF / math.cos(math.pi / 8)
    assert first.blank.length == pytest.approx(want, abs=1e-9)
    assert (first.blanks, second.blanks) == (1, 1)


def test_a_leg_too_short_to_clamp_comes_from_a_longer_blank() -> None:
    """Exact: run-out on the wall and the clamp is the least; what is short, and a kerf, twice."""
    x = SplayedX(TUBE, included_angle="45 deg", cutback=0.3, leg_length="5 in")
    saw = Saw(kerf="1.1 mm", clamp_length="4 in")
    end = x.entry
    short = end.run_out_on_wall + 4 * INCH - end.long_side
    assert short > 0.0
    sheet = cut_sheet(x, saw)
    plain = 10 * INCH + KERF / math.cos(math.pi / 8)
    assert sheet.parts[0].blank.length == pytest.approx(plain + 2 * (short + KERF), abs=1e-9)
    assert any("more at each square end" in fact.note for fact in sheet.steps[0].settings)
    stops = [fact.value for fact in sheet.steps[1].settings if "heel line" in fact.name]
    assert stops == [pytest.approx(end.long_side + short + KERF, abs=1e-9)]
    titles = [step.title for step in sheet.steps]
    off = titles.index("Square the legs off to length")
    assert off == titles.index("The long cut") + 1
    assert sheet.steps[off].settings[0].value == pytest.approx(end.long_side, abs=1e-9)
