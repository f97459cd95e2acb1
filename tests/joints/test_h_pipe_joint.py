"""HPipe as it is described: what it answers, its limits, copies, notes, refusals in words."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from exhaust import ExhaustError, HPipe, SplitJoint, Tube
from exhaust.geometry import saddle
from exhaust.joints import Joint, Profile, Seam
from exhaust.units import SI

INCH = 0.0254
TUBE = Tube(od="63.5 mm", wall="1.651 mm")
WIDE = Tube(od="76.2 mm", wall="1.651 mm")
SMALL = Tube(od="50.8 mm", wall="1.651 mm")
FIELD = 1e-3  # 401 stations, straight lines between them, a square root at each tip
V_BAND = SplitJoint(kind="V-band", length="40 mm", gap="3 mm")

MADE: dict[str, HPipe] = {
    "square": HPipe(TUBE, balance_tube=SMALL, spacing="180 mm"),
    "equal": HPipe(TUBE, spacing="180 mm", length="1.2 m"),
    "skew": HPipe(WIDE, balance_tube=SMALL, spacing="230 mm", angle="60 deg"),
    "steep": HPipe(WIDE, balance_tube=SMALL, spacing="230 mm", angle="25 deg", length="900 mm"),
    "leaning back": HPipe(WIDE, balance_tube=SMALL, spacing="230 mm", angle="120 deg"),
    "offset": HPipe(WIDE, balance_tube=SMALL, spacing="230 mm", offset="10 mm", length="250 mm"),
    "split": HPipe(TUBE, balance_tube=SMALL, spacing="180 mm", split=V_BAND),
    "splayed": HPipe(
        TUBE, balance_tube=SMALL, spacing="200 mm", angle="80 deg", splay="20 deg", length="400 mm"
    ),
    "splayed and split": HPipe(
        *(TUBE,), balance_tube=SMALL, spacing="200 mm", splay="8 deg", offset="-4 mm", split=V_BAND
    ),
}


def number(words: str, pattern: str) -> float:
    found = re.search(pattern + r" ([0-9.]+) (mm|in|m)\b", words)
    assert found, words
    return float(found[1]) * {"mm": 1e-3, "in": INCH, "m": 1.0}[found[2]]


def test_as_worked() -> None:
    """50.8 on 63.5 at 180 mm, and 50.8 on 76.2 at 230 mm and 60°: closed form and solid model."""
    a, b = MADE["square"], MADE["skew"]
    assert a.blank_length == pytest.approx(141.9e-3, rel=1e-12)
    assert a.straight_edge_blank_length == pytest.approx(137.85513084609232e-3, rel=1e-12)
    assert (a.longest_line, a.shortest_line) == pytest.approx((141.9e-3, 116.5e-3), rel=1e-12)
    assert a.notch_depth == pytest.approx(12.7e-3, rel=1e-12)
    assert a.hole_width == pytest.approx(53.66026380204507e-3, rel=1e-12)
    assert a.hole_length == pytest.approx(2 * 23.749e-3, rel=1e-12)
    assert a.hole_area == pytest.approx(1933.6800448160511e-6, rel=1e-11)
    assert a.weld_length == pytest.approx(2 * 169.14284742775993e-3, rel=1e-12)
    assert a.window_area == pytest.approx(1771.9053836560397e-6, rel=1e-12)
    assert b.blank_length == pytest.approx(208.7849971987332e-3, rel=1e-12)
    assert b.longest_line == pytest.approx(199.9986058314489e-3, rel=1e-12)
    assert b.notch_depth == pytest.approx(30.26072403541865e-3, rel=1e-12)
    assert b.seams == (Seam("balance tube to primary", pytest.approx(0.17822293374280872), 2),)


@pytest.mark.parametrize("name", MADE)
def test_it_answers_as_every_joint_does(name: str) -> None:
    h = MADE[name]
    assert isinstance(h, Joint)
    assert (h.legs_in, h.legs_out, h.outlet) == (2, 2, h.tube)
    assert h.narrowest_area == h.flow_normal_area == 2 * h.tube.flow_area
    assert h.narrowest_ratio == 1.0
    assert h.window_ratio == pytest.approx(h.balance_tube.flow_area / h.tube.flow_area)
    assert h.turning == 0.0
    assert 0.0 < h.leg_angle <= math.pi / 2
    assert h.spacing == h.exit_spacing
    assert h.envelope[0] == h.outside_width
    assert h.numbers.facts()
    assert h.pieces[0] > 0.0
    assert h.mass > 0.0


def test_a_square_balance_tube_leaves_at_a_right_angle() -> None:
    assert MADE["square"].leg_angle == math.pi / 2
    assert MADE["skew"].leg_angle == pytest.approx(math.radians(60))
    assert MADE["leaning back"].leg_angle == pytest.approx(math.radians(60))


@pytest.mark.parametrize("name", MADE)
def test_the_windows_height_along_a_primary_adds_up_to_its_area(name: str) -> None:
    """Invariant: seen along the balance tube the opening is the tube's own section."""
    h = MADE[name]
    along = h.profile(401)
    seen = math.sin(h.saddles[0].angle)
    area = float(np.trapezoid(along.window_height, along.position)) * seen
    assert area == pytest.approx(h.window_area, rel=FIELD)


@pytest.mark.parametrize("name", MADE)
@pytest.mark.parametrize("stations", [3, 5, 41])
def test_the_profile_runs_from_entry_to_exit(name: str, stations: int) -> None:
    h = MADE[name]
    along = h.profile(stations)
    assert isinstance(along, Profile)
    assert all(values.shape == (stations,) for values in along)
    assert along.position[[0, -1]] == pytest.approx([0.0, h.centreline_length], abs=1e-15)
    assert np.all(np.diff(along.position) > 0.0)
    assert 2 * along.leg_area.min() == pytest.approx(h.narrowest_area, rel=1e-12)
    assert along.window_height[[0, -1]].tolist() == [0.0, 0.0]
    assert along.window_height[stations // 2] > 0.0
    assert along.window_height.max() <= h.balance_tube.inside_diameter * (1 + 1e-12)
    with pytest.raises(ExhaustError, match="stations must be an odd whole number"):
        h.profile(stations + 1)


def test_the_two_halves_of_a_split_make_the_whole_less_its_gap() -> None:
    """Square: both alike; the long points are on the same side, so they add up exactly."""
    h = MADE["split"]
    assert sum(h.pieces) == pytest.approx(h.blank_length - 3e-3, rel=1e-12)
    assert h.pieces[0] == pytest.approx(h.pieces[1], rel=1e-12)
    lost = MADE["square"].mass - h.mass
    assert lost == pytest.approx(3e-3 * SMALL.mass_per_length, rel=1e-9)
    assert h.seams[1] == Seam("V-band to balance tube", pytest.approx(math.pi * 50.8e-3), 2)
    clamp = h.with_(split=SplitJoint(kind="clamp", length="40 mm"))
    assert len(clamp.seams) == 1
    assert clamp.inside_volume == h.inside_volume


def test_splayed_primaries_open_towards_the_exit() -> None:
    """Exact: half of the length either way at half of the angle."""
    h = MADE["splayed"]
    open_ = 400e-3 * math.sin(math.radians(10))
    assert h.exit_spacing == pytest.approx(200e-3 + open_, rel=1e-12)
    assert h.entry_spacing == pytest.approx(200e-3 - open_, rel=1e-12)
    assert h.balance_spacing == pytest.approx(200e-3)
    assert h.gap - h.entry_gap == pytest.approx(2 * open_, rel=1e-12)
    assert [seam.count for seam in h.seams] == [1, 1]
    assert h.with_(angle="90 deg").seams[0].count == 2
    first, second = (math.degrees(end.angle) for end in h.saddles)
    assert (first, second) == pytest.approx((90.0, 110.0))


@given(st.floats(0.2, 1.0), st.floats(30.0, 150.0), st.floats(-1.0, 1.0), st.floats(0.0, 1.0))
@settings(deadline=None, max_examples=30)
def test_a_parallel_pair_is_the_same_from_either_side(
    ratio: float, deg: float, share: float, more: float
) -> None:
    """Invariant: an angle and what it lacks of 180° are mirror images; so are offsets up, down."""
    stock = Tube.from_si(od=ratio * 0.0635, wall=0.0015)
    tube = Tube.from_si(od=0.0635, wall=0.0015)
    spacing, offset = 0.0635 * (1.5 + more), share * (1.0 - ratio) * 0.03175 * 0.99
    joints = [
        HPipe.from_si(
            tube=tube, balance_tube=stock, spacing=spacing, angle=math.radians(d), offset=e
        )
        for d, e in ((deg, offset), (180.0 - deg, offset), (deg, -offset))
    ]
    for name in ("blank_length", "longest_line", "weld_length", "mass", "centreline_length"):
        first, *others = (getattr(h, name) for h in joints)
        assert others == pytest.approx([first, first], rel=1e-9)


@pytest.mark.parametrize("name", MADE)
def test_the_least_length_ends_where_the_seams_do(name: str) -> None:
    """Independent: points of both seams in space, and how far along each primary they are."""
    h = MADE[name]
    u = np.array([math.sin(h.angle), math.cos(h.angle)])
    v = np.array([-u[1], u[0]])
    clock = np.linspace(-math.pi, math.pi, 7201)
    far = []
    for side, end in zip((-1, 1), h.saddles, strict=True):
        way = np.array([side * math.sin(h.splay / 2), math.cos(h.splay / 2)])
        matrix = np.array([u, -way]).T
        start = np.array([side * h.balance_spacing / 2, 0.0])  # of the axis, in the middle
        on_axis = np.linalg.solve(matrix, start)[0] * u
        back = -side * u[:, None] * saddle.meets_at(end.outside, clock)
        beside = end.radius * np.cos(clock) * v[:, None]
        far.append(np.abs(way @ (on_axis[:, None] + back + beside - start[:, None])).max())
    least = number(h.limits[2], "length can come down to")
    assert least == pytest.approx(2 * max(far), rel=1e-3)
    assert least >= 2 * max(far) - 1e-12


def test_another_tube_and_other_copies() -> None:
    h = MADE["equal"]
    assert h.with_tube(SMALL).balance_tube == SMALL
    assert MADE["square"].with_tube(WIDE).balance_tube == SMALL
    assert h.with_(spacing="12 in").balance_spacing == pytest.approx(12 * INCH)
    assert h.with_() == h
    assert MADE["square"].with_(length=None) == MADE["square"]
    with pytest.raises(ExhaustError, match="balance_tube must not be wider than the primary"):
        MADE["square"].with_tube(Tube(od="1.75 in", wall="16 ga"))
    assert repr(MADE["split"]).endswith(
        "spacing=180 mm, split=SplitJoint(kind='V-band', length=40 mm, gap=3 mm))"
    )


def test_inch_and_metric_are_the_same_joint() -> None:
    inch = HPipe(
        Tube(od="2-1/2 in", wall="0.065 in"),
        balance_tube=Tube(od="2 in", wall="0.065 in"),
        spacing="7.086614173228346 in",
    )
    for name in ("blank_length", "weld_length", "mass", "inside_volume", "hole_area"):
        assert getattr(inch, name) == pytest.approx(getattr(MADE["square"], name), rel=1e-12)


def test_notes_say_what_is_unusual() -> None:
    assert MADE["square"].notes == ()
    assert "feather edge" in MADE["equal"].notes[0]
    assert "longer than any line" in MADE["skew"].notes[0]
    assert MADE["offset"].notes[0].startswith("the balance tube is 10 mm off the primaries' axes")
    near = HPipe(TUBE, balance_tube=SMALL, spacing="80 mm")
    assert near.notes == (
        "the balance tube is only 16.5 mm long on its short side: little room for a torch (common "
        "practice)",
    )


@pytest.mark.parametrize("name", MADE)
def test_the_limits_are_the_last_that_are_taken(name: str) -> None:
    """What the words say can be done is done; a thousandth of a tube further is refused."""
    h, step = MADE[name], 64e-6
    aside, near, short = h.limits[:3]
    most = number(aside, "offset can grow to")
    for sign in (1, -1):
        assert h.with_(offset=SI(sign * most, "length"))
        with pytest.raises(ExhaustError, match="offset must be within"):
            h.with_(offset=SI(sign * (most + step), "length"))
    least = number(near, "spacing can come down to")
    assert least == pytest.approx(h.least_spacing, rel=1e-3)
    assert h.with_(spacing=SI(least, "length"))
    with pytest.raises(ExhaustError, match=r"spacing must be|split takes|length must be|splay"):
        h.with_(spacing=SI(h.least_spacing - step, "length"))
    least = number(short, "length can come down to")
    assert h.with_(length=SI(least, "length"))
    with pytest.raises(ExhaustError, match="length must be at least"):
        h.with_(length=SI(least - 2 * step, "length"))
    if h.splay:
        most = number(h.limits[3], "length can grow to")
        assert h.with_(length=SI(most, "length")).entry_gap == pytest.approx(0.0, abs=3e-4)
        with pytest.raises(ExhaustError, match="length must be at most"):
            h.with_(length=SI(most * 1.002, "length"))
    else:
        assert len(h.limits) == 3


# Traps


def test_trap_11_the_blank_of_a_skew_tube_is_not_its_longest_line() -> None:
    h = MADE["skew"]
    assert h.blank_length - h.longest_line > 8e-3
    assert h.pieces == (h.blank_length,)


def test_trap_11_a_tube_beside_the_axis_has_a_longer_short_side() -> None:
    """CC - 2A is wrong where the offset is more than the tube's radius."""
    slim = Tube(od="1 in", wall="18 ga")
    h = HPipe(WIDE, balance_tube=slim, spacing="150 mm", offset="20 mm")
    expected = 0.150 - 2 * math.sqrt(0.0381**2 - (0.020 - 0.0127) ** 2)
    assert h.shortest_line == pytest.approx(expected, rel=1e-12)
    assert h.shortest_line > 0.150 - 0.0762 + 1e-3


def test_trap_11_what_a_skew_tube_has_whole_is_less_than_its_short_side() -> None:
    """A clamp must clear both short points, and they are on opposite sides."""
    h = MADE["skew"]
    fits = SplitJoint(kind="clamp", length="148 mm")
    assert h.with_(split=fits).clear_length == pytest.approx(148.264e-3, abs=1e-6)
    assert h.shortest_line > 0.177
    with pytest.raises(ExhaustError, match="split takes 150 mm of whole tube but"):
        h.with_(split=SplitJoint(kind="clamp", length="150 mm"))
