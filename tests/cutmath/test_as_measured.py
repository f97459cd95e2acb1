"""Readings in place of nominal values: what they make, and what they leave alone."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from exhaust import (
    Bend,
    ExhaustError,
    HPipe,
    Measured,
    ParallelToSplayedX,
    ParallelX,
    Saw,
    SplayedX,
    Tube,
    YMerge,
    as_measured,
    cut_sheet,
    rework,
)
from exhaust.cutmath import CutSheet
from exhaust.cutmath.as_measured import SAWN
from exhaust.cutmath.measured import rebuilt
from exhaust.show import result_html, shown_in

MM = 1e-3
TUBE = Tube(od="63.5 mm", wall="1.651 mm")
BEND = Bend(TUBE, clr="95.25 mm", tangent="40 mm")
SAW = Saw(kerf="1.1 mm")
X = ParallelX(BEND, cutback=0.3, spacing="180 mm")
Y = YMerge(BEND, spacing="200 mm")
SPLAYED = SplayedX(TUBE, included_angle="45 deg", cutback=0.3, leg_length="200 mm")
UNEQUAL = SPLAYED.with_(exit_angle="70 deg")
HALF = ParallelToSplayedX(BEND, cutback=0.3, included_angle="45 deg", leg_length="200 mm")
BUTTED = HALF.with_(legs="butted")
H = HPipe(TUBE, balance_tube=Tube(od="50.8 mm", wall="1.651 mm"), spacing="240 mm")

ON_TUBE = {
    "od_heel_to_throat": TUBE.od,
    "od_side_to_side": TUBE.od,
    "wall": TUBE.wall,
    "kerf": SAW.kerf,
}
ON_BEND = {
    "bend_angle": BEND.angle,
    "return_angle": BEND.angle,
    "tangent": BEND.tangent,
    "return_tangent": BEND.tangent,
    "heel_wall": BEND.heel_wall,
}
NOMINAL: dict[str, tuple[Any, dict[str, float]]] = {
    "parallel X": (X, {**ON_TUBE, **ON_BEND, "opening_length": X.opening_length}),
    "its height": (X, {**ON_TUBE, **ON_BEND, "opening_height": X.opening_height}),
    "Y merge": (
        Y,
        {**ON_TUBE, **ON_BEND, "opening_length": Y.sawn_opening_length(SAW.kerf)},
    ),
    "splayed X": (
        SPLAYED,
        {
            **ON_TUBE,
            "mitre_opening": SPLAYED.entry.mitre_opening,
            "exit_mitre_opening": SPLAYED.exit.mitre_opening,
            "opening_length": SPLAYED.entry.run_out,
            "opening_height": SPLAYED.entry.seam_height,
        },
    ),
    "half a parallel X": (
        HALF,
        {
            **ON_TUBE,
            **ON_BEND,
            "opening_length": HALF.parallel.opening_length,
            "mitre_opening": HALF.leg.mitre_opening,  # type: ignore[union-attr]
            "halved_opening": HALF.halved_opening,
        },
    ),
    "butted": (BUTTED, {**ON_TUBE, **ON_BEND, "opening_length": BUTTED.opening_length}),
}


@pytest.mark.parametrize("name", NOMINAL)
def test_nominal_readings_change_nothing_bit_for_bit(name: str) -> None:
    joint, readings = NOMINAL[name]
    found = as_measured(joint, SAW, Measured.from_si(**{k: float(v) for k, v in readings.items()}))
    assert found.joint == joint
    assert found.saw == SAW
    assert found.changes == ()
    assert all(one.within is not False for one in found.readings)
    assert max(abs(one.difference) for one in found.readings) < 1e-15
    plain = told(cut_sheet(joint, SAW))
    for title, *rest in told(found.sheet):
        assert [title, *rest] in plain


def told(sheet: CutSheet) -> list[list[Any]]:
    """Every step but its drawing, and but what is said of pieces that are sawn already."""
    return [
        [step.title, step.parts, step.words.removeprefix(SAWN), step.settings, step.checks]
        for step in sheet.steps
    ]


def test_an_h_pipe_follows_its_tube_and_its_saw() -> None:
    """Exact: a balance tube between primaries of less od is longer by what both have lost."""
    found = as_measured(H, SAW, Measured(od_heel_to_throat="63.2 mm", kerf="1.4 mm"))
    assert isinstance(found.joint, HPipe)
    assert found.joint.shortest_line - H.shortest_line == pytest.approx(0.3 * MM, abs=1e-9)
    assert found.saw.kerf == pytest.approx(1.4 * MM)
    same = Measured.from_si(**{name: float(value) for name, value in ON_TUBE.items()})
    assert as_measured(H, SAW, same).changes == ()


def test_no_readings_are_the_cut_sheet_itself() -> None:
    for joint in (X, Y, SPLAYED, UNEQUAL, HALF, BUTTED, H):
        found = as_measured(joint, SAW, Measured())
        assert found.joint is joint
        assert told(found.sheet) == told(cut_sheet(joint, SAW))
        assert (found.readings, found.changes, found.warnings) == ((), (), ())


# bends that are not what their name says


def test_a_bend_of_91_makes_halves_of_45_and_a_half() -> None:
    """Trap 8 of the bench (shop reference), and the closed form of the spacing, written here."""
    found = as_measured(X, SAW, Measured(bend_angle="91 deg"))
    assert isinstance(found.joint, ParallelX)
    assert found.joint.spacing == pytest.approx(180 * MM, abs=1e-12)
    half, offset = math.radians(45.5), 31.75 * MM * 0.4
    straight = (90 * MM - offset - 2 * 95.25 * MM * (1 - math.cos(half))) / math.sin(half)
    assert found.joint.spacer == pytest.approx(straight, abs=1e-9)
    assert "halves into two of 45.5°, not 45.0°" in found.warnings[0]
    angle = next(one for one in found.readings if one.kind == "angle")
    assert angle.within is False
    assert as_measured(X, SAW, Measured(bend_angle="90.4 deg")).readings[0].within is True


def test_bends_that_differ_are_all_trimmed_to_the_least() -> None:
    found = as_measured(X, SAW, Measured(bend_angle="90.5 deg", return_angle="89 deg"))
    assert isinstance(found.joint, ParallelX)
    assert math.degrees(found.joint.bend.angle) == pytest.approx(89)
    assert any("trim the main bends to 89.0°" in line for line in found.warnings)
    other = as_measured(X, SAW, Measured(bend_angle="89 deg", return_angle="90.5 deg"))
    assert any("trim the returns' bends to 89.0°" in line for line in other.warnings)


@given(angle=st.floats(85.0, 95.0), tangent=st.floats(0.0, 60.0), kerf=st.floats(0.8, 2.0))
@settings(max_examples=8, deadline=None)
def test_the_sheet_is_that_of_the_joint_written_with_the_readings(
    angle: float, tangent: float, kerf: float
) -> None:
    """Invariant: typing the readings into the job by hand gives the same sheet."""
    bend = BEND.with_(angle=f"{angle} deg", tangent=f"{tangent} mm")
    saw = SAW.with_(kerf=f"{kerf} mm")
    wanted = cut_sheet(ParallelX(bend, cutback=0.3, spacing="180 mm"), saw)
    readings = Measured(
        bend_angle=f"{angle} deg",
        tangent=f"{tangent} mm",
        return_tangent=f"{tangent} mm",
        kerf=f"{kerf} mm",
    )
    assert told(as_measured(X, SAW, readings).sheet) == told(wanted)


# the tube


def test_the_settings_follow_the_plane_and_the_mean_is_told() -> None:
    found = as_measured(
        X, SAW, Measured(od_heel_to_throat="63.3 mm", od_side_to_side="63.9 mm", wall="1.6 mm")
    )
    assert found.joint.tube.od == pytest.approx(63.3 * MM)
    assert isinstance(found.joint, ParallelX)
    assert found.joint.cut_depth == pytest.approx(0.3 * 63.3 * MM)
    told = {one.name: one for one in found.readings}
    assert told["Mean of the two"].measured == pytest.approx(63.6 * MM)
    assert told["Ovality"].measured == pytest.approx(0.6 * MM)
    assert told["Ovality"].within is True
    assert not any("out of round" in line for line in found.warnings)
    assert any("not the mean" in line for line in found.assumptions)
    oval = as_measured(X, SAW, Measured(od_heel_to_throat="63 mm", od_side_to_side="64 mm"))
    assert any("1.00 mm out of round" in line or "0.039 in" in line for line in oval.warnings)


def test_the_heel_is_set_beside_the_formula() -> None:
    """t R/(R + a) = 1.651 x 95.25/127 = 1.238 mm: a quarter gone at 1.5 D (shop reference)."""
    good = as_measured(X, SAW, Measured(heel_wall="1.36 mm"))
    assert good.readings[0].nominal == pytest.approx(1.23825 * MM)
    assert good.readings[0].within is True
    assert (
        "The heel has thinned by 17.6 %; keeping its volume would give 25.0 %" in (good.warnings[0])
    )
    bad = as_measured(X, SAW, Measured(heel_wall="1.1 mm"))
    assert bad.readings[0].within is False
    assert "pulled thin" in bad.warnings[0]
    assert bad.joint == X  # it moves no setting


def test_returns_of_another_radius_are_counted_with_it() -> None:
    """Trap 9 (geometry reference): the spacing has (R + R2) in it, not 2 R; written here."""
    x = X.with_(return_bend=BEND.with_(clr="63.5 mm"))
    made = rebuilt(x, SAW, Measured(bend_angle="88 deg", od_heel_to_throat="63.9 mm"))
    assert isinstance(made, ParallelX)
    half, offset = math.radians(44), 31.95 * MM * 0.4
    both = (95.25 + 63.5) * MM
    straight = (90 * MM - offset - both * (1 - math.cos(half))) / math.sin(half)
    assert made.spacer == pytest.approx(straight, abs=1e-9)


# openings that are sawn


@given(share=st.floats(0.25, 0.4))
@settings(max_examples=12, deadline=None)
def test_an_opening_gives_the_joint_that_was_sawn(share: float) -> None:
    """Exact: there and back, the spacing kept by the straights that are still to be cut."""
    sawn = X.with_(cutback=share)
    readings = Measured.from_si(opening_length=sawn.opening_length)
    found = as_measured(X, SAW, readings)
    assert isinstance(found.joint, ParallelX)
    assert found.joint.cutback == pytest.approx(share, abs=1e-9)
    assert found.joint.spacing == pytest.approx(X.spacing, abs=1e-12)
    asked = rework(X, SAW, f"{sawn.opening_length!r} m")
    assert found.joint.cutback == pytest.approx(asked.cutback, abs=1e-12)


def test_a_height_that_does_not_go_with_its_length_is_told() -> None:
    sawn = X.with_(cutback=0.31)
    found = as_measured(
        X, SAW, Measured.from_si(opening_length=sawn.opening_length, opening_height=57 * MM)
    )
    assert any("the length was believed" in line for line in found.warnings)
    good = Measured.from_si(opening_length=sawn.opening_length, opening_height=sawn.opening_height)
    assert not any("believed" in line for line in as_measured(X, SAW, good).warnings)


@given(opening=st.floats(66.0, 75.0), halved=st.floats(82.0, 95.0))
@settings(max_examples=15, deadline=None)
def test_the_take_off_comes_of_the_openings_as_measured(opening: float, halved: float) -> None:
    """The recipe of the splayed section: Z = 2 Y - X, half of it off each leg; kept: X / 2."""
    found = as_measured(
        HALF, SAW, Measured(mitre_opening=f"{opening} mm", halved_opening=f"{halved} mm")
    )
    cut = next(step for step in found.sheet.steps if step.title == "The long cut")
    told = {fact.name: fact.value for fact in (*cut.settings, *cut.checks)}
    z = 2 * opening - halved
    assert told["Take-off of each leg"] == pytest.approx(z / 2 * MM, abs=1e-9)
    assert told["Or heel edge to the blade's near face"] == pytest.approx(z / 2 * MM, abs=1e-9)
    assert told["Outer edge to the blade's near face"] == pytest.approx(halved / 2 * MM, abs=1e-9)
    assert isinstance(found.joint, ParallelToSplayedX)
    assert math.cos(found.joint.leg.angle) == pytest.approx(63.5 / opening, abs=1e-9)


def test_what_is_done_is_not_on_the_sheet_any_more() -> None:
    found = as_measured(HALF, SAW, Measured(mitre_opening="69 mm", halved_opening="88 mm"))
    assert [step.title for step in found.sheet.steps] == [
        "Measure and mark",
        "Shorten the straight ends",
        "Halve the returns",
        "The long cut",
        "Fit and tack",
        "Weld",
    ]
    legs = as_measured(UNEQUAL, SAW, Measured(mitre_opening="72.5 mm"))
    left = [(step.title, step.parts) for step in legs.sheet.steps]
    assert ("Mitre the legs", "B") in left
    assert ("Mitre the legs", "A") not in left
    sliced = as_measured(X, SAW, Measured(opening_length="135 mm"))
    (cut,) = (step for step in sliced.sheet.steps if step.title == "Slice the heel")
    assert cut.words.startswith("One is sawn and was measured")


def test_a_mitre_that_is_sawn_is_not_rounded_to_the_dial() -> None:
    """68.9 mm is acos(63.5/68.9) = 22.84 deg, which no dial in half degrees shows."""
    found = as_measured(SPLAYED, SAW, Measured(mitre_opening="68.9 mm"))
    assert isinstance(found.sheet.joint, SplayedX)
    assert found.sheet.joint.entry.mitre_opening == pytest.approx(68.9 * MM, abs=1e-12)
    assert math.degrees(found.sheet.joint.entry.angle) == pytest.approx(22.84, abs=5e-3)


@given(first=st.floats(66.0, 75.0), second=st.floats(66.0, 75.0))
@settings(max_examples=40, deadline=None)
def test_legs_of_two_angles_are_sawn_to_one_width(first: float, second: float) -> None:
    """Exact: kept widths alike whatever the two mitre openings are."""
    readings = Measured(mitre_opening=f"{first} mm", exit_mitre_opening=f"{second} mm")
    joint = rebuilt(SPLAYED, SAW, readings)
    assert isinstance(joint, SplayedX)
    assert joint.entry.kept_width == pytest.approx(joint.exit.kept_width, abs=1e-9)
    assert joint.entry.mitre_opening == pytest.approx(first * MM, abs=1e-9)
    assert joint.exit.mitre_opening == pytest.approx(second * MM, abs=1e-9)


# what changes at the saw


def test_changes_are_told_largest_first_and_only_at_the_saw() -> None:
    found = as_measured(X, SAW, Measured(bend_angle="91 deg", kerf="1.3 mm", tangent="38 mm"))
    moves = [abs(one.moved) * (63.5 * MM if one.kind == "angle" else 1) for one in found.changes]
    assert moves == sorted(moves, reverse=True)
    assert not any(one.step == "Weld" for one in found.changes)
    plain = {fact.name: fact.value for fact in cut_sheet(X, SAW).facts()}
    for one in found.changes:
        if one.step == "Slice the heel":
            assert one.before == plain[one.name]
    near = next(one for one in found.changes if one.name == "Stop to the blade's near face")
    assert near.moved == pytest.approx(-0.2 * MM)  # the kerf is wider by that, all in the slug


@given(od=st.floats(62.5, 64.5), angle=st.floats(88.0, 92.0))
@settings(max_examples=25, deadline=None)
def test_inch_and_metric_are_one_answer(od: float, angle: float) -> None:
    """Invariant: to what writing a length in inches rounds, 1e-12 m."""
    metric = Measured(od_heel_to_throat=f"{od} mm", bend_angle=f"{angle} deg")
    inch = Measured(od_heel_to_throat=f"{od / 25.4!r} in", bend_angle=f"{angle} deg")
    one, two = (rebuilt(X, SAW, each) for each in (metric, inch))
    assert isinstance(one, ParallelX)
    assert isinstance(two, ParallelX)
    assert one.spacer == pytest.approx(two.spacer, abs=1e-12)
    assert one.cut_depth == pytest.approx(two.cut_depth, abs=1e-12)


def test_a_wider_bend_asks_for_less_straight() -> None:
    """Invariant: monotone in the measured angle."""
    straights = []
    for angle in (88, 89, 90, 91, 92):
        made = rebuilt(X, SAW, Measured(bend_angle=f"{angle} deg"))
        assert isinstance(made, ParallelX)
        straights.append(made.spacer)
    assert straights == sorted(straights, reverse=True)


def test_an_outlet_of_the_legs_own_tube_is_measured_with_it() -> None:
    y = Y.with_(outlet=TUBE)
    made = rebuilt(y, SAW, Measured(od_heel_to_throat="63.8 mm"))
    assert made.outlet.od == pytest.approx(63.8 * MM)


# refusals and looks


@pytest.mark.parametrize(
    ("joint", "readings", "said"),
    [
        (X, {"mitre_opening": "69 mm"}, "mitre_opening has no use on this joint (got 69 mm)"),
        (H, {"bend_angle": "90 deg"}, "bend_angle has no use on this joint"),
        (BUTTED, {"halved_opening": "88 mm"}, "halved_opening has no use on this joint"),
        (Y.with_(legs="splayed"), {"return_angle": "90 deg"}, "return_angle has no use"),
        (X, {"opening_length": "300 mm"}, "opening_length must be between 0 mm and"),
        (X, {"opening_height": "63.5 mm"}, "opening_height is as high as the tube"),
        (SPLAYED, {"mitre_opening": "60 mm"}, "mitre_opening must be more than the diameter"),
        (SPLAYED, {"opening_length": "164 mm"}, "opening_length shows a cutback of 0.988"),
        (HALF, {"halved_opening": "20 mm"}, "halved_opening shows a cutback of 0.843"),
    ],
)
def test_readings_that_cannot_be_are_refused_by_name(
    joint: Any, readings: dict[str, str], said: str
) -> None:
    with pytest.raises(ExhaustError) as caught:
        as_measured(joint, SAW, Measured(**readings))
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("kerf", 1.1, "kerf must be a length with a unit (got 1.1)"),
        ("bend_angle", "3 in", "bend_angle must be an angle"),
        ("od_heel_to_throat", "3 mm", "od_heel_to_throat must be between"),
        ("tangent", "-1 mm", "tangent must be between 0 mm and"),
        ("heel_wall", "0 mm", "heel_wall must be between"),
        ("bore", "3 in", "Measured has no 'bore'"),
    ],
)
def test_measured_is_checked_when_made(name: str, value: Any, said: str) -> None:
    with pytest.raises(ExhaustError) as caught:
        Measured(**{name: value})
    assert said in str(caught.value)


def test_the_wrong_kind_is_refused_by_name() -> None:
    for name, wrong in (("joint", (TUBE, SAW, Measured())), ("saw", (X, X, Measured()))):
        with pytest.raises(ExhaustError, match=f"{name} must be a"):
            as_measured(*wrong)  # type: ignore[arg-type]
    with pytest.raises(ExhaustError, match="measured must be a Measured"):
        as_measured(X, SAW, {"kerf": "1 mm"})  # type: ignore[arg-type]


def test_it_shows_itself_in_both_systems() -> None:
    found = as_measured(X, SAW, Measured(bend_angle="91 deg", heel_wall="1.3 mm"))
    with shown_in("metric"):
        text = result_html(found)
    for words in ("As measured", "What changes at the saw", "Mind", "91.0°", "Within it"):
        assert words in text
    with shown_in("inch"):
        assert "0.051" in result_html(found)  # 1.3 mm
    assert list(found.table.columns)[2] == "measured [m]"
    assert "Out of tolerance: angle of the bend. " in found.reason
    assert as_measured(X, SAW, Measured()).reason == "The readings change no setting at the saw"
