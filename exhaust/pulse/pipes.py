"""One pipe of unsteady flow, cut into even cells."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from exhaust.errors import broken
from exhaust.flow.passage import more_than_zero
from exhaust.pulse.arrays import FloatArray

FEWEST_CELLS = 2
# Length that the air outside adds to an open end without a flange, over its radius; long waves
# [levine-schwinger].
END_CORRECTION = 0.6133


class Pipe(NamedTuple):
    """One pipe: even cells of `width` [m] between faces of `face_area` [n + 1] [m^2].

    `friction` Darcy factor, with bends spread over the length [-]; `heat_coefficient`
    [W/m^2/K] and `wall_temperature` [K]; each one number or one to a cell.
    """

    width: float
    face_area: FloatArray
    friction: ArrayLike = 0.0
    heat_coefficient: ArrayLike = 0.0
    wall_temperature: ArrayLike = 300.0

    @property
    def cells(self) -> int:
        """Number of cells."""
        return len(self.face_area) - 1

    @property
    def area(self) -> FloatArray:
        """Mean area of each cell [m^2]."""
        return 0.5 * (self.face_area[1:] + self.face_area[:-1])


def round_pipe(
    length: float, diameter: float | tuple[float, float], cell: float, friction: float = 0.0
) -> Pipe:
    """Return a round pipe, straight-sided between two diameters if two are given.

    `length` [m], `diameter` [m], about one `cell` [m] a cell but never fewer than two cells,
    Darcy `friction` factor [-].

    >>> round_pipe(1.0, 0.05, 0.03).cells
    33
    """
    for name, value in (("length", length), ("cell", cell)):
        if not value > 0:
            raise broken("must be more than zero", f"{value:g} m").named(name)
    first, last = diameter if isinstance(diameter, tuple) else (diameter, diameter)
    if not min(first, last) > 0:
        raise broken("must be more than zero", f"{min(first, last):g} m").named("diameter")
    n = max(FEWEST_CELLS, round(length / cell))
    return Pipe(length / n, np.pi / 4 * np.linspace(first, last, n + 1) ** 2, friction)


def check_pipe(pipe: Pipe) -> None:
    """Raise ExhaustError, by name, where a pipe cannot be.

    >>> check_pipe(Pipe(0.01, np.array([1e-3, 1e-3])))
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: a pipe must have at least 2 cells (got 1)
    """
    if pipe.cells < FEWEST_CELLS:
        raise broken(f"must have at least {FEWEST_CELLS} cells", pipe.cells).named("a pipe")
    for name in ("width", "face_area", "wall_temperature"):
        more_than_zero(name, getattr(pipe, name))
    for name in ("friction", "heat_coefficient"):
        if not np.all(np.asarray(getattr(pipe, name)) >= 0):
            least = np.min(getattr(pipe, name))
            raise broken("must not be less than zero", f"{least:g}").named(name)
