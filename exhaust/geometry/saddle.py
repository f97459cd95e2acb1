"""A round tube that meets another from the side: the saddle, cut on one and holed in the other.

Axes: y runs along the primary, x towards the tube that meets it, z is square to both. The tube
runs from the primary's axis in the direction (sin angle, cos angle, 0), its own axis `offset` in
z. Clock angles go round the tube: 0 on its side towards y, a quarter turn in z.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from exhaust.errors import broken
from exhaust.geometry.saddle_turns import Curve

Array = npt.NDArray[np.float64]

ROUNDING = 1e-12  # [m]; a tube wider than the primary by this is as wide: last digits of an inch


@dataclass(frozen=True, slots=True)
class Crossing:
    """Two round surfaces that meet: one of the tube on one of the primary.

    `primary` radius of the surface that is met [m], `rho` radius of the one that meets it [m],
    `angle` between the axes [rad], `offset` by which they miss each other [m]. Raises
    `ExhaustError` where the tube runs past the side of the primary.

    >>> crossing = Crossing(0.03175, 0.0254)
    >>> round(float(meets_at(crossing, math.pi / 2)) * 1e3, 3)
    19.05
    """

    primary: float
    rho: float
    angle: float = math.pi / 2.0
    offset: float = 0.0

    def __post_init__(self) -> None:
        if not 0.0 < self.rho < math.inf:
            raise broken("must be more than zero", mm(self.rho)).named("rho")
        if not 0.0 < self.angle < math.pi:
            got = f"{math.degrees(self.angle):.6g} deg"
            raise broken("must be between 0 and 180 deg", got).named("angle")
        if not self.rho + abs(self.offset) <= self.primary + ROUNDING:
            rule = f"and offset must stay within {mm(self.primary)}, the primary's radius"
            raise broken(rule, f"{mm(self.rho)} and {mm(self.offset)}").named("rho")


@dataclass(frozen=True)
class Saddle:
    """A tube with a wall on a primary with a wall.

    `primary` radius of the primary's outer wall [m] and `primary_wall` [m]; `radius` of the outer
    wall of the tube that meets it [m] and `wall` [m]; `angle` between the axes [rad]; `offset` by
    which they miss each other [m]. Raises `ExhaustError` where either wall runs past the side.

    >>> saddle = Saddle(0.03175, 0.001651, 0.0254, 0.001651)
    >>> round(saddle.bore * 1e3, 3)
    23.749
    """

    primary: float
    primary_wall: float
    radius: float
    wall: float
    angle: float = math.pi / 2.0
    offset: float = 0.0

    def __post_init__(self) -> None:
        if not 0.0 < self.wall < self.radius:
            rule = f"must be between zero and radius {mm(self.radius)}"
            raise broken(rule, mm(self.wall)).named("wall")
        if not 0.0 < self.primary_wall < self.primary:
            rule = f"must be between zero and primary {mm(self.primary)}"
            raise broken(rule, mm(self.primary_wall)).named("primary_wall")
        if not self.radius + abs(self.offset) <= self.primary + ROUNDING:
            rule = f"and offset must stay within {mm(self.primary)}, the primary's radius"
            raise broken(rule, f"{mm(self.radius)} and {mm(self.offset)}").named("radius")
        inside = self.primary - self.primary_wall
        if not self.bore + abs(self.offset) <= inside + ROUNDING:
            rule = f"inside and offset must stay within {mm(inside)}, the primary's inside radius"
            raise broken(rule, f"{mm(self.bore)} and {mm(self.offset)}").named("radius")

    @property
    def bore(self) -> float:
        """Radius of the inside of the tube [m]."""
        return self.radius - self.wall

    @cached_property
    def turns(self) -> list[float]:
        """Clock angles with all where its outside edge turns round among them [rad]."""
        return curve_on_tube(self.outside, self.radius).turns()

    @cached_property
    def points(self) -> tuple[float, float]:
        """Its long and its short point from the primary's axis, as `span_on_tube` outside [m]."""
        curve = curve_on_tube(self.outside, self.radius)
        return curve.span(self.turns)

    @property
    def outside(self) -> Crossing:
        """The tube's outer wall on the primary's outer wall: the weld runs along it."""
        return Crossing(self.primary, self.radius, self.angle, self.offset)

    @property
    def hole(self) -> Crossing:
        """The tube's bore on the primary's outer wall: the hole as it is marked out."""
        return Crossing(self.primary, self.bore, self.angle, self.offset)

    @property
    def opening(self) -> Crossing:
        """The tube's bore on the primary's bore: the opening as the gas has it."""
        return Crossing(self.primary - self.primary_wall, self.bore, self.angle, self.offset)


def mm(value: float) -> str:
    """Return a length as an error says it: "12.7 mm"."""
    return f"{value * 1e3:.6g} mm"


def clock_angles(clock: npt.ArrayLike) -> Array:
    """Return clock angles [rad] as an array, or refuse what is no number."""
    try:
        found = np.asarray(clock, dtype=float)
    except (TypeError, ValueError) as error:
        raise broken("must be numbers, in radians").named("clock") from error
    if not np.all(np.isfinite(found)):
        raise broken("must be finite numbers").named("clock")
    return found


def root(crossing: Crossing, clock: Array, rho: Array | float) -> Array:
    """Return sqrt(A² - (rho sin clock + offset)²) [m], with no digits lost where it is small.

    Both factors (A - q)(A + q) are the room left at that side and a square.
    """
    room = crossing.primary - rho
    top = np.maximum(room - crossing.offset, 0.0)  # below zero by ROUNDING at most: equal
    bottom = np.maximum(room + crossing.offset, 0.0)
    above = top + 2.0 * rho * np.sin(math.pi / 4.0 - clock / 2.0) ** 2
    below = bottom + 2.0 * rho * np.sin(math.pi / 4.0 + clock / 2.0) ** 2
    return np.sqrt(above * below)


def on_tube(crossing: Crossing, clock: Array, rho: Array | float) -> Array:
    """Return `meets_at` for another radius `rho` [m] at each clock angle, unchecked."""
    lean = rho * np.cos(clock) * math.cos(crossing.angle)
    return (root(crossing, clock, rho) + lean) / math.sin(crossing.angle)


def meets_at(crossing: Crossing, clock: npt.ArrayLike) -> Array:
    """Return how far from the primary's axis each line along the tube meets it [m], as `clock`.

    s = [sqrt(A² - (rho sin c + e)²) + rho cos c cos g] / sin g, for rho + |e| <= A [saddle].
    Measured along the tube: the larger, the shorter is the tube there.

    >>> skew = Crossing(0.0381, 0.0254, math.radians(60))
    >>> [round(float(s) * 1e3, 3) for s in meets_at(skew, [0.0, math.pi / 2, math.pi])]
    [58.659, 32.791, 29.329]
    """
    return on_tube(crossing, clock_angles(clock), crossing.rho)


def _root_slope(crossing: Crossing, clock: Array) -> Array:
    """Return the change of `root` with clock [m/rad]; where equal tubes have a kink, its middle."""
    side = crossing.rho * np.sin(clock) + crossing.offset
    height = root(crossing, clock, crossing.rho)
    flat = height == 0.0
    return np.where(flat, 0.0, -side * crossing.rho * np.cos(clock) / np.where(flat, 1.0, height))


def slope(crossing: Crossing, clock: npt.ArrayLike) -> Array:
    """Return how fast `meets_at` changes round the tube [m/rad], as `clock`.

    s' = [-q rho cos c / sqrt(A² - q²) - rho sin c cos g] / sin g, q = rho sin c + e [saddle].

    >>> round(float(slope(Crossing(0.03175, 0.0254), math.pi / 4)) * 1e3, 3)
    -12.321
    """
    at = clock_angles(clock)
    lean = crossing.rho * np.sin(at) * math.cos(crossing.angle)
    return (_root_slope(crossing, at) - lean) / math.sin(crossing.angle)


def hole(crossing: Crossing, clock: npt.ArrayLike) -> tuple[Array, Array]:
    """Return where the crossing runs on the primary: angle round it [rad] and y [m], as `clock`.

    The angle is from the side that faces the tube, asin((rho sin c + e)/A); y is along the
    primary from the crossing of the axes, [sqrt(A² - q²) cos g + rho cos c] / sin g [saddle].

    >>> turn, y = hole(Crossing(0.03175, 0.023749), [0.0, math.pi / 2])
    >>> round(float(turn[1]) * 0.03175 * 1e3, 3), round(float(y[0]) * 1e3, 3)
    (26.83, 23.749)
    """
    at = clock_angles(clock)
    height = root(crossing, at, crossing.rho)
    turn = np.arctan2(crossing.rho * np.sin(at) + crossing.offset, height)
    return turn, along(crossing, at)


def along(crossing: Crossing, clock: Array) -> Array:
    """Return y of the crossing along the primary [m], as `clock`, unchecked; see `hole`."""
    height = root(crossing, clock, crossing.rho)
    lean = height * math.cos(crossing.angle) + crossing.rho * np.cos(clock)
    return lean / math.sin(crossing.angle)


def curve_on_tube(crossing: Crossing, rho: float) -> Curve:
    """Return `meets_at` for the radius `rho` [m] as a curve whose turns are known.

    >>> turns = curve_on_tube(Crossing(0.03175, 0.0254), 0.0254).turns()
    >>> [round(math.degrees(clock)) for clock in turns]
    [0, 90, 180, -90]
    """
    sine, cosine = math.sin(crossing.angle), math.cos(crossing.angle)
    return Curve(crossing.primary, rho, crossing.offset, level=1.0 / sine, lean=cosine / sine)


def curve_along(crossing: Crossing) -> Curve:
    """Return `along` as a curve whose turns are known.

    >>> [round(math.degrees(clock)) for clock in curve_along(Crossing(0.03175, 0.0254)).turns()]
    [0, 180]
    """
    sine, cosine = math.sin(crossing.angle), math.cos(crossing.angle)
    size = (crossing.primary, crossing.rho, crossing.offset)
    return Curve(*size, level=cosine / sine, lean=1.0 / sine)


def span_on_tube(crossing: Crossing) -> tuple[float, float]:
    """Return the least and the greatest of `meets_at` [m]: the tube's long and short points.

    Centred: sqrt(A² - rho²) if |cos g| sqrt(A² - rho²) <= rho sin g, else (A - rho |cos g|)/sin g;
    greatest (A + rho |cos g|)/sin g [saddle]. Skew and with an offset: see `Curve.turns`.

    >>> [round(s * 1e3, 3) for s in span_on_tube(Crossing(0.0381, 0.0254, math.radians(60)))]
    [28.398, 58.659]
    """
    return curve_on_tube(crossing, crossing.rho).span()


def span_on_primary(crossing: Crossing) -> tuple[float, float]:
    """Return the least and the greatest y of the crossing along the primary [m].

    Centred: (A cos g ∓ rho) / sin g [saddle]. Skew and with an offset: see `Curve.turns`.

    >>> skew = Crossing(0.0381, 0.023749, math.radians(60))
    >>> [round(y * 1e3, 3) for y in span_on_primary(skew)]
    [-5.426, 49.42]
    """
    return curve_along(crossing).span()


def notch_depth(crossing: Crossing) -> float:
    """Return how deep the tube is notched, long point to short point along it [m].

    Square: A - sqrt(A² - (rho + |e|)²) for |e| <= rho [saddle].

    >>> round(notch_depth(Crossing(0.03175, 0.0254)) * 1e3, 3)
    12.7
    """
    low, high = span_on_tube(crossing)
    return high - low


def width_round(crossing: Crossing) -> float:
    """Return how wide the crossing is round the primary, along its wall [m].

    A [asin((rho + e)/A) + asin((rho - e)/A)]; square and centred 2 A asin(rho/A) [saddle].

    >>> round(width_round(Crossing(0.03175, 0.023749)) * 1e3, 3)
    53.66
    """
    turn, _ = hole(crossing, [math.pi / 2.0, -math.pi / 2.0])
    return crossing.primary * float(turn[0] - turn[1])
