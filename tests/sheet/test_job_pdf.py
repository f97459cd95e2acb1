"""The printed twin of the sheet: the same words and numbers, on paper of the right size.

What a page says is read back with pypdf, which the writer does not use.
"""

from __future__ import annotations

import json
import re
from datetime import date
from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader
from pypdf.generic import StreamObject

from exhaust import show
from exhaust.errors import ExhaustError
from exhaust.job import load_job
from exhaust.sheet import sheet_files
from exhaust.sheet.answers import Answers
from exhaust.sheet.blocks import Page
from exhaust.sheet.content import pages
from exhaust.sheet.customer import customer_page
from exhaust.sheet.figures import Figures
from exhaust.sheet.job_pdf import job_pdf
from exhaust.sheet.paging import PAPERS

POINT = 0.0254 / 72  # [m]


def read(pdf: bytes) -> list[str]:
    """Return the words of each page in one line, as they follow each other."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(pdf)).pages]


def bare(text: str) -> str:
    """Return text without spaces: a line may end anywhere."""
    return re.sub(r"\s", "", text)


@pytest.fixture(scope="module")
def words(demo_files: dict[str, bytes]) -> str:
    return bare("".join(read(demo_files["job-sheet.pdf"])))


def test_every_heading_of_the_html_stands_in_the_pdf_in_order(
    demo_files: dict[str, bytes], words: str
) -> None:
    found = re.findall(r"<h[23]>(.*?)</h[23]>", demo_files["job-sheet.html"].decode())
    assert len(found) > 20
    at = 0
    for title in found:
        at = words.index(bare(title), at)


def test_the_numbers_of_results_json_are_printed(demo_files: dict[str, bytes], words: str) -> None:
    """Conversions by hand: 1 psi = 6894.757 Pa, 1 lb = 0.45359237 kg (exact), K to degF."""
    results = json.loads(demo_files["results.json"])["results"]
    system, gas = results["system"]["values"], results["gas_flow"]["values"]
    pressure = system["back_pressure"]["value"] / 6894.757
    assert bare(f"Back pressure {pressure:.2f} psi") in words
    cost = 100 * system["power_cost"]["value"]
    assert bare(f"Power cost {cost:.1f} %") in words
    hot = gas["gas_temperature"]["value"] * 1.8 - 459.67
    assert bare(f"Gas temperature {hot:.0f} °F") in words
    flow = gas["exhaust"]["value"] / 0.45359237 * 60
    assert bare(f"Exhaust {flow:.1f} lb/min") in words


def test_every_fact_of_every_result_is_printed(demo_answers: Answers, words: str) -> None:
    with show.shown_in("inch"):
        for result in demo_answers.results().values():
            for fact in result.facts():
                if not fact.name.endswith((", low", ", high")):
                    assert bare(fact.text()) in words, fact


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_pages_are_of_the_paper_asked_for(demo_answers: Answers, paper: str) -> None:
    """ISO 216: A4 is 210 by 297 mm; ANSI/ASME Y14.1: Letter is 8-1/2 by 11 in."""
    made = pages(demo_answers, iter)
    pdf = job_pdf(demo_answers.job, made, date(2024, 3, 1), PAPERS[paper])
    wide, high = {"A4": (0.210, 0.297), "Letter": (0.2159, 0.2794)}[paper]
    found = PdfReader(BytesIO(pdf)).pages
    for number, page in enumerate(found, start=1):
        assert float(page.mediabox.width) * POINT == pytest.approx(wide, abs=1e-5)
        assert float(page.mediabox.height) * POINT == pytest.approx(high, abs=1e-5)
        assert f"page {number} of {len(found)}" in page.extract_text()


def test_paper_follows_the_job_and_an_unknown_one_is_refused(
    demo_answers: Answers, demo_files: dict[str, bytes]
) -> None:
    page = PdfReader(BytesIO(demo_files["job-sheet.pdf"])).pages[0]
    assert float(page.mediabox.width) == pytest.approx(8.5 * 72)
    with pytest.raises(ExhaustError, match=r'paper is not a known choice .*nearest: "A4"'):
        sheet_files(demo_answers, paper="A3")


def test_hostile_text_stays_text(hostile_files: dict[str, bytes]) -> None:
    said = bare("".join(read(hostile_files["job-sheet.pdf"])))
    assert "<script>alert('x')</script><imgsrc=xonerror=y>&amp;{{7*7}}" in said
    assert b"/JavaScript" not in hostile_files["job-sheet.pdf"]
    assert b"/URI" not in hostile_files["job-sheet.pdf"]


def test_figures_are_lines_not_dots(demo_files: dict[str, bytes]) -> None:
    """A drawing printed at any size stays sharp: no picture made of dots is in the file."""
    reader = PdfReader(BytesIO(demo_files["job-sheet.pdf"]))
    assert all(len(page.images) == 0 for page in reader.pages)
    assert sum(one.get_data().count(b" l\n") for _, one in figures(reader)) > 500


def figures(reader: PdfReader) -> list[tuple[int, StreamObject]]:
    """Return every figure and the number of its page, in the order of their names."""
    found = [
        (int(name.removeprefix("/Figure")), number, form.get_object())
        for number, page in enumerate(reader.pages, start=1)
        for name, form in page["/Resources"].get("/XObject", {}).items()
    ]
    return [(number, form) for _, number, form in sorted(found, key=lambda one: one[0])]


def test_every_figure_of_the_html_stands_over_its_caption(demo_files: dict[str, bytes]) -> None:
    """The room of each ends above its caption, is of its own shape, and keeps to the page."""
    reader = PdfReader(BytesIO(demo_files["job-sheet.pdf"]))
    placed = figures(reader)
    assert len(placed) == demo_files["job-sheet.html"].count(b"<svg") > 10
    for n, (number, form) in enumerate(placed, start=1):
        page = reader.pages[number - 1]
        data = page.get_contents().get_data().decode("latin-1")
        wide, _, _, high, x, y = re.search(rf"q\s([^q]*?) cm\s/Figure{n} Do", data)[1].split()
        left, bottom, right, top = (float(side) for side in form["/BBox"])
        assert float(wide) == pytest.approx(float(high), rel=1e-3)  # not stretched
        assert float(x) >= 0
        assert float(x) + float(wide) * (right - left) <= float(page.mediabox.width)
        assert float(y) + float(high) * (top - bottom) <= float(page.mediabox.height)
        below: list[float] = []

        def look(text: str, place: list[float], at: list[float], *_: Any, n=n, below=below) -> None:
            if text.strip().startswith(f"Figure {n}."):
                below.append(place[5] + place[3] * at[5])

        page.extract_text(visitor_text=look)
        assert below
        assert 0 < float(y) - below[0] < 20  # points


def test_what_is_waste_is_hatched_in_print_too(demo_files: dict[str, bytes]) -> None:
    reader = PdfReader(BytesIO(demo_files["job-sheet.pdf"]))
    assert any(
        "/Pattern" in form["/Resources"] and form["/Resources"]["/Pattern"]
        for _, form in figures(reader)
    )


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", ["v8-parallel-x", "v6-h-pipe", "inline-four-y-merge"])
def test_the_customer_has_one_page_and_the_shop_the_rest(name: str, paper: str) -> None:
    answers = Answers(load_job(f"{name}.toml"))
    with show.shown_in(answers.job.units):
        made = [customer_page(answers, Figures()), Page("For the shop", [], fresh=True)]
    said = read(job_pdf(answers.job, made, date(2024, 3, 1), PAPERS[paper]))
    assert len(said) == 2
    assert said[0].index("What we would build") < said[0].index("What this rests on")
    assert "local law" in said[0]
    cost = answers.tubes.chosen.power_cost
    assert f"{100 * cost.middle:.1f} ({100 * cost.low:.1f} to {100 * cost.high:.1f} %)" in said[0]
    assert said[1].startswith("For the shop")
