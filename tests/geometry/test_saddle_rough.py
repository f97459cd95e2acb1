"""Flat cuts that rough out a saddle: exact for equal tubes, never into the finished edge, best.

The primary is met here by rays in space, from its axis and radius alone.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from exhaust.geometry.saddle import Saddle
from exhaust.geometry.saddle_rough import SIDES, FlatCut, edge_angle, flat_cuts, short_point

CLEAR = 1e-3
ROUNDING = 1e-9  # [m]
SAMPLED = 2e-5  # [m]; edges are sampled every quarter of a degree
CHOSEN = 5e-5  # [m]; marks are chosen by samples every two degrees
MARKS = np.radians(np.arange(-60, 61, 1.0))

SADDLES = {
    "square": Saddle(31.75e-3, 1.651e-3, 25.4e-3, 1.651e-3),
    "skew": Saddle(38.1e-3, 1.651e-3, 25.4e-3, 1.651e-3, math.radians(60)),
    "leant back": Saddle(38.1e-3, 1.651e-3, 25.4e-3, 1.651e-3, math.radians(115)),
    "steep and small": Saddle(38.1e-3, 1.651e-3, 12.7e-3, 1.651e-3, math.radians(45)),
    "offset": Saddle(38.1e-3, 1.651e-3, 25.4e-3, 1.651e-3, math.pi / 2, 8e-3),
    "skew and offset": Saddle(38.1e-3, 1.651e-3, 25.4e-3, 1.651e-3, math.radians(70), -6e-3),
    "equal": Saddle(31.75e-3, 1.651e-3, 31.75e-3, 1.651e-3),
}


def met(saddle: Saddle, clock: np.ndarray, rho: float) -> np.ndarray:  # type: ignore[type-arg]
    """Independent: where lines along the tube leave the primary, by its distance in space."""
    u = np.array([math.sin(saddle.angle), math.cos(saddle.angle), 0.0])
    v = np.array([-math.cos(saddle.angle), math.sin(saddle.angle), 0.0])
    z = np.array([0.0, 0.0, 1.0])
    foot = (
        np.outer(rho * np.cos(clock), v) + np.outer(rho * np.sin(clock), z) + saddle.offset * z
    )[:, [0, 2]]
    way = u[[0, 2]]
    a, b = way @ way, foot @ way
    c = (foot**2).sum(axis=1) - saddle.primary**2
    return np.asarray((-b + np.sqrt(np.maximum(b * b - a * c, 0.0))) / a)


def square_end(saddle: Saddle) -> float:
    return float(met(saddle, np.linspace(-math.pi, math.pi, 20001), saddle.radius).min()) - CLEAR


def cuts_of(saddle: Saddle) -> tuple[FlatCut, FlatCut]:
    return flat_cuts(saddle, MARKS, square_end(saddle), CLEAR)


@pytest.mark.parametrize("degrees", [60, 90, 110, 130])
def test_two_mitres_are_the_saddle_of_equal_tubes(degrees: float) -> None:
    """Exact: mitres of 90 - g/2 and g/2, whose sum is a right angle, leave nothing."""
    saddle = Saddle(0.03, 0.0015, 0.03, 0.0015, math.radians(degrees))
    marks = np.radians(np.arange(0, 70, 5.0))
    first, second = flat_cuts(saddle, marks, -1.0, 0.0)
    assert math.degrees(first.angle) == pytest.approx(90 - degrees / 2)
    assert math.degrees(second.angle) == pytest.approx(degrees / 2)
    for cut in (first, second):
        assert cut.left == pytest.approx(0.0, abs=ROUNDING)
        assert cut.middle == pytest.approx(0.0, abs=ROUNDING)


@pytest.mark.parametrize("name", SADDLES)
def test_a_flat_cut_stays_clear_of_the_finished_edge_through_the_wall(name: str) -> None:
    """Independent: no line of the wall, inside or outside, is cut nearer than `clear`."""
    saddle = SADDLES[name]
    clock = np.linspace(-math.pi, math.pi, 3601)
    for cut in cuts_of(saddle):
        room = []
        for rho in np.linspace(saddle.bore, saddle.radius, 9):
            plane = cut.middle + math.tan(cut.angle) * rho * np.cos(clock - cut.line)
            room.append(met(saddle, clock, rho) - plane)
        assert np.min(room) == pytest.approx(CLEAR, abs=SAMPLED)


@pytest.mark.parametrize("name", SADDLES)
def test_what_is_left_to_grind(name: str) -> None:
    """Independent: between the finished edge and plane or square end, on the cut's own side."""
    saddle = SADDLES[name]
    square = square_end(saddle)
    clock = np.linspace(-math.pi, math.pi, 7201)
    edge = met(saddle, clock, saddle.radius)
    for cut in cuts_of(saddle):
        own = cut.side * np.cos(clock) >= 0
        left = (edge - np.maximum(cut.at(clock), square))[own]
        assert cut.left == pytest.approx(left.max(), abs=SAMPLED)
        assert cut.most == pytest.approx((edge[own] - square).max(), abs=SAMPLED)
        assert CLEAR - SAMPLED < cut.left <= cut.most + ROUNDING


@pytest.mark.parametrize("name", SADDLES)
def test_no_other_mark_or_roll_leaves_less(name: str) -> None:
    """Independent: every mark at every roll tried, by another formula and other samples."""
    saddle = SADDLES[name]
    square = square_end(saddle)
    clock = np.linspace(-math.pi, math.pi, 361)
    edge = met(saddle, clock, saddle.radius)
    rolls = np.radians(np.arange(-75, 76, 15.0)) if saddle.offset else [0.0]
    for cut, side in zip(cuts_of(saddle), SIDES, strict=True):
        own = side * np.cos(clock) >= -1e-9
        for roll in rolls:
            line = roll if side > 0 else math.pi - roll
            tilt = np.outer(np.tan(MARKS), saddle.radius * np.cos(clock - line))
            plane = tilt + (edge - tilt).min(axis=1)[:, None] - CLEAR
            left = (edge - np.maximum(plane, square))[:, own].max(axis=1)
            assert left.min() >= cut.left - CHOSEN


def test_a_tube_leant_the_other_way_changes_its_sides() -> None:
    """Invariant: g and 180 - g are mirror images."""
    here, there = (
        cuts_of(Saddle(38.1e-3, 1.651e-3, 25.4e-3, 1.651e-3, math.radians(g))) for g in (65, 115)
    )
    for one, other in zip(here, there[::-1], strict=True):
        assert one.angle == pytest.approx(other.angle)
        assert one.middle == pytest.approx(other.middle, abs=ROUNDING)


def test_an_offset_up_and_down_are_mirror_images() -> None:
    up, down = (
        cuts_of(Saddle(38.1e-3, 1.651e-3, 25.4e-3, 1.651e-3, math.radians(90), e))
        for e in (8e-3, -8e-3)
    )
    for one, other in zip(up, down, strict=True):
        assert one.angle == pytest.approx(other.angle)
        assert math.sin(one.line) == pytest.approx(-math.sin(other.line))


@pytest.mark.parametrize("name", SADDLES)
def test_the_sharpest_edge_is_between_two_surfaces(name: str) -> None:
    """Independent: angle between the outward normals of both tubes along the edge."""
    saddle = SADDLES[name]
    clock = np.linspace(-math.pi, math.pi, 7201)
    u = np.array([math.sin(saddle.angle), math.cos(saddle.angle), 0.0])
    v = np.array([-math.cos(saddle.angle), math.sin(saddle.angle), 0.0])
    normal = np.outer(np.cos(clock), v) + np.outer(np.sin(clock), [0.0, 0.0, 1.0])
    point = (
        saddle.radius * normal
        + np.outer(met(saddle, clock, saddle.radius), u)
        + np.array([0.0, 0.0, saddle.offset])
    )
    other = point * [1.0, 0.0, 1.0] / saddle.primary
    between = np.arccos(np.clip((normal * other).sum(axis=1), -1.0, 1.0))
    assert edge_angle(saddle) == pytest.approx(between.min(), abs=1e-4)


def test_edges_by_closed_form() -> None:
    """Exact: acos((r + |e|)/A) at the side; a feather where they are flush; g where it leans."""
    assert math.cos(edge_angle(SADDLES["square"])) == pytest.approx(25.4 / 31.75)
    assert math.cos(edge_angle(SADDLES["offset"])) == pytest.approx((25.4 + 8) / 38.1, abs=1e-5)
    assert edge_angle(SADDLES["equal"]) == pytest.approx(0.0, abs=1e-7)


@pytest.mark.parametrize("name", SADDLES)
def test_the_short_point_is_where_the_notch_is_deepest(name: str) -> None:
    saddle = SADDLES[name]
    around = met(saddle, np.linspace(-math.pi, math.pi, 36001), saddle.radius)
    at = met(saddle, np.array([short_point(saddle)]), saddle.radius)[0]
    assert at == pytest.approx(around.max(), abs=1e-8)
