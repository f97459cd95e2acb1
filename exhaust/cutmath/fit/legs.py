"""Mitred legs in pairs, as their errors have them: the long cuts and the mitres."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from exhaust.cutmath.fit.faces import Leg, LegSlips, leg_edge, meeting
from exhaust.cutmath.fit.model import Error, SeamFit, Slips, errors
from exhaust.geometry import fit
from exhaust.geometry.fit import Number
from exhaust.geometry.quadrature import Array
from exhaust.geometry.splayed import MitredLeg


def leg_errors(*ends: str, settings: tuple[str, ...]) -> tuple[Error, ...]:
    """Return the errors of a pair of legs at each of `ends`, sawn at `settings` of the saw."""
    found: tuple[Error, ...] = ()
    for name in settings:
        cuts = ("mitre slant", "mitre lean", "long slant", "long lean")
        found += errors(blade_angle=",".join(f"{name} {cut}" for cut in cuts))
    for end in ends:
        two = f"{end} A,{end} B"
        depth, rolled = two.replace(end, f"{end} depth"), two.replace(end, f"{end} roll")
        found += errors(depth=depth, clocking=rolled, od=two)
    return found


class Pair(NamedTuple):
    """The two legs of one end."""

    legs: tuple[Leg, Leg]

    @property
    def seam(self) -> SeamFit:
        """The seam of their long cuts, drawn together by itself."""
        drawn = self.legs[0].drawn
        edge = leg_edge(drawn.radius, drawn.offset, np.sin(drawn.angle))
        met = meeting(self.legs[0].long_cut, self.legs[1].long_cut, edge)
        return SeamFit(fit.open_gap(met.apart), met.step)

    def spacing(self, length: float) -> Array:
        """Return the distance between the middles of their ends, long cuts flat [n, 1] [m]."""
        first, second = (leg.end_offset(length) for leg in self.legs)
        return first + second

    @property
    def held(self) -> Array:
        """What both kept widths are short of [n, 1] [m]."""
        first, second = (leg.off.depth for leg in self.legs)
        return np.asarray(first + second)


def pair(
    drawn: MitredLeg, kept: Number, slips: Slips, end: str, setting: str, *, turned: int
) -> Pair:
    """Return the legs of `end`; the second long cut is turned in the saw by `turned`.

    A mitre that is off is off on both, away from the drawing the same way.
    """
    found = []
    for side in "AB":
        slant, lean = slips(f"{setting} long slant"), slips(f"{setting} long lean")
        if side == "B":
            slant, lean = turned * slant, -turned * lean
        off = LegSlips(
            depth=slips(f"{end} depth {side}"),
            mitre=slips(f"{setting} mitre slant"),
            mitre_lean=slips(f"{setting} mitre lean"),
            slant=slant,
            lean=lean,
            clocking=slips(f"{end} roll {side}"),
            od=slips(f"{end} {side}"),
        )
        found.append(Leg(drawn, kept, off))
    return Pair((found[0], found[1]))
