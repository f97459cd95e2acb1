"""`exhaust new` and `exhaust notebooks`: what is asked, what is written, what is opened."""

from __future__ import annotations

import builtins
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from test_command_line import run as run  # the fixture

from exhaust import __main__ as command
from exhaust.asked import QUESTIONS
from exhaust.job import load_job

ANSWERS = {
    "displacement": "5.1 L",
    "cylinders": "8",
    "speed": "6200 rpm",
    "fuel": "gasoline",
    "tube": "3 in x 16 ga",
}
OPTIONS = [word for name, answer in ANSWERS.items() for word in (f"--{name}", answer)]


@pytest.fixture
def typing(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Return a function that makes `input` answer one line after the other, then nothing."""

    def typing(*lines: str) -> list[str]:
        asked: list[str] = []
        left: Iterator[str] = iter(lines)

        def answer(prompt: str = "") -> str:
            asked.append(prompt)
            try:
                return next(left)
            except StopIteration:
                raise EOFError from None

        monkeypatch.setattr(builtins, "input", answer)
        return asked

    return typing


def test_five_questions_are_asked_and_a_sound_job_is_written(
    run: Any, typing: Any, tmp_path: Path
) -> None:
    asked = typing(*ANSWERS.values())
    path = tmp_path / "my-job.toml"
    said = run("new", path)
    assert (said.status, said.err) == (0, "")
    assert len(asked) == len(QUESTIONS) == 5
    assert all(one.example in prompt for one, prompt in zip(QUESTIONS, asked, strict=True))
    assert load_job(path).engine.cylinders == 8
    assert f"exhaust sheet {path} --out" in said.out
    assert run("check", path).status == 0


def test_a_wrong_answer_is_asked_again_with_the_sentence(
    run: Any, typing: Any, tmp_path: Path
) -> None:
    asked = typing("5.1", *ANSWERS.values())
    said = run("new", tmp_path / "my.toml")
    assert said.status == 0
    assert said.lines == [
        "engine.displacement must be a volume with a unit (got '5.1'); write it like \"5.1 L\""
    ]
    assert asked[0] == asked[1]


def test_options_answer_and_only_the_rest_is_asked(run: Any, typing: Any, tmp_path: Path) -> None:
    asked = typing("3 in x 16 ga")
    assert run("new", tmp_path / "a.toml", *OPTIONS[:-2]).status == 0
    assert len(asked) == 1
    typing()
    assert run("new", tmp_path / "b.toml", *OPTIONS).status == 0
    text = (tmp_path / "b.toml").read_text(encoding="utf-8")
    assert (tmp_path / "a.toml").read_text(encoding="utf-8") == text.replace(
        "b.toml", "a.toml"
    ).replace('name = "b"', 'name = "a"')


def test_nobody_to_ask_is_one_sentence_and_nothing_written(
    run: Any, typing: Any, tmp_path: Path
) -> None:
    typing()
    said = run("new", tmp_path / "a.toml", *OPTIONS[2:])
    assert said.status == 2
    assert said.err == 'displacement is missing; for example --displacement "5.1 L"\n'
    assert not list(tmp_path.iterdir())


def test_wrong_options_are_refused_each_by_name(run: Any, tmp_path: Path) -> None:
    said = run("new", tmp_path / "a.toml", *OPTIONS, "--cylinders", "0", "--fuel", "petrol")
    assert said.status == 2
    assert [line.split(" ")[0] for line in said.lines] == ["engine.cylinders", "engine.fuel:"]
    assert not list(tmp_path.iterdir())


def test_new_says_what_it_will_not_do(run: Any, tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_text("mine")
    said = run("new", path, *OPTIONS)
    assert (said.status, len(said.lines)) == (2, 1)
    assert path.read_text() == "mine"
    assert "must end in .toml" in run("new", tmp_path / "a.txt", *OPTIONS).err
    said = run("new", "--demo", tmp_path / "d", "--fuel", "gasoline")
    assert "--demo takes no answers (got --fuel)" in said.err
    assert not (tmp_path / "d").exists()
    assert run("new", path, "--demo", tmp_path / "d").status == 2


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """Return the command lines that would have been run."""
    lines: list[list[str]] = []

    def instead(line: list[str], *, check: bool) -> subprocess.CompletedProcess[str]:
        lines.append(line)
        return subprocess.CompletedProcess(line, 0)

    monkeypatch.setattr(subprocess, "run", instead)
    return lines


def test_notebooks_are_copied_once_and_opened_every_time(
    run: Any, opened: list[list[str]], tmp_path: Path
) -> None:
    folder = tmp_path / "bench"
    count = len(command.demo_files())
    said = run("notebooks", folder)
    assert (said.status, said.out) == (0, f"{folder}: {count} copied, 0 there already\n")
    mine = folder / "lessons" / "1-gas-flow.ipynb"
    mine.write_text("my answers")
    (folder / "v8-parallel-x.toml").unlink()
    said = run("notebooks", folder, "--", "--no-browser", "--port", "9000")
    assert said.out == f"{folder}: 1 copied, {count - 1} there already\n"
    assert mine.read_text() == "my answers"
    assert [line[1:4] for line in opened] == [["-m", "jupyterlab", str(folder)]] * 2
    assert opened[1][4:] == ["--no-browser", "--port", "9000"]


def test_a_laboratory_that_does_not_open_is_one_sentence(
    run: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    failed: Any = lambda line, check: subprocess.CompletedProcess(line, 1)  # noqa: E731
    monkeypatch.setattr(subprocess, "run", failed)
    said = run("notebooks", tmp_path / "bench")
    assert (said.status, len(said.lines)) == (2, 1)
    assert "JupyterLab could not be opened" in said.err
