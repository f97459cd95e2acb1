"""The demo jobs: each is whole, invented, and answered by every page and every notebook."""

from __future__ import annotations

import re
from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

import exhaust
from exhaust.job import load_job
from exhaust.joints import HPipe
from exhaust.sheet import sheet_files
from exhaust.sheet.answers import Answers
from exhaust.sheet.content import chapters
from exhaust.tables import shipped

DEMOS = sorted((shipped("data") / "jobs").glob("*.toml"))
BOOKS = sorted(shipped("notebooks").glob("0[1-9]-*.ipynb"))  # 00 is driven in a browser
CLEAR = 0.001  # of power: a verdict so far from the threshold survives a change in a last digit

FOUR = shipped("data") / "jobs" / "inline-four-y-merge.toml"
SIX = shipped("data") / "jobs" / "v6-h-pipe.toml"


@pytest.fixture(scope="module")
def four() -> Answers:
    return Answers(load_job(FOUR))


@pytest.fixture(scope="module")
def six() -> Answers:
    return Answers(load_job(SIX))


@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.stem)
def test_a_demo_job_is_whole_and_plainly_invented(demo: Path) -> None:
    job = load_job(demo)
    assert (job.system.joint and job.saw and job.room and job.tubes and job.outlets) is not None
    assert "invented" in job.about.customer
    assert demo.read_text(encoding="utf-8").startswith("# A made-up job to learn from")
    listed = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
    assert f"`{demo.name}`" in listed


def test_the_four_is_what_such_engines_are(four: Answers) -> None:
    """Common practice, no source: a tuned 2.0 L four makes 150 to 200 hp; 745.7 W each."""
    assert 150 < four.flow.power / 745.7 < 200
    assert {inlet.cylinders for inlet in four.job.system.inlets} == {(1, 4), (2, 3)}
    order = four.job.engine.firing_order
    for pair in ((1, 4), (2, 3)):  # each pair fires evenly, half of the order apart
        assert abs(order.index(pair[0]) - order.index(pair[1])) == 2


def test_the_four_is_built_as_it_is_answered(four: Answers) -> None:
    system, merges = four.job.system, four.merges
    assert merges is not None
    assert four.tubes.choice == system.tube == merges.choice
    assert four.room is not None
    assert all(one.fits for one in four.room.fits)
    joint = system.joint
    assert joint is not None
    assert abs(joint.stretch) < 5e-4  # type: ignore[attr-defined]
    same = next(each for each in merges.options if each.outlet == system.tube)
    assert same.back_pressure == pytest.approx(four.through.back_pressure.middle, rel=2e-3)


def test_the_six_is_what_such_engines_are(six: Answers) -> None:
    """Common practice, no source: a 3.5 L V6 makes 250 to 320 hp; 745.7 W each.

    Exact: its banks fire in turn, one cylinder of one and then one of the other.
    """
    assert 250 < six.flow.power / 745.7 < 320
    engine = six.job.engine
    sides = [number in engine.left_bank for number in engine.firing_order]
    assert all(here != ahead for here, ahead in pairwise(sides))
    joint = six.job.system.joint
    assert isinstance(joint, HPipe)
    assert joint.split is not None


def test_the_six_is_built_as_it_is_answered(six: Answers) -> None:
    assert six.tubes.choice == six.job.system.tube
    assert six.room is not None
    assert all(one.fits for one in six.room.fits)
    assert six.cut is not None
    assert six.cut.warnings == ()


@pytest.mark.parametrize("name", ["four", "six"])
def test_no_verdict_stands_on_its_threshold(name: str, request: pytest.FixtureRequest) -> None:
    """Words on the sheet must not turn with the last digit of a library's arithmetic."""
    answers: Answers = request.getfixturevalue(name)
    worth = answers.job.limits.worth_having
    assert answers.merges is not None
    for each in (*answers.tubes.options, *answers.merges.options):
        low, middle, high = each.verdict.difference
        if each.fits and low != high:
            edges = {
                "better": (low, middle - worth),
                "worse": (-high, -middle - worth),
                "not worth deciding on": (worth - high, worth + low),
            }
            assert min(edges[each.verdict.word]) > CLEAR, each


@pytest.mark.parametrize(("name", "joint"), [("four", "The Y merge"), ("six", "The H pipe")])
def test_the_sheet_has_every_page(name: str, joint: str, request: pytest.FixtureRequest) -> None:
    answers: Answers = request.getfixturevalue(name)
    files = sheet_files(answers, date(2024, 3, 1))
    titles = re.findall(r"<h2>(.*?)</h2>", files["job-sheet.html"].decode("utf-8"))
    assert len(titles) == len(chapters(answers.job)) == len(set(titles))
    assert {joint, "Which merge", "Cut sheet", "Parts and stock"} <= set(titles)


def run(book: Path, demo: Path, folder: Path) -> list[str]:
    """Return what each code cell says when a notebook runs in `folder` on another job.

    Only its inputs cell is replaced, and the package is this very one.
    """
    import nbformat
    from nbclient import NotebookClient

    read: Any = nbformat.read(book, as_version=4)
    (inputs,) = [cell for cell in read.cells if "parameters" in cell.metadata.get("tags", ())]
    inputs.source = f'# INPUTS\njob_file = "{demo.name}"'
    done = NotebookClient(read, resources={"metadata": {"path": folder}}).execute()
    outputs = [cell.get("outputs", ()) for cell in done.cells if cell.cell_type == "code"]
    assert not [one for each in outputs for one in each if one.get("name") == "stderr"]
    return ["".join(one.get("text", "") + str(one.get("data", "")) for one in e) for e in outputs]


@pytest.mark.slow
@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.stem)
@pytest.mark.parametrize("book", BOOKS, ids=lambda path: path.stem)
def test_each_notebook_runs_on_every_demo_job(
    book: Path, demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It ends with what is kept, beside it and nowhere else, sound for the next one."""
    monkeypatch.setenv("PYTHONPATH", str(Path(exhaust.__file__).parents[1]))
    said = run(book, demo, tmp_path)
    assert load_job(demo).name in said[1]
    if book == BOOKS[-1]:
        assert f"Written to {demo.stem}-sheet" in said[-1]
        return
    (kept,) = tmp_path.iterdir()
    assert f'job_file = "{kept.name}"' in said[-1]
    assert load_job(kept).name == load_job(demo).name


@pytest.mark.slow
def test_the_choices_of_each_notebook_reach_the_folder_of_the_last(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Exact: the last cell and the command line write the same bytes, on one day."""
    from exhaust.__main__ import main

    monkeypatch.setenv("PYTHONPATH", str(Path(exhaust.__file__).parents[1]))
    named = FOUR
    for book in BOOKS:
        run(book, named, tmp_path)
        (named,) = tmp_path.glob("*-working.toml")
    ours = tmp_path / f"{FOUR.stem}-sheet"
    assert main(["sheet", str(named), "--out", str(tmp_path / "other")]) == 0
    for file in ours.iterdir():
        assert file.read_bytes() == (tmp_path / "other" / file.name).read_bytes(), file.name
    assert len(list(ours.iterdir())) == len(list((tmp_path / "other").iterdir()))
