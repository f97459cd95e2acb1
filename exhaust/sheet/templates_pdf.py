"""Templates as a PDF to print at actual size: a first sheet to read, then sheets to cut out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from reportlab.pdfgen.canvas import Canvas

from exhaust.cutmath.pose import Points
from exhaust.cutmath.template import Kind, Template
from exhaust.sheet.pack import Pack
from exhaust.sheet.paging import Paged, Paper, Room, Tile, crosses, paged
from exhaust.sheet.pdf_cover import Entry, cover, marks_page
from exhaust.sheet.pdf_page import (
    FINE,
    LINE,
    POINTS,
    TEXT,
    Look,
    Page,
    new_canvas,
    room_on,
    wrapped,
)

LOOKS: dict[Kind, Look] = {
    "cut": Look(0.30e-3),
    "hole": Look(0.30e-3),
    "edge": Look(0.15e-3),
    "clock": Look(0.12e-3, (6e-3, 1.2e-3, 1.2e-3, 1.2e-3)),
    "guide": Look(0.15e-3, (1.5e-3, 1.2e-3)),
}
TICK = Look(0.10e-3)
LONG, EACH = 1.8e-3, 6e-3  # of a tick, and from one to the next [m]
JOIN, CROSS = Look(0.10e-3, (1e-3, 2e-3)), Look(0.18e-3)
MARKED: tuple[Kind, ...] = ("cut", "hole")
ARM = 4e-3  # of a cross [m]
GAP = 4e-3  # between a template and its notes [m]
LAY = "Lay the sheets cross on cross and tape them, then cut the template out."


class Sheet(NamedTuple):
    """One sheet of paper to come: a template, the tile of it, and how it is divided."""

    template: Template
    landscape: bool
    pages: Paged
    tile: Tile


def templates_pdf(pack: Pack, paper: Paper) -> bytes:
    """Return the file, the same bytes for the same pack and paper.

    >>> from exhaust import HPipe, Tube
    >>> from exhaust.sheet.pack import packed
    >>> from exhaust.sheet.paging import PAPERS
    >>> h = HPipe(Tube(od="2 in", wall="16 ga"), spacing="8 in")
    >>> templates_pdf(packed(h, "0.1 mm", "saddle", ""), PAPERS["A4"])[:8]
    b'%PDF-1.3'
    """
    canvas, file = new_canvas(f"{pack.title}, {pack.job}" if pack.job else pack.title, paper)
    sheets = [sheet for template in pack.templates for sheet in _sheets(template, paper)]
    first = 2 if pack.marks is None else 3
    count = len(sheets) + first - 1
    numbers = _numbers(sheets, first)
    entries = [
        Entry(template, numbers[template.name, template.tube]) for template in pack.templates
    ]
    cover(Page(canvas, paper, False), pack, entries, f"sheet 1 of {count}")
    canvas.showPage()
    if pack.marks is not None:
        marks_page(Page(canvas, paper, False), pack, f"sheet 2 of {count}")
        canvas.showPage()
    for number, sheet in enumerate(sheets, start=first):
        _drawn(canvas, paper, sheet, pack.job, f"sheet {number} of {count}")
        canvas.showPage()
    canvas.save()
    return file.getvalue()


def _numbers(sheets: Sequence[Sheet], first: int) -> dict[tuple[str, str], list[int]]:
    """Return the numbers of the sheets of paper that each template is on."""
    found: dict[tuple[str, str], list[int]] = {}
    for number, sheet in enumerate(sheets, start=first):
        found.setdefault((sheet.template.name, sheet.template.tube), []).append(number)
    return found


def _sheets(template: Template, paper: Paper) -> list[Sheet]:
    """Return the sheets of one template, upright or lying as fewer are needed."""
    spared = [float(points[0, 0]) for points in template.of("clock")]
    ways = []
    for landscape in (False, True):
        pages = paged(template.bounds, _room(template, paper, landscape), spared)
        ways.append([Sheet(template, landscape, pages, tile) for tile in pages.tiles])
    return min(ways, key=len)


def _room(template: Template, paper: Paper, landscape: bool) -> Room:
    """Return what a page leaves for the drawing above the notes."""
    width, height = (paper.height, paper.width) if landscape else (paper.width, paper.height)
    room = room_on(width, height)
    notes = _notes_height(template, room.width)
    return room._replace(bottom=room.bottom + notes, height=room.height - notes)


def _notes_height(template: Template, width: float) -> float:
    lines = sum(len(wrapped(note, TEXT, width)) for note in (LAY, *template.notes))
    return GAP + lines * LINE * TEXT


def _drawn(canvas: Canvas, paper: Paper, sheet: Sheet, job: str, number: str) -> None:
    """Draw one sheet of paper: its part of a template, what to mind under it."""
    template, tile, pages = sheet.template, sheet.tile, sheet.pages
    page = Page(canvas, paper, sheet.landscape)
    many = len(pages.tiles) > 1
    place = f"row {tile.row} of {pages.rows}, column {tile.column} of {pages.columns}"
    under = f"{template.tube}   cut {template.pieces}, {template.hand}"
    page.framed(
        *(template.name, f"{under}   {job}" if job else under),
        *(place if many else "all on this sheet", number),
    )
    room = _room(template, paper, sheet.landscape)
    x = room.left + (room.width - (tile.right - tile.left)) / 2.0
    y = room.bottom + room.height - (tile.top - tile.bottom)
    _lines(page, sheet, (x, y))
    y -= GAP
    for note in (*([LAY] if many else []), *template.notes):
        y = page.paragraph((room.left, y), note, TEXT, room.width)


def _lines(page: Page, sheet: Sheet, corner: tuple[float, float]) -> None:
    """Draw the tile's part of a template with its lower left corner there."""
    template, tile, canvas = sheet.template, sheet.tile, page.canvas
    canvas.saveState()
    canvas.translate((corner[0] - tile.left) * POINTS, (corner[1] - tile.bottom) * POINTS)
    left, bottom, right, top = _window(template, tile)
    path = canvas.beginPath()
    path.rect(left * POINTS, bottom * POINTS, (right - left) * POINTS, (top - bottom) * POINTS)
    canvas.clipPath(path, stroke=0, fill=0)
    for line in template.lines:
        page.line(line.points, LOOKS[line.kind])
    for tick in (one for kind in MARKED for one in ticks(template, kind)):
        page.line(tick, TICK)
    for label in template.labels:
        page.text(label.at, label.text, label.size)
    _joins(page, sheet)
    canvas.restoreState()


def _window(template: Template, tile: Tile) -> tuple[float, float, float, float]:
    """Return what of the paper a tile is drawn on: to its joins, a little past its own sides."""
    spill = LOOKS["cut"].width + LONG  # for lines along a side and ticks off it
    left, bottom, right, top = template.bounds
    return (
        tile.left - (spill if tile.left == left else 0.0),
        tile.bottom - (spill if tile.bottom == bottom else 0.0),
        tile.right + (spill if tile.right == right else 0.0),
        tile.top + (spill if tile.top == top else 0.0),
    )


def ticks(template: Template, kind: Kind) -> list[Points]:
    """Return short lines off the cuts of a template, on the side that falls off [m].

    >>> from exhaust.cutmath.templates import Tubing, square_strip
    >>> strip = square_strip(Tubing("2 in x 16 ga", 0.0254, 0.0001))
    >>> found = ticks(strip, "cut")
    >>> len(found), (found[0] * 1e3).round(2).tolist()
    (27, [[-76.95, 0.0], [-76.95, -1.8]])
    """
    middle = (template.bounds[1] + template.bounds[3]) / 2.0
    found = []
    for points in template.of(kind):
        steps = np.diff(points, axis=0)
        lengths = np.hypot(steps[:, 0], steps[:, 1])
        ends = np.cumsum(lengths)
        for place in np.arange(EACH / 2.0, ends[-1], EACH):
            number = int(np.searchsorted(ends, place))
            along = steps[number] / lengths[number]
            foot = points[number + 1] - (ends[number] - place) * along
            off = np.array([along[1], -along[0]])  # to the right of the way the line runs
            if kind == "hole":
                off *= np.sign(off @ (points.mean(axis=0) - foot))
            elif points[:, 1].mean() > middle:
                off = -off
            found.append(np.array([foot, foot + LONG * off]))
    return found


def _joins(page: Page, sheet: Sheet) -> None:
    """Draw the joins of the whole template and their crosses, each with a letter of its own."""
    bounds = sheet.template.bounds
    left, bottom, right, top = bounds
    for x in sheet.pages.across:
        page.line([(x, bottom), (x, top)], JOIN)
    for y in sheet.pages.along:
        page.line([(left, y), (right, y)], JOIN)
    for number, (x, y) in enumerate(crosses(sheet.pages, bounds)):
        page.line([(x - ARM, y), (x + ARM, y)], CROSS)
        page.line([(x, y - ARM), (x, y + ARM)], CROSS)
        page.text((x + 0.8e-3, y + 0.8e-3), chr(ord("A") + number % 26), FINE)
