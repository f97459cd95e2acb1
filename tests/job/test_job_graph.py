"""Cylinders against the engine, and wrong graphs told by their keys, all at once."""

from __future__ import annotations

from typing import Any

import pytest
import tomlkit
from demo_keys import TEXT
from test_job_layout import BANKS, wrong

from exhaust.errors import JobError
from exhaust.job import read_job


def with_inlets(*inlets: Any, pipes: int = 2, **engine: Any) -> tuple[str, ...]:
    """What the reader says of the demo job fed by `inlets`; the second starts a branch."""
    document: Any = tomlkit.parse(TEXT)
    document["system"]["pipes"] = pipes
    document["engine"].update(engine)
    document["inlet"] = [
        {"name": f"in {n}", **({"cylinders": list(one)} if one else {})}
        for n, one in enumerate(inlets, start=1)
    ]
    runs = document["run"]
    if len(inlets) > 1:
        runs[0]["from"] = "in 1"
        runs[0]["to"] = "meet"
        document["merge"] = [{"name": "meet"}]
        runs.insert(1, tomlkit.item({"name": "second", "length": "20 in"}))
        runs[1].update({"from": "in 2", "to": "meet"})
        runs.insert(2, tomlkit.item({"name": "after", "length": "20 in", "to": "X"}))
    if pipes == 1:
        document.remove("joint")
        document["shelf"].remove("outlets")
    try:
        read_job(tomlkit.dumps(document))
    except JobError as error:
        return error.mistakes
    return ()


@pytest.mark.parametrize(
    ("inlets", "pipes"),
    [
        (((),), 2),
        (((1, 3, 5, 7),), 2),
        (((2, 4, 6, 8),), 2),
        (((1, 3), (5, 7)), 2),
        (((1, 2, 3, 4, 5, 6, 7, 8),), 1),
        (((1, 3, 5, 7), (2, 4, 6, 8)), 1),
        (((), ()), 2),
    ],
)
def test_each_cylinder_feeds_one_inlet(inlets: Any, pipes: int) -> None:
    assert with_inlets(*inlets, pipes=pipes) == ()


@pytest.mark.parametrize(
    ("inlets", "pipes", "said"),
    [
        (((1, 3, 5),), 2, "inlet must name the cylinders of one pipe, 8 over 2 (got 3); or write"),
        (((1, 2, 3, 4, 5, 6, 7, 8),), 2, "inlet must name the cylinders of one pipe, 8 over 2"),
        (((1, 2, 3, 4),), 2, "inlet must name the cylinders of one bank (got 1, 2, 3 and 4; engi"),
        (((1, 3), (5, 8)), 2, "inlet must name the cylinders of one bank (got 1, 3, 5 and 8"),
        (((1, 3, 5, 9),), 2, "inlet 1.cylinders names cylinder 9 but the engine has 8"),
        (((1, 3), (3, 7)), 2, "inlet 2.cylinders names cylinder 3, which feeds inlet 1 already"),
        (((1, 3, 5, 7), ()), 2, "inlet 2.cylinders is missing; name them for every inlet or none"),
        (((1, 3, 5), (2, 4, 6)), 1, "inlet leaves out cylinder 7 and 8; each cylinder feeds one"),
    ],
)
def test_cylinders_that_do_not_add_up_are_told_once(inlets: Any, pipes: int, said: str) -> None:
    (only,) = with_inlets(*inlets, pipes=pipes)
    assert only.startswith(said)


def test_pipes_that_do_not_follow_the_banks_need_no_banks() -> None:
    """Without left_bank any four of eight may feed a pipe."""
    assert with_inlets((1, 2, 3, 4), left_bank=[]) == ()


def test_every_loose_end_is_told_by_its_key_at_once() -> None:
    text = BANKS.replace('from = "left bank"', 'from = "lfet bank"').replace(
        'name = "step up"', 'name = "step"'
    )
    said = wrong(text)
    assert [line.split(" ", 2)[:2] for line in said] == [
        ["run", "1.from"],
        ["inlet", "1"],
        ["cone", "1"],
    ]
    assert said[0] == (
        "run 1.from starts at 'lfet bank', where no run ends and no inlet stands; "
        'nearest: "left bank"'
    )
    assert said[2] == "cone 1 is on no run; name it in the from or to of a run"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('name = "right"\n', 'name = "left"\n', "run 2 has a name that is taken already, 'left'"),
        ('name = "merge"', 'name = "left bank"', "merge 1 has a name that is taken already"),
        ('to = "merge"', 'to = "nowhere"', "run 1.to goes to 'nowhere', and no run goes on"),
        ('to = "step up"\n', 'to = "left bank"\n', "run 3.to goes to 'left bank', where gas comes"),
        ('length = "80 in"', 'length = "80 in"\nfrom = "open air"', "run 4.from starts in the op"),
        (
            '[[merge]]\nname = "merge"\nangle = "10 deg"',
            '[[part]]\nname = "merge"\nloss = 1.0',
            "part 1 must lie between two runs (got 2 in and 1 out)",
        ),
        (
            'name = "stub"\ntube = "2-1/2 in x 16 ga"',
            'name = "stub"',
            "cone 1 lies between two runs of one size; leave it out",
        ),
        (
            "[[cone]]",
            '[[sensor]]\nname = "O2"\nrun = "lft"\ndistance = "5 in"\n[[cone]]',
            "sensor 1 is in run 'lft', which is not one",
        ),
    ],
)
def test_a_wrong_graph_starts_with_its_key(old: str, new: str, said: str) -> None:
    assert old in BANKS
    told = wrong(BANKS.replace(old, new, 1))
    assert any(line.startswith(said) for line in told), told


def test_a_joint_of_the_wrong_legs_or_tube_is_told_as_joint() -> None:
    document: Any = tomlkit.parse(TEXT)
    document["system"]["pipes"] = 3
    with pytest.raises(JobError, match=r"^joint must have 2 runs in and 2 out \(got 3 in and 3"):
        read_job(tomlkit.dumps(document))
    document["system"]["pipes"] = 2
    document["run"][1]["tube"] = "2-1/2 in x 16 ga"
    with pytest.raises(JobError, match=r"^joint is made of 3 in x 16 ga but run 'X to silenc"):
        read_job(tomlkit.dumps(document))


def test_the_short_form_needs_no_place_named() -> None:
    document: Any = tomlkit.parse(TEXT)
    for run in document["run"]:
        run.pop("to", None)
    for section in ("part", "sensor"):
        document.remove(section)
    document["joint"].remove("at")
    lines = read_job(tomlkit.dumps(document)).system.graph.lines
    assert [line.end for line in lines][:1] == ["joint"]
    assert len(lines) == 3
