"""The first page of a job sheet: for the customer, on one sheet of paper, in plain words."""

from __future__ import annotations

from exhaust import plots, show
from exhaust.bands import Band
from exhaust.sheet.answers import Answers
from exhaust.sheet.arrange import opened
from exhaust.sheet.blocks import Block, Facts, Heading, Items, Page, Words
from exhaust.sheet.figures import Figures
from exhaust.show import Fact

LEGAL = "Noise, emissions and catalysts are matters of local law; this page does not judge them."
STEADY = "The mean of the engine's pulses is weighed, not each pulse: those are another question."
MOVES = "what moves the answer most"
NOT_SURE = "In brackets: what the answer lies between nine times in ten, if what is below holds."
SCALE = 0.68  # of the figures: both, and all that is said, on one sheet of paper


def customer_page(answers: Answers, figures: Figures) -> Page:
    """Return what is to be built, why, how sure that is, and what was assumed."""
    return Page(
        "What we would build",
        [
            Facts(_choice(answers), large=True),
            Heading("Why"),
            Words(answers.tubes.reason),
            Words(NOT_SURE),
            *_figures(answers, figures),
            Heading("What this rests on"),
            Items(_assumed(answers)),
        ],
    )


def _choice(answers: Answers) -> list[Fact]:
    """Return the tube, what joins the pipes, and what the engine pays for it."""
    tubes, through = answers.tubes, answers.through
    chosen, joint = tubes.chosen, answers.joint
    cost = chosen.power_cost
    found = [Fact("Tube", tubes.choice.name, note=f"in {tubes.choice.material}")]
    if joint is not None:
        found.append(Fact("Joint", opened(joint.title.removeprefix("The "))))
    text = f"{show.number(cost.middle, 'percent')} ({_spread(cost, 'percent')})"
    speed = show.quantity(answers.job.duty.speed, "speed")
    found.append(Fact("Power it costs", text, note=f"at {speed}, of all the engine makes"))
    if tubes.choice == answers.job.system.tube:
        band = through.back_pressure
        text = f"{show.number(band.middle, 'pressure')} ({_spread(band, 'pressure')})"
        found.append(Fact("Back pressure", text, note="above the air outside, ahead of it all"))
    else:
        found.append(Fact("Back pressure", chosen.back_pressure, "pressure"))
    return found


def _spread(band: Band, kind: str) -> str:
    return show.spread(band.low, band.high, kind)


def _figures(answers: Answers, figures: Figures) -> list[Block]:
    """Return the two figures: every tube on the shelf, at this speed and over all."""
    return [
        figures.plot(plots.tube_comparison, answers.tubes, SCALE),
        figures.plot(plots.over_speeds, answers.speeds, SCALE),
    ]


def _assumed(answers: Answers) -> list[str]:
    """Return what matters most of what was assumed, and what the sheet does not decide."""
    moves = [fact for fact in answers.through.facts() if fact.name == MOVES]
    return [
        *answers.flow.assumptions[:2],
        *(f"{opened(fact.name)}: {fact.text()} of the band." for fact in moves),
        STEADY,
        LEGAL,
    ]
