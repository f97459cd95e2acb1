"""The sheets of a file of templates that are read and not cut: the first, and marks on bends."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from exhaust.cutmath.template import Template
from exhaust.sheet.pack import Pack
from exhaust.sheet.pdf_page import FINE, LINE, MARGIN, TEXT, Look, Page
from exhaust.tables import cautions

RULE = Look(0.1e-3)
USE = (
    "Print at actual size, 100 %, and measure both bars at the foot of every sheet.",
    "Cut the paper along its outline. The line with ticks is the one to mark on the metal; the "
    "ticks are on the side that falls off.",
    "Wrap it round the tube with the print outward and tape it. The sides must just meet: a gap "
    "or an overlap of more than 0.5 mm (0.02 in) is another tube, other paper or another scale.",
    "Check the clock lines against lines along the tube, then mark along the paper's edge.",
)

HOW = (
    "A sheet cannot be laid on a bend. Draw the heel line and mark the joint's middle on it: half "
    "of the heel of a whole bend, the outlet's face of a half bend. Lay a tape along the heel from "
    "there and mark each distance; from each mark go round the tube, both ways alike, square to "
    "the heel line. Join the points.",
    "Less than nought in the last column is past the end of the bend, on the straight.",
)


class Entry(NamedTuple):
    """A template and the numbers of the sheets of paper it is on."""

    template: Template
    sheets: Sequence[int]


def cover(page: Page, pack: Pack, entries: Sequence[Entry], number: str) -> None:
    """Draw the first sheet: what is in the file, how it is used, cautions."""
    page.framed(pack.title, pack.job, "", number)
    room = page.room
    y = room.bottom + room.height
    rows = [_row(entry) for entry in entries]
    if pack.marks is not None:
        rows.insert(0, (pack.marks.title, "the bends", "", "sheet 2"))
    y = _table(page, y, rows)
    y = _numbered(page, y - 5e-3, "How to use them", USE)
    _numbered(page, y - 5e-3, "Cautions", cautions("saw"))


def _row(entry: Entry) -> tuple[str, str, str, str]:
    template = entry.template
    pieces = f"cut {template.pieces}, {template.hand}"
    first, last = entry.sheets[0], entry.sheets[-1]
    where = f"sheet {first}" if first == last else f"sheets {first} to {last}"
    return template.name, template.tube, pieces, where


def _table(page: Page, top: float, rows: Sequence[Sequence[str]]) -> float:
    """Write rows of words in columns; return where they ended."""
    widths = (0.38, 0.22, 0.24, 0.16)
    y = top
    for row in rows:
        y -= 1.9 * TEXT
        x = MARGIN
        for words, share in zip(row, widths, strict=True):
            page.text((x, y), words, TEXT)
            x += share * page.room.width
        page.line([(MARGIN, y - 1.5e-3), (page.width - MARGIN, y - 1.5e-3)], RULE)
    return y - 1.5e-3


def _numbered(page: Page, top: float, title: str, lines: Sequence[str]) -> float:
    """Write a heading and numbered paragraphs; return where they ended."""
    y = top - LINE * TEXT
    page.text((MARGIN, y), title, TEXT, bold=True)
    y -= 1e-3
    for number, words in enumerate(lines, start=1):
        indent = MARGIN + 5e-3
        page.text((MARGIN, y - LINE * TEXT), f"{number}.", TEXT)
        y = page.paragraph((indent, y), words, TEXT, page.width - MARGIN - indent) - 0.8e-3
    return y


def marks_page(page: Page, pack: Pack, number: str) -> None:
    """Draw the table of marks for the slice of the bends."""
    marks = pack.marks
    assert marks is not None
    page.framed(marks.title, pack.job, "", number)
    room = page.room
    y = room.bottom + room.height
    for fact in marks.facts():
        y -= LINE * TEXT
        page.text((MARGIN, y), f"{fact.name}: {fact.text()}, {fact.note}", TEXT)
    table = marks.rows()
    headings = [column.heading() for column in table.columns]
    width = room.width / len(headings)
    y -= 5e-3
    deepest = y
    for column, heading in enumerate(headings):
        at = (MARGIN + column * width, y)
        deepest = min(deepest, page.paragraph(at, heading, FINE, width - 3e-3))
    y = deepest - 2e-3
    page.line([(MARGIN, y), (page.width - MARGIN, y)], RULE)
    for row in table.texts():
        y -= 1.7 * TEXT
        for column, cell in enumerate(row):
            page.text((MARGIN + column * width, y), cell, TEXT)
    y -= 2e-3
    for words in (*HOW, *marks.assumptions):
        y = page.paragraph((MARGIN, y - 1.5e-3), words, TEXT, room.width)
