"""What a YMerge answers for solvers and sheets: area and window, welds, limits and notes."""

from __future__ import annotations

import math
import re
import time
from typing import Any

import numpy as np
import pytest

from exhaust import Bend, ExhaustError, Tube, YMerge
from exhaust.joints import Joint
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
    assert left.startswith("only 8 mm of heel is left behind the tip")
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
        "8 mm of bend is left behind the tip of the opening: a half bend that turns a degree "
        "less takes 2.2 mm of it, a cut 1 mm deeper 1.5 mm",
    )
    assert made().limits[0] == (
        "cutback can grow to 0.585 before the tips of the opening meet the ends of the bends"
    )


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
