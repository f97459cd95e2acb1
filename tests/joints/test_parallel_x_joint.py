"""ParallelX as it is described: ways of spacing, refusals in the shop's words, copies, notes."""

from __future__ import annotations

import math
import time
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust import Bend, ExhaustError, ParallelX, Tube
from exhaust.joints import Joint

INCH = 0.0254
TUBE = Tube(od="63.5 mm", wall="1.651 mm")
BEND = Bend(TUBE, clr="95.25 mm")  # 1.5 D
TIGHT = Bend(TUBE, clr="63.5 mm")  # 1.0 D


def made(bend: Bend = BEND, **given_: Any) -> ParallelX:
    return ParallelX(bend, **({"cutback": 0.30} | given_))


def si(bend: Bend = BEND, **given_: Any) -> ParallelX:
    return ParallelX.from_si(bend=bend, **({"cutback": 0.30} | given_))


def test_as_worked() -> None:
    """63.5 x 1.651 on clr 95.25, f = 0.30, s = 30 mm. Closed form and solid model, worked case."""
    x = made(spacer="30 mm")
    assert x.spacing == pytest.approx(0.17941872323911824, rel=1e-12)
    assert x.overall_length == pytest.approx(0.3118340905032674, rel=1e-12)
    assert x.overall_width == pytest.approx(0.24291872323911824, rel=1e-12)
    assert x.narrowest_ratio == pytest.approx(0.7604177771525076, rel=1e-12)
    assert x.window_ratio == pytest.approx(1.9958287810000745, rel=1e-12)
    assert x.land_area == pytest.approx(691.3044539742723e-6, rel=1e-11)
    assert math.degrees(x.metal_left_angle) == pytest.approx(13.21166938294838, rel=1e-12)
    assert x.metal_left_arc == pytest.approx(29.28456556300685e-3, rel=1e-12)
    assert x.slug_length("1.5 mm") == pytest.approx(128.8362914709982e-3, rel=1e-12)
    assert x.slug_depth("1.5 mm") == pytest.approx(17.55e-3, rel=1e-12)
    assert x.envelope == (x.overall_width, x.overall_length, TUBE.od)
    assert not x.trimmed
    assert x.notes == ()


def test_a_spacing_under_whole_bends_trims_them() -> None:
    """Trap 9: 120 mm asks for s = -12.0 mm at 45°, so every half bend is cut to 41.26°. Closed
    form and solid model, worked case."""
    x = made(spacing="120 mm")
    assert x.trimmed
    assert x.spacer == 0.0
    assert math.degrees(x.half_angle) == pytest.approx(41.26162305419518, rel=1e-12)
    assert x.overall_length == pytest.approx(0.25126885998865833, rel=1e-12)
    assert x.notes == (
        "every half bend is trimmed to 41.26 deg for this spacing (as bought: 45 deg)",
    )


@given(st.floats(0.083, 0.5))
def test_every_way_of_spacing_gives_the_same_joint(spacing: float) -> None:
    """Round trip: spacing, gap, outside width, and the spacer where there is one."""
    x = si(spacing=spacing)
    assert x.spacing == pytest.approx(spacing, rel=1e-12)
    ways = {"gap": x.gap, "outside_width": x.outside_width}
    if not x.trimmed:
        ways["spacer"] = x.spacer
    for name, value in ways.items():
        other = si(**{name: value})
        assert other.spacing == pytest.approx(spacing, rel=1e-12)
        assert other.half_angle == pytest.approx(x.half_angle, rel=1e-9)
        assert other.spacer == pytest.approx(x.spacer, abs=1e-12)


@given(st.floats(0.2, 0.43), st.floats(0.0, 1.0))
def test_any_spacing_from_the_least_up_is_met(cutback: float, share: float) -> None:
    least = si(TIGHT, cutback=cutback).least_spacing
    x = si(TIGHT, cutback=cutback, spacing=least * (1 + share))
    assert x.spacing == pytest.approx(least * (1 + share), rel=1e-12)
    assert x.metal_left_angle >= -1e-9
    assert x.run_on <= x.spacer + 1e-9


@given(st.floats(0.45, 0.9), st.floats(0.0, 1.0))
def test_a_deep_cut_takes_its_run_on_in_straight(cutback: float, share: float) -> None:
    """Past the reach of the bend the least spacing leaves a straight as long as the run-on."""
    least = si(TIGHT, cutback=cutback, spacer=1.0).least_spacing
    x = si(TIGHT, cutback=cutback, spacing=least * (1 + share))
    assert x.spacing == pytest.approx(least * (1 + share), rel=1e-12)
    assert x.spacer >= x.run_on - 1e-9
    if share == 0.0:
        assert x.spacer == pytest.approx(x.run_on, abs=1e-9)
    with pytest.raises(ExhaustError, match="spacing must be at least"):
        si(TIGHT, cutback=cutback, spacing=least * 0.999)


@given(st.floats(0.06, 0.9))
def test_inch_and_metric_are_the_same_cut(cutback: float) -> None:
    """Invariant: 2.5 in and 63.5 mm; every dimension over od the same for a size twice as big."""
    inch = Bend(Tube(od="2.5 in", wall="0.065 in"), clr="3.75 in")
    big = Bend(Tube(od="127 mm", wall="3.302 mm"), clr="190.5 mm")
    joints = [
        ParallelX(bend, cutback=cutback, spacer=spacer)
        for bend, spacer in ((inch, "20 in"), (BEND, "508 mm"), (big, "1016 mm"))
    ]
    for name in ("opening_length", "opening_height", "weld_length", "spacing", "overall_length"):
        first, second, twice = (getattr(x, name) for x in joints)
        assert first == pytest.approx(second, rel=1e-12)
        assert twice == pytest.approx(2 * second, rel=1e-12)
    for name in ("narrowest_ratio", "window_ratio", "half_angle"):
        first, second, twice = (getattr(x, name) for x in joints)
        assert first == pytest.approx(second, rel=1e-11)
        assert twice == pytest.approx(second, rel=1e-11)


@pytest.mark.parametrize("cutback", [0.25, 0.28, 0.30, 1 / 3])
def test_usual_cutbacks(cutback: float) -> None:
    """Common practice, no source: 25 to 33 % off is usual; it needs no remark, leaves 70 to 82 %
    of two tubes in the middle and opens more than a tube and a half of window."""
    x = made(cutback=cutback)
    assert x.notes == ()
    assert 0.70 < x.narrowest_ratio < 0.83
    assert x.window_ratio > 1.5


def test_half_off_leaves_one_tube_in_the_middle() -> None:
    """Exact: half of each bore, whatever the wall; the same as one tube of that size."""
    x = made(cutback=0.5)
    assert x.narrowest_area == pytest.approx(TUBE.flow_area, rel=1e-12)
    assert x.opening_height == pytest.approx(TUBE.od, rel=1e-12)


def test_a_halved_90_makes_two_45_returns() -> None:
    """Common practice and exact: the returns bring the tubes parallel when each is a half bend."""
    x = made(spacer="1 in")
    assert 2 * x.half_angle == pytest.approx(x.return_bend.angle)
    assert math.degrees(x.half_angle) == pytest.approx(45.0)


def test_trap_1_the_throat_is_not_the_cutback_of_the_bore() -> None:
    """0.7604 at 0.30 and 0.7191 at a third (worked); the slip would give 0.7476 and 0.7082."""
    assert made(cutback=0.30).narrowest_ratio == pytest.approx(0.7604, abs=5e-5)
    assert made(cutback=1 / 3).narrowest_ratio == pytest.approx(0.7191, abs=5e-5)


def test_trap_7_a_deeper_cut_by_a_kerf_brings_the_exits_nearer() -> None:
    """A kerf on the kept side costs k of spacing for each piece, 2k in all, and keeps s."""
    kerf = 1.5e-3
    right = made(spacer="30 mm")
    wrong = made(spacer="30 mm", cutback=0.30 + kerf / TUBE.od)
    assert right.spacing - wrong.spacing == pytest.approx(2 * kerf, rel=1e-9)
    assert right.slug_depth("1.5 mm") == pytest.approx(right.cut_depth - kerf)


def test_trap_9_two_radii_count_not_twice_the_first() -> None:
    back = TIGHT
    x = made(spacer="0 mm", return_bend=back)
    out = (0.09525 + 0.0635) * (1 - math.cos(math.pi / 4))
    assert x.spacing == pytest.approx(2 * (0.0127 + out), rel=1e-12)
    assert x.return_bend is back


def test_the_straight_ends_of_the_returns_stand_at_the_exits() -> None:
    long = made(return_bend=BEND.with_(tangent="2 in"))
    assert long.overall_length - made().overall_length == pytest.approx(4 * INCH, rel=1e-12)
    assert long.spacing == made().spacing


def test_notes_say_what_is_unusual() -> None:
    assert "outside the usual 0.25 to 0.33 (common practice)" in made(cutback=0.4).notes[0]
    assert "past the widest point" in made(cutback=0.55).notes[0]
    _, over = made(TIGHT, cutback=0.5, spacer="10 mm").notes
    assert over == (
        "the opening runs 5.4 mm onto each straight end, but the bend comes with no straight: "
        "the slice crosses a weld"
    )
    own = TIGHT.with_(tangent="1 in")
    assert made(own, cutback=0.5, spacer="10 mm").notes[1].endswith("onto each straight end")


def test_another_tube_keeps_the_shape_and_the_spacing_as_given() -> None:
    small = Tube(od="2 in", wall="16 ga")
    x = made(spacing="10 in", return_bend=TIGHT)
    other = x.with_tube(small)
    assert other.tube == small
    assert other.bend.clr / small.od == pytest.approx(1.5)
    assert other.return_bend.clr / small.od == pytest.approx(1.0)
    assert other.spacing == pytest.approx(10 * INCH)
    assert made(spacer="2 in").with_tube(small).spacer == pytest.approx(2 * INCH)
    with pytest.raises(ExhaustError, match="gap must be at least"):
        made(gap="20 mm").with_tube(Tube(od="4 in", wall="16 ga"))


def test_a_copy_with_another_way_of_spacing() -> None:
    x = made(spacing="10 in")
    assert x.with_(spacer="1 in").spacer == pytest.approx(INCH)
    assert x.with_(cutback=0.25).spacing == pytest.approx(10 * INCH)
    assert x.with_(spacing=None).spacer == 0.0
    assert x.with_() == x
    with pytest.raises(ExhaustError, match="takes one of"):
        x.with_(gap="5 in", spacer="1 in")


def test_it_is_a_joint_and_shows_what_was_given() -> None:
    x = made(gap="120 mm")
    assert isinstance(x, Joint)
    assert repr(x).endswith("cutback=0.3, gap=120 mm)")


def test_a_description_with_every_dimension_takes_under_two_milliseconds() -> None:
    """A promise to sliders and sampling; best of many, so that a busy machine does not count."""
    names = [name for name in dir(ParallelX) if not name.startswith("_")]
    best = math.inf
    for _ in range(50):
        start = time.perf_counter()
        x = si(spacing=0.25)
        for name in names:
            getattr(x, name)
        x.slug_volume()
        best = min(best, time.perf_counter() - start)
    assert best < 2e-3
