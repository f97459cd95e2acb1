"""The cut sheet of half a parallel X with splayed legs: halving, legs from the measured half."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from exhaust import Bend, ParallelToSplayedX, Saw, Tube, cut_sheet
from exhaust.cutmath import CutSheet, Step
from exhaust.cutmath.plan import plan
from exhaust.show import Fact

MM = 1e-3
NANOMETRE = 1e-9  # closed forms of the same numbers: rounding only
TUBE = Tube(od="63.5 mm", wall="1.651 mm")
BEND = Bend(TUBE, clr="95.25 mm")
SAW = Saw(kerf="1.1 mm")
MITRED = ParallelToSplayedX(
    BEND, cutback=0.3, included_angle="45 deg", leg_length="200 mm", spacer="50 mm"
)
BUTTED = MITRED.with_(legs="butted")


def named(facts: tuple[Fact, ...], name: str) -> float:
    found = [fact for fact in facts if fact.name.startswith(name)]
    assert found, name
    value = found[0].value
    assert isinstance(value, (int, float))
    return float(value)


def step(sheet: CutSheet, title: str) -> Step:
    (found,) = [each for each in sheet.steps if each.title == title]
    return found


def test_the_x_is_tacked_and_halved_before_a_leg_is_sawn_to_it() -> None:
    titles = [each.title for each in cut_sheet(MITRED, SAW).steps]
    order = ["Slice the heel", "Tack the X", "Secure and halve the X", "The long cut"]
    assert [title for title in titles if title in order] == order


def test_the_halved_opening_is_two_kept_widths() -> None:
    """Exact: 2 (1 - f) D; each leg keeps half of it, so it loses D/cos(22.5) less that."""
    sheet = cut_sheet(MITRED, SAW)
    halved = named(step(sheet, "Secure and halve the X").checks, "Halved opening")
    assert halved == pytest.approx(88.9 * MM, abs=NANOMETRE)
    cut = step(sheet, "The long cut")
    opening = 63.5 * MM / math.cos(math.radians(22.5))
    assert named(cut.checks, "Take-off") == pytest.approx(opening - halved / 2, abs=NANOMETRE)
    assert named(cut.settings, "Outer edge") == pytest.approx(halved / 2, abs=NANOMETRE)


def test_all_the_kerf_of_halving_falls_in_the_spare() -> None:
    """Invariant: the drawn kept half reaches the middle plane, the spare stops a kerf short."""
    halve = step(cut_sheet(MITRED, SAW), "Secure and halve the X")
    assert "spare" in halve.words
    shapes = halve.poses[0].shapes
    kept = np.vstack([shape.points for shape in shapes if shape.role == "kept"])
    spare = np.vstack([shape.points for shape in shapes if shape.role == "waste"])
    assert kept[:, 1].min() == pytest.approx(0.0, abs=NANOMETRE)
    assert spare[:, 1].max() == pytest.approx(-1.1 * MM, abs=NANOMETRE)


def test_tacks_stay_clear_of_the_blade_on_both_sides() -> None:
    tack = step(cut_sheet(MITRED, SAW), "Tack the X")
    clear = named(tack.settings, "Tacks from the middle plane")
    assert 5 * SAW.kerf < clear < MITRED.parallel.opening_length / 2
    assert "both sides of the middle plane" in tack.words
    secured = step(cut_sheet(MITRED, SAW), "Secure and halve the X").words
    assert "sound on both sides before the saw starts" in secured


def test_spring_open_is_looked_for_at_the_ends() -> None:
    """Independent: the far corner of a bend's end by unit vectors."""
    sheet = cut_sheet(MITRED, SAW)
    before = named(step(sheet, "Tack the X").checks, "Far corners")
    after = named(step(sheet, "Secure and halve the X").checks, "Far corners")
    assert before == after
    centre, inner = (95.25 + 31.75 - 0.3 * 63.5) * MM, (95.25 - 31.75) * MM
    assert after == pytest.approx(2 * (centre - inner * math.cos(math.pi / 4)), abs=NANOMETRE)


def test_only_half_of_the_returns_and_straights_are_used() -> None:
    sheet = cut_sheet(MITRED, SAW)
    pieces = {part.label: part.pieces for part in sheet.parts}
    assert pieces == {"A": 2, "B": 2, "C": 2, "D": 2}
    assert step(sheet, "Halve the returns").words.startswith("This joint takes two")


LONG_END = BEND.with_(tangent="60 mm")
OWN_LEGS = BUTTED.with_(bend=LONG_END, included_angle="90 deg", leg_length="50 mm")


@pytest.mark.parametrize(
    "x",
    [MITRED, BUTTED, OWN_LEGS, OWN_LEGS.with_(leg_length="100 mm")],
)
def test_the_parts_weigh_what_the_joint_weighs(x: ParallelToSplayedX) -> None:
    made = sum(part.pieces * part.mass for part in cut_sheet(x, SAW).parts)
    assert made == pytest.approx(x.mass, rel=1e-9)


@given(angle=st.floats(20.0, 70.0))
@settings(max_examples=30, deadline=None)
def test_a_mitre_off_the_dial_moves_to_a_mark_and_keeps_the_width(angle: float) -> None:
    """Invariant: whatever the mark, the leg keeps (1 - f) D."""
    x = MITRED.with_(included_angle=f"{angle} deg", leg_length="300 mm")
    sheet = cut_sheet(x, SAW)
    dial = math.degrees(named(step(sheet, "Mitre the legs").settings, "Blade from square"))
    assert 2 * dial == pytest.approx(round(2 * dial), abs=1e-6)
    assert abs(dial - angle / 2) <= 0.25 + 1e-6
    kept = named(step(sheet, "The long cut").settings, "Outer edge")
    assert kept == pytest.approx(0.7 * 63.5 * MM, abs=NANOMETRE)


def test_butted_legs_need_no_mitre_and_no_halving() -> None:
    """Exact: heel of the trimmed end is (R + a) theta from the middle."""
    sheet = cut_sheet(BUTTED, SAW)
    titles = [each.title for each in sheet.steps]
    assert "Mitre the legs" not in titles
    assert "Secure and halve the X" not in titles
    trim = step(sheet, "Trim the splayed end")
    heel = named(trim.settings, "Heel, middle to cut")
    assert heel == pytest.approx((95.25 + 31.75) * MM * math.pi / 8, abs=NANOMETRE)
    assert titles.index("Trim the splayed end") < titles.index("Slice the heel")


def test_an_opening_that_runs_onto_butted_legs_is_said() -> None:
    slicing = step(cut_sheet(BUTTED, SAW), "Slice the heel")
    assert slicing.words.startswith("Weld the legs to the bends first")


def test_the_step_between_bend_and_leg_is_warned_of() -> None:
    """Exact: at the seam the ellipse stands outside the circle by hypot(h, z) - a."""
    sheet = cut_sheet(MITRED, SAW)
    step_off = named(step(sheet, "Fit and tack").checks, "Largest step")
    radius, wide = 31.75, 31.75 / math.cos(math.radians(22.5))
    corner = 63.5 * 0.7 - wide  # from the ellipse's middle to the seam
    height = radius * math.sqrt(1 - (corner / wide) ** 2)
    outward = math.hypot(63.5 * 0.7 - radius, height) - radius
    assert step_off == pytest.approx(outward * MM, rel=1e-6)
    assert any("The legs step" in words for words in sheet.warnings)


def test_a_kept_clamp_and_the_saw_are_looked_at() -> None:
    short = cut_sheet(MITRED.with_(leg_length="80 mm"), SAW)
    assert any("longer at the square end" in words for words in short.warnings)
    low = cut_sheet(MITRED, SAW.with_(height_capacity="2 in"))
    assert any(words.startswith("Halving the tacked X") for words in low.warnings)


@pytest.mark.parametrize("x", [MITRED, BUTTED, MITRED.with_(parallel_end="exit")])
def test_the_plan_is_as_wide_and_long_as_the_joint(x: ParallelToSplayedX) -> None:
    """Independent: the drawn outline's own extent beside the joint's dimensions."""
    above, _ = plan(x)
    kept = np.vstack([shape.points for shape in above.shapes if shape.role == "kept"])
    assert np.ptp(kept[:, 0]) == pytest.approx(x.envelope.width, abs=NANOMETRE)
    assert np.ptp(kept[:, 1]) == pytest.approx(x.overall_length, abs=NANOMETRE)


def test_a_leg_that_is_the_bends_own_end_is_no_piece() -> None:
    sheet = cut_sheet(OWN_LEGS, SAW)
    assert "D" not in [part.label for part in sheet.parts]
    left = named(step(sheet, "Saw the legs").settings, "Straight left on the splayed end")
    assert left == pytest.approx(50 * MM)


def test_inch_and_metric_give_the_same_cut() -> None:
    bend = Bend(Tube(od="2.5 in", wall="0.065 in"), clr="3.75 in")
    inch = ParallelToSplayedX(bend, cutback=0.3, included_angle="45 deg", leg_length="8 in")
    metric = ParallelToSplayedX(BEND, cutback=0.3, included_angle="45 deg", leg_length="203.2 mm")
    pairs = zip(cut_sheet(inch, SAW).facts(), cut_sheet(metric, SAW).facts(), strict=True)
    for one, other in pairs:
        if isinstance(one.value, float):
            assert one.value == pytest.approx(other.value, abs=NANOMETRE), one.name
