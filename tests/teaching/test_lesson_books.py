"""The notebooks of the lessons: every exercise stands in one, unanswered, and the key opens all."""

from __future__ import annotations

import json
import re
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from answer_key import KEY

from exhaust import Bend, ParallelToSplayedX, Tube, plots
from exhaust.choices.waves import Wave
from exhaust.plots import Picture
from exhaust.pulse.arrays import Gas
from exhaust.tables import shipped
from exhaust.teaching import LESSONS, check, demo_x, figures
from exhaust.teaching.deepening import deepening
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
    assert "Never hold a tube in the saw by hand" in said["6-balance-tube"]
    (warned,) = (cell for cell in cells(BOOKS[-1]) if "cautions(" in source(cell))
    assert "Never hold a bend in the saw by hand" in "".join(warned["outputs"][0]["text"])


def words(picture: Picture) -> str:
    return " | ".join(text.get_text() for axes in picture.figure.axes for text in axes.texts)


def test_figures_are_about_other_sizes_than_their_exercises() -> None:
    """Exact: 2.5 sqrt(2) of a mitre at 45 deg; 2 x 0.75 x 2.5 of a halved X."""
    bend = Bend(Tube(od="2-1/2 in", wall="16 ga"), clr="3-3/4 in")
    legs = ParallelToSplayedX(bend, cutback=0.25, included_angle="80 deg", leg_length="10 in")
    said = (
        words(figures.mitre_and_its_face(splayed("90 deg"))),
        words(figures.halved_and_legs(legs)),
    )
    assert "opening 3.536 in" in said[0]
    assert "third of the diameter 0.833 in" in said[0]
    assert "halved opening 3.750 in" in said[1]
    shown = ("mitre opening", "a third of the opening", "halved opening", "take off of a leg")
    assert not any(KEY[name].inch in " ".join(said) for name in shown)


def test_the_figure_of_cuts_draws_the_joints_own_numbers() -> None:
    found = deepening(demo_x(), (0.1, 0.3, 0.5))
    (axes,) = figures.as_the_cut_deepens(found).figure.axes
    windows, narrowest = (line.get_ydata() for line in axes.lines)
    assert list(windows) == [x.window_ratio for x in found.cuts]
    assert narrowest[-1] == pytest.approx(0.5)  # exact: half off is half of the bore


def test_the_figure_of_two_streams_draws_the_waves() -> None:
    still = np.zeros(721)
    angle = np.radians(np.arange(721.0))
    flow = np.stack([1.0 + np.cos(angle), 1.0 - np.cos(angle)]) * 0.45359237 / 60  # lb/min in kg/s
    waves = [
        Wave(name=name, kind="joint", angle=angle, area=1.0, density=still + 1.0, velocity=each,
             pressure=still, gas=Gas(1.33, 289.0))
        for name, each in zip(("X, side 1", "X, side 2"), flow, strict=True)
    ]  # fmt: skip
    simulation = SimpleNamespace(of=lambda kind: waves if kind == "joint" else ())
    picture = plots.two_streams(simulation)  # type: ignore[arg-type]
    first, second, _ = picture.figure.axes[0].lines
    assert first.get_ydata().max() == pytest.approx(2.0)
    assert second.get_xdata()[int(np.argmax(second.get_ydata()))] == pytest.approx(180.0)
    assert words(picture) == "X, side 1 | X, side 2"
    (shaded,) = picture.figure.axes[0].collections
    assert shaded.get_paths()[0].vertices[:, 1].max() == pytest.approx(1.0)  # exact: they cross
