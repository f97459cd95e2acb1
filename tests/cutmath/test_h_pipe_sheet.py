"""The cut sheet of an H pipe: order, blank, notches, holes, clocking, hands, fit."""

from __future__ import annotations

import math

import numpy as np
import pytest
from h_frames import (
    BOTH,
    CLOCK,
    EQUAL,
    GRIND,
    HS,
    LINES,
    MM,
    NANOMETRE,
    OFFSET,
    SAMPLED,
    SAW,
    SKEW,
    SPLAYED,
    SPLIT,
    SQUARE,
    WIDE,
    Frame,
    Z,
    named,
    sheet_of,
    step,
)
from wrapped import from_axis

from exhaust import HPipe, Tube
from exhaust.tables import cautions


def test_holes_before_the_primaries_are_fixed_and_the_split_before_tacks() -> None:
    """Common practice: the order of the work."""
    titles = [each.title for each in sheet_of(SPLIT, SAW).steps]
    assert titles == [
        "Measure and mark",
        "Saw the primaries",
        "Hole the primaries",
        "Saw the balance tube",
        "Rough out the notches",
        "Grind the notches",
        "Fit the split joint",
        "Fit and tack",
        "Weld",
    ]
    assert "Fit the split joint" not in [each.title for each in sheet_of(SQUARE, SAW).steps]


@pytest.mark.parametrize("name", [name for name in HS if HS[name].split is None])
def test_the_blank_reaches_from_long_point_to_long_point(name: str) -> None:
    """Independent: rays in space; then a millimetre for the grinder at each end."""
    h, frame = HS[name], Frame(HS[name])
    ends = [frame.met(side, CLOCK, h.balance_tube.od / 2) for side in (0, 1)]
    blank = ends[1].max() - ends[0].min()
    sawn = step(sheet_of(h, SAW), "Saw the balance tube")
    assert named(sawn.settings, "Stop to the blade") == pytest.approx(
        blank + 2 * GRIND, abs=SAMPLED
    )
    assert named(sawn.checks, "Long point") == pytest.approx(blank, abs=SAMPLED)


@pytest.mark.parametrize("name", [name for name in HS if HS[name].split is None])
def test_the_balance_tube_is_sawn_over_length_before_it_is_notched(name: str) -> None:
    """Common practice, no source: it must reach round both primaries, so that it is sawn longer
    than the gap between them, and what the notches take comes off it afterwards."""
    h = HS[name]
    sawn = step(sheet_of(h, SAW), "Saw the balance tube")
    clear = (h.balance_spacing - h.tube.od) * math.cos(h.splay / 2)
    assert named(sawn.checks, "Long point") > clear
    assert h.blank_length - h.clear_length > h.notch_depth


def test_a_skew_blank_is_not_its_longest_line() -> None:
    """Trap 11, worked: 76.2 and 50.8 mm tube 230 apart at 60 deg; blank 208.785, line 199.999."""
    sawn = step(sheet_of(SKEW, SAW), "Saw the balance tube")
    assert named(sawn.settings, "Stop") == pytest.approx(208.785 * MM + 2 * GRIND, abs=1e-6)
    assert "do not saw it to the longest line" in sawn.words
    ground = step(sheet_of(SKEW, SAW), "Grind").checks
    lines = [named(ground, f"Finished length on the {name} line") for name in LINES]
    assert max(lines) < 200.0 * MM
    assert "longest line" not in step(sheet_of(SQUARE, SAW), "Saw the balance tube").words


def test_the_short_point_of_a_tube_past_the_middle() -> None:
    """Trap 11: CC - 2 A only for |e| <= r; beyond it CC - 2 sqrt(A² - (|e| - r)²)."""
    a, r, e = 38.1, 12.7, 20.0
    h = HPipe(
        WIDE,
        balance_tube=Tube(od="25.4 mm", wall="1.651 mm"),
        spacing="230 mm",
        offset="20 mm",
    )
    ground = step(sheet_of(h, SAW), "Grind").checks
    bottom = named(ground, "Finished length on the bottom line")
    assert bottom == pytest.approx((230 - 2 * math.sqrt(a**2 - (e - r) ** 2)) * MM, abs=NANOMETRE)
    top = named(ground, "Finished length on the top line")
    assert top == pytest.approx((230 - 2 * math.sqrt(a**2 - (e + r) ** 2)) * MM, abs=NANOMETRE)


@pytest.mark.parametrize("name", HS)
def test_the_notch_on_each_line(name: str) -> None:
    """Independent: rays in space, from the square end that the saw leaves."""
    h, frame = HS[name], Frame(HS[name])
    sheet = sheet_of(h, SAW)
    settings = step(sheet, "Grind").settings
    r = h.balance_tube.od / 2
    for side, end in enumerate(("left", "right")):
        which = f"{end} end: " if h.splay else ""
        if side and not h.splay:
            break  # told for the left end
        sign = 1.0 - 2.0 * side
        inward = sign * frame.met(side, CLOCK, r)
        for line, degrees in LINES.items():
            at = sign * frame.met(side, np.radians([degrees]), r)[0]
            label = f"{which}{line} line, sawn end to edge"
            label = label[0].upper() + label[1:] if not which else label.capitalize()
            found = named(settings, label)
            assert found == pytest.approx(at - inward.min() + GRIND, abs=SAMPLED), (end, line)


@pytest.mark.parametrize("name", HS)
def test_finished_lengths_are_what_lies_between_the_primaries(name: str) -> None:
    """Independent: rays in space. Pieces of a split tube and its gap make up the line."""
    h, frame = HS[name], Frame(HS[name])
    sheet = sheet_of(h, SAW)
    for line, degrees in LINES.items():
        between = frame.line(np.radians([degrees]))[0]
        if h.split is None:
            found = named(step(sheet, "Grind").checks, f"Finished length on the {line} line")
            assert found == pytest.approx(between, abs=NANOMETRE)
            continue
        bolted = named(step(sheet, "Fit the split").checks, f"Bolted up, on the {line} line")
        assert bolted == pytest.approx(between, abs=NANOMETRE)
        names = ("Left piece", "Right piece") if h.splay else ("Piece", "Piece")
        checks = step(sheet, "Grind").checks
        both = sum(named(checks, f"{each}, finished length on the {line}") for each in names)
        assert both + h.split.gap == pytest.approx(between, abs=NANOMETRE)


@pytest.mark.parametrize("name", HS)
def test_the_holes_on_each_primary(name: str) -> None:
    """Independent: the balance tube's bore in space, on each primary, from its entry end."""
    h, frame = HS[name], Frame(HS[name])
    told = step(sheet_of(h, SAW), "Hole")
    square = h.angle == math.pi / 2 and not h.splay
    for side, word in enumerate(("Left primary: entry end", "Right primary: entry end")):
        start = "Entry end" if square else word
        along, up = frame.hole(side)
        near, far = (
            named(told.checks, f"{start} to the hole's {which}") for which in ("near", "far")
        )
        assert near == pytest.approx(along.min(), abs=SAMPLED)
        assert far == pytest.approx(along.max(), abs=SAMPLED)
        if h.offset:
            where = start.removesuffix("entry end").removesuffix("Entry end")
            over = f"{where}facing line up" if where else "Facing line up"
            assert named(told.checks, over) == pytest.approx(up.max(), abs=SAMPLED)
        pilot = named(told.settings, f"{start} to the pilot")
        flow, middle = frame.flow[side], frame.middle[side]
        facing = np.array([flow[1], -flow[0], 0.0]) * (1 - 2 * side)
        a, e = h.tube.od / 2, h.offset
        point = middle + (pilot - h.centreline_length / 2) * flow
        point = point + math.sqrt(a**2 - e**2) * facing + e * Z
        missed = from_axis(point[None], e * Z, frame.tube)[0]
        assert missed == pytest.approx(0.0, abs=NANOMETRE), (
            "the pilot is on the balance tube's axis"
        )
    assert named(told.settings, "Hole saw") == pytest.approx(h.balance_tube.inside_diameter)


def test_the_drill_leans_as_the_balance_tube_does() -> None:
    """Exact: 90 - 60 deg; towards the exit on the left primary, the entry on the right one."""
    settings = step(sheet_of(SKEW, SAW), "Hole").settings
    tilts = [fact for fact in settings if "from level" in fact.name]
    assert [round(math.degrees(float(fact.value)), 9) for fact in tilts] == [30.0, 30.0]  # type: ignore[arg-type]
    assert [fact.note for fact in tilts] == ["exit end raised", "entry end raised"]
    above = step(sheet_of(BOTH, SAW), "Hole").settings
    assert named(above, "Left primary: pilot below the facing line") == pytest.approx(
        38.1 * MM * math.asin(6 / 38.1)
    )


@pytest.mark.parametrize(
    ("h", "degrees"), [(SQUARE, 0.0), (OFFSET, 0.0), (SKEW, 180.0), (EQUAL, 0.0), (SPLIT, 0.0)]
)
def test_both_notches_are_clocked_to_one_line(h: HPipe, degrees: float) -> None:
    """Exact: no twist for a square tube; half a turn where it is skew and centred."""
    settings = step(sheet_of(h, SAW), "Grind").settings
    assert math.degrees(named(settings, "Twist")) == pytest.approx(degrees, abs=0.05)


def test_the_twist_of_a_skew_offset_tube() -> None:
    """Independent: deepest lines of both notches, by rays in space."""
    frame, r = Frame(BOTH), 25.4 * MM
    left = CLOCK[np.argmax(frame.met(0, CLOCK, r))]
    right = CLOCK[np.argmin(frame.met(1, CLOCK, r))]
    twist = named(step(sheet_of(BOTH, SAW), "Grind").settings, "Twist")
    assert math.cos(twist) == pytest.approx(math.cos(right - left), abs=1e-3)


def test_inch_and_metric_give_the_same_cut() -> None:
    inch = HPipe(
        Tube(od="3 in", wall="0.065 in"),
        balance_tube=Tube(od="2 in", wall="0.065 in"),
        spacing=f"{230 / 25.4} in",
        angle="60 deg",
    )
    pairs = zip(sheet_of(inch, SAW).facts(), sheet_of(SKEW, SAW).facts(), strict=True)
    for one, other in pairs:
        assert one.name == other.name
        if isinstance(one.value, float):
            assert one.value == pytest.approx(other.value, abs=NANOMETRE), one.name


def test_leant_the_other_way_exit_and_entry_change_places() -> None:
    """Invariant: the joint at 120 deg is that at 60 deg with the flow turned round."""
    here, there = (
        step(sheet_of(SKEW.with_(angle=f"{g} deg"), SAW), "Grind").settings for g in (60, 120)
    )
    for one, other in (("Exit", "Entry"), ("Entry", "Exit")):
        a, b = named(here, f"{one} side line"), named(there, f"{other} side line")
        assert a == pytest.approx(b, abs=NANOMETRE)


def test_an_offset_down_changes_top_and_bottom() -> None:
    up, down = (step(sheet_of(OFFSET.with_(offset=f"{e} mm"), SAW), "Grind") for e in (6, -6))
    a, b = named(up.settings, "Top line"), named(down.settings, "Bottom line")
    assert a == pytest.approx(b, abs=NANOMETRE)


def test_the_right_end_is_the_left_one_turned_end_for_end() -> None:
    """Independent: by rays in space; a splayed joint's ends differ and are both told."""
    frame, r = Frame(BOTH), 25.4 * MM
    left = frame.met(0, CLOCK, r)
    right = -frame.met(1, math.pi - CLOCK, r)
    assert left == pytest.approx(right, abs=NANOMETRE)
    words = step(sheet_of(BOTH, SAW), "Grind").words
    assert "turn the tube end for end, its top still the top" in words
    assert [part.label for part in sheet_of(BOTH, SAW).parts] == ["A", "B"]
    unlike = sheet_of(HS["splayed and split"], SAW)
    assert [part.label for part in unlike.parts] == ["A", "B", "C", "D"]
    assert "end for end" not in step(unlike, "Grind").words


@pytest.mark.parametrize("name", HS)
def test_the_parts_weigh_what_the_joint_weighs(name: str) -> None:
    sheet = sheet_of(HS[name], SAW)
    made = sum(part.pieces * part.mass for part in sheet.parts)
    assert made == pytest.approx(HS[name].mass, rel=1e-9)


def test_each_weld_across_draws_the_primaries_in() -> None:
    """Exact: two saddles, and two more for a V-band that is welded on; half to one mm each."""
    for h, welds in ((SQUARE, 2), (SPLIT, 4)):
        rows = {row[0]: row[1:] for row in sheet_of(h, SAW).finished.rows}
        tacked, most, least = rows["Spacing at the exit, centre to centre"]
        assert tacked == pytest.approx(180 * MM)
        assert (tacked - most, tacked - least) == pytest.approx((welds * 0.5 * MM, welds * 1 * MM))


def test_the_fit_is_measured_at_both_ends() -> None:
    """Exact: from spacing, od and length; splayed primaries differ at entry and exit."""
    checks = step(sheet_of(SQUARE, SAW), "Fit and tack").checks
    assert named(checks, "Gap between the primaries, entry") == pytest.approx(116.5 * MM)
    assert named(checks, "Gap between the primaries, exit") == pytest.approx(116.5 * MM)
    diagonal = math.hypot(180 * MM, SQUARE.centreline_length)
    assert named(checks, "Diagonals") == pytest.approx(diagonal)
    assert named(checks, "Balance tube above the plate") == pytest.approx(6.35 * MM)
    wide = step(sheet_of(SPLAYED, SAW), "Fit and tack").checks
    assert named(wide, "Gap between the primaries, exit") > named(
        wide, "Gap between the primaries, e"
    )


def test_two_metals_are_told_before_they_are_welded() -> None:
    mixed = SQUARE.with_(balance_tube=Tube(od="50.8 mm", wall="1.651 mm", material="409"))
    assert any("choose the filler by the pair" in line for line in sheet_of(mixed, SAW).warnings)
    assert sheet_of(SQUARE, SAW).warnings == ()


def test_the_usual_cautions_stand_on_the_sheet() -> None:
    assert sheet_of(SQUARE, SAW).cautions == cautions("saw")
