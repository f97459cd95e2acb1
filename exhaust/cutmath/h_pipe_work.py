"""One H pipe on one saw: what the settings, checks and drawings are worked out from."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from exhaust.geometry.saddle import Array, Saddle, hole, meets_at, span_on_primary, span_on_tube
from exhaust.geometry.saddle_edge import edge_at
from exhaust.geometry.saddle_rough import FlatCut, flat_cuts, short_point
from exhaust.joints import HPipe
from exhaust.stock import DEGREE, Saw

GRIND = 1.0e-3  # left clear of the finished edge for the grinder [m]; common practice, no source
WORTH = (
    2.0  # kerfs of grinding saved that make a flat cut worth setting up; common practice, no source
)
STEEPEST = 70.0 * DEGREE  # of a flat cut through a tube, wedge and all; common practice, no source
SAVED = 5e-3  # of grinding that makes a wedge worth setting up [m]; common practice, no source
SQUARE = 1e-9  # [rad]; closer to square is square
SIDES = ("left", "right")
EXIT, TOP, ENTRY, BOTTOM = 0.0, math.pi / 2.0, math.pi, -math.pi / 2.0  # clock of each line [rad]
LINES = {"top": TOP, "bottom": BOTTOM, "exit side": EXIT, "entry side": ENTRY}


def begun(text: str) -> str:
    """Return `text` with a capital first.

    >>> begun("entry end to the pilot")
    'Entry end to the pilot'
    """
    return text[:1].upper() + text[1:]


def alike(h: HPipe) -> bool:
    """Return whether the right side is the left one turned end for end, its top still the top."""
    return h.splay < SQUARE


def balance_marks(h: HPipe) -> str:
    """Return the marks of the balance tube's pieces, one where they are alike."""
    return "A" if h.split is None or alike(h) else "A B"


def primary_marks(h: HPipe) -> str:
    """Return the marks of the primaries, one where they are alike.

    >>> from exhaust import Tube
    >>> primary_marks(HPipe(Tube(od="3 in", wall="16 ga"), spacing="10 in", splay="4 deg"))
    'B C'
    """
    if alike(h):
        return "B"
    return "B C" if h.split is None else "C D"


class End(NamedTuple):
    """One end of the balance tube as it is sawn; lengths from its primary's axis [m]."""

    side: int  # 0 left, 1 right
    saddle: Saddle
    square: float  # to the square end that the saw leaves
    cuts: tuple[FlatCut, FlatCut]  # towards the exit, towards the entry
    kerf: float

    def set_on(self, cut: FlatCut) -> float:
        """Return the clock angle of the line that a flat cut is set by [rad].

        The line it is deepest on, or, where that is on the other side, the one a quarter off it.
        """
        return cut.line if cut.angle > 0.0 else cut.line + cut.side * math.pi / 2.0

    def depth(self, cut: FlatCut) -> float:
        """Return how far from the square end a flat cut stands on the line it is set by [m]."""
        return float(cut.at(self.set_on(cut))) - self.square

    def start(self, cut: FlatCut) -> float:
        """Return where a flat cut starts on the square end, from its middle to its line [m]."""
        return (self.square - cut.middle) / math.tan(cut.angle)

    @property
    def made(self) -> tuple[FlatCut, ...]:
        """The flat cuts that are worth setting up."""
        return tuple(cut for cut in self.cuts if cut.most - cut.left > WORTH * self.kerf)

    def left(self, cut: FlatCut) -> float:
        """Return the most that is left to grind on the side of `cut` [m]."""
        return cut.left if cut in self.made else cut.most

    def finished(self, clock: float, edge: str = "saddle") -> float:
        """Return how far the finished edge is from the square end, on the line at `clock` [m]."""
        return float(edge_at(self.saddle, clock, edge)) - self.square


class Hole(NamedTuple):
    """The hole in one primary; lengths along it from its entry end, round it from its facing line.

    `near` and `far` edge and `pilot` along it, `up` and `down` to its edges and `above` to the
    pilot round it [m]; `lean` of the drill to the exit [rad].
    """

    side: int
    near: float
    far: float
    pilot: float
    up: float
    down: float
    above: float
    lean: float


class HWork(NamedTuple):
    """An H pipe, the saw, and the ends and holes that it makes of it."""

    h: HPipe
    saw: Saw
    ends: tuple[End, End]
    holes: tuple[Hole, Hole]

    @property
    def alike(self) -> bool:
        """Whether the right side is the left one turned end for end, its top still the top."""
        return alike(self.h)

    @property
    def square(self) -> bool:
        """Whether the balance tube is square to both primaries."""
        return self.alike and abs(self.h.angle - math.pi / 2.0) < SQUARE

    @property
    def every_mark(self) -> str:
        """Marks of every piece."""
        return f"{balance_marks(self.h)} {primary_marks(self.h)}"

    @property
    def told(self) -> tuple[End, ...]:
        """The ends that differ."""
        return self.ends[:1] if self.alike else self.ends

    @property
    def sawn(self) -> tuple[float, ...]:
        """Lengths that the balance tube is sawn to [m]: one, or a piece for each end."""
        if self.h.split is None:
            return (self.h.blank_length + 2.0 * GRIND,)
        return tuple(piece + GRIND for piece in self.h.pieces)

    @property
    def held(self) -> float:
        """Tube that is whole all round, for the vice to hold by while an end is worked on [m]."""
        clear = self.h.clear_length
        return clear if self.h.split is None else (clear - self.h.split.gap) / 2.0

    @property
    def twist(self) -> float:
        """Angle round the tube from the left notch's short point to the right one's [rad]."""
        left, right = (short_point(end.saddle) for end in self.ends)
        return abs(right - left)

    def piece_line(self, end: End, clock: float) -> float:
        """Return the finished length of the piece of a split tube at `end`, at `clock` [m]."""
        return self.sawn[end.side] - end.finished(clock)

    def line(self, clock: float) -> float:
        """Return the finished length of the balance tube on the line at `clock` [m]."""
        ends = sum(float(meets_at(end.saddle.outside, clock)) for end in self.ends)
        return self.h.balance_length - ends


def marks(saw: Saw, largest: float) -> Array:
    """Return every angle that is whole steps of the dial, up to `largest` either way [rad].

    >>> saw = Saw(kerf="1.1 mm", angle_step="15 deg")
    >>> [round(math.degrees(angle)) for angle in marks(saw, float(saw.largest_angle))]
    [-45, -30, -15, 0, 15, 30, 45]
    """
    count = math.floor(largest / saw.angle_step + 1e-9)
    return np.asarray(np.arange(-count, count + 1) * float(saw.angle_step))


def work_on(h: HPipe, saw: Saw) -> HWork:
    """Return the work that `h` is on `saw`."""
    first, second = (_end(side, saddle, saw) for side, saddle in enumerate(h.saddles))
    return HWork(h, saw, (first, second), (_hole(h, 0), _hole(h, 1)))


def _end(side: int, saddle: Saddle, saw: Saw) -> End:
    """Return an end; a cut goes past the dial, on a wedge, only where that saves real grinding."""
    square = span_on_tube(saddle.outside)[0] - GRIND
    first, second = flat_cuts(saddle, marks(saw, float(saw.largest_angle)), square, GRIND)
    if max(first.left, second.left) - GRIND > SAVED:
        past = flat_cuts(saddle, marks(saw, max(STEEPEST, saw.largest_angle)), square, GRIND)
        first, second = (
            steep if plain.left - steep.left > SAVED else plain
            for plain, steep in zip((first, second), past, strict=True)
        )
    return End(side, saddle, square, (first, second), float(saw.kerf))


def _hole(h: HPipe, side: int) -> Hole:
    saddle, station = h.saddles[side], h.crossings[side]
    low, high = span_on_primary(saddle.hole)
    turn, _ = hole(saddle.hole, [TOP, BOTTOM])
    over = math.sqrt(saddle.primary**2 - saddle.offset**2) / math.tan(saddle.angle)
    return Hole(
        side=side,
        near=station + low,
        far=station + high,
        pilot=station + over,
        up=saddle.primary * float(turn[0]),
        down=-saddle.primary * float(turn[1]),
        above=saddle.primary * math.asin(saddle.offset / saddle.primary),
        lean=90.0 * DEGREE - saddle.angle,
    )
