"""What the fit of a joint comes to in words: the answer, which way to turn, what was assumed."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from exhaust.cutmath.fit.alone import NOTHING, Blade
from exhaust.cutmath.fit.model import KINDS, LONG, VERTICAL
from exhaust.cutmath.fit.result import Chance, EndRow, SeamRow
from exhaust.cutmath.fit.tolerances import Tolerances
from exhaust.joints import HPipe, Joint, ParallelX
from exhaust.show import quantity
from exhaust.stock import Saw

SURE = 1.959963984540054  # of the normal distribution at 95 %, both ways
FULL = 0.9  # of the room beside a balance tube: from here on its notch's sides are feathers

TRUED = {  # where a lean and where a slant come from, on each kind of saw
    "upright": ("the table is not square to the blade", "the blade leads off the fence"),
    "horizontal": ("the head does not come down square", "the vice is not square to the blade"),
}


class Choice(NamedTuple):
    """The way that was taken, which samples are within the gap that way and the other."""

    way: str
    inside: NDArray[np.bool_]
    other: NDArray[np.bool_]
    asked_best: bool

    @property
    def surely_better(self) -> bool:
        """Whether the two ways differ by more than the number of samples leaves open.

        Both are judged on the same samples: those count that are within the gap one way only.
        """
        gained = int(np.sum(self.inside & ~self.other))
        lost = int(np.sum(self.other & ~self.inside))
        return gained - lost > SURE * math.sqrt(gained + lost)


def share(chance: Chance) -> str:
    """Return a chance with its range: "24 % (21 to 27 %)".

    >>> share(Chance(0.21, 0.24, 0.27))
    '24 % (21 to 27 %)'
    """
    low, middle, high = (f"{100 * each:.0f}" for each in chance)
    return f"{middle} % ({low} to {high} %)"


def reason(
    limits: Tolerances, chance: Chance, seams: tuple[SeamRow, ...], ends: tuple[EndRow, ...]
) -> str:
    """Return the answer: the chance, the seam that is in the way, what makes it, the ends."""
    worst = min(seams, key=lambda seam: (seam.chance.middle, -seam.gap[1]))
    gap = quantity(float(limits.gap), "tube")
    said = f"As sawn and held true, every seam is within {gap} in {share(chance)} of joints"
    if worst.gap[1] < NOTHING:
        return f"{said}: nothing is off."
    said += (
        f"; the widest is {worst.name}, typically {quantity(worst.gap[0], 'tube')}, "
        f"mostly from {KINDS[worst.most.kind]}."
    )
    off = max(end.error[1] for end in ends)
    return (
        f"{said} Pulled shut flat instead, an end comes out up to {quantity(off, 'tube')} off its "
        "spacing (19 in 20)."
    )


def advice(joint: Joint, saw: Saw, blades: Mapping[str, Blade], choice: Choice) -> tuple[str, ...]:
    """Return how to find the saw's error, which way to turn for it, and which way was taken."""
    if isinstance(joint, HPipe):
        return _h_advice(joint)
    lean, slant = TRUED[saw.kind]
    od, per = float(joint.tube.od), math.tan(math.radians(1.0))
    found = [
        "Find the saw's error first: saw a scrap of the tube square across and measure its length "
        "at four places. Top and bottom unlike: the blade leans, "
        f"{lean}. Near and far side unlike: it slants, {slant}. On this tube "
        f"{quantity(od * per, 'tube')} is a degree. This is for pieces sawn lying flat; standing "
        "on end, lean and slant change places."
    ]
    vertical, long = _turns(joint)
    at, flipped = blades[VERTICAL], blades[LONG]
    wide = at.slant_step > joint.tube.wall
    beyond = ", more than the wall, so that the tips need dressing" if wide else ""
    found += [
        f"If it slants: {vertical}. The slant cancels, and the edges step "
        f"{quantity(at.slant_step, 'tube')} at the tips{beyond}, instead of a gap of "
        f"{quantity(flipped.slant_gap, 'tube')}; a lean would double to "
        f"{quantity(at.lean_gap, 'tube')}.",
        f"If it leans: {long}. The lean cancels, and the edges step "
        f"{quantity(flipped.lean_step, 'tube')} instead of a gap of "
        f"{quantity(at.lean_gap, 'tube')}; a slant would double.",
    ]
    return (*found, _taken(choice))


def _turns(joint: Joint) -> tuple[str, str]:
    """Return how the second piece is brought round, about the vertical and the long axis."""
    if isinstance(joint, ParallelX):
        return (
            "turn the second bend about the vertical, entry to exit",
            "flip the second bend over about the joint's long axis",
        )
    return (
        "saw the second piece end for end, on the other side up (about the vertical)",
        "saw both pieces lying the same way; the second flips over about the long axis",
    )


def _taken(choice: Choice) -> str:
    first, second = (f"{100 * float(np.mean(each)):.0f} %" for each in choice[1:3])
    if not choice.asked_best:
        return f"Turned {choice.way} as asked: {first} within the gap; the other way {second}."
    if choice.surely_better:
        return f"With nothing known of the saw: {choice.way}, {first} against {second}."
    return (
        "With nothing known of the saw it cannot be told which way is better "
        f"({first} and {second}): keep to one way, {choice.way}, until a scrap tells."
    )


def _h_advice(h: HPipe) -> tuple[str, ...]:
    end = h.saddles[0]
    degree = quantity(2.0 * end.radius * math.tan(math.radians(1.0)), "tube")
    found = [
        "Square the ends first: both notches are marked from them. Saw a scrap of the tube and "
        f"measure its length at four places; {degree} of difference is a degree.",
        "Which way the tube is turned changes no gap. An end out of square at both ends splays the "
        "primaries one way and keeps them parallel the other: turn the tube about the vertical "
        "before marking the second notch. Rolled about a primary's axis it fits as well.",
        "Clock both notches to one line scribed along the tube, and set the tube's height from "
        "one straight edge across both primaries.",
    ]
    if end.radius + abs(end.offset) > FULL * end.primary:
        found.append(
            "The tube is nearly as wide as the primary: the notch's sides are feathers that touch "
            "first and hold the rest open. File them back a hair, or use a smaller balance tube."
        )
    return tuple(found)


def assumptions(joint: Joint, limits: Tolerances, samples: int) -> tuple[str, ...]:
    """Return what was assumed, the most important first."""
    off = [
        f"{words} {quantity(float(getattr(limits, kind)), look)}"
        for kind, words, look in (
            ("depth", "depth", "tube"),
            ("blade_angle", "blade", "angle"),
            ("clocking", "clocking", "angle"),
            ("halving", "halving", "angle"),
            ("bend_angle", "bends", "angle"),
            ("od", "diameters", "tube"),
            ("offset", "offset", "tube"),
        )
    ]
    found = [
        f"Nine in ten stay within, either way: {', '.join(off)}. Common practice, no source: put "
        "what you measure under [tolerances].",
        f"A weld may bridge {quantity(float(limits.gap), 'tube')} (TIG on thin tube; common "
        "practice, no source).",
        "Gaps: parts held true to the drawing and drawn together until they touch. A cut too deep "
        "then moves the spacing, unless a jig holds it. Faces pulled flat leave no gap along the "
        "joint; the ends move instead.",
        "The blade is off by the same at every cut of one setting, both pieces alike; a new "
        "setting is off anew. Depth, clocking, marks, bends and diameters are each piece's own.",
        "Tubes are round and bends true arcs; heat moves a joint while it is tacked, which is not "
        "in it.",
        f"{samples} samples, the same for both ways of turning.",
    ]
    if isinstance(joint, HPipe):
        found.insert(3, "Rigid: no edge of the balance tube is pressed or filed into its primary.")
    return tuple(found)
