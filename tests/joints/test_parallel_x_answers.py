"""What a ParallelX answers for solvers and sheets: welds, turning, area and window along a side."""

from __future__ import annotations

import math
import re
from typing import Any

import numpy as np
import pytest

from exhaust import Bend, ExhaustError, ParallelX, Tube
from exhaust.joints import Joint, Profile
from exhaust.units import SI

TUBE = Tube(od="63.5 mm", wall="1.651 mm")
BEND = Bend(TUBE, clr="95.25 mm")
TIGHT = Bend(TUBE, clr="63.5 mm", tangent="30 mm")
FIELD = 1e-3  # stations a millimetre apart, straight lines between them, a square root at each tip

MADE: dict[str, ParallelX] = {
    "usual": ParallelX(BEND, cutback=0.30, spacer="30 mm"),
    "no straight": ParallelX(BEND, cutback=0.25),
    "trimmed": ParallelX(BEND, cutback=0.30, spacing="120 mm"),
    "runs on to the straight": ParallelX(TIGHT, cutback=0.50, spacer="20 mm"),
    "two lobes": ParallelX(BEND, cutback=0.55, spacer="30 mm"),
    "two lobes on straights": ParallelX(TIGHT, cutback=0.60, spacer="40 mm"),
    "half turns": ParallelX(BEND.with_(angle="180 deg"), cutback=0.30, spacer="15 mm"),
    "ends on": ParallelX(BEND, cutback=0.28, return_bend=TIGHT),
}


def on_the_plane(x: ParallelX, position: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """Return where each section cuts the middle plane, along the joint [m].

    On the bend the section through the bend's axis at psi is at y = plane tan psi. On a straight,
    u past the bend, it stands square to the leg: y = plane tan theta + u / cos theta.
    """
    from_middle = position - x.centreline_length / 2
    theta, clr, plane = x.half_angle, float(x.bend.clr), x.elbow.plane
    psi = np.minimum(np.abs(from_middle) / clr, theta)
    past = np.maximum(np.abs(from_middle) - theta * clr, 0.0)
    return np.sign(from_middle) * (plane * np.tan(psi) + past / math.cos(theta))


@pytest.mark.parametrize("name", MADE)
def test_the_windows_height_along_the_side_adds_up_to_its_area(name: str) -> None:
    """Invariant: integral of height over its own place on the middle plane is the window."""
    x = MADE[name]
    along = x.profile(401 if x.centreline_length < 0.45 else 801)
    area = float(np.trapezoid(along.window_height, on_the_plane(x, along.position)))
    assert area == pytest.approx(x.window_area, rel=FIELD)


@pytest.mark.parametrize("name", MADE)
def test_the_profile_is_least_in_the_middle_and_whole_at_the_ends(name: str) -> None:
    x = MADE[name]
    along = x.profile()
    assert isinstance(along, Profile)
    assert all(values.shape == (41,) for values in along)
    assert along.position[[0, -1]] == pytest.approx([0.0, x.centreline_length], rel=1e-12)
    assert 2 * along.leg_area.min() == pytest.approx(x.narrowest_area, rel=1e-9)
    assert int(np.argmin(along.leg_area)) == 20
    assert along.leg_area[[0, -1]] == pytest.approx(TUBE.flow_area, rel=1e-12)
    assert along.window_height[20] == pytest.approx(
        2 * math.sqrt(x.elbow.bore**2 - x.elbow.offset**2), rel=1e-12
    )
    beside = along.window_height == 0.0
    assert along.leg_area[beside] == pytest.approx(TUBE.flow_area, rel=1e-12)
    assert np.all(along.leg_area[~beside] < TUBE.flow_area)
    assert along.leg_area == pytest.approx(along.leg_area[::-1], rel=1e-9)


@pytest.mark.parametrize("stations", [40, 1, 0, -3, 4.0, True, None, "41"])
def test_stations_must_have_a_middle(stations: Any) -> None:
    with pytest.raises(ExhaustError, match="stations must be an odd whole number, 3 or more"):
        MADE["usual"].profile(stations)


def test_every_weld_is_counted() -> None:
    """A turn of the outside for each butt; two on a leg where a piece of straight goes between."""
    butt = math.pi * 63.5e-3
    seam = 318.23402677786646e-3  # closed form and solid model, worked case
    first, butts = MADE["usual"].seams
    assert (first.length, first.count) == (pytest.approx(seam, rel=1e-10), 1)
    assert (butts.length, butts.count) == (pytest.approx(butt, rel=1e-12), 8)
    assert MADE["usual"].weld_length == pytest.approx(seam + 8 * butt, rel=1e-10)
    for name in ("no straight", "trimmed", "runs on to the straight"):  # ends of the bends reach
        assert MADE[name].seams[1].count == 4


def test_a_side_turns_out_across_and_back() -> None:
    """Exact: a halved 90, a whole 90, a halved 90."""
    x = MADE["usual"]
    assert math.degrees(x.turning) == pytest.approx(180.0)
    assert MADE["trimmed"].turning == pytest.approx(4 * math.radians(41.26162305419518))
    assert x.leg_angle == 0.0
    assert x.flow_normal_area == x.narrowest_area
    assert (x.legs_in, x.legs_out, x.outlet) == (2, 2, TUBE)
    assert isinstance(x, Joint)


def limit_of(x: ParallelX) -> float:
    found = re.match(r"cutback can grow to ([0-9.]+) ", x.limits[0])
    assert found
    return float(found[1])


@pytest.mark.parametrize("name", MADE)
def test_the_limits_are_the_last_that_are_taken(name: str) -> None:
    """What the words say can be done is done; a thousandth further is refused."""
    x = MADE[name]
    most = limit_of(x)
    assert x.with_(cutback=most).cutback == most
    with pytest.raises(ExhaustError):
        x.with_(cutback=most + 1.001e-3)
    near = re.search(r"spacing can come down to ([0-9.]+) mm", x.limits[1])
    assert near
    least = float(near[1])
    assert x.with_(spacing=f"{least} mm").spacing == pytest.approx(least * 1e-3)
    with pytest.raises(ExhaustError, match="spacing must be at least"):
        x.with_(spacing=SI(x.least_spacing - 1e-6, "length"))


def test_the_limit_of_a_whole_bend_is_its_reach() -> None:
    """0.5858 for a 90 at 1.5 D (worked case); beyond it a straight takes what runs on."""
    assert MADE["no straight"].limits[0] == (
        "cutback can grow to 0.585 before the tips of the opening meet the ends of the bends"
    )


def test_a_spacing_that_is_held_limits_the_cutback() -> None:
    """Least spacing at 1.5 D with the same returns is D (1 + f): 95 mm leaves f = 0.496."""
    x = ParallelX(BEND, cutback=0.30, spacing="95 mm")
    assert limit_of(x) == pytest.approx(95 / 63.5 - 1, abs=1e-3)
    assert "nothing of the tube is left" in MADE["trimmed"].limits[0]  # straights make the room
