"""The drawings are to scale: measured in their own coordinates they give the settings."""

from __future__ import annotations

import math

import numpy as np
import pytest

from exhaust import Bend, ParallelX, Saw, Tube, cut_sheet
from exhaust.cutmath.bend_poses import extent
from exhaust.cutmath.plan import plan
from exhaust.cutmath.pose import BendView, Pose

DRAWN = 2e-5  # arcs are drawn as chords of 1.5 degrees: sagitta 1e-4 of the radius [m]
BEND = Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")
SAW = Saw(kerf="1.1 mm", height_capacity="12 in")
SHORT_RUN_ON = ParallelX(Bend(BEND.tube, clr="3 in", tangent="2 in"), cutback=0.5, spacer="2 in")


def edges(pose: Pose, role: str) -> tuple[float, float, float, float]:
    points = np.vstack([shape.points for shape in pose.shapes if shape.role == role])
    return (*points.min(axis=0), *points.max(axis=0))  # type: ignore[return-value]


@pytest.mark.parametrize("x", [ParallelX(BEND, cutback=0.28), SHORT_RUN_ON])
def test_stop_and_blade_stand_the_setting_apart(x: ParallelX) -> None:
    plan, section = cut_sheet(x, SAW).poses[:2]
    for pose in (plan, section):
        _, kept_face, _, near_face = edges(pose, "blade")
        _, stop, _, _ = edges(pose, "stop")
        assert stop - kept_face == pytest.approx(x.cut_depth, abs=1e-12)
        assert stop - near_face == pytest.approx(x.cut_depth - SAW.kerf, abs=1e-12)


@pytest.mark.parametrize("x", [ParallelX(BEND, cutback=0.28), SHORT_RUN_ON])
def test_the_sliced_outline_is_as_long_as_the_opening(x: ParallelX) -> None:
    """Independent: a polygon cut by a line, against the torus formula (and the run-on)."""
    plan = cut_sheet(x, SAW).poses[0]
    kept = next(shape.points for shape in plan.shapes if shape.role == "kept")
    level = edges(plan, "blade")[1]
    on_cut = kept[np.abs(kept[:, 1] - level) < 1e-9]
    assert np.ptp(on_cut[:, 0]) == pytest.approx(x.opening_length, abs=10 * DRAWN)
    slug = next(shape.points for shape in plan.shapes if shape.role == "waste")
    assert np.ptp(slug[:, 0]) == pytest.approx(x.slug_length(SAW.kerf), abs=10 * DRAWN)


def test_the_section_is_as_high_as_the_opening() -> None:
    x = ParallelX(BEND, cutback=0.28)
    section = cut_sheet(x, SAW).poses[1]
    (height,) = [m.value for m in section.measures if m.label == "height"]
    path = next(m.path for m in section.measures if m.label == "height")
    assert np.ptp(path[:, 0]) == pytest.approx(height)
    assert height == pytest.approx(2 * math.sqrt(0.0381**2 - (0.0381 - x.cut_depth) ** 2))


@pytest.mark.parametrize(("od", "height"), [("2.5 in", 180), ("3 in", 216)])
def test_a_standing_bend_needs_the_usual_height(od: str, height: float) -> None:
    """Common practice, no source: about 180 mm for a 2.5 in, 1.5 D, 90 degree bend, 216 for 3."""
    bend = BEND.with_tube(Tube(od=od, wall="16 ga"))
    chord, _ = extent(bend, 0.0, ParallelX(bend, cutback=0.28))
    assert chord * 1e3 == pytest.approx(height, abs=1.0)


def test_turning_keeps_every_distance() -> None:
    pose = cut_sheet(ParallelX(BEND, cutback=0.28), SAW).poses[0]
    for before, after in zip(pose.shapes, pose.turned(1.1).shapes, strict=True):
        a, b = np.diff(before.points, axis=0), np.diff(after.points, axis=0)
        assert np.hypot(*a.T) == pytest.approx(np.hypot(*b.T))


def test_slicing_loses_nothing() -> None:
    """Kept and slug together have the area of the whole outline."""
    view = BendView(0.1143, 0.0381, math.pi / 4, math.pi / 4, 0.02, 0.02)
    kept, slug = view.sliced(0.021)
    assert area(kept) + area(slug) == pytest.approx(area(view.outline()), rel=1e-12)


def area(points: np.ndarray) -> float:
    x, y = points.T
    return abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2


@pytest.mark.parametrize("tangent", ["0 in", "1 in"])
def test_the_plan_measures_what_it_says(tangent: str) -> None:
    """The outline laid out piece by piece against the closed forms of the exits."""
    x = ParallelX(BEND.with_(tangent=tangent), cutback=0.28, spacing="10.5 in")
    above, _ = plan(x)
    left, bottom, right, top = edges(above, "kept")
    assert right - left == pytest.approx(x.outside_width, abs=1e-12)
    assert top - bottom == pytest.approx(x.overall_length, abs=1e-12)
    axes = np.vstack([shape.points for shape in above.shapes if shape.role == "centre"])
    assert np.ptp(axes[:, 0]) == pytest.approx(x.spacing, abs=1e-12)


def test_the_section_across_both_is_as_wide_as_two_cut_tubes() -> None:
    x = ParallelX(BEND, cutback=0.28)
    _, middle = plan(x)
    left, _, right, _ = edges(middle, "kept")
    assert right - left == pytest.approx(2 * (x.tube.od - x.cut_depth), abs=1e-9)


def test_a_straight_end_is_shortened_to_what_the_sheet_says() -> None:
    """Turned so that the leg lies level, the blade stands where the straight that is left ends."""
    bend = BEND.with_(tangent="3 in")
    x = ParallelX(bend, cutback=0.28, spacer="1 in")
    (pose,) = cut_sheet(x, SAW).steps[1].poses
    assert pose.title == "Shorten a straight end"
    left_face, _, right_face, _ = edges(pose, "blade")
    assert right_face - left_face == pytest.approx(SAW.kerf)
    assert left_face == pytest.approx(0.0254 + SAW.kerf / 2)  # half a kerf for the sawn return
    assert edges(pose, "waste")[2] == pytest.approx(3 * 0.0254)


@pytest.mark.parametrize(
    "x",
    [
        ParallelX(BEND, cutback=0.28, spacing="10.5 in"),
        ParallelX(BEND.with_(tangent="3 in"), cutback=0.28, spacer="1 in"),
        ParallelX(BEND, cutback=0.28, spacing="5.5 in"),
        SHORT_RUN_ON,
    ],
)
def test_every_cut_has_its_drawing(x: ParallelX) -> None:
    for step in cut_sheet(x, SAW).steps[1:-2]:
        assert step.poses, step.title
