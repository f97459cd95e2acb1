"""Readings at the test port on the job sheet: blanks before they are read, a page after."""

from __future__ import annotations

import json
from datetime import date

import pytest

from exhaust import compare_measured
from exhaust.job import read_job
from exhaust.sheet import sheet_files
from exhaust.sheet.answers import Answers
from exhaust.sheet.content import chapters
from exhaust.tables import shipped

TEXT = (shipped("data") / "jobs" / "v8-parallel-x.toml").read_text(encoding="utf-8")
PSI = 6894.757
READ = {3000: 0.5, 4500: 1.2, 6000: 2.3}  # far above what is predicted [rpm, psi]
ROWS = ", ".join(f"{{ speed = {n}, back_pressure_gauge = {p} }}" for n, p in READ.items())
SECTION = f"\n[after_build]\ngauge_accuracy = '0.1 psi'\nreadings = [{ROWS}]\n"


@pytest.fixture(scope="module")
def answers() -> Answers:
    return Answers(read_job(TEXT + SECTION))


@pytest.fixture(scope="module")
def files(answers: Answers) -> dict[str, bytes]:
    return sheet_files(answers, date(2024, 3, 1))


def test_the_page_follows_the_exhaust_as_written(answers: Answers) -> None:
    names = [chapter.name for chapter in chapters(answers.job)]
    assert names[names.index("after the build") - 1] == "system"


def test_page_and_results_tell_what_the_question_answers(
    answers: Answers, files: dict[str, bytes]
) -> None:
    job = answers.job
    assert job.after_build is not None
    asked = compare_measured(job.system, job.engine, job.duty, job.after_build, job.ambient)
    page = files["job-sheet.html"].decode()
    for words in ("After the build", "the port reads above the band: 2.30 psi at 6000 rpm"):
        assert words in page, words
    for line in (*asked.next_job, *asked.notes):
        assert line.replace("'", "&#39;") in page or line in page, line
    told = json.loads(files["results.json"])["results"]["after_build"]
    rows = told["table"]["rows"]
    assert [row[1] for row in rows] == pytest.approx([p * PSI for p in READ.values()])
    assert [row[-1] for row in rows] == ["above"] * 3
    moved = {one["what"]: one for one in told["moves"]}
    silencers = next(one for one in asked.moves if one.name == "silencers")
    assert moved["losses of silencers"]["needed"] == pytest.approx(silencers.needed)
    assert moved["gas temperature"]["unit"] == "K"


def test_a_job_that_was_read_has_no_blanks_and_one_that_was_not_has_them(
    files: dict[str, bytes], demo_files: dict[str, bytes], demo_answers: Answers
) -> None:
    blank = demo_answers.port.title
    assert blank not in files["job-sheet.html"].decode()
    page = demo_files["job-sheet.html"].decode()
    assert blank in page
    assert "After the build" not in page
    told = json.loads(demo_files["results.json"])["results"]
    assert "after_build" not in told
    speeds = [row[0] for row in told["test_port"]["table"]["rows"]]
    assert speeds[-1] == pytest.approx(float(demo_answers.job.duty.speed))
