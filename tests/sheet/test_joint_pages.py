"""The pages on a joint that is not a parallel X: titled, drawn and sawn as what it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from attrs import evolve

from exhaust import Bend, HPipe, ParallelToSplayedX, SplayedX, SplitJoint
from exhaust.job import load_job
from exhaust.sheet.answers import Answers
from exhaust.sheet.blocks import Drawing, Grid, Group, Items
from exhaust.sheet.content import Figures, cut_page, fit_page, headlines, joint_page
from exhaust.tables import shipped

if TYPE_CHECKING:
    from exhaust.joints import Joint


@pytest.fixture(params=["splayed", "half parallel", "H", "split H"])
def answers(request: pytest.FixtureRequest) -> Answers:
    job = load_job(shipped("data") / "jobs" / "v8-parallel-x.toml")
    angle = "45 deg"
    joint: Joint = SplayedX(job.tube, included_angle=angle, cutback=0.3, leg_length="10 in")
    if request.param == "half parallel":
        bend = Bend(job.tube, clr="4.5 in")
        joint = ParallelToSplayedX(bend, cutback=0.3, included_angle=angle, leg_length="10 in")
    elif request.param.endswith("H"):
        joint = HPipe(job.tube, spacing="14 in", angle="70 deg")
        if request.param.startswith("split"):
            joint = joint.with_(split=SplitJoint(kind="V-band", length="2 in"))
    return Answers(evolve(job, system=job.system.with_(joint=joint)))


def test_the_joint_page_is_of_the_joint(answers: Answers) -> None:
    page = joint_page(answers, Figures())
    assert answers.joint is not None
    assert page.title == answers.joint.title != "The parallel X"
    (drawings,) = (block for block in page.blocks if isinstance(block, Group))
    assert len(drawings.blocks) == 2


def test_the_cut_page_draws_every_pose(answers: Answers) -> None:
    page = cut_page(answers, Figures())
    assert answers.cut is not None
    drawn = 0
    queue = list(page.blocks)
    while queue:
        block = queue.pop()
        drawn += isinstance(block, Drawing)
        if isinstance(block, Group):
            queue += block.blocks
    assert drawn == len(answers.cut.poses) >= 3


def test_the_fit_page_has_every_seam_of_the_joint(answers: Answers) -> None:
    page = fit_page(answers, Figures())
    fit = answers.fit
    assert fit is not None
    (grid,) = (block for block in page.blocks if isinstance(block, Grid))
    names = [seam.name for seam in fit.joint.seams if "V-band" not in seam.name]
    assert [row[0] for row in grid.table.rows] == names
    assert fit.tolerances == answers.job.tolerances
    assert fit.tolerances.depth == pytest.approx(0.02 * 0.0254)
    (items,) = (block for block in page.blocks if isinstance(block, Items))
    assert tuple(items.lines) == fit.advice


def test_no_heel_stop_is_among_the_headlines(answers: Answers) -> None:
    """A splayed joint has no one saw stop: its settings are on the cut sheet."""
    assert "Saw stop" not in [fact.name for fact in headlines(answers)]
