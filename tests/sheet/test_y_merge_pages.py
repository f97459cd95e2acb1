"""The pages on a Y merge: titled, drawn and sawn as what it is."""

from __future__ import annotations

import pytest

from exhaust import Bend, Saw, YMerge
from exhaust.cutmath import cut_sheet
from exhaust.job import load_job
from exhaust.sheet.answers import Answers
from exhaust.sheet.blocks import Drawing, Group
from exhaust.sheet.content import Figures, cut_page, joint_page
from exhaust.tables import shipped


class Answered(Answers):
    """A shipped job's answers, with a Y merge on its joint's page and its cut sheet's."""

    joint = YMerge(
        Bend(load_job(shipped("data") / "jobs" / "v8-parallel-x.toml").tube, clr="4.5 in")
    ).numbers  # type: ignore[assignment]
    cut = cut_sheet(joint.joint, Saw(kerf="1.1 mm"))  # type: ignore[assignment]


@pytest.fixture
def answers() -> Answers:
    return Answered(load_job(shipped("data") / "jobs" / "v8-parallel-x.toml"))


def test_the_joint_page_is_of_the_merge(answers: Answers) -> None:
    page = joint_page(answers, Figures())
    assert page.title == "The Y merge"
    (drawings,) = (block for block in page.blocks if isinstance(block, Group))
    assert len(drawings.blocks) == 2


def test_the_cut_page_draws_every_pose(answers: Answers) -> None:
    queue, drawn = list(cut_page(answers, Figures()).blocks), 0
    while queue:
        block = queue.pop()
        drawn += isinstance(block, Drawing)
        queue += block.blocks if isinstance(block, Group) else []
    assert answers.cut is not None
    assert drawn == len(answers.cut.poses) >= 3
