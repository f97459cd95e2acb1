"""What a PDF's pages are filled with below the level of blocks: words, lines, boxes, drawings."""

from __future__ import annotations

from html import escape
from typing import Literal

from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph

from exhaust.sheet.pack import printable
from exhaust.sheet.pdf_figures import Sketch
from exhaust.sheet.pdf_page import POINTS, written_in

Side = Literal[0, 1, 2]

MM = POINTS / 1e3
INK, GREY, PALE, FAINT = (HexColor(x) for x in ("#1a1a1a", "#555555", "#d9d9d9", "#eeeeee"))
TEXT, SMALL, LARGE = 9.5, 8.5, 12.0  # sizes of lettering [pt]
LEFT: Side = 0
CENTRE: Side = 1
RIGHT: Side = 2
WHITE = HexColor("#ffffff")
GAP = 2.5 * MM


def said(
    text: str,
    size: float = TEXT,
    *,
    bold: bool = False,
    grey: bool = False,
    align: Side = LEFT,
    gaps: tuple[float, float] = (0.0, 0.0),
) -> Paragraph:
    """Return a paragraph in a font that has its letters; nothing in it is read as markup."""
    font, words = written_in(printable(text), bold)
    look = ParagraphStyle(
        "said",
        fontName=font,
        fontSize=size,
        leading=size * 1.28,
        textColor=GREY if grey else INK,
        alignment=align,
        spaceBefore=gaps[0],
        spaceAfter=gaps[1],
    )
    return Paragraph(escape(words), look)


class Rule(Flowable):
    """A line across the page under a title."""

    def __init__(self, width: float, thick: float = 0.7) -> None:
        super().__init__()
        self.width, self.height, self.thick = width, 2 * MM, thick

    def draw(self) -> None:
        """Draw it."""
        self.canv.setLineWidth(self.thick)
        self.canv.setStrokeColor(INK)
        self.canv.line(0, self.height * 0.6, self.width, self.height * 0.6)


class Box(Flowable):
    """A box to tick."""

    def __init__(self, size: float = 3.6 * MM) -> None:
        super().__init__()
        self.width = self.height = size

    def draw(self) -> None:
        """Draw it."""
        self.canv.setLineWidth(0.9)
        self.canv.rect(0, 0, self.width, self.height)


class Shown(Flowable):
    """A figure in the middle of the column, made smaller where it is wider than it."""

    def __init__(self, sketch: Sketch, most: float) -> None:
        super().__init__()
        self.hAlign = "CENTER"
        self.sketch, self.share = sketch, min(1.0, most / sketch.width)
        self.width, self.height = sketch.width * self.share, sketch.height * self.share

    def draw(self) -> None:
        """Draw it."""
        self.canv.scale(self.share, self.share)
        self.canv.transform(*self.sketch.place)
        for ink in self.sketch.inks:
            self.canv.setFillAlpha(ink.fill)
            self.canv.setStrokeAlpha(ink.stroke)
            self.canv.addLiteral(ink.operators)
        self.canv.setFillAlpha(1.0)
        self.canv.setStrokeAlpha(1.0)
