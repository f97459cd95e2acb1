"""The answer about tubes in words: why this one, and what was assumed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from exhaust.choices.assumed import cost_assumptions, service_assumptions
from exhaust.choices.choosing import percent, percent_band, turned, why_this
from exhaust.choices.limits import misfits, misfits_in_words
from exhaust.show import listed

if TYPE_CHECKING:
    from exhaust.choices.tubes import TubeComparison, TubeInFlow

# Sizing rules heard in every shop: common practice, no source. Shown beside the answer only.
RULE_VELOCITY = (75.0, 105.0)  # mean, at peak power, for a quiet street system [m/s]
RULE_MACH = 0.3
MOST_NAMES = 3  # more are said as a range


def tube_reason(answer: TubeComparison) -> list[str]:
    """Return why the chosen tube, sentence by sentence; the last says what to buy."""
    chosen = answer.chosen
    fitting = [one for one in answer.options if one.fits]
    said = [f"{chosen.tube.name} costs {percent_band(chosen.power_cost)} of power."]
    if len(fitting) == 1:
        said.append("Nothing else fits.")
    elif chosen.tube == answer.best:
        last = chosen is answer.options[-1]
        more = ", and nothing larger was given" if last and not answer.refused else ""
        said.append(f"Nothing that fits costs less{more}.")
    else:
        said += _larger(answer, fitting)
    said += _smaller(answer, fitting)
    said += _unfit(answer)
    said += [f"{tube.name} is left out: {why}." for tube, why in answer.refused]
    why = why_this(answer.choice == answer.best, chosen.verdict.word)
    return [*said, f"Buy {chosen.tube.name}{why}."]


def _larger(answer: TubeComparison, fitting: Sequence[TubeInFlow]) -> list[str]:
    """Return what can be said of the best against the chosen, and of those between."""
    saves = turned(answer.chosen.verdict.difference)
    worth = percent(answer.limits.worth_having)
    word = answer.chosen.verdict.word
    said = f"{answer.best.name}, the best, would save {percent_band(saves)}"
    if word == "cannot tell":
        first = f"{said}: cannot tell whether that reaches the {worth} worth having."
    else:
        first = f"{said}: not worth deciding on (less than {worth})."
    return [first, *_no_different(answer, fitting)]


def _no_different(answer: TubeComparison, fitting: Sequence[TubeInFlow]) -> list[str]:
    """Return which tubes between the chosen and the best the verdict does not set apart."""
    said = []
    for word in ("cannot tell", "not worth deciding on"):
        names = [
            one.tube.name
            for one in fitting
            if one.verdict.word == word and one.tube not in (answer.best, answer.choice)
        ]
        if names:
            those = listed(names) if len(names) <= MOST_NAMES else f"{names[0]} to {names[-1]}"
            said.append(f"Against the best, {those}: {word}.")
    return said


def _smaller(answer: TubeComparison, fitting: Sequence[TubeInFlow]) -> list[str]:
    """Return what the next smaller tube would cost."""
    worse = [one for one in fitting if one.verdict.word == "worse"]
    if not worse:
        return []
    nearest = worse[-1]
    more = turned(nearest.verdict.difference)
    than = answer.best.name if answer.choice == answer.best else "the best"
    return [f"{nearest.tube.name} costs {percent_band(more)} more than {than}: worse."]


def _unfit(answer: TubeComparison) -> list[str]:
    """Return why tubes do not fit, those with one reason together."""
    return misfits_in_words(
        {
            one.tube: misfits(one.tube, one.choked, one.back_pressure, answer.limits)
            for one in answer.options
        }
    )


def tube_assumptions(answer: TubeComparison) -> list[str]:
    """Return what the comparison assumes beyond the exhaust flow."""
    return service_assumptions(answer.system) + cost_assumptions(answer.flow)
