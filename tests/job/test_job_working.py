"""Working copies: what is kept in them, and that nothing of anybody's is lost.

Invariant: a copy read again is the system that the comparison weighed, which never saw the text.
"""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from exhaust import HPipe, Tube, YMerge, keep_choice, load_job
from exhaust.choices.crossover_systems import Crossover, with_crossover
from exhaust.choices.forming import forming
from exhaust.choices.merged import merged
from exhaust.errors import ExhaustError, JobError
from exhaust.job import read_job
from exhaust.joints import Joint
from exhaust.stock import alike
from exhaust.system import System
from exhaust.tables import shipped

V8, V6, FOUR = "v8-parallel-x", "v6-h-pipe", "inline-four-y-merge"
DIGITS = 1e-5  # lengths are written to six digits


class Weighed(NamedTuple):
    """An option as a comparison gives it."""

    name: str
    joint: Joint | None
    system: System


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "temporary"))
    (tmp_path / "temporary").mkdir()


def job(name: str) -> Any:
    return load_job(f"{name}.toml")


def weighed(name: str, joint: Joint | None, behind: float = 0.0) -> Weighed:
    one = Crossover(joint, behind)
    return Weighed(one.name, joint, with_crossover(job(name).system, one))


def assert_same(one: System, other: System) -> None:
    for ours, theirs in zip(one.runs, other.runs, strict=True):
        assert ours.length == pytest.approx(theirs.length, rel=DIGITS)
        assert alike(ours.tube, theirs.tube)
        assert [b.clr for b in ours.bends] == pytest.approx([b.clr for b in theirs.bends], rel=1e-5)
    assert one.places == other.places
    assert type(one.joint) is type(other.joint)


def test_a_tube_is_kept_with_the_comments_and_found_by_its_name() -> None:
    kept = keep_choice(job(V8), tube=Tube(od="2-3/4 in", wall="16 ga"))
    assert kept.path == Path.cwd() / "v8-parallel-x-working.toml"
    copy = load_job(kept.path.name)
    assert copy.system.tube.name == "2-3/4 in x 16 ga"
    assert "# What the customer brings" in copy.text
    assert kept.path.name in repr(kept)
    assert kept.choice in repr(kept)


@pytest.mark.parametrize("outlet", ["54 mm", "60 mm", "63.5 mm"])
def test_an_outlet_is_kept_with_the_cutback_that_reaches_it(outlet: str) -> None:
    tube = Tube(od=outlet, wall="1.5 mm")
    four = job(FOUR)
    copy = load_job(keep_choice(four, outlet=tube).path).system
    assert_same(copy, merged(four.system, tube))
    assert isinstance(copy.joint, YMerge)
    assert alike(copy.joint.outlet, tube)
    assert copy.joint.cutback == pytest.approx(forming(copy.joint.tube, tube).cutback, abs=1e-4)


@pytest.mark.parametrize("name", [V8, V6])
def test_pipes_that_cross_are_not_merged(name: str) -> None:
    kept = keep_choice(job(name), outlet=Tube(od="3-1/2 in", wall="16 ga"))
    assert kept.choice == "the job as it is"
    assert load_job(kept.path).system == job(name).system


def test_another_cutback_and_an_h_in_its_place_are_kept() -> None:
    own = job(V8).system.joint
    deeper = weighed(V8, own.with_(cutback=0.34))
    copy = load_job(keep_choice(job(V8), crossover=deeper).path).system
    assert_same(copy, deeper.system)
    assert copy.joint.cutback == 0.34  # type: ignore[union-attr]
    across = HPipe(own.tube, balance_tube=Tube(od="2 in", wall="16 ga"), spacing="10.5 in")
    h = weighed(V8, across, behind=0.15)
    copy = load_job(keep_choice(job(V8), crossover=h).path).system
    assert_same(copy, h.system)
    assert copy.joint.balance_tube.name == "2 in x 16 ga"  # type: ignore[union-attr]
    assert copy.joint.spacing == pytest.approx(0.2667)  # type: ignore[union-attr]


def test_an_h_pipe_keeps_its_split_joint_and_its_middle_is_where_it_was_weighed() -> None:
    six = job(V6)
    tube = Tube(od="38 mm", wall="1.5 mm")
    h = weighed(V6, HPipe(six.tube, balance_tube=tube, spacing="300 mm"), behind=-0.2)
    copy = load_job(keep_choice(six, crossover=h).path).system
    joint = copy.joint
    assert isinstance(joint, HPipe)
    assert (joint.balance_tube.od, joint.split) == (tube.od, six.system.joint.split)
    assert joint.centreline_length == six.system.joint.centreline_length
    for here, there, way in zip(copy.runs[:2], six.system.runs[:2], (-1, 1), strict=True):
        assert here.length == pytest.approx(there.length + way * 0.2, rel=DIGITS)


def test_straight_pipes_are_kept_without_a_joint() -> None:
    none = weighed(V8, None)
    metal = read_job(job(V8).text.replace("# [measured]", "[measured]\nkerf = 0.05"), f"{V8}.toml")
    copy = load_job(keep_choice(metal, crossover=none).path).system
    assert copy.joint is None
    assert sum(r.length for r in copy.runs) == pytest.approx(
        sum(r.length for r in none.system.runs), rel=DIGITS
    )


def test_choices_add_up_in_one_working_copy() -> None:
    keep_choice(job(V8), tube=Tube(od="3-1/2 in", wall="16 ga"))
    copy = load_job("v8-parallel-x-working.toml")
    x = copy.system.joint
    deeper = Crossover(x.with_(cutback=0.25))  # type: ignore[union-attr]
    one = Weighed(deeper.name, deeper.joint, with_crossover(copy.system, deeper))
    kept = keep_choice(copy, crossover=one)
    assert kept.path.name == "v8-parallel-x-working.toml"
    again = load_job(kept.path)
    assert again.text.count("Working copy of") == 1
    assert again.system.tube.name == "3-1/2 in x 16 ga"
    assert [one.name for one in again.outlets] == ["3-1/2 in x 16 ga", "4 in x 16 ga"]
    assert again.system.joint.cutback == 0.25  # type: ignore[union-attr]


def test_a_working_copy_is_written_anew_but_not_once_it_was_changed() -> None:
    path = keep_choice(job(V8), tube=Tube(od="3-1/2 in", wall="16 ga")).path
    assert keep_choice(job(V8)).path == path
    assert load_job(path).system == job(V8).system
    mine = path.read_text().replace('customer = "', 'customer = "My ')
    path.write_text(mine)
    with pytest.raises(ExhaustError, match="was changed since"):
        keep_choice(job(V8))
    assert path.read_text() == mine
    changed = load_job(path)  # to go on from one's own change loses nothing
    keep_choice(changed, tube=Tube(od="3-1/2 in", wall="16 ga"))
    assert load_job(path).customer.startswith("My ")


def test_nothing_else_is_overwritten() -> None:
    path = Path("v8-parallel-x-working.toml")
    for text in ("", "mine", job(V8).text, job(V6).text):
        path.write_text(text)
        with pytest.raises(ExhaustError, match="no working copy"):
            keep_choice(job(V8))
        assert path.read_text() == text
    Path("other.toml").write_text(job(V8).text)
    kept = keep_choice(load_job("other.toml"))
    kept.path.replace(path)  # the working copy of another job under this one's name
    with pytest.raises(ExhaustError, match="no working copy"):
        keep_choice(job(V8))


@pytest.mark.parametrize("name", ["notebooks", "data"])
def test_beside_what_came_with_the_package_it_goes_to_the_temporary_folder(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(shipped(name))
    before = sorted(Path().iterdir())
    kept = keep_choice(job(V8), tube=Tube(od="3-1/2 in", wall="16 ga"))
    assert sorted(Path().iterdir()) == before
    assert kept.path.is_relative_to(tempfile.gettempdir())
    assert load_job(kept.path.name).system.tube.name == "3-1/2 in x 16 ga"


def test_what_cannot_be_is_told_and_nothing_is_written() -> None:
    with pytest.raises(JobError, match=r"balance_tube must not be wider"):
        keep_choice(job(V6), tube=Tube(od="48 mm", wall="1.5 mm"))
    with pytest.raises(ExhaustError, match="one choice at a time"):
        keep_choice(job(V6), tube=job(V6).tube, outlet=job(V6).tube)
    assert not list(Path().glob("*.toml"))
