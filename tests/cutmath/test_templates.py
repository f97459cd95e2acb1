"""Templates wrapped back on the metal meet what they are cut for, the right way round.

The tests place every sheet in the joint's own axes themselves, as a hand does: print outward, the
12 o'clock line where its name says. A sheet drawn as its mirror image fails them.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from wrapped import (
    ALL,
    DEGREE,
    EXACT,
    HS,
    MEETS,
    PAPER,
    SPLAYED,
    TUBE,
    Array,
    from_axis,
    named,
    wrapped,
    written,
)

from exhaust import ExhaustError, HPipe, SplayedX, Tube
from exhaust.cutmath.template import Template
from exhaust.cutmath.templates import templates

# Mitred legs


def leg_axes(theta: float) -> tuple[Array, Array]:
    """A leg's axis and its heel: y along the joint to the leg's end, x to the other side."""
    return (
        np.array([-math.sin(theta), math.cos(theta), 0.0]),
        np.array([math.cos(theta), math.sin(theta), 0.0]),
    )


def leg_sheets(x: SplayedX, end: str, cut: str) -> Template:
    found = templates(x)
    names = [template.name for template in found]
    kind = "leg" if f"leg: {cut}" in names else f"{end} leg"
    return named(found, f"{kind}: {cut}")


@pytest.mark.parametrize("name", SPLAYED)
@pytest.mark.parametrize("end", ["entry", "exit"])
def test_a_leg_wrapped_back_lies_in_the_joints_planes(name: str, end: str) -> None:
    """Mitre y = x tan(tilt) through the leg's middle; long cut x = the joint's own plane."""
    x = SPLAYED[name]
    legs = (x.entry, x.exit) if end == "entry" else (x.exit, x.entry)
    theta, other = legs[0].angle, legs[1].angle
    tilt = theta - legs[0].mitre_angle
    assert tilt == pytest.approx((theta - other) / 2 if x.unequal == "bisector" else 0.0, abs=1e-15)
    across = TUBE.od / 2 * (1 - 2 * legs[0].cutback) * math.cos(tilt) / math.cos(theta - tilt)
    sheets = [leg_sheets(x, end, cut) for cut in ("mitre", "mitre and long cut")]
    placed = [wrapped(s, s.of("cut")[0], *leg_axes(theta), s.radius) for s in sheets]
    off_mitre = [p[:, 1] * math.cos(tilt) - p[:, 0] * math.sin(tilt) for p in placed]
    assert np.abs(off_mitre[0]).max() < MEETS
    past = placed[1][:, 0] - across
    assert np.minimum(np.abs(off_mitre[1]), np.abs(past)).max() < MEETS
    assert off_mitre[1].min() > -MEETS
    assert past.max() < MEETS
    assert (np.abs(past) < MEETS).sum() > 100  # both cuts are there
    assert (np.abs(off_mitre[1]) < MEETS).sum() > 100
    (guide,) = sheets[1].of("guide")
    gone = wrapped(sheets[1], guide, *leg_axes(theta), sheets[1].radius)
    assert np.abs(gone[:, 1] * math.cos(tilt) - gone[:, 0] * math.sin(tilt)).max() < MEETS


@pytest.mark.parametrize("name", ["equal", "steep", "bisector", "deep"])
def test_mitred_legs_meet_edge_to_edge(name: str) -> None:
    """The entry leg's sawn edge lies on the exit leg's outside, all the way round."""
    x = SPLAYED[name]
    sheet = leg_sheets(x, "entry", "mitre")
    edge = wrapped(sheet, sheet.of("cut")[0], *leg_axes(x.entry.angle), sheet.radius)
    axis, _ = leg_axes(x.exit.angle)
    turned = axis * np.array([1.0, -1.0, 1.0])
    distance = from_axis(edge, np.zeros(3), turned)
    assert distance == pytest.approx(np.full_like(distance, TUBE.od / 2), abs=MEETS)


@given(st.floats(12.0, 60.0), st.floats(0.08, 0.7), st.floats(0.0, 0.5e-3))
@settings(max_examples=30)
def test_a_mitre_is_as_high_as_od_times_tangent(deg: float, cutback: float, paper: float) -> None:
    """Exact: od tan(theta) from short point to long point, pi (od + paper) once round."""
    x = SplayedX(TUBE, included_angle=f"{2 * deg} deg", cutback=cutback, leg_length="900 mm")
    sheet = templates(x, f"{paper * 1e3} mm")[0]
    (cut,) = sheet.of("cut")
    assert np.ptp(cut[:, 1]) == pytest.approx(TUBE.od * math.tan(deg * DEGREE), abs=EXACT)
    assert np.ptp(cut[:, 0]) == pytest.approx(math.pi * (TUBE.od + paper), abs=EXACT)


def test_the_tip_of_a_long_cut_is_where_the_joint_says() -> None:
    """Worked case: 45 deg included, a third off 63.5 mm; 59.868 mm off the heel line (mm)."""
    x = SPLAYED["equal"]
    mitre, both = (leg_sheets(x, "entry", cut) for cut in ("mitre", "mitre and long cut"))
    long_point = float(mitre.of("cut")[0][:, 1].min())
    tip = float(both.of("cut")[0][:, 1].max())
    assert tip - long_point == pytest.approx(59.868e-3, abs=1e-6)
    assert long_point == pytest.approx(-31.75e-3 * math.tan(22.5 * DEGREE), abs=EXACT)


def test_the_straight_edge_is_as_far_from_the_square_end_as_it_says() -> None:
    x = SPLAYED["equal"]
    sheet = leg_sheets(x, "entry", "mitre")
    (left,) = {label.text for label in sheet.labels if "square end" in label.text}
    top = sheet.bounds[3]
    assert left.startswith(f"edge to square end {(0.2 - top) / 0.0254:.3f} in")
    short = x.with_(leg_length="45 mm", cutback=0.2)
    sheet = leg_sheets(short, "entry", "mitre and long cut")
    assert sheet.bounds[3] == pytest.approx(45e-3, abs=EXACT)
    assert "edge on the square end" in {label.text for label in sheet.labels}


# Every sheet


def test_which_sheets_a_joint_gets_and_how_many_pieces() -> None:
    counts = {name: [(t.name, t.pieces) for t in templates(h)] for name, h in HS.items()}
    strips = [("square line", 1), ("square line", 1)]
    alike = [("balance tube, either end", 2), ("hole for balance tube, either primary", 2)]
    assert counts["square"] == [*alike, *strips]
    assert counts["offset"] == [*alike, *strips]
    assert [name for name, _ in counts["skew"]][:2] == [
        "balance tube, left end",
        "balance tube, right end",
    ]
    assert counts["short"][0] == ("balance tube, both ends", 1)
    assert counts["equal"][-1:] == strips[:1]
    legs = [(t.name, t.pieces, t.hand) for t in templates(SPLAYED["bisector"])]
    assert [pieces for _, pieces, _ in legs] == [2, 2, 2, 2, 1]
    assert {hand for _, _, hand in legs[:4]} == {"both hands alike"}


@pytest.mark.parametrize("name", ALL)
def test_every_sheet_goes_once_round_and_its_sides_meet(name: str) -> None:
    """Sides alike, one sheet's length apart: pi (od + paper), and the clocks a quarter apart."""
    for sheet in templates(ALL[name]):
        left, _, right, _ = sheet.bounds
        around = math.pi * (2 * sheet.radius + PAPER)
        assert right - left == pytest.approx(around, abs=EXACT)
        verticals = [e for e in sheet.of("edge") if len(e) == 2 and e[0, 0] == e[1, 0]]
        assert verticals[0][:, 1] == pytest.approx(verticals[1][:, 1], abs=EXACT)
        at = sorted(float(clock[0, 0]) for clock in sheet.of("clock"))
        assert at == pytest.approx([-around / 4, 0.0, around / 4], abs=EXACT)
        names = {line.name.split(",")[0] for line in sheet.lines if line.kind == "clock"}
        assert names >= {"12"}


@pytest.mark.parametrize("name", ALL)
def test_lettering_stays_on_the_sheet_and_says_what_it_is(name: str) -> None:
    for sheet in templates(ALL[name]):
        left, bottom, right, top = sheet.bounds
        assert sheet.name in written(sheet)
        for label in sheet.labels:
            x, y = label.at
            assert left < x < right
            assert bottom < y < top - label.size * 0.5


@pytest.mark.parametrize("name", ALL)
def test_thicker_paper_is_only_longer(name: str) -> None:
    thin, thick = templates(ALL[name], "0 mm"), templates(ALL[name], "0.25 mm")
    for one, other in zip(thin, thick, strict=True):
        stretch = (2 * one.radius + 0.25e-3) / (2 * one.radius)
        for first, second in zip(one.lines, other.lines, strict=True):
            if one.name.startswith("hole") and first.kind == "guide":
                continue  # the cross reaches a fixed length past the hole
            assert second.points == pytest.approx(first.points * [stretch, 1.0], abs=EXACT)


def test_a_joint_in_inches_has_the_templates_of_the_same_in_millimetres() -> None:
    """2-1/2 in is 63.5 mm, 0.065 in is 1.651 mm, 9 in is 228.6 mm."""
    pairs = (
        (
            HPipe(Tube(od="2-1/2 in", wall="16 ga"), spacing="9 in", angle="60 deg"),
            HPipe(Tube(od="63.5 mm", wall="1.651 mm"), spacing="228.6 mm", angle="60 deg"),
        ),
        (
            SplayedX(
                Tube(od="2.5 in", wall="0.065 in"),
                included_angle="45 deg",
                cutback=0.3,
                leg_length="9 in",
            ),
            SplayedX(TUBE, included_angle="45 deg", cutback=0.3, leg_length="22.86 cm"),
        ),
    )
    for inch, metric in pairs:
        for one, other in zip(templates(inch), templates(metric), strict=True):
            for first, second in zip(one.lines, other.lines, strict=True):
                assert first.points == pytest.approx(second.points, abs=EXACT)


# Refusals


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"thickness": "2 mm"}, r"thickness must be between 0 mm and 1 mm \(got 2 mm\)"),
        ({"thickness": "-0.1 mm"}, r"thickness must be between 0 mm and 1 mm \(got -0.1 mm\)"),
        ({"thickness": 0.1}, r"thickness must be a length with a unit \(got 0.1\)"),
        ({"edge": "strait"}, r"edge is not a known way .*got 'strait'\); nearest: \"straight\""),
        ({"edge": None}, r"edge is not a known way .*got nothing"),
    ],
)
def test_what_cannot_be_is_refused_in_words(change: dict[str, object], said: str) -> None:
    with pytest.raises(ExhaustError, match=said):
        templates(HS["square"], **change)  # type: ignore[arg-type]


def test_only_joints_have_templates() -> None:
    with pytest.raises(ExhaustError, match=r"joint must be a joint \(got Tube\); make one of HP"):
        templates(TUBE)  # type: ignore[arg-type]
    with pytest.raises(ExhaustError, match=r"joint must be a joint \(got nothing\)"):
        templates(None)  # type: ignore[arg-type]
