"""One demo job, answered once."""

from __future__ import annotations

from datetime import date

import pytest

from exhaust.job import load_job, read_job
from exhaust.sheet import sheet_files
from exhaust.sheet.answers import Answers
from exhaust.tables import shipped

DEMO = shipped("data") / "jobs" / "v8-parallel-x.toml"


@pytest.fixture(scope="session")
def demo_answers() -> Answers:
    return Answers(load_job(DEMO))


@pytest.fixture(scope="session")
def demo_files(demo_answers: Answers) -> dict[str, bytes]:
    return sheet_files(demo_answers, date(2024, 3, 1))


@pytest.fixture(scope="session")
def hostile_files() -> dict[str, bytes]:
    """A metric job whose every free text tries to get out of the page and out of the cell."""
    text = DEMO.read_text(encoding="utf-8").replace('units = "inch"', 'units = "metric"')
    nasty = r"<script>alert('x')</script><img src=x onerror=y>&amp;{{ 7*7 }}../../=1+1"
    for old in (
        "Demo V8, dual 3 in with a parallel X",
        "Example customer (invented)",
        "Tunnel is 13 in wide at the gearbox mount; keep clear of the shift rod.",
        "over the axle and out",
    ):
        assert old in text
        text = text.replace(old, nasty)
    return sheet_files(Answers(read_job(text)), date(2024, 3, 1))
