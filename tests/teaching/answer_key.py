"""The answer key: every exercise worked out by hand, apart from the package.

Exact: closed forms written out here, in inches, with the numbers that the questions give; two
areas under a curve by scipy. Metric is the same times 25.4, rounded as a shop would.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from scipy.integrate import quad
from scipy.optimize import brentq

INCH = 25.4  # [mm]


class Key(NamedTuple):
    """One answer, as written in inches and in metric."""

    inch: str
    metric: str


def length(inches: float) -> Key:
    return Key(f"{inches:.3f} in", f"{inches * INCH:.1f} mm")


def fine(inches: float) -> Key:
    """A length that a caliper is needed for."""
    return Key(f"{inches:.4f} in", f"{inches * INCH:.2f} mm")


def angle(degrees: float) -> Key:
    return Key(f"{degrees:.1f} deg", f"{math.radians(degrees):.4f} rad")


def share(value: float) -> Key:
    return Key(f"{value:.3f}", f"{100 * value:.1f} %")


def kept(height: float) -> float:
    """Share of a unit circle left below a chord at `height`."""
    return 1 - (math.acos(height) - height * math.sqrt(1 - height**2)) / math.pi


def window(cutback: float) -> float:
    """Window of the demo job's X over one tube's flow area, by quadrature along it."""
    clr, radius, bore = 4.5, 1.5, 1.435
    plane = clr + radius * (1 - 2 * cutback)
    tip = math.sqrt((clr + bore) ** 2 - plane**2)

    def height(y: float) -> float:
        return 2 * math.sqrt(max(bore**2 - (math.hypot(plane, y) - clr) ** 2, 0.0))

    return 2 * quad(height, 0.0, tip, limit=200)[0] / (math.pi * bore**2)


# Lesson 1: 1728 in^3 in a cubic foot, 0.4719474 L/s in a cfm
AIR = 311 / 1728 * 6200 / 2 * 0.92
SPEED = 1749 / 2 / 60 / (math.pi / 4 * (2.87 / 12) ** 2)
MIXED = (2 * 1300 + 700) / 3
PRESSURE = 14.22 + 2.0

# Lesson 3 and 4
COSINE = math.cos(math.radians(35))
LEG = 3 / math.cos(math.radians(22.5))
HALVED = 2 * 3 * (1 - 0.3)

# Lesson 7: the X is 16.636 in long
HALF_DEGREE = math.radians(0.5)
OPENING = 2 * math.sqrt(6**2 - (6 - 0.84) ** 2)

KEY = {
    "air breathed": Key(f"{AIR:.0f} cfm", f"{AIR * 0.4719474:.0f} L/s"),
    "grown hot": share((1224 + 459.67) / (85 + 459.67)),
    "gas speed": Key(f"{SPEED:.0f} ft/s", f"{SPEED * 0.3048:.1f} m/s"),
    "absolute pressure": Key(f"{PRESSURE:.1f} psi", f"{PRESSURE * 6.894757:.1f} kPa"),
    "mixed gas": Key(f"{MIXED:.0f} degF", f"{(MIXED - 32) / 1.8:.0f} degC"),
    "cut depth": length(0.28 * 3),
    "narrowest share": share(kept(1.5 * (1 - 2 / 3) / 1.435)),
    "window as wide as the tube": share(brentq(lambda f: window(f) - 1, 0.05, 0.4)),
    "length of the opening": length(OPENING),
    "deepest cut": share((1 + 0.5) * (1 - math.cos(math.radians(45)))),
    "dial angle": angle(50 / 2),
    "mitre opening": length(2.5 / COSINE),
    "a third of the opening": length(2.5 / COSINE / 3),
    "share really cut": share(math.cos(math.radians(45)) / 3),
    "area across the flow": share(0.878 * COSINE),
    "halved opening": length(HALVED),
    "take off of a leg": length(LEG - HALVED / 2),
    "share of its opening": share((LEG - HALVED / 2) / LEG),
    "take off as measured": fine(3.29 - 4.16 / 2),
    "time between pulses": angle(720 / 4),
    "closest pulses": angle(540 - 450),  # cylinders 5 and 7, sixth and seventh of eight
    "valve open": angle(60 + 180 + 20),
    "pulses at once": angle(260 - 90),
    "cylinders for one pipe": Key("2", "200 %"),
    "area of the balance tube": share((1.87 / 2.37) ** 2),
    "hole in the pipe": length(2 - 2 * 0.065),
    "depth of the notch": length(1.25 - math.sqrt(1.25**2 - 1)),
    "blank of the balance tube": length(9 - 2 * math.sqrt(1.25**2 - 1)),
    "crank while a wave crosses": angle(9 / 12 / 1972 * 6200 / 60 * 360),
    "depth of the slug": length(0.84 - 0.045),
    "kerf on the kept side": length(2 * 0.045),
    "length of a half bend": fine(0.045 / 2),
    "a degree on every bend": length(16.636 * HALF_DEGREE),
    "roll in the saw": fine(6 * math.radians(1)),
    "slant of the blade": fine(2 * OPENING * HALF_DEGREE),
}
