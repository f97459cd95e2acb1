"""The blocks of a job sheet as what a PDF's pages are filled with, and how they look there."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from reportlab.platypus import (
    CondPageBreak,
    Flowable,
    KeepTogether,
    Paragraph,
    Spacer,
    Table,
)

from exhaust.sheet.arrange import opened
from exhaust.sheet.blocks import (
    Block,
    Checks,
    Drawing,
    Facts,
    Grid,
    Group,
    Heading,
    Items,
    Page,
    Words,
    Written,
)
from exhaust.sheet.pack import printable
from exhaust.sheet.pdf_page import written_in
from exhaust.sheet.pdf_pieces import (
    CENTRE,
    FAINT,
    GAP,
    GREY,
    INK,
    LARGE,
    LEFT,
    MM,
    PALE,
    RIGHT,
    SMALL,
    TEXT,
    WHITE,
    Box,
    Rule,
    Shown,
    Side,
    said,
)
from exhaust.show import Fact

TICK, WRITE = 11 * MM, 30 * MM  # widths of what is filled in by hand
BEGUN = 90 * MM  # of a sheet of paper that a title must have left, not to stand at its foot
SHARES = (0.34, 0.28, 0.38)  # of a line: what it is, its value, its note


def flowables(pages: Sequence[Page], width: float) -> list[list[Flowable]]:
    """Return for each of `pages` what it is filled with, `width` wide [pt]."""
    made = []
    for page in pages:
        title = KeepTogether([said(page.title, 13, bold=True, gaps=(5 * MM, 0)), Rule(width)])
        title.keepWithNext = True
        room = [] if page.fresh else [CondPageBreak(BEGUN)]
        made.append([*room, title, *_all(page.blocks, width)])
    return made


def _all(blocks: Iterable[Block], width: float) -> list[Flowable]:
    return [made for block in blocks for made in _one(block, width)]


def _one(block: Block, width: float) -> list[Flowable]:
    return MAKERS[type(block)](block, width)


def _words(block: Words, width: float) -> list[Flowable]:
    return [said(block.text), Spacer(0, 1.5 * MM)]


def _heading(block: Heading, width: float) -> list[Flowable]:
    line = said(block.text, 11, bold=True, gaps=(3 * MM, 1 * MM))
    line.keepWithNext = True
    return [line]


def _items(block: Items, width: float) -> list[Flowable]:
    inset = 3 * MM if block.boxed else 0.0
    rows = [[said("•"), said(opened(line))] for line in block.lines]
    if not rows:
        return []
    looks = _padded(0, 0.6 * MM)
    if block.boxed:
        looks += [("BOX", (0, 0), (-1, -1), 1.1, INK), ("LEFTPADDING", (0, 0), (0, -1), inset)]
        looks += [("TOPPADDING", (0, 0), (-1, 0), 2 * MM), ("RIGHTPADDING", (1, 0), (1, -1), inset)]
        looks += [("BOTTOMPADDING", (0, -1), (-1, -1), 2 * MM)]
    bullet = 4 * MM + inset
    return [Table(rows, (bullet, width - bullet), style=looks), Spacer(0, GAP)]


def _facts(block: Facts, width: float) -> list[Flowable]:
    size, room = (LARGE, 1.4 * MM) if block.large else (TEXT, 0.9 * MM)
    rows = [
        [
            said(opened(fact.name), size),
            said(fact.text(), size, bold=True),
            said(fact.note, TEXT, grey=True),
        ]
        for fact in block.facts
    ]
    return _lines(rows, [share * width for share in SHARES], room)


def _checks(block: Checks, width: float) -> list[Flowable]:
    head = [said(x, bold=True) for x in ("Done", "Measure")]
    head += [said("Should be", bold=True, align=RIGHT), said("Measured", bold=True)]
    rows = [[Box(), _named(fact), said(fact.text(), align=RIGHT), said("")] for fact in block.facts]
    middle = width - TICK - WRITE
    widths = [TICK, 0.64 * middle, 0.36 * middle, WRITE]
    beside = [("LEFTPADDING", (3, 0), (3, -1), 3 * MM), ("LINEBEFORE", (3, 1), (3, -1), 0.4, PALE)]
    return _lines([head, *rows], widths, 1.5 * MM, headed=True, more=beside)


def _named(fact: Fact) -> Paragraph:
    return said(f"{opened(fact.name)} ({fact.note})" if fact.note else opened(fact.name))


def _grid(block: Grid, width: float) -> list[Flowable]:
    table = block.table
    right = [RIGHT if column.kind != "text" else LEFT for column in table.columns]
    heads = [opened(column.heading()) for column in table.columns]
    texts = table.texts()
    rows: list[list[Any]] = [
        [said(h, SMALL, bold=True, align=a) for h, a in zip(heads, right, strict=True)]
    ]
    for number, row in enumerate(texts):
        bold = number == table.marked
        rows.append([said(t, SMALL, bold=bold, align=a) for t, a in zip(row, right, strict=True)])
    more: list[Any] = []
    if table.marked is not None:
        more = [("BACKGROUND", (0, table.marked + 1), (-1, table.marked + 1), FAINT)]
    if block.caption:  # inside the table, so that no page starts with it
        below = said(block.caption, SMALL, grey=True)
        rows.append([below, *("" for _ in table.columns[1:])])
        more += [("SPAN", (0, -1), (-1, -1)), ("LINEBELOW", (0, -1), (-1, -1), 0.6, WHITE)]
    return _lines(rows, _widths(heads, texts, width), 0.9 * MM, headed=True, more=more)


def _widths(heads: Sequence[str], texts: Sequence[Sequence[str]], width: float) -> list[float]:
    """Return widths of columns [pt]: what no word needs to be broken for, the rest where asked."""
    gap = 2 * MM
    columns = list(zip(heads, *texts, strict=True))
    least = [max(_wide(word) for text in column for word in text.split() or [""]) + gap
             for column in columns]  # fmt: skip
    asked = [max([_wide(text) for text in column[1:]] or [0.0]) + gap for column in columns]
    asked = [max(a, b) for a, b in zip(asked, least, strict=True)]
    spare, wanted = width - sum(least), sum(asked) - sum(least)
    if spare <= 0:
        return [width * one / sum(least) for one in least]
    if wanted > spare:
        return [a + (b - a) * spare / wanted for a, b in zip(least, asked, strict=True)]
    return [one + (spare - wanted) / len(asked) for one in asked]


def _wide(text: str) -> float:
    from reportlab.pdfbase.pdfmetrics import stringWidth

    font, words = written_in(printable(text), bold=True)
    return float(stringWidth(words, font, SMALL))


def _drawing(block: Drawing, width: float) -> list[Flowable]:
    return [KeepTogether(_figure(block, width)), Spacer(0, GAP)]


def _figure(block: Drawing, width: float) -> list[Flowable]:
    return [Shown(block, width), *_caption(block.caption, CENTRE)]


def _caption(text: str, align: Side = LEFT) -> list[Flowable]:
    return [Spacer(0, 1 * MM), said(text, SMALL, grey=True, align=align)] if text else []


def _written(block: Written, width: float) -> list[Flowable]:
    rows = [[said(key, 8, grey=True), said(value, 8)] for key, value in block.lines]
    title = said(block.title, 8.5, bold=True, grey=True)
    return [title, *(_lines(rows, (0.42 * width, 0.58 * width), 0.3 * MM) if rows else [])]


def _group(block: Group, width: float) -> list[Flowable]:
    if block.look == "row":
        return _row([one for one in block.blocks if isinstance(one, Drawing)], width)
    if block.look == "columns":
        return _columns(block.blocks, width)
    return [KeepTogether(_all(block.blocks, width))]


def _columns(blocks: Sequence[Block], width: float, count: int = 3) -> list[Flowable]:
    """Return blocks in rows of `count`, so that a page may end between two rows."""
    gap = 7 * MM
    each = (width - gap * (count - 1)) / count
    cells: list[Any] = [_one(block, each) for block in blocks]
    cells += [""] * (-len(cells) % count)
    rows = [cells[at : at + count] for at in range(0, len(cells), count)]
    looks = [*_padded(0, 0), ("RIGHTPADDING", (0, 0), (-2, -1), gap)]
    return [Table(rows, [each + gap] * (count - 1) + [each], style=looks), Spacer(0, GAP)]


def _row(drawings: Sequence[Drawing], width: float) -> list[Flowable]:
    """Return drawings side by side, as many as fit, the rest under them."""
    gap, found = 4 * MM, list[Flowable]()
    line: list[tuple[Drawing, float]] = []
    for drawing in drawings:
        wide = min(drawing.width, width)
        if line and sum(one for _, one in line) + wide + gap * len(line) > width:
            found += _beside(line, width)
            line = []
        line.append((drawing, wide))
    return [*found, *(_beside(line, width) if line else [])]


def _beside(line: Sequence[tuple[Drawing, float]], width: float) -> list[Flowable]:
    spare = (width - sum(wide for _, wide in line)) / len(line)
    widths = [wide + spare for _, wide in line]
    cells = [_figure(drawing, wide) for drawing, wide in line]
    looks = [*_padded(0, 0), ("VALIGN", (0, 0), (-1, -1), "BOTTOM")]
    return [Table([cells], widths, style=looks), Spacer(0, GAP)]


def _padded(side: float, room: float) -> list[Any]:
    """Return the looks of a table without lines: its cells' padding, `room` above and below."""
    place = (0, 0), (-1, -1)
    return [
        *((f"{at}PADDING", *place, side) for at in ("LEFT", "RIGHT")),
        *((f"{at}PADDING", *place, room) for at in ("TOP", "BOTTOM")),
        ("VALIGN", *place, "TOP"),
    ]


def _lines(
    rows: Sequence[Sequence[Flowable]],
    widths: Sequence[float],
    room: float,
    *,
    headed: bool = False,
    more: Sequence[Any] = (),
) -> list[Flowable]:
    """Return rows with a fine line under each; the first is repeated on a new page if `headed`."""
    looks = [*_padded(0, room), ("RIGHTPADDING", (0, 0), (-2, -1), 2 * MM)]
    looks.append(("LINEBELOW", (0, 0), (-1, -1), 0.4, PALE))
    if headed:
        looks += [("LINEBELOW", (0, 0), (-1, 0), 0.7, GREY), ("VALIGN", (0, 0), (-1, 0), "BOTTOM")]
    if len(rows) > 2 + headed:
        looks.append(("NOSPLIT", (0, -2), (-1, -1)))  # no page starts with a last row alone
    table = Table([list(row) for row in rows], widths, repeatRows=int(headed),
                  style=[*looks, *more])  # fmt: skip
    return [table, Spacer(0, GAP)]


MAKERS: dict[type, Callable[[Any, float], list[Flowable]]] = {
    Words: _words,
    Heading: _heading,
    Items: _items,
    Facts: _facts,
    Checks: _checks,
    Grid: _grid,
    Drawing: _drawing,
    Written: _written,
    Group: _group,
}
