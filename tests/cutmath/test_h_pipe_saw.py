"""An H pipe at the saw: flat cuts on the dial, what the saw cannot do, drawings to scale."""

from __future__ import annotations

import math

import numpy as np
import pytest
from h_frames import (
    EQUAL,
    GRIND,
    HS,
    MM,
    NANOMETRE,
    OFFSET,
    SAW,
    SKEW,
    SPLIT,
    SQUARE,
    TUBE,
    WIDE,
    Frame,
    named,
    sheet_of,
    step,
)

from exhaust import ExhaustError, HPipe, Tube
from exhaust.cutmath.plan import plan


def test_equal_tubes_take_the_mitres_that_are_the_saddle() -> None:
    """Exact: 45 both ways where square; 60 and 30 for 60 deg; a millimetre left to grind."""
    rough = step(sheet_of(EQUAL, SAW), "Rough")
    assert math.degrees(named(rough.settings, "Both sides: blade")) == pytest.approx(45.0)
    assert named(rough.settings, "Both sides: sawn end") == pytest.approx(31.75 * MM)
    assert named(rough.checks, "Both sides: left") == pytest.approx(GRIND)
    skew = step(sheet_of(EQUAL.with_(angle="60 deg"), SAW.with_(largest_angle="60 deg")), "Rough")
    assert math.degrees(named(skew.settings, "Exit side: blade")) == pytest.approx(60.0)
    assert math.degrees(named(skew.settings, "Entry side: blade")) == pytest.approx(30.0)


@pytest.mark.parametrize("degrees", ["0.5 deg", "1 deg", "5 deg"])
@pytest.mark.parametrize("name", HS)
def test_every_flat_cut_is_on_a_mark_of_the_dial(name: str, degrees: str) -> None:
    saw = SAW.with_(angle_step=degrees)
    for fact in sheet_of(HS[name], saw).facts():
        if "from square" in fact.name:
            assert isinstance(fact.value, float)
            steps = fact.value / saw.angle_step
            assert steps == pytest.approx(round(steps), abs=1e-6)
            assert abs(fact.value) <= saw.largest_angle + 1e-9


def test_a_coarser_dial_leaves_more_and_spoils_nothing() -> None:
    """Invariant: what is left never grows with finer marks; never less than the allowance."""
    left = [
        named(step(sheet_of(SQUARE, SAW.with_(angle_step=s)), "Rough").checks, "Both sides: left")
        for s in ("0.5 deg", "1 deg", "10 deg")
    ]
    assert (
        GRIND < left[0] <= left[1] + 5e-5 <= left[2] + 1e-4
    )  # chosen by samples two degrees apart


def test_a_cut_past_the_dial_gets_a_wedge_where_that_saves_grinding() -> None:
    """Exact: equal tubes at 45 deg want 67.5 deg: 45 on the dial and 22.5 in the wedge."""
    h = EQUAL.with_(angle="45 deg")
    sheet = sheet_of(h, SAW)
    rough = step(sheet, "Rough").settings
    assert math.degrees(named(rough, "Exit side: blade")) == pytest.approx(45.0)
    assert math.degrees(named(rough, "Exit side: wedge")) == pytest.approx(22.5)
    assert any("past the dial" in line for line in sheet.warnings)
    assert not any("past the dial" in line for line in sheet_of(SKEW, SAW).warnings)


def test_a_notch_too_shallow_to_rough_out_is_ground_whole() -> None:
    h = HPipe(WIDE, balance_tube=Tube(od="20 mm", wall="1.5 mm"), spacing="230 mm")
    assert "Rough out the notches" not in [each.title for each in sheet_of(h, SAW).steps]


def test_what_the_saw_cannot_hold_or_take_is_said() -> None:
    low = sheet_of(SQUARE, SAW.with_(height_capacity="2 in")).warnings
    assert any("A primary needs 2.500 in" in line and "of height" in line for line in low)
    assert not any("The balance tube needs" in line for line in low)
    narrow = SAW.with_(kind="horizontal", height_capacity="4 in", width_capacity="2.6 in")
    tight = sheet_of(EQUAL, narrow).warnings
    assert any("The flat cut on the exit side needs" in line for line in tight)
    short = sheet_of(SQUARE, SAW.with_(clamp_length="5 in")).warnings
    assert any("less than the vice holds" in line for line in short)
    assert sheet_of(SQUARE, SAW).warnings == ()


def test_a_tube_past_the_side_is_refused_and_a_flush_one_is_a_feather() -> None:
    """Trap 13: r + |e| > A has no saddle; equal tubes come to nothing at the long points."""
    with pytest.raises(ExhaustError, match="past the side"):
        OFFSET.with_(offset="13 mm")
    assert any("drawn out to an edge of 0.0°" in line for line in sheet_of(EQUAL, SAW).warnings)
    near = HPipe(TUBE, balance_tube=Tube(od="61 mm", wall="1.651 mm"), spacing="180 mm")
    sharp = math.degrees(math.acos(61 / 63.5))
    assert any(f"an edge of {sharp:.1f}°" in line for line in sheet_of(near, SAW).warnings)
    assert not any("edge of" in line for line in sheet_of(SQUARE, SAW).warnings)


def test_the_kerf_falls_in_the_stock() -> None:
    sawn = step(sheet_of(SPLIT, SAW), "Saw the balance tube")
    piece = named(sawn.settings, "Stop")
    assert named(sawn.settings, "Tube from stock") == pytest.approx(2 * (piece + 1.1 * MM))
    assert 2 * (piece - GRIND) + 3.0 * MM == pytest.approx(SQUARE.blank_length, abs=NANOMETRE)


@pytest.mark.parametrize("name", HS)
def test_the_plan_is_the_joint_from_above(name: str) -> None:
    """Independent: the drawn notches lie on the primaries; the outline is as wide and long."""
    h, frame = HS[name], Frame(HS[name])
    above, across = plan(h)
    edges = [shape.points for shape in above.shapes if shape.role == "blade"]
    clock = np.linspace(0.0, math.pi, len(edges[0]))
    for side, edge in enumerate(edges):
        r = h.balance_tube.od / 2
        points = frame.ray(clock, r) + np.outer(frame.met(side, clock, r), frame.tube)
        assert edge == pytest.approx(points[:, :2], abs=NANOMETRE)
    kept = np.vstack([shape.points for shape in above.shapes if shape.role == "kept"])
    assert np.ptp(kept[:, 1]) == pytest.approx(h.overall_length, abs=NANOMETRE)
    shown = [measure for measure in above.measures if measure.label.startswith("exit")]
    assert shown[0].value == pytest.approx(h.exit_spacing)
    section = np.vstack([shape.points for shape in across.shapes if shape.role == "kept"])
    assert np.ptp(section[:, 1]) == pytest.approx(h.tube.od, abs=1e-4)  # arcs drawn as chords


@pytest.mark.parametrize("name", HS)
def test_the_roughed_end_is_drawn_to_scale(name: str) -> None:
    """Independent: blade and settings agree; the finished edge is inside what is kept."""
    sheet = sheet_of(HS[name], SAW)
    rough = step(sheet, "Rough")
    depths = [float(f.value) for f in rough.settings if "sawn end to the blade" in f.name]  # type: ignore[arg-type]
    drawn = [measure.value for pose in rough.poses for measure in pose.measures]
    assert set(np.round(depths, 9)) == set(np.round(drawn, 9))
    for pose in rough.poses:
        kept = next(shape.points for shape in pose.shapes if shape.role == "kept")[:-2]
        finished = next(shape.points for shape in pose.shapes if shape.role == "centre")
        assert finished[:, 1] == pytest.approx(kept[:, 1])
        assert (finished[:, 0] - kept[:, 0]).min() > GRIND - 2e-5


def test_every_pose_draws_its_own_measures() -> None:
    """A dimension line is as long as what it reads."""
    for h in HS.values():
        for pose in (*sheet_of(h, SAW).poses, *plan(h)):
            for measure in pose.measures:
                path = measure.path
                long = np.linalg.norm(np.diff(path, axis=0), axis=1).sum()
                if measure.label == "quarter":
                    continue  # round the tube, drawn outside it
                assert long == pytest.approx(abs(measure.value), rel=1e-6, abs=1e-9), pose.title
