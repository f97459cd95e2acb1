"""A 1:1 paper template: lines and words on a sheet that goes once round a tube.

x runs round the tube to the right and y along it, seen from outside; 12 o'clock is x = 0, and the
sheet's sides meet at the far side. Plain SI coordinates [m]. Nothing here knows of a page.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal, NamedTuple

import attrs
import numpy as np

from exhaust.cutmath.pose import Points
from exhaust.geometry.unroll import wrap_length
from exhaust.show import cut_length

Kind = Literal["cut", "hole", "edge", "clock", "guide"]

ROUND = np.linspace(-math.pi, math.pi, 721)  # [rad]; chords stay within 1 um of any cut here
BODY = 30e-3  # of sheet beyond a cut, to wrap and to write on [m]
SEEN = 5e-6  # a length that is shown as nought [m]
STRIP = 40e-3  # width of a strip for square lines [m]
CAPTION, SMALL = 3.2e-3, 2.4e-3  # sizes of lettering [m]
LETTER = 0.54  # width of a letter for its size, no less than that of any line here
LINE = 1.35  # from one line to the next, for their size
SHRUNK = 0.6  # least share of its size that lettering is written in


class Line(NamedTuple):
    """A polyline on the sheet: `points` (n, 2) [m], and the `name` of a clock line.

    "cut" and "hole" are marked on the metal; "edge" is where the paper ends without a cut; "clock"
    runs along the tube; "guide" is there to compare with.
    """

    kind: Kind
    points: Points
    name: str = ""


class Label(NamedTuple):
    """Words on the sheet: left end of the base line [m], text, size of the lettering [m]."""

    at: tuple[float, float]
    text: str
    size: float = SMALL


@attrs.frozen(kw_only=True, eq=False)
class Template:
    """One sheet to wrap round a tube: what it marks, how many pieces, which hand, what to mind.

    `name` of the piece and its cut; `tube` as typed; `radius` of the tube's outside [m] and
    `thickness` of the paper [m]; `pieces` of metal to cut with it; `hand`; `lines`, `labels`
    on the sheet and `notes` beside it.
    """

    name: str
    tube: str
    radius: float
    thickness: float
    pieces: int
    hand: str
    lines: tuple[Line, ...]
    labels: tuple[Label, ...]
    notes: tuple[str, ...]

    @property
    def around(self) -> float:
        """Length of the sheet once round the tube, pi (od + thickness) [m]."""
        return wrap_length(self.radius, self.thickness)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Left, bottom, right and top of everything on the sheet [m]."""
        points = np.vstack([line.points for line in self.lines])
        (left, bottom), (right, top) = points.min(axis=0), points.max(axis=0)
        return float(left), float(bottom), float(right), float(top)

    def of(self, kind: Kind) -> tuple[Points, ...]:
        """Return the polylines of one kind."""
        return tuple(line.points for line in self.lines if line.kind == kind)


class Tubing(NamedTuple):
    """What a sheet is wrapped round: the tube as typed, its radius, the paper [m]."""

    name: str
    radius: float
    thickness: float

    @property
    def around(self) -> float:
        """Length of the sheet once round [m]."""
        return wrap_length(self.radius, self.thickness)


class Piece(NamedTuple):
    """What a sheet says of the metal it marks."""

    name: str
    pieces: int
    hand: str
    notes: tuple[str, ...]
    written: tuple[str, ...] = ()  # further lines of lettering on the sheet


class Band(NamedTuple):
    """A sheet between two lines from side to side, left to right; a cut, or a straight edge.

    `names` of the clock lines from the left side to the middle and on to the right side.
    """

    lower: Line
    upper: Line
    names: tuple[str, str, str, str, str]


def straight(tubing: Tubing, height: float, kind: Kind = "edge") -> Line:
    """Return a line square to the tube, from side to side of the sheet.

    >>> line = straight(Tubing("2 in x 16 ga", 0.0254, 0.0), 0.04)
    >>> (line.points * 1e3).round(2).tolist()
    [[-79.8, 40.0], [79.8, 40.0]]
    """
    half = tubing.around / 2.0
    return Line(kind, np.array([(-half, height), (half, height)]))


def laid_out(tubing: Tubing, band: Band, piece: Piece, more: Sequence[Line] = ()) -> Template:
    """Return the sheet of a band: its cuts, sides, clock lines, `more` lines and lettering."""
    half = tubing.around / 2.0
    clocks = [_across(band, half * share) for share in (-1.0, -0.5, 0.0, 0.5, 1.0)]
    sides = (Line("edge", clocks[0]), Line("edge", clocks[-1]))
    inner = [
        Line("clock", points, name)
        for points, name in zip(clocks[1:4], band.names[1:4], strict=True)
    ]
    return Template(
        name=piece.name,
        tube=tubing.name,
        radius=tubing.radius,
        thickness=tubing.thickness,
        pieces=piece.pieces,
        hand=piece.hand,
        lines=(band.lower, band.upper, *sides, *inner, *more),
        labels=(*_clock_names(band, clocks), *_lettering(tubing, band, piece)),
        notes=piece.notes,
    )


def _across(band: Band, x: float) -> Points:
    """Return the line along the tube at `x`, from the band's lower side to its upper."""
    low, high = (
        float(np.interp(x, line.points[:, 0], line.points[:, 1]))
        for line in (band.lower, band.upper)
    )
    return np.array([(x, low), (x, high)])


def _body(band: Band, left: float, right: float) -> tuple[float, float]:
    """Return the bottom and the top of the room to write on between `left` and `right` [m]."""
    xs = np.linspace(left, right, 91)
    low = np.interp(xs, band.lower.points[:, 0], band.lower.points[:, 1]).max()
    high = np.interp(xs, band.upper.points[:, 0], band.upper.points[:, 1]).min()
    return float(low), float(high)


def _clock_names(band: Band, clocks: Sequence[Points]) -> list[Label]:
    """Return the names of the clock lines, beside each at the straight edge or in the middle."""
    gap, found = 1e-3, []
    for number, (points, name) in enumerate(zip(clocks[:-1], band.names[:-1], strict=True)):
        low, high = points[0, 1], points[1, 1]
        if band.upper.kind == "edge":
            y = high - SMALL - gap
        elif band.lower.kind == "edge":
            y = low + gap
        else:
            y = (low + high) / 2.0
        found.append(Label((float(clocks[number][0, 0]) + gap, float(y)), name))
    return found


def _lettering(tubing: Tubing, band: Band, piece: Piece) -> list[Label]:
    """Return name, tube, count and hand, between the 12 o'clock line and the next on its right."""
    left, right = 2e-3, tubing.around / 4.0
    low, high = _body(band, 0.0, right)
    taken = SMALL + 3e-3  # by the names of the clock lines
    if band.upper.kind == "edge":
        high -= taken
    elif band.lower.kind == "edge":
        low += taken
    rows = [(piece.name, CAPTION), *((words, SMALL) for words in piece.written)]
    rows += [(f"cut {piece.pieces}, {piece.hand}", SMALL), (tubing.name, SMALL)]
    sizes = [min(most, (right - left) / (LETTER * len(text))) for text, most in rows]
    room = max(high - low - 1e-3, 0.0) / (LINE * sum(sizes))
    labels, y = [], high
    if band.upper.kind != "edge" and band.lower.kind != "edge":
        y = (low + high) / 2.0 - 2e-3  # below the names of the clock lines
    for (text, _), full in zip(rows, sizes, strict=True):
        size = full * min(max(room, SHRUNK), 1.0)
        y -= LINE * size
        if y < low:
            break
        labels.append(Label((left, y), text, size))
    return labels


def past_edge(distance: float, what: str) -> str:
    """Return how far something lies past a sheet's straight edge: a line of lettering.

    >>> past_edge(0.0, "square end"), past_edge(0.0127, "square end")
    ('edge on the square end', 'edge to square end 0.500 in (1/2)')
    """
    if abs(distance) < SEEN:
        return f"edge on the {what}"
    return f"edge to {what} {cut_length(distance)}"
