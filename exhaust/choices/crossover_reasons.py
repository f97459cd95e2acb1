"""The verdict on crossovers in words, and what it assumes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from exhaust.choices.assumed import service_assumptions
from exhaust.choices.choosing import percent, percent_band
from exhaust.choices.headers import with_headers
from exhaust.choices.pulse_cases import WINDOW_LOSSES
from exhaust.choices.pulses import STOCK_CAM, Pulses
from exhaust.choices.simulation_words import pulse_assumptions
from exhaust.engine.flow import ExhaustFlow
from exhaust.flow.cost import MECHANICAL_EFFICIENCY
from exhaust.joints import ParallelX
from exhaust.show import listed, quantity
from exhaust.system import System

if TYPE_CHECKING:
    from exhaust.choices.crossovers import CrossoverComparison


def crossover_reason(answer: CrossoverComparison) -> list[str]:
    """Return the verdict: one sentence for power, one for the sound; then what was left out."""
    none, best = answer.options[0], answer.option(answer.best)
    worth = percent(answer.pulses.worth_having)
    over = speed_range(answer.speeds)
    gain = f"{best.name} gains {percent_band(best.gain)}"
    if answer.choice == none.name and best.name == none.name:
        power = f"{over} nothing gains power over straight pipes: for power build no crossover."
    elif answer.choice == none.name:
        power = (
            f"{over} {gain} of power over straight pipes at the best, {_said(best.verdict.word)} "
            f"(worth having: {worth}): for power build no crossover, the least work."
        )
    elif answer.choice == best.name:
        power = f"{over} {gain} of power over straight pipes, worth having ({worth}): build it."
    else:
        chosen = answer.option(answer.choice)
        power = (
            f"{over} {gain} of power over straight pipes and {chosen.name} "
            f"{percent_band(chosen.gain)}: build {chosen.name}, the least work that gives up "
            f"nothing worth having ({worth})."
        )
    return [power, _sound(answer)] + [f"{name} is left out: {why}." for name, why in answer.refused]


def _sound(answer: CrossoverComparison) -> str:
    none, evenest = answer.options[0], answer.option(answer.evenest)
    halves = percent(none.half_orders.middle)
    if evenest.name == none.name:
        return f"None makes the note more even: half orders are {halves} of it without."
    return (
        f"For the sound, half orders, the uneven beat of each bank, are {halves} of the pulsation "
        f"at the tips of straight pipes and least, as far as can be heard, with {evenest.name}, "
        f"{percent_band(evenest.half_orders)}: build that where an even note is wanted."
    )


def _said(word: str) -> str:
    return {"cannot tell": "which cannot be told from nothing"}.get(word, f"{word}")


def speed_range(speeds: tuple[float, ...]) -> str:
    """Return the speeds of a comparison as the start of a sentence.

    >>> speed_range((314.159265, 628.318531))
    'Over 3000 rpm to 6000 rpm'
    """
    first, last = (quantity(speed, "speed") for speed in (speeds[0], speeds[-1]))
    return f"At {first}" if len(speeds) == 1 else f"Over {first} to {last}"


def unsettled_said(unsettled: int, simulations: int) -> list[str]:
    """Return how many simulations did not come to a cycle that repeats, if some did not.

    >>> unsettled_said(0, 36), len(unsettled_said(2, 36))
    ([], 1)
    """
    if not unsettled:
        return []
    return [
        f"In {unsettled} of {simulations} simulations the cycle did not repeat: the last one "
        "counts."
    ]


def crossover_assumptions(answer: CrossoverComparison) -> list[str]:
    """Return what the comparison of crossovers assumes beyond the exhaust flow."""
    return [
        "Every crossover stands in the same place with the same length from end to end: the runs "
        "beside it take up the difference.",
        *_bends(answer),
        *unsettled_said(answer.unsettled, answer.simulations),
        *comparison_assumptions(answer.system, answer.flow, answer.pulses, len(answer.speeds)),
    ]


def _bends(answer: CrossoverComparison) -> list[str]:
    """Return what the parallel X's are cut from, for one that was not asked for by name."""
    bends = dict.fromkeys(
        f"{quantity(float(one.joint.bend.angle), 'angle')} bends on a radius of "
        f"{quantity(float(one.joint.bend.clr), 'cut')}"
        for one in answer.options
        if isinstance(one.joint, ParallelX)
    )
    return [f"Parallel X's are cut from {listed(list(bends))}."] if bends else []


def comparison_assumptions(
    system: System, flow: ExhaustFlow, pulses: Pulses, speeds: int
) -> list[str]:
    """Return what every comparison by pulses assumes."""
    headers = with_headers(system, flow.engine, pulses.primary)
    cam = "the cam's angles, the size of the valves, " if pulses.cam == STOCK_CAM else ""
    return [
        f"Gains are the mean of {speeds} engine speeds, each with the duty's mixture and "
        "volumetric efficiency; at one speed waves may turn the order round.",
        "The band takes in both junction models, momentum along the way on and one pressure in all "
        f"legs, and {pulses.samples} draws of air, gas temperature, friction, losses, heat, {cam}"
        f"and what the window of an X loses ({WINDOW_LOSSES.low:g} to {WINDOW_LOSSES.high:g} "
        "heads).",
        "Power is what pushing the gas out costs, and fresh charge that gas left behind keeps out "
        f"at compression ratio {flow.engine.compression_ratio:g}, gross work being brake work over "
        f"{MECHANICAL_EFFICIENCY:g}; no wave of the intake.",
        *pulse_assumptions(system, headers.said, pulses),
        *service_assumptions(system)[1:],
    ]
