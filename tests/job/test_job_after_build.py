"""The section [after_build] of a job: what a gauge read at the test port, as it stood there."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from demo_keys import TEXT

from exhaust import Tube
from exhaust.errors import JobError
from exhaust.job import Job, load_job, read_job, save_copy

RPM = math.pi / 30
PSI = 6894.757
SECTION = """
[after_build]
gauge_accuracy = "0.1 psi"      # from its face
temperature = "20 degC"         # that day
readings = [
    { speed = 6000, back_pressure_gauge = 1.1 },  # second pull
    { speed = "4000 rpm", back_pressure_gauge = "3.2 kPa" },
]
"""


def job(section: str = SECTION, text: str = TEXT) -> Job:
    return read_job(text + section)


def test_readings_are_read_slow_to_fast_and_bare_numbers_in_the_jobs_units() -> None:
    read = job().after_build
    assert read is not None
    assert [one.speed / RPM for one in read.readings] == pytest.approx([4000, 6000])
    pressures = [one.back_pressure_gauge for one in read.readings]
    assert pressures == pytest.approx([3200, 1.1 * PSI])
    assert read.gauge_accuracy == pytest.approx(0.1 * PSI)
    metric = TEXT.replace('units = "inch"', 'units = "metric"')
    bare = "\n[after_build]\nreadings = [{ speed = 6000, back_pressure_gauge = 7.5 }]\n"
    read = job(bare, metric).after_build
    assert read is not None
    assert read.readings[0].back_pressure_gauge == pytest.approx(7500)


def test_the_weather_of_the_day_is_the_jobs_but_for_what_is_said() -> None:
    read, ambient = job().after_build, job().ambient
    assert read is not None
    assert read.ambient is not None
    assert read.ambient.temperature == pytest.approx(293.15)
    assert read.ambient.altitude == ambient.altitude > 0
    assert read.ambient.humidity == ambient.humidity > 0
    plain = job(SECTION.replace('temperature = "20 degC"', "")).after_build
    assert plain is not None
    assert plain.ambient is None


def test_a_job_without_the_section_was_not_read() -> None:
    assert job("").after_build is None


def rows(*given: str) -> str:
    return f"readings = [{', '.join(given)}]"


GOOD = "{ speed = 5000, back_pressure_gauge = 0.8 }"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('gauge_accuracy = "1 kPa"', "after_build.readings is missing"),
        ("readings = []", "after_build.readings is empty; give at least one reading"),
        ("readings = 1.1", "after_build.readings must be a list, in [ ] (got 1.1)"),
        (rows("1.1"), "after_build.readings 1 must be { speed, back_pressure_gauge } (got 1.1)"),
        (
            rows(GOOD, "{ speed = 6000 }"),
            "after_build.readings 2.back_pressure_gauge is missing; for example",
        ),
        (
            rows(GOOD, "{ speed = 60000, back_pressure_gauge = 1 }"),
            "after_build.readings 2.speed must be between 100 rpm and 25000 rpm",
        ),
        (
            rows("{ speed = 6000, pressure = 1, back_pressure_gauge = 1 }"),
            "after_build.readings 1.pressure is not a key of after_build.readings 1; known: ",
        ),
        (
            rows("{ speed = 6000, back_pressure_gauge = -9 }"),
            "after_build.readings 1.back_pressure_gauge must be between",
        ),
        (
            rows('{ speed = 6000, back_pressure_gauge = "9 in" }'),
            "after_build.readings 1.back_pressure_gauge must be a pressure",
        ),
        (rows(GOOD, GOOD), "after_build.readings has two readings at 5000 rpm; give each speed"),
        (
            rows(GOOD, "{ speed = 6000, back_pressure_gauge = 1, volumetric_efficiency = 0.9 }"),
            "after_build.readings has volumetric_efficiency at some speeds but not at 5000 rpm",
        ),
        (rows(GOOD) + '\ntemperature = "90 degC"', "after_build.temperature must be between"),
        (rows(GOOD) + "\ngauge = 1", "after_build.gauge is not a key of after_build; "),
    ],
)
def test_a_mistake_is_told_by_its_key(line: str, said: str) -> None:
    with pytest.raises(JobError) as caught:
        job(f"\n[after_build]\n{line}\n")
    assert len(caught.value.mistakes) == 1, caught.value.mistakes
    assert caught.value.mistakes[0].startswith(said)


def test_a_copy_keeps_the_section_and_its_comments(tmp_path: Path) -> None:
    copy = save_copy(job(), tmp_path / "mine.toml")
    assert copy.read_text(encoding="utf-8").endswith(SECTION)


def test_a_copy_in_another_tube_was_not_read_yet(tmp_path: Path) -> None:
    tube = Tube(od="2-1/2 in", wall="16 ga")
    copy = save_copy(job(), tmp_path / "mine.toml", tube=tube)
    assert load_job(copy).after_build is None
