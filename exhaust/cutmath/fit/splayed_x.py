"""The fit of a splayed X: four mitred legs, the long cuts of each end, a mitre on each side."""

from __future__ import annotations

import math

import numpy as np

from exhaust.cutmath.fit.faces import Leg, meeting, mitre_edge
from exhaust.cutmath.fit.legs import leg_errors, pair
from exhaust.cutmath.fit.model import Error, Fitted, SeamFit, Slips, worse
from exhaust.geometry import fit
from exhaust.joints import SplayedX

SAME = 1e-9  # angles so close are one setting [rad]
ENDS = ("entry", "exit")


class SplayedFit:
    """A splayed X as its errors see it."""

    def __init__(self, x: SplayedX) -> None:
        self.x = x
        first, second = x.ends
        apart = max(abs(first.mitre_angle - second.mitre_angle), abs(first.tilt - second.tilt))
        self.settings = ("both", "both") if apart < SAME else ENDS
        drawn = first.leg
        self.edge = mitre_edge(drawn.radius, drawn.offset, math.cos(drawn.mitre))

    @property
    def errors(self) -> tuple[Error, ...]:
        """Everything that may be off."""
        return leg_errors(*ENDS, settings=tuple(dict.fromkeys(self.settings)))

    def fitted(self, slips: Slips, turned: int) -> Fitted:
        """Return what `slips` do to the seams and to the spacing at both ends."""
        x = self.x
        pairs = [
            pair(end.leg, end.kept_width, slips, name, setting, turned=turned)
            for end, name, setting in zip(x.ends, ENDS, self.settings, strict=True)
        ]
        entry, leaving = pairs
        seams = {
            x.seams[0].name: worse(entry.seam, leaving.seam),
            x.seams[1].name: worse(*map(self._mitre, entry.legs, leaving.legs)),
        }
        ends = {
            name: (one.spacing(end.length) - end.spacing)[:, 0]
            for name, one, end in zip(ENDS, pairs, x.ends, strict=True)
        }
        short = np.maximum(entry.held, leaving.held)
        return Fitted(seams, ends, np.maximum(short, 0.0)[:, 0])

    def _mitre(self, entry: Leg, leaving: Leg) -> SeamFit:
        """One side's mitre: the exit's leg is sawn as the entry's and lies turned over."""
        met = meeting(entry.mitred(), leaving.mitred(-1), self.edge)
        return SeamFit(fit.open_gap(met.apart), met.step)
