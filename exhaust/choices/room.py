"""Room under the car: which joints fit it, and what would make the others fit."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Any, NamedTuple

import attrs
import numpy as np

from exhaust import units
from exhaust.choices.shelf import shelf_tubes
from exhaust.describe import Description, not_negative, positive, require, within
from exhaust.errors import ExhaustError, broken, typed
from exhaust.joints import Envelope, HPipe, Joint, ParallelToSplayedX, ParallelX, SplayedX, YMerge
from exhaust.show import Column, Fact, Result, Table, cut_length, listed
from exhaust.stock import DEGREE
from exhaust.units import SI

TRIES = 60  # steps from a dimension as it is down to nothing
TIGHTEST_CLR = 1.0  # of the outside diameter: no tighter mandrel bend is usual stock
KINDS: dict[type, str] = {
    ParallelX: "parallel X",
    SplayedX: "splayed X",
    ParallelToSplayedX: "parallel-to-splayed X",
    YMerge: "Y merge",
    HPipe: "H pipe",
}


@attrs.frozen(kw_only=True, repr=False)
class Room(Description):
    """The space that a joint may take, between what does not move.

    `width` across the car, `height`, `length` along it [m]; hot `clearance` kept on each side,
    above and below [m]: 25 mm to anything that burns or moves, more to lines and harness (common
    practice). Lengthwise the pipes go on, so no clearance is kept there.

    >>> Room(width="15 in", height="6 in", length="24 in").clearance
    0.025
    """

    width: float = attrs.field(converter=units.length, validator=[positive, within(0.0, 10.0)])
    height: float = attrs.field(converter=units.length, validator=[positive, within(0.0, 10.0)])
    length: float = attrs.field(converter=units.length, validator=[positive, within(0.0, 20.0)])
    clearance: float = attrs.field(
        default=SI(25e-3, "length", "mm", 1e-3),
        converter=units.length,
        validator=[not_negative, within(0.0, 1.0)],
    )

    def __attrs_post_init__(self) -> None:
        for name in ("width", "height"):
            value = getattr(self, name)
            if value <= 2 * self.clearance:
                rule = f"must be more than twice the clearance, {cut_length(2 * self.clearance)}"
                got, remedy = value.written(), "nothing would fit: check both"
                raise broken(rule, got, remedy).named(name)

    @property
    def free(self) -> Envelope:
        """What is left for the joint itself [m]."""
        twice = 2 * self.clearance
        return Envelope(self.width - twice, self.length, self.height - twice)


class Fit(NamedTuple):
    """One joint against the room."""

    joint: Joint
    over: Envelope  # by how much it is over the room; nought or less where it fits [m]
    remedies: tuple[str, ...]  # what would make it fit, each by itself

    @property
    def fits(self) -> bool:
        """Whether it fits in every direction."""
        return all(value <= 1e-9 for value in self.over)

    @property
    def kind(self) -> str:
        """What the joint is called."""
        return KINDS.get(type(self.joint), type(self.joint).__name__)


@attrs.frozen(kw_only=True, repr=False)
class RoomFit(Result):
    """Which joints fit a room, in the order given."""

    room: Room
    fits: tuple[Fit, ...]

    title = "Room under the car"
    assumptions = (
        "The joint lies flat, its length along the car, and is true to its drawing; the engine "
        "rolls on its mounts and hot tube grows: what rocks or touches when hot needs more.",
    )

    @property
    def reason(self) -> str:  # type: ignore[override]
        """Which fit, and what would make the others fit."""
        good = [one.kind for one in self.fits if one.fits]
        said = [f"{listed(good)} {'fits' if len(good) == 1 else 'fit'}." if good else "None fits."]
        for one in self.fits:
            if not one.fits:
                ways = " or ".join(one.remedies) or "no change of one dimension would make it fit"
                prefix = "would fit with " if one.remedies else ""
                said.append(f"The {one.kind} is {_over(one.over)}: {prefix}{ways}.")
        text = " ".join(said)
        return text[:1].upper() + text[1:]

    def facts(self) -> list[Fact]:
        """Return the room that is left."""
        free = self.room.free
        note = f"clearance {cut_length(self.room.clearance)} taken off both sides"
        return [
            Fact("free width", free.width, "cut", note),
            Fact("free height", free.height, "cut", note),
            Fact("free length", free.length, "cut"),
        ]

    def rows(self) -> Table:
        """Return each joint with the room it takes."""
        columns = (
            Column("joint", "joint"),
            Column("width", "width", "cut"),
            Column("height", "height", "cut"),
            Column("length", "length", "cut"),
            Column("verdict", "room"),
            Column("remedies", "would fit with"),
        )
        rows = tuple(
            (
                one.kind,
                one.joint.envelope.width,
                one.joint.envelope.height,
                one.joint.envelope.length,
                "fits" if one.fits else _over(one.over),
                " or ".join(one.remedies) or "–",
            )
            for one in self.fits
        )
        return Table(columns, rows)


def joints_that_fit(room: Room, joints: Joint | Iterable[Joint]) -> RoomFit:
    """Return which of `joints` fit `room`, and what would make the others fit.

    A remedy changes one thing of the joint as it is: its spacing, legs or length, the clr of its
    bends, or its tube; each is built and held against the room before it is named.

    >>> from exhaust import Bend, ParallelX, Tube
    >>> x = ParallelX(Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in"), cutback=0.28,
    ...               spacing="10.5 in")
    >>> joints_that_fit(Room(width="16 in", height="6 in", length="24 in"), x).reason
    'Parallel X fits.'
    """
    require(room, Room, "room")
    given = [joints] if isinstance(joints, Joint) else _list_of(joints)
    fits = []
    for joint in given:
        over = _excess(room, joint)
        good = all(value <= 1e-9 for value in over)
        fits.append(Fit(joint, over, () if good else tuple(_remedies(room, joint))))
    return RoomFit(room=room, fits=tuple(fits))


def _list_of(joints: object) -> list[Joint]:
    if isinstance(joints, (str, bytes)) or not isinstance(joints, Iterable):
        raise broken("must be a list of joints", typed(joints)).named("joints")
    found = list(joints)
    for joint in found:
        if not isinstance(joint, Joint):
            rule = "must be a list of joints"
            raise broken(rule, f"one {type(joint).__name__}").named("joints")
    if not found:
        raise broken("is empty", None, "give at least one joint").named("joints")
    return found


def _excess(room: Room, joint: Joint) -> Envelope:
    free, takes = room.free, joint.envelope
    return Envelope(*(need - have for need, have in zip(takes, free, strict=True)))


def _over(over: Envelope) -> str:
    named = zip(("wide", "long", "high"), over, strict=True)
    return listed([f"{cut_length(value)} too {word}" for word, value in named if value > 1e-9])


def _remedies(room: Room, joint: Joint) -> Iterator[str]:
    """Yield each single change that makes `joint` fit, in words."""
    for name, now, change, shown in _dials(joint):
        value = _largest(room, now, change)
        if value is not None:
            fitting = change(value)
            trimmed = ", bends trimmed" if getattr(fitting, "trimmed", False) else ""
            yield f"{name} {shown(value)} (now {shown(now)}{trimmed})"
    smaller = [t for t in shelf_tubes(joint.tube) if t.od < joint.tube.od * (1 - 1e-9)]
    for tube in reversed(smaller):
        if _built_fits(room, lambda tube=tube: joint.with_tube(tube)):  # type: ignore[misc]
            yield f"tube {tube.name}"
            return


Dial = tuple[str, float, Callable[[float], Any], Callable[[float], str]]


def _dials(joint: Any) -> Iterator[Dial]:
    """Yield what can be made less on a joint: its name, value, how to change it and to show it."""

    def length(name: str, argument: str, now: float) -> Dial:
        return name, float(now), lambda v: joint.with_(**{argument: _metres(v)}), cut_length

    if isinstance(joint, (ParallelX, YMerge)):
        yield length("spacing", "spacing", joint.spacing)
    if isinstance(joint, HPipe):
        yield length("spacing", "spacing", joint.balance_spacing)
        yield length("primaries", "length", joint.overall_length)
    if isinstance(joint, ParallelToSplayedX):
        yield length("spacing of the parallel end", "spacing", joint.parallel.spacing)
    if isinstance(joint, (SplayedX, ParallelToSplayedX)):
        yield length("legs of", "leg_length", joint.leg_length)
        yield (
            "an included angle of",
            float(joint.included_angle),
            lambda v: joint.with_(included_angle=SI(v, "angle", "deg", DEGREE)),
            lambda v: f"{v / DEGREE:.1f}°",
        )
    if isinstance(joint, (ParallelX, YMerge, ParallelToSplayedX)):
        now = float(joint.bend.clr)

        def clr(value: float) -> Any:
            if value < TIGHTEST_CLR * joint.tube.od:
                raise broken("is tighter than usual stock").named("clr")
            return joint.with_(bend=joint.bend.with_(clr=_metres(value)))

        yield "clr", now, clr, cut_length


def _metres(value: float) -> SI:
    return SI(value, "length", "m")


def _largest(room: Room, now: float, change: Callable[[float], Any]) -> float | None:
    """Return the largest value below `now` that makes the joint fit, or None.

    Down in steps until one fits, then halving the last step.
    """
    values = now * np.linspace(1.0, 0.0, TRIES + 1)[1:-1]
    above = now
    for value in values:
        if _built_fits(room, lambda value=value: change(float(value))):  # type: ignore[misc]
            low, high = float(value), above
            for _ in range(20):
                middle = (low + high) / 2
                good = _built_fits(room, lambda m=middle: change(m))  # type: ignore[misc]
                low, high = (middle, high) if good else (low, middle)
            return low
        above = float(value)
    return None


def _built_fits(room: Room, make: Callable[[], Any]) -> bool:
    try:
        joint = make()
    except ExhaustError:
        return False
    return all(value <= 1e-9 for value in _excess(room, joint))
