"""The balance tube of an H pipe: sawn square, its notches roughed out with flat cuts and ground."""

from __future__ import annotations

import math

from exhaust.cutmath import bend_poses as tubes
from exhaust.cutmath import h_pipe_poses as poses
from exhaust.cutmath.cutsheet import Step
from exhaust.cutmath.dial import dialled
from exhaust.cutmath.h_pipe_work import (
    EXIT,
    GRIND,
    LINES,
    SIDES,
    TOP,
    End,
    HWork,
    balance_marks,
    begun,
)
from exhaust.cutmath.pose import Pose
from exhaust.geometry.saddle_rough import FlatCut
from exhaust.show import Fact, cut_length

ALIKE = 1e-9  # [m], [rad]
SEEN = 5e-5  # of two lengths that are shown apart [m]
END_FOR_END = (
    "Figures are for the left end. For the right end turn the tube end for end, its top still the "
    "top: exit side and entry side change places. "
)


def blank(work: HWork) -> Step:
    """Return how the balance tube is sawn square, a little over for the grinder."""
    h, kerf = work.h, work.saw.kerf
    lengths = work.sawn[:1] if work.alike else work.sawn
    count = len(work.sawn)
    settings, drawn, checks = [], [], []
    for side, length in enumerate(lengths):
        which = "" if len(lengths) == 1 else f", {SIDES[side]} piece"
        settings.append(
            Fact(f"Stop to the blade's near face{which}", length, "cut", "kerf falls in the stock")
        )
        checks.append(Fact(f"Length all round{which}", length, "cut"))
        pose = tubes.straight(h.balance_tube, length, work.saw)
        drawn.append(pose._replace(title=f"Saw the balance tube square{which}"))
    settings += [
        Fact("Blade from square", 0.0, "angle"),
        Fact("Left for the grinder, each notch", GRIND, "tube", "in the length above"),
        Fact("Tube from stock, kerf in it", sum(work.sawn) + count * kerf, "cut"),
    ]
    finished = Fact(
        "Long point to long point, when finished",
        h.blank_length,
        "cut",
        f"the blank; the longest line along the tube is {cut_length(h.longest_line)}",
    )
    if h.split is None:
        checks.append(finished)
    words = (
        "The saw only squares the ends: the blank reaches from long point to long point, and a "
        "little over for the grinder. "
    )
    if h.blank_length - h.longest_line > SEEN:
        words += (
            "The long points are on opposite sides, so the blank is longer than any line along "
            "the finished tube: do not saw it to the longest line. "
        )
    if h.split is not None:
        words += "Two pieces: the sawn end at the split is finished, saw it true. "
    return Step(
        *("Saw the balance tube", balance_marks(work.h), words.strip()),
        *(tuple(settings), tuple(checks), tuple(drawn)),
    )


def roughed(work: HWork) -> Step:
    """Return the flat cuts of the notches: dial, place, and what each leaves to grind."""
    settings: list[Fact] = []
    checks: list[Fact] = []
    drawn: list[Pose] = []
    for end in work.told:
        which = "" if work.alike else f"{SIDES[end.side]} end, "
        for name, cut in _sides(end):
            label = begun(f"{which}{name}: ")
            settings += _cut_settings(work, end, cut, label)
            checks.append(
                Fact(f"{label}left to grind, at most", end.left(cut), "tube", _from_sawn(end, cut))
            )
        drawn += poses.roughs(end, work.saw, "" if work.alike else f", {SIDES[end.side]} end")
    words = (
        "Flat cuts take most of the metal and cut into no finished edge: each stays "
        f"{cut_length(GRIND)} clear of it. Tube flat on the deck, its top line up unless a line is "
        "named; mark the distance on its line from the sawn end, the kerf on the waste side. "
    )
    if work.alike and not work.square:
        words += END_FOR_END
    elif work.square:
        words += "Both ends are cut alike. "
    return Step(
        *("Rough out the notches", balance_marks(work.h), words.strip()),
        *(tuple(settings), tuple(checks), tuple(drawn)),
    )


def _sides(end: End) -> list[tuple[str, FlatCut]]:
    """The two sides with their cuts, in words; one where they are cut alike."""
    first, second = end.cuts
    same = (
        abs(first.angle - second.angle) < ALIKE
        and abs(end.depth(first) - end.depth(second)) < ALIKE
    )
    if same and not end.saddle.offset:
        return [("both sides", first)]
    return [("exit side", first), ("entry side", second)]


def _from_sawn(end: End, cut: FlatCut) -> str:
    if cut not in end.made:
        return "no flat cut: it would save little"
    return f"{cut_length(cut.most)} without the flat cut"


def _cut_settings(work: HWork, end: End, cut: FlatCut, label: str) -> list[Fact]:
    if cut not in end.made:
        return []
    at = dialled(cut.angle, work.saw)
    deepest = "exit" if (cut.angle > 0.0) == (cut.side > 0) else "entry"
    found = [
        Fact(f"{label}blade from square", at.dial, "angle", _leaning(deepest, label)),
    ]
    if at.wedge:
        found.append(Fact(f"{label}wedge between fence and tube", at.wedge, "angle", "adds to it"))
    aside, where = _rolled(end, cut)
    if aside is not None:
        found.append(aside._replace(name=f"{label}{aside.name}"))
    if label.startswith("Both"):
        where = "on the exit side and on the entry side line"
    found.append(Fact(f"{label}sawn end to the blade", end.depth(cut), "cut", where))
    return found


def _rolled(end: End, cut: FlatCut) -> tuple[Fact | None, str]:
    """The line that a cut is set by if it is none of the four, and where the cut is measured."""
    home, name, way = TOP, "top", ("towards the exit side", "towards the entry side")
    line = math.remainder(end.set_on(cut), 2.0 * math.pi)
    if cut.angle > 0.0:
        home, name, way = EXIT, "exit side", ("down", "up")
        if cut.side < 0:
            line, name = math.remainder(math.pi - line, 2.0 * math.pi), "entry side"
    round_it = (line - home) * end.saddle.radius
    if abs(round_it) < ALIKE:
        return None, f"on the {name} line"
    note = f"{way[round_it > 0.0]} from the {name} line; roll the tube until it is"
    note = f"{note} {poses.lies(cut)}"
    return Fact("line of the cut, round the tube", abs(round_it), "cut", note), "on that line"


def _leaning(deepest: str, label: str) -> str:
    if label.endswith("oth sides: "):
        return "the same both ways, deepest at the side"
    return f"deepest on the {deepest} side"


def ground(work: HWork) -> Step:
    """Return how the notches are marked, clocked, ground and measured."""
    h = work.h
    settings: list[Fact] = []
    for end in work.told:
        which = "" if work.alike else f"{SIDES[end.side]} end: "
        for name, clock in LINES.items():
            at, straight = end.finished(clock), end.finished(clock, "straight")
            note = f"{cut_length(straight)} if the edge is cut straight through the wall"
            label = begun(f"{which}{name} line, sawn end to edge")
            settings.append(Fact(label, at, "cut", note if straight - at > SEEN else ""))
    settings.append(
        Fact("Twist between the notches' short points", work.twist, "angle", _twist_words(work))
    )
    checks = [
        *_finished_lines(work),
        Fact("Notch, long point to short point", h.notch_depth, "cut", "the deeper end's"),
        Fact(
            "Gap anywhere round a saddle, at most",
            min(h.balance_tube.wall, h.tube.wall) / 2.0,
            "tube",
            "half the wall (common practice); both ends, on the primary",
        ),
    ]
    words = (
        "Wrap the template for a saddle edge, its 12 o'clock on the top line, and grind to the "
        "line with the edge following the primary through the wall: try it on the tube it will "
        "sit on. Long points last and gently. For an edge cut straight through the wall take the "
        "template for that, and the figures in the notes. "
    )
    if work.alike and not work.square:
        words += END_FOR_END
    return Step(
        "Grind the notches", balance_marks(work.h), words.strip(), tuple(settings), tuple(checks)
    )


def _finished_lines(work: HWork) -> list[Fact]:
    """What the tube, or each piece of a split one, measures on each of its lines."""
    if work.h.split is None:
        return [
            Fact(f"Finished length on the {name} line", work.line(clock), "cut")
            for name, clock in LINES.items()
        ]
    found = []
    for end in work.told:
        which = "piece" if work.alike else f"{SIDES[end.side]} piece"
        for name, clock in LINES.items():
            label = begun(f"{which}, finished length on the {name} line")
            found.append(Fact(label, work.piece_line(end, clock), "cut", "to its square end"))
    return found


def _twist_words(work: HWork) -> str:
    if work.square:
        return "none: both ends to the one top line"
    return "round the tube, as seen from one end; both ends to the one top line"
