"""The joint that readings make: which bend, which leg, which tube each of them changes; mm."""

from __future__ import annotations

import math

import pytest
from test_as_measured import BUTTED, HALF, SAW, SPLAYED, UNEQUAL, H, X, Y

from exhaust import HPipe, Measured, ParallelX, SplayedX, YMerge
from exhaust.cutmath.measured import rebuilt, true_angle

D = 63.5
OPENING = D / math.cos(math.radians(22.5))


def test_the_least_angle_is_what_every_bend_can_be_given() -> None:
    for given, least in (
        ({"bend_angle": "91 deg"}, 91),
        ({"bend_angle": "91 deg", "return_angle": "89 deg"}, 89),
        ({"return_angle": "88 deg"}, 88),
        ({}, 90),
    ):
        assert math.degrees(true_angle(X.bend, Measured(**given))) == pytest.approx(least)


def test_returns_are_as_the_main_bends_unless_they_are_measured() -> None:
    """One bend in the rack: its straight end is the returns' too; measured apart, each its own."""
    made = rebuilt(X, SAW, Measured(tangent="35 mm"))
    assert isinstance(made, ParallelX)
    assert (made.bend.tangent, made.return_bend.tangent) == pytest.approx((35e-3, 35e-3))
    made = rebuilt(X, SAW, Measured(return_tangent="33 mm"))
    assert isinstance(made, ParallelX)
    assert (made.bend.tangent, made.return_bend.tangent) == pytest.approx((40e-3, 33e-3))
    own = X.with_(return_bend=X.bend.with_(clr="63.5 mm", tangent="20 mm"))
    made = rebuilt(own, SAW, Measured(tangent="35 mm", bend_angle="89 deg"))
    assert isinstance(made, ParallelX)
    assert (made.bend.tangent, made.return_bend.tangent) == pytest.approx((35e-3, 20e-3))
    assert made.return_bend.clr == pytest.approx(63.5e-3)
    assert math.degrees(made.return_bend.angle) == pytest.approx(89)


def test_the_tube_is_as_wide_as_in_the_plane_of_the_cut() -> None:
    both = rebuilt(H, SAW, Measured(od_heel_to_throat="63.2 mm", od_side_to_side="63.9 mm"))
    side = rebuilt(H, SAW, Measured(od_side_to_side="63.9 mm"))
    assert (both.tube.od, side.tube.od) == pytest.approx((63.2e-3, 63.9e-3))
    assert isinstance(both, HPipe)
    assert both.balance_tube == H.balance_tube
    taken = Measured(od_heel_to_throat="63.2 mm", od_side_to_side="63.9 mm")
    assert taken.mean_od == pytest.approx(63.55e-3)
    assert taken.ovality == pytest.approx(0.7e-3)
    assert Measured(od_side_to_side="63.9 mm").mean_od == pytest.approx(63.9e-3)
    assert Measured(od_side_to_side="63.9 mm").ovality is None
    assert Measured().mean_od is None
    y = rebuilt(Y.with_(outlet=Y.tube.with_(od="76.2 mm")), SAW, Measured(wall="1.5 mm"))
    assert isinstance(y, YMerge)
    assert y.outlet.od == pytest.approx(76.2e-3)
    assert y.outlet.wall == pytest.approx(1.651e-3)


def test_mitres_that_are_measured_turn_their_own_legs() -> None:
    """acos(D / opening): one of two that are alike turns both; unlike ends each their own.

    The bisector's legs share one mitre, so that one reading tells both; two are averaged.
    """

    def angles(x: SplayedX, **given: str) -> tuple[float, float]:
        made = rebuilt(x, SAW, Measured(**given))
        assert isinstance(made, SplayedX)
        return math.degrees(made.entry.angle), math.degrees(made.exit.angle)

    def opening(degrees: float) -> str:
        return f"{D / math.cos(math.radians(degrees))!r} mm"

    assert angles(SPLAYED, mitre_opening=opening(23)) == pytest.approx((23, 23))
    assert angles(SPLAYED, exit_mitre_opening=opening(23)) == pytest.approx((23, 23))
    both = {"mitre_opening": opening(22), "exit_mitre_opening": opening(23.5)}
    assert angles(SPLAYED, **both) == pytest.approx((22, 23.5))
    plain = UNEQUAL.with_(unequal="plain")
    assert angles(plain, mitre_opening=opening(22)) == pytest.approx((22, 35))
    assert angles(plain, exit_mitre_opening=opening(36)) == pytest.approx((22.5, 36))
    bisector = UNEQUAL.with_(unequal="bisector")
    tilt = round(6.25 / 0.5) * 0.5  # half of what 22.5 and 35 differ, on the dial's nearest mark
    assert angles(bisector, mitre_opening=opening(29)) == pytest.approx((29 - tilt, 29 + tilt))
    two = {"mitre_opening": opening(28), "exit_mitre_opening": opening(29)}
    assert angles(bisector, **two) == pytest.approx((28.5 - tilt, 28.5 + tilt))


def test_nothing_that_is_as_described_makes_another_joint() -> None:
    """Readings that say what the job says give the joint back, itself."""
    at = {"mitre_opening": f"{OPENING!r} mm", "exit_mitre_opening": f"{OPENING!r} mm"}
    assert rebuilt(SPLAYED, SAW, Measured(**at)) is SPLAYED
    assert rebuilt(HALF, SAW, Measured(mitre_opening=f"{OPENING!r} mm")) is HALF
    assert rebuilt(HALF, SAW, Measured(halved_opening=f"{1.4 * D!r} mm")) is HALF
    assert rebuilt(BUTTED, SAW, Measured(bend_angle="90 deg", tangent="40 mm")) is BUTTED
    assert rebuilt(H, SAW, Measured(od_heel_to_throat="63.5 mm", kerf="2 mm")) is H
