"""The answer about balance tubes in words, and what it assumes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from exhaust.choices.choosing import percent, percent_band
from exhaust.choices.crossover_reasons import comparison_assumptions, speed_range, unsettled_said
from exhaust.show import quantity

if TYPE_CHECKING:
    from exhaust.choices.balance_tubes import BalanceTubeComparison


def balance_reason(answer: BalanceTubeComparison) -> list[str]:
    """Return what to fit and why, how flat the optimum is, and where the pressure swings most."""
    chosen, without = answer.chosen, answer.without
    assert chosen.tube is not None
    at = f"{quantity(chosen.distance, 'run')} from the collector"
    go = "fall" if chosen.half_orders.middle < without.half_orders.middle else "go"
    said = [
        f"Fit a balance tube in {chosen.tube.name} with its middle {at}: "
        f"{speed_range(answer.speeds).lower()} half orders, the uneven beat of each bank, {go} "
        f"from {percent(without.half_orders.middle)} to {percent_band(chosen.half_orders)} of the "
        f"pulsation at the tips, and power gains {percent_band(chosen.gain)}, "
        f"{chosen.verdict.word}.",
        _flatness(answer),
        "Without a tube the pressure between the two pipes swings most "
        f"{quantity(answer.swings_most, 'run')} from the collector, "
        f"{quantity(float(answer.swing.max()), 'pressure')} on the root mean square: there paint "
        "on the pipes burns off first (common practice).",
    ]
    return said + [f"{name} is left out: {why}." for name, why in answer.refused]


def _flatness(answer: BalanceTubeComparison) -> str:
    """Return how many others are as good, and what size and place change by themselves."""
    count, whole = len(answer.alike), len(answer.options)
    chosen = answer.chosen
    places = [one.half_orders.middle for one in answer.options if one.tube == chosen.tube]
    sizes = [one.half_orders.middle for one in answer.options if one.distance == chosen.distance]
    by_place, by_size = (max(some) - min(some) for some in (places, sizes))
    as_good = "no other does as well" if count == 1 else f"{count} of the {whole} tried do as well"
    return (
        f"The optimum is {'flat' if count > whole / 4 else 'not flat'}: {as_good}; moving this "
        f"tube changes half orders by up to {percent(by_place)} of the pulsation, another size in "
        f"its place by up to {percent(by_size)}."
    )


def balance_assumptions(answer: BalanceTubeComparison) -> list[str]:
    """Return what the comparison of balance tubes assumes beyond the exhaust flow."""
    return [
        "The pipes stay as long as they are wherever the balance tube stands; it is square to them "
        "and as long as their spacing asks.",
        "A balance tube is chosen for an even note that costs no power worth having; half orders "
        "within 3 % of the pulsation are taken to sound alike (common practice).",
        *unsettled_said(answer.unsettled, answer.simulations),
        *comparison_assumptions(answer.system, answer.flow, answer.pulses, len(answer.speeds)),
    ]
