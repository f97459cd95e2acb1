"""The cut sheet of a splayed X: mitres, the long cut, the dial, the clamp and the hands."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from exhaust import ExhaustError, Saw, SplayedX, Tube, cut_sheet
from exhaust.cutmath import CutSheet, Step
from exhaust.cutmath.plan import plan
from exhaust.cutmath.splayed_x import settable
from exhaust.cutmath.splayed_x_poses import outline, sliced
from exhaust.show import Fact

MM = 1e-3
NANOMETRE = 1e-9  # closed forms of the same numbers: rounding only
TUBE = Tube(od="63.5 mm", wall="1.651 mm")
SAW = Saw(kerf="1.1 mm")
EVEN = SplayedX(TUBE, included_angle="45 deg", cutback=0.3, leg_length="200 mm")
UNLIKE = EVEN.with_(exit_angle="69 deg", leg_length="220 mm")


def named(facts: tuple[Fact, ...], name: str) -> float:
    found = [fact for fact in facts if fact.name.startswith(name)]
    assert found, name
    value = found[0].value
    assert isinstance(value, (int, float))
    return float(value)


def step(sheet: CutSheet, title: str, parts: str) -> Step:
    (found,) = [each for each in sheet.steps if (each.title, each.parts) == (title, parts)]
    return found


def test_the_order_is_blanks_mitre_long_cut_fit_weld() -> None:
    titles = [each.title for each in cut_sheet(EVEN, SAW).steps]
    assert titles == [
        "Saw blanks and mark the lines",
        "Mitre the legs",
        "The long cut",
        "Fit and tack",
        "Weld",
    ]


def test_a_45_splay_is_a_22_and_a_half_mitre_not_a_45() -> None:
    """Exact: the mitre is half the included angle."""
    mitre = step(cut_sheet(EVEN, SAW), "Mitre the legs", "A B")
    assert math.degrees(named(mitre.settings, "Blade from square")) == pytest.approx(22.5)
    opening = 63.5 * MM / math.cos(math.radians(22.5))
    assert named(mitre.checks, "Mitre opening") == pytest.approx(opening, abs=NANOMETRE)
    shown = named(mitre.checks, "Angle that the opening shows")
    assert math.degrees(shown) == pytest.approx(22.5)
    apart = named(mitre.settings, "Stop to the blade's near face, heel")
    apart -= named(mitre.settings, "Stop to the blade's near face, outer")
    assert apart == pytest.approx(63.5 * MM * math.tan(math.radians(22.5)), abs=NANOMETRE)


@pytest.mark.parametrize("share", [1 / 4, 1 / 3])
@pytest.mark.parametrize(("splay", "blade"), [(30, 15.0), (45, 22.5), (60, 30.0), (70, 35.0)])
def test_a_leg_is_sawn_at_half_of_the_splay_and_loses_a_share_of_its_opening(
    splay: int, blade: float, share: float
) -> None:
    """Common practice, no source: a 45 splay is cut at 22.5 a leg, a 70 at 35; a third comes off
    the mitre opening as it is measured, which is more than a third of the diameter."""
    x = EVEN.with_(included_angle=f"{splay} deg", cutback=share, leg_length="300 mm")
    sheet = cut_sheet(x, SAW)
    mitre = step(sheet, "Mitre the legs", "A B")
    assert math.degrees(named(mitre.settings, "Blade from square")) == pytest.approx(blade)
    opening = named(mitre.checks, "Mitre opening")
    assert opening == pytest.approx(63.5 * MM / math.cos(math.radians(blade)), abs=NANOMETRE)
    assert x.entry.take_off == pytest.approx(share * opening, abs=NANOMETRE)
    assert x.entry.take_off > share * 63.5 * MM * 1.03


def test_one_mitre_makes_two_legs_and_the_kerf_is_in_the_blank() -> None:
    """Exact: square end to heel on one leg, kerf, and outer line of the other fill the blank."""
    sheet = cut_sheet(EVEN, SAW)
    blank = named(step(sheet, "Saw blanks and mark the lines", "A B").settings, "Blank for two")
    mitre = step(sheet, "Mitre the legs", "A B").checks
    both = named(mitre, "Heel line") + named(mitre, "Outer line")
    dust = 1.1 * MM / math.cos(math.radians(22.5))
    assert blank == pytest.approx(both + dust, abs=NANOMETRE)


def test_the_long_cut_stands_on_the_mitre_face_and_keeps_the_outer_edge() -> None:
    """Exact: g of the mitre opening off the heel; run-out along the joint take-off / tan."""
    cut = step(cut_sheet(EVEN, SAW), "The long cut", "A B")
    opening, angle = 63.5 * MM / math.cos(math.radians(22.5)), math.radians(22.5)
    assert named(cut.settings, "Blade from square to the fence") == 0.0
    assert named(cut.settings, "Half line above") == pytest.approx(31.75 * MM)
    kept = named(cut.settings, "Outer edge to the blade's near face")
    assert kept == pytest.approx(0.7 * opening, abs=NANOMETRE)
    assert named(cut.settings, "Or heel edge") == pytest.approx(0.3 * opening, abs=NANOMETRE)
    run_out = named(cut.checks, "Run-out along the sawn face")
    assert run_out == pytest.approx(0.3 * opening / math.tan(angle), abs=NANOMETRE)
    height = 2 * 63.5 * MM * math.sqrt(0.3 * 0.7)
    assert named(cut.checks, "Seam height") == pytest.approx(height, abs=NANOMETRE)


def test_the_kerf_falls_in_the_slug() -> None:
    """Invariant: kept width, kerf and slug make up the mitre opening."""
    cut = step(cut_sheet(EVEN, SAW), "The long cut", "A B")
    whole = named(cut.checks, "Kept width") + 1.1 * MM + named(cut.checks, "Slug")
    assert whole == pytest.approx(63.5 * MM / math.cos(math.radians(22.5)), abs=NANOMETRE)


def test_the_smallest_leg_is_run_out_on_the_wall_and_the_clamp() -> None:
    """Exact: take-off / sin(angle) along the heel line, then the clamp."""
    cut = step(cut_sheet(EVEN, SAW), "The long cut", "A B")
    angle = math.radians(22.5)
    on_wall = 0.3 * 63.5 * MM / math.cos(angle) / math.sin(angle)
    heel = named(cut.checks, "Smallest heel line")
    assert heel == pytest.approx(on_wall + 50.8 * MM, abs=NANOMETRE)
    least = named(cut.checks, "Smallest leg")
    assert least == pytest.approx(heel - 31.75 * MM * math.tan(angle), abs=NANOMETRE)
    short = cut_sheet(EVEN.with_(leg_length=f"{least - 2e-3} m"), SAW)
    assert any("longer at the square end" in words for words in short.warnings)
    enough = cut_sheet(EVEN.with_(leg_length=f"{least + 1e-6} m"), SAW)
    assert not any("longer at the square end" in words for words in enough.warnings)


def test_unequal_legs_on_the_bisector_are_of_opposite_hand() -> None:
    """Exact: both mitres 28.5 for 45 and 69 included; the tilt is 6 either way."""
    sheet = cut_sheet(UNLIKE, SAW)
    cuts = [step(sheet, "The long cut", mark) for mark in "AB"]
    mitre = step(sheet, "Mitre the legs", "A B").settings
    assert math.degrees(named(mitre, "Blade from square")) == pytest.approx(28.5)
    for cut in cuts:
        tilt = named(cut.settings, "Blade from square to the fence")
        assert math.degrees(tilt) == pytest.approx(6.0)
        assert "opposite hand" in cut.words
    sides = [cut.settings[0].note for cut in cuts]
    assert sides == [
        "leaning to the outer edge as it leaves the fence",
        "leaning to the heel as it leaves the fence",
    ]
    widths = [named(cut.checks, "Kept width") for cut in cuts]
    assert widths[0] == pytest.approx(widths[1], abs=NANOMETRE)


def test_equal_legs_have_no_hand() -> None:
    assert not any("opposite hand" in each.words for each in cut_sheet(EVEN, SAW).steps)


@given(
    first=st.floats(20.0, 80.0), second=st.floats(20.0, 80.0), step_of=st.sampled_from([0.5, 1.0])
)
@example(first=25.0, second=27.0, step_of=1.0)  # a tilt of half a step either way
@settings(max_examples=40, deadline=None)
def test_every_angle_set_is_a_mark_of_the_dial(first: float, second: float, step_of: float) -> None:
    """Invariant: whole steps, and no more than a step and a bit from what was asked."""
    asked = EVEN.with_(
        included_angle=f"{first} deg", exit_angle=f"{second} deg", leg_length="300 mm"
    )
    sheet = cut_sheet(asked, SAW.with_(angle_step=f"{step_of} deg"))
    for fact in sheet.facts():
        if fact.name.startswith("Blade from square"):
            assert isinstance(fact.value, float)
            steps = math.degrees(fact.value) / step_of
            assert steps == pytest.approx(round(steps), abs=1e-6)
    made = sheet.joint
    assert isinstance(made, SplayedX)
    assert abs(math.degrees(made.included_angle) - first) <= 2 * step_of + 1e-6
    assert abs(math.degrees(made.exit_angle) - second) <= 2 * step_of + 1e-6


def test_a_rounded_angle_is_said_and_everything_follows_it() -> None:
    asked = EVEN.with_(included_angle="44.4 deg")
    sheet = cut_sheet(asked, SAW.with_(angle_step="0.5 deg"))
    assert any("included angle of 44° instead of 44.4°" in words for words in sheet.warnings)
    opening = named(sheet.checks, "Mitre opening")
    assert opening == pytest.approx(63.5 * MM / math.cos(math.radians(22.0)), abs=NANOMETRE)
    assert settable(EVEN, SAW) is EVEN


def test_a_dial_too_coarse_is_refused() -> None:
    with pytest.raises(ExhaustError, match="too coarse to come near a mitre"):
        cut_sheet(
            EVEN.with_(included_angle="10 deg", leg_length="500 mm"), SAW.with_(angle_step="15 deg")
        )


def test_a_mitre_past_the_dial_gets_a_wedge() -> None:
    """A 120 splay is a 60 mitre: 45 on the dial and 15 in the wedge."""
    sheet = cut_sheet(EVEN.with_(included_angle="120 deg"), SAW)
    mitre = step(sheet, "Mitre the legs", "A B").settings
    assert math.degrees(named(mitre, "Blade from square")) == pytest.approx(45.0)
    assert math.degrees(named(mitre, "Wedge")) == pytest.approx(15.0)
    assert any("past the dial" in words for words in sheet.warnings)


def test_a_saw_too_low_or_too_narrow_is_said() -> None:
    low = cut_sheet(EVEN, SAW.with_(height_capacity="2 in"))
    assert any("needs" in words and "of height" in words for words in low.warnings)
    narrow = SAW.with_(kind="horizontal", width_capacity="2.6 in", height_capacity="4 in")
    assert any("of width" in words for words in cut_sheet(EVEN, narrow).warnings)
    assert not any("of height" in words for words in cut_sheet(EVEN, SAW).warnings)


def test_a_kerf_wider_than_the_cut_is_refused() -> None:
    shallow = EVEN.with_(cutback=0.04)
    with pytest.raises(ExhaustError, match="kerf"):
        cut_sheet(shallow, SAW.with_(kerf="3 mm"))


def test_inch_and_metric_give_the_same_cut() -> None:
    tube = Tube(od="2.5 in", wall="0.065 in")
    inch = SplayedX(tube, included_angle="45 deg", cutback=0.3, leg_length="8 in")
    metric = EVEN.with_(leg_length="203.2 mm")
    for one, other in zip(
        cut_sheet(inch, SAW).facts(), cut_sheet(metric, SAW).facts(), strict=True
    ):
        if isinstance(one.value, float):
            assert one.value == pytest.approx(other.value, abs=NANOMETRE), one.name


def test_the_parts_weigh_what_the_joint_weighs() -> None:
    for x in (EVEN, UNLIKE):
        sheet = cut_sheet(x, SAW)
        made = sum(part.pieces * part.mass for part in sheet.parts)
        assert made == pytest.approx(x.mass, rel=1e-9)


def area(points: np.ndarray) -> float:  # type: ignore[type-arg]
    x, y = points.T
    return abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2.0


def test_the_drawing_is_to_scale() -> None:
    """Independent: corners and areas of the drawn leg, by hand."""
    end = EVEN.entry
    corners = outline(end)
    assert math.dist(corners[0], corners[1]) == pytest.approx(end.mitre_opening, abs=NANOMETRE)
    assert math.dist(corners[0], corners[3]) == pytest.approx(end.long_side, abs=NANOMETRE)
    assert area(corners) == pytest.approx(63.5 * MM * 0.2, rel=1e-9)
    gone = area(corners) - area(sliced(end, end.leg.plane))
    assert gone == pytest.approx(0.5 * end.take_off * end.run_out, rel=1e-9)


def test_what_is_measured_on_the_mitre_face_is_drawn_as_long_as_it_says() -> None:
    """Every measure from line to line in the view from the fence, and the lines that it reads."""
    sheet = cut_sheet(EVEN, SAW)
    (face,) = [p for each in sheet.steps for p in each.poses if p.title.endswith("mitre face")]
    assert {measure.label for measure in face.measures} == {"half line", "keep", "seam height"}
    for measure in face.measures:
        line = measure.path[1] - measure.path[0]
        assert np.hypot(*line) == pytest.approx(measure.value, abs=NANOMETRE)
        assert measure.feet is not None
        read = np.dot(measure.feet[1] - measure.feet[0], line / measure.value)
        assert abs(read) == pytest.approx(measure.value, abs=NANOMETRE)


def test_the_diagonals_say_that_the_x_is_square() -> None:
    """Independent: distance between the middles of opposite exits of the drawing."""
    ends = [np.mean(outline(end)[2:], axis=0) - [end.leg.plane, 0.0] for end in EVEN.ends]
    apart = math.hypot(ends[0][0] + ends[1][0], ends[0][1] + ends[1][1])
    diagonal = named(cut_sheet(EVEN, SAW).checks, "Diagonals")
    assert diagonal == pytest.approx(apart, abs=NANOMETRE)


def test_the_plan_meets_at_the_seam_and_measures_what_the_joint_does() -> None:
    """Independent: the drawn outline's own extent beside the joint's dimensions."""
    for x in (EVEN, UNLIKE):
        above, middle = plan(x)
        kept = np.vstack([shape.points for shape in above.shapes if shape.role == "kept"])
        wide, long = np.ptp(kept, axis=0)
        assert wide == pytest.approx(x.envelope.width, abs=NANOMETRE)
        assert long == pytest.approx(x.overall_length, abs=NANOMETRE)
        shown = {measure.label: measure.value for measure in middle.measures}
        face = np.vstack([shape.points for shape in middle.shapes])
        assert np.ptp(face[:, 0]) == pytest.approx(shown["over both"], abs=NANOMETRE)
        edge = face[np.abs(face[:, 0]) < NANOMETRE]
        assert np.ptp(edge[:, 1]) == pytest.approx(shown["seam"], abs=NANOMETRE)


@pytest.mark.parametrize("unequal", ["plain", "equal width"])
def test_legs_mitred_each_at_its_own_angle_are_measured_each(unequal: str) -> None:
    """Exact: plain mitres leave D (1 - g) / cos of each; equal width the entry's on both."""
    sheet = cut_sheet(UNLIKE.with_(unequal=unequal), SAW)
    names = [fact.name for fact in sheet.checks]
    assert ("Over the exit legs at the mitres" in names) is (unequal == "plain")
    wide = 2 * 0.7 * 63.5 * MM / math.cos(math.radians(22.5))
    assert named(sheet.checks, "Over both sides") == pytest.approx(wide, abs=NANOMETRE)
    assert named(sheet.checks, "Largest step") > 0.1 * MM
