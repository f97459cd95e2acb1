"""Joints that have templates, and a sheet wrapped round its tube as a hand does it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from exhaust import (
    Bend,
    HPipe,
    ParallelToSplayedX,
    ParallelX,
    SplayedX,
    SplitJoint,
    Tube,
    YMerge,
)
from exhaust.cutmath.template import Template

Array = NDArray[np.float64]

DEGREE = math.pi / 180
MEETS = 1e-9  # [m]; a template wrapped back on its tube meets the other part
EXACT = 1e-12  # [m]; the same closed form another way
PAPER = 0.1e-3

TUBE = Tube(od="63.5 mm", wall="1.651 mm")
SMALL = Tube(od="50.8 mm", wall="1.651 mm")


def named(found: Sequence[Template], name: str) -> Template:
    (one,) = (template for template in found if template.name == name)
    return one


def wrapped(template: Template, points: Array, axis: Array, twelve: Array, rho: float) -> Array:
    """Wrap a sheet on a tube at the radius `rho`: y along `axis`, x = 0 at `twelve`.

    Print outward: seen from outside at 12 o'clock, with the axis up, x runs to the right.
    """
    right = np.cross(axis, twelve)
    clock = points[:, 0] * 2 * math.pi / (math.pi * (2 * template.radius + template.thickness))
    around = np.outer(np.cos(clock), twelve) + np.outer(np.sin(clock), right)
    return rho * around + np.outer(points[:, 1], axis)


def from_axis(points: Array, point: Array, direction: Array) -> Array:
    """Distance of points from a line."""
    return np.asarray(np.linalg.norm(np.cross(points - point, direction), axis=1))


def written(sheet: Template) -> set[str]:
    return {label.text for label in sheet.labels}


SPLAYED = {
    "equal": SplayedX(TUBE, included_angle="45 deg", cutback=1 / 3, leg_length="200 mm"),
    "steep": SplayedX(TUBE, included_angle="90 deg", cutback=0.3, leg_length="200 mm"),
    "bisector": SplayedX(
        TUBE, included_angle="45 deg", exit_angle="70 deg", cutback=1 / 3, leg_length="200 mm"
    ),
    "deep": SplayedX(TUBE, included_angle="60 deg", cutback=0.6, leg_length="220 mm"),
    "plain": SplayedX(
        TUBE,
        included_angle="45 deg",
        exit_angle="70 deg",
        cutback=1 / 3,
        leg_length="200 mm",
        unequal="plain",
    ),
}


def h_pipe(**changes: object) -> HPipe:
    given: dict[str, object] = {"balance_tube": SMALL, "spacing": "230 mm"}
    return HPipe(TUBE, **(given | changes))


HS = {
    "square": h_pipe(),
    "offset": h_pipe(offset="4 mm"),
    "skew": h_pipe(angle="60 deg"),
    "skew and offset": h_pipe(angle="50 deg", offset="-5 mm"),
    "splayed": h_pipe(splay="14 deg", angle="75 deg", offset="3 mm"),
    "equal": HPipe(TUBE, spacing="250 mm", angle="80 deg"),
    "short": h_pipe(spacing="90 mm", offset="2 mm", angle="85 deg"),
    "split": h_pipe(
        spacing="260 mm",
        angle="70 deg",
        offset="3 mm",
        split=SplitJoint(kind="V-band", length="40 mm", gap="3 mm"),
    ),
}

BEND = Bend(TUBE, clr="95.25 mm")
BENT = {
    "parallel": ParallelX(BEND, cutback=0.3),
    "deep": ParallelX(BEND, cutback=0.55, spacer="40 mm"),
    "run on": ParallelX(Bend(TUBE, clr="63.5 mm"), cutback=0.5, spacer="40 mm"),
    "merge": YMerge(BEND, outlet=Tube(od="76.2 mm", wall="1.651 mm")),
    "mitred": ParallelToSplayedX(BEND, cutback=0.3, included_angle="45 deg", leg_length="200 mm"),
    "butted": ParallelToSplayedX(
        BEND, cutback=0.3, included_angle="45 deg", leg_length="200 mm", legs="butted"
    ),
}
ALL = SPLAYED | HS | BENT
