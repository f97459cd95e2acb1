"""A file of templates: whole or none, the same each time, never over what is not ours."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from read_pdf import read

from exhaust import ExhaustError, HPipe, Tube, save_templates

TUBE = Tube(od="63.5 mm", wall="1.651 mm")
H = HPipe(TUBE, spacing="230 mm")
OTHER = HPipe(TUBE, spacing="240 mm", angle="80 deg")
KINDS = (".pdf", ".dxf")


@pytest.mark.parametrize("suffix", KINDS)
def test_the_same_joint_gives_the_same_bytes(tmp_path: Path, suffix: str) -> None:
    one, two = (save_templates(H, tmp_path / f"{n}{suffix}", job="Дмитрий V8") for n in "ab")
    assert one.read_bytes() == two.read_bytes()


@pytest.mark.parametrize("suffix", KINDS)
def test_another_process_gives_the_same_bytes(tmp_path: Path, suffix: str) -> None:
    """Another hash seed, another time of day in another zone."""
    here = save_templates(H, tmp_path / f"here{suffix}")
    there = tmp_path / f"there{suffix}"
    code = (
        "from exhaust import HPipe, Tube, save_templates\n"
        'tube = Tube(od="63.5 mm", wall="1.651 mm")\n'
        f'save_templates(HPipe(tube, spacing="230 mm"), {str(there)!r})'
    )
    env = {**os.environ, "PYTHONHASHSEED": "7", "TZ": "Asia/Kathmandu"}
    subprocess.run([sys.executable, "-c", code], check=True, env=env)
    assert there.read_bytes() == here.read_bytes()


@pytest.mark.parametrize("suffix", KINDS)
def test_our_own_file_is_replaced(tmp_path: Path, suffix: str) -> None:
    path = save_templates(H, tmp_path / f"t{suffix}")
    before = path.read_bytes()
    assert save_templates(OTHER, path) == path
    assert path.read_bytes() != before
    assert save_templates(H, path).read_bytes() == before
    assert [file.name for file in tmp_path.iterdir()] == [path.name]


@pytest.mark.parametrize("suffix", KINDS)
def test_a_foreign_file_is_not_overwritten(tmp_path: Path, suffix: str) -> None:
    path = tmp_path / f"t{suffix}"
    path.write_bytes(b"somebody else's")
    with pytest.raises(ExhaustError, match=r"was not written by exhaust; it is not overwritten"):
        save_templates(H, path)
    assert path.read_bytes() == b"somebody else's"


@pytest.mark.parametrize("suffix", KINDS)
@pytest.mark.parametrize("where", ["start", "middle", "end"])
def test_a_file_changed_since_is_not_overwritten(tmp_path: Path, suffix: str, where: str) -> None:
    path = save_templates(H, tmp_path / f"t{suffix}")
    data = path.read_bytes()
    place = {"start": 120, "middle": len(data) // 2, "end": len(data)}[where]
    changed = data[:place] + b" pencil " + data[place:]
    path.write_bytes(changed)
    with pytest.raises(ExhaustError, match="was changed since exhaust wrote it; it is not over"):
        save_templates(H, path)
    assert path.read_bytes() == changed


def test_a_folder_or_a_link_in_the_way_is_refused(tmp_path: Path) -> None:
    (tmp_path / "folder.pdf").mkdir()
    target = save_templates(H, tmp_path / "target.pdf")
    (tmp_path / "link.pdf").symlink_to(target)
    before = target.read_bytes()
    for name in ("folder.pdf", "link.pdf"):
        with pytest.raises(ExhaustError, match="was not written by exhaust"):
            save_templates(OTHER, tmp_path / name)
    assert target.read_bytes() == before


@pytest.mark.parametrize("suffix", KINDS)
def test_a_failure_on_the_way_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, suffix: str
) -> None:
    path = save_templates(H, tmp_path / f"t{suffix}")
    before = path.read_bytes()

    def full(*paths: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    for name in (path.name, f"new{suffix}"):
        with pytest.raises(ExhaustError, match=r"cannot be written \(No space left on device\)"):
            save_templates(OTHER, tmp_path / name)
    assert path.read_bytes() == before
    assert [file.name for file in tmp_path.iterdir()] == [path.name]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("templates.txt", r"path must end in .pdf or .dxf \(got '.*templates.txt'\); the ending"),
        ("templates", r"path must end in .pdf or .dxf"),
        ("no/such/folder/t.pdf", r"cannot be written \(No such file or directory\); check the f"),
        ("a\0b.pdf", r"cannot be written"),
    ],
)
def test_a_path_that_cannot_be_is_refused_in_words(tmp_path: Path, name: str, said: str) -> None:
    with pytest.raises(ExhaustError, match=said):
        save_templates(H, f"{tmp_path}/{name}")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"paper": "A3"}, r"paper is not a known choice \(got 'A3'\); nearest: \"A4\""),
        ({"paper": "letter"}, r"paper is not a known choice \(got 'letter'\); nearest: \"Letter\""),
        ({"paper": 4}, r"paper is not a known choice \(got 4\)"),
        ({"job": 7}, r"job must be text \(got 7\)"),
        ({"thickness": "3 mm"}, r"thickness must be between 0 mm and 1 mm"),
        ({"edge": "ground"}, r"edge is not a known way to make an edge \(got 'ground'\)"),
    ],
)
def test_what_cannot_be_is_refused_before_a_file_is_made(
    tmp_path: Path, given: dict[str, object], said: str
) -> None:
    with pytest.raises(ExhaustError, match=said):
        save_templates(H, tmp_path / "t.pdf", **given)  # type: ignore[arg-type]
    assert not list(tmp_path.iterdir())


def test_only_a_cut_sheet_or_a_joint_has_templates(tmp_path: Path) -> None:
    with pytest.raises(ExhaustError, match=r"joint must be a joint \(got Tube\)"):
        save_templates(TUBE, tmp_path / "t.pdf")  # type: ignore[arg-type]
    with pytest.raises(ExhaustError, match=r"path must be text or a Path \(got 3\)"):
        save_templates(H, 3)  # type: ignore[arg-type]


NAMES = {
    "brackets": (r"a(b)c\) Tj ET (pwned", r"a(b)c\) Tj ET (pwned"),
    "path": ("../../outside/x.pdf", "../../outside/x.pdf"),
    "lines": ("one\ntwo\r\nthree\x00\x1b[0m", "one two three [0m"),
    "turned": ("abc\u202edef", "abc def"),
    "latin": ("Señor Müller, 2½ in × 16 ga", "Señor Müller, 2½ in × 16 ga"),
}


@pytest.mark.parametrize("name", NAMES)
def test_a_name_is_printed_as_it_is_and_leads_nowhere(tmp_path: Path, name: str) -> None:
    given, printed = NAMES[name]
    inside = tmp_path / "inside"
    inside.mkdir()
    path = save_templates(H, inside / "t.pdf", job=given)
    assert [file.relative_to(tmp_path) for file in tmp_path.rglob("*.*")] == [
        path.relative_to(tmp_path)
    ]
    pages = read(path)
    assert len(pages) > 3
    for page in pages:
        assert any(words.endswith(printed) for _, words in page.words)


def test_other_alphabets_are_printed_and_what_no_font_has_is_marked(tmp_path: Path) -> None:
    """Text in an embedded font is coded: pypdf turns it back by the map in the file."""
    from pypdf import PdfReader

    path = save_templates(H, tmp_path / "t.pdf", job="Дмитрий Žižek 排気")
    text = PdfReader(path).pages[0].extract_text()
    assert "Дмитрий Žižek ??" in text


def test_a_long_name_is_cut_to_the_page(tmp_path: Path) -> None:
    path = save_templates(H, tmp_path / "t.pdf", job="long name " * 40)
    (under,) = [words for _, words in read(path)[0].words if words.startswith("long name")]
    assert len(under) < 130
    assert under.endswith("…")
