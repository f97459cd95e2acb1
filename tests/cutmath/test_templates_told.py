"""What a template says of its metal, and how much paper it has: by hand, in mm.

A tube of 50.8 on primaries of 63.5, 230 apart: its long points sqrt(31.75² - 25.4²) = 19.05 from
the primary's axis, its short points 31.75; its bore of 47.498 goes through.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from wrapped import HS, SPLAYED, TUBE, Array, named, written

from exhaust import HPipe, SplayedX, SplitJoint
from exhaust.cutmath.template import Line, Template
from exhaust.cutmath.templates import templates
from exhaust.show import shown_in

A, BORE = 31.75, 23.749
LOW, HIGH = 19.05, 31.75
SQUARE = HS["square"]
BODY = 30.0  # of paper beyond a cut


def sheet(h: HPipe, name: str, edge: str = "saddle") -> Template:
    with shown_in("metric"):
        return named(templates(h, edge=edge), name)


def line(found: Template, kind: str) -> Array:
    (points,) = found.of(kind)  # type: ignore[arg-type]
    return points * 1e3


def bounds(found: Template) -> list[float]:
    return [1e3 * x for x in found.bounds]


def test_a_notch_says_how_deep_it_is_and_what_for() -> None:
    """Ground to the bore the long points are 26.78 out: 31.75 less sqrt(31.75² - 23.749²)."""
    end = sheet(SQUARE, "balance tube, either end")
    said = "Notch 12.7 mm deep on the line, on a primary of 63.5 mm x 1.651 mm, 90.0° to the tube."
    assert end.notes[0] == said
    feather = sheet(SQUARE, "balance tube, either end", "feather")
    deep = A - math.sqrt(A**2 - BORE**2)
    assert feather.notes[0].startswith(f"Notch {deep:.1f} mm deep")
    assert "feather" in feather.notes[1]
    assert "follows the primary" in end.notes[1]
    skew = sheet(HS["skew"], "balance tube, left end")
    assert "60.0° to the tube" in skew.notes[0]
    points = line(skew, "cut")[:, 1]
    assert skew.notes[0].startswith(f"Notch {np.ptp(points):.1f} mm deep")


def test_a_notch_has_thirty_millimetres_of_paper_and_says_what_lies_between() -> None:
    end = sheet(SQUARE, "balance tube, either end")
    points = line(end, "cut")
    assert (points[:, 1].min(), points[:, 1].max()) == pytest.approx((LOW, HIGH), abs=1e-3)
    assert bounds(end)[3] == pytest.approx(HIGH + BODY)
    between = 230 - 2 * (HIGH + BODY)
    assert f"edge to edge {between:.1f} mm" in written(end)
    left, right = (sheet(HS["skew"], f"balance tube, {side} end") for side in ("left", "right"))
    reach = bounds(left)[3] - bounds(right)[1]
    gap = HS["skew"].balance_length * 1e3 - reach
    assert f"edge to edge {gap:.1f} mm" in written(left) & written(right)
    assert (end.pieces, end.hand, left.pieces) == (2, "both hands alike", 1)
    assert (left.hand, right.hand) == ("left", "right")
    assert line(right, "cut")[:, 1].max() == pytest.approx(-LOW / math.sin(math.radians(60)), abs=9)


def test_the_right_end_is_drawn_above_its_paper_and_the_left_below() -> None:
    """Left to right up the sheet: the left notch is at the foot, the right one at the head."""
    for name in ("skew", "splayed", "split"):
        left, right = (sheet(HS[name], f"balance tube, {side} end") for side in ("left", "right"))
        assert line(left, "cut")[:, 1].max() < bounds(left)[3]
        assert line(right, "cut")[:, 1].min() > bounds(right)[1]
        for found in (left, right):
            clocks = {each.name for each in found.lines if each.kind == "clock"}
            assert clocks == {"9, exit side", "12, top", "3, entry side"}
    alike = {each.name for each in sheet(SQUARE, "balance tube, either end").lines}
    assert alike >= {"9", "12, top", "3"}


@pytest.mark.parametrize(("spacing", "one"), [("123.6 mm", False), ("123.4 mm", True)])
def test_a_tube_too_short_for_two_sheets_has_one(spacing: str, one: bool) -> None:
    """60 mm whole between short points at 123.5: thirty for each end."""
    names = {found.name for found in templates(SQUARE.with_(spacing=spacing), edge="saddle")}
    assert ("balance tube, both ends" in names) is one
    assert ("balance tube, either end" in names) is not one


def test_one_sheet_for_both_ends_says_its_blank() -> None:
    h = SQUARE.with_(spacing="100 mm")
    both = sheet(h, "balance tube, both ends")
    assert f"Blank {100 - 2 * LOW:.1f} mm, long point to long point" in both.notes[0]
    left, right = (points * 1e3 for points in both.of("cut"))
    assert np.allclose(left[:, 1] + right[:, 1], 100.0, atol=1e-9)
    assert bounds(both)[1] == pytest.approx(LOW, abs=1e-3)
    assert bounds(both)[3] == pytest.approx(100 - LOW, abs=1e-3)
    assert (both.pieces, both.hand) == (1, "left end below")


def test_a_piece_of_a_split_tube_ends_in_its_square_end() -> None:
    """Square, 230 apart, a gap of 3 mm: each piece goes (230 - 3)/2 from the primary's axis."""
    band = SplitJoint(kind="V-band", length="40 mm", gap="3 mm")
    h = SQUARE.with_(split=band)
    end = sheet(h, "balance tube, either end")
    past = (230 - 3) / 2 - HIGH - BODY
    assert f"edge to square end {past:.1f} mm" in written(end)
    short = sheet(h.with_(spacing="110 mm"), "balance tube, either end")
    assert "edge on the square end" in written(short)
    assert bounds(short)[3] == pytest.approx((110 - 3) / 2)
    assert not any("edge to edge" in text for text in written(end))
    skew = h.with_(angle="70 deg")
    left = sheet(skew, "balance tube, left end")
    far = [text for text in written(left) if text.startswith("edge to square end")]
    sine = math.sin(math.radians(70))
    clear = 230 / sine - 2 * line(left, "cut")[:, 1].max()  # between the short points
    piece = (clear - 3) / 2 - BODY
    assert far == [f"edge to square end {piece:.1f} mm"]


def test_a_hole_says_its_size_and_has_a_cross() -> None:
    hole = sheet(SQUARE, "hole for balance tube, either primary")
    round_it = 2 * A * math.asin(BORE / A)
    assert hole.notes[0].startswith(
        f"Hole {2 * BORE:.1f} mm along the primary, {round_it:.1f} mm round it"
    )
    assert f"{2 * BORE:.1f} mm, not its outside" in hole.notes[0]
    paper = (2 * A + 0.1) / (2 * A)
    cross = line(hole, "guide")
    reach = round_it / 2 * paper + 5.0
    assert cross.tolist() == [pytest.approx([-reach, 0.0]), pytest.approx([reach, 0.0])]
    assert bounds(hole)[1] == pytest.approx(-BORE - BODY / 2)
    assert bounds(hole)[3] == pytest.approx(BORE + BODY)
    assert "turn it upside down" in hole.notes[-1]
    left = sheet(HS["skew"], "hole for balance tube, left primary")
    assert "The flow runs up the sheet." in left.notes[1]
    assert (left.pieces, hole.pieces) == (1, 2)
    clocks = {each.name for each in left.lines if each.kind == "clock"}
    assert clocks == {"12, top", "faces right primary", "6, bottom"}


def order(found: Template) -> list[str]:
    clocks: list[Line] = [each for each in found.lines if each.kind == "clock"]
    return [each.name for each in sorted(clocks, key=lambda one: float(one.points[0, 0]))]


def test_seen_from_the_other_primary_the_top_is_on_the_left_of_the_left_one() -> None:
    """With the flow up the sheet: facing the left primary from the right one, up is left."""
    left, right = (
        sheet(HS["skew"], f"hole for balance tube, {side} primary") for side in ("left", "right")
    )
    assert order(left) == ["12, top", "faces right primary", "6, bottom"]
    assert order(right) == ["6, bottom", "faces left primary", "12, top"]


# Legs


def test_legs_say_their_angles_and_how_far_the_square_end_is() -> None:
    theta = math.radians(22.5)
    with shown_in("metric"):
        mitre, both, _ = templates(SPLAYED["equal"])
    assert "22.5° from a square cut" in mitre.notes[0]
    assert "67.5° from a square cut" in both.notes[0]
    top = A * math.tan(theta) + BODY
    assert bounds(mitre)[3] == pytest.approx(top)
    assert f"edge to square end {200 - top:.1f} mm" in written(mitre)
    assert (mitre.name, mitre.pieces) == ("leg: mitre", 4)


@pytest.mark.parametrize(
    ("change", "kinds"),
    [
        ({}, 1),
        ({"exit_angle": "46 deg"}, 2),
        ({"exit_leg_length": "210 mm"}, 2),
        ({"exit_leg_length": "200 mm"}, 1),
    ],
)
def test_ends_cut_alike_share_their_templates(change: dict[str, str], kinds: int) -> None:
    x: SplayedX = SPLAYED["equal"].with_(**change)
    found = [each for each in templates(x) if each.name != "square line"]
    assert len(found) == 2 * kinds
    assert {each.pieces for each in found} == {4 // kinds}


def test_a_strip_has_two_square_lines_and_quarters() -> None:
    """40 mm wide; one for each diameter of straight tube in the joint."""
    with shown_in("metric"):
        strips = [each for each in templates(SQUARE) if each.name == "square line"]
    assert [strip.tube for strip in strips] == [TUBE.name, "50.8 mm x 1.651 mm"]
    for strip, od in zip(strips, (63.5, 50.8), strict=True):
        half = math.pi * (od + 0.1) / 2
        assert bounds(strip) == pytest.approx([-half, 0.0, half, 40.0])
        assert strip.around * 1e3 == pytest.approx(2 * half)
        assert line(strip, "cut")[:, 1].tolist() == [0.0, 0.0]
        assert (strip.pieces, strip.hand) == (1, "either way round")
    equal = [each for each in templates(HS["equal"]) if each.name == "square line"]
    assert len(equal) == 1


def test_paper_of_a_tenth_to_a_millimetre() -> None:
    assert templates(SQUARE)[0].thickness == pytest.approx(0.1e-3)
    assert templates(SQUARE, "1 mm")[0].thickness == pytest.approx(1e-3)
    assert templates(SQUARE, "0 mm")[0].thickness == 0.0
