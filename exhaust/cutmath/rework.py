"""When it went wrong: from a measured opening back to the cut, and what to do about it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from exhaust import units
from exhaust.cutmath import rework_h
from exhaust.cutmath.mending import mended
from exhaust.cutmath.rework_result import Cut, Rework
from exhaust.cutmath.sawn import WAYS, Named, a_joint, checked, sawn_pieces
from exhaust.describe import require
from exhaust.errors import RuleError, broken
from exhaust.joints import HPipe, Joint
from exhaust.joints.parallel_x_rules import the_one_given
from exhaust.show import listed
from exhaust.stock import Saw

if TYPE_CHECKING:
    import pint

    Length = str | float | pint.Quantity[Any] | None


def rework(
    joint: Joint,
    saw: Saw,
    opening_length: Length = None,
    opening_height: Length = None,
    kept: Length = None,
    piece: str | None = None,
) -> Rework:
    """Return how deep a piece was really cut, and what to do with it and with its mates.

    One of: `opening_length` [m], the gauge of the cut sheet (bend: tip to tip; Y: outlet face to
    tip; straight leg: mitre to tip; H pipe: hole along the primary); `opening_height` [m], across
    it in the middle; `kept` [m], what the cut left (bend: throat to cut face; leg: outer edge to
    cut face; H pipe: balance tube along its shortest line). `piece` is its mark on the cut sheet
    where a joint has more than one kind.

    The answer is the share that was really cut off, exact, with what the reading alone may be off;
    then leave it, recut it, recut its mates to match, or scrap it and why; and what that costs in
    spacing, narrowest area and window. Raises `ExhaustError` for a measure no cut can leave.

    >>> from exhaust import Bend, ParallelX, Tube
    >>> x = ParallelX(Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in"), cutback=0.28)
    >>> found = rework(x, Saw(kerf="1.1 mm"), opening_length="6-1/4 in")
    >>> found.verdict, round(found.cutback, 4), round(found.deeper * 1e3, 2)
    ('recut the mates', 0.2927, 0.97)
    """
    a_joint(joint)
    require(saw, Saw, "saw")
    given = {"opening_length": opening_length, "opening_height": opening_height, "kept": kept}
    asked = the_one_given("rework", {name: _length(name, size) for name, size in given.items()})
    if asked is None:
        raise broken(f"needs one of {', '.join(WAYS)}", "none of them").named("rework")
    if isinstance(joint, HPipe):
        return rework_h.rework(joint, saw, asked, piece)
    named = chosen(sawn_pieces(joint, saw), piece)
    checked(named.piece, asked)
    return mended(joint, saw, Cut.of(named, asked))


def _length(name: str, size: Length) -> float | None:
    if size is None:
        return None
    try:
        return units.length(size)
    except RuleError as error:
        raise error.named(name) from error


def chosen(pieces: tuple[Named, ...], mark: str | None) -> Named:
    """Return the piece with that mark, the first if none is given, or name those there are."""
    if mark is None:
        return pieces[0]
    for one in pieces:
        if mark in one.labels.split():
            return one
    marks = listed([label for one in pieces for label in one.labels.split()])
    raise broken("is not the mark of a piece that is sliced", repr(mark), f"here: {marks}").named(
        "piece"
    )
