"""H pipes of every kind, and their tubes in space from the description alone."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from wrapped import Array

from exhaust import HPipe, Saw, SplitJoint, Tube, cut_sheet
from exhaust.cutmath import CutSheet, Step
from exhaust.show import Fact

MM = 1e-3
NANOMETRE = 1e-9  # closed forms of the same numbers: rounding only
SAMPLED = 5e-6  # edges sampled here every twentieth of a degree [m]
GRIND = 1.0 * MM  # what a sawn edge is left over
TUBE = Tube(od="63.5 mm", wall="1.651 mm")
WIDE = Tube(od="76.2 mm", wall="1.651 mm")
SMALL = Tube(od="50.8 mm", wall="1.651 mm")
SAW = Saw(kerf="1.1 mm")

SQUARE = HPipe(TUBE, balance_tube=SMALL, spacing="180 mm")
SKEW = HPipe(WIDE, balance_tube=SMALL, spacing="230 mm", angle="60 deg")
OFFSET = HPipe(WIDE, balance_tube=SMALL, spacing="230 mm", offset="6 mm")
BOTH = SKEW.with_(offset="-6 mm")
SPLAYED = SKEW.with_(angle="80 deg", splay="10 deg", spacing="260 mm")
EQUAL = HPipe(TUBE, spacing="180 mm")
BAND = SplitJoint(kind="V-band", length="40 mm", gap="3 mm")
SPLIT = SQUARE.with_(split=BAND)
HS = {
    "square": SQUARE,
    "skew": SKEW,
    "leant back": SKEW.with_(angle="125 deg"),
    "offset": OFFSET,
    "skew and offset": BOTH,
    "splayed": SPLAYED,
    "splayed and split": SPLAYED.with_(split=BAND, offset="5 mm"),
    "equal": EQUAL,
    "split": SPLIT,
}
CLOCK = np.linspace(-math.pi, math.pi, 7201)
LINES = {"top": 90.0, "bottom": -90.0, "exit side": 0.0, "entry side": 180.0}
Z = np.array([0.0, 0.0, 1.0])


@lru_cache(maxsize=64)
def sheet_of(h: HPipe, saw: Saw) -> CutSheet:
    """The cut sheet, made once for all the tests that look at it."""
    return cut_sheet(h, saw)


def named(facts: tuple[Fact, ...], name: str) -> float:
    value = next(fact.value for fact in facts if fact.name.startswith(name))
    assert isinstance(value, (int, float))
    return float(value)


def step(sheet: CutSheet, title: str) -> Step:
    return next(each for each in sheet.steps if each.title.startswith(title))


class Frame:
    """The tubes in space from the description alone: x to the right primary, y with the flow."""

    def __init__(self, h: HPipe) -> None:
        half = h.splay / 2
        self.h = h
        self.tube = np.array([math.sin(h.angle), math.cos(h.angle), 0.0])
        self.beside = np.array([-math.cos(h.angle), math.sin(h.angle), 0.0])
        self.flow = [np.array([sign * math.sin(half), math.cos(half), 0.0]) for sign in (-1, 1)]
        self.middle = [np.array([sign * h.balance_spacing / 2, 0.0, 0.0]) for sign in (-1, 1)]

    def ray(self, clock: Array, rho: float) -> Array:
        """A point of each line along the balance tube, beside the joint's middle."""
        around = np.outer(np.cos(clock), self.beside) + np.outer(np.sin(clock), Z)
        return np.asarray(rho * around + self.h.offset * Z)

    def met(self, side: int, clock: Array, rho: float) -> Array:
        """Where each line meets that primary's outside, along the tube from the middle [m]."""
        flow, way = self.flow[side], self.tube
        foot = self.ray(clock, rho) - self.middle[side]
        foot = foot - np.outer(foot @ flow, flow)
        across = way - (way @ flow) * flow
        a, b = across @ across, foot @ across
        c = (foot**2).sum(axis=1) - (self.h.tube.od / 2) ** 2
        root = np.sqrt(np.maximum(b * b - a * c, 0.0))
        return np.asarray((-b + (root if side == 0 else -root)) / a)

    def line(self, clock: Array) -> Array:
        """Finished length of the balance tube on its outside, line by line."""
        r = self.h.balance_tube.od / 2
        return np.asarray(self.met(1, clock, r) - self.met(0, clock, r))

    def hole(self, side: int) -> tuple[Array, Array]:
        """Edge of the hole: along the primary from its entry end, and round it, up from facing."""
        bore = self.h.balance_tube.inside_diameter / 2
        points = self.ray(CLOCK, bore) + np.outer(self.met(side, CLOCK, bore), self.tube)
        placed = points - self.middle[side]
        along = placed @ self.flow[side] + self.h.centreline_length / 2
        return along, self.h.tube.od / 2 * np.arcsin(2 * placed[:, 2] / self.h.tube.od)
