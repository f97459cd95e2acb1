"""What a march asks of one run of tube: its bore, its friction, and the heat its wall takes."""

from __future__ import annotations

from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import ArrayLike

from exhaust.errors import broken
from exhaust.flow.friction import FloatArray


class Shape(Protocol):
    """The bore along a run, at a `share` of its length from 0 to 1."""

    def area(self, share: float | FloatArray, /) -> FloatArray:
        """Flow area [m^2]."""

    def widening(self, share: float | FloatArray, /) -> FloatArray:
        """Rate of the area with the share of length, dA/d(share) [m^2]."""


class Cone(NamedTuple):
    """A round bore whose diameter runs straight from `start` to `end` [m]; arrays broadcast.

    >>> round(float(Cone(0.06, 0.08).area(0.5)), 6)
    0.003848
    """

    start: ArrayLike
    end: ArrayLike

    def area(self, share: float | FloatArray) -> FloatArray:
        """Return the flow area at `share` of the length [m^2]."""
        D, _ = self._diameter(share)
        return np.asarray(np.pi / 4 * D**2)

    def widening(self, share: float | FloatArray) -> FloatArray:
        """Return dA/d(share) [m^2]."""
        D, slope = self._diameter(share)
        return np.asarray(np.pi / 2 * D * slope)

    def _diameter(self, share: float | FloatArray) -> tuple[FloatArray, FloatArray]:
        start, end = np.asarray(self.start, float), np.asarray(self.end, float)
        return start + (end - start) * share, end - start


class Passage(NamedTuple):
    """One run of tube; arrays broadcast.

    `shape` of its bore, `length` [m], Darcy `friction` factor [-], `local_loss` the sum of K of
    its bends, spread evenly along it [-], `distance` of its start from the port [m].
    """

    shape: Shape
    length: ArrayLike
    friction: ArrayLike = 0.0
    local_loss: ArrayLike = 0.0
    distance: ArrayLike = 0.0


class Heat(Protocol):
    """What a wall takes; `exhaust.flow.heat.TubeHeat` is one."""

    def __call__(
        self, distance: FloatArray, diameter: FloatArray, temperature: FloatArray, /
    ) -> tuple[FloatArray, FloatArray]:
        """Wall temperature [K] and heat lost per length [W/m].

        `distance` from the port [m], `diameter` inside [m], total `temperature` of the gas [K].
        """


def no_heat(
    distance: FloatArray, diameter: FloatArray, temperature: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return the wall of a tube that loses nothing: as hot as the gas.

    >>> no_heat(np.array(1.0), np.array(0.06), np.array(900.0))
    (array(900.), array(0.))
    """
    return temperature, np.zeros(np.broadcast_shapes(np.shape(distance), np.shape(temperature)))


def bore(area: ArrayLike) -> FloatArray:
    """Return the diameter of a round flow area [m]: sqrt(4 A/pi).

    >>> round(float(bore(0.0028274)), 4)
    0.06
    """
    return np.asarray(np.sqrt(4 / np.pi * np.asarray(area, float)))


def check_passage(run: Passage) -> None:
    """Raise ExhaustError, by name, where a run cannot be.

    >>> check_passage(Passage(Cone(0.06, 0.08), length=0.0))
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: length must be more than zero (got 0)
    """
    for share in (0.0, 1.0):
        more_than_zero("flow area", run.shape.area(share))
    more_than_zero("length", run.length)
    for name in ("friction", "local_loss", "distance"):
        value = np.asarray(getattr(run, name), float)
        if not np.all(value >= 0):
            raise broken("must not be less than zero", f"{np.min(value):g}").named(name)


def more_than_zero(name: str, value: ArrayLike) -> FloatArray:
    """Return `value` as an array, refused by `name` unless all of it is above zero.

    >>> more_than_zero("mass_flow", 0.1)
    array(0.1)
    """
    array = np.asarray(value, float)
    if not np.all(array > 0):
        raise broken("must be more than zero", f"{np.min(array):g}").named(name)
    return array
