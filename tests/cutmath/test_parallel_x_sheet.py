"""The cut sheet of a parallel X: built from its own pieces it is the joint that was asked for."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from exhaust import Bend, ExhaustError, ParallelX, Saw, Tube, cut_sheet
from exhaust.cutmath import CutSheet
from exhaust.cutmath.parallel_x_work import work_on
from exhaust.show import Fact, shown_in

MM = 1e-3
TUBE = Tube(od="3 in", wall="16 ga")
BEND = Bend(TUBE, clr="4.5 in")
SAW = Saw(kerf="1.1 mm", height_capacity="12 in")


def setting(sheet: CutSheet, name: str) -> float:
    found = [fact for fact in (*sheet.facts(), *sheet.checks) if fact.name.startswith(name)]
    assert found, name
    value = found[0].value
    assert isinstance(value, (int, float))
    return float(value)


def walked(x: ParallelX, saw: Saw) -> tuple[float, float]:
    """Spacing and length by walking the centreline piece by piece, as it is laid on the bench.

    Independent of `geometry.crossover`: unit vectors and arcs only. A sawn face lies half a kerf
    from the plane of the bend's middle, so an inward one takes half a kerf from the straight.
    """
    work = work_on(x, saw)
    plan, theta = work.plan, x.half_angle
    heading = np.array([math.sin(theta), math.cos(theta)])  # (across, along)
    main, back = float(x.bend.clr), float(x.return_bend.clr)
    arc_main = main * np.array([1 - math.cos(theta), math.sin(theta)])
    arc_back = back * np.array([1 - math.cos(theta), math.sin(theta)])
    inward = 0.0 if plan.sawn_face_out or x.trimmed else saw.kerf / 2
    straight = plan.left_on_main + plan.piece + plan.left_on_return - inward
    start = np.array([x.tube.od / 2 - x.cut_depth, 0.0])  # axis of the bend at its middle
    end = start + arc_main + straight * heading + arc_back + np.array([0.0, plan.at_exit])
    return 2 * float(end[0]), 2 * float(end[1])


@given(
    angle=st.floats(75.0, 110.0),
    cutback=st.floats(0.2, 0.35),
    wider=st.floats(0.0, 0.3),
    tangent=st.floats(0.0, 0.08),
    kerf=st.floats(0.8, 1.6),
)
@settings(max_examples=60, deadline=None)
def test_the_pieces_laid_end_to_end_give_the_spacing(
    angle: float, cutback: float, wider: float, tangent: float, kerf: float
) -> None:
    """Independent: an own walk along the pieces, to a nanometre."""
    bend = BEND.with_(tangent=f"{tangent} m", angle=f"{angle} deg")
    least = ParallelX(bend, cutback=cutback).least_spacing
    x = ParallelX(bend, cutback=cutback, spacing=f"{least + 1e-4 + wider} m")
    saw = SAW.with_(kerf=f"{kerf} mm")
    spacing, length = walked(x, saw)
    assert spacing == pytest.approx(x.spacing, abs=1e-9)
    assert length == pytest.approx(setting(cut_sheet(x, saw), "Overall length"), abs=1e-9)


def test_the_stop_is_set_to_the_kept_face_and_the_kerf_falls_in_the_slug() -> None:
    x = ParallelX(BEND, cutback=0.28, spacing="10.5 in")
    sheet = cut_sheet(x, SAW)
    far = setting(sheet, "Stop to the blade's far face")
    assert far == pytest.approx(0.28 * 76.2 * MM)
    assert setting(sheet, "Stop to the blade's near face") == pytest.approx(far - 1.1 * MM)
    assert setting(sheet, "Slug: greatest depth") == pytest.approx(far - 1.1 * MM)
    left = setting(sheet, "Throat to cut face at the middle")
    assert left + far == pytest.approx(76.2 * MM)


def test_the_gauge_moves_3_mm_for_1_mm_of_depth() -> None:
    """Common practice, no source: the opening's length is the gauge, its height is not."""
    x = ParallelX(BEND, cutback=0.30)
    deeper = ParallelX(BEND, cutback=0.30 + 1 / 76.2)
    assert (deeper.opening_length - x.opening_length) / MM == pytest.approx(3.2, abs=0.2)
    assert (deeper.opening_height - x.opening_height) / MM < 1.0


def test_a_bend_that_measures_90_halves_into_two_45s() -> None:
    """Common practice, no source. The kerf costs length, not angle."""
    sheet = cut_sheet(ParallelX(BEND, cutback=0.28), SAW)
    assert math.degrees(setting(sheet, "Angle of each half")) == pytest.approx(45.0)
    whole = 2 * setting(sheet, "Heel, end to the middle of the blade")
    assert whole - 2 * setting(sheet, "Heel of each half") == pytest.approx(SAW.kerf)


def test_parts_are_two_mains_four_returns_and_their_straights() -> None:
    sheet = cut_sheet(ParallelX(BEND, cutback=0.28, spacing="10.5 in"), SAW)
    assert [(part.label, part.pieces) for part in sheet.parts] == [("A", 2), ("B", 4), ("C", 4)]
    made = sum(part.pieces * part.mass for part in sheet.parts)
    assert made == pytest.approx(sheet.joint.mass, rel=1e-9)  # type: ignore[attr-defined]


def test_trimmed_bends_are_cut_from_the_factory_ends() -> None:
    bend = BEND.with_(tangent="1.5 in")
    x = ParallelX(bend, cutback=0.28, spacing="5.5 in")
    sheet = cut_sheet(x, SAW)
    assert [step.title for step in sheet.steps][:4] == [
        "Measure and mark",
        "Trim the bends",
        "Slice the heel",
        "Cut the returns",
    ]
    heel = setting(sheet, "Heel, middle to cut")
    assert heel == pytest.approx((114.3 + 38.1) * MM * x.half_angle)
    both = setting(sheet, "Heel, factory end of bend to cut") * 2
    whole = (114.3 + 38.1) * MM * math.pi / 2 + 2 * 38.1 * MM
    assert both + SAW.kerf < whole


def test_an_opening_that_runs_on_is_sliced_after_the_straights_are_on() -> None:
    tight = Bend(TUBE, clr="3 in")
    sheet = cut_sheet(ParallelX(tight, cutback=0.5, spacer="2 in"), SAW)
    titles = [step.title for step in sheet.steps]
    assert titles.index("Saw the straights") < titles.index("Slice the heel")
    sliced = sheet.steps[titles.index("Slice the heel")]
    assert sliced.words.startswith("Weld the straights to the bend first")


def test_welding_draws_in_and_never_grows() -> None:
    for name, tacked, most, least in cut_sheet(ParallelX(BEND, cutback=0.28), SAW).finished.rows:
        assert isinstance(tacked, float)
        assert isinstance(most, float)
        assert isinstance(least, float)
        assert least < most < tacked, name


def test_a_bend_too_tall_for_the_guides_is_said_so() -> None:
    small = Saw(kerf="1.1 mm", height_capacity="2.5 in")
    warnings = cut_sheet(ParallelX(BEND, cutback=0.28), small).warnings
    assert any("this saw takes 2.500 in" in text for text in warnings)


def test_a_horizontal_saw_too_narrow_for_the_bend_takes_it_standing() -> None:
    """Standing, the bend needs its chord of height: 216 mm for a 3 in, 1.5 D, 90 degree bend."""
    saw = Saw(kerf="1.1 mm", kind="horizontal", width_capacity="8 in", height_capacity="9 in")
    sheet = cut_sheet(ParallelX(BEND, cutback=0.28), saw)
    assert "standing" in sheet.poses[0].seen_from
    low = saw.with_(height_capacity="8 in")
    told = cut_sheet(ParallelX(BEND, cutback=0.28), low).warnings
    assert any("The main bend, flat or standing" in text for text in told)


def test_only_the_shown_numbers_change_with_the_units() -> None:
    x = ParallelX(BEND, cutback=0.28)
    metric = x.with_(bend=Bend(Tube(od="76.2 mm", wall="1.651 mm"), clr="114.3 mm"))
    for one, other in zip(cut_sheet(x, SAW).facts(), cut_sheet(metric, SAW).facts(), strict=True):
        assert one.value == (pytest.approx(other.value) if one.kind != "text" else other.value)
    fact = Fact("stop", 21.336 * MM, "cut")
    with shown_in("metric"):
        assert fact.text() == "21.3 mm"
    with shown_in("inch"):
        assert fact.text() == "0.840 in (27/32)"


@pytest.mark.parametrize(
    ("joint", "saw", "words"),
    [
        ("x", SAW, "joint must be a ParallelX"),
        (None, SAW, "joint must be a ParallelX"),
        (ParallelX(BEND, cutback=0.28), "1.1 mm", "saw must be a Saw"),
        (ParallelX(BEND, cutback=0.06), Saw(kerf="4 mm"), "kerf must be between"),
    ],
)
def test_what_cannot_be_cut_is_refused_by_name(joint: object, saw: object, words: str) -> None:
    with pytest.raises(ExhaustError, match=words):
        cut_sheet(joint, saw)  # type: ignore[arg-type]


def test_the_warning_of_a_degree_is_what_a_degree_does() -> None:
    """Bends of 91 degrees instead of 90, against the slope that the sheet prints."""
    x = ParallelX(BEND, cutback=0.28, spacer="2 in")
    over = ParallelX(BEND.with_(angle="91 deg"), cutback=0.28, spacer="2 in")
    with shown_in("metric"):
        said = cut_sheet(x, SAW).assumptions[0]
    printed = float(said.split("spacing ")[1].split(" mm")[0])
    assert printed == pytest.approx((over.spacing - x.spacing) / MM, rel=0.02)


SHALLOW = Bend(TUBE, clr="6 in", angle="70 deg", tangent="1 in")


def round_the_bend(radius: float, tangent: float) -> float:
    """From a square end of SHALLOW round to its middle, by adding up small chords [m]."""
    angles = np.linspace(0.0, math.radians(35.0), 20001)
    points = radius * np.column_stack((np.sin(angles), np.cos(angles)))
    return tangent + float(np.hypot(*np.diff(points, axis=0).T).sum())


def test_marks_are_measured_round_heel_and_throat() -> None:
    """Independent: summed chords, good to a micrometre."""
    sheet = cut_sheet(ParallelX(SHALLOW, cutback=0.28, spacer="3 in"), SAW)
    heel, throat = round_the_bend(190.5 * MM, 25.4 * MM), round_the_bend(114.3 * MM, 25.4 * MM)
    assert setting(sheet, "Heel, end to middle") == pytest.approx(heel, abs=1e-6)
    halved = "end to the middle of the blade"
    assert setting(sheet, f"Heel, {halved}") == pytest.approx(heel, abs=1e-6)
    assert setting(sheet, f"Throat, {halved}") == pytest.approx(throat, abs=1e-6)


def test_tip_to_end_is_what_is_left_of_the_heel() -> None:
    """The heel from middle to end less the heel from middle to tip, by the tip's own place."""
    x = ParallelX(SHALLOW, cutback=0.28, spacer="3 in")
    plane = 190.5 * MM - x.cut_depth
    to_tip = 190.5 * MM * math.acos(plane / (190.5 * MM))
    left = round_the_bend(190.5 * MM, 25.4 * MM) - to_tip
    assert setting(cut_sheet(x, SAW), "Tip to end of bend") == pytest.approx(left, abs=1e-6)


def test_tip_to_end_on_a_straight_is_what_the_opening_leaves_of_it() -> None:
    """From the tips' own distance: the ends of the heel lines stand 2(R+a) sin + 2 s cos apart."""
    tight = Bend(TUBE, clr="3 in", tangent="2 in")
    x = ParallelX(tight, cutback=0.5, spacer="2 in")
    apart = 2 * (114.3 * MM * math.sin(math.pi / 4) + 50.8 * MM * math.cos(math.pi / 4))
    left = (apart - x.opening_length) / 2 / math.cos(math.pi / 4)
    assert setting(cut_sheet(x, SAW), "Tip to end of bend") == pytest.approx(left, abs=1e-9)


def test_welding_draws_in_by_the_joints_that_lie_across_and_along() -> None:
    """Two butt welds a leg at 35 degrees, two legs side by side, and the seam; shrink 0.5 mm."""
    finished = {row[0]: row for row in _finished(ParallelX(SHALLOW, cutback=0.28, spacer="3 in"))}
    across = 1 + 2 * 2 * math.sin(math.radians(35.0))
    along = 2 * 2 * math.cos(math.radians(35.0))
    for name, joints in (("Outside width", across), ("Overall length", along)):
        _, tacked, most, least = finished[name]
        assert (tacked - most) / MM == pytest.approx(0.5 * joints)
        assert (tacked - least) / MM == pytest.approx(1.0 * joints)


def _finished(x: ParallelX) -> tuple[tuple[str, float, float, float], ...]:
    return cut_sheet(x, SAW).finished.rows  # type: ignore[return-value]


def test_the_diagonals_run_between_the_centres_of_the_exits() -> None:
    x = ParallelX(SHALLOW, cutback=0.28, spacer="3 in")
    spacing, length = walked(x, SAW)
    diagonal = setting(cut_sheet(x, SAW), "Diagonals of the four exits")
    assert diagonal == pytest.approx(math.hypot(spacing, length), abs=1e-9)


def test_weld_is_the_seam_and_a_turn_of_the_outside_for_every_butt() -> None:
    x = ParallelX(SHALLOW, cutback=0.28, spacer="3 in")
    sheet = cut_sheet(x, SAW)
    butts = 8 * setting(sheet, "8 x bend to return bend")
    assert butts == pytest.approx(8 * math.pi * 76.2 * MM)
    assert setting(sheet, "Weld in all") == pytest.approx(butts + x.opening_seam)
    assert x.weld_length == pytest.approx(butts + x.opening_seam)
