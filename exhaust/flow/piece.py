"""One piece of the way that the gas takes: tube with bends, a part, a step, a cone."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from exhaust.flow.friction import FloatArray
from exhaust.flow.passage import Cone, Heat, Passage, no_heat

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(6)


class Piece(NamedTuple):
    """Tube of one bore, or of none where `length` is nought; arrays broadcast.

    Flow area at the `start` and at the `end` [m^2], `length` [m], `roughness` of the wall [m],
    its loss coefficient `loss` + `loss_per_friction` f, f the Darcy factor, on the dynamic head
    of the smaller end [-], `distance` of its start from the port [m], the `heat` its wall takes.
    """

    name: str
    start: ArrayLike
    end: ArrayLike
    length: ArrayLike = 0.0
    roughness: ArrayLike = 0.0
    loss: ArrayLike = 0.0
    loss_per_friction: ArrayLike = 0.0
    distance: ArrayLike = 0.0
    heat: Heat = no_heat

    @property
    def bore(self) -> FloatArray:
        """Diameter of the smaller end [m]."""
        return np.asarray(np.sqrt(4 / np.pi * np.minimum(self.start, self.end)))

    @property
    def even(self) -> bool:
        """Whether both ends are of one area."""
        return bool(np.all(np.asarray(self.start) == np.asarray(self.end)))

    @property
    def is_tube(self) -> bool:
        """Whether it has length, rather than being a loss at one place."""
        return bool(np.all(np.asarray(self.length) > 0))

    def turned(self) -> Piece:
        """Return the piece as gas meets it that comes the other way.

        >>> Piece("step", 0.002, 0.004).turned().start
        0.004
        """
        return self._replace(start=self.end, end=self.start)

    def passage(self, friction: ArrayLike) -> Passage:
        """Return the tube as a march takes it, its losses spread evenly along it.

        In a cone the spread losses stand on the head at their place; their sum is that of the
        smaller end's head.

        >>> passage = Piece("tail", 0.003, 0.003, length=2.0, loss=0.5).passage(0.02)
        >>> round(float(passage.local_loss), 9)
        0.5
        """
        f = np.asarray(friction, float)
        ends = (np.sqrt(4 / np.pi * np.asarray(area, float)) for area in (self.start, self.end))
        shape = Cone(*ends)
        least = np.minimum(self.start, self.end)
        heads = [
            w / 2 * (least / shape.area((1 + x) / 2)) ** 2
            for x, w in zip(_NODES, _WEIGHTS, strict=True)
        ]
        return Passage(
            shape=shape,
            length=self.length,
            friction=f if self.even else 0.0 * f,
            local_loss=self.loss_at(f) / sum(heads),
            distance=self.distance,
        )

    def loss_at(self, friction: ArrayLike) -> FloatArray:
        """Return the loss coefficient without wall friction of an even tube [-].

        A cone's own form counts its friction.
        """
        return np.asarray(
            np.asarray(self.loss, float)
            + np.asarray(self.loss_per_friction, float) * np.asarray(friction, float)
        )


def turned_round(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
    """Return pieces in series as gas meets them that comes the other way.

    Distances from the port are those of the same way mirrored: gas that turns round has come as
    far to the other end.

    >>> way = [Piece("a", 1.0, 2.0, 3.0, distance=1.0), Piece("b", 2.0, 2.0, 1.0, distance=4.0)]
    >>> [(piece.name, piece.start, float(piece.distance)) for piece in turned_round(way)]
    [('b', 2.0, 1.0), ('a', 2.0, 2.0)]
    """
    first, last = pieces[0], pieces[-1]
    both = sum(np.asarray(v, float) for v in (first.distance, last.distance, last.length))
    return tuple(
        piece.turned()._replace(distance=both - np.asarray(piece.distance) - piece.length)
        for piece in reversed(pieces)
    )
