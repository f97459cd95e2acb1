"""The command line: exit status, one sentence for each mistake, never a traceback."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from exhaust import __main__ as command
from exhaust import __version__
from exhaust.job import load_job
from exhaust.sheet.content import chapters
from exhaust.tables import shipped

DEMO = shipped("data") / "jobs" / "v8-parallel-x.toml"
TEXT = DEMO.read_text(encoding="utf-8")
FILES = [
    *("cut-list.csv", "job-sheet.html", "job-sheet.pdf", "manifest.json", "results.json"),
    *("templates.dxf", "templates.pdf"),
]
MAKING = f"making {len(chapters(load_job(DEMO)))} pages\n"


class Said:
    """What one command said, run in this process."""

    def __init__(self, status: int, out: str, err: str) -> None:
        self.status, self.out, self.err = status, out, err

    @property
    def lines(self) -> list[str]:
        return self.err.splitlines()


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Any:
    def run(*arguments: object) -> Said:
        try:
            status = command.main([str(argument) for argument in arguments])
        except SystemExit as error:  # as argparse ends
            status = int(error.code or 0)
        said = Said(status, *capsys.readouterr())
        assert "Traceback" not in said.err
        return said

    return run


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "my.toml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def outside(arguments: Sequence[object], **options: Any) -> subprocess.CompletedProcess[str]:
    line = [sys.executable, "-m", "exhaust", *map(str, arguments)]
    return subprocess.run(line, capture_output=True, text=True, timeout=120, check=False, **options)


def test_check_says_that_a_job_is_sound(run: Any, job: Path) -> None:
    said = run("check", job)
    assert (said.status, said.err) == (0, "")
    assert said.out == f"{job} is sound: Demo V8, dual 3 in with a parallel X\n"


def test_check_lists_every_mistake_a_line_each(run: Any, job: Path) -> None:
    wrong = TEXT.replace("cylinders = 8", 'cylinders = "eight"').replace('"0.045 in"', "0.045")
    job.write_text(wrong)
    said = run("check", job)
    assert (said.status, said.out) == (2, "")
    assert said.lines == [
        "engine.cylinders must be a whole number (got 'eight')",
        'saw.kerf must be a length with a unit (got 0.045); write it like "3 in"',
    ]


def test_files_that_are_no_job_are_one_sentence(run: Any, tmp_path: Path) -> None:
    (tmp_path / "latin.toml").write_bytes('name = "Müller"'.encode("latin-1"))
    (tmp_path / "torn.toml").write_text("[job\n")
    for name, said in (
        ("none.toml", "there is no file"),
        (".", "is a folder"),
        ("latin.toml", "is not UTF-8 text (line 1)"),
        ("torn.toml", "is not sound TOML at line 1, column 5"),
    ):
        for arguments in (["check"], ["sheet", "--out", tmp_path / "out"]):
            found = run(arguments[0], tmp_path / name, *arguments[1:])
            assert found.status == 2
            assert len(found.lines) == 1
            assert said in found.err
    assert not (tmp_path / "out").exists()


def test_sheet_writes_the_folder_and_says_the_answers(run: Any, job: Path, tmp_path: Path) -> None:
    out = tmp_path / "deep" / "sheet"
    said = run("sheet", job, "--out", out)
    assert said.status == 0
    assert sorted(path.name for path in out.iterdir()) == FILES
    lines = said.out.splitlines()
    assert lines[0].startswith(
        f"Written to {out}: job-sheet.pdf, job-sheet.html, results.json, cut-list.csv"
    )
    assert [line.split(":")[0] for line in lines[1:4]] == ["Tube", "Merge", "Saw stop"]
    assert "0.840 in (27/32)" in lines[3]  # exact: 0.28 x 3 in, and 54/64 is nearest
    assert said.err == MAKING  # standard error is no terminal here
    again = run("sheet", job, "--out", out)
    assert again.status == 0
    assert again.out == said.out


def test_a_changed_sheet_is_not_overwritten(run: Any, job: Path, tmp_path: Path) -> None:
    out = tmp_path / "sheet"
    assert run("sheet", job, "--out", out).status == 0
    (out / "job-sheet.html").write_text("my notes")
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    said = run("sheet", job, "--out", out)
    assert said.status == 2
    assert len(said.lines) == 1, "refused before anything is computed"
    assert "job-sheet.html changed since exhaust wrote it" in said.err
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before


def test_out_that_is_a_file_or_missing_is_one_sentence(run: Any, job: Path) -> None:
    said = run("sheet", job, "--out", job)
    assert (said.status, len(said.lines)) == (2, 1)
    assert "is not a folder; choose another --out" in said.err
    assert job.read_text() == TEXT
    said = run("sheet", job)
    assert said.status == 2
    assert "the following arguments are required: -o/--out" in said.err


def test_a_full_disk_is_one_sentence(
    run: Any, job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    said = run("sheet", job, "--out", tmp_path / "sheet")
    assert said.status == 2
    assert "cannot be written (No space left on device); check the folder and the disk" in said.err
    assert not (tmp_path / "sheet").exists()


def test_an_answer_that_cannot_be_given_is_one_sentence(
    run: Any, job: Path, tmp_path: Path
) -> None:
    job.write_text(TEXT.replace('largest_od = "3-1/2 in"', 'largest_od = "2 in"'))
    said = run("sheet", job, "--out", tmp_path / "sheet")
    assert said.status == 2
    assert "none that fits" in said.err
    assert not (tmp_path / "sheet").exists()


def test_stopping_leaves_nothing_behind(
    run: Any, job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("exhaust.sheet.content.cut_page", stop)
    said = run("sheet", job, "--out", tmp_path / "sheet")
    assert said.status == 130
    assert not (tmp_path / "sheet").exists()


def test_new_copies_the_demo_and_the_copy_is_sound(run: Any, tmp_path: Path) -> None:
    folder = tmp_path / "a" / "mine"
    said = run("new", "--demo", folder)
    assert (said.status, said.err) == (0, "")
    names = set(command.demo_files())
    assert {"v8-parallel-x.toml", "01-size-the-pipe.ipynb", "lessons/1-gas-flow.ipynb"} <= names
    copied = (path for path in folder.rglob("*") if path.is_file())
    assert {path.relative_to(folder).as_posix() for path in copied} == names
    assert "lessons/1-gas-flow.ipynb" in said.out
    assert (folder / "v8-parallel-x.toml").read_text(encoding="utf-8") == TEXT
    jobs = sorted(folder.glob("*.toml"))
    assert all(run("check", job).status == 0 for job in jobs)
    assert f"exhaust sheet {jobs[0]} --out" in said.out


def test_new_overwrites_nothing(run: Any, tmp_path: Path) -> None:
    (tmp_path / "v8-parallel-x.toml").write_text("mine")
    said = run("new", "--demo", tmp_path)
    assert said.status == 2
    assert "holds v8-parallel-x.toml already and nothing is overwritten" in said.err
    assert [path.name for path in tmp_path.iterdir()] == ["v8-parallel-x.toml"]
    assert (tmp_path / "v8-parallel-x.toml").read_text() == "mine"


def test_new_into_a_file_is_one_sentence(run: Any, job: Path) -> None:
    for folder in (job, job / "under"):
        said = run("new", "--demo", folder)
        assert (said.status, len(said.lines)) == (2, 1)
        assert "cannot be" in said.err
    assert job.read_text() == TEXT


def test_new_takes_back_what_it_copied_when_it_fails(
    run: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    second = tmp_path / "source.ipynb"
    second.write_text("{}")
    found = {"a.toml": DEMO, "in/b.ipynb": second, "in/c.ipynb": tmp_path / "gone.ipynb"}
    monkeypatch.setattr(command, "demo_files", lambda: found)
    said = run("new", "--demo", tmp_path / "mine")
    assert said.status == 2
    assert len(said.lines) == 1
    assert not list((tmp_path / "mine").iterdir())


@pytest.mark.parametrize("name", ["check", "sheet", "new", "notebooks"])
def test_every_command_has_an_example_in_its_help(run: Any, name: str) -> None:
    said = run(name, "--help")
    assert said.status == 0
    assert f"exhaust {name} " in said.out
    assert "For example:" in said.out


def test_help_names_every_command(run: Any) -> None:
    said = run("--help")
    assert said.status == 0
    for name in ("check", "sheet", "new", "notebooks"):
        assert name in said.out
    assert run("--version").out == f"exhaust {__version__}\n"


@pytest.mark.parametrize("arguments", [[], ["chek", "x"], ["check"], ["check", "a", "b"], ["new"]])
def test_a_mistyped_command_ends_with_status_two(run: Any, arguments: list[str]) -> None:
    said = run(*arguments)
    assert said.status == 2
    assert "usage: exhaust" in said.err


def test_the_module_runs_from_outside(tmp_path: Path) -> None:
    done = outside(["new", "--demo", tmp_path / "mine"], cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    bad = tmp_path / "bad.toml"
    bad.write_text(TEXT.replace("lambda = 0.88", "lambda = nan"))
    done = outside(["check", bad])
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == "duty.lambda must be a finite number (got nan)\n"


def test_a_terminal_without_our_letters_is_no_mistake(tmp_path: Path) -> None:
    path = tmp_path / "my.toml"
    path.write_text(TEXT.replace("Demo V8", "Démo ²"), encoding="utf-8")
    done = outside(["check", path], env={**os.environ, "PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0
    assert "D?mo ?" in done.stdout


@pytest.mark.skipif(os.name != "posix", reason="signals as POSIX has them")
def test_ctrl_c_ends_with_130_and_leaves_no_part(tmp_path: Path) -> None:
    out = tmp_path / "sheet"
    line = [sys.executable, "-m", "exhaust", "sheet", str(DEMO), "--out", str(out)]
    running = subprocess.Popen(line, stderr=subprocess.PIPE, text=True)
    assert running.stderr is not None
    assert running.stderr.readline() == MAKING
    running.send_signal(signal.SIGINT)
    _, err = running.communicate(timeout=60)
    assert running.returncode == 130
    assert "Traceback" not in err
    assert not list(tmp_path.rglob("*.part"))
    assert not out.exists()


def test_the_manifest_matches_the_files_on_disk(run: Any, job: Path, tmp_path: Path) -> None:
    import hashlib

    assert run("sheet", job, "--out", tmp_path / "sheet").status == 0
    manifest = json.loads((tmp_path / "sheet" / "manifest.json").read_text())
    for name, expected in manifest["files"].items():
        data = (tmp_path / "sheet" / name).read_bytes()
        assert hashlib.sha256(data).hexdigest() == expected
