"""A job file started from five answers: sound, marked, and nothing in it that was not said."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from exhaust.asked import QUESTIONS
from exhaust.errors import ExhaustError, JobError
from exhaust.job import read_job, start_job
from exhaust.job.starting import answer_mistakes, started

SAID = {
    "displacement": "5.1 L",
    "cylinders": "8",
    "speed": "6200 rpm",
    "fuel": "gasoline",
    "tube": "3 in x 16 ga",
}
FUELS = ("gasoline", "E10", "E85", "ethanol", "methanol", "diesel", "propane", "methane")


@pytest.mark.parametrize(
    "tube", ["3 in x 16 ga", "63.5 mm x 1.5 mm", "38 mm x 1.2 mm", "5 in x 16 ga"]
)
@pytest.mark.parametrize("cylinders", [1, 2, 3, 4, 5, 6, 8, 12])
def test_whatever_is_answered_the_job_is_sound(cylinders: int, tube: str) -> None:
    job = read_job(started(SAID | {"cylinders": str(cylinders), "tube": tube}))
    assert job.engine.cylinders == cylinders
    assert job.system.tube.name == tube
    assert job.units == ("inch" if "in" in tube else "metric")
    assert job.system.pipes == (2 if cylinders in (6, 8, 12) else 1)
    assert any(one.name == tube for one in job.tubes)


@pytest.mark.parametrize("fuel", FUELS)
def test_every_fuel_starts_a_job_of_its_own_mixture(fuel: str) -> None:
    job = read_job(started(SAID | {"fuel": fuel}))
    assert job.engine.fuel == fuel
    assert (job.duty.lambda_ > 1) == (fuel == "diesel")  # common practice: rich but for diesel


def test_what_was_said_is_marked_and_kept_as_typed() -> None:
    text = started(SAID | {"displacement": "311 in^3", "tube": "2-1/2 in x 16 ga"})
    marked = {line.split("=")[0].strip() for line in text.splitlines() if "# you said" in line}
    assert marked == {"displacement", "cylinders", "fuel", "speed", "od", "wall"}
    assert 'displacement = "311 in^3"' in text
    assert 'od = "2-1/2 in"' in text
    assert 'clr = "3.75 in"' in text  # 1.5 x 2.5, common practice


def test_no_line_is_wider_than_a_screen_and_remarks_stand_in_one_column() -> None:
    for tube in ("3 in x 16 ga", "60 mm x 1.5 mm"):
        lines = started(SAID | {"tube": tube}).splitlines()
        assert max(map(len, lines)) <= 110
        columns = {len(line.partition(" # ")[0]) for line in lines if re.search(r"\S\s+ # ", line)}
        assert columns == {45}


def test_every_commented_line_is_a_key_that_the_file_may_say() -> None:
    """Taking away the # of any offered key leaves a job that reads, or says only of its kind."""
    for tube in ("3 in x 16 ga", "60 mm x 1.5 mm"):
        text = started(SAID | {"tube": tube})
        offered = re.findall(r"^# ((?!firing_order|gas_temperature_at)[a-z_]+ = .*)$", text, re.M)
        assert len(offered) >= 6
        for line in offered:
            if line.startswith(("altitude", "temperature")):
                assert read_job(text.replace("# [ambient]", "[ambient]").replace(f"# {line}", line))
            else:
                assert read_job(text.replace(f"# {line}", line))


def test_every_wrong_or_missing_answer_is_named_at_once() -> None:
    wrong = {"displacement": "5.1", "cylinders": "eight", "speed": "", "fuel": "petrol"}
    with pytest.raises(JobError) as caught:
        started(wrong)
    said = caught.value.mistakes
    assert [line.split(" ")[0].rstrip(":") for line in said] == [one.key for one in QUESTIONS]
    assert said[2] == 'duty.speed is missing; for example speed = "6200 rpm"'


def test_a_wrong_answer_is_told_as_the_job_file_tells_it() -> None:
    """The sentence at the prompt is the one that `read_job` has for the same value."""
    text = started(SAID)
    for number, answer, line in (
        (0, "5.1", 'displacement = "5.1 L"'),
        (0, "-2 L", 'displacement = "5.1 L"'),
        (1, "99", "cylinders = 8"),
        (2, "6200", 'speed = "6200 rpm"'),
        (3, "petrol", 'fuel = "gasoline"'),
    ):
        question = QUESTIONS[number]
        (said,) = answer_mistakes(question, answer)
        key = question.key.split(".")[1]
        typed = answer if answer.isdecimal() else f'"{answer}"'
        with pytest.raises(JobError) as caught:
            read_job(text.replace(line, f"{key} = {typed}"))
        assert said in caught.value.mistakes


def test_answers_cannot_write_anything_but_their_value() -> None:
    with pytest.raises(JobError):
        started(SAID | {"fuel": 'gasoline"\n[evil]\nx = "'})
    text = started(SAID, 'odd "name" \\ [x].toml')
    assert read_job(text).name == 'odd "name" \\ [x]'


def test_a_job_is_not_started_over_another_nor_half(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    with pytest.raises(JobError):
        start_job(path, SAID | {"speed": "fast"})
    assert not path.exists()
    assert start_job(path, SAID) == path
    before = path.read_bytes()
    with pytest.raises(ExhaustError, match="is there already and is not overwritten"):
        start_job(path, SAID)
    assert path.read_bytes() == before
