"""Readings at the test port: blanks to fill in, and what they say. It only arranges results."""

from __future__ import annotations

from exhaust import plots
from exhaust.sheet.answers import Answers
from exhaust.sheet.arrange import banded
from exhaust.sheet.blocks import Block, Checks, Facts, Grid, Group, Heading, Items, Page, Words
from exhaust.sheet.figures import Figures

HOW = (
    "Once it is built: full load, warm, each speed held until the gauge stands still, and a gauge "
    "that reads nought with the engine off; of several pipes the mean. A length of steel line "
    "between port and hose keeps the hose from burning. Put the readings into [after_build] of the "
    "job file and print the sheet again: it says whether they are as predicted, and what was not."
)
SAID = (
    "What a gauge read at the test port at full load, over what was predicted there before. The "
    "reading's bar is how far the gauge may be off."
)
SHARE = (
    "Named above is what would have to move least, counted in its own range. Share of the band: "
    "how much of the prediction's doubt comes from it."
)


def blanks(answers: Answers) -> list[Block]:
    """Return room to write the readings in, beside what is expected; nothing once they are read."""
    if answers.after_build is not None:
        return []
    port = answers.port
    return [Group([Heading(port.title), Words(HOW), Checks(port.facts())])]


def after_build_page(answers: Answers, figures: Figures) -> Page:
    """Return the readings over the prediction, and what would have to move to meet them."""
    found = answers.after_build
    assert found is not None
    blocks: list[Block] = [
        Words(SAID),
        Words(found.reason),
        figures.plot(plots.measured_back_pressure, found),
        Facts(banded(found.facts())),
        Grid(found.rows()),
        Heading("Each assumption moved alone to meet the readings"),
        Grid(found.moves_rows(), SHARE),
    ]
    if found.next_job:
        blocks += [Heading("For the next job"), Items(found.next_job)]
    if found.notes:
        blocks += [Heading("Mind"), Items(found.notes)]
    return Page("After the build", blocks, fresh=True)
