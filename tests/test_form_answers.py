"""What follows from the form, without a browser: gas, tube, joint and saw, each kept up to date."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from form_hands import FOUR, V6, V8, typed, words
from PIL import Image

from exhaust import show
from exhaust.form import JobForm, gas_flow, job_form, saw_settings
from exhaust.form.draft import Draft
from exhaust.form.live import Live, cut_sheet_of
from exhaust.form.picks import JointPick, TubePick
from exhaust.job import load_job, read_job


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture(scope="module")
def v8() -> JobForm:
    return job_form(V8)


def test_the_gas_follows_the_form() -> None:
    form = job_form(V8)
    shown = gas_flow(form).children[-1].children[0]
    assert "38.7 lb/min" in words(shown)
    typed(form, "duty.speed", "3100")
    assert "19.3 lb/min" in words(shown)  # exact: flow goes with speed
    typed(form, "duty.speed", "fast")
    assert "19.3 lb/min" in words(shown)


def picture(widget: Any) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(widget.value)).convert("RGB"), int)


def marks(widget: Any) -> float:
    """Where the blue of the marks is in the figure: the mean column over the width.

    In each of the three panels a dot stands on an upright line: all of it in a narrow strip.
    """
    pixels = picture(widget)
    blue = (abs(pixels - np.array([0x1F, 0x5A, 0x8C])).sum(axis=2) < 30).nonzero()[1]
    wide = pixels.shape[1]
    strips = np.split(np.unique(blue), np.flatnonzero(np.diff(np.unique(blue)) > 1) + 1)
    assert len(strips) == 3
    assert all(8 < len(strip) < 0.02 * wide for strip in strips)
    return float(blue.mean()) / wide


def test_the_tube_slider_tells_each_tube_and_can_be_taken(v8: JobForm) -> None:
    pick = TubePick(v8)
    assert v8.job is not None
    assert pick.slider.options == tuple(tube.name for tube in v8.job.tubes)
    assert pick.slider.value == v8.job.system.tube.name
    seen = []
    for index, tube in enumerate(v8.job.tubes):
        pick.slider.index = index
        assert words(pick.words).strip().startswith(f"{tube.name}: ")
        seen.append(marks(pick.figure))
    assert seen == sorted(seen)
    assert len(set(seen)) == len(seen)
    pick.slider.index = 1
    pick.take.click()
    assert v8.job.system.tube.name == "2-3/4 in x 16 ga"
    assert v8.rows["tube"].box.value == "2-3/4 in x 16 ga"


def test_the_cutback_slider_follows_and_can_be_taken() -> None:
    form = job_form(V8)
    pick = JointPick(form)
    assert "parallel X of the job: fits" in pick.which.options[0][0]
    at = pick.slider.index
    before = marks(pick.figure)
    assert pick.slider.value == "0.28"
    pick.slider.index = at + 5
    assert "0.330" in words(pick.words)
    assert marks(pick.figure) > before
    pick.take.click()
    assert "cutback = 0.33 " in form.draft.text
    assert form.job is not None
    assert form.job.system.joint == pick.joint


def test_another_joint_can_be_built_in_its_place() -> None:
    form = job_form(V8)
    pick = JointPick(form)
    names = [name for name, _ in pick.which.options]
    assert len([name for name in names if name.startswith("H, ")]) >= 2
    pick.which.value = 1
    assert "balance tube" in words(pick.words)
    assert pick.slider.layout.display == "none"
    pick.take.click()
    assert form.job is not None
    assert 'kind = "H pipe"' in form.draft.text
    assert read_job(form.draft.text).system.joint == form.job.system.joint
    own = job_form(V6)
    assert own.job is not None
    other = JointPick(own)
    other.which.value = 1
    other.take.click()
    assert own.job.system.joint.balance_tube != load_job(V6).system.joint.balance_tube  # type: ignore[union-attr]


def test_the_saw_settings_are_those_of_the_joint() -> None:
    form = job_form(V8)
    assert form.job is not None
    body = saw_settings(form).children[-1]
    shown, fold = body.children
    assert "Slice the heel" in words(shown)
    assert "respirator" in words(shown)
    fold.selected_index = 0
    drawings = fold.children[0].children
    assert len(drawings) == len(cut_sheet_of(form.job).poses)
    depth = cut_sheet_of(form.job).joint.cut_depth  # type: ignore[attr-defined]
    assert show.number(depth, "cut", "inch") in words(shown)
    typed(form, "joint.cutback", "0.3")
    assert "0.900 in" in words(shown)  # exact: 0.3 of 3 in


def test_what_cannot_be_worked_out_is_told_in_words() -> None:
    form = job_form(V8)
    body = saw_settings(form)
    note = body.children[-2]
    text = form.draft.text
    start, end = text.index("# Two bends back to back"), text.index("# The bandsaw.")
    Path("straight.toml").write_text(text[:start] + text[end:], encoding="utf-8")
    form.open(Draft.opened("straight.toml"))
    assert "the job has no joint to saw" in words(note)
    assert body.children[-1].layout.display == "none"
    form.choose.value = V6
    assert words(note).strip() == ""
    assert "balance tube" in words(body.children[-1].children[0])


def test_an_answer_is_worked_out_again_only_when_what_it_depends_on_changes() -> None:
    form = job_form(V8)
    worked: list[str] = []
    Live(form, lambda job: (job.engine,), lambda job: worked.append(job.name)).start()
    typed(form, "job.customer", "Another customer")
    typed(form, "duty.speed", "6000")
    assert len(worked) == 1
    typed(form, "engine.cylinders", "8")
    typed(form, "engine.compression_ratio", "11")
    assert len(worked) == 2


@pytest.mark.parametrize("demo", [V6, FOUR])
def test_every_demo_job_is_answered(demo: str) -> None:
    """None is left waiting or refused; the V8 is in the other tests."""
    form = job_form(demo)
    assert form.job is not None
    pick = JointPick(form)
    for made in (gas_flow(form), TubePick(form).widget, pick.widget, saw_settings(form)):
        note, body = made.children[-2:]
        assert words(note).strip() == ""
        assert body.layout.display != "none"
    assert bool(pick.sliced) is (demo == FOUR)
    assert pick.joint == form.job.system.joint
    typed(form, "joint.spacing", "305" if demo == V6 else "115")
    assert form.draft.sound
    assert pick.joint == form.job.system.joint
