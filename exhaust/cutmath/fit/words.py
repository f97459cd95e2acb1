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


REMEDIES = {
    "depth": "Try the stop on a scrap: the opening's length moves several times as much.",
    "blade_angle": "Square table and fence to the blade by a test cut at every new setting.",
    "clocking": "Scribe heel and outer lines, and before clamping measure that both ends of the "
    "piece stand alike to the blade.",
    "halving": "Measure the angle of each half, and dress its face before it is tacked.",
    "bend_angle": "Measure every bend, put its angle in the job, and pair those that are alike.",
    "od": "Measure tubes two ways and put together those that are alike.",
    "offset": "Set the height of the balance tube from one straight edge over both primaries.",
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


def worst_of(seams: tuple[SeamRow, ...]) -> SeamRow:
    """Return the seam that is within the gap least often."""
    return min(seams, key=lambda seam: (seam.chance.middle, -seam.gap[1]))


def reason(
    limits: Tolerances, chance: Chance, seams: tuple[SeamRow, ...], ends: tuple[EndRow, ...]
) -> str:
    """Return the answer: the chance, the seam that is in the way, what makes it, the ends."""
    worst = worst_of(seams)
    gap = quantity(float(limits.gap), "tube")
    said = f"As sawn and held true, {share(chance)} of joints have every seam within {gap}"
    if worst.gap[1] < NOTHING:
        return f"{said}: nothing is off."
    said += (
        f"; most often over it is {worst.name}, typically {quantity(worst.gap[0], 'tube')}, "
        f"most of it from {KINDS[worst.most.kind]}."
    )
    off = max(end.error[1] for end in ends)
    return (
        f"{said} Pulled shut flat instead, an end comes out up to {quantity(off, 'tube')} off its "
        "spacing (19 of 20 less)."
    )


def advice(
    joint: Joint, saw: Saw, worst: SeamRow, blades: Mapping[str, Blade], choice: Choice
) -> tuple[str, ...]:
    """Return what to do of the worst error, how to find the saw's, which way to turn for it."""
    most = worst.most.kind
    first = f"Too wide most often: {worst.name}, by {KINDS[most]}. {REMEDIES[most]}"
    found = [] if worst.gap[1] < NOTHING else [first]
    if isinstance(joint, HPipe):
        return (*found, *_h_advice(joint))
    lean, slant = TRUED[saw.kind]
    degree = quantity(float(joint.tube.od) * math.tan(math.radians(1.0)), "tube")
    vertical, long = _turns(joint)
    at, flipped = blades[VERTICAL], blades[LONG]
    wide = at.slant_step > joint.tube.wall
    beyond = " (more than the wall: dress the tips)" if wide else ""
    found += [
        "Find which error the saw has: saw a scrap of the tube square across and measure its "
        f"length at four places; {degree} is a degree. Top and bottom unlike: the blade leans, "
        f"{lean}. Near and far side unlike: it slants, {slant}. A piece that is sawn standing on "
        "end takes the one for the other.",
        f"If it slants: {vertical}. The slant cancels: edges step "
        f"{quantity(at.slant_step, 'tube')} at the tips{beyond}, no gap of "
        f"{quantity(flipped.slant_gap, 'tube')}. A lean doubles, to "
        f"{quantity(at.lean_gap, 'tube')}.",
        f"If it leans: {long}. The lean cancels: edges step "
        f"{quantity(flipped.lean_step, 'tube')}, no gap of {quantity(at.lean_gap, 'tube')}. "
        "A slant doubles.",
        _taken(choice),
    ]
    return tuple(found)


def _turns(joint: Joint) -> tuple[str, str]:
    """Return how the second piece is brought round, about the vertical and the long axis."""
    if isinstance(joint, ParallelX):
        return (
            "turn the second bend about the vertical, entry to exit",
            "flip the second bend over about the joint's long axis",
        )
    return (
        "saw the second piece turned end for end onto its other side (about the vertical)",
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
        "Notches are marked from the ends: saw a scrap of the tube square across and measure its "
        f"length at four places; {degree} is a degree.",
        "Saw both ends without rolling the tube (the second is turned about the vertical): if they "
        "are off they are parallel, and so stay the primaries. Rolled half round in between, they "
        "splay them. No turn changes a gap; rolled about a primary's axis the tube fits as well.",
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
