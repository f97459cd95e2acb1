"""Reads what a PDF draws: a small interpreter of its path operators, independent of the writer.

pypdf takes the file apart into operators; only those that a page of lines needs are known here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from pypdf import PdfReader
from pypdf.generic import ContentStream, TextStringObject

Array = NDArray[np.float64]
METRES = 0.0254 / 72.0  # in a point


@dataclass(frozen=True)
class Stroke:
    """A line as it is drawn on the page: points [m], width [m], the rectangle it is clipped to."""

    points: Array
    width: float
    dashed: bool
    clip: tuple[float, float, float, float] | None

    @property
    def seen(self) -> Array:
        """Which of its points are inside the clip."""
        if self.clip is None:
            return np.ones(len(self.points), dtype=bool)
        left, bottom, right, top = self.clip
        x, y = self.points.T
        return np.asarray((left <= x) & (x <= right) & (bottom <= y) & (y <= top))


@dataclass(eq=False)
class Page:
    """One page: its size [m], its strokes, its words and where they start [m]."""

    width: float
    height: float
    strokes: list[Stroke] = field(default_factory=list)
    words: list[tuple[tuple[float, float], str]] = field(default_factory=list)

    def of_width(self, width: float, dashed: bool = False) -> list[Stroke]:
        """Return the strokes of one width [m]."""
        return [s for s in self.strokes if abs(s.width - width) < 1e-7 and s.dashed == dashed]


@dataclass(eq=False)
class State:
    shift: tuple[float, float] = (0.0, 0.0)
    width: float = 1.0
    dashed: bool = False
    clip: tuple[float, float, float, float] | None = None


def read(path: Path) -> list[Page]:
    """Return every page of a file."""
    reader = PdfReader(path)
    pages = []
    for page in reader.pages:
        box = page.mediabox
        found = Page(float(box.width) * METRES, float(box.height) * METRES)
        _Walk(found).through(ContentStream(page.get_contents(), reader).operations)
        pages.append(found)
    return pages


class _Walk:
    def __init__(self, page: Page) -> None:
        self.page, self.state, self.kept = page, State(), [State()]
        self.path: list[tuple[float, float]] = []
        self.rectangle: tuple[float, float, float, float] | None = None
        self.at = (0.0, 0.0)

    def through(self, operations: list[tuple[list[object], bytes]]) -> None:
        for operands, operator in operations:
            step = getattr(self, f"do_{operator.decode().rstrip('*')}", None)
            if step is not None:
                step(*operands)

    def _placed(self, x: object, y: object) -> tuple[float, float]:
        dx, dy = self.state.shift
        return (float(x) + dx) * METRES, (float(y) + dy) * METRES  # type: ignore[arg-type]

    def do_q(self) -> None:
        self.kept.append(State(**vars(self.state)))

    def do_Q(self) -> None:
        self.state = self.kept.pop()

    def do_cm(self, a: float, b: float, c: float, d: float, e: float, f: float) -> None:
        assert [float(x) for x in (a, b, c, d)] == [1, 0, 0, 1]
        x, y = self.state.shift
        self.state.shift = (x + float(e), y + float(f))

    def do_w(self, width: float) -> None:
        self.state.width = float(width) * METRES

    def do_d(self, dashes: list[float], phase: float) -> None:
        self.state.dashed = bool(len(dashes))

    def do_m(self, x: float, y: float) -> None:
        self.path = [self._placed(x, y)]

    def do_l(self, x: float, y: float) -> None:
        self.path.append(self._placed(x, y))

    def do_re(self, x: float, y: float, width: float, height: float) -> None:
        left, bottom = self._placed(x, y)
        self.rectangle = (
            left,
            bottom,
            left + float(width) * METRES,
            bottom + float(height) * METRES,
        )

    def do_W(self) -> None:
        assert self.rectangle is not None
        self.state.clip = self.rectangle

    def do_n(self) -> None:
        self.path, self.rectangle = [], None

    def do_S(self) -> None:
        state = self.state
        self.page.strokes.append(Stroke(np.array(self.path), state.width, state.dashed, state.clip))

    def do_Tm(self, a: float, b: float, c: float, d: float, e: float, f: float) -> None:
        self.at = self._placed(e, f)

    def do_Tj(self, words: TextStringObject) -> None:
        self.page.words.append((self.at, words.original_bytes.decode("cp1252", "replace")))
