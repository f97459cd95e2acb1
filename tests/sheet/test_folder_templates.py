"""Templates in the job sheet's folder: whole, ours, the same each time, with the job's name."""

from __future__ import annotations

import io
from pathlib import Path

import ezdxf
import pytest
from pypdf import PdfReader

from exhaust import ExhaustError, load_job, save_templates
from exhaust.sheet import save_sheet
from exhaust.sheet.answers import Answers


def test_the_folders_templates_are_those_of_save_templates(
    demo_files: dict[str, bytes], demo_answers: Answers, tmp_path: Path
) -> None:
    """The cut sheet's joint, on the paper of the job's units, under the job's name."""
    cut = demo_answers.cut
    assert cut is not None
    name = demo_answers.job.name
    for suffix in (".pdf", ".dxf"):
        path = save_templates(cut, tmp_path / f"t{suffix}", paper="Letter", job=name)
        assert path.read_bytes() == demo_files[f"templates{suffix}"]


def test_paper_follows_the_units(
    demo_files: dict[str, bytes], hostile_files: dict[str, bytes]
) -> None:
    """Letter is 612 by 792 points, A4 595.3 by 841.9."""
    for files, wide in ((demo_files, 612.0), (hostile_files, 595.3)):
        page = PdfReader(io.BytesIO(files["templates.pdf"])).pages[0]
        assert float(page.mediabox.width) == pytest.approx(wide, abs=0.1)


def test_hostile_names_stay_words_in_both_files(
    demo_files: dict[str, bytes], hostile_files: dict[str, bytes]
) -> None:
    page = PdfReader(io.BytesIO(hostile_files["templates.pdf"])).pages[0]
    assert "<script>alert('x')</script>" in page.extract_text()
    counts = []
    for files in (demo_files, hostile_files):
        drawing = ezdxf.read(io.StringIO(files["templates.dxf"].decode("utf-8")))
        counts.append(sorted(one.dxftype() for one in drawing.modelspace()))
    assert counts[0] == counts[1], "nothing of a name becomes a line or a code"


def test_a_foreign_template_is_refused_before_anything_is_asked(tmp_path: Path) -> None:
    (tmp_path / "templates.pdf").write_bytes(b"mine")
    answers = Answers(load_job("v8-parallel-x.toml"))
    with pytest.raises(ExhaustError, match=r"holds templates.pdf that exhaust did not write"):
        save_sheet(answers, tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["templates.pdf"]
    assert "tubes" not in vars(answers)
