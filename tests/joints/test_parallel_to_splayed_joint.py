"""ParallelToSplayedX as it is described: refusals in the shop's words, limits, notes, profile."""

from __future__ import annotations

import math
import re
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust import Bend, ExhaustError, ParallelToSplayedX, ParallelX, Tube
from exhaust.geometry.elbow import SlicedElbow
from exhaust.geometry.parallel_to_splayed import meeting, mitred_leg
from exhaust.joints import Joint, Profile
from exhaust.joints import parallel_to_splayed_rules as rules
from exhaust.joints.bent_end import BentEnd
from exhaust.joints.splayed_end import MitredEnd
from exhaust.units import SI

TUBE = Tube(od="63.5 mm", wall="1.651 mm")
BEND = Bend(TUBE, clr="95.25 mm")  # 1.5 D
TIGHT = Bend(TUBE, clr="63.5 mm", tangent="30 mm")  # 1.0 D
FIELD = 1e-3  # 401 stations, straight lines between them


def made(bend: Bend = BEND, **given_: Any) -> ParallelToSplayedX:
    good = {"cutback": 0.30, "included_angle": "45 deg", "leg_length": "200 mm"}
    return ParallelToSplayedX(bend, **(good | given_))


def mitred(x: ParallelToSplayedX) -> MitredEnd:
    assert isinstance(x.leg, MitredEnd)
    return x.leg


MADE = {
    "usual": made(spacer="30 mm"),
    "a third, wide": made(cutback=1 / 3, included_angle="70 deg", gap="90 mm"),
    "legs past the widest point": made(cutback=0.4, included_angle="90 deg"),
    "parallel at the exit": made(spacing="9 in", parallel_end="exit", leg_length="1 m"),
    "trimmed": made(spacing="120 mm"),
    "runs on to the straight": made(TIGHT, cutback=0.5, spacer="20 mm"),
    "butted": made(legs="butted", included_angle="70 deg"),
    "butted, onto the leg": made(legs="butted"),
    "butted, parallel at the exit": made(
        cutback=0.5, legs="butted", included_angle="90 deg", parallel_end="exit"
    ),
}
STRAIGHT = ("usual", "a third, wide", "legs past the widest point", "trimmed")


@pytest.mark.parametrize(
    ("f", "alpha", "take_off", "g", "inward", "outward", "seam"),
    [
        (
            *(0.3, 45, 24.281904718567027, 0.3532843272420994),
            *(-0.6344513437232031, 1.152224065560958, 1.2530140708811572),
        ),
        (
            *(1 / 3, 70, 35.18585305301912, 0.4538986371406721),
            *(-1.6194896527057518, 1.5891595535871446, 1.6805660569899565),
        ),
    ],
)
def test_as_worked(
    f: float, alpha: float, take_off: float, g: float, inward: float, outward: float, seam: float
) -> None:
    """63.5 x 1.651. Closed form and solid model, worked cases [mm]."""
    x = made(cutback=f, included_angle=f"{alpha} deg")
    leg = mitred(x)
    assert leg.take_off == pytest.approx(take_off * 1e-3, rel=1e-12)
    assert leg.mitre_opening - x.halved_opening / 2 == pytest.approx(leg.take_off, rel=1e-12)
    assert leg.cutback == pytest.approx(g, rel=1e-12)
    assert leg.kept_width == pytest.approx(x.halved_opening / 2, rel=1e-12)
    assert x.steps.inward == pytest.approx(inward * 1e-3, rel=1e-10)
    assert x.steps.outward == pytest.approx(outward * 1e-3, rel=1e-10)
    assert x.steps.at_seam == pytest.approx(seam * 1e-3, rel=1e-10)


def test_the_bends_are_half_of_a_parallel_x() -> None:
    """Invariant: two of the same halves put together are the parallel X."""
    x = MADE["usual"]
    whole = ParallelX(BEND, cutback=0.30, spacer="30 mm")
    assert x.parallel == whole
    assert x.entry_spacing == whole.spacing
    assert x.entry_outside_width == whole.outside_width
    assert x.overall_length - x.leg.reach == pytest.approx(whole.overall_length / 2)


@given(st.floats(0.1, 0.5), st.floats(20.0, 90.0))
def test_butted_legs_leave_no_step_and_no_more_than_the_x(f: float, alpha: float) -> None:
    """Exact: the bend's own section meets itself; a leg as long as the X's spacer with no return
    is the X's own half, window and seam."""
    x = made(
        cutback=f, included_angle=SI(math.radians(alpha), "angle"), leg_length="1 m", legs="butted"
    )
    assert x.worst_step == 0.0
    assert x.narrowest_area == pytest.approx(x.parallel.narrowest_area, rel=1e-12)
    assert x.flow_normal_area == x.narrowest_area
    assert x.mitre_turning == 0.0
    same = made(cutback=f, included_angle="90 deg", leg_length="1 m", legs="butted")
    assert same.window_area == pytest.approx(same.parallel.window_area, rel=1e-12)
    assert same.opening_length == pytest.approx(same.parallel.opening_length, rel=1e-12)
    assert same.seams[0].length == pytest.approx(same.parallel.seams[0].length, rel=1e-12)


def test_what_both_leave_open_is_less_than_either() -> None:
    x = MADE["usual"]
    leg = mitred(x).leg
    first, second = x.meeting.first, x.meeting.second
    each = [2 * face.area(leg.bore, face.edge(leg.bore), 0.0) for face in (first, second)]
    assert x.narrowest_area < min(each)
    assert x.narrowest_area > 0.97 * min(each)
    assert x.flow_normal_area == pytest.approx(
        x.narrowest_area * math.cos(math.radians(22.5)), rel=1e-12
    )


def shadow(x: ParallelToSplayedX, from_middle: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """Return where each section cuts the joint's plane, along the joint [m]; bends below nought.

    On a bend the section at psi is at plane tan psi; on a straight after it, u on, square to it,
    at plane tan(theta) + u/cos(theta). Mitred legs are read straight across.
    """

    def bent(s: np.ndarray[Any, Any], theta: float) -> np.ndarray[Any, Any]:
        clr, plane = float(x.bend.clr), x.parallel.elbow.plane
        psi = np.minimum(s / clr, theta)
        return plane * np.tan(psi) + np.maximum(s - theta * clr, 0.0) / math.cos(theta)

    before = -bent(np.maximum(-from_middle, 0.0), x.parallel.half_angle)
    on = np.maximum(from_middle, 0.0)
    if isinstance(x.leg, BentEnd):
        return np.asarray(before + bent(on, x.leg.angle))
    return np.asarray(before + on * math.cos(x.leg.angle))


@pytest.mark.parametrize("name", MADE)
def test_the_windows_height_along_the_side_adds_up_to_its_area(name: str) -> None:
    """Invariant: integral of height over its own place on the joint's plane is the window."""
    x = MADE[name]
    along = x.profile(401)
    way = 1.0 if x.parallel_end == "entry" else -1.0
    start = x.parallel.centreline_length / 2
    middle = start if way > 0 else x.centreline_length - start
    y = shadow(x, (along.position - middle) * way)
    assert abs(float(np.trapezoid(along.window_height, y))) == pytest.approx(
        x.window_area, rel=FIELD
    )


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
    with pytest.raises(ExhaustError, match="stations must be an odd whole number"):
        x.profile(stations + 1)


def test_turned_end_for_end() -> None:
    one, other = MADE["usual"], MADE["usual"].with_(parallel_end="exit")
    assert (one.entry_spacing, one.exit_spacing) == (other.exit_spacing, other.entry_spacing)
    assert (one.entry_gap, one.entry_outside_width) == (other.gap, other.outside_width)
    assert (one.leg_angle, one.exit_leg_angle) == (other.exit_leg_angle, other.leg_angle)
    assert one.leg_angle == 0.0
    assert one.steps == other.steps  # of the leg off the bend, whichever comes first
    first, second = one.profile(21), other.profile(21)
    assert first.leg_area == pytest.approx(second.leg_area[::-1], rel=1e-12)
    assert first.position == pytest.approx(one.centreline_length - second.position[::-1], abs=1e-12)


def test_trap_3_and_9_what_a_side_turns() -> None:
    """Exact: a halved 90, half of a 90, and half of the included angle, that alone at a mitre."""
    x = MADE["usual"]
    assert math.degrees(x.turning) == pytest.approx(45 + 45 + 22.5)
    assert math.degrees(x.mitre_turning) == pytest.approx(22.5)
    trimmed = MADE["trimmed"]
    assert math.degrees(trimmed.turning) == pytest.approx(2 * 41.26162305419518 + 22.5)


def test_trap_6_the_legs_can_be_cut_past_their_widest_point() -> None:
    """90 deg with 0.30: g = 0.505 (worked); the limit is where cos t = 1/(2 (1 - f))."""
    x = made(included_angle="90 deg")
    assert mitred(x).cutback == pytest.approx(0.505, abs=5e-4)
    assert x.opening_height == pytest.approx(63.5e-3, rel=1e-12)
    assert x.notes[0] == (
        "the legs lose 0.505 of their mitre opening, past the widest point: their opening is "
        "highest beside the middle"
    )
    widest = math.degrees(2 * math.acos(1 / 1.4))
    assert f"past an included angle of {math.floor(widest * 100) / 100} deg the legs" in x.limits[3]


def test_the_step_reaches_the_wall() -> None:
    """63.5 x 1.651: at about 45 deg (f = 0.25), 60 (0.30) and 70 (a third), worked; to a tube's
    own wall by the words of the limit."""
    for f, about in ((0.25, 45.0), (0.30, 60.0), (1 / 3, 70.0)):
        x = made(cutback=f)
        found = re.search(r"past an included angle of ([0-9.]+) deg the edges", x.limits[-1])
        assert found
        at = float(found[1])
        assert at == pytest.approx(about, abs=4.0)
        assert x.with_(included_angle=f"{at} deg").worst_step <= TUBE.wall
        past = x.with_(included_angle=f"{at + 0.1} deg")
        assert past.worst_step > TUBE.wall
        assert past.notes[-1].endswith("they must be formed to meet; butted legs leave none")


@given(st.floats(0.05, 0.95), st.floats(0.01, 0.12))
def test_the_angle_at_which_the_step_reaches_the_wall_is_that(cutback: float, thin: float) -> None:
    """The step is found ray by ray, the angle in closed form: there it is the wall, a little short
    of it less, or no leg that can be cut has so much."""
    bend = SlicedElbow(2.0, 1.0, thin, math.pi / 2, 5.0, min(max(cutback, thin), 1.0 - thin))
    found = rules.step_limit(bend)
    most = math.acos(min(bend.wall / 2 / (1 - bend.cutback), 1.0)) * (1 - 1e-8)

    def step(angle: float) -> float:
        worst = meeting(bend, mitred_leg(bend, angle)).steps
        return max(worst.outward, -worst.inward)

    if found == math.pi:
        assert step(most) < thin * (1 + 1e-6)
    else:
        assert step(found / 2) == pytest.approx(thin, rel=1e-6)
        assert step(found / 2 * 0.99) < thin


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
    shown = [re.match(r"(\w+) can come down to ([0-9.]+) mm", line) for line in x.limits]
    for field, least in (match.groups() for match in shown if match):
        assert x.with_(**{field: f"{least} mm"}).entry_gap > -1e-6
        with pytest.raises(ExhaustError, match=f"{field} must be at least"):
            x.with_(**{field: f"{float(least) * 0.998} mm"})
    if x.legs == "butted":
        assert "included_angle can grow to 90 deg, what the bend turns" in x.limits
        x.with_(included_angle="90 deg")


def test_notes_and_numbers() -> None:
    assert MADE["usual"].notes == ()
    assert MADE["butted"].notes == ()
    assert MADE["butted, onto the leg"].notes == (
        "the opening runs 24.5 mm onto each leg: weld them to the bends before slicing",
    )
    assert "trimmed to 41.26 deg" in MADE["trimmed"].notes[0]
    names = [fact.name for fact in MADE["usual"].numbers.facts()]
    assert {"halved opening", "take-off", "worst step of the edges"} <= set(names)
    assert "take-off" not in [fact.name for fact in MADE["butted"].numbers.facts()]


def test_every_weld_is_counted() -> None:
    """Half the X's seam and butts, the leg's seam, two mitres or two butts of legs."""
    x, butt = MADE["usual"], math.pi * 63.5e-3
    opening, mitre, returns = x.seams
    assert opening.length == pytest.approx(
        318.23402677786646e-3 / 2 + x.leg.opening_seam, rel=1e-10
    )
    assert (mitre.count, returns.count) == (2, 4)
    assert mitre.length == pytest.approx(125.87688647676143e-3, rel=1e-12)  # worked: the circle's
    joined = MADE["butted"].seams[1]
    assert (joined.length, joined.count) == (pytest.approx(butt, rel=1e-12), 2)
    assert x.weld_length == pytest.approx(opening.length + 2 * mitre.length + 4 * butt)


def test_copies() -> None:
    x = MADE["a third, wide"]
    assert isinstance(x, Joint)
    assert x.with_(spacer="1 in").parallel.spacer == pytest.approx(25.4e-3)
    other = x.with_tube(Tube(od="2 in", wall="16 ga"))
    assert other.bend.clr / other.tube.od == pytest.approx(1.5)
    assert other.parallel.gap == pytest.approx(90e-3)
    assert other.leg.centreline == x.leg.centreline
    assert MADE["usual"].with_(return_bend=TIGHT.with_(tangent="0 in")).with_tube(
        TUBE
    ).parallel.return_bend.clr == pytest.approx(63.5e-3)
