"""What a job sheet is made of: pages of blocks. Says nothing of how they look."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar, Literal

import attrs

from exhaust.show import Fact, Table


@attrs.frozen
class Words:
    """A paragraph."""

    text: str
    kind: ClassVar[str] = "words"


@attrs.frozen
class Heading:
    """A heading inside a page."""

    text: str
    kind: ClassVar[str] = "heading"


@attrs.frozen
class Items:
    """A list; `boxed` when it must not be overlooked."""

    lines: Sequence[str]
    boxed: bool = False
    kind: ClassVar[str] = "items"


@attrs.frozen
class Facts:
    """Names with their values and notes; `large` for the few that answer the job."""

    facts: Sequence[Fact]
    large: bool = False
    kind: ClassVar[str] = "facts"


@attrs.frozen
class Checks:
    """Measurements to take: a box to tick and room for what was measured beside each."""

    facts: Sequence[Fact]
    kind: ClassVar[str] = "checks"


@attrs.frozen
class Grid:
    """A table with a line under it that says what to see in it."""

    table: Table
    caption: str = ""
    kind: ClassVar[str] = "grid"


@attrs.frozen
class Drawing:
    """A figure as SVG text and as a PDF of one page, and its size on paper [pt]."""

    svg: str
    pdf: bytes
    width: float
    height: float
    caption: str
    kind: ClassVar[str] = "drawing"


@attrs.frozen
class Written:
    """One section of the job file: keys and values as they were typed."""

    title: str
    lines: Sequence[tuple[str, str]]
    kind: ClassVar[str] = "written"


@attrs.frozen
class Group:
    """Blocks kept `together` on one sheet of paper, set in `columns`, or in a `row`."""

    blocks: Sequence[Block]
    look: Literal["together", "columns", "row"] = "together"
    kind: ClassVar[str] = "group"


Block = Words | Heading | Items | Facts | Checks | Grid | Drawing | Written | Group


@attrs.frozen
class Page:
    """A part of the sheet under one title; `fresh` when it starts on a new sheet of paper."""

    title: str
    blocks: Sequence[Block]
    fresh: bool = False
