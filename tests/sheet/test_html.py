"""The HTML sheet: complete, escaped, self-contained, the same bytes for the same job and day."""

from __future__ import annotations

import re
from datetime import date
from html.parser import HTMLParser

import pytest

from exhaust import show, tables
from exhaust.job import load_job
from exhaust.sheet import sheet_files
from exhaust.sheet.answers import Answers
from exhaust.sheet.content import chapters
from exhaust.sheet.folder import NAMES
from exhaust.tables import shipped

VOID = {"meta", "br", "img", "link", "hr"}


class Reader(HTMLParser):
    """Reads a page as a browser would: elements, names, text; notes what is not closed."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.wrong: list[str] = []
        self.said: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.wrong.append(tag)

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.said.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.said).split())

    @property
    def tags(self) -> set[str]:
        return {tag for tag, _ in self.elements}


@pytest.fixture(scope="session")
def page(demo_files: dict[str, bytes]) -> Reader:
    return Reader(demo_files["job-sheet.html"].decode("utf-8"))


def test_every_element_is_closed_and_every_name_is_given_once(page: Reader) -> None:
    assert page.wrong == []
    assert page.open == []
    names = [attrs["id"] for _, attrs in page.elements if "id" in attrs]
    assert len(names) == len(set(names))


def test_every_reference_inside_a_figure_is_met(demo_files: dict[str, bytes]) -> None:
    text = demo_files["job-sheet.html"].decode()
    named = set(re.findall(r'\bid="([^"]+)"', text))
    wanted = set(re.findall(r'href="#([^"]+)"', text)) | set(re.findall(r"url\(#([^)]+)\)", text))
    assert wanted
    assert wanted <= named


def test_the_page_needs_nothing_from_outside(page: Reader, demo_files: dict[str, bytes]) -> None:
    assert not page.tags & {"script", "link", "img", "iframe", "object"}
    for _, attrs in page.elements:
        for name in ("src", "href", "xlink:href"):
            assert (attrs.get(name) or "#").startswith("#")
        assert not any(name.startswith("on") for name in attrs)
    css = demo_files["job-sheet.html"].decode().split("<style>")[1].split("</style>")[0]
    assert "url(" not in css
    assert "@import" not in css


def test_hostile_text_stays_text(hostile_files: dict[str, bytes]) -> None:
    page = Reader(hostile_files["job-sheet.html"].decode("utf-8"))
    assert not page.tags & {"script", "img"}
    assert "<script>alert('x')</script>" in page.text
    assert "&amp;" in page.text, "what was typed is shown, not read as HTML"
    assert "{{ 7*7 }}" in page.text
    assert page.wrong == []
    assert set(hostile_files) == set(NAMES), "no name of the job's makes another file"


def test_the_same_job_and_day_give_the_same_bytes(demo_files: dict[str, bytes]) -> None:
    job = load_job(shipped("data") / "jobs" / "v8-parallel-x.toml")
    again = sheet_files(Answers(job), date(2024, 3, 1))
    assert again == demo_files


def test_another_day_changes_the_date_line_alone(
    demo_answers: Answers, demo_files: dict[str, bytes]
) -> None:
    later = sheet_files(demo_answers, date(2024, 12, 24))
    assert later["results.json"] == demo_files["results.json"]
    for name in ("cut-list.csv", "templates.pdf", "templates.dxf"):
        assert later[name] == demo_files[name]
    old, new = (one["job-sheet.html"].decode().splitlines() for one in (demo_files, later))
    changed = [(a, b) for a, b in zip(old, new, strict=True) if a != b]
    assert len(changed) == 1
    assert "1 March 2024" in changed[0][0]
    assert "24 December 2024" in changed[0][1]


def test_the_sheet_says_what_the_job_file_says(page: Reader) -> None:
    for typed in ("311 in^3", "1, 8, 4, 3, 6, 5, 7, 2", "0.045 in", "60 deg (clr 4.5 in, count 2)"):
        assert typed in page.text
    assert "Example customer (invented)" in page.text
    assert "keep clear of the shift rod" in page.text


def test_every_number_of_every_result_is_on_the_sheet(page: Reader, demo_answers: Answers) -> None:
    with show.shown_in("inch"):
        for result in demo_answers.results().values():
            for fact in result.facts():
                if not fact.name.endswith((", low", ", high")):  # stand in the band of their line
                    assert " ".join(fact.text().split()) in page.text, fact
            for line in result.assumptions:
                again = line in demo_answers.flow.assumptions[:2]  # on the customer's page as well
                assert page.text.count(line) == 1 + again, line


def test_every_setting_and_check_has_its_line_and_every_check_a_box(
    page: Reader, demo_answers: Answers
) -> None:
    cut = demo_answers.cut
    assert cut is not None
    boxes = [attrs for tag, attrs in page.elements if attrs.get("class") == "box"]
    assert len(boxes) == len(cut.checks) + len(demo_answers.port.points) > 10
    for step in cut.steps:
        assert step.words in page.text
        for fact in (*step.settings, *step.checks):
            assert f"{fact.name[:1].upper()}{fact.name[1:]}" in page.text
            assert fact.text("inch") in page.text
    for line in (*cut.warnings, *cut.cautions):
        assert f"{line[:1].upper()}{line[1:]}" in page.text


def test_every_caution_for_the_sheet_is_on_it(page: Reader) -> None:
    rows = tables.read("caution")
    assert {row["source"] for row in rows} == {"common-practice"}
    wanted = [row["text"] for row in rows if "sheet" in row["places"].split()]
    assert len(wanted) > 15
    for text in wanted:
        assert text in page.text


@pytest.mark.parametrize(
    "topic",
    [
        "argon", "carbon monoxide", "chromium", "phosgene", "outdoors", "battery", "fuel",
        "brake", "stands", "by hand", "guards", "hot", "eye and ear", "catalysts", "law",
        "licensed", "flexible joint", "oxygen sensor", "10 and 2", "purge",
    ],
)  # fmt: skip
def test_cautions_cover_what_shops_warn_of(topic: str) -> None:
    """Common practice, no source: the hazards any welding shop names."""
    everything = " ".join(row["text"].lower() for row in tables.read("caution"))
    assert topic in everything


def test_figures_are_drawn_for_every_pose(page: Reader, demo_answers: Answers) -> None:
    cut = demo_answers.cut
    assert cut is not None
    drawn = [tag for tag, _ in page.elements if tag == "svg"]
    # Six charts, two of them for the customer as well, the plan and its section, the stock.
    assert len(drawn) == len(cut.poses) + 11
    labels = [attrs for _, attrs in page.elements if attrs.get("role") == "img"]
    assert len(labels) == len(drawn)
    assert all(attrs["aria-label"] for attrs in labels)


def test_a_metric_job_shows_no_inch_that_was_not_typed(hostile_files: dict[str, bytes]) -> None:
    text = Reader(hostile_files["job-sheet.html"].decode()).text
    cut = text[text.index("Cut sheet Parts") : text.index("What was assumed")]
    assert " mm" in cut
    assert not re.search(r"\d in\b", cut.replace("3 in x 16 ga", "").replace("4.5 in", ""))


def test_a_job_without_a_joint_has_no_cut_sheet() -> None:
    job = load_job(shipped("data") / "jobs" / "v8-parallel-x.toml")
    from attrs import evolve

    plain = evolve(job, system=job.system.with_(joint=None, joint_at="joint"), saw=None, outlets=())
    names = [chapter.name for chapter in chapters(plain)]
    alone = ["customer", "answers", "job", "gas flow", "system", "tube", "assumptions", "cautions"]
    assert names == alone
    files = sheet_files(Answers(plain), date(2024, 3, 1))
    assert set(files) == {"job-sheet.pdf", "job-sheet.html", "results.json"}
    assert "Saw stop" not in files["job-sheet.html"].decode()


def test_a_job_without_a_joint_still_has_parts_and_stock() -> None:
    job = load_job(shipped("data") / "jobs" / "v8-parallel-x.toml")
    from attrs import evolve

    plain = evolve(job, system=job.system.with_(joint=None, joint_at="joint"), outlets=())
    files = sheet_files(Answers(plain), date(2024, 3, 1))
    assert set(files) == {"job-sheet.pdf", "job-sheet.html", "results.json", "cut-list.csv"}
    assert "Parts and stock" in files["job-sheet.html"].decode()


def test_a_better_tube_than_the_job_is_written_in_is_said_first() -> None:
    job = load_job(shipped("data") / "jobs" / "v8-parallel-x.toml")
    from attrs import evolve

    answers = Answers(evolve(job, tubes=job.tubes[-1:]))
    text = Reader(sheet_files(answers, date(2024, 3, 1))["job-sheet.html"].decode()).text
    assert "The answer is 3-1/2 in x 16 ga, but the job is written in 3 in x 16 ga" in text
