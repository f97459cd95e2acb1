"""What a PDF's pages are filled with below the level of blocks: words, lines, boxes, drawings."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import ExitStack
from html import escape
from io import BytesIO
from typing import Literal, NamedTuple

from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph

from exhaust.sheet.blocks import Drawing
from exhaust.sheet.pack import printable
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
    """A figure in the middle of the column, made smaller where it is wider than it.

    It leaves its room free and tells the canvas where that is; `laid_over` fills it.
    """

    def __init__(self, drawing: Drawing, most: float) -> None:
        super().__init__()
        self.hAlign = "CENTER"
        share = min(1.0, most / drawing.width)
        self.drawing = drawing
        self.width, self.height = drawing.width * share, drawing.height * share

    def draw(self) -> None:
        """Note where it stands."""
        x, y = self.canv.absolutePosition(0, 0)
        ends = x, y, x + self.width, y + self.height
        self.canv.figures.append(Room(self.canv.getPageNumber(), *ends, self.drawing.pdf))  # type: ignore[attr-defined]


class Room(NamedTuple):
    """Where a figure stands on which page, from one [pt], and what it is."""

    page: int
    left: float
    bottom: float
    right: float
    top: float
    figure: bytes


def laid_over(document: bytes, rooms: Sequence[Room]) -> bytes:
    """Return a PDF with every figure in its room; the same bytes each time."""
    from pikepdf import Name, Pdf, Rectangle

    made = BytesIO()
    with ExitStack() as opened:
        pdf = opened.enter_context(Pdf.open(BytesIO(document)))
        for number, room in enumerate(rooms, start=1):
            figure = opened.enter_context(Pdf.open(BytesIO(room.figure)))  # until all is saved
            page, name = pdf.pages[room.page - 1], Name(f"/Figure{number}")
            form = pdf.copy_foreign(figure.pages[0].as_form_xobject())
            page.add_resource(form, Name.XObject, name)
            place = Rectangle(room.left, room.bottom, room.right, room.top)
            page.contents_add(page.calc_form_xobject_placement(form, name, place))
        pdf.save(made, deterministic_id=True, compress_streams=False)
    return made.getvalue()
