"""Edges, samples and limits that a fit rests on, each against what it says in space."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from fit_models import BEND, TUBE, fitted, step_of

from exhaust import Bend, Measured, ParallelToSplayedX, Saw, Tube, YMerge, cut_sheet
from exhaust.cutmath.fit.faces import bend_edge
from exhaust.cutmath.fit.model import Fitted, SeamFit
from exhaust.cutmath.fit.parallel_to_splayed import MitredFit
from exhaust.cutmath.fit.question import MOST_SAMPLES, _inside, _whole
from exhaust.cutmath.rework import chosen
from exhaust.cutmath.supply import Stock
from exhaust.errors import ExhaustError
from exhaust.geometry.elbow import SlicedElbow


@pytest.mark.parametrize("degrees", [10.0, 22.5, 30.0, 38.0, 60.0])
def test_every_point_of_an_edge_lies_on_the_bend_or_on_the_straight_behind_it(
    degrees: float,
) -> None:
    """A torus about the bend's centre to its end, from there a cylinder along the tangent."""
    angle, clr, radius = math.radians(degrees), 0.09525, 0.03175
    cut = SlicedElbow(clr, radius, 0.001651, angle, 0.2, 0.30)
    edge = bend_edge(cut, angle)
    t, z = np.abs(edge.t), edge.z
    on_bend = np.arctan2(t, cut.plane) <= angle
    from_centre = np.where(on_bend, np.hypot(cut.plane, t),
                           cut.plane * math.cos(angle) + t * math.sin(angle))  # fmt: skip
    off_centreline = np.hypot(from_centre - clr, z)
    assert off_centreline == pytest.approx(np.full(t.shape, radius), abs=1e-12)
    assert np.any(on_bend)
    assert np.any(~on_bend) == (cut.plane * math.tan(angle) < t.max())


def test_a_joint_counts_where_all_its_seams_are_within_the_gap() -> None:
    """Three seams of four joints: the second joint has one seam too wide, the fourth all."""
    gaps = {
        "one": np.array([0.1, 0.2, 0.3, 0.9]),
        "two": np.array([0.1, 0.9, 0.3, 0.9]),
        "three": np.array([0.5, 0.2, 0.3, 0.9]),
    }
    seams = {name: SeamFit(gap, None) for name, gap in gaps.items()}
    found = _inside(Fitted(seams, {}, np.zeros(4)), 0.5)
    assert found.tolist() == [True, False, True, False]


@pytest.mark.parametrize(("angle", "sound"), [("185 deg", True), ("185.5 deg", False),
                                              ("5 deg", True), ("4.5 deg", False)])  # fmt: skip
def test_a_bend_is_sold_between_five_degrees_and_a_half_turn_and_a_little(
    angle: str, sound: bool
) -> None:
    if sound:
        assert Stock(bend_angles=[angle]).bend_angles
        return
    with pytest.raises(ExhaustError, match="bend_angles"):
        Stock(bend_angles=[angle])


@pytest.mark.parametrize(
    ("name", "least", "below", "most", "above"),
    [
        ("wall", "0.2 mm", "0.15 mm", "20 mm", "20.5 mm"),
        ("heel_wall", "0.1 mm", "0.05 mm", "20 mm", "20.5 mm"),
        ("kerf", "0.2 mm", "0.15 mm", "5 mm", "5.5 mm"),
        ("bend_angle", "5 deg", "4.5 deg", "185 deg", "185.5 deg"),
        ("return_angle", "5 deg", "4.5 deg", "185 deg", "185.5 deg"),
    ],
)
def test_what_is_no_reading_of_a_tube_or_a_saw_is_refused(
    name: str, least: str, below: str, most: str, above: str
) -> None:
    """Outside common sizes it is a slip of the pen; common practice, no source."""
    for reading in (least, most):
        assert getattr(Measured(**{name: reading}), name) is not None
    for reading in (below, above):
        with pytest.raises(ExhaustError, match=f"{name} must be"):
            Measured(**{name: reading})


def test_the_fewest_and_the_most_samples_and_seeds_are_taken() -> None:
    for name, most in (("samples", MOST_SAMPLES), ("seed", 2**31)):
        _whole(name, 1, 1, most)
        _whole(name, most, 1, most)
        for value in (0, most + 1):
            with pytest.raises(ExhaustError, match=f"{name} must be a whole number"):
                _whole(name, value, 1, most)


def test_the_first_piece_is_reworked_where_none_is_named() -> None:
    pieces: Any = ("first", "last")
    assert chosen(pieces, None) == "first"


def test_returns_are_tacked_where_there_are_returns() -> None:
    asked: dict[str, Any] = {"spacing": "280 mm", "outlet_straight": "100 mm"}
    for y, told in ((YMerge(BEND, **asked), True), (YMerge(BEND, legs="splayed"), False)):
        words = " ".join(step.words for step in cut_sheet(y, Saw(kerf="1.1 mm")).steps)
        assert ("Then tack the returns" in words) == told


def test_tube_that_is_all_larger_steps_as_a_joint_of_larger_tube() -> None:
    """Bends and legs 0.5 mm over size, sliced as deep: the mitre of a joint made of such tube.

    The legs' own slice is by its share there, not by its depth: 3 % of the error.
    """
    over = 0.5e-3
    asked = {"included_angle": "45 deg", "leg_length": "250 mm"}
    half = ParallelToSplayedX(BEND, cutback=0.3, **asked)
    larger = Tube(od=f"{(TUBE.od + over) * 1e3} mm", wall="1.651 mm")
    bend = Bend(larger, clr="95.25 mm", tangent="30 mm")
    whole = ParallelToSplayedX(bend, cutback=0.3 * TUBE.od / larger.od, **asked)
    found = fitted(MitredFit(half), bend_A=over, bend_B=over, legs_A=over, legs_B=over)
    expected = step_of(fitted(MitredFit(whole)), "mitre")
    assert step_of(found, "mitre") == pytest.approx(expected, abs=0.03 * over)
