"""What must be known before a saw is set stands on the first page."""

from __future__ import annotations

import pytest

from exhaust.job import read_job
from exhaust.sheet.answers import Answers
from exhaust.sheet.content import warnings
from exhaust.tables import shipped

TEXT = (shipped("data") / "jobs" / "v8-parallel-x.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            'run = "collector to X"',
            'run = "X to silencer"',
            "oxygen sensor reads the gas of both banks, behind X",
        ),
        ('distance = "20 in"', 'distance = "1 in"', "oxygen sensor stands in the weld at an end"),
        ('width = "17 in"', 'width = "15 in"', "None fits. The parallel X is"),
    ],
)
def test_what_is_wrong_with_the_layout_is_told_before_sawing(
    old: str, new: str, said: str, demo_answers: Answers
) -> None:
    assert old in TEXT
    assert not [line for line in warnings(demo_answers) if line.startswith(said)]
    answers = Answers(read_job(TEXT.replace(old, new, 1)))
    assert [line for line in warnings(answers) if line.startswith(said)]
