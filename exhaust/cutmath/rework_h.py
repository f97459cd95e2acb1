"""When an H pipe went wrong: a hole of the wrong size, a balance tube too long or too short."""

from __future__ import annotations

from exhaust.cutmath.mending_words import assumptions
from exhaust.cutmath.rework_result import LEAVE, MATES, RECUT, SCRAP, Rework
from exhaust.cutmath.sawn import reading
from exhaust.errors import ExhaustError, broken
from exhaust.geometry import saddle
from exhaust.joints import HPipe
from exhaust.joints.h_pipe_rules import TORCH
from exhaust.joints.parallel_x_rules import Asked, in_unit_of, text
from exhaust.show import Fact, quantity
from exhaust.stock import Saw
from exhaust.units import SI

HOLE, TUBE = "B", "A"  # marks of primary and balance tube on the cut sheet
WALL_LEFT = 0.5  # share of the wall that must still stand on the primary; common practice


def rework(h: HPipe, saw: Saw, asked: Asked, piece: str | None) -> Rework:
    """Return what to do with a hole (`opening_length`) or a balance tube (`kept`)."""
    what = {"opening_length": HOLE, "kept": TUBE}.get(asked.name)
    if what is None:
        rule = "says little of a hole in a round tube"
        remedy = "measure opening_length, the hole along the primary"
        raise broken(rule, None, remedy).named(asked.name)
    if piece not in (None, what):
        rule = f"is {what} where {asked.name} is measured"
        raise broken(rule, repr(piece), "leave it out").named("piece")
    return _hole(h, saw, asked) if what == HOLE else _tube(h, saw, asked)


def _hole(h: HPipe, saw: Saw, asked: Asked) -> Rework:
    size, wanted = float(asked.value), float(h.hole_length)
    low, high = saddle.span_on_primary(h.saddles[0].outside)
    covered = high - low
    over = size - wanted
    rest = (covered - size) / 2.0  # of the tube's edge that still stands on the primary
    foot = (covered - wanted) / 2.0
    off = reading(size)
    if not 0.0 < size < h.centreline_length:
        most = in_unit_of(asked.value, h.centreline_length)
        rule = f"must be between zero and {most}, all of the primary"
        raise broken(rule, text(asked.value)).named(asked.name)
    shown = (
        Fact("Measured length of the hole", size, "cut", "along the primary"),
        Fact("Should have been", wanted, "cut", "the balance tube's inside"),
        Fact("Covered by the balance tube", covered, "cut", "its outside on the primary"),
        Fact("The reading alone makes", off, "tube", "either way"),
    )
    settings: tuple[Fact, ...] = ()
    after: HPipe | None = h
    if abs(over) <= off:
        verdict, why = LEAVE, "Leave it: the hole is off by no more than the reading may be"
    elif over < 0.0:
        verdict = RECUT
        why = f"The hole is {quantity(-over, 'tube')} too short: open it out, evenly"
        settings = (Fact("Open it out, each end", -over / 2.0, "tube"),)
    elif rest >= WALL_LEFT * foot:
        verdict = LEAVE
        why = (
            f"Leave it: the hole is {quantity(over, 'tube')} too long, but the balance tube's edge "
            "still stands on the primary all round; the gas sees the balance tube's inside"
        )
        settings = (Fact("Edge left on the primary, each end", rest, "tube"),)
    else:
        verdict, after = SCRAP, None
        need = float(h.balance_tube.od) * size / covered + 2.0 * WALL_LEFT * h.balance_tube.wall
        why = (
            f"The primary is scrap for this balance tube: the hole is {quantity(over, 'tube')} "
            f"too long and the tube's edge has {quantity(max(rest, 0.0), 'tube')} to stand on; a "
            f"balance tube of {quantity(need, 'tube')} outside or more would cover it, or a patch"
        )
    return _answer(h, saw, (HOLE, verdict, why), (size, wanted, off), (shown, settings, after))


def _tube(h: HPipe, saw: Saw, asked: Asked) -> Rework:
    size, wanted = float(asked.value), float(h.shortest_line)
    short, off = wanted - size, reading(size)
    per = h.balance_length / h.balance_spacing  # of balance tube for one of spacing
    shown = (
        Fact("Measured shortest line, saddle to saddle", size, "cut"),
        Fact("Should have been", wanted, "cut"),
        Fact("The reading alone makes", off, "tube", "either way"),
    )
    after: HPipe | None = h
    settings: tuple[Fact, ...] = ()
    if abs(short) <= off:
        verdict, why = LEAVE, "Leave it: it is off by no more than the reading may be"
    elif short < 0.0:
        verdict = RECUT
        why = f"The balance tube is {quantity(-short, 'tube')} too long: grind one notch deeper"
        settings = (Fact("Grind off one notch, all round, along the tube", -short, "tube"),)
    else:
        verdict, why, after = _shorter(h, short, per)
        if after is not None:
            nearer = after.balance_spacing
            settings = (Fact("Spacing that it fits", nearer, "cut", "in the middle of it"),)
    return _answer(h, saw, (TUBE, verdict, why), (size, wanted, off), (shown, settings, after))


def _shorter(h: HPipe, short: float, per: float) -> tuple[str, str, HPipe | None]:
    name = f"The balance tube is {quantity(short, 'tube')} too short"
    left = float(h.shortest_line) - short
    if left < TORCH <= h.shortest_line:
        room = f"{quantity(left, 'cut')} of it is too little to get a torch round"
        return SCRAP, f"{name} and scrap: {room}", None
    like = h.tube.od
    unit = (like.unit, like.scale) if isinstance(like, SI) else ("m", 1.0)
    spacing = SI(h.balance_spacing - short / per, "length", *unit)
    try:
        after = h.with_(spacing=spacing)
    except ExhaustError as error:
        return SCRAP, f"{name} and scrap: {error}", None
    less = quantity(short / per, "tube")
    why = f"{name}: bring the primaries {less} nearer, or saw another; a gap is not filled"
    return MATES, why, after


def _answer(
    h: HPipe,
    saw: Saw,
    said: tuple[str, str, str],
    sizes: tuple[float, float, float],
    rest: tuple[tuple[Fact, ...], tuple[Fact, ...], HPipe | None],
) -> Rework:
    piece, verdict, why = said
    size, wanted, off = sizes
    shown, settings, after = rest
    return Rework(
        joint=h,
        saw=saw,
        piece=piece,
        verdict=verdict,
        cutback=size / wanted,
        wanted=1.0,
        band=((size - off) / wanted, (size + off) / wanted),
        deeper=size - wanted if piece == HOLE else wanted - size,
        shown=shown,
        settings=settings,
        after=after,
        reason=why,
        warnings=(),
        assumptions=assumptions()[:1],
    )
