"""Layouts that the job file writes: two banks into one, one into two, primaries and a cone."""

from __future__ import annotations

import pytest
from demo_keys import TEXT

from exhaust.errors import JobError
from exhaust.job import Job, read_job, save_copy
from exhaust.joints import HPipe, ParallelToSplayedX, ParallelX, SplayedX, YMerge
from exhaust.stock import Tube
from exhaust.system import Cone, Merge, Part

HEAD = TEXT[: TEXT.index("[system]")]
SHELF = """
[shelf]
tubes = ["2-1/2 in x 16 ga", "3 in x 16 ga"]
"""
BANKS = """
[[inlet]]
name = "left bank"
cylinders = [1, 3, 5, 7]
distance = "24 in"

[[inlet]]
name = "right bank"
cylinders = [2, 4, 6, 8]
distance = "24 in"

[[run]]
name = "left"
tube = "2-1/2 in x 16 ga"
from = "left bank"
to = "merge"
length = "40 in"

[[run]]
name = "right"
tube = "2-1/2 in x 16 ga"
from = "right bank"
to = "merge"
length = "48 in"

[[merge]]
name = "merge"
angle = "10 deg"

[[run]]
name = "stub"
tube = "2-1/2 in x 16 ga"
from = "merge"
to = "step up"
length = "6 in"

[[cone]]
name = "step up"
length = "4 in"

[[run]]
name = "tail"
length = "80 in"
"""


def layout(text: str) -> Job:
    return read_job(HEAD + text + SHELF)


def wrong(text: str) -> tuple[str, ...]:
    with pytest.raises(JobError) as caught:
        layout(text)
    return caught.value.mistakes


def test_two_banks_into_one_with_a_step_up_behind_it() -> None:
    system = layout(BANKS).system
    lines = [(line.start, line.end) for line in system.graph.lines]
    assert lines == [
        ("left bank", "merge"),
        ("right bank", "merge"),
        ("merge", "step up"),
        ("step up", "open air"),
    ]
    assert {type(place) for place in system.places} == {Cone, Merge}
    assert [run.tube.name for run in system.runs] == ["2-1/2 in x 16 ga"] * 3 + ["3 in x 16 ga"]
    assert system.inlets[0].cylinders == (1, 3, 5, 7)


def test_one_into_two_tails() -> None:
    text = """
[[run]]
name = "front"
length = "60 in"
to = "fork"
[[merge]]
name = "fork"
[[run]]
name = "left tail"
from = "fork"
length = "50 in"
[[run]]
name = "right tail"
from = "fork"
to = "silencer"
length = "30 in"
[[part]]
name = "silencer"
rated_flow = "500 cfm"
[[run]]
name = "right tip"
length = "30 in"
"""
    system = layout(text).system
    assert [line.end for line in system.graph.lines].count("open air") == 2
    (part,) = (place for place in system.places if isinstance(place, Part))
    assert part.rated_depression == pytest.approx(28 * 249.0889, rel=1e-6)


def test_primaries_into_a_collector() -> None:
    runs = [
        f"""
[[inlet]]
name = "port {n}"
cylinders = [{n}]
distance = "3 in"
[[run]]
name = "primary {n}"
tube = "1-3/4 in x 16 ga"
from = "port {n}"
to = "collector"
length = "30 in"
"""
        for n in range(1, 9)
    ]
    tail = """
[[merge]]
name = "collector"
[[run]]
name = "tail"
from = "collector"
length = "100 in"
"""
    system = layout("".join(runs) + tail).system
    assert len(system.graph.into("collector")) == 8
    assert system.tube.name == "1-3/4 in x 16 ga"  # most of the length


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "cylinders = [2, 4, 6, 8]",
            "cylinders = [2, 4, 6, 7]",
            "inlet 2.cylinders names cylinder",
        ),
        ("cylinders = [2, 4, 6, 8]", "cylinders = [2, 4, 6]", "inlet leaves out cylinder 8"),
        (
            "cylinders = [2, 4, 6, 8]",
            "cylinders = [2, 4, 6, 9]",
            "inlet 2.cylinders names cylinder",
        ),
        ("cylinders = [2, 4, 6, 8]\n", "", "inlet 2.cylinders is missing"),
        ('from = "right bank"', 'from = "rigth bank"', "run 2.from"),
        ('to = "step up"', 'to = "step"', "cone 1 is on no run"),
        ('angle = "10 deg"', "angle = 10", "merge 1.angle must be an angle with a unit"),
        ('length = "4 in"', 'length = "0 in"', "cone 1.length must be between"),
        ('[[merge]]\nname = "merge"\nangle = "10 deg"', "", "run 1.to"),
        ("[[cone]]", "[cone]", "cone must be written [[cone]], once for each cone"),
        ('tube = "2-1/2 in x 16 ga"', 'tube = "2-1/2 in"', "run 1.tube must be a tube"),
    ],
)
def test_a_wrong_layout_is_told_by_its_key(old: str, new: str, said: str) -> None:
    mistakes = wrong(BANKS.replace(old, new, 1))
    assert any(line.startswith(said) for line in mistakes), mistakes
    assert not any("Traceback" in line for line in mistakes)


def test_a_copy_in_another_tube_keeps_what_is_in_others(tmp_path) -> None:  # type: ignore[no-untyped-def]
    job = layout(BANKS)
    path = save_copy(job, tmp_path / "copy.toml", Tube(od="2-3/4 in", wall="16 ga"))
    runs = read_job(path.read_text(encoding="utf-8")).system.runs
    assert [run.tube.name for run in runs] == ["2-3/4 in x 16 ga"] * 3 + ["3 in x 16 ga"]


SAW = """
[saw]
kerf = "0.045 in"
"""
DUALS = """
[system]
pipes = 2
[[run]]
name = "head"
length = "40 in"
to = "meet"
[[run]]
name = "tail"
length = "90 in"
[joint]
at = "meet"
"""


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ('kind = "parallel X"\ncutback = 0.28', ParallelX),
        ('kind = "H pipe"\nspacing = "11 in"\nbalance_tube = "2-1/2 in x 16 ga"', HPipe),
        (
            'kind = "H pipe"\nspacing = "11 in"\nsplit = { kind = "V-band", length = "1.5 in" }',
            HPipe,
        ),
        (
            'kind = "splayed X"\nincluded_angle = "45 deg"\ncutback = 0.333\nleg_length = "10 in"',
            SplayedX,
        ),
        (
            'kind = "parallel-to-splayed X"\ncutback = 0.28\nincluded_angle = "45 deg"\n'
            'leg_length = "10 in"\nspacing = "10.5 in"',
            ParallelToSplayedX,
        ),
    ],
)
def test_a_crossover_of_any_kind_between_two_pipes(text: str, kind: type) -> None:
    job = layout(DUALS + text + SAW)
    assert isinstance(job.system.joint, kind)
    assert job.system.joint.tube == job.system.tube
    assert [line.end for line in job.system.graph.lines] == ["meet", "open air"]


def test_two_banks_into_a_stepped_y() -> None:
    text = """
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
tube = "3-1/2 in x 16 ga"
from = "Y"
length = "80 in"
[[inlet]]
name = "l"
[[inlet]]
name = "r"
[joint]
kind = "Y merge"
at = "Y"
outlet = "3-1/2 in x 16 ga"
cutback = 0.371
"""
    joint = layout(text + SAW).system.joint
    assert isinstance(joint, YMerge)
    assert joint.outlet.name == "3-1/2 in x 16 ga"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('kind = "H pipe"', "joint.spacing is missing"),
        (
            'kind = "H pipe"\nspacing = "11 in"\ncutback = 0.2',
            "joint.cutback is not a key of joint",
        ),
        ('kind = "H pipe"\nspacing = "11 in"\nsplit = "clamp"', "joint.split must be { kind"),
        ('kind = "H pipe"\nspacing = "2 in"', "joint.spacing"),
        ('kind = "Z"', "joint.kind is not a known joint"),
    ],
)
def test_a_wrong_joint_is_told_by_its_key(text: str, said: str) -> None:
    assert any(line.startswith(said) for line in wrong(DUALS + text + SAW))
