"""What an H pipe can be: what is refused, in the shop's words, what is unusual, what limits it."""

from __future__ import annotations

import math

from exhaust.errors import broken
from exhaust.geometry.elbow import SLACK
from exhaust.geometry.saddle import ROUNDING, Saddle
from exhaust.joints.h_pipe_frame import Asked, Frame
from exhaust.joints.parallel_x_rules import in_unit_of, text
from exhaust.stock import DEGREE, Tube

STEEP = 15 * DEGREE  # least angle between two tubes that can be fitted and welded
TORCH = 25e-3  # [m] of straight to get a torch round; common practice, no source


def first_saddle(asked: Asked) -> Saddle:
    """Return the saddle on the first primary, or refuse tube, offset, angle or splay."""
    _check_angles(asked.angle, asked.splay)
    check_side(asked.tube, asked.balance, asked.offset)
    return Saddle(
        primary=float(asked.tube.od) / 2.0,
        primary_wall=float(asked.tube.wall),
        radius=float(asked.balance.od) / 2.0,
        wall=float(asked.balance.wall),
        angle=asked.angle + asked.splay / 2.0,
        offset=float(asked.offset),
    )


def _check_angles(angle: float, splay: float) -> None:
    most = 2.0 * (math.pi - STEEP - max(angle, math.pi - angle))
    if splay > most + 1e-12:
        limit = in_unit_of(splay, max(most, 0.0), up=False)
        rule = f"must be at most {limit} for a balance tube at {text(angle)}"
        remedy = "past it one end meets its primary at less than 15 deg"
        raise broken(rule, text(splay), remedy).named("splay")


def side_room(tube: Tube, balance: Tube) -> float:
    """Return how far off the primary's axis the balance tube can go [m]; below zero: it cannot.

    Its outside must stay on the primary's outside, and its bore on the primary's bore.
    """
    outside = float(tube.od - balance.od) / 2.0
    return min(outside, outside + float(balance.wall) - float(tube.wall))


def check_side(tube: Tube, balance: Tube, offset: float) -> None:
    """Refuse a balance tube that runs past the side of the primary."""
    room = side_room(tube, balance)
    if balance.od > tube.od + ROUNDING:
        rule = f"must not be wider than the primary, {text(tube.od)}"
        remedy = "the saddle would run past its sides"
        raise broken(rule, text(balance.od), remedy).named("balance_tube")
    if room < -ROUNDING:
        rule = f"must have a wall of {in_unit_of(tube.wall, balance.wall - room, up=True)} or more"
        remedy = "its bore would run past the sides of the primary's bore"
        raise broken(rule, text(balance.wall), remedy).named("balance_tube")
    if abs(offset) > max(room, 0.0) + ROUNDING:
        rule = f"must be within {in_unit_of(offset, max(room, 0.0), up=False)} either way"
        remedy = "the saddle would run past the side of the primary; use a smaller balance tube"
        raise broken(rule, text(offset), remedy).named("offset")


def touching(frame: Frame) -> str:
    """Return what happens at the least spacing of the tubes, in words."""
    if frame.asked.splay == 0.0:
        return "where the primaries touch"
    return "where the balance tube has no short side left"


def checked(asked: Asked) -> Frame:
    """Return the frame of what was asked, or refuse it with the limit."""
    frame = Frame(asked, first_saddle(asked))
    spacing = asked.spacing
    if spacing < frame.touching - SLACK:
        limit = in_unit_of(spacing, frame.touching, up=True)
        remedy = f"that is {touching(frame)}"
        raise broken(f"must be at least {limit}", text(spacing), remedy).named("spacing")
    if asked.split is not None and spacing < frame.split_fits - SLACK:
        clear = max(frame.unit.length * spacing - frame.used_all_round, 0.0)
        rule = (
            f"takes {text(asked.split.length)} of whole tube but the balance tube has "
            f"{in_unit_of(spacing, clear, up=False)} between its saddles"
        )
        remedy = f"use a spacing of {in_unit_of(spacing, frame.split_fits, up=True)} or more"
        raise broken(rule, None, remedy).named("split")
    _check_length(frame)
    return frame


def _check_length(frame: Frame) -> None:
    asked, spacing = frame.asked, frame.asked.spacing
    length, least = frame.length(spacing), frame.least_length(spacing)
    like = spacing if asked.length is None else asked.length
    if length < least - SLACK:
        limit = in_unit_of(like, least, up=True)
        rule = f"must be at least {limit} to carry the saddle of the balance tube"
        raise broken(rule, text(like)).named("length")
    most = frame.greatest_length(spacing)
    if length <= most + SLACK:
        return
    if most >= least:
        rule = f"must be at most {in_unit_of(like, most, up=False)} for primaries that splay"
        got = in_unit_of(like, length) + (" when it is left out" if asked.length is None else "")
        remedy = "longer, they run into each other at the entry"
        raise broken(rule, got, remedy).named("length")
    rule = f"of {text(asked.splay)} runs the primaries into each other beside the balance tube"
    raise broken(rule, None, f"use less of it, or more spacing than {text(spacing)}").named("splay")


def notes(frame: Frame) -> tuple[str, ...]:
    """Return what is unusual about a joint that can be made, in words."""
    asked, found = frame.asked, []
    tube, balance = asked.tube, asked.balance
    if abs(asked.offset) >= (tube.od - balance.od) / 2.0 - 1e-6:
        found.append(
            "the saddle comes to a feather edge where the balance tube is flush with the side of "
            "the primary: the torch burns it away"
        )
    if asked.offset:
        found.append(
            f"the balance tube is {text(asked.offset)} off the primaries' axes: mark which side "
            "of it is up before it is cut"
        )
    if abs(asked.angle - math.pi / 2.0) > 1e-6:
        found.append(
            "the long points of a skew balance tube are on opposite sides: its blank is longer "
            "than any line along the finished tube"
        )
    short = frame.unit.length * asked.spacing - frame.used_by_saddles
    if short < TORCH:
        found.append(
            f"the balance tube is only {in_unit_of(asked.spacing, max(short, 0.0))} long on its "
            "short side: little room for a torch (common practice)"
        )
    if balance.material != tube.material:
        found.append(
            f"primaries of {tube.material} meet a balance tube of {balance.material}: choose the "
            "filler by the pair"
        )
    return tuple(found)


def limits(frame: Frame) -> tuple[str, ...]:
    """Return what limits a joint that can be made, in words."""
    asked = frame.asked
    room = side_room(asked.tube, asked.balance)
    aside = in_unit_of(asked.offset, max(room, 0.0), up=False)
    near = in_unit_of(asked.spacing, frame.least_spacing, up=True)
    reasons = {
        frame.spread: "where the primaries meet at the entry",
        frame.split_fits: "where the split joint has no more whole tube to sit on",
        frame.touching: touching(frame),
    }
    like = asked.spacing if asked.length is None else asked.length
    least = in_unit_of(like, frame.least_length(asked.spacing), up=True)
    found = [
        f"offset can grow to {aside} either way before the saddle runs past the side",
        f"spacing can come down to {near}, {reasons[frame.least_spacing]}",
        f"length can come down to {least}, which the saddle covers",
    ]
    most = frame.greatest_length(asked.spacing)
    if math.isfinite(most):
        far = in_unit_of(like, most, up=False)
        found.append(f"length can grow to {far}, where the primaries meet at the entry")
    return tuple(found)
