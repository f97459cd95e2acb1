"""The section [measured] of a job: bare numbers in the job's units, comments left alone."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from demo_keys import TEXT

from exhaust import Tube
from exhaust.errors import JobError
from exhaust.job import Job, read_job, save_copy

SECTION = """
[measured]
bend_angle = 91                 # by protractor
od_heel_to_throat = 2.995
kerf = "1.2 mm"                 # a test cut
"""


def job(section: str = SECTION, text: str = TEXT) -> Job:
    return read_job(text + section)


def test_bare_numbers_are_in_the_jobs_units() -> None:
    read = job().measured
    assert read is not None
    assert read.bend_angle == pytest.approx(math.radians(91))
    assert read.od_heel_to_throat == pytest.approx(2.995 * 0.0254)
    assert read.kerf == pytest.approx(1.2e-3)
    metric = TEXT.replace('units = "inch"', 'units = "metric"')
    read = job("\n[measured]\nod_heel_to_throat = 76.1\nheel_wall = 1.3\n", metric).measured
    assert read is not None
    assert (read.od_heel_to_throat, read.heel_wall) == pytest.approx((76.1e-3, 1.3e-3))


def test_a_job_without_the_section_was_not_measured() -> None:
    assert job("").measured is None


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("bend_angel = 91", 'measured.bend_angel is not a key of measured; nearest: "bend_angle"'),
        ('bend_angle = "3 in"', "measured.bend_angle "),
        ("bend_angle = 270", "measured.bend_angle must be between 5 deg and 185 deg"),
        ("bend_angle = true", "measured.bend_angle must be an angle"),
        ("kerf = nan", "measured.kerf must be a finite number"),
        ("kerf = inf", "measured.kerf must be a finite number"),
        ("mitre_opening = 3.3", "measured.mitre_opening has no use on this joint"),
        ("opening_length = 20", "measured.opening_length must be between 0 in and"),
        ("od_side_to_side = 1e30", "measured.od_side_to_side is far too large a number"),
        ("od_heel_to_throat = 10", "measured: clr must be more than half of od 10 in"),
        ('wall = "9 in"', "measured.wall must be between"),
        (
            "wall = 0.7\nod_heel_to_throat = 1.0",
            "measured.wall must be less than half of od 1.0 in",
        ),
    ],
)
def test_a_mistake_is_told_by_its_key(line: str, said: str) -> None:
    with pytest.raises(JobError) as caught:
        job(f"\n[measured]\n{line}\n")
    assert len(caught.value.mistakes) == 1
    assert caught.value.mistakes[0].startswith(said)


def test_readings_of_no_joint_have_no_use() -> None:
    start, end = TEXT.index("[joint]"), TEXT.index("# The bandsaw")
    text = (TEXT[:start] + TEXT[end:]).replace('to = "X"\n', "")
    start, end = text.index("[room]"), len(text)
    with pytest.raises(JobError, match="measured has no use without a joint"):
        job(text=text[:start])


def test_a_copy_keeps_the_section_and_its_comments(tmp_path: Path) -> None:
    copy = save_copy(job(), tmp_path / "mine.toml")
    assert copy.read_text(encoding="utf-8").endswith(SECTION)


def test_a_copy_in_another_tube_leaves_out_what_was_measured_on_the_old_one(
    tmp_path: Path,
) -> None:
    copy = save_copy(job(), tmp_path / "mine.toml", Tube(od="2-1/2 in", wall="16 ga"))
    text = copy.read_text(encoding="utf-8")
    assert "od_heel_to_throat = 2.995\n" not in text
    assert 'kerf = "1.2 mm"                 # a test cut' in text
    read = read_job(text).measured
    assert read is not None
    assert list(read.given) == ["kerf"]
    alone = save_copy(
        job("\n[measured]\nbend_angle = 91\n"),
        tmp_path / "other.toml",
        Tube(od="2-1/2 in", wall="16 ga"),
    )
    assert read_job(alone.read_text(encoding="utf-8")).measured is None
