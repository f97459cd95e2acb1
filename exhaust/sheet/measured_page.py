"""What was measured at the bench, on the job sheet. Adds no physics: it only arranges a result."""

from __future__ import annotations

from exhaust.sheet.answers import Answers
from exhaust.sheet.blocks import Block, Facts, Grid, Heading, Items, Page, Words

SAID = (
    "Readings from the job file beside what was written. The joint and the cut sheet after this "
    "page are for the metal as measured."
)


def measured_page(answers: Answers, figures: object) -> Page:
    """Return the readings, the settings that move, and what to mind."""
    found = answers.measured
    assert found is not None
    blocks: list[Block] = [Words(SAID), Words(found.reason + "."), Grid(found.rows())]
    if found.changes:
        blocks += [Heading("What changes at the saw"), Facts(found.facts())]
    if found.warnings:
        blocks += [Heading("Mind"), Items(found.warnings)]
    return Page(found.title, blocks, fresh=True)
