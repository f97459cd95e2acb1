"""The cut sheet of a Y merge: order, halving, the slice, what is left, forming, the plan."""

from __future__ import annotations

import math

import numpy as np
import pytest

from exhaust import Bend, ExhaustError, Saw, Tube, YMerge, cut_sheet
from exhaust.cutmath import CutSheet, Step
from exhaust.cutmath.plan import plan
from exhaust.show import Fact

MM = 1e-3
NANOMETRE = 1e-9  # closed forms of the same numbers: rounding only
DRAWN = 2e-4  # arcs are drawn as chords of 1.5 degrees [m]
TUBE = Tube(od="63.5 mm", wall="1.651 mm")
BEND = Bend(TUBE, clr="95.25 mm")
SAW = Saw(kerf="1.1 mm")
EVEN = YMerge(BEND, spacing="280 mm", outlet_straight="100 mm")
WIDER = YMerge(BEND, outlet=Tube(od="76.2 mm", wall="1.651 mm"), cutback=0.5, spacing="280 mm")
HEEL, THROAT = (95.25 + 31.75) * MM, (95.25 - 31.75) * MM


def named(facts: tuple[Fact, ...], name: str) -> float:
    value = next(fact.value for fact in facts if fact.name.startswith(name))
    assert isinstance(value, (int, float))
    return float(value)


def step(sheet: CutSheet, title: str) -> Step:
    return next(each for each in sheet.steps if each.title.startswith(title))


def test_the_straight_is_on_before_the_heel_is_off() -> None:
    """Common practice: halve, check the angle, tack the straight on, slice, close, outlet."""
    titles = [each.title for each in cut_sheet(EVEN, SAW).steps]
    assert titles == [
        "Measure and mark",
        "Halve the bend and check the angle",
        "Saw the straights",
        "Tack the straight on",
        "Slice the heel",
        "Halve the returns",
        "Fit and tack the legs",
        "Fit the outlet",
        "Weld",
    ]


def test_halving_costs_half_a_kerf_of_length_and_no_angle() -> None:
    """Exact: arcs of an eighth of a circle about the bend's axis."""
    halved = step(cut_sheet(EVEN, SAW), "Halve the bend")
    heel = named(halved.settings, "Heel, end to the middle")
    assert heel == pytest.approx(HEEL * math.pi / 4, abs=NANOMETRE)
    assert named(halved.checks, "Heel of each half") == pytest.approx(heel - 0.55 * MM)
    throat = named(halved.checks, "Throat of each half")
    assert throat == pytest.approx(THROAT * math.pi / 4 - 0.55 * MM, abs=NANOMETRE)
    assert math.degrees(named(halved.checks, "Angle of each half")) == pytest.approx(45.0)


def test_what_is_left_behind_the_tip_and_what_a_degree_and_the_kerf_take() -> None:
    """Exact: (R + a)(45 deg - acos(R/(R + a))) at half; a degree takes (R + a) pi/180."""
    checks = step(cut_sheet(EVEN, SAW), "Halve the bend").checks
    left = HEEL * (math.pi / 4 - math.acos(95.25 * MM / HEEL))
    assert named(checks, "Left of the half bend") == pytest.approx(left, abs=NANOMETRE)
    degree = named(checks, "A degree less")
    assert degree == pytest.approx(HEEL * math.pi / 180, abs=NANOMETRE)
    both = HEEL * (math.radians(44) - math.acos(94.15 * MM / HEEL))
    assert named(checks, "Left with both") == pytest.approx(both, abs=NANOMETRE)
    taken = left - both
    assert taken == pytest.approx(degree + named(checks, "The kerf"), abs=0.02 * MM)


def test_the_slice_stands_on_the_outlet_face_with_the_kerf_in_the_slug() -> None:
    """Exact: half the od deep; the opening is a half chord less half the halving kerf."""
    cut = step(cut_sheet(EVEN, SAW), "Slice the heel")
    assert named(cut.settings, "Stop to the blade's far face") == pytest.approx(31.75 * MM)
    assert named(cut.settings, "Stop to the blade's near face") == pytest.approx(30.65 * MM)
    assert named(cut.settings, "Outlet face from square") == 0.0
    chord = math.sqrt(HEEL**2 - (95.25 * MM) ** 2)
    opening = named(cut.checks, "Length of the opening")
    assert opening == pytest.approx(chord - 0.55 * MM, abs=0.01 * MM)  # heel of a sawn face
    slug = math.sqrt(HEEL**2 - (96.35 * MM) ** 2) - 0.55 * MM
    assert named(cut.checks, "Slug: length") == pytest.approx(slug, abs=0.01 * MM)
    whole = named(cut.checks, "Throat to cut face") + 1.1 * MM + named(cut.checks, "Slug: great")
    assert whole == pytest.approx(63.5 * MM, abs=NANOMETRE)


def test_a_leg_too_short_to_clamp_gets_an_offcut() -> None:
    bare = cut_sheet(YMerge(BEND), SAW)
    tacked = step(bare, "Tack the straight on")
    assert named(tacked.settings, "Offcut") == pytest.approx(50.8 * MM)
    assert "grind it off" in tacked.words
    assert any("offcut" in words for words in bare.warnings)
    assert "offcut" not in step(cut_sheet(EVEN, SAW), "Tack the straight on").words
    for sheet, what in ((bare, "clamp the offcut"), (cut_sheet(EVEN, SAW), "clamp the straight")):
        said = step(sheet, "Slice the heel").poses[0].notes
        notes = [" ".join(note.text.split()) for note in said]
        assert [text for text in notes if text.startswith("clamp")] == [what]


def test_a_straight_end_that_came_with_the_bend_is_the_legs_straight() -> None:
    """And a bend without one leaves none: words of the step that makes the straight up."""
    ended = Bend(BEND.tube, clr="95.25 mm", tangent="30 mm")
    for merge, words in (
        (
            YMerge(ended, legs="splayed", spacer="20 mm"),
            "The straight end of the bend is the leg's",
        ),
        (YMerge(BEND, legs="splayed"), "The leg has no straight of its own"),
        (YMerge(BEND, legs="splayed", spacer="60 mm"), "Butt the straight to the end"),
    ):
        assert step(cut_sheet(merge, SAW), "Tack the straight on").words.startswith(words)


def test_welding_draws_in_by_the_joints_that_lie_across_and_along() -> None:
    """Each leg's butt welds lie at 45 degrees, the seam across, the outlet's weld along; half a
    millimetre to one for each."""
    sheet = cut_sheet(EVEN, SAW)
    finished = {str(row[0]): row for row in sheet.finished.rows}
    each = EVEN.leg_butts / 2
    across, along = 1 + 2 * each * math.sin(math.pi / 4), 1 + each * math.cos(math.pi / 4)
    for name, joints in (("Outside width", across), ("Overall length", along)):
        tacked, most, least = (float(value) for value in finished[name][1:])
        assert (tacked - most) / MM == pytest.approx(0.5 * joints)
        assert (tacked - least) / MM == pytest.approx(1.0 * joints)


def test_half_into_the_same_tube_is_not_formed_and_a_step_is() -> None:
    """Exact: two halves are one circle; 63.5 to 76.2 from half stretches 74.549/61.849 - 1."""
    assert not any("Form" in each.title for each in cut_sheet(EVEN, SAW).steps)
    sheet = cut_sheet(WIDER, SAW)
    formed = step(sheet, "Form the outline")
    share = (76.2 - 1.651) / (63.5 - 1.651) - 1
    assert named(formed.settings, "Stretch") == pytest.approx(share, abs=1e-9)
    assert named(formed.settings, "Passes") == 2  # 20.5 % in steps of at most 15 %
    assert any("2 passes" in words for words in sheet.warnings)
    assert named(formed.checks, "Tape round the outside before") == pytest.approx(
        math.pi * 63.5 * MM, abs=NANOMETRE
    )
    after = named(formed.checks, "Tape round the outside after")
    assert after == pytest.approx(math.pi * 76.2 * MM, abs=NANOMETRE)
    order = [each.title for each in sheet.steps]
    assert order.index(formed.title) == order.index("Fit and tack the legs") + 1


def test_a_trimmed_bend_is_trimmed_before_it_is_halved() -> None:
    near = YMerge(BEND, cutback=0.3, spacing="120 mm")
    assert near.trimmed
    sheet = cut_sheet(near, SAW)
    titles = [each.title for each in sheet.steps]
    assert titles[1:3] == ["Trim the bends", "Halve the bend and check the angle"]
    heel = named(step(sheet, "Halve the bend").settings, "Heel, end")
    assert heel == pytest.approx(HEEL * near.half_angle, abs=NANOMETRE)
    assert "Cut the returns" in titles


def test_a_saw_too_low_is_said_and_a_kerf_as_deep_as_the_cut_refused() -> None:
    low = cut_sheet(EVEN, SAW.with_(height_capacity="2 in"))
    assert any("of height" in words for words in low.warnings)
    assert not any("of height" in words for words in cut_sheet(EVEN, SAW).warnings)
    shallow = YMerge(BEND, cutback=0.07, outlet=Tube(od="114 mm", wall="1.651 mm"))
    with pytest.raises(ExhaustError, match="kerf"):
        cut_sheet(shallow, Saw(kerf="4.5 mm"))


def test_a_leg_too_long_to_lie_under_the_guides_stands_on_its_outlet_face() -> None:
    """A horizontal saw takes the opening's line across or upright; one of the two must pass."""
    leg = math.sqrt(2) * HEEL / 2 + 100 * MM  # more than a leg is long, its straight with it
    tall = Saw(kerf="1.1 mm", kind="horizontal", height_capacity="300 mm", width_capacity="100 mm")
    low = tall.with_(height_capacity="100 mm", width_capacity="300 mm")
    small = low.with_(width_capacity="100 mm")
    assert leg < 300 * MM
    flat, standing = (step(cut_sheet(EVEN, saw), "Slice the heel") for saw in (low, tall))
    assert "flat on the deck" in flat.poses[0].seen_from
    assert "outlet face down" in standing.poses[0].seen_from
    assert standing.words.startswith("Stand the leg on its outlet face")
    assert flat.settings == standing.settings
    one = standing.poses[0]
    kept, blade, stop, deck = (
        next(shape.points for shape in one.shapes if shape.role == role)
        for role in ("kept", "blade", "stop", "deck")
    )
    assert kept[:, 1].min() == pytest.approx(deck[:, 1].max(), abs=NANOMETRE)  # on the deck
    assert stop[:, 0].max() - blade[:, 0].max() == pytest.approx(-31.75 * MM, abs=NANOMETRE)
    for saw in (low, tall):
        assert not any("of height" in words for words in cut_sheet(EVEN, saw).warnings)
    (said,) = [words for words in cut_sheet(EVEN, small).warnings if "of height" in words]
    assert said.startswith("A leg, flat or standing, needs")


def test_the_parts_weigh_what_the_joint_weighs_but_for_the_halving_kerf() -> None:
    """Invariant: kerf at the outlet face only, half of the wall ring at each of two legs."""
    sheet = cut_sheet(EVEN, SAW)
    made = sum(part.pieces * part.mass for part in sheet.parts)
    dust = TUBE.mass_per_length * 0.55 * MM  # two half rings of half a kerf
    assert made == pytest.approx(EVEN.mass - dust, rel=1e-9)


def test_inch_and_metric_give_the_same_cut() -> None:
    bend = Bend(Tube(od="2.5 in", wall="0.065 in"), clr="3.75 in")
    inch = cut_sheet(YMerge(bend, spacing="11 in"), SAW)
    metric = cut_sheet(YMerge(BEND, spacing="279.4 mm"), SAW)
    for one, other in zip(inch.facts(), metric.facts(), strict=True):
        if isinstance(one.value, float):
            assert one.value == pytest.approx(other.value, abs=NANOMETRE), one.name


@pytest.mark.parametrize(
    "y", [EVEN, WIDER, YMerge(BEND, legs="splayed", spacer="60 mm", cutback=0.45)]
)
def test_plan_and_pose_are_to_scale(y: YMerge) -> None:
    """Independent: the extent of what is drawn beside the joint's dimensions."""
    above, _ = plan(y)
    kept = np.vstack([shape.points for shape in above.shapes if shape.role == "kept"])
    wide, long = np.ptp(kept, axis=0)
    assert wide == pytest.approx(y.outside_width, abs=DRAWN)
    assert long == pytest.approx(y.overall_length, abs=DRAWN)
    cut = step(cut_sheet(y, SAW), "Slice the heel")
    shapes = cut.poses[0].shapes
    slug = next(shape.points for shape in shapes if shape.role == "waste")
    assert np.ptp(slug[:, 0]) == pytest.approx(named(cut.checks, "Slug: length"), abs=DRAWN)
    blade = next(shape.points for shape in shapes if shape.role == "blade")
    stop = next(shape.points for shape in shapes if shape.role == "stop")
    depth = stop[:, 1].min() - blade[:, 1].min()
    assert depth == pytest.approx(y.cut_depth, abs=NANOMETRE)
