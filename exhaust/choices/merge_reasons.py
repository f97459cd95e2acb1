"""The answer about merges in words: same size or stepped, and what was assumed."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from exhaust.choices.assumed import cost_assumptions, service_assumptions
from exhaust.choices.choosing import percent, percent_band, turned, why_this
from exhaust.choices.doubts import MERGE_ANGLE
from exhaust.choices.limits import misfits, misfits_in_words
from exhaust.flow.junction import MERGE_LOSS_SPREAD

if TYPE_CHECKING:
    from exhaust.choices.merges import MergeComparison, MergeInFlow

PULSES = "That is steady flow; an engine breathes out in pulses: compare the merges in pulses, too."


def merge_reason(answer: MergeComparison) -> list[str]:
    """Return same size against each larger outlet, sentence by sentence, and what to buy."""
    same = answer.same_size
    said = []
    if not same.choked:
        lost = f"{percent_band(same.power_cost)} of power"
        alone = percent_band(same.merge_cost)
        said.append(
            f"Merged into their own size, {same.outlet.name}, the pipes and all that follows cost "
            f"{lost}, the merge itself {alone}."
        )
    larger = [one for one in answer.options[1:] if one.fits]
    if larger and not same.choked:
        worth = percent(answer.limits.worth_having)
        against = "; ".join(_against_same(one) for one in larger)
        said.append(f"Against it (worth having: {worth}): {against}.")
    said += misfits_in_words(
        {
            one.outlet: misfits(one.outlet, one.choked, one.back_pressure, answer.limits)
            for one in answer.options
        }
    )
    said += [f"{outlet.name} is left out: {why}." for outlet, why in answer.refused]
    said.append(PULSES)
    is_best = answer.choice == answer.best
    why = why_this(is_best, answer.against_best.word, ", which loses least")
    return [*said, f"Buy {answer.choice.name}{why}."]


def _against_same(one: MergeInFlow) -> str:
    gain = one.verdict.difference
    if gain.middle < 0:
        return f"{one.outlet.name} loses {percent_band(turned(gain))} more, {one.verdict.word}"
    return f"{one.outlet.name} saves {percent_band(gain)}, {one.verdict.word}"


def merge_assumptions(answer: MergeComparison) -> list[str]:
    """Return what the comparison assumes beyond the exhaust flow."""
    angle = math.degrees(MERGE_ANGLE.high)
    said = [
        "The loss of a merge is a momentum balance with one pressure across its legs, which run "
        f"parallel to the outlet as cut; the band takes them in at up to {angle:.0f} degrees and "
        f"{MERGE_LOSS_SPREAD:g} either way in the loss coefficient, never below nought.",
        f"The pipes meet {_meeting(answer)}; what follows them there runs once, in the outlet's "
        "tube, and a silencer with a rating becomes one that flows as much as the two.",
        "No stretch means that the outline keeps its length on the middle of the wall. Elongation "
        "in tables does not hold across a weld bead or for ferritic grades (common practice).",
    ]
    return said + service_assumptions(answer.system) + cost_assumptions(answer.flow)


def _meeting(answer: MergeComparison) -> str:
    system = answer.system
    if system.pipes == 1:
        return "where the system has its merge"
    return "where the joint stands" if system.joint is not None else "after the first run"
