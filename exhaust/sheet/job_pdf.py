"""A sheet as a PDF to print: the same pages as the HTML, on A4 or Letter."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import partial
from io import BytesIO
from typing import TYPE_CHECKING, Any

from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    PageBreak,
    PageTemplate,
    Spacer,
)

from exhaust import show
from exhaust.sheet.arrange import closing, dated, for_whom
from exhaust.sheet.blocks import Page
from exhaust.sheet.flowables import flowables
from exhaust.sheet.pack import printable
from exhaust.sheet.paging import Paper
from exhaust.sheet.pdf_page import PLAIN, POINTS, fitted, written_in
from exhaust.sheet.pdf_pieces import GREY, MM, SMALL, Room, Rule, laid_over, said

if TYPE_CHECKING:
    from exhaust.job import Job

SIDE, TOP, BOTTOM = 15 * MM, 13 * MM, 16 * MM


def job_pdf(job: Job, pages: Sequence[Page], today: date, paper: Paper) -> bytes:
    """Return the job sheet as PDF; the same bytes for the same job, day and library versions.

    Text from the job is written as it stands: nothing in it is read as markup.
    """
    file = BytesIO()
    size = (paper.width * POINTS, paper.height * POINTS)
    width = size[0] - 2 * SIDE
    document = BaseDocTemplate(
        file,
        pagesize=size,
        title=f"Job sheet: {printable(job.name)}",
        author="",
        creator="exhaust",
        subject="Job sheet",
        invariant=1,
        pageCompression=0,  # a compressor may differ from one machine to the next
    )
    frame = Frame(SIDE, BOTTOM, width, size[1] - TOP - BOTTOM, 0, 0, 0, 0, "page")
    document.addPageTemplates(PageTemplate(frames=[frame]))
    with show.shown_in(job.units):
        story = _head(job, today, width)
        for page, made in zip(pages, flowables(pages, width), strict=True):
            story += [PageBreak(), *made] if page.fresh else made
        story += [Spacer(0, 6 * MM), said(closing(job), SMALL, grey=True)]
    figures: list[Room] = []
    document.build(story, canvasmaker=partial(_Numbered, printable(job.name), figures))
    return laid_over(file.getvalue(), figures)


def _head(job: Job, today: date, width: float) -> list[Flowable]:
    return [
        said(job.name, 17, bold=True),
        Spacer(0, 1 * MM),
        said(for_whom(job), grey=True),
        said(dated(today), grey=True),
        Rule(width, 1.5),
    ]


class _Numbered(Canvas):
    """Holds its pages back until it is known how many there are, then writes each one's foot."""

    def __init__(self, name: str, figures: list[Room], *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        self.figures = figures  # to be laid over what is written here
        self.name, self.held = name, list[dict[str, Any]]()

    def showPage(self) -> None:  # noqa: N802, as the library has it
        """Keep the page at hand and start another."""
        self.held.append(dict(self.__dict__))
        self._startPage()  # type: ignore[attr-defined]

    def save(self) -> None:
        """Write every page with its foot."""
        for number, page in enumerate(self.held, start=1):
            self.__dict__.update(page)
            self._foot(f"page {number} of {len(self.held)}")
            super().showPage()
        super().save()

    def _foot(self, place: str) -> None:
        width = float(self._pagesize[0])  # type: ignore[attr-defined]
        room = (width - 2 * SIDE - 30 * MM) / POINTS
        font, words = written_in(fitted(self.name, SMALL / POINTS, room))
        self.setFillColor(GREY)
        self.setFont(font, SMALL)
        self.drawString(SIDE, 10 * MM, words)
        self.setFont(PLAIN, SMALL)
        self.drawRightString(width - SIDE, 10 * MM, place)
