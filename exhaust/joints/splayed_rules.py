"""What a splayed X can be: its four legs, what is refused in the shop's words, what is unusual."""

from __future__ import annotations

import math
from typing import NamedTuple

from exhaust.errors import broken
from exhaust.geometry import mitre, segment, splayed
from exhaust.geometry.elbow import SLACK
from exhaust.geometry.mismatch import Steps
from exhaust.geometry.splayed import MitredLeg
from exhaust.joints.parallel_x_rules import USUAL, floored, in_unit_of, share, text
from exhaust.joints.splayed_end import MitredEnd
from exhaust.joints.stepped import step_words
from exhaust.stock import DEGREE, Tube
from exhaust.units import SI

PLAIN, EQUAL_WIDTH, BISECTOR = "plain", "equal width", "bisector"
SPLAY = (5 * DEGREE, 170 * DEGREE)  # included angles that can be sawn and welded
SAME_ANGLE = 1e-9  # [rad]
NOTHING_LEFT = "before nothing of the tube is left in the middle"


class Asked(NamedTuple):
    """A splayed X as it was described; names of `lengths` are those of its arguments."""

    tube: Tube
    cutback: float
    angles: tuple[float, float]  # included, entry and exit [rad]
    lengths: tuple[float, float]  # of a leg, entry and exit [m]
    names: tuple[str, str]
    unequal: str


class Most(NamedTuple):
    """The largest cutback that is taken, and what holds it there.

    >>> Most(0.58578, "for these bends").words()
    'cutback can grow to 0.585 for these bends'
    """

    cutback: float
    why: str

    def words(self) -> str:
        """Return it as a limit."""
        return f"cutback can grow to {floored(self.cutback)} {self.why}"


class Ends(NamedTuple):
    """The legs of its two ends."""

    entry: MitredEnd
    exit: MitredEnd

    @property
    def alike(self) -> bool:
        """Whether both ends splay by the same angle."""
        return abs(self.entry.angle - self.exit.angle) < SAME_ANGLE


def check_share(tube: Tube, cutback: float, name: str = "cutback") -> None:
    """Refuse a share of the mitre opening that is none, opens no bore or leaves none of it."""
    if not 0.0 < cutback < 1.0:
        remedy = "0.33 means a third of the mitre opening"
        raise broken("must be between 0 and 1", f"{cutback:.4g}", remedy).named(name)
    thin = tube.wall / tube.od
    if cutback <= thin:
        least = math.ceil(thin * 1e3 - 1e-6) / 1e3
        rule = f"must be more than {least:.3f} to cut through a wall of {text(tube.wall)}"
        raise broken(rule, share(cutback), "a quarter to a third is usual").named(name)
    if cutback >= 1.0 - thin:
        most = floored(1.0 - thin)
        rule = f"must be less than {most} to leave any of the tube"
        raise broken(rule, share(cutback), "a quarter to a third is usual").named(name)


def ends(asked: Asked) -> Ends:
    """Return the legs that give what was asked, or refuse it with the limit."""
    check_share(asked.tube, asked.cutback)
    first, second = (float(angle) / 2.0 for angle in asked.angles)
    mitres, cutbacks = (first, second), (asked.cutback, asked.cutback)
    if asked.unequal == BISECTOR:
        mitres = (mitre.bisector(first, second).mitre,) * 2
    elif asked.unequal == EQUAL_WIDTH:
        cutbacks = (asked.cutback, _matched(asked, first, second))
    pair = [
        MitredEnd(
            MitredLeg(float(asked.tube.od) / 2.0, float(asked.tube.wall), *cut), float(length)
        )
        for *cut, length in zip((first, second), mitres, cutbacks, asked.lengths, strict=True)
    ]
    for end, name, length in zip(pair, asked.names, asked.lengths, strict=True):
        check_length(end, name, length)
    return Ends(*pair)


def _matched(asked: Asked, first: float, second: float) -> float:
    """Return the exit legs' cutback that keeps the entry legs' width, or refuse it."""
    found = 1.0 - (1.0 - asked.cutback) * math.cos(second) / math.cos(first)
    thin = asked.tube.wall / asked.tube.od
    if not thin < found < 1.0 - thin:
        rule = f"{EQUAL_WIDTH!r} would take a share of {found:.3f} off the exit legs"
        remedy = f"they can lose {thin:.3f} to {1.0 - thin:.3f}: use {BISECTOR!r}"
        raise broken(rule, None, remedy).named("unequal")
    return found


def check_length(end: MitredEnd, name: str, length: float) -> None:
    """Refuse a leg that ends before its opening or its mitre does."""
    least = splayed.least_length(end.leg)
    if length < least - SLACK:
        limit = in_unit_of(length, least, up=True)
        remedy = "it runs from the middle of the mitre to the square end"
        rule = f"must be at least {limit} {ends_with(end)}"
        raise broken(rule, text(length), remedy).named(name)


def ends_with(end: MitredEnd) -> str:
    """Return what a leg of the least length ends with."""
    tip = splayed.tip_at(end.leg)
    if splayed.least_length(end.leg) > tip:
        return "to leave any of its short side"
    return "for the opening to end before the leg does"


def shares(cutbacks: tuple[float, ...]) -> list[str]:
    """Return what is unusual about the shares taken off mitre openings."""
    found = []
    for cutback in dict.fromkeys(cutbacks):
        if cutback > 0.5:
            found.append(
                f"cutback {share(cutback)} is past the widest point: less than half a tube is left "
                "in the middle, and the opening is highest beside it"
            )
        elif not USUAL[0] - 1e-9 <= cutback <= USUAL[1] + 5e-3:
            found.append(
                f"cutback {share(cutback)} is outside the usual 0.25 to 0.33 (common practice)"
            )
    return found


def small_window(window_ratio: float, narrowest_ratio: float, normal_ratio: float) -> list[str]:
    """Return what a window of less than one tube means, beside a narrowest area that looks ample.

    >>> small_window(0.794, 1.017, 0.719)
    ['the window is only 79 % of one tube; the narrowest section reads 102 % of two, but 72 %...']
    """
    if window_ratio >= 1.0:
        return []
    return [
        f"the window is only {window_ratio:.0%} of one tube; the narrowest section reads "
        f"{narrowest_ratio:.0%} of two, but {normal_ratio:.0%} square to the flow".replace(
            "%", " %"
        )
    ]


def mismatch(at: Ends, unequal: str, worst: Steps, like: float, wall: float) -> list[str]:
    """Return what unequal ends leave to be formed, in words."""
    if at.alike or unequal == BISECTOR:
        return []
    if unequal == PLAIN:
        wider = at.exit.kept_width - at.entry.kept_width
        which, other = ("exit", "entry") if wider > 0.0 else ("entry", "exit")
        return [
            f"the {which} legs' faces are {in_unit_of(like, abs(wider))} wider than the {other} "
            f"legs', each: {BISECTOR!r} leaves no mismatch"
        ]
    return [step_note(worst, like, wall)]


def step_note(worst: Steps, like: float, wall: float) -> str:
    """Return how far two faces step apart at worst, and whether the walls still overlap."""
    size, where = step_words(worst)
    words = f"the edges step apart by {in_unit_of(like, size)} at worst ({where})"
    if size >= wall:
        words += f", as much as the wall of {text(wall)} or more: they must be formed to meet"
    return words


def deepest(asked: Asked, at: Ends) -> Most:
    """Return the largest cutback that the tube and the legs' lengths leave room for."""
    thin = 1.0 - asked.tube.wall / asked.tube.od - 1e-6
    most = []
    for end, name in zip(at, asked.names, strict=True):
        leg = end.leg
        room = end.length + leg.radius * math.tan(leg.mitre)
        own = min(
            Most(thin, NOTHING_LEFT),
            Most(room / (2.0 * leg.radius * leg.spread), f"for this {name}"),
        )
        stretch = (1.0 - asked.cutback) / (1.0 - leg.cutback)  # of an exit matched to the entry
        most.append(own._replace(cutback=1.0 - (1.0 - own.cutback) * stretch))
    return min(most)


def limits(asked: Asked, at: Ends) -> tuple[str, ...]:
    """Return what limits a joint that can be made, in words."""
    found = [deepest(asked, at).words()]
    for name in dict.fromkeys(asked.names):
        of_it = [i for i in range(2) if asked.names[i] == name]
        longest = max(of_it, key=lambda i: splayed.least_length(at[i].leg))
        least = splayed.least_length(at[longest].leg)
        limit = in_unit_of(asked.lengths[longest], least, up=True)
        found.append(f"{name} can come down to {limit} {ends_with(at[longest])}")
    if at.alike:
        found += window_limit(at.entry.leg, asked.angles[0])
    return tuple(found)


def window_limit(leg: MitredLeg, like: float) -> list[str]:
    """Return the included angle past which the window is smaller than one tube, if there is one."""
    sine = 2.0 * segment.removed_area(leg.bore, leg.offset) / (math.pi * leg.bore**2)
    widest = 2.0 * math.asin(min(sine, 1.0))
    if sine >= 1.0 or widest > SPLAY[1]:
        return []
    limit = in_unit_of(like if isinstance(like, SI) else SI(like, "angle"), widest, up=False)
    return [f"included_angle can grow to {limit} before the window is smaller than one tube"]
