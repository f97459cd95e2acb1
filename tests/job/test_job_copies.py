"""A working copy in another tube is the system in that tube, whatever its layout.

Invariant: the text written again and read, and `System.with_tube`, which never sees the text.
"""

from __future__ import annotations

from typing import Any

import pytest
from demo_keys import TEXT
from test_job_layout import BANKS, DUALS, HEAD, SAW, SHELF

from exhaust import HPipe, Offcut, Tube, YMerge
from exhaust.errors import JobError
from exhaust.job import read_job
from exhaust.job.saving import with_tube

STEEL_321 = 'material = "321"'
RUN_OF_ITS_OWN = """
[[run]]
name = "front"
length = "40 in"
bends = ["30 deg", { angle = "45 deg", clr = "5 in" }]
[[run]]
name = "tail"
tube = "{tube}"
length = "{length} in"
bends = ["90 deg", {{ angle = "60 deg", clr = "6 in" }}]
""".replace('{ angle = "45 deg", clr = "5 in" }', '{{ angle = "45 deg", clr = "5 in" }}')
Y = (
    """
[[run]]
name = "left"
from = "l"
to = "Y"
length = "40 in"
[[run]]
name = "right"
from = "r"
to = "Y"
length = "40 in"
[[run]]
name = "tail"
tube = "{tube}"
from = "Y"
length = "{length} in"
[[inlet]]
name = "l"
[[inlet]]
name = "r"
[joint]
kind = "Y merge"
at = "Y"
outlet = "{outlet}"
cutback = {cutback}
return_clr = "3 in"
"""
    + SAW
)
USUAL = "3 in x 16 ga"
LARGE = "3-1/2 in x 16 ga"

LAYOUTS = {
    "in order": RUN_OF_ITS_OWN.format(tube=LARGE, length=30),
    "most in a tube of its own": RUN_OF_ITS_OWN.format(tube=LARGE, length=90),
    "the same tube typed again": RUN_OF_ITS_OWN.format(tube="76.2 mm x 1.651 mm", length=90),
    "banks and a cone": BANKS,
    "a Y into its own size": Y.format(
        tube="3 in x 16 ga", length=80, outlet="3 in x 16 ga", cutback=0.45
    ),
    "a stepped Y": Y.format(tube=LARGE, length=70, outlet="88.9 mm x 1.651 mm", cutback=0.371),
}
TUBES = {
    "smaller": ("2-3/4 in", "16 ga"),
    "larger": ("3-1/4 in", "16 ga"),
    "thinner": ("3 in", "18 ga"),
}


def head(material: str) -> str:
    return HEAD.replace('material = "304"', material)


@pytest.mark.parametrize("tube", TUBES)
@pytest.mark.parametrize("metal", ["304", "409"])
@pytest.mark.parametrize("text", LAYOUTS)
def test_a_copy_is_the_system_in_the_other_tube(text: str, metal: str, tube: str) -> None:
    job = read_job(head(STEEL_321) + LAYOUTS[text] + SHELF)
    od, wall = TUBES[tube]
    other = Tube(od=od, wall=wall, material=metal)
    copy = read_job(with_tube(job, other)).system
    wanted = job.system.with_tube(other, instead_of=job.system.tube)
    for one, two in zip(copy.runs, wanted.runs, strict=True):
        assert (one.name, one.length) == (two.name, two.length)
        assert_alike(one.tube, two.tube)
        assert [bend.clr for bend in one.bends] == pytest.approx([b.clr for b in two.bends])
    assert copy.places == wanted.places
    assert copy.graph.lines == wanted.graph.lines
    if wanted.joint is not None:
        assert isinstance(copy.joint, YMerge)
        assert isinstance(wanted.joint, YMerge)
        assert_alike(copy.joint.tube, wanted.joint.tube)
        assert_alike(copy.joint.outlet, wanted.joint.outlet)
        assert copy.joint.spacing == pytest.approx(wanted.joint.spacing, rel=1e-5)  # six digits


def assert_alike(one: Tube, two: Tube) -> None:
    assert (one.od, one.wall) == pytest.approx((two.od, two.wall), rel=1e-9)
    assert one.material == two.material


def test_a_cone_with_nothing_left_to_bring_together_is_taken_out() -> None:
    job = read_job(head('material = "304"') + BANKS + SHELF)
    same = with_tube(job, job.tube)
    assert job.system.tube.name == "2-1/2 in x 16 ga"
    assert "[[cone]]" not in same
    assert 'angle = "10 deg"' in same


def test_a_tube_that_a_joint_names_is_of_the_metal_of_the_others() -> None:
    text = 'kind = "H pipe"\nspacing = "11 in"\nbalance_tube = "2-1/2 in x 16 ga"'
    joint: Any = read_job(head(STEEL_321) + DUALS + text + SAW + SHELF).system.joint
    assert isinstance(joint, HPipe)
    assert joint.balance_tube.material == joint.tube.material == "321"


def test_a_balance_tube_that_is_named_stays_and_what_cannot_be_is_told_by_its_key() -> None:
    text = 'kind = "H pipe"\nspacing = "11 in"\nbalance_tube = "3 in x 16 ga"'
    job = read_job(head(STEEL_321) + DUALS + text + SAW + SHELF)
    joint: Any = read_job(with_tube(job, Tube(od="3-1/2 in", wall="16 ga"))).system.joint
    assert joint.balance_tube == job.system.joint.balance_tube  # type: ignore[union-attr]
    smaller = with_tube(job, Tube(od="2-1/2 in", wall="16 ga"))
    with pytest.raises(JobError, match=r"^joint\.balance_tube must not be wider"):
        read_job(smaller)


def test_the_demo_copy_keeps_where_things_stand() -> None:
    job = read_job(TEXT)
    copy = read_job(with_tube(job, Tube(od="2-3/4 in", wall="16 ga"))).system
    assert copy.graph.lines == job.system.graph.lines
    assert copy.sensors == job.system.sensors


STRAIGHTS = '#     straights = ["20 in", "8 in", "12 in", "21-1/2 in"]'


def test_straights_give_way_to_bends_and_what_is_on_hand_keeps_its_metal() -> None:
    assert STRAIGHTS in TEXT
    job = read_job(TEXT.replace(STRAIGHTS, STRAIGHTS.lstrip("# ")))
    tube = Tube(od="2-1/2 in", wall="16 ga", material="409")
    copy = read_job(with_tube(job, tube))
    want = job.system.with_tube(tube).runs[-1].straights
    assert sum(want) > sum(job.system.runs[-1].straights)
    assert copy.system.runs[-1].straights == pytest.approx(want, abs=1e-5)  # written to 0.001 in
    assert copy.stock == job.stock
    assert {one.tube.material for one in copy.stock.on_hand if isinstance(one, Offcut)} == {"304"}
