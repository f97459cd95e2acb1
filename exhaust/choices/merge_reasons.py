"""The answer about merges in words: same size or stepped, and what was assumed."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from exhaust.choices.choosing import percent, percent_band, turned
from exhaust.choices.doubts import MERGE_ANGLE, cost_assumptions
from exhaust.choices.limits import misfits, misfits_in_words
from exhaust.flow.friction import ROUGHNESS
from exhaust.flow.junction import MERGE_LOSS_SPREAD
from exhaust.show import quantity

if TYPE_CHECKING:
    from exhaust.choices.merges import MergeComparison, MergeInFlow

PULSES = "That is steady flow; an engine breathes out in pulses, which this does not judge yet."
LONGEST = 20.0  # no outlet of a vehicle is longer [m]


def merge_reason(answer: MergeComparison) -> list[str]:
    """Return same size against each larger outlet, sentence by sentence, and what to buy."""
    same = answer.same_size
    said = []
    if not same.choked:
        lost = f"{percent_band(same.power_cost)} of power"
        said.append(f"Two legs merged into their own size, {same.outlet.name}, lose {lost}.")
    larger = [one for one in answer.options[1:] if one.fits]
    if larger and not same.choked:
        worth = percent(answer.limits.worth_having)
        against = "; ".join(_against_same(one) for one in larger)
        said.append(f"Against it (worth having: {worth}): {against}.")
    said += misfits_in_words(
        {
            one.outlet: misfits(one.outlet, one.choked, one.loss, answer.limits)
            for one in answer.options
        }
    )
    said.append(PULSES)
    return [*said, f"Buy {answer.choice.name}{_why_this(answer)}{_longer_outlet(answer)}."]


def _against_same(one: MergeInFlow) -> str:
    gain = one.verdict.difference
    if gain.middle < 0:
        return f"{one.outlet.name} loses {percent_band(turned(gain))} more, {one.verdict.word}"
    return f"{one.outlet.name} saves {percent_band(gain)}, {one.verdict.word}"


def _why_this(answer: MergeComparison) -> str:
    if answer.choice == answer.best:
        return ", which loses least"
    if answer.against_best.word == "cannot tell":
        return ": where it cannot be told, the smaller and lighter"
    return ": the smallest that gives up nothing worth having"


def _longer_outlet(answer: MergeComparison) -> str:
    """Return from about what length of outlet on its friction asks for a larger one."""
    worth, chosen = answer.limits.worth_having, answer.chosen
    larger = [one for one in answer.options[answer.options.index(chosen) + 1 :] if one.fits]

    def cost(one: MergeInFlow, length: float) -> float:
        return one.power_cost.middle + length * one.cost_per_length

    lengths = [
        (worth - cost(chosen, 0) + cost(one, 0)) / (chosen.cost_per_length - one.cost_per_length)
        for one in larger
        if one.cost_per_length < chosen.cost_per_length
    ]
    if not lengths or not 0 < min(lengths) < LONGEST:
        return ""
    length = min(lengths)
    least = min(cost(one, length) for one in larger)
    name = next(one.outlet.name for one in larger if cost(one, length) <= least + worth)
    return f"; if more than about {quantity(length, 'run')} of outlet follows, {name}"


def merge_assumptions(answer: MergeComparison) -> list[str]:
    """Return what the comparison assumes beyond the exhaust flow."""
    angle = math.degrees(MERGE_ANGLE.high)
    rough = f"{quantity(ROUGHNESS.middle, 'roughness')} rough"
    said = [
        "The loss of a merge is a momentum balance with one pressure across its legs, which run "
        f"parallel to the outlet as cut; the band takes them in at up to {angle:.0f} degrees and "
        f"{MERGE_LOSS_SPREAD:g} either way in the loss coefficient, never below nought.",
        "Steady, incompressible across the merge, at ambient pressure in the outlet; both legs "
        "pass the same flow.",
        f"Power cost is that of the merge alone. Friction is for outlet tube {rough}; for all that "
        "follows the merge, ask compare_tubes of it as one pipe.",
        "No stretch means that the outline keeps its length on the middle of the wall. Elongation "
        "in tables does not hold across a weld bead or for ferritic grades (common practice).",
    ]
    if answer.limits.largest_back_pressure_gauge is not None:
        said.append("largest_back_pressure_gauge is held against the loss of the merge alone.")
    return said + cost_assumptions(answer.flow)
