"""What is asked of every joint's fit: its errors by name, and what they do to seams and ends."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple, Protocol

import numpy as np

from exhaust.geometry.quadrature import Array

LONG, VERTICAL = "about the long axis", "about the vertical"
WAYS = {LONG: 1, VERTICAL: -1}

KINDS = {  # tolerance: what it is called
    "depth": "depth of cut",
    "blade_angle": "blade angle",
    "clocking": "clocking",
    "halving": "halving",
    "bend_angle": "bend angle",
    "od": "outside diameter",
    "offset": "offset",
}
ANGLES = ("blade_angle", "clocking", "halving", "bend_angle")


class Error(NamedTuple):
    """One thing that is off: its name, and the tolerance that it is drawn from."""

    name: str
    kind: str


def errors(**names: str) -> tuple[Error, ...]:
    """Return errors by kind, names divided by commas.

    >>> errors(depth="depth A,depth B")[1]
    Error(name='depth B', kind='depth')
    """
    return tuple(Error(name, kind) for kind, said in names.items() for name in said.split(","))


class Slips:
    """Samples [n, 1] of every error; one that a joint does not have is nought."""

    def __init__(self, drawn: Mapping[str, Array], count: int) -> None:
        self._drawn = drawn
        self.nothing: Array = np.zeros((count, 1))

    def __call__(self, name: str) -> Array:
        """Return the samples of the error `name` [n, 1]."""
        return self._drawn.get(name, self.nothing)


class SeamFit(NamedTuple):
    """Gap and edge step [m] of one seam, arrays [n]; a saddle's edge has no step."""

    gap: Array
    step: Array | None


def worse(*seams: SeamFit) -> SeamFit:
    """Return the worst of several seams alike, sample by sample.

    >>> one, two = (SeamFit(np.array([g]), np.array([0.0])) for g in (1.0, 2.0))
    >>> worse(one, two).gap.tolist()
    [2.0]
    """
    steps = [seam.step for seam in seams if seam.step is not None]
    step = np.asarray(np.max(steps, axis=0)) if steps else None
    return SeamFit(np.asarray(np.max([seam.gap for seam in seams], axis=0)), step)


class Fitted(NamedTuple):
    """Samples of what a joint's errors do.

    `seams` by name, parts held true to the drawing; `ends` by name: error of the spacing there
    when the faces are pulled flat instead [m]; `held`, the gap all round that a jig which holds the
    spacing leaves [m].
    """

    seams: dict[str, SeamFit]
    ends: dict[str, Array]
    held: Array


class Model(Protocol):
    """One joint as its errors see it."""

    @property
    def errors(self) -> tuple[Error, ...]:
        """Everything that may be off."""

    def fitted(self, slips: Slips, turned: int) -> Fitted:
        """Return what `slips` do; `turned` is 1 or -1, as in `WAYS`."""


def worst(*values: Array) -> Array:
    """Return the largest size of several arrays, sample by sample [n].

    >>> worst(np.array([[1.0]]), np.array([[-2.0]])).tolist()
    [2.0]
    """
    return np.asarray(np.max([np.max(np.abs(value), axis=-1) for value in values], axis=0))
