"""Figures add nothing: what is written in them is what the results say."""

from __future__ import annotations

import numpy as np
import pytest

from exhaust import (
    Bend,
    Engine,
    OperatingPoint,
    ParallelX,
    PortReading,
    PortReadings,
    Run,
    Saw,
    System,
    Tube,
    compare_measured,
    compare_merges,
    compare_tubes,
    cut_sheet,
    fit_up,
    plots,
    published_checks,
    show,
    stock_plan,
)
from exhaust.cutmath.plan import plan

TUBE = Tube(od="3 in", wall="16 ga")
BEND = Bend(TUBE, clr="4.5 in")
X = ParallelX(BEND, cutback=0.28, spacing="10.5 in")
SYSTEM = System(runs=[Run(name="tail", tube=TUBE, length="4 m", loss=2.2)], pipes=2)
ENGINE = Engine(displacement="5.1 L", cylinders=8)
DUTY = OperatingPoint(speed="6200 rpm", volumetric_efficiency=0.92, lambda_=0.88)


def words(picture: plots.Picture) -> str:
    return "\n".join(
        text.get_text() for axes in picture.figure.axes for text in (*axes.texts, axes.title)
    )


@pytest.mark.parametrize("system", show.SYSTEMS)
def test_a_pose_carries_its_settings_in_shop_units(system: show.System) -> None:
    with show.shown_in(system):
        sheet = cut_sheet(X, Saw(kerf="1.1 mm"))
        said = " ".join(words(plots.pose(sheet.poses[0])).split())
        assert f"stop to far face {show.cut_length(X.cut_depth)}" in said
        assert f"opening {show.cut_length(X.opening_length)}" in said
        assert "metric" not in said


def test_every_pose_is_drawn_at_one_scale_both_ways() -> None:
    for pose in cut_sheet(X, Saw(kerf="1.1 mm")).poses:
        (axes,) = plots.pose(pose).figure.axes
        assert axes.get_aspect() == 1.0


def test_a_dimension_line_is_as_long_as_it_reads() -> None:
    straight = [m for p in cut_sheet(X, Saw(kerf="1.1 mm")).poses for m in p.measures]
    for measure in straight:
        steps = np.diff(measure.path, axis=0)
        drawn = float(np.hypot(*steps.T).sum())
        off_the_work = 1.06 if "round" in measure.label else 1.0  # an arc stands off the heel
        assert drawn == pytest.approx(measure.value * off_the_work, rel=0.01), measure.label


def test_the_comparisons_name_every_option_and_mark_the_choice() -> None:
    tubes = compare_tubes(SYSTEM, ENGINE, DUTY)
    left, right = plots.tube_comparison(tubes).figure.axes
    names = [label.get_text() for label in left.get_yticklabels()]
    assert names == [one.tube.name for one in tubes.options if not one.choked]
    bold = [label.get_text() for label in left.get_yticklabels() if label.get_weight() == "bold"]
    assert bold == [tubes.choice.name]
    said = [text.get_text().rstrip(" →") for text in right.texts]
    assert said == [show.number(one.back_pressure, "pressure") for one in tubes.options]
    merges = compare_merges(SYSTEM, ENGINE, DUTY)
    left, _ = plots.merge_comparison(merges).figure.axes
    said = [text.get_text().rstrip(" →") for text in left.texts]
    assert said == [show.number(one.power_cost.middle, "percent") for one in merges.options]


@pytest.mark.parametrize("system", show.SYSTEMS)
def test_the_figure_of_the_fit_has_a_bar_for_each_error_that_counts(system: show.System) -> None:
    with show.shown_in(system):
        answer = fit_up(X, Saw(kerf="1.1 mm"), samples=16)
        (axes,) = plots.fit_shares(answer).figure.axes
        seen = [one for one in answer.effects if one.gap > 1e-4]
        said = [text.get_text() for text in axes.texts]
        assert said == [show.number(one.gap, "tube") for one in seen]
        names = [label.get_text() for label in axes.get_yticklabels()]
        assert len(names) == len(seen) + len(answer.seams)
        scale = show.style("tube").scale
        assert [bar.get_width() for bar in axes.patches] == [
            pytest.approx(one.gap / scale) for one in seen
        ]


def test_the_same_figure_is_the_same_bytes() -> None:
    pictures = [plots.joint_plan(X)[0] for _ in range(2)]
    assert pictures[0].svg() == pictures[1].svg()
    assert pictures[0]._repr_png_() == pictures[1]._repr_png_()
    assert pictures[0]._repr_png_().startswith(b"\x89PNG")


@pytest.mark.parametrize("system", show.SYSTEMS)
def test_drawings_side_by_side_fit_the_paper_and_are_of_one_height(system: show.System) -> None:
    """A4 between its margins is 182 mm; drawings are shrunk to 0.8 on the sheet."""
    with show.shown_in(system):
        for poses in (plan(X), cut_sheet(X, Saw(kerf="1.1 mm")).steps[1].poses):
            pictures = plots.side_by_side(poses)
            boxes = [one.figure.get_tightbbox() for one in pictures]
            wide = sum(float(box.width) for box in boxes)
            assert 0.8 * (wide + 0.25) * 25.4 < 182.0
            assert len({round(one.figure.get_figheight(), 6) for one in pictures}) == 1


def test_stock_is_drawn_to_scale_with_every_mark() -> None:
    """A box for every cut of a tube as long as the cut, one dashed for what is left of it."""
    runs = [Run(name="tail", tube=TUBE, length="4 m", bends=[BEND.with_(angle="60 deg")])]
    plan = stock_plan(System(runs=runs, pipes=2), Saw(kerf="1.1 mm"))
    picture = plots.stock_cuts(plan)
    tubes, bends = picture.figure.axes
    wide = sorted(patch.get_width() for patch in tubes.patches)  # type: ignore[attr-defined]
    whole = [one for one in plan.opened if isinstance(one.stock, Tube)]
    lengths = [cut.length for one in whole for cut in one.cuts] + [one.left for one in whole]
    assert wide == pytest.approx(sorted(lengths), abs=1e-9)
    turned = [patch.theta2 - patch.theta1 for patch in bends.patches]  # type: ignore[attr-defined]
    assert turned == pytest.approx([60.0, 30.0])  # two alike are drawn once
    said = words(picture)
    assert said.count("1a") == 4
    assert "2 x 90°" in said
    assert "3 in x 16 ga, 20.0 ft, buy" in said


def test_every_published_value_has_its_dot_and_what_differs_an_open_one() -> None:
    answer = published_checks("miller", "iso80000")
    (axes,) = plots.published_differences(answer).figure.axes
    dots = [line for line in axes.lines if line.get_marker() == "o"]
    assert [line.get_xdata()[0] for line in dots] == [one.of_tolerance for one in answer.checks]
    hollow = [line.get_markerfacecolor() == "white" for line in dots]
    assert hollow == [not one.agrees for one in answer.checks]
    assert [label.get_text() for label in axes.get_yticklabels()] == ["miller (17)", "iso80000 (2)"]


def test_readings_are_drawn_where_they_were_read_over_the_band() -> None:
    read = [
        PortReading(speed=f"{speed} rpm", back_pressure_gauge=f"{pressure} psi")
        for speed, pressure in ((4000, 0.62), (6000, 1.45))
    ]
    readings = PortReadings(readings=read, gauge_accuracy="0.1 psi")
    answer = compare_measured(SYSTEM, ENGINE, DUTY, readings)
    (axes,) = plots.measured_back_pressure(answer).figure.axes
    points = next(line for line in axes.lines if line.get_marker() == "o")
    assert points.get_xdata() == pytest.approx([4000, 6000])
    assert points.get_ydata() == pytest.approx([0.62, 1.45])
    band = axes.collections[0].get_datalim(axes.transData)
    last = answer.points[-1].predicted
    assert band.y1 == pytest.approx(last.high / 6894.757)
    assert answer.choice is not None
    dashed = next(line for line in axes.lines if line.get_linestyle() == "--")
    assert dashed.get_ydata() == pytest.approx(answer.choice.pressures / 6894.757)
