"""What a parallel X can be: where its exits come out, and what is refused in the shop's words."""

from __future__ import annotations

import math
from typing import NamedTuple

from exhaust.errors import broken
from exhaust.geometry import crossover, elbow
from exhaust.geometry.crossover import Quarter
from exhaust.geometry.elbow import SLACK
from exhaust.show import listed
from exhaust.stock import Bend
from exhaust.units import SI

USUAL = (0.25, 1 / 3)  # cutback; common practice, no source
SAME_ANGLE = 1e-6  # [rad]; far below what a shop can measure


class Asked(NamedTuple):
    """The one way in which the spacing was given, and its value [m]."""

    name: str
    value: float


class Placed(NamedTuple):
    """What each quarter of the joint is made of."""

    half_angle: float  # that every half bend turns [rad]
    spacer: float  # straight between main bend and return bend [m]
    trimmed: bool


SHOP = {"mm": 0.1, "cm": 0.01, "in": 0.001}  # what a shop measures a length to


def text(value: float) -> str:
    """Return a described length or angle in the unit it was written in."""
    return value.written() if isinstance(value, SI) else f"{value:.6g}"


def in_unit_of(like: float, value: float, up: bool | None = None) -> str:
    """Return `value` [SI] in the unit `like` was written in.

    A limit has four digits, and `up` rounds it away from what is refused: a least value up, a
    greatest value down. Any other length is as a shop has it, to 0.1 mm or 0.001 in, or to two
    digits where it is small.

    >>> from exhaust.units import length
    >>> in_unit_of(length("3 in"), 0.0825513, up=True), in_unit_of(length("80 mm"), 0.0825513)
    ('3.251 in', '82.6 mm')
    >>> in_unit_of(length("80 mm"), 0.00004321)
    '0.043 mm'
    """
    if not isinstance(like, SI):
        return f"{value:.4g}"
    number = (value - like.offset) / like.scale
    if number == 0.0:
        return f"0 {like.unit}"
    digits = math.floor(math.log10(abs(number)))
    step = 10.0 ** (digits - 3)
    if up is None and like.unit in SHOP:
        step = min(SHOP[like.unit], 10.0 ** (digits - 1))
    steps = number / step
    if up is None:
        steps = round(steps)
    else:
        steps = math.ceil(steps - 1e-6) if up else math.floor(steps + 1e-6)
    return f"{steps * step:.6g} {like.unit}"


def share(cutback: float) -> str:
    """Return a cutback as it is written: 0.50, 0.333.

    >>> share(0.5), share(0.3333333)
    ('0.50', '0.333')
    """
    return f"{cutback:.2f}" if abs(cutback - round(cutback, 2)) < 1e-9 else f"{cutback:.3f}"


def the_one_given(owner: str, given: dict[str, float | None]) -> Asked | None:
    """Return the one way that is not None, none at all as None; refuse more than one."""
    asked = [Asked(name, value) for name, value in given.items() if value is not None]
    if len(asked) > 1:
        ways = ", ".join(list(given)[:-1]) + f" or {list(given)[-1]}"
        got = listed([way.name for way in asked])
        raise broken(f"takes one of {ways}", got, "leave the others out").named(owner)
    return asked[0] if asked else None


def check_cutback(bend: Bend, cutback: float, usual: str = "0.25 to 0.33 is usual") -> None:
    """Refuse a share that is none, one that opens no window, one that leaves no tube."""
    if not 0.0 < cutback < 1.0:
        remedy = "0.30 means 30 % of the outside diameter"
        raise broken("must be between 0 and 1", f"{cutback:g}", remedy).named("cutback")
    thin = bend.tube.wall / bend.tube.od
    if cutback <= thin:
        least = math.ceil(thin * 1e3 - 1e-6) / 1e3
        rule = f"must be more than {least:.3f} to cut through a wall of {text(bend.tube.wall)}"
        raise broken(rule, share(cutback), usual).named("cutback")
    if cutback >= 1.0 - thin:
        most = math.floor((1.0 - thin) * 1e3 + 1e-6) / 1e3
        rule = f"must be less than {most:.3f} to leave any of the tube"
        raise broken(rule, share(cutback), usual).named("cutback")


def check_return(bend: Bend, back: Bend) -> None:
    """Refuse a return bend of another tube or another angle."""
    if back.tube != bend.tube:
        rule = f"is made of {back.tube.name} but the bend of {bend.tube.name}"
        raise broken(rule, None, "one joint is one tube").named("return_bend")
    if abs(back.angle - bend.angle) > SAME_ANGLE:
        rule = f"must turn as much as the bend, {text(bend.angle)}"
        remedy = "its halves bring the legs back parallel"
        raise broken(rule, text(back.angle), remedy).named("return_bend")


def placed(bend: Bend, back: Bend, cutback: float, asked: Asked | None) -> Placed:
    """Return the angle and the straight that give what was asked, or refuse it with the limit."""
    radius, half = bend.tube.od / 2.0, bend.half_angle
    offset = radius * (1.0 - 2.0 * cutback)
    quarter = Quarter(offset, float(bend.clr), float(back.clr), half)
    past = run_on(bend, cutback)
    if asked is None or asked.name == "spacer":
        return as_bought(bend, cutback, 0.0 if asked is None else float(asked.value))
    shift = {"spacing": 0.0, "gap": 2.0 * radius, "outside_width": -2.0 * radius}[asked.name]
    wanted = asked.value + shift
    least = crossover.least_spacing(quarter, radius)
    if wanted < least - SLACK:
        limit = in_unit_of(asked.value, least - shift, up=True)
        remedy = "a shallower cutback or a smaller clr brings the tubes closer"
        raise broken(f"must be at least {limit}", text(asked.value), remedy).named(asked.name)
    straight = crossover.straight_for(quarter, wanted)
    if past > 0.0 or straight >= 0.0:
        return Placed(half, max(straight, past, 0.0), trimmed=False)  # within SLACK of `least`
    theta = crossover.trimmed_half_angle(quarter, wanted)
    tip = math.acos((bend.clr + offset) / (bend.clr + radius))
    return Placed(max(theta, tip), 0.0, trimmed=True)  # within SLACK of `least`


def as_bought(bend: Bend, cutback: float, spacer: float) -> Placed:
    """Return the whole half bends with a straight of `spacer` [m], or refuse what runs past it."""
    if run_on(bend, cutback) > spacer + SLACK:
        _refuse_run_on(bend, cutback, spacer)
    return Placed(bend.half_angle, spacer, trimmed=False)


def run_on(bend: Bend, cutback: float) -> float:
    """Return how far an opening runs past the end of a whole bend [m]; below zero: inside it."""
    radius, half = bend.tube.od / 2.0, bend.half_angle
    over = cutback - elbow.reach(bend.clr, radius, half)
    return 2.0 * radius * over / math.sin(half)


def _refuse_run_on(bend: Bend, cutback: float, spacer: float) -> None:
    radius = bend.tube.od / 2.0
    reach = elbow.reach(bend.clr, radius, bend.half_angle)
    most = math.floor((reach + spacer * math.sin(bend.half_angle) / bend.tube.od) * 1e3) / 1e3
    rule = (
        f"{share(cutback)} runs past the end of a {text(bend.angle)} bend at clr {text(bend.clr)}"
    )
    if spacer:
        rule += f" with {in_unit_of(bend.clr, spacer)} of straight"
    least = in_unit_of(bend.clr, run_on(bend, cutback), up=True)
    remedy = f"use a larger clr or leave straight ends on the bend (a spacer of {least} or more)"
    raise broken(f"{rule} (most it can take is {most:.3f})", None, remedy).named("cutback")


def notes(bend: Bend, cutback: float, at: Placed, past: float) -> tuple[str, ...]:
    """Return what is unusual about a joint that can be made, in words."""
    found = []
    if cutback > 0.5:
        found.append(
            f"cutback {share(cutback)} is past the widest point: less than half a tube is left in "
            "the middle, and the opening is highest in two places either side of it"
        )
    elif not USUAL[0] - 1e-9 <= cutback <= USUAL[1] + 5e-3:
        found.append(
            f"cutback {share(cutback)} is outside the usual 0.25 to 0.33 (common practice)"
        )
    return (*found, *bend_notes(bend, at, past))


def bend_notes(bend: Bend, at: Placed, past: float) -> tuple[str, ...]:
    """Return what is unusual about bends that are trimmed or sliced past their ends, in words."""
    found = []
    if at.trimmed:
        found.append(
            f"every half bend is trimmed to {in_unit_of(bend.angle, at.half_angle)} for this "
            f"spacing (as bought: {in_unit_of(bend.angle, bend.half_angle)})"
        )
    if past > 0.0:
        words = f"the opening runs {in_unit_of(bend.clr, past)} onto each straight end"
        if past > bend.tangent:
            own = text(bend.tangent) if bend.tangent else "no straight"
            words += f", but the bend comes with {own}: the slice crosses a weld"
        found.append(words)
    return tuple(found)


def limits(bend: Bend, most: float, least_spacing: float) -> tuple[str, ...]:
    """Return what limits a joint that can be made, in words: the cutback and the spacing."""
    thin = 1.0 - bend.tube.wall / bend.tube.od
    before = "before the tips of the opening meet the ends of the bends"
    if most >= thin:
        most, before = thin - 1e-6, "before nothing of the tube is left in the middle"
    near = in_unit_of(bend.clr, least_spacing, up=True)
    return (
        f"cutback can grow to {floored(most)} {before}",
        f"spacing can come down to {near} at this cutback, where the tips of the opening meet the "
        "ends of the bends",
    )


def deepest(bend: Bend, back: Bend, at: Placed, spacing: float | None) -> float:
    """Return the largest cutback for this `spacing` [m], or for the straights as they are."""
    radius = bend.tube.od / 2.0
    if spacing is None:
        straight = at.spacer * math.sin(at.half_angle) / bend.tube.od
        return elbow.reach(bend.clr, radius, at.half_angle) + straight
    whole = Quarter(radius, float(bend.clr), float(back.clr), bend.half_angle)
    return crossover.deepest_cutback(whole, radius, spacing)


def floored(share: float) -> str:
    """Return the greatest cutback that is still taken, to three figures.

    >>> floored(0.58578)
    '0.585'
    """
    return f"{math.floor(share * 1e3 + 1e-6) / 1e3:.3f}"
