"""What a PDF's pages are filled with below the level of blocks: words, lines, boxes, drawings."""

from __future__ import annotations

from functools import lru_cache
from html import escape
from io import StringIO
from typing import Literal

from reportlab.graphics import renderPDF
from reportlab.graphics.shapes import Drawing as Shapes
from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph

from exhaust.sheet.pack import printable
from exhaust.sheet.pdf_page import POINTS, written_in

Side = Literal[0, 1, 2]

MM = POINTS / 1e3
INK, GREY, PALE, FAINT = (HexColor(x) for x in ("#1a1a1a", "#555555", "#d9d9d9", "#eeeeee"))
TEXT, SMALL, LARGE = 9.5, 8.5, 12.0  # sizes of lettering [pt]
LEFT: Side = 0
CENTRE: Side = 1
RIGHT: Side = 2
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
    """Shapes in the middle of the column, made smaller where they are wider than it."""

    def __init__(self, shapes: Shapes, most: float) -> None:
        super().__init__()
        self.hAlign = "CENTER"
        self.shapes, self.share = shapes, min(1.0, most / shapes.width)
        self.width, self.height = shapes.width * self.share, shapes.height * self.share

    def draw(self) -> None:
        """Draw them."""
        self.canv.scale(self.share, self.share)
        renderPDF.draw(self.shapes, self.canv, 0, 0)


@lru_cache(maxsize=64)
def shapes_of(svg: str) -> Shapes:
    """Return what an SVG file draws; the same object each time it is asked for."""
    from svglib.svglib import svg2rlg

    made = svg2rlg(StringIO(svg))
    assert made is not None
    return made
