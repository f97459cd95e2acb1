"""Files of templates, read back and measured: the right length to 0.01 mm on any paper."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from read_pdf import Array, Page, Stroke, read

from exhaust import (
    Bend,
    HPipe,
    ParallelX,
    Saw,
    SplayedX,
    Tube,
    YMerge,
    cut_sheet,
    save_templates,
    show,
)
from exhaust.cutmath.template import Template
from exhaust.cutmath.templates import templates
from exhaust.joints import Joint

DEGREE = math.pi / 180
PRINTED = 0.01e-3  # [m]; a fiftieth of the thinnest gap that paper shows
CUT, CROSS, BAR = 0.30e-3, 0.18e-3, 0.30e-3  # widths of lines [m], as the sheets have them
PAPERS = {"A4": (0.210, 0.297), "Letter": (0.2159, 0.2794)}

TUBE = Tube(od="63.5 mm", wall="1.651 mm")
BEND = Bend(TUBE, clr="95.25 mm")
JOINTS: dict[str, Joint] = {
    "square": HPipe(TUBE, balance_tube=Tube(od="50.8 mm", wall="1.651 mm"), spacing="230 mm"),
    "skew": HPipe(TUBE, spacing="260 mm", angle="60 deg"),
    "splayed": SplayedX(TUBE, included_angle="45 deg", cutback=1 / 3, leg_length="200 mm"),
    "wide": SplayedX(
        Tube(od="4 in", wall="16 ga"), included_angle="30 deg", cutback=1 / 3, leg_length="16 in"
    ),
    "huge": SplayedX(
        Tube(od="6 in", wall="16 ga"), included_angle="24 deg", cutback=0.45, leg_length="40 in"
    ),
    "parallel": ParallelX(BEND, cutback=0.3),
    "merge": YMerge(BEND, outlet=Tube(od="76.2 mm", wall="1.651 mm")),
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("templates")


def saved(folder: Path, name: str, paper: str = "A4") -> list[Page]:
    path = folder / f"{name}-{paper}.pdf"
    if not path.exists():
        save_templates(JOINTS[name], path, paper=paper, job="Demo (invented)")
    return read(path)


def said(page: Page) -> list[str]:
    return [words for _, words in page.words]


def pages_of(pages: list[Page], template: Template) -> list[Page]:
    """The pages with a template's name and its tube at their head."""
    return [
        page
        for page in pages
        if said(page)[0] == template.name and said(page)[1].startswith(f"{template.tube} ")
    ]


def drawn(page: Page, width: float) -> list[Stroke]:
    """The strokes of a template, which are clipped to its tile; bars and rules are not."""
    return [stroke for stroke in page.of_width(width) if stroke.clip is not None]


# On paper


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", JOINTS)
def test_every_page_has_both_bars_at_their_length(folder: Path, name: str, paper: str) -> None:
    for page in saved(folder, name, paper):
        assert sorted((page.width, page.height)) == pytest.approx(PAPERS[paper], abs=PRINTED)
        bars = [np.ptp(s.points[:, 0]) for s in page.of_width(BAR) if s.clip is None]
        assert sorted(bars) == pytest.approx([0.100, 0.1016], abs=PRINTED)
        assert {"100 mm", "4 in"} <= set(said(page))
        assert any("Measure both bars before cutting" in words for words in said(page))
        assert "Cautions stand on sheet 1; mind them." in said(page)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", JOINTS)
def test_nothing_is_printed_in_the_margins(folder: Path, name: str, paper: str) -> None:
    """What is seen of every line is 7 mm or more from the edge: within any printer's reach."""
    for page in saved(folder, name, paper):
        for stroke in page.strokes:
            x, y = stroke.points[stroke.seen].T
            assert ((x > 7e-3) & (x < page.width - 7e-3)).all()
            assert ((y > 7e-3) & (y < page.height - 7e-3)).all()


@pytest.mark.parametrize("paper", PAPERS)
def test_a_mitre_measures_od_tangent_by_the_way_round(folder: Path, paper: str) -> None:
    """Exact: od tan(22.5 deg) high, pi (od + 0.1 mm) long."""
    pages = saved(folder, "splayed", paper)
    (page,) = (page for page in pages if said(page)[0] == "leg: mitre")
    (cut,) = drawn(page, CUT)
    assert np.ptp(cut.points[:, 0]) == pytest.approx(math.pi * 63.6e-3, abs=PRINTED)
    height = 63.5e-3 * math.tan(22.5 * DEGREE)
    assert np.ptp(cut.points[:, 1]) == pytest.approx(height, abs=PRINTED)
    assert cut.seen.all()


@pytest.mark.parametrize("paper", PAPERS)
def test_a_saddle_and_its_hole_measure_as_their_closed_forms(folder: Path, paper: str) -> None:
    """Exact: A - sqrt(A² - r²) deep outside; hole 2 r by 2 (A + p/2) asin(r/A), inside."""
    a, outside, bore = 31.75e-3, 25.4e-3, 23.749e-3
    pages = saved(folder, "square", paper)
    (end,) = (page for page in pages if said(page)[0] == "balance tube, either end")
    (cut,) = drawn(end, CUT)
    assert np.ptp(cut.points[:, 1]) == pytest.approx(a - math.sqrt(a**2 - outside**2), abs=PRINTED)
    assert np.ptp(cut.points[:, 0]) == pytest.approx(math.pi * 50.9e-3, abs=PRINTED)
    (primary,) = (page for page in pages if said(page)[0].startswith("hole for balance tube"))
    (hole,) = drawn(primary, CUT)
    round_it = 2 * (a + 0.05e-3) * math.asin(bore / a)
    assert np.ptp(hole.points, axis=0) == pytest.approx([round_it, 2 * bore], abs=PRINTED)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", JOINTS)
def test_sheets_joined_by_their_crosses_give_the_whole_outline(
    folder: Path, name: str, paper: str
) -> None:
    """Only what each sheet shows is used, and only crosses that two sheets both show."""
    pages = saved(folder, name, paper)
    for template in templates(JOINTS[name]):
        sheets = pages_of(pages, template)
        assert sheets, template.name
        for number, outline in enumerate((*template.of("cut"), *template.of("hole"))):
            assembled(sheets, number, outline)


def assembled(sheets: list[Page], number: int, outline: Array) -> None:
    shifts = joined(sheets)
    seen = np.zeros(len(outline), dtype=bool)
    zero = None
    for sheet, shift in zip(sheets, shifts, strict=True):
        stroke = drawn(sheet, CUT)[number]
        placed = stroke.points + shift
        if zero is None:
            first = int(np.argmax(stroke.seen))
            zero = placed[first] - outline[first]  # where the first sheet lies
        assert np.abs(placed - zero - outline)[stroke.seen].max() < PRINTED
        seen |= stroke.seen
    assert seen.all()


def joined(sheets: list[Page]) -> list[Array]:
    """How far to move each sheet so that the crosses that it shares with others coincide."""
    marks = [centres(sheet) for sheet in sheets]
    shifts: dict[int, Array] = {0: np.zeros(2)}
    while len(shifts) < len(sheets):
        before = len(shifts)
        for i, mark in enumerate(marks):
            for j in [j for j in shifts if i not in shifts]:
                shared = sorted(mark.keys() & marks[j].keys())
                if len(shared) < 2:
                    continue
                moves = [marks[j][k] + shifts[j] - mark[k] for k in shared]
                assert np.ptp(moves, axis=0).max() < PRINTED
                shifts[i] = moves[0]
                break
        assert len(shifts) > before, "sheets that share no two crosses"
    return [shifts[i] for i in range(len(sheets))]


def centres(sheet: Page) -> dict[str, Array]:
    """The crosses that a sheet shows in whole, by the letter beside each."""
    arms = drawn(sheet, CROSS)
    letters = {
        words: np.array(at) for at, words in sheet.words if len(words) == 1 and words.isupper()
    }
    found = {}
    for level, upright in zip(arms[::2], arms[1::2], strict=True):
        centre = level.points.mean(axis=0)
        assert upright.points.mean(axis=0) == pytest.approx(centre, abs=1e-6)
        if level.seen.all() and upright.seen.all():
            (letter,) = (w for w, at in letters.items() if np.abs(at - centre).max() < 1.2e-3)
            found[letter] = centre
    return found


def test_the_file_asks_not_to_be_scaled(folder: Path) -> None:
    from pypdf import PdfReader

    saved(folder, "square")
    root = PdfReader(folder / "square-A4.pdf").trailer["/Root"]
    assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_large_templates_really_take_rows_and_columns(folder: Path) -> None:
    """The check above is worth something only if there is something to join."""
    words = {text for page in saved(folder, "huge") for text in said(page)}
    assert any(text.startswith("row 2 of 2, column 3 of 3") for text in words)
    assert "row 1 of 1, column 2 of 2" in {
        text for page in saved(folder, "wide", "Letter") for text in said(page)
    }


def test_a_join_keeps_clear_of_the_clock_lines(folder: Path) -> None:
    for name in ("wide", "huge"):
        for page in saved(folder, name):
            clocks = [s.points[0, 0] for s in page.of_width(0.12e-3, dashed=True)]
            for cross in drawn(page, CROSS)[1::2]:
                off = [abs(cross.points[0, 0] - clock) for clock in clocks]
                joins_columns = "column 1 of 1" not in " ".join(said(page))
                assert min(off) > 7e-3 or joins_columns


def test_the_first_sheet_lists_every_template_and_where_it_is(folder: Path) -> None:
    for name in JOINTS:
        pages = saved(folder, name)
        first = said(pages[0])
        for template in templates(JOINTS[name]):
            numbers = [i for i, page in enumerate(pages, 1) if page in pages_of(pages, template)]
            row = first.index(template.name)
            entry = first[row : row + 4]
            if entry[1] == template.tube:
                assert entry[2] == f"cut {template.pieces}, {template.hand}"
                assert numbers == list(range(numbers[0], numbers[-1] + 1))
                more = f"sheets {numbers[0]} to {numbers[-1]}"
                assert entry[3] == (more if len(numbers) > 1 else f"sheet {numbers[0]}")
        assert any("respirator" in words for words in first)
        for number, page in enumerate(pages, start=1):
            assert f"sheet {number} of {len(pages)}" in said(page)
            assert any("Demo (invented)" in words for words in said(page))


@pytest.mark.parametrize("name", ["parallel", "merge"])
def test_cuts_on_bends_are_a_table(folder: Path, name: str) -> None:
    words = said(saved(folder, name)[1])
    assert words[0] == "Marks for the slice of a bend"
    assert "45.0" in words


def test_a_joint_in_inches_prints_the_same_lines(folder: Path, tmp_path: Path) -> None:
    inch = SplayedX(
        Tube(od="2-1/2 in", wall="16 ga"),
        included_angle="45 deg",
        cutback=1 / 3,
        leg_length="7.874015748031496 in",
    )
    other = read(save_templates(inch, tmp_path / "inch.pdf"))
    for one, two in zip(saved(folder, "splayed")[1:], other[1:], strict=True):
        for first, second in zip(drawn(one, CUT), drawn(two, CUT), strict=True):
            assert np.ptp(first.points, axis=0) == pytest.approx(
                np.ptp(second.points, axis=0), abs=1e-7
            )


def test_a_cut_sheet_has_the_templates_of_its_joint(tmp_path: Path) -> None:
    x = JOINTS["parallel"]
    by_sheet = save_templates(cut_sheet(x, Saw(kerf="1.1 mm")), tmp_path / "sheet.pdf")
    by_joint = save_templates(x, tmp_path / "joint.pdf")
    assert by_sheet.read_bytes() == by_joint.read_bytes()


def test_lettering_is_in_the_unit_system_in_use(tmp_path: Path) -> None:
    with show.shown_in("metric"):
        pages = read(save_templates(JOINTS["splayed"], tmp_path / "metric.pdf"))
    words = [text for page in pages for text in said(page)]
    assert any(text.startswith("edge to square end 1") and text.endswith(" mm") for text in words)
