"""The fit of a Y merge: two sliced half bends, the outlet on their face, the butts of the legs."""

from __future__ import annotations

import math

import numpy as np

from exhaust.cutmath.fit.faces import mitre_edge
from exhaust.cutmath.fit.model import Error, Fitted, SeamFit, Slips, errors
from exhaust.cutmath.fit.parallel_x import SLICED, Sides, sides, slice_seam
from exhaust.cutmath.fit.returns import SQUARE, Butt, butts, half_turns, halved, way
from exhaust.geometry import fit, segment
from exhaust.geometry.quadrature import Array
from exhaust.joints import YMerge

OUTLET = errors(blade_angle="outlet slant,outlet lean", od="outlet")


class YFit:
    """A Y merge as its errors see it: one bend halved makes both legs."""

    def __init__(self, y: YMerge) -> None:
        self.y = y
        self.butts = y.leg_butts
        self.piece = self.butts == (2 if y.return_bend is None else 4)
        cut = y.elbow
        self.edge = mitre_edge(cut.radius, cut.offset, 1.0)

    @property
    def errors(self) -> tuple[Error, ...]:
        """Everything that may be off."""
        found = SLICED + OUTLET + halved("bend")
        if self.y.return_bend is not None:
            found += errors(bend_angle="return angle", halving="return half")
        if self.butts:
            found += errors(od="leg A,leg B")
        return found + (SQUARE if self.piece else ())

    def fitted(self, slips: Slips, turned: int) -> Fitted:
        """Return what `slips` do to the seams and to the spacing of the legs."""
        y, both = self.y, sides(slips, self.y.elbow, turned)
        bend, back = half_turns(slips, "bend"), half_turns(slips, "return")
        quarter, found = y.quarter, []
        spacing = -y.spacing + slips.nothing
        for number, side in enumerate("AB"):
            turn = back[number] if y.return_bend is not None else slips.nothing
            at = way(quarter, bend[number], turn)
            spacing = spacing + both.end_offset(number, at, 1.0)
            angle = slips("bend angle") / 2.0 - turn + slips("square slant")
            lean = slips("square lean")
            if y.return_bend is not None:
                lean = lean + slips("halving lean")
            found.append(Butt(angle, lean, both.off[number].od, slips(f"leg {side}")))
        seams = {"along the opening": slice_seam(both), "legs to outlet": self._outlet(slips, both)}
        if self.butts:
            seams["on the legs"] = butts(float(y.tube.od), found)
        return Fitted(seams, {"legs": spacing[:, 0]}, both.held)

    def _outlet(self, slips: Slips, both: Sides) -> SeamFit:
        """The outlet on both sawn faces: halves of one cut, the second turned over to meet it.

        A slant leaves one plane across both faces; a lean, two planes that lean apart.
        """
        slant = np.tan(slips("bend half") + slips("halving slant"))
        lean, edge = np.tan(slips("halving lean")), self.edge
        own_slant, own_lean = np.tan(slips("outlet slant")), np.tan(slips("outlet lean"))
        first = edge.t * (slant - own_slant) + edge.z * (lean - own_lean)
        second = edge.t * (own_slant - slant) - edge.z * (lean + own_lean)
        return SeamFit(fit.open_gap(first, second), self._outline_step(slips, both))

    def _outline_step(self, slips: Slips, both: Sides) -> Array:
        """How far the outline, formed round, is from the outlet: its length over 2 pi [n].

        A Y stretched on purpose is formed to the outlet as drawn; the errors come on top.
        """
        cut = both.cut
        more = slips.nothing
        for off in both.off:
            radius, offset = cut.radius + off.od / 2.0, cut.offset + off.od / 2.0 - off.depth
            arc = 2.0 * radius * (math.pi - np.arccos(offset / radius))
            more = more + arc - segment.kept_arc(cut.radius, cut.offset)
        step = more / (2.0 * math.pi) - slips("outlet") / 2.0
        return np.asarray(np.abs(step[:, 0]))
