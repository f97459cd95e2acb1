"""A sheet folder: whole files or none, and nothing that is not ours is ever replaced."""

from __future__ import annotations

import hashlib
import json
import os
from pathlib import Path

import pytest

from exhaust.errors import ExhaustError
from exhaust.sheet.folder import MANIFEST, checked_folder, write_folder

FIRST = {"job-sheet.html": b"<p>one</p>", "results.json": b"{}", "cut-list.csv": b"A,1\r\n"}
SECOND = {"job-sheet.html": b"<p>two</p>", "results.json": b"[]", "cut-list.csv": b"A,2\r\n"}


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def test_every_file_stands_in_the_manifest_with_its_hash(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "sheet"
    written = write_folder(folder, FIRST)
    assert [path.name for path in written] == [*FIRST, MANIFEST]
    manifest = json.loads((folder / MANIFEST).read_text())
    hashes = {name: hashlib.sha256(data).hexdigest() for name, data in FIRST.items()}
    assert manifest["files"] == hashes
    assert manifest["being_replaced"] == {}
    assert contents(folder) == FIRST | {MANIFEST: (folder / MANIFEST).read_bytes()}


def test_our_own_unchanged_files_are_replaced(tmp_path: Path) -> None:
    write_folder(tmp_path, FIRST)
    write_folder(tmp_path, SECOND)
    assert {name: data for name, data in contents(tmp_path).items() if name in SECOND} == SECOND


def test_other_files_in_the_folder_are_left_alone(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine")
    write_folder(tmp_path, FIRST)
    write_folder(tmp_path, SECOND)
    assert (tmp_path / "notes.txt").read_text() == "mine"


@pytest.mark.parametrize("name", sorted(FIRST))
def test_a_foreign_file_in_the_way_is_refused_by_name(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_text("somebody else's")
    before = contents(tmp_path)
    with pytest.raises(ExhaustError) as caught:
        write_folder(tmp_path, FIRST)
    said = str(caught.value)
    assert f"holds {name} that exhaust did not write" in said
    assert said.endswith("nothing was written: move it, or choose another --out")
    assert contents(tmp_path) == before


def test_every_file_in_the_way_is_named_at_once(tmp_path: Path) -> None:
    write_folder(tmp_path, {"results.json": b"{}"})
    (tmp_path / "results.json").write_bytes(b"{} edited")
    (tmp_path / "cut-list.csv").write_bytes(b"mine")
    with pytest.raises(ExhaustError) as caught:
        write_folder(tmp_path, FIRST)
    assert "holds cut-list.csv that exhaust did not write" in str(caught.value)
    assert "holds results.json changed since exhaust wrote it" in str(caught.value)


@pytest.mark.parametrize("name", sorted(FIRST))
def test_a_file_changed_since_is_refused_by_name(tmp_path: Path, name: str) -> None:
    write_folder(tmp_path, FIRST)
    (tmp_path / name).write_bytes(b"with my pencil notes")
    before = contents(tmp_path)
    with pytest.raises(ExhaustError, match=f"holds {name} changed since exhaust wrote it"):
        write_folder(tmp_path, SECOND)
    assert contents(tmp_path) == before


def test_a_file_taken_away_comes_back(tmp_path: Path) -> None:
    write_folder(tmp_path, FIRST)
    (tmp_path / "cut-list.csv").unlink()
    write_folder(tmp_path, SECOND)
    assert (tmp_path / "cut-list.csv").read_bytes() == SECOND["cut-list.csv"]


def test_a_file_of_ours_that_the_job_no_longer_makes_goes(tmp_path: Path) -> None:
    """A stale cut list beside a new sheet would be sawn to."""
    write_folder(tmp_path, FIRST)
    fewer = {name: data for name, data in SECOND.items() if name != "cut-list.csv"}
    write_folder(tmp_path, fewer)
    assert not (tmp_path / "cut-list.csv").exists()


def test_a_stale_file_with_changes_is_refused_not_removed(tmp_path: Path) -> None:
    write_folder(tmp_path, FIRST)
    (tmp_path / "cut-list.csv").write_bytes(b"mine now")
    with pytest.raises(ExhaustError, match=r"holds cut-list.csv changed"):
        write_folder(tmp_path, {"job-sheet.html": b"x"})
    assert (tmp_path / "cut-list.csv").read_bytes() == b"mine now"


@pytest.mark.parametrize(
    "manifest",
    [
        "", "not json", "[]", "3", "{}", '{"kind": "another"}',
        '{"kind": "exhaust job sheet"}',
        '{"kind": "exhaust job sheet", "files": [], "being_replaced": {}}',
        "\ud800",
    ],
)  # fmt: skip
def test_a_manifest_that_is_not_ours_is_refused(tmp_path: Path, manifest: str) -> None:
    (tmp_path / MANIFEST).write_bytes(manifest.encode("utf-8", "surrogatepass"))
    with pytest.raises(ExhaustError, match=r"manifest.json was not written by exhaust, or was"):
        write_folder(tmp_path, FIRST)
    assert list(contents(tmp_path)) == [MANIFEST]


def test_a_manifest_cannot_send_us_to_other_files(tmp_path: Path) -> None:
    """A manifest may list a path outside; only the sheet's own fixed names are ever touched."""
    outside = tmp_path / "outside.txt"
    outside.write_bytes(b"keep")
    folder = tmp_path / "sheet"
    folder.mkdir()
    hash_ = hashlib.sha256(b"keep").hexdigest()
    listing = {"kind": "exhaust job sheet", "being_replaced": {}, "files": {}}
    listing["files"] = {"../outside.txt": hash_, str(outside): hash_}
    (folder / MANIFEST).write_text(json.dumps(listing))
    write_folder(folder, FIRST)
    assert outside.read_bytes() == b"keep"


def test_a_link_in_the_way_is_foreign(tmp_path: Path) -> None:
    target = tmp_path / "target.html"
    target.write_bytes(FIRST["job-sheet.html"])
    folder = tmp_path / "sheet"
    write_folder(folder, FIRST)
    (folder / "job-sheet.html").unlink()
    (folder / "job-sheet.html").symlink_to(target)
    with pytest.raises(ExhaustError, match=r"holds job-sheet.html that exhaust did not write"):
        write_folder(folder, SECOND)
    assert target.read_bytes() == FIRST["job-sheet.html"]


def test_a_folder_in_the_place_of_a_file_is_foreign(tmp_path: Path) -> None:
    (tmp_path / "results.json").mkdir()
    with pytest.raises(ExhaustError, match=r"holds results.json that exhaust did not write"):
        write_folder(tmp_path, FIRST)


def test_out_must_be_a_folder(tmp_path: Path) -> None:
    path = tmp_path / "file"
    path.write_text("mine")
    for out in (path, path / "under", path / "two" / "under"):
        with pytest.raises(ExhaustError, match=r"is not a folder; choose another --out"):
            checked_folder(out, tuple(FIRST))
        with pytest.raises(ExhaustError, match=r"is not a folder; choose another --out"):
            write_folder(out, FIRST)
    assert path.read_text() == "mine"


@pytest.mark.parametrize("name", ["x" * 300, "a\0b"])
def test_a_name_that_no_folder_can_have_is_one_sentence(tmp_path: Path, name: str) -> None:
    with pytest.raises(ExhaustError, match=r"cannot be (used|made) \(.*\); choose another --out"):
        write_folder(tmp_path / name, FIRST)


def test_a_place_that_may_not_be_written_to_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As the operating system says it; whoever runs the tests may be allowed everything."""
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(ExhaustError, match=r"may not be written to; choose another --out"):
        write_folder(tmp_path / "sheet", FIRST)
    assert not (tmp_path / "sheet").exists()


class Failing:
    """Stands in for a function of `os`: fails the time that it is told to."""

    def __init__(self, real: object, at: int, error: BaseException) -> None:
        self.real, self.left, self.error = real, at, error

    def __call__(self, *args: object, **named: object) -> object:
        self.left -= 1
        if self.left == 0:
            raise self.error
        return self.real(*args, **named)  # type: ignore[operator]


FULL = OSError(28, "No space left on device")


@pytest.mark.parametrize("at", [1, 2, 3, 4, 5])
@pytest.mark.parametrize("error", [FULL, KeyboardInterrupt()])
@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_failure_at_any_moment_leaves_whole_files_and_a_folder_that_still_works(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: int, error: BaseException, step: str
) -> None:
    write_folder(tmp_path, FIRST)
    with monkeypatch.context() as patch:
        patch.setattr(os, step, Failing(getattr(os, step), at, error))
        with pytest.raises((ExhaustError, KeyboardInterrupt)):
            write_folder(tmp_path, SECOND)
    found = contents(tmp_path)
    assert set(found) == {*FIRST, MANIFEST}, "no temporary file is left"
    for name in FIRST:
        assert found[name] in (FIRST[name], SECOND[name]), "whole and old, or whole and new"
    write_folder(tmp_path, SECOND)  # the next run knows every file as its own
    assert {name: data for name, data in contents(tmp_path).items() if name in SECOND} == SECOND


def test_a_failure_in_a_new_folder_leaves_no_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "fsync", Failing(os.fsync, 1, FULL))
    with pytest.raises(ExhaustError, match=r"cannot be written \(No space left on device\)"):
        write_folder(tmp_path / "a" / "b", FIRST)
    assert not list(tmp_path.iterdir())
