"""The form without a browser: its widgets are set as a user sets them, and read as one reads.

Invariants: opened and saved is byte for byte the same; one field changed is one line changed; the
sentence beside a box is the one that the command line prints for the same file.
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from form_hands import FOUR, V6, V8, opened, typed, words

from exhaust import __main__ as command
from exhaust.form import JobForm, gas_flow, job_form
from exhaust.form.filling import OWN
from exhaust.job import load_job
from exhaust.tables import shipped

DEMOS = sorted((shipped("data") / "jobs").glob("*.toml"))


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


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
    typed(inch, "tube", "2-1/2 x 16 ga")
    assert inch.rows["tube"].box.value == "2-1/2 in x 16 ga"
    typed(metric, "tube", "63.5×1.5")
    assert metric.rows["tube"].box.value == "63.5 mm x 1.5 mm"
    typed(metric, "tube", "60 x 1.5")
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
    beside = DEMOS[0].with_name("mine-that-must-not-be.toml")
    form.name.value = str(beside)
    try:
        form.save.click()
        assert "came with the package" in words(form.said)
        assert not beside.exists()
    finally:
        beside.unlink(missing_ok=True)
    form.name.value = "mine.txt"
    form.save.click()
    assert "must end in .toml" in words(form.said)


@pytest.mark.parametrize("name", ["a\0.toml", "x" * 300 + ".toml", "no/such/folder/a.toml"])
def test_a_name_that_no_file_can_have_is_told_in_words(name: str) -> None:
    form = job_form(V8)
    form.name.value = name
    form.save.click()
    assert "cannot be written" in words(form.said)
    form.choose.value = OWN
    form.own.value = name
    assert re.search("there is no file|cannot be read", words(form.missing))
    assert form.draft.sound


def test_a_file_that_is_no_job_leaves_the_form_as_it_was() -> None:
    form = job_form(V8)
    Path("list.toml").write_text("root:x:0", encoding="utf-8")
    form.choose.value = OWN
    form.own.value = "list.toml"
    assert "list.toml is not sound TOML at line 1, column 5" in words(form.missing)
    assert form.draft.text == load_job(V8).text


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
    Path("own.toml").write_text(load_job(FOUR).text.replace("2.0 L", "two"), encoding="utf-8")
    form.choose.value = OWN
    form.own.value = "own.toml"
    assert form.job is None
    assert "engine.displacement must be a volume" in words(form.rows["engine.displacement"].beside)
    typed(form, "engine.displacement", "2.0")
    assert form.job is not None
    assert form.job.engine.cylinders == 4
    form.own.value = "nowhere.toml"
    assert "there is no file nowhere.toml" in words(form.missing)


def test_a_new_job_is_the_file_that_the_command_line_starts_from_five_answers() -> None:
    form = job_form(V8)
    shown = gas_flow(form)
    form.choose.value = "metric"
    assert form.job is None
    assert shown.children[-1].layout.display == "none"
    assert "answers to go, 5" in words(form.status)
    assert "for example 5.1 L" in words(form.rows["engine.displacement"].beside)
    form.save.click()
    assert "answers are missing (got 0 of 5)" in words(form.said)
    answers = {
        "engine.displacement": ("2.0", "displacement", "2.0 L"),
        "engine.cylinders": ("4", "cylinders", "4"),
        "duty.speed": ("6500", "speed", "6500 rpm"),
        "engine.fuel": ("E85", "fuel", "E85"),
        "tube": ("60 x 1.5", "tube", "60 mm x 1.5 mm"),
    }
    typed(form, "engine.cylinders", "four")
    assert "must be a whole number (got 'four')" in words(form.rows["engine.cylinders"].beside)
    for place, (text, _, _) in answers.items():
        typed(form, place, text)
    assert form.draft.sound
    said = [f"--{name}={answer}" for _, name, answer in answers.values()]
    assert command.main(["new", "my-job.toml", *said]) == 0
    assert form.draft.text == Path("my-job.toml").read_text(encoding="utf-8")
    assert form.job is not None
    assert form.job.system.tube.name == "60 mm x 1.5 mm"
    assert "g/s" in words(shown.children[-1].children[0])
    typed(form, "duty.speed", "7000")
    assert form.job.duty.speed == pytest.approx(7000 * np.pi / 30)


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
