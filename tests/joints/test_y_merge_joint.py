"""YMerge as it is described: legs, outlet, forming, what is left behind the tip, copies, notes."""

from __future__ import annotations

import math
import re
import time
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust import Bend, ExhaustError, ParallelX, Tube, YMerge
from exhaust.joints import Envelope, Joint
from exhaust.units import SI

INCH, MM = 0.0254, 1e-3
TUBE = Tube(od="63.5 mm", wall="1.651 mm")
LARGER = Tube(od="76.2 mm", wall="1.651 mm")
BEND = Bend(TUBE, clr="95.25 mm")  # 1.5 D
TIGHT = Bend(TUBE, clr="63.5 mm", tangent="30 mm")  # 1.0 D
FIELD = 1e-3  # stations a millimetre apart, straight lines between them, a square root at the tip


def made(bend: Bend = BEND, **given_: Any) -> YMerge:
    return YMerge(bend, **given_)


def si(bend: Bend = BEND, **given_: Any) -> YMerge:
    return YMerge.from_si(bend=bend, **given_)


MADE: dict[str, YMerge] = {
    "same size": made(spacer="30 mm", outlet_straight="100 mm"),
    "stepped": made(outlet=LARGER, cutback=0.3456, outlet_straight="4 in"),
    "splayed": made(legs="splayed", spacer="3 in"),
    "trimmed": made(cutback=0.45, spacing="100 mm"),
    "on to the straight": made(TIGHT, legs="splayed", spacer="30 mm"),
    "two lobes": made(cutback=0.55, spacer="30 mm"),
}


def test_same_size_as_worked() -> None:
    """63.5 x 1.651 into its own size at 1.5 D. Closed form and solid model, worked case."""
    y = made()
    assert y.cutback == 0.5
    assert y.zero_stretch_cutback == 0.5
    assert y.zero_stretch_cutback_outside == 0.5
    assert y.stretch == 0.0
    assert y.outline_length == pytest.approx(194.3043640318751 * MM, rel=1e-12)
    assert y.face_area == pytest.approx(2846.1252393427358e-6, rel=1e-12)
    assert y.formed_area == pytest.approx(2846.125239342735e-6, rel=1e-12)
    assert y.narrowest_area == pytest.approx(TUBE.flow_area, rel=1e-12)
    assert y.narrowest_ratio == pytest.approx(0.5, rel=1e-12)
    assert math.degrees(y.cut_half_angle) == pytest.approx(41.40962210927086, rel=1e-12)
    assert math.degrees(y.metal_left_angle) == pytest.approx(3.590377890729137, rel=1e-9)


def test_stepped_as_worked() -> None:
    """63.5 into 76.2, both 1.651, at its cutback without stretch. Worked case."""
    y = made(outlet=LARGER, cutback=0.3456298793002925)
    assert y.zero_stretch_cutback == pytest.approx(0.3456298793002925, rel=1e-12)
    assert y.zero_stretch_cutback_outside == pytest.approx(0.3454915028125263, rel=1e-12)
    assert abs(y.stretch) < 1e-12
    assert y.outline_length == pytest.approx(234.2025907324655 * MM, rel=1e-12)
    assert y.face_area == pytest.approx(4005.0996110948736e-6, rel=1e-12)
    assert y.formed_area == pytest.approx(4173.698834578179e-6, rel=1e-12)
    assert y.narrowest_area == y.face_area  # forming only adds
    assert y.notes == ()
    assert y.forming_words == "no stretch"


@pytest.mark.parametrize(
    ("cutback", "outside", "middle"),
    [
        (0.25, -0.1, -0.1026291949939988),
        (0.30, -0.04911311796809992, -0.05047743370870528),
        (0.40, 0.06365210292634194, 0.06510753949457593),
        (0.50, 0.2, 0.20533880903490775),
    ],
)
def test_stretch_as_worked(cutback: float, outside: float, middle: float) -> None:
    """63.5 into 76.2, closed form and solid model, worked case."""
    y = made(outlet=LARGER, cutback=cutback)
    assert y.stretch_outside == pytest.approx(outside, rel=1e-10)
    assert y.stretch == pytest.approx(middle, rel=1e-10)


def test_the_walls_decide_where_they_differ() -> None:
    """80.1 mm legs of thin wall into 88.9 x 1.651: 0.2061 outside, 0.2110 in the middle of the
    wall, for legs of 63.5 x 1.2446. Worked case; five figures given."""
    thin = Bend(Tube(od="63.5 mm", wall="1.2446 mm"), clr="95.25 mm")
    y = made(thin, outlet=Tube(od="88.9 mm", wall="1.651 mm"), cutback=0.21)
    assert y.zero_stretch_cutback_outside == pytest.approx(0.20611, abs=6e-6)
    assert y.zero_stretch_cutback == pytest.approx(0.21095, abs=6e-6)


def test_a_cut_too_deep_on_both_legs_needs_stretch() -> None:
    """0.5 mm too deep on both: outside 0.0088 of stretch (worked case), first order 4/sin beta."""
    right = made(outlet=LARGER, cutback=0.3454915028125263)
    deep = made(outlet=LARGER, cutback=0.3454915028125263 + 0.5 / 63.5)
    assert deep.stretch_outside == pytest.approx(0.008838868905578057, rel=1e-9)
    slope = (deep.stretch - right.stretch) / 0.5e-3
    assert right.stretch_per_depth == pytest.approx(slope, rel=0.02)  # first order of 0.5 mm


def test_what_is_left_behind_the_tip() -> None:
    """Common practice: at 1.5 D about 8 mm, of which a degree and the kerf take 3 to 4."""
    y = made()
    left = y.left_behind_tip()
    assert left == pytest.approx(7.958 * MM, abs=1e-6)
    assert left == pytest.approx(y.metal_left_arc, rel=1e-12)
    slipped = y.left_behind_tip(kerf="1.1 mm", short="1 deg")
    assert 3.0 * MM < left - slipped < 4.0 * MM
    degree = left - y.left_behind_tip(short="1 deg")
    assert degree == pytest.approx((95.25 + 31.75) * MM * math.radians(1), rel=1e-12)
    assert degree == pytest.approx(y.left_per_angle * math.radians(1), rel=1e-12)
    deeper = (left - y.left_behind_tip(kerf="0.01 mm")) / 0.01e-3
    assert y.left_per_depth == pytest.approx(deeper, rel=1e-3)  # first order of 0.01 mm


def test_trap_8_the_halving_kerf_costs_length_not_angle() -> None:
    """Half a kerf off the opening at the face; nothing off the heel behind the tip."""
    y = made()
    lost = y.opening_length - y.sawn_opening_length("3 mm")
    assert lost == pytest.approx(1.5 * MM, rel=0.01)  # the face is 0.009 mm wider too
    assert y.sawn_opening_length() == pytest.approx(y.opening_length, rel=1e-12)
    assert y.spacing == made().spacing


def test_trap_4_a_1_d_bend_is_too_short_for_half() -> None:
    """0.4393 is all that half of a 90 at 1.0 D takes; on straight ends it takes more."""
    with pytest.raises(ExhaustError, match=r"most it can take is 0\.439\)"):
        made(Bend(TUBE, clr="63.5 mm"))
    y = made(TIGHT, spacer="30 mm")
    assert y.run_on == pytest.approx(5.447e-3, abs=1e-6)
    assert y.left_behind_tip() == pytest.approx(-y.run_on, rel=1e-12)
    assert y.notes[0] == "the opening runs 5.447 mm onto each straight end"


def test_trap_5_past_half_the_legs_are_narrower_than_the_outlet() -> None:
    y = MADE["two lobes"]
    assert y.opening_height == TUBE.od
    assert y.narrowest_area == y.face_area < TUBE.flow_area
    assert y.notes[0].startswith("cutback 0.55 is past the widest point")


def test_it_is_half_of_a_parallel_x() -> None:
    """Invariant: a parallel X sawn through its middle is two of these, legs and all."""
    x = ParallelX(BEND, cutback=0.5, spacer="30 mm")
    y = made(spacer="30 mm")
    assert y.window_area == pytest.approx(x.window_area / 2, rel=1e-12)
    assert y.opening_length == pytest.approx(x.opening_length / 2, rel=1e-12)
    assert y.opening_seam == pytest.approx(x.opening_seam / 2, rel=1e-12)
    assert y.overall_length == pytest.approx(x.overall_length / 2, rel=1e-12)
    assert y.centreline_length == pytest.approx(x.centreline_length / 2, rel=1e-12)
    assert y.mass == pytest.approx(x.mass / 2, rel=1e-12)
    assert y.inside_volume == pytest.approx(x.inside_volume / 2, rel=1e-12)
    assert y.slug_volume() == pytest.approx(x.slug_volume() / 2, rel=1e-12)
    for name in ("spacing", "gap", "outside_width", "cut_depth", "opening_height", "slug_depth"):
        mine, its = getattr(y, name), getattr(x, name)
        assert (mine() if callable(mine) else mine) == (its() if callable(its) else its)


def test_splayed_legs_by_trigonometry() -> None:
    """A 45 degree arc and a straight at 45, walked by hand."""
    y = MADE["splayed"]
    turn, clr, s = math.radians(45), 95.25 * MM, 3 * INCH
    out = clr * (1 - math.cos(turn)) + s * math.sin(turn)
    assert y.spacing == pytest.approx(2 * out, rel=1e-12)  # at a half cutback the offset is nought
    assert y.outside_width - y.gap == pytest.approx(2 * 63.5 * MM * math.cos(turn), rel=1e-12)
    along = clr * math.sin(turn) + s * math.cos(turn) + 31.75 * MM * math.sin(turn)
    assert y.overall_length == pytest.approx(along, rel=1e-12)
    assert y.centreline_length == pytest.approx(clr * turn + s, rel=1e-12)
    assert y.envelope == Envelope(y.outside_width, y.overall_length, TUBE.od)
    assert (y.entry_angle, y.turning) == (pytest.approx(turn), pytest.approx(turn))
    assert y.return_bend is None


def test_parallel_legs_turn_twice_and_come_in_straight() -> None:
    y = MADE["same size"]
    assert math.degrees(y.turning) == pytest.approx(90.0)
    assert (y.entry_angle, y.leg_angle) == (0.0, 0.0)
    assert y.return_bend == BEND


@given(st.floats(0.1, 0.5), st.sampled_from(["parallel", "splayed"]))
def test_every_way_of_spacing_gives_the_same_joint(spacing: float, legs: str) -> None:
    """Round trip: spacing, gap, outside width, and the straight where there is one."""
    y = si(legs=legs, spacing=spacing)
    assert y.spacing == pytest.approx(spacing, rel=1e-12)
    ways = {"outside_width": y.outside_width, "gap": y.gap}
    if not y.trimmed:
        ways["spacer"] = y.spacer
    for name, value in ways.items():
        other = si(legs=legs, **{name: value})
        assert other.spacing == pytest.approx(spacing, rel=1e-9)
        assert other.half_angle == pytest.approx(y.half_angle, rel=1e-9)


@pytest.mark.parametrize("name", MADE)
def test_the_windows_height_along_a_leg_adds_up_to_its_area(name: str) -> None:
    """Invariant: integral of height over its own place on the middle plane is the window."""
    y = MADE[name]
    along = y.profile(801)
    theta, clr, plane = y.half_angle, float(y.bend.clr), y.elbow.plane
    back = np.maximum(y.leg_length - along.position, 0.0)  # from the outlet's face
    past = np.maximum(back - theta * clr, 0.0)
    place = plane * np.tan(np.minimum(back / clr, theta)) + past / math.cos(theta)
    on_leg = along.position <= y.leg_length
    middle = 2 * math.sqrt(y.elbow.bore**2 - y.elbow.offset**2)  # the chord at the face itself
    height = np.append(along.window_height[on_leg], middle)
    area = -float(np.trapezoid(height, np.append(place[on_leg], 0.0)))
    assert area == pytest.approx(y.window_area, rel=FIELD)


@pytest.mark.parametrize("name", MADE)
def test_the_profile_runs_from_a_leg_to_half_of_the_outlet(name: str) -> None:
    y = MADE[name]
    along = y.profile(201)
    assert along.position[[0, -1]] == pytest.approx([0.0, y.centreline_length], rel=1e-12)
    assert along.leg_area[0] == pytest.approx(TUBE.flow_area, rel=1e-12)
    merged = along.position > y.leg_length + 1e-9
    assert along.leg_area[merged] == pytest.approx(y.outlet.flow_area / 2, rel=1e-12)
    assert not along.window_height[merged].any()
    assert merged.any() == (y.outlet_straight > 0)
    if not merged.any():
        assert 2 * along.leg_area[-1] == pytest.approx(y.face_area, rel=1e-9)
    legs = along.leg_area[~merged]
    assert np.all(np.diff(legs) <= 1e-12)  # less and less towards the outlet
    with pytest.raises(ExhaustError, match="stations must be an odd whole number"):
        y.profile(40)


def test_every_weld_is_counted() -> None:
    """The seam of the legs, once round the outlet, and a turn of a leg for each butt."""
    y = MADE["stepped"]
    seam, outlet, butts = y.seams
    assert seam.length == y.opening_seam
    assert outlet.length == pytest.approx(math.pi * 76.2 * MM, rel=1e-12)
    assert (butts.length, butts.count) == (pytest.approx(math.pi * 63.5 * MM, rel=1e-12), 2)
    assert y.weld_length == pytest.approx(seam.length + outlet.length + 2 * butts.length)
    assert made(spacer="30 mm").seams[2].count == 4  # a piece of straight on each leg
    assert len(made(legs="splayed").seams) == 2  # nothing on the legs
    assert MADE["splayed"].seams[2].count == 2
    assert len(MADE["on to the straight"].seams) == 2  # the bend's own straight ends


def test_notes_say_what_forming_takes() -> None:
    forming, bead, left = made(outlet=LARGER).notes
    assert forming == (
        "to reach 76.2 mm x 1.651 mm the joined outline is stretched: 20.5 % is over 15.0 % in one "
        "step: slice at 0.346"
    )
    assert "does not hold across a bead" in bead
    assert "must reach the crotch, 84 mm behind the outlet" in bead
    assert left.startswith("only 7.958 mm of heel is left behind the tip")
    gathered = made(outlet=LARGER, cutback=0.30).notes
    assert gathered == (
        "to reach 76.2 mm x 1.651 mm the joined outline is 5.0 % too long: gather it or slice at "
        "0.346",
    )


def test_a_ferritic_leg_is_stretched_less() -> None:
    """409: 20 % elongation, so three quarters of it is what one step takes and all there is."""
    leg = Bend(Tube(od="63.5 mm", wall="1.651 mm", material="409"), clr="95.25 mm")
    out = Tube(od="69.85 mm", wall="1.651 mm")
    y = made(leg, outlet=out)
    assert y.notes[0].endswith("10.3 % in one step; ferritic, so less across a weld")
    assert "legs of 409 meet an outlet of 304" in y.notes[-1]
    with pytest.raises(ExhaustError, match="409 is not stretched past 15"):
        made(leg, outlet=LARGER)


def limit_of(y: YMerge) -> float:
    """Return the least cutback that any of the limits in words stops at."""
    found = [
        float(number)
        for words in y.limits
        for number in re.findall(r"(?:grow to|and to) ([0-9.]+) before", words)
    ]
    step = re.search(r"grow to ([0-9.]+) before reaching", " ".join(y.limits))
    assert step
    return min(number for number in found if number != float(step[1]))


@pytest.mark.parametrize("name", MADE)
def test_the_limits_are_the_last_that_are_taken(name: str) -> None:
    y = MADE[name]
    most = limit_of(y)
    assert y.with_(cutback=most).cutback == most
    with pytest.raises(ExhaustError):
        y.with_(cutback=most + 1.001e-3)
    near = re.search(r"spacing can come down to ([0-9.]+) mm", " ".join(y.limits))
    assert near
    assert y.with_(spacing=f"{near[1]} mm").spacing == pytest.approx(float(near[1]) * MM)
    with pytest.raises(ExhaustError, match="spacing must be at least"):
        y.with_(spacing=SI(y.least_spacing - 1e-6, "length"))


def test_limits_in_words() -> None:
    assert made(outlet=LARGER).limits == (
        "cutback can grow to 0.463 before reaching 76.2 mm x 1.651 mm takes more than 15.0 % of "
        "stretch, what one step takes, and to 0.555 before it takes more than 30.0 %, as far as "
        "304 is stretched",
        "spacing can come down to 95.25 mm at this cutback",
        "7.958 mm of bend is left behind the tip of the opening: a half bend that turns a degree "
        "less takes 2.217 mm of it, a cut 1 mm deeper 1.512 mm",
    )
    assert made().limits[0] == (
        "cutback can grow to 0.585 before the tips of the opening meet the ends of the bends"
    )


def test_another_tube_and_another_outlet() -> None:
    small = Tube(od="2.25 in", wall="16 ga")
    same, stepped = made(), made(outlet=LARGER, cutback=0.4)
    assert same.with_tube(small).outlet == small
    assert stepped.with_tube(small).outlet == LARGER  # it was named
    assert stepped.with_tube(small).bend.clr / small.od == pytest.approx(1.5)
    assert same.with_(outlet=LARGER, cutback=0.4) == stepped
    assert stepped.area_ratio == pytest.approx(2 * TUBE.flow_area / LARGER.flow_area)
    with pytest.raises(ExhaustError, match="outlet must be as large as the legs"):
        stepped.with_tube(Tube(od="3.5 in", wall="16 ga"))


def test_the_outlet_straight_adds_length_mass_and_volume() -> None:
    short, long = (
        made(outlet=LARGER, cutback=0.4),
        made(outlet=LARGER, cutback=0.4, outlet_straight="5 in"),
    )
    assert long.overall_length - short.overall_length == pytest.approx(5 * INCH, rel=1e-12)
    assert long.centreline_length - short.centreline_length == pytest.approx(5 * INCH, rel=1e-12)
    grown = long.inside_volume - short.inside_volume
    assert grown == pytest.approx(LARGER.flow_area * 5 * INCH, rel=1e-9)
    assert long.mass - short.mass == pytest.approx(LARGER.mass_per_length * 5 * INCH, rel=1e-9)


def test_it_is_a_joint_and_shows_its_numbers() -> None:
    y = made(outlet=LARGER, cutback=0.4, gap="100 mm")
    assert isinstance(y, Joint)
    assert (y.legs_in, y.legs_out) == (2, 1)
    assert y.flow_normal_area == y.narrowest_area
    assert repr(y).endswith("gap=100 mm)")
    table = y.numbers.table.set_index("name")["value"]
    assert table["stretch"] == pytest.approx(y.stretch)
    assert table["left behind the tip"] == pytest.approx(y.left_behind_tip())
    assert table["window"] == y.window_area
    assert "Leave 4 to 6 in of straight" in y.numbers.assumptions[-1]


def test_a_description_with_every_dimension_takes_under_two_milliseconds() -> None:
    """A promise to sliders and sampling; best of many, so that a busy machine does not count."""
    names = [name for name in dir(YMerge) if not name.startswith("_")]
    best = math.inf
    for _ in range(50):
        start = time.perf_counter()
        y = si(spacing=0.25)
        for name in names:
            getattr(y, name)
        best = min(best, time.perf_counter() - start)
    assert best < 2e-3
