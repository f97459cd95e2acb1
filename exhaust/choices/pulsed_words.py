"""The answer about merges in pulses in words: two sentences, and what was assumed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from exhaust.choices.choosing import percent, percent_band, turned, why_this
from exhaust.choices.crossover_reasons import comparison_assumptions, unsettled_said
from exhaust.choices.merged import STUB
from exhaust.choices.stepped import CONE, STRAIGHT
from exhaust.show import quantity

if TYPE_CHECKING:
    from exhaust.choices.pulsed_merges import PulsedMerge, PulsedMergeComparison


def pulsed_reason(answer: PulsedMergeComparison) -> list[str]:
    """Return what a larger outlet brings in pulses and where from, and what to buy."""
    low, high = (quantity(answer.speeds[n], "speed") for n in (0, -1))
    over = f"Breathing in pulses from {low} to {high}"
    is_best = answer.choice == answer.best
    why = why_this(is_best, answer.against_best.word, ", which loses least")
    buy = f"Buy {answer.choice.name}{why}{_as_well(answer)}."
    shown, same = answer.weighed, answer.options[0]
    if shown is same:
        return [f"{over}, there was nothing larger than {same.outlet.name} to compare.", buy]
    worth = percent(answer.steady.limits.worth_having)
    beside = f"steady flow at those speeds has {percent(shown.steady)}"
    said = f"{over}, {_against_same(shown)} (worth having: {worth})"
    return [f"{said}; {', '.join([*_parts(shown), beside])}.", buy]


def _as_well(answer: PulsedMergeComparison) -> str:
    parted = answer.chosen.parted
    if parted is None or parted.joint.word != "not worth deciding on":
        return ""
    return f"; a joint in {answer.options[0].outlet.name} that steps up to it behind does as well"


def _against_same(one: PulsedMerge) -> str:
    gain, name = one.gain.difference, one.outlet.name
    if gain.middle < 0:
        more = percent_band(turned(gain))
        return f"{name} costs {more} of power more than the same size: {one.gain.word}"
    return f"{name} saves {percent_band(gain)} of power against the same size: {one.gain.word}"


def _parts(one: PulsedMerge) -> list[str]:
    if one.parted is None:
        return []
    joint, pipe = (percent(part.difference.middle) for part in one.parted)
    return [f"{joint} is the joint's own", f"{pipe} the larger pipe's after it"]


def pulsed_assumptions(answer: PulsedMergeComparison) -> list[str]:
    """Return what the comparison assumes beyond the exhaust flow."""
    straight, cone = (quantity(share * STUB, "cut") for share in (STRAIGHT, CONE))
    said = []
    if answer.not_stepped is None:
        said.append(
            "The part of the joint is told from that of the pipe by a joint of the same size with "
            f"{straight} of straight and a cone of {cone} behind it."
        )
    else:
        said.append(f"Joint and pipe could not be told apart: {answer.not_stepped}.")
    said += unsettled_said(answer.unsettled, answer.simulations)
    system, flow = answer.steady.systems[0], answer.steady.flow
    return [*said, *comparison_assumptions(system, flow, answer.pulses, len(answer.speeds))]
