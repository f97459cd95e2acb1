"""YMerge as it is described: legs, outlet, forming, what is left behind the tip, copies, notes."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust import Bend, ExhaustError, ParallelX, Tube, YMerge
from exhaust.joints import Envelope

INCH, MM = 0.0254, 1e-3
TUBE = Tube(od="63.5 mm", wall="1.651 mm")
LARGER = Tube(od="76.2 mm", wall="1.651 mm")
BEND = Bend(TUBE, clr="95.25 mm")  # 1.5 D
TIGHT = Bend(TUBE, clr="63.5 mm", tangent="30 mm")  # 1.0 D


def made(bend: Bend = BEND, **given_: Any) -> YMerge:
    return YMerge(bend, **given_)


def si(bend: Bend = BEND, **given_: Any) -> YMerge:
    return YMerge.from_si(bend=bend, **given_)


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
    """63.5 x 1.2446 into 88.9 x 1.651: 0.2061 outside, 0.2110 in the middle of the wall. Worked
    case; five figures given."""
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


def test_trap_1_the_face_is_cut_by_the_outside_and_measured_in_the_bore() -> None:
    """Taking the cutback of the bore instead gives 1.5 % less at 0.3456, and the same at a half."""
    y = made(outlet=LARGER, cutback=0.3456)
    ai = TUBE.inside_diameter / 2
    x = np.linspace(-ai, TUBE.od / 2 * (1 - 2 * 0.3456), 200001)  # strips of the bore's disc
    strips = float(2 * np.trapezoid(2 * np.sqrt(np.maximum(ai**2 - x**2, 0.0)), x))
    assert y.face_area == pytest.approx(strips, rel=1e-6)
    x = np.linspace(-ai, ai * (1 - 2 * 0.3456), 200001)
    slip = float(2 * np.trapezoid(2 * np.sqrt(np.maximum(ai**2 - x**2, 0.0)), x))
    assert slip / y.face_area - 1 == pytest.approx(-0.0148, abs=5e-4)


def test_trap_7_a_deeper_cut_by_a_kerf_brings_the_legs_nearer() -> None:
    """A kerf on the kept side costs k of spacing for each leg, and all of it shows as stretch."""
    kerf = 1.5 * MM
    right, wrong = made(spacer="30 mm"), made(spacer="30 mm", cutback=0.5 + 1.5 / 63.5)
    assert right.spacing - wrong.spacing == pytest.approx(2 * kerf, rel=1e-9)
    assert right.slug_depth("1.5 mm") == pytest.approx(right.cut_depth - kerf)
    assert wrong.stretch > 0.03 > right.stretch


def test_trap_9_two_radii_count_not_twice_the_first() -> None:
    y = made(return_bend=Bend(TUBE, clr="63.5 mm"))
    out = (95.25 + 63.5) * MM * (1 - math.cos(math.pi / 4))
    assert y.spacing == pytest.approx(2 * out, rel=1e-12)


def test_trap_4_a_1_d_bend_is_too_short_for_half() -> None:
    """0.4393 is all that half of a 90 at 1.0 D takes; on straight ends it takes more."""
    with pytest.raises(ExhaustError, match=r"most it can take is 0\.439\)"):
        made(Bend(TUBE, clr="63.5 mm"))
    y = made(TIGHT, spacer="30 mm")
    assert y.run_on == pytest.approx(5.447e-3, abs=1e-6)
    assert y.left_behind_tip() == pytest.approx(-y.run_on, rel=1e-12)
    assert y.notes[0] == "the opening runs 5.4 mm onto each straight end"


def test_trap_5_past_half_the_legs_are_narrower_than_the_outlet() -> None:
    y = made(cutback=0.55, spacer="30 mm")
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
    y = made(legs="splayed", spacer="3 in")
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
    y = made(spacer="30 mm", outlet_straight="100 mm")
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


def test_another_tube_and_another_outlet() -> None:
    small = Tube(od="2.25 in", wall="16 ga")
    same, stepped = made(), made(outlet=LARGER, cutback=0.4)
    assert same.with_tube(small).outlet == small
    assert stepped.with_tube(small).outlet == LARGER  # it was named
    assert stepped.with_tube(small).bend.clr / small.od == pytest.approx(1.5)
    grown = Tube(od="3.5 in", wall="16 ga")
    assert stepped.with_tube(grown, grown).outlet == grown  # both at once, past the old outlet
    assert same.with_(outlet=LARGER, cutback=0.4) == stepped
    assert stepped.area_ratio == pytest.approx(2 * TUBE.flow_area / LARGER.flow_area)
    with pytest.raises(ExhaustError, match="outlet must be as large as the legs"):
        stepped.with_tube(grown)
