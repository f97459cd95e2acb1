"""Which tubes and bends are opened, and what is sawn from each in order."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import NamedTuple

from exhaust.cutmath.cutsheet import Part
from exhaust.cutmath.nesting import Bar, nested
from exhaust.cutmath.run_parts import NONE, ONE_ANGLE
from exhaust.cutmath.supply import Offcut, Stock
from exhaust.errors import broken
from exhaust.show import quantity
from exhaust.stock import Bend, Saw, Tube, alike


class Cut(NamedTuple):
    """One blank sawn from stock: its mark, its `length` on the centreline [m].

    `angle` of a bend sawn from a larger one [rad]; nought for tube, and where the bends of a joint
    are divided evenly.
    """

    label: str
    length: float
    angle: float = 0.0


class Opened(NamedTuple):
    """One tube or bend that is sawn up: its length, the cuts in order, what is left [m]."""

    stock: Tube | Bend
    length: float
    cuts: tuple[Cut, ...]
    left: float
    on_hand: bool


def tubes_opened(parts: Iterable[Part], saw: Saw, stock: Stock) -> tuple[list[Opened], float]:
    """Return the tubes that the straight `parts` are sawn from, and the largest gap of a nesting.

    >>> from exhaust.cutmath import Blank
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> part = Part("A", "leg", 4, Blank(tube, 2.0), 2.0, 5.9)
    >>> found, gap = tubes_opened([part], Saw(kerf="1 mm"), Stock(lengths=["6.1 m"]))
    >>> [(len(one.cuts), round(one.left, 3)) for one in found], gap
    ([(3, 0.092), (1, 4.094)], 0.0)
    """
    straight = [part for part in parts if isinstance(part.blank.stock, Tube)]
    found: list[Opened] = []
    gaps = [0.0]
    for group in _grouped(straight, lambda one, other: alike(_tube(one), _tube(other))):
        opened, gap = _of_tube(group, saw, stock)
        found += opened
        gaps.append(gap)
    return found, max(gaps)


def _grouped(parts: Iterable[Part], same: Callable[[Part, Part], bool]) -> list[list[Part]]:
    """Return the parts that come from the `same` stock together, in their order."""
    found: list[list[Part]] = []
    for part in parts:
        group = next((held for held in found if same(held[0], part)), None)
        if group is None:
            found.append([part])
        else:
            group.append(part)
    return found


def _tube(part: Part) -> Tube:
    assert isinstance(part.blank.stock, Tube)
    return part.blank.stock


def _bend(part: Part) -> Bend:
    assert isinstance(part.blank.stock, Bend)
    return part.blank.stock


def _of_tube(parts: Sequence[Part], saw: Saw, stock: Stock) -> tuple[list[Opened], float]:
    tube = _tube(parts[0])
    sold, kerf, trim = stock.sold(tube), float(saw.kerf), float(stock.trim)
    longest = max(parts, key=lambda part: part.blank.length)
    if longest.blank.length > max(sold) - trim + NONE:
        rule = f"must have one that part {longest.label}, {longest.what}, can come from"
        got = f"{quantity(max(sold), 'cut')} for {quantity(longest.blank.length, 'cut')}"
        raise broken(rule, got, "name a longer length").named("stock.lengths")
    ours = [
        float(one.length)
        for one in stock.on_hand
        if isinstance(one, Offcut) and alike(one.tube, tube)
    ]
    pieces = [part.blank.length for part in parts for _ in range(part.blanks)]
    nest = nested(pieces, sold, kerf, trim, ours)
    marks = _Marks((part.label, part.blank.length, part.blanks) for part in parts)
    return [
        Opened(
            *(tube, bar.length, tuple(Cut(*one) for one in marks.of(bar))),
            *(_left(bar, kerf, trim), bar.on_hand),
        )
        for bar in nest.bars
    ], nest.gap


def _left(bar: Bar, kerf: float, trim: float) -> float:
    """Return what is left of a bar when everything is sawn from it [m]."""
    return max(bar.length - trim - sum(piece + kerf for piece in bar.pieces), 0.0)


class _Marks:
    """Deals the marks of pieces out to the bars that they are sawn from."""

    def __init__(self, pieces: Iterable[tuple[str, float, int]]) -> None:
        self.held: dict[float, list[str]] = defaultdict(list)
        for label, size, count in pieces:
            self.held[size] += [label] * count

    def of(self, bar: Bar) -> list[tuple[str, float]]:
        """Return the mark and the size of each piece of `bar`."""
        return [(self.held[piece].pop(0), piece) for piece in bar.pieces]


def bends_opened(
    joint: Iterable[Part], runs: Iterable[Part], stock: Stock
) -> tuple[list[Opened], float]:
    """Return the bends that the bent parts come from, and the largest gap of a nesting.

    A `joint` takes its bends whole, as it describes them; those of `runs` are sawn from any that
    hold them. A kerf costs length, not angle: what counts is the angle.
    """
    on_hand = [one for one in stock.on_hand if isinstance(one, Bend)]
    found = list(_whole([part for part in joint if isinstance(part.blank.stock, Bend)], on_hand))
    bent = [part for part in runs if isinstance(part.blank.stock, Bend)]
    gaps = [0.0]
    for group in _grouped(bent, lambda one, other: _same_radius(_bend(one), _bend(other))):
        ours = [one for one in on_hand if _same_radius(one, _bend(group[0]))]
        opened, gap = _of_bend(group, stock, ours)
        found += opened
        gaps.append(gap)
    return found, max(gaps)


def _same_radius(one: Bend, other: Bend) -> bool:
    return alike(one.tube, other.tube) and abs(one.clr - other.clr) < NONE


def _whole(parts: Iterable[Part], on_hand: list[Bend]) -> Iterator[Opened]:
    """Yield the bends that are taken whole; those used are taken out of `on_hand`."""
    for part in parts:
        pieces = part.pieces
        for _ in range(part.blanks):
            ours = next((one for one in on_hand if _is_one(one, _bend(part))), None)
            if ours is not None:
                on_hand.remove(ours)
            count = min(part.blank.makes, pieces)
            pieces -= count
            cuts = (Cut(part.label, part.length),) * count
            yield Opened(_bend(part), part.blank.length, cuts, 0.0, ours is not None)


def _is_one(one: Bend, wanted: Bend) -> bool:
    """Return whether a bend on hand is such a bend."""
    same_angle = abs(one.angle - wanted.angle) < ONE_ANGLE
    return same_angle and _same_radius(one, wanted) and one.tangent >= wanted.tangent - NONE


def _of_bend(
    parts: Sequence[Part], stock: Stock, on_hand: Sequence[Bend]
) -> tuple[list[Opened], float]:
    most, first = max(stock.bend_angles), _bend(parts[0])
    angles = [min(float(_bend(part).angle), most) for part in parts]
    for part in parts:
        wanted = float(_bend(part).angle)
        if wanted > most + ONE_ANGLE:
            rule = f"must have one that {part.what} can come from"
            raise broken(rule, quantity(most, "angle"), "name a larger one").named(
                "stock.bend_angles"
            )
    pieces = [a for part, a in zip(parts, angles, strict=True) for _ in range(part.pieces)]
    nest = nested(pieces, stock.bend_angles, 0.0, 0.0, [float(one.angle) for one in on_hand])
    marks = _Marks((part.label, a, part.pieces) for part, a in zip(parts, angles, strict=True))
    bought = {float(angle): first.with_(angle=angle) for angle in stock.bend_angles}
    held = {float(one.angle): one for one in on_hand}
    found = []
    for bar in nest.bars:
        bend = (held if bar.on_hand else bought)[bar.length]
        clr, rest = float(bend.clr), bar.length - sum(bar.pieces)
        cuts = tuple(Cut(label, clr * angle, angle) for label, angle in marks.of(bar))
        left = clr * rest if rest > ONE_ANGLE else 0.0
        found.append(Opened(bend, clr * bar.length, cuts, left, bar.on_hand))
    return found, nest.gap
