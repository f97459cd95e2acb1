"""The form without a browser: its widgets are set as a user sets them, and read as one reads.

Invariants: opened and saved is byte for byte the same; one field changed is one line changed; the
sentence beside a box is the one that the command line prints for the same file.
"""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from exhaust import __main__ as command
from exhaust import show
from exhaust.form import JobForm, gas_flow, job_form, saw_settings
from exhaust.form.draft import Draft
from exhaust.form.filling import NEW, OWN
from exhaust.form.live import Live, cut_sheet_of
from exhaust.form.picks import JointPick, TubePick
from exhaust.job import load_job, read_job
from exhaust.tables import shipped

DEMOS = sorted((shipped("data") / "jobs").glob("*.toml"))
V8, V6, FOUR = "v8-parallel-x.toml", "v6-h-pipe.toml", "inline-four-y-merge.toml"


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def opened(form: JobForm, section: str) -> None:
    """Unfold a section, as by a click on its title."""
    form.rest.selected_index = list(form.draft.sections).index(section)


def typed(form: JobForm, place: str, text: str) -> None:
    if place not in form.rows:
        opened(form, place.rpartition(".")[0])
    form.rows[place].box.value = text


def words(widget: Any) -> str:
    """What can be read in an HTML widget."""
    import html

    return html.unescape(re.sub(r"<style>.*?</style>|<[^>]+>", " ", widget.value, flags=re.DOTALL))


def saved(form: JobForm, name: str = "mine.toml") -> str:
    form.name.value = name
    form.save.click()
    assert "Saved as" in words(form.said), words(form.said)
    return Path(name).read_bytes().decode("utf-8")


@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.stem)
def test_opened_and_saved_is_the_same_byte_for_byte(demo: Path) -> None:
    form = job_form(demo.name)
    for section in form.draft.sections:
        opened(form, section)
    form.name.value = "mine.toml"
    form.save.click()
    assert Path("mine.toml").read_bytes() == demo.read_bytes()


@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.stem)
def test_one_field_changed_is_one_line_changed(demo: Path) -> None:
    form = job_form(demo.name)
    typed(form, "duty.speed", "6000")
    typed(form, "saw.kerf", "1.2 mm")
    before, after = demo.read_text().splitlines(), saved(form).splitlines()
    assert len(before) == len(after)
    changed = [new for old, new in zip(before, after, strict=True) if old != new]
    assert changed == ['speed = "6000 rpm"', 'kerf = "1.2 mm"']
    assert form.job is not None
    assert form.job.duty.speed == pytest.approx(6000 * np.pi / 30)


def test_five_things_are_asked_first_and_the_rest_is_folded_away() -> None:
    form = job_form()
    asked = ["engine.displacement", "engine.cylinders", "duty.speed", "engine.fuel", "tube"]
    assert list(form.rows) == asked
    assert form.fold.selected_index is None
    opened(form, "saw")
    assert form.rows["saw.largest_angle"].box.value == "45 deg"
    opened(form, "tolerances")
    assert form.rows["tolerances.halving"].box.placeholder == "usual: 0.5 deg"


def test_a_bare_number_gets_the_unit_beside_its_box() -> None:
    inch, metric = job_form(V8), job_form(V6)
    for form, unit, said in ((inch, "in³", "350 in^3"), (metric, "L", "350 L")):
        assert unit in words(form.rows["engine.displacement"].beside)
        typed(form, "engine.displacement", "350")
        assert form.rows["engine.displacement"].box.value == said
    typed(inch, "bend.clr", "4-1/2")
    assert 'clr = "4-1/2 in"' in inch.draft.text
    typed(metric, "bend.clr", "90")
    assert metric.draft.text == job_form(V6).draft.text.replace("3.5 L", "350 L")


WRONG = {
    "engine.displacement": "4 bananas",
    "engine.cylinders": "eight",
    "engine.firing_order": "1-8-4",
    "engine.compression_ratio": "3",
    "duty.speed": "fast",
    "duty.lambda": "0,88",
    "duty.volumetric_efficiency": "92",
    "duty.gas_temperature": "20 degC",
    "ambient.humidity": "50 %",
    "tube.od": "3 candela",
    "tube.wall": "2 in",
    "bend.clr": "-4.5",
    "joint.cutback": "1.2",
    "joint.gap": "3",
    "saw.kerf": "",
    "saw.angle_step": "20 deg",
    "room.width": "1",
    "run 1.length": "<b>long</b>",
    "run 2.to": "nowhere",
    "shelf.tubes": "3 in, 4 in x 16 ga",
    "sensor 1.distance": "60 ft",
    "limits.worth_having": "nan",
    "job.name": "",
}


@pytest.mark.parametrize("place", WRONG)
def test_a_wrong_entry_is_told_in_the_words_of_the_command_line(
    place: str, capsys: pytest.CaptureFixture[str]
) -> None:
    form = job_form(V8)
    typed(form, place, WRONG[place])
    text = form.draft.text
    assert not form.draft.sound
    Path("wrong.toml").write_text(text, encoding="utf-8")
    assert command.main(["check", "wrong.toml"]) == 2
    sentences = capsys.readouterr().err.splitlines()
    shown = " ".join(words(row.beside) for row in form.rows.values()) + words(form.status)
    for sentence in sentences:
        assert sentence in shown
    if place != "saw.kerf":
        own = [one for one in sentences if one.startswith(f"{place} ")]
        assert own == [one for one in own if one in words(form.rows[place].beside)]
    kept = form.rows[place].box.value
    assert kept.startswith(WRONG[place]) or place == "engine.firing_order"
    form.name.value = "mine.toml"
    form.save.click()
    assert not Path("mine.toml").exists()
    assert sentences[0] in words(form.said)


def test_what_is_typed_or_read_is_never_taken_for_html() -> None:
    bad = "<img src=x onerror=alert(1)>"
    form = job_form(V8)
    typed(form, "engine.displacement", bad)
    typed(form, "job.name", bad)
    typed(form, "run 1.length", bad)
    form.name.value = f"{bad}.toml"
    form.save.click()
    text = form.draft.text.replace("# the whole engine", f"# {bad}")
    Path("bad.toml").write_text(text, encoding="utf-8")
    other = job_form("bad.toml")
    opened(other, "run 1")
    for one in (form, other):
        for shown in (one.status, one.said, *(row.beside for row in one.rows.values())):
            assert "<img" not in shown.value


def test_a_wrong_entry_mended_is_sound_again_and_its_comment_is_still_there() -> None:
    form = job_form(V8)
    typed(form, "engine.displacement", "4 bananas")
    assert "1 to mend" in words(form.status)
    assert form.job is not None
    assert form.job.engine.displacement == pytest.approx(311 * 0.0254**3)
    assert "still the job from before" in words(form.stale)
    typed(form, "engine.displacement", "")
    typed(form, "engine.displacement", "5.0 L")
    assert form.job.engine.displacement == pytest.approx(0.005)
    assert words(form.stale).strip() == ""
    assert re.search(r'displacement = "5.0 L" +# the whole engine, 5.1 L', form.draft.text)
    typed(form, "engine.displacement", "311 in^3")
    assert form.draft.text == load_job(V8).text


def test_the_tube_is_changed_wherever_the_file_says_it() -> None:
    """The merge's legs stay; what follows it, and its outlet, are the tube that is asked for."""
    form = job_form(FOUR)
    assert form.rows["tube"].box.value == "60 mm x 1.5 mm"
    typed(form, "tube", "63.5 mm x 1.5 mm")
    assert form.job is not None
    assert form.job.system.tube.od == pytest.approx(0.0635)
    assert form.job.tube.od == pytest.approx(0.048)
    assert 'tube = "63.5 mm x 1.5 mm"' in form.draft.text
    assert form.rows["tube"].box.value == "63.5 mm x 1.5 mm"


def test_a_wrong_tube_is_kept_in_its_box_and_not_in_the_file() -> None:
    form = job_form(V8)
    typed(form, "tube", "4 bananas")
    said = "tube must be a tube, its od x its wall (got '4 bananas'); write it like "
    assert said in words(form.rows["tube"].beside)
    assert form.rows["tube"].box.value == "4 bananas"
    assert form.draft.text == load_job(V8).text
    form.save.click()
    assert said in words(form.said)
    typed(form, "tube", "3-1/2 in x 16 ga")
    assert form.draft.sound
    assert form.job is not None
    assert form.job.system.tube.name == "3-1/2 in x 16 ga"


def test_a_tube_waits_until_the_rest_is_sound() -> None:
    form = job_form(V8)
    typed(form, "engine.cylinders", "eight")
    typed(form, "tube", "2-3/4 in x 16 ga")
    assert "taken in once the rest is sound" in words(form.rows["tube"].beside)
    typed(form, "engine.cylinders", "8")
    assert form.draft.sound
    assert form.job is not None
    assert form.job.system.tube.name == "2-3/4 in x 16 ga"


def test_nothing_is_written_over_unasked_nor_among_the_files_of_the_package() -> None:
    form = job_form(V8)
    Path("mine.toml").write_text("mine")
    form.name.value = "mine.toml"
    form.save.click()
    assert "is there already and is not overwritten" in words(form.said)
    assert Path("mine.toml").read_text() == "mine"
    form.over.value = True
    form.save.click()
    assert Path("mine.toml").read_text(encoding="utf-8") == load_job(V8).text
    assert form.over.value is False
    form.name.value = str(DEMOS[0])
    form.over.value = True
    form.save.click()
    assert "came with the package" in words(form.said)
    form.name.value = "mine.txt"
    form.save.click()
    assert "must end in .toml" in words(form.said)


def test_the_job_is_kept_for_the_next_notebook() -> None:
    form = job_form(V8)
    typed(form, "duty.speed", "6000")
    form.keep.click()
    assert 'job_file = "v8-parallel-x-working.toml"' in words(form.said)
    assert load_job("v8-parallel-x-working.toml").duty.speed == pytest.approx(6000 * np.pi / 30)
    typed(form, "duty.speed", "fast")
    form.keep.click()
    assert "has to be mended first" in words(form.said)


def test_demo_jobs_new_jobs_and_files_of_ones_own_are_chosen_from_a_list() -> None:
    form = job_form(V8)
    form.choose.value = V6
    assert form.job is not None
    assert form.job.name == load_job(V6).name
    form.choose.value = "metric"
    assert form.job.units == "metric"
    assert set(NEW) == {"inch", "metric"}
    assert form.rows["engine.displacement"].box.value == "5.1 L"
    Path("own.toml").write_text(load_job(FOUR).text.replace("2.0 L", "two"), encoding="utf-8")
    form.choose.value = OWN
    form.own.value = "own.toml"
    assert form.job is None
    assert "engine.displacement must be a volume" in words(form.rows["engine.displacement"].beside)
    typed(form, "engine.displacement", "2.0")
    assert form.job is not None
    assert form.job.engine.cylinders == 4
    form.own.value = "nowhere.toml"
    assert "there is no file nowhere.toml" in words(form.said)


def test_a_key_that_the_joint_does_not_have_can_be_taken_out() -> None:
    form = job_form(V8)
    typed(form, "joint.kind", "H pipe")
    assert "joint.cutback is not a key of joint" in words(form.rows["joint.cutback"].beside)
    typed(form, "joint.cutback", "")
    assert form.draft.sound
    typed(form, "joint.kind", "parallel X")
    typed(form, "joint.cutback", "0.28")
    assert form.draft.text == load_job(V8).text


def test_a_new_section_is_made_by_its_first_entry() -> None:
    form = job_form(FOUR)
    typed(form, "tolerances.depth", "0.4")
    assert saved(form).endswith('\n[tolerances]\ndepth = "0.4 mm"\n')


# What follows from the form.


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
    """Where the blue of the marks is in the figure: the mean column over the width."""
    pixels = picture(widget)
    blue = (abs(pixels - np.array([0x1F, 0x5A, 0x8C])).sum(axis=2) < 30).nonzero()[1]
    assert len(blue) > 200
    return float(blue.mean()) / pixels.shape[1]


def test_the_tube_slider_tells_each_tube_and_can_be_taken(v8: JobForm) -> None:
    pick = TubePick(v8)
    assert v8.job is not None
    assert pick.slider.options == tuple(tube.name for tube in v8.job.tubes)
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
