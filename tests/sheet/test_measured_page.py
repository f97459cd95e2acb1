"""The job sheet of a job with readings: they stand on it, and the cuts are worked for them."""

from __future__ import annotations

import json
from datetime import date

import pytest

from exhaust import Measured, as_measured
from exhaust.job import read_job
from exhaust.sheet import sheet_files
from exhaust.sheet.answers import Answers
from exhaust.sheet.content import chapters
from exhaust.tables import shipped

TEXT = (shipped("data") / "jobs" / "v8-parallel-x.toml").read_text(encoding="utf-8")
SECTION = "\n[measured]\nbend_angle = 91\nod_heel_to_throat = 2.97\nheel_wall = 0.053\n"


@pytest.fixture(scope="module")
def answers() -> Answers:
    return Answers(read_job(TEXT + SECTION))


def test_the_cut_sheet_and_the_joint_are_those_of_the_metal(answers: Answers) -> None:
    job = answers.job
    assert job.system.joint is not None
    assert job.saw is not None
    readings = Measured(bend_angle="91 deg", od_heel_to_throat="2.97 in", heel_wall="0.053 in")
    asked = as_measured(job.system.joint, job.saw, readings)
    assert answers.joint is not None
    assert answers.joint.joint == asked.joint
    assert answers.cut is not None
    assert answers.cut.joint == asked.joint
    assert answers.plan is not None
    assert answers.plan.joint == job.system.joint  # stock is bought by its name
    names = [chapter.name for chapter in chapters(job)]
    start = names.index("as measured")
    assert names[start : start + 3] == ["as measured", "joint", "cut sheet"]


def test_the_page_tells_readings_and_what_moves(answers: Answers) -> None:
    files = sheet_files(answers, date(2024, 3, 1))
    page = files["job-sheet.html"].decode()
    for words in (
        "As measured",
        "What changes at the saw",
        "Outside diameter, heel to throat",
        "halves into two of 45.5°, not 45.0°",
        "Out of tolerance: outside diameter, heel to throat",
    ):
        assert words in page, words
    told = json.loads(files["results.json"])["results"]["as_measured"]
    assert told["table"]["rows"][0][2] == pytest.approx(2.97 * 0.0254)
    assert any("45.5°" in line for line in told["warnings"])


def test_a_job_without_readings_has_no_such_page(demo_answers: Answers) -> None:
    assert demo_answers.measured is None
    assert "as measured" not in [chapter.name for chapter in chapters(demo_answers.job)]
    assert "as_measured" not in demo_answers.results()
