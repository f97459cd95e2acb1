"""The sheet's folder beside a notebook: written again, and never over what somebody changed."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest

from exhaust import Answers, keep_choice, load_job, save_sheet_here
from exhaust.sheet.folder import MANIFEST, NAMES
from exhaust.sheet.here import WHAT
from exhaust.tables import shipped


@pytest.fixture(scope="module")
def answers() -> Answers:
    return Answers(load_job("v6-h-pipe.toml"))


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "temporary"))
    (tmp_path / "temporary").mkdir()


def test_every_file_that_is_written_is_explained() -> None:
    assert set(WHAT) == {*NAMES, MANIFEST}


def test_it_is_written_anew_unless_it_was_changed(answers: Answers) -> None:
    first = save_sheet_here(answers)
    assert first.folder == Path.cwd() / "v6-h-pipe-sheet"
    assert {path.name for path in first.files} == {path.name for path in first.folder.iterdir()}
    assert save_sheet_here(answers).folder == first.folder
    noted = first.folder / "cut-list.csv"
    noted.write_text("mine")
    second = save_sheet_here(answers)
    assert second.folder.name == "v6-h-pipe-sheet-2"
    assert noted.read_text() == "mine"
    assert "v6-h-pipe-sheet-2" in repr(second)
    assert "<b>templates.pdf</b>" in second._repr_html_()


def test_a_working_copy_has_the_folder_of_its_job_and_the_package_keeps_clean(
    answers: Answers, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = load_job(keep_choice(answers.job).path)
    monkeypatch.chdir(shipped("notebooks"))
    before = sorted(Path().iterdir())
    found = save_sheet_here(Answers(copy)).folder
    assert found.name == "v6-h-pipe-sheet"
    assert found.is_relative_to(tempfile.gettempdir())
    assert sorted(Path().iterdir()) == before
