"""The pages for the shop: the cut sheet, and parts and stock. Adds no physics: it arranges."""

from __future__ import annotations

from exhaust import plots
from exhaust.cutmath import Step
from exhaust.sheet.answers import Answers
from exhaust.sheet.arrange import banded, narrowed
from exhaust.sheet.blocks import Block, Checks, Facts, Grid, Group, Heading, Items, Page, Words
from exhaust.sheet.figures import Figures

# What of the wide tables fits on a sheet of paper; results.json and cut-list.csv have all of it.
CUT_COLUMNS = ("label", "what", "pieces", "stock", "length", "mass")
FIT_SCALE = 0.75  # of the figure on paper: all of the page on one sheet
MARK_COLUMNS = ("towards", "clock", "round", "along_heel", "to_end")


def cut_page(answers: Answers, figures: Figures) -> Page:
    """Return the cut sheet: parts, then every step with settings, drawings and checks."""
    cut = answers.cut
    assert cut is not None
    blocks: list[Block] = [Heading("Parts"), Grid(narrowed(cut.rows(), CUT_COLUMNS))]
    blocks += [Items(cut.cautions, boxed=True)]
    for number, step in enumerate(cut.steps, start=1):
        blocks += _step(number, step, figures)
    blocks += _marks(answers)
    blocks += [
        Heading("Dimensions after tacking and after welding"),
        Grid(cut.finished, "Each weld draws in a little: leave it room, and measure after both."),
    ]
    return Page("Cut sheet", blocks, fresh=True)


def _step(number: int, step: Step, figures: Figures) -> list[Block]:
    """Return a step kept on one sheet of paper, but for what is measured after a drawing."""
    marks = "all parts" if step.parts == "all" else f"marked {' '.join(step.parts.split())}"
    opening: list[Block] = [Heading(f"{number}. {step.title} ({marks})"), Words(step.words)]
    if step.settings:
        opening.append(Facts(step.settings))
    if step.poses:
        opening.append(figures.drawings(step.poses))
    checks = [Checks(step.checks)] if step.checks else []
    return [Group(opening), *checks] if step.poses else [Group([*opening, *checks])]


def _marks(answers: Answers) -> list[Block]:
    """Return the marks for the cut on a bend, in place of a template."""
    marks = answers.marks
    if marks is None:
        return []
    words = Words(
        "In place of a template, which cannot be laid on a bend: a tape along the heel and a tape "
        "round the tube. Join the marks, and saw to the line."
    )
    grid = Grid(narrowed(marks.rows(), MARK_COLUMNS), "Every column: results.json.")
    return [Heading(marks.title), words, Facts(marks.facts()), grid]


def fit_page(answers: Answers, figures: Figures) -> Page:
    """Return the fit to expect: chance and ends, seam by seam, what makes it, what to do."""
    fit = answers.fit
    assert fit is not None
    return Page(
        fit.title,
        [
            Words(fit.reason),
            Facts(banded(fit.facts())),
            Grid(
                fit.rows(),
                "Worst, here and above: 19 of 20 are under it. A step of more than the wall: edges "
                "that do not meet.",
            ),
            figures.plot(plots.fit_shares, fit, FIT_SCALE),
            Heading("Before the first cut"),
            Items(fit.advice),
        ],
        fresh=True,
    )


def stock_page(answers: Answers, figures: Figures) -> Page:
    """Return every piece, what it is sawn from, what to buy, to weld and to purge."""
    plan = answers.plan
    assert plan is not None
    blocks: list[Block] = [
        Words(f"{plan.reason}."),
        Facts(plan.facts()),
        Items(plan.cautions, boxed=True),
        Heading("Parts"),
        Grid(plan.parts_rows(), "The joint's parts first; 1a, 1b … are pieces of the first run."),
        Group([Heading("What is sawn from what"), figures.plot(plots.stock_cuts, plan)]),
        Grid(plan.rows(), "Cuts in order, each with its length or its angle."),
        Heading("Welds"),
        Grid(plan.seams_rows()),
    ]
    return Page(plan.title, blocks, fresh=True)
