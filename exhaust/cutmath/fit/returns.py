"""The way of a tube from the middle of a joint through its bends, and the butts on the way."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from exhaust.cutmath.fit.model import Error, SeamFit, Slips, errors, worst
from exhaust.geometry import fit
from exhaust.geometry.crossover import Quarter
from exhaust.geometry.fit import Number
from exhaust.geometry.quadrature import Array

SQUARE = errors(blade_angle="square slant,square lean")  # of straight pieces, one setting


def halved(*names: str) -> tuple[Error, ...]:
    """Return the errors of bends halved at one setting, each bend by its name."""
    found = errors(blade_angle="halving slant,halving lean")
    for name in names:
        found += errors(bend_angle=f"{name} angle", halving=f"{name} half")
    return found


def half_turns(slips: Slips, name: str) -> tuple[Array, Array]:
    """Return how much more than they should the two halves of a bend turn [n, 1] [rad].

    Half of the bend's own error each; a mark or a blade that is off gives to one what it takes
    from the other.
    """
    own = slips(f"{name} angle") / 2.0
    mark = slips(f"{name} half") + slips("halving slant")
    return own + mark, own - mark


class Way(NamedTuple):
    """Where a tube's end comes out from the middle of its sliced bend [m], arrays [n, 1].

    `drop` across the joint away from the bend's heel, `along` it from the middle.
    """

    drop: Array
    along: Array


def way(quarter: Quarter, more: Number, back: Number) -> Way:
    """Return where a tube ends whose half bend turns `more` and whose return turns `back` more.

    Angles [rad]; the end points off the joint's long direction by the difference.

    >>> end = way(Quarter(0.0127, 0.09525, 0.09525, 0.785398, 0.03), 0.0, 0.0)
    >>> round(float(end.drop + 0.0127) * 2e3, 2), round(float(end.along) * 2e3, 2)
    (179.42, 311.83)
    """
    out = quarter.half_angle + np.asarray(more)
    last = np.asarray(more) - np.asarray(back)
    if quarter.return_clr == 0.0:
        last = out
    turned_out, turned_back = np.cos(out), np.sin(out) - np.sin(last)
    drop = quarter.clr * (1.0 - turned_out) + quarter.straight * np.sin(out)
    drop = drop + quarter.return_clr * (np.cos(last) - turned_out) + quarter.end * np.sin(last)
    along = quarter.clr * np.sin(out) + quarter.straight * turned_out
    along = along + quarter.return_clr * turned_back + quarter.end * np.cos(last)
    return Way(drop, along)


class Butt(NamedTuple):
    """One butt weld between round tubes that should meet square: how it is off, arrays [n, 1]."""

    angle: Number  # left between the faces when both tubes are held true [rad]
    lean: Number  # the same out of the bends' plane [rad]
    first: Number  # outside diameter more than drawn [m]
    second: Number


def butts(od: float, found: list[Butt]) -> SeamFit:
    """Return the worst of several butt welds: wedge, and half of what the diameters differ.

    >>> one = Butt(np.array([[0.01]]), 0.0, np.array([[0.0002]]), 0.0)
    >>> fitted = butts(0.0635, [one])
    >>> fitted.gap.round(6).tolist(), fitted.step.tolist()
    ([0.000635], [0.0001])
    """
    gaps = [fit.round_wedge(od, one.angle, one.lean) for one in found]
    steps = [(np.asarray(one.first) - one.second) / 2.0 for one in found]
    return SeamFit(worst(*gaps), worst(*steps))
