"""The notebooks of the lessons: every exercise stands in one, unanswered, and the key opens all."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from answer_key import KEY

from exhaust.tables import shipped
from exhaust.teaching import LESSONS, check, figures
from exhaust.teaching.mitres import splayed

BOOKS = sorted((shipped("notebooks") / "lessons").glob("*.ipynb"))
ASKED = re.compile(r'answer = "…"\ncheck\("(.+)", answer\)')
MOST_LINES = 6  # of one function


def cells(book: Path, kind: str = "code") -> list[dict[str, Any]]:
    read = json.loads(book.read_text(encoding="utf-8"))
    return [cell for cell in read["cells"] if cell["cell_type"] == kind]


def source(cell: dict[str, Any]) -> str:
    return "".join(cell["source"])


def asked(book: Path) -> list[str]:
    return [found[1] for cell in cells(book) if (found := ASKED.fullmatch(source(cell)))]


def test_there_is_a_book_for_every_lesson() -> None:
    assert [book.stem for book in BOOKS] == sorted(LESSONS)


@pytest.mark.parametrize("book", BOOKS, ids=lambda book: book.stem)
def test_a_book_asks_its_exercises_in_order(book: Path) -> None:
    made = [maker.__name__.replace("_", " ") for maker in LESSONS[book.stem]]
    assert sorted(asked(book)) == sorted(made)
    assert sum("check(" in source(cell) for cell in cells(book)) == len(made)


@pytest.mark.parametrize("book", BOOKS, ids=lambda book: book.stem)
def test_a_stored_exercise_is_unanswered(book: Path) -> None:
    for cell in cells(book):
        found = ASKED.fullmatch(source(cell))
        if found:
            (output,) = cell["outputs"]
            assert "".join(output["data"]["text/plain"]) == f"<{found[1]}: your turn>"


@pytest.mark.parametrize("system", [0, 1], ids=["inch", "metric"])
@pytest.mark.parametrize("book", BOOKS, ids=lambda book: book.stem)
def test_the_key_filled_in_is_right_all_through(book: Path, system: int) -> None:
    """Each exercise cell is run as it stands, with the placeholder replaced by the key."""
    for cell in cells(book):
        found = ASKED.fullmatch(source(cell))
        if found:
            filled = source(cell).replace("…", KEY[found[1]][system])
            first, last = filled.split("\n")
            names: dict[str, Any] = {"check": check}
            exec(first, names)
            assert eval(last, names).outcome == "right", found[1]


@pytest.mark.parametrize("book", BOOKS, ids=lambda book: book.stem)
def test_a_book_keeps_the_habits_of_the_house(book: Path) -> None:
    inputs = [c for c in cells(book) if "parameters" in c["metadata"].get("tags", ())]
    assert len(inputs) == 1
    assert source(inputs[0]).startswith("# INPUTS\n")
    text = "\n".join(source(cell) for cell in cells(book))
    assert not re.search(r"^\s*(def|class|!|%)", text, re.MULTILINE)
    assert all(len(source(cell).splitlines()) <= 2 * MOST_LINES for cell in cells(book))
    for link in re.findall(r"\]\((\S+\.ipynb)\)", "".join(map(source, cells(book, "markdown")))):
        assert (book.parent / link).is_file(), link


def test_a_book_near_a_saw_says_what_hurts() -> None:
    said = {book.stem: "".join(map(source, cells(book, "markdown"))) for book in BOOKS}
    assert "Never hold a leg in the saw by hand" in said["3-mitre"]
    assert "Never hold it by hand" in said["4-take-off"]
    (warned,) = (cell for cell in cells(BOOKS[-1]) if "cautions(" in source(cell))
    assert "Never hold a bend in the saw by hand" in "".join(warned["outputs"][0]["text"])


def test_no_figure_shows_the_answer_to_its_lesson() -> None:
    """The mitre in the picture is another one than those in the exercises."""
    words = [
        text.get_text()
        for axes in figures.mitre_and_its_face(splayed("90 deg")).figure.axes
        for text in axes.texts
    ]
    for name in ("mitre opening", "a third of the opening"):
        assert not any(KEY[name].inch in word for word in words)
    assert any("3.536 in" in word for word in words)  # exact: 2.5 sqrt(2)
