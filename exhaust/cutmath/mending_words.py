"""What to set after a wrong cut, and what to say of it."""

from __future__ import annotations

from typing import Any, NamedTuple

from exhaust.cutmath.rework_result import LEAVE, MATES, RECUT, SCRAP, Cut
from exhaust.cutmath.sawn import CALIPER, READING, RULE, LegPiece, SawnPiece
from exhaust.errors import ExhaustError
from exhaust.joints import ParallelToSplayedX, ParallelX, YMerge
from exhaust.joints.splayed_end import MitredEnd
from exhaust.show import Fact, cut_length, quantity
from exhaust.stock import Saw
from exhaust.units import SI


class Answer(NamedTuple):
    """What is decided: the verdict, the joint that comes of it, or why none does.

    `again` is how much further along a leg that was cut too deep is mitred once more [m], None
    where it cannot be.
    """

    verdict: str
    after: Any
    why: str = ""
    again: float | None = None


def assumptions() -> tuple[str, ...]:
    """Return what every answer takes for granted."""
    return (
        f"A sawn edge is read to {quantity(READING, 'tube')} either way, or "
        f"{quantity(RULE, 'tube')} past {cut_length(CALIPER)}, where a rule or two readings are "
        "needed (common practice): take the burr off first.",
        "The cut is flat, parallel to the line it should be, and the tube is round.",
        "Straights and returns stay as they are; everything else follows from the cut.",
    )


def shown(cut: Cut) -> tuple[Fact, ...]:
    """Return what the measure shows, and how sure that is."""
    piece, way = cut.piece, cut.way
    of = "mitre opening" if isinstance(piece, LegPiece) else "outside diameter"
    band = f"{cut.low:.4f} to {cut.high:.4f} by the reading alone"
    word = "deeper" if cut.deeper >= 0.0 else "shallower"
    name = piece.words(way)
    return (
        Fact(f"Measured {name}", cut.size, "cut"),
        Fact("Should have been", piece.size(way, piece.share), "cut"),
        Fact("Cutback that it shows", cut.share, "ratio3", f"share of the {of}; {band}"),
        Fact("Cutback wanted", piece.share, "ratio3", f"share of the {of}"),
        Fact(f"Cut {word} by", abs(cut.deeper), "tube", "from the heel"),
        Fact("The reading alone makes", cut.doubt, "tube", "of that, either way"),
        Fact("One deeper moves it by", cut.per_depth, "ratio", f"the {name}, for 1 of depth"),
    )


def settings(joint: Any, saw: Saw, cut: Cut, answer: Answer) -> tuple[Fact, ...]:
    """Return what to set and measure now."""
    if answer.verdict in (LEAVE, SCRAP):
        return ()
    if answer.verdict == RECUT:
        if cut.deeper < 0.0:
            return _to(cut, saw, cut.piece.share, "", cut.share)
        return _again(answer, "Mitre this leg again, further along by")
    found = _to(cut, saw, cut.share, "Mates", cut.piece.share)
    if isinstance(joint, ParallelToSplayedX) and isinstance(answer.after.leg, MitredEnd):
        found += (
            Fact("Take-off of each leg D, then", answer.after.leg.take_off, "cut", "from its heel"),
            Fact("Kept width of each leg D, then", answer.after.leg.kept_width, "cut"),
        )
    if isinstance(joint, ParallelX | YMerge):
        found += _longer_straight(joint, answer.after.cutback)
    return found + _again(answer, "Or mitre this leg again, further along by")


def _again(answer: Answer, name: str) -> tuple[Fact, ...]:
    if answer.again is None:
        return ()
    note = "where its long cut is as deep as wanted; the leg is so much shorter"
    return (Fact(name, answer.again, "cut", note),)


def _longer_straight(joint: ParallelX | YMerge, share: float) -> tuple[Fact, ...]:
    """Return the straight that keeps the spacing, where straights can."""
    if joint.trimmed:
        return ()
    try:
        longer = joint.with_(cutback=share, spacing=SI(joint.spacing, "length")).spacer
    except ExhaustError:
        return ()
    note = "for straights that are not cut yet"
    return (Fact("Straight that keeps the spacing", longer, "cut", note),)


def _to(cut: Cut, saw: Saw, share: float, mates: str, now: float) -> tuple[Fact, ...]:
    """Return how to bring a piece that has lost the share `now` to `share`.

    `mates` starts the lines that are for other pieces, which may be whole yet.
    """
    piece = cut.piece
    more = piece.depth(share) - piece.depth(now)
    gauge = (
        Fact(_line(mates, piece.gauge), piece.opening_length(share), "cut", "the gauge"),
        Fact(_line(mates, "height of the opening"), piece.opening_height(share), "cut"),
    )
    if isinstance(piece, LegPiece):
        edge = "along the fence, kerf in the slug"
        return (
            Fact(_line(mates, "more comes off"), more, "tube", "of the mitre opening"),
            Fact(
                _line(mates, "outer edge to the blade's near face"), piece.kept(share), "cut", edge
            ),
            *gauge,
        )
    return (
        Fact(_line(mates, "more comes off"), more, "tube", "from a cut face"),
        Fact(
            _line(mates, "throat to the blade's far face (kept side)"),
            piece.kept(share),
            "cut",
            "with the heel gone, work from the throat",
        ),
        *(_whole(piece, saw, share, mates) if mates else ()),
        *gauge,
    )


def _whole(piece: SawnPiece, saw: Saw, share: float, mates: str) -> tuple[Fact, ...]:
    """Return the stop for a mate that has its heel yet."""
    far, near = (f"stop to the blade's {face} face" for face in ("far", "near"))
    depth = piece.depth(share)
    return (
        Fact(_line(mates, f"{far} (kept side)"), depth, "cut", "at the heel, if whole yet"),
        Fact(_line(mates, near), depth - saw.kerf, "cut", "kerf falls in the slug"),
    )


def _line(mates: str, words: str) -> str:
    return f"{mates}: {words}" if mates else f"{words[:1].upper()}{words[1:]}"


def reason(joint: Any, cut: Cut, answer: Answer) -> str:
    """Return the answer in a sentence or two."""
    off, verdict = quantity(abs(cut.deeper), "tube"), answer.verdict
    name = f"{cut.named.what} {cut.named.labels.split()[0]}"
    if verdict == LEAVE:
        return (
            f"Leave it: the {name} shows a cutback of {cut.share:.3f}, and what it is off ({off}) "
            f"is no more than the reading may be ({quantity(cut.doubt, 'tube')})"
        )
    if verdict == SCRAP:
        return f"The {name} is scrap: it is cut {off} too deep, and {answer.why}"
    if cut.deeper < 0.0:
        return f"The {name} is {off} shallower than wanted: recut it, and nothing else changes"
    if verdict == RECUT:
        return f"The {name} is cut {off} too deep: mitre it again further along ({answer.why})"
    less = quantity(joint.spacing - answer.after.spacing, "tube")
    area = answer.after.narrowest_area / joint.narrowest_area - 1.0
    return (
        f"The {name} is cut {off} too deep (cutback {cut.share:.3f}): cut {cut.named.mates} to "
        f"match. The spacing comes down by {less}, the narrowest area changes by "
        f"{quantity(area, 'percent')}"
    )


def warnings(joint: Any, saw: Saw, cut: Cut, answer: Answer) -> tuple[str, ...]:
    """Return what to mind."""
    found = []
    if answer.verdict not in (MATES, RECUT):
        return ()
    if abs(cut.deeper) < saw.kerf and (answer.verdict == MATES or cut.deeper < 0.0):
        found.append(
            f"what comes off a piece that is cut already is less than the kerf "
            f"({cut_length(saw.kerf)}): a blade with metal on one side only runs off; sand or file "
            "to a scribed line instead"
        )
    if answer.verdict == MATES:
        wanted, got = (cut.piece.opening_length(s) for s in (cut.piece.share, cut.share))
        tips = (got - wanted) / cut.piece.tips
        found.append(
            f"put against a mate that is cut as wanted, it would stand off by "
            f"{cut_length(tips)} at a tip"
        )
    return tuple(found)
