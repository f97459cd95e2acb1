"""A sheet of paper in a PDF: its frame, its lettering, its lines. Lengths in metres throughout."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from io import BytesIO
from typing import NamedTuple

from reportlab.lib.utils import simpleSplit
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from exhaust.cutmath.pose import Points
from exhaust.sheet.paging import Paper, Room

POINTS = 72.0 / 0.0254  # of a PDF in a metre
MARGIN = 10e-3  # that no printer needs for itself
HEAD = 17e-3  # of a page for its names
FOOT = 15e-3  # of a page for its scale bars
BARS = ((0.100, "100 mm"), (0.1016, "4 in"))
MEASURE = (
    "Measure both bars before cutting anything. If either is off, print again at actual size "
    "(100 %, nothing fitted to the page)."
)
CAUTIONS = "Cautions stand on sheet 1; mind them."
PLAIN, BOLD, WIDE = "Helvetica", "Helvetica-Bold", "DejaVuSans"
NAME, TEXT, FINE = 4.6e-3, 3.0e-3, 2.5e-3  # sizes of lettering
LINE = 1.3  # from one line to the next, for their size


class Look(NamedTuple):
    """A line's width and, where it is not drawn through, its dashes [m]."""

    width: float
    dashes: tuple[float, ...] = ()


class Page:
    """One sheet of paper: draws in metres from its lower left corner."""

    def __init__(self, canvas: Canvas, paper: Paper, landscape: bool) -> None:
        self.canvas = canvas
        self.width, self.height = paper.width, paper.height
        if landscape:
            self.width, self.height = self.height, self.width
        canvas.setPageSize((self.width * POINTS, self.height * POINTS))

    @property
    def room(self) -> Room:
        """What head, foot and margins leave of the page."""
        return room_on(self.width, self.height)

    def line(self, points: Points | Sequence[tuple[float, float]], look: Look) -> None:
        """Draw a polyline."""
        self.canvas.setLineWidth(look.width * POINTS)
        self.canvas.setDash([dash * POINTS for dash in look.dashes])
        path = self.canvas.beginPath()
        (x, y), *rest = ((float(x) * POINTS, float(y) * POINTS) for x, y in points)
        path.moveTo(x, y)
        for x, y in rest:
            path.lineTo(x, y)
        self.canvas.drawPath(path, stroke=1, fill=0)

    def text(self, at: tuple[float, float], words: str, size: float, bold: bool = False) -> None:
        """Write a line of text from `at` to the right."""
        font, words = written_in(words, bold)
        self.canvas.setFont(font, size * POINTS)
        self.canvas.drawString(at[0] * POINTS, at[1] * POINTS, words)

    def text_left_of(self, at: tuple[float, float], words: str, size: float) -> None:
        """Write a line of text that ends at `at`."""
        self.text((at[0] - width_of(words, size), at[1]), words, size)

    def paragraph(self, at: tuple[float, float], words: str, size: float, width: float) -> float:
        """Write text below `at` in as many lines as `width` makes of it; return where it ended."""
        x, y = at
        for line in wrapped(words, size, width):
            y -= LINE * size
            self.text((x, y), line, size)
        return y

    def framed(self, name: str, under: str, place: str, sheet: str) -> None:
        """Write the head of the page and its scale bars."""
        right, top = self.width - MARGIN, self.height - MARGIN
        room = right - MARGIN - max(width_of(sheet, TEXT), width_of(place, TEXT)) - 5e-3
        self.text((MARGIN, top - NAME * 0.8), fitted(name, NAME, room, bold=True), NAME, bold=True)
        self.text((MARGIN, top - 9e-3), fitted(under, TEXT, room), TEXT)
        self.text_left_of((right, top - NAME * 0.8), sheet, TEXT)
        self.text_left_of((right, top - 9e-3), place, TEXT)
        self.line([(MARGIN, top - 11.5e-3), (right, top - 11.5e-3)], Look(0.2e-3))
        self._scale()

    def _scale(self) -> None:
        tick = 1.6e-3
        for number, (length, name) in enumerate(BARS):
            y = MARGIN + 7e-3 - 5e-3 * number
            self.line([(MARGIN, y), (MARGIN + length, y)], Look(0.3e-3))
            for x in (MARGIN, MARGIN + length):
                self.line([(x, y - tick), (x, y + tick)], Look(0.15e-3))
            self.text((MARGIN + length + 2e-3, y - FINE * 0.35), name, FINE)
        x = MARGIN + BARS[1][0] + 16e-3
        y = self.paragraph((x, MARGIN + 10e-3), MEASURE, FINE, self.width - MARGIN - x)
        self.paragraph((x, y), CAUTIONS, FINE, self.width - MARGIN - x)


def room_on(width: float, height: float) -> Room:
    """Return what head, foot and margins leave of a page.

    >>> [round(x * 1e3) for x in room_on(0.210, 0.297)]
    [10, 25, 190, 245]
    """
    bottom = MARGIN + FOOT
    return Room(MARGIN, bottom, width - 2.0 * MARGIN, height - MARGIN - HEAD - bottom)


def new_canvas(title: str, paper: Paper) -> tuple[Canvas, BytesIO]:
    """Return a canvas that gives the same bytes each time, and where it writes them.

    Streams are left as they are: a compressor may differ from one machine to the next.
    """
    file = BytesIO()
    size = (paper.width * POINTS, paper.height * POINTS)
    canvas = Canvas(file, pagesize=size, invariant=1, pageCompression=0)
    canvas.setTitle(title)
    canvas.setCreator("exhaust")
    canvas.setAuthor("")
    canvas.setViewerPreference("PrintScaling", "None")  # heeded by most readers, not by all
    canvas.setSubject("Templates at actual size: print at 100 %")
    return canvas, file


def written_in(words: str, bold: bool = False) -> tuple[str, str]:
    """Return the font for `words`, and the words as it has them: "?" for what it has not.

    >>> written_in("4 in × 16 ga"), written_in("Дмитрий ✓")[0]
    (('Helvetica', '4 in × 16 ga'), 'DejaVuSans')
    """
    try:
        words.encode("cp1252")
    except UnicodeEncodeError:
        known = _wide()
        return WIDE, "".join(letter if ord(letter) in known else "?" for letter in words)
    return BOLD if bold else PLAIN, words


@lru_cache(maxsize=1)
def _wide() -> frozenset[int]:
    """Return what letters the font for other alphabets has; it comes with the plots' library."""
    import matplotlib

    path = f"{matplotlib.get_data_path()}/fonts/ttf/DejaVuSans.ttf"
    font = TTFont(WIDE, path)
    pdfmetrics.registerFont(font)
    return frozenset(font.face.charToGlyph)


def width_of(words: str, size: float, bold: bool = False) -> float:
    """Return how wide a line of text is [m]."""
    font, words = written_in(words, bold)
    return float(pdfmetrics.stringWidth(words, font, size))


def fitted(words: str, size: float, width: float, bold: bool = False) -> str:
    """Return `words` if they fit in `width` [m], or as many letters as do and "…".

    >>> fitted("balance tube, left end", 2.5e-3, 0.02)
    'balance tube, l…'
    """
    if width_of(words, size, bold) <= width:
        return words
    while words and width_of(words + "…", size, bold) > width:
        words = words[:-1].rstrip()
    return words + "…"


def wrapped(words: str, size: float, width: float) -> list[str]:
    """Return text as lines no wider than `width` [m]."""
    font, words = written_in(words)
    return list(simpleSplit(words, font, size, width))
