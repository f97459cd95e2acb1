"""How far off a shop's cuts, marks and stock are, and what the weld may bridge."""

from __future__ import annotations

import attrs

from exhaust import units
from exhaust.describe import Description, within
from exhaust.stock import DEGREE, MILLIMETRE
from exhaust.units import SI

# Common practice, no source; every one can be given.
FAR, WIDE, ASKEW = 10e-3, 6e-3, 10 * DEGREE  # more is a mistake, not an error [m, m, rad]


NINE = "it is what nine in ten stay within"


def _length(millimetres: float, most: float = FAR, hint: str = NINE) -> float:
    return attrs.field(
        default=SI(millimetres * MILLIMETRE, "length", "mm", MILLIMETRE),
        converter=units.length,
        validator=within(0.0, most, hint),
    )


def _angle(degrees: float) -> float:
    return attrs.field(
        default=SI(degrees * DEGREE, "angle", "deg", DEGREE),
        converter=units.angle,
        validator=within(0.0, ASKEW, NINE),
    )


@attrs.frozen(kw_only=True, repr=False)
class Tolerances(Description):
    """How far off cuts, marks and stock are, either way: what nine in ten stay within.

    `depth` of a cut, length of a leg's kept width or of a notched tube [m]; `blade_angle`, blade
    to table and to fence [rad]; `clocking`, a piece rolled in the saw or its second cut rolled
    from its first [rad]; `halving`, the angle of a half bend to its mark [rad]; `bend_angle`, a
    bend from its measured angle [rad]; `od` of a tube from another [m]; `offset`, a balance tube
    up or down from its mark [m]; and `gap`, the widest gap that the weld may have [m]: 1 mm for
    TIG. Defaults are common practice.

    >>> Tolerances(depth="1/32 in").blade_angle.written()
    '0.5 deg'
    """

    depth: float = _length(0.5)
    blade_angle: float = _angle(0.5)
    clocking: float = _angle(1.0)
    halving: float = _angle(0.5)
    bend_angle: float = _angle(1.0)
    od: float = _length(0.2)
    offset: float = _length(0.5)
    gap: float = _length(1.0, WIDE, "no weld on thin tube bridges more")
