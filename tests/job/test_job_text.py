"""The job file as a text: malformed, unreadable, and written again as a working copy."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from demo_keys import DEMO, INCH, TEXT, edited

from exhaust import Tube
from exhaust.errors import ExhaustError, JobError
from exhaust.job import load_job, read_job, save_copy
from exhaust.job.text import LARGEST_FILE


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("schema = 1\nunits = \n", 2),
        ("schema = 1\nschema = 2\n", 2),
        ("schema = 1\n[job]\n[job]\n", 3),
        ('schema = 1\n[job]\nname = "open\n', 3),
        ("schema = 1\n[run\n", 2),
        ("= 3\n", 1),
        ("schema = 1\n[job]\nname = Bob\n", 3),
        ("\x00", 1),
        ("schema = [" + "[" * 5000, 1),
        ("schema = " + "1" * 5000, 1),
    ],
)
def test_malformed_toml_is_one_sentence_with_its_place(text: str, line: int) -> None:
    with pytest.raises(ExhaustError) as caught:
        read_job(text, Path("my.toml"))
    said = str(caught.value)
    assert said.startswith(f"my.toml is not sound TOML at line {line}, column ")
    assert "\n" not in said
    assert said.endswith("; mend that line")


def test_an_open_list_is_malformed_too() -> None:
    with pytest.raises(ExhaustError, match=r"^job.toml is not sound TOML at line \d+, column \d+:"):
        read_job("schema = 1\nx = [1, 2\n")


def test_files_that_cannot_be_read_are_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(ExhaustError, match=r"there is no file .*; check the name"):
        load_job(tmp_path / "none.toml")
    with pytest.raises(ExhaustError, match="is a folder; name the job file in it"):
        load_job(tmp_path)
    with pytest.raises(ExhaustError, match="cannot be read"):
        load_job(str(tmp_path / "a\0b"))
    with pytest.raises(ExhaustError, match="cannot be read"):
        load_job(DEMO / "under-a-file.toml")
    sixteen = tmp_path / "sixteen.toml"
    sixteen.write_bytes(TEXT.encode("utf-16"))
    with pytest.raises(ExhaustError, match=r"is not UTF-8 text \(line 1\); save it as UTF-8"):
        load_job(sixteen)
    huge = tmp_path / "huge.toml"
    huge.write_bytes(b"#" * (LARGEST_FILE + 1))
    with pytest.raises(ExhaustError, match="too large to be a job file"):
        load_job(huge)


def test_windows_line_ends_and_a_byte_order_mark_are_no_mistake(tmp_path: Path) -> None:
    path = tmp_path / "windows.toml"
    path.write_bytes(b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode())
    assert load_job(path).engine == load_job(DEMO).engine


def test_the_shelf_takes_another_material_and_otherwise_that_of_the_tube() -> None:
    other = {"od": "3 in", "wall": "16 ga", "material": "409"}
    job = read_job(edited({"tube.material": "321", "shelf.tubes": ["2.5 in x 16 ga", other]}))
    assert [tube.material for tube in job.tubes] == ["321", "409", "321"]


def test_a_return_clr_makes_the_return_bends() -> None:
    joint: Any = read_job(edited({"joint.return_clr": "3 in"})).system.joint
    assert joint.return_bend.clr == pytest.approx(3 * INCH)
    assert joint.return_bend.angle == joint.bend.angle


def test_a_working_copy_in_another_tube_keeps_comments_and_clr_over_od(tmp_path: Path) -> None:
    job = load_job(DEMO)
    smaller = Tube(od="2-1/2 in", wall="18 ga", material="321")
    path = save_copy(job, tmp_path / "copy.toml", smaller)
    text = path.read_text(encoding="utf-8")
    assert text.count("#") == TEXT.count("#")
    assert "# centreline radius, 1.5 times the tube" in text
    copy = load_job(path)
    assert copy.system.tube == smaller
    turned = job.system.with_tube(smaller)
    for one, other in zip(copy.system.runs, turned.runs, strict=True):
        assert [bend.clr for bend in one.bends] == pytest.approx([b.clr for b in other.bends])
        assert one.length == other.length
    joint: Any = copy.system.joint
    assert joint.bend.clr == pytest.approx(1.5 * 2.5 * INCH)
    assert joint.spacing == pytest.approx(10.5 * INCH)
    assert copy.engine == job.engine
    changed = [a for a, b in zip(TEXT.splitlines(), text.splitlines(), strict=True) if a != b]
    # od, wall, material, [bend] clr, the clr of one run's bends, the metal of what is on hand
    assert len(changed) == 6


def test_a_metric_working_copy_is_written_in_millimetres(tmp_path: Path) -> None:
    job = read_job(TEXT.replace('units = "inch"', 'units = "metric"'))
    text = save_copy(job, tmp_path / "copy.toml", Tube(od="70 mm", wall="1.5 mm")).read_text()
    assert 'od = "70 mm"' in text
    assert 'wall = "1.5 mm"' in text
    assert 'clr = "105 mm"' in text


def test_a_working_copy_never_overwrites(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text("mine")
    with pytest.raises(ExhaustError, match="is there already and is not overwritten"):
        save_copy(load_job(DEMO), path)
    assert path.read_text() == "mine"
    with pytest.raises(ExhaustError, match="cannot be written"):
        save_copy(load_job(DEMO), tmp_path / "none" / "copy.toml")
    assert [one.name for one in tmp_path.iterdir()] == ["mine.toml"]


def test_a_working_copy_that_cannot_be_made_writes_nothing(tmp_path: Path) -> None:
    with pytest.raises(JobError, match=r"joint.spacing must be at least"):
        save_copy(load_job(DEMO), tmp_path / "copy.toml", Tube(od="9 in", wall="16 ga"))
    assert not list(tmp_path.iterdir())


def test_a_plain_working_copy_is_the_same_text(tmp_path: Path) -> None:
    assert save_copy(load_job(DEMO), tmp_path / "copy.toml").read_bytes() == DEMO.read_bytes()


@pytest.mark.parametrize(
    ("shelf", "count"),
    [(["3 in x 16 ga"], 1), (["76.2 mm x 1.651 mm"], 1), (["2.5 in x 16 ga"], 2)],
)
def test_the_jobs_own_tube_is_weighed_however_it_is_typed(shelf: list[str], count: int) -> None:
    assert len(read_job(edited({"shelf.tubes": shelf})).tubes) == count


def test_a_demo_job_is_found_by_its_name_unless_there_is_such_a_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert load_job("v8-parallel-x.toml").path.parent.name == "jobs"
    with pytest.raises(ExhaustError, match="there is no file"):
        load_job("elsewhere/v8-parallel-x.toml")
    (tmp_path / "v8-parallel-x.toml").write_text("schema = 1")
    with pytest.raises(ExhaustError, match="units"):
        load_job("v8-parallel-x.toml")
