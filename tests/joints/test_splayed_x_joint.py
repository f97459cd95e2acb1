"""SplayedX as it is described: refusals in the shop's words, limits, notes, profile, copies."""

from __future__ import annotations

import math
import re
import time
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust import ExhaustError, SplayedX, Tube
from exhaust.joints import Joint, Profile
from exhaust.units import SI

TUBE = Tube(od="63.5 mm", wall="1.651 mm")
FIELD = 1e-3  # 401 stations, straight lines between them


def made(**given_: Any) -> SplayedX:
    good = {"included_angle": "45 deg", "cutback": 1 / 3, "leg_length": "200 mm"}
    return SplayedX(TUBE, **(good | given_))


UNEQUAL = {"exit_angle": "70 deg", "exit_leg_length": "180 mm"}
MADE = {
    "usual": made(),
    "square": made(included_angle="90 deg"),
    "long legs": made(leg_length="1.5 m", included_angle="20 deg"),
    "past the widest point": made(cutback=0.6, included_angle="60 deg"),
    "bisector": made(**UNEQUAL),
    "bisector, narrower on": made(included_angle="100 deg", exit_angle="30 deg"),
    "plain": made(**UNEQUAL, unequal="plain"),
    "plain, narrower on": made(included_angle="70 deg", exit_angle="45 deg", unequal="plain"),
    "equal width": made(**UNEQUAL, unequal="equal width"),
}


def test_as_worked() -> None:
    """63.5 x 1.651, 45 deg, a third. Closed form and solid model, worked case [mm, mm²]."""
    x = made()
    assert x.narrowest_area == pytest.approx(4430.827348504382e-6, rel=1e-12)
    assert x.narrowest_ratio == pytest.approx(0.7783964119455978, rel=1e-12)
    assert x.window_area == pytest.approx(4177.603847207625e-6, rel=1e-12)
    assert x.window_ratio == pytest.approx(1.4678215102622725, rel=1e-12)
    assert x.weld_length == pytest.approx(522.0221051681042e-3, rel=1e-12)
    assert x.entry.mitre_opening == pytest.approx(68.73190471856702e-3, rel=1e-12)
    assert x.entry.take_off == pytest.approx(22.910634906189006e-3, rel=1e-12)
    assert math.degrees(x.entry.long_cut_angle) == pytest.approx(67.5, rel=1e-12)
    assert x.opening_length == pytest.approx(2 * 55.31116551309993e-3, rel=1e-12)
    assert x.notes == ()


def test_unequal_ends_as_worked() -> None:
    """45 and 70 deg, a third: plain 5.858 mm apart, the bisector nothing. Worked case [mm]."""
    plain, bisector = MADE["plain"], MADE["bisector"]
    assert plain.width_mismatch == pytest.approx(5.858187778523624e-3, rel=1e-12)
    assert plain.worst_step == pytest.approx(plain.width_mismatch, rel=1e-9)
    assert bisector.width_mismatch == pytest.approx(0.0, abs=1e-15)
    assert bisector.worst_step == 0.0
    assert math.degrees(bisector.entry.mitre_angle) == pytest.approx(28.75, rel=1e-12)
    assert math.degrees(bisector.exit.tilt) == pytest.approx(6.25, rel=1e-12)
    assert bisector.entry.tilt == pytest.approx(-bisector.exit.tilt, rel=1e-12)
    assert bisector.window_area == pytest.approx(3482.4259273037887e-6, rel=1e-12)
    equal = MADE["equal width"]
    assert equal.width_mismatch == pytest.approx(0.0, abs=1e-15)
    assert equal.exit.cutback == pytest.approx(0.40890414427201693, rel=1e-12)
    assert equal.steps.outward == pytest.approx(1.2319619335477654e-3, rel=1e-11)


@given(st.floats(10.0, 120.0), st.floats(0.1, 0.7), st.floats(0.1, 2.0))
def test_equal_ends_are_the_same_whatever_the_rule(alpha: float, g: float, more: float) -> None:
    """Invariant: with one included angle the three ways of mitring are one."""
    length = 0.5 + more
    given_ = {"included_angle": SI(math.radians(alpha), "angle"), "cutback": g}
    ways = [
        made(**given_, leg_length=SI(length, "length"), unequal=unequal)
        for unequal in ("bisector", "plain", "equal width")
    ]
    for name in ("narrowest_area", "window_area", "mass", "spacing", "weld_length"):
        values = [getattr(x, name) for x in ways]
        assert values == pytest.approx([values[0]] * 3, rel=1e-9)


@given(st.floats(10.0, 150.0), st.floats(10.0, 150.0), st.floats(0.1, 0.8))
def test_turned_end_for_end_it_is_the_same_joint(first: float, second: float, g: float) -> None:
    """Invariant, for the two rules that treat both ends alike."""
    angles = [SI(math.radians(angle), "angle") for angle in (first, second)]
    for unequal in ("bisector", "plain"):
        one, other = (
            made(included_angle=a, exit_angle=b, cutback=g, leg_length="1.5 m", unequal=unequal)
            for a, b in (angles, angles[::-1])
        )
        for name in ("narrowest_area", "window_area", "mass", "inside_volume", "overall_length"):
            assert getattr(one, name) == pytest.approx(getattr(other, name), rel=1e-9)
        assert one.entry_spacing == pytest.approx(other.exit_spacing, rel=1e-9)
        assert one.flow_normal_area == pytest.approx(other.flow_normal_area, rel=1e-9)


@pytest.mark.parametrize("name", MADE)
def test_the_windows_height_along_the_side_adds_up_to_its_area(name: str) -> None:
    """Invariant: integral of height over the path's shadow on the joint's plane is the window."""
    x = MADE[name]
    along = x.profile(401)
    from_middle = along.position - x.entry.length
    cosine = np.where(from_middle < 0.0, math.cos(x.entry.angle), math.cos(x.exit.angle))
    area = float(np.trapezoid(along.window_height, from_middle * cosine))
    assert area == pytest.approx(x.window_area, rel=FIELD)


@pytest.mark.parametrize("name", MADE)
@pytest.mark.parametrize("stations", [3, 5, 41])
def test_the_profile_is_least_in_the_middle_and_whole_at_the_ends(name: str, stations: int) -> None:
    x = MADE[name]
    along = x.profile(stations)
    assert isinstance(along, Profile)
    assert all(values.shape == (stations,) for values in along)
    assert along.position[[0, -1]] == pytest.approx([0.0, x.centreline_length], abs=1e-12)
    assert np.all(np.diff(along.position) > 0.0)
    assert 2 * along.leg_area.min() == pytest.approx(x.flow_normal_area, rel=1e-9)
    assert int(np.argmin(along.leg_area)) == stations // 2
    assert along.leg_area[[0, -1]] == pytest.approx(TUBE.flow_area, rel=1e-12)
    beside = along.window_height < 1e-9
    assert along.leg_area[beside] == pytest.approx(TUBE.flow_area, rel=1e-9)


def test_the_middle_station_is_the_seam_of_a_tilted_mitre() -> None:
    """Bisector of 45 and 70 deg: its seam lies 1.314 mm towards the exit, on the steeper leg's path
    (worked: -1.314 from the other end); turned end for end, on the steeper leg's path again."""
    seam = 1.31417732835909e-3 / math.cos(math.radians(35.0))
    on = MADE["bisector"].profile(41).position[20]
    assert on == pytest.approx(0.2 + seam, abs=1e-12)
    turned = made(included_angle="70 deg", exit_angle="45 deg").profile(41).position[20]
    assert turned == pytest.approx(0.2 - seam, abs=1e-12)


def test_stations_must_have_a_middle() -> None:
    with pytest.raises(ExhaustError, match="stations must be an odd whole number, 3 or more"):
        made().profile(40)


def test_trap_14_narrowest_and_square_to_the_flow_are_told_apart() -> None:
    """At 90 deg the plane of the mitres reads 102 % of two tubes, the flow gets 72 %."""
    x = MADE["square"]
    assert x.narrowest_ratio == pytest.approx(1.0170, abs=6e-5)
    assert x.flow_normal_ratio == pytest.approx(0.7191, abs=6e-5)
    assert x.flow_normal_area == pytest.approx(x.narrowest_area * math.cos(math.pi / 4), rel=1e-12)
    assert x.notes == (
        "the window is only 79 % of one tube; the narrowest section reads 102 % of two, but 72 % "
        "square to the flow",
    )
    names = [fact.name for fact in x.numbers.facts()]
    assert "square to the flow, as a share" in names


def test_past_68_degrees_the_window_is_smaller_than_a_tube() -> None:
    """63.5 x 1.651 at a third: about 68 deg (worked)."""
    limit = made().limits[2]
    found = re.fullmatch(
        r"included_angle can grow to ([0-9.]+) deg before the window is smaller than one tube",
        limit,
    )
    assert found
    widest = float(found[1])
    assert widest == pytest.approx(68.3, abs=0.1)
    assert made(included_angle=f"{widest} deg").window_ratio >= 1.0
    assert made(included_angle=f"{widest + 0.02} deg").window_ratio < 1.0


@pytest.mark.parametrize("name", MADE)
def test_the_limits_are_the_last_that_are_taken(name: str) -> None:
    """What the words say can be done is done; a little further is refused."""
    x = MADE[name]
    found = re.match(r"cutback can grow to ([0-9.]+) ", x.limits[0])
    assert found
    most = float(found[1])
    assert x.with_(cutback=most).cutback == most
    with pytest.raises(ExhaustError):
        x.with_(cutback=most + 1.001e-3)
    for line in x.limits:
        shown = re.match(r"(\w+) can come down to ([0-9.]+ \w+) ", line)
        if shown:
            name_, least = shown.groups()
            assert x.with_(**{name_: least}).gap > -1e-6
            number, unit = least.split()
            with pytest.raises(ExhaustError, match=f"{name_} must be at least"):
                x.with_(**{name_: f"{float(number) * 0.998} {unit}"})


def test_notes_say_what_is_unusual() -> None:
    assert "outside the usual 0.25 to 0.33 (common practice)" in made(cutback=0.4).notes[0]
    assert "past the widest point" in MADE["past the widest point"].notes[0]
    assert MADE["bisector"].notes == ()
    assert MADE["plain"].notes == (
        "the exit legs' faces are 5.9 mm wider than the entry legs', each: 'bisector' leaves no "
        "mismatch",
    )
    assert MADE["plain, narrower on"].notes[0].startswith("the entry legs' faces are 5.9 mm")
    assert MADE["equal width"].notes[-1] == (
        "the edges step apart by 1.2 mm at worst (outward, 114 deg from the outer edge)"
    )
    deep = made(included_angle="30 deg", exit_angle="90 deg", unequal="equal width")
    assert "cutback 0.512 is past the widest point" in deep.notes[0]  # worked: g2 = 0.512
    assert "as much as the wall of 1.651 mm or more" in deep.notes[1]


def test_the_smallest_leg_leaves_what_the_vice_holds() -> None:
    """Run-out along the wall and the clamp, from the mitre's long point (worked run-out)."""
    x = made()
    least = x.entry.smallest_length("2 in")
    short = made(leg_length=SI(least, "length"))
    assert short.entry.left_beyond_tip == pytest.approx(50.8e-3, rel=1e-12)
    assert short.entry.long_side == pytest.approx(59.86837414046102e-3 + 50.8e-3, rel=1e-12)
    with pytest.raises(ExhaustError, match=r"clamp must be a length with a unit \(got 0\.05\)"):
        x.entry.smallest_length(0.05)
    with pytest.raises(ExhaustError, match=r"clamp must not be less than zero \(got -1 in\)"):
        x.entry.smallest_length("-1 in")


def test_copies_and_what_it_turns() -> None:
    x = MADE["plain"]
    assert isinstance(x, Joint)
    assert (x.legs_in, x.legs_out, x.outlet) == (2, 2, TUBE)
    assert math.degrees(x.turning) == pytest.approx(57.5)
    assert x.mitre_turning == x.turning
    assert math.degrees(x.leg_angle) == pytest.approx(22.5)
    assert math.degrees(x.exit_leg_angle) == pytest.approx(35.0)
    assert x.with_(exit_angle=None).exit_angle == x.included_angle
    assert x.with_(exit_leg_length=None).exit.length == pytest.approx(0.2)
    small = x.with_tube(Tube(od="2 in", wall="16 ga"))
    assert small.entry.length == x.entry.length
    assert small.entry.take_off == pytest.approx(x.entry.take_off * 50.8 / 63.5)
    assert repr(x).endswith("exit_angle=70 deg, exit_leg_length=180 mm, unequal='plain')")
    with pytest.raises(ExhaustError, match="points must be a whole number, 2 or more"):
        x.step_round(1)


def test_a_wider_splay_brings_the_exits_further_apart_by_the_leg() -> None:
    """Exact: centre to centre grows by twice the leg's own reach across."""
    near, far = made(leg_length="200 mm"), made(leg_length="300 mm")
    grown = far.spacing - near.spacing
    assert grown == pytest.approx(2 * 0.1 * math.sin(math.radians(22.5)), rel=1e-12)
    assert far.outside_width - far.gap == pytest.approx(
        4 * 31.75e-3 * math.cos(math.radians(22.5)), rel=1e-12
    )


def test_a_description_with_every_dimension_takes_under_two_milliseconds() -> None:
    """A promise to sliders and sampling; best of many, so that a busy machine does not count."""
    names = [name for name in dir(SplayedX) if not name.startswith("_")]
    best = math.inf
    for _ in range(30):
        start = time.perf_counter()
        x = SplayedX.from_si(tube=TUBE, included_angle=0.8, cutback=0.3, leg_length=0.2)
        for name in names:
            getattr(x, name)
        best = min(best, time.perf_counter() - start)
    assert best < 2e-3
