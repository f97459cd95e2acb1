"""Where what follows a saddle's edge round the tube turns round, and its least and greatest.

How far each line along the tube reaches, where the edge runs along the primary and what a tube
between two primaries has left of each line are one kind of curve. Centred or square it turns at
known places; otherwise where the sine of the clock angle is a root of a quartic. Plain floats:
there are a few places only.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from exhaust.errors import broken

NONE = 1e-14  # of the other term: a lean or level that moves nothing by more than its last digits
STEPS = 8  # of Newton's method; a root of the quartic starts with half of the digits or more
NEAR = 0.01  # [rad]; a longer step leaves the root that it started from
SETTLED = 1e-12  # [rad] from the turn
LAST = 1e-15  # of the primary's radius: the last digits
DOUBT = 1e-6  # of a sine, of which the quartic loses half of the digits
SIDE = math.pi / 2.0
TRIED = (SIDE, -SIDE, 0.0, math.pi)  # none of these is farther out than a turn
COMPANION = np.diag([1.0, 1.0, 1.0], -1)  # of a quartic, to be filled in


class Curve(NamedTuple):
    """The curve level sqrt(A² - q²) + lean rho cos c round a tube, with q = rho sin c + e.

    `primary` radius A of the surface that is met [m], `rho` radius of the one that meets it [m],
    `offset` e by which the axes miss each other [m].

    >>> square = Curve(0.03175, 0.0254, 0.0, level=1.0, lean=0.0)
    >>> [round(value * 1e3, 3) for value in square.span()]
    [19.05, 31.75]
    """

    primary: float
    rho: float
    offset: float
    level: float
    lean: float

    def height(self, clock: float) -> float:
        """Return sqrt(A² - q²) [m], with no digits lost where it is small; see `saddle.root`."""
        room, wide = self.primary - self.rho, 2.0 * self.rho
        above = max(room - self.offset, 0.0) + wide * math.sin((SIDE - clock) / 2.0) ** 2
        below = max(room + self.offset, 0.0) + wide * math.sin((SIDE + clock) / 2.0) ** 2
        return math.sqrt(above * below)

    def at(self, clock: float) -> float:
        """Return the curve at a clock angle [m]."""
        return self.level * self.height(clock) + self.lean * self.rho * math.cos(clock)

    def span(self, turns: list[float] | None = None) -> tuple[float, float]:
        """Return the least and the greatest of the curve [m]; `turns` if they are known."""
        found = [self.at(clock) for clock in turns or self.turns()]
        return min(found), max(found)

    def turns(self) -> list[float]:
        """Return clock angles [rad]; every one where the curve turns round is among them.

        There level q cos c = -lean sin c sqrt(A² - q²) [saddle]. Centred, at 0, at 180 deg and
        where rho cos c = -lean sqrt((A² - rho²)/(level² - lean²)), if the tube is as wide; square,
        at the sides and where sin c = -e/rho. Raises `ExhaustError` where an extreme did not
        settle.

        >>> turns = Curve(0.0381, 0.0254, 0.006, level=1.0, lean=0.5).turns()
        >>> sorted({round(math.degrees(clock), 3) for clock in turns})
        [-7.735, 112.199]
        """
        if abs(self.level) <= NONE * abs(self.lean):
            return [0.0, math.pi]
        if self.offset == 0.0:
            return self._centred()
        if abs(self.lean) <= NONE * abs(self.level):
            return [SIDE, -SIDE, *_clocks(-self.offset / self.rho)]
        return self._settled()

    def _centred(self) -> list[float]:
        over = (self.level - self.lean) * (self.level + self.lean)
        room = max((self.primary - self.rho) * (self.primary + self.rho), 0.0)
        if over * self.rho**2 <= self.lean**2 * room:
            return [0.0, math.pi]
        share = math.sqrt(room / over) * abs(self.lean) / self.rho
        clock = math.acos(math.copysign(share, -self.lean * self.level))
        return [0.0, clock, math.pi, -clock]

    def _settled(self) -> list[float]:
        """Return the turns that the roots lead to; refused if anything lies beyond them."""
        led = [self._refined(clock) for clock in self._starts()]
        found = [clock for clock in led if clock is not None]
        reach = [self.at(clock) for clock in found] or [math.nan]
        beside = NONE * self.primary * (abs(self.level) + abs(self.lean))
        low, high = min(reach) - beside, max(reach) + beside
        if all(low <= self.at(clock) <= high for clock in TRIED):
            return found
        rule = "did not settle on the long and short points of a saddle"
        got = f"{self.primary * 1e3:.6g}, {self.rho * 1e3:.6g} and {self.offset * 1e3:.6g} mm"
        raise broken(rule, got, "leave out the offset, or its angle").named("turns")

    def _starts(self) -> list[float]:
        """Return the clock of each sine s for which the two sides are alike when squared.

        level² q² (1 - s²) = lean² (A² - q²) s², with q = rho s + e [saddle]; the cosine's sign is
        that of -level lean q s, and both where that is too small to trust.
        """
        r, large = self.offset / self.rho, self.primary / self.rho
        over = (self.lean - self.level) * (self.lean + self.level)
        if over == 0.0:
            return []
        a, b = self.level**2 / over, self.lean**2 / over
        companion = COMPANION.copy()
        companion[0] = -2.0 * r, large**2 * b - r**2 - a, -2.0 * r * a, -(r**2) * a
        sines = np.linalg.eigvals(companion).real.tolist()
        found = []
        for sine in sines:
            clock = math.asin(min(max(sine, -1.0), 1.0))
            side = -self.level * self.lean * (sine + r) * sine
            if side > -DOUBT:
                found.append(clock)
            if side < DOUBT:
                found.append(math.pi - clock)
        return found

    def _off(self, clock: float) -> tuple[float, float]:
        """Return how far from a turn the curve is, as a share, and its change [1/rad].

        (level q cos c + lean sin c sqrt(A² - q²))/(level A): it has no kink beside a narrow round.
        """
        height, sine, cosine = self.height(clock), math.sin(clock), math.cos(clock)
        q, share = self.rho * sine + self.offset, self.lean / self.level
        slope = -q * self.rho * cosine / height if height > 0.0 else 0.0
        off = q * cosine + share * sine * height
        change = self.rho * cosine**2 - q * sine + share * (cosine * height + sine * slope)
        return off / self.primary, change / self.primary

    def _refined(self, clock: float) -> float | None:
        """Return the turn next to a start; none if there is none, or it is not reached."""
        for _ in range(STEPS):
            off, change = self._off(clock)
            if abs(off) > NEAR * abs(change):
                return None
            if abs(off) <= max(SETTLED * abs(change), LAST):
                return clock
            clock -= off / change
        return None


def _clocks(sine: float) -> list[float]:
    """Return the clock angles of a sine [rad]; none where no angle has it."""
    if abs(sine) > 1.0:
        return []
    clock = math.asin(sine)
    return [clock, math.pi - clock]
