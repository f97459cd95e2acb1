"""What stands on the job sheet, page by page. Adds no physics: it only arranges results."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from exhaust import plots, show, tables
from exhaust.choices.ports import sensor_warnings
from exhaust.cutmath.plan import plan
from exhaust.job import Job
from exhaust.joints.h_pipe_numbers import HPipeNumbers
from exhaust.joints.numbers import JointNumbers
from exhaust.joints.y_merge_numbers import YMergeNumbers
from exhaust.sheet.after_build_page import after_build_page, blanks
from exhaust.sheet.answers import Answers
from exhaust.sheet.arrange import as_written, banded, narrowed
from exhaust.sheet.blocks import (
    Block,
    Drawing,
    Facts,
    Grid,
    Group,
    Heading,
    Items,
    Page,
    Words,
)
from exhaust.sheet.customer import customer_page
from exhaust.sheet.figures import Figures
from exhaust.sheet.measured_page import measured_page
from exhaust.sheet.shop_pages import cut_page, fit_page, stock_page
from exhaust.show import Fact, Result

# What of the wide tables fits on a sheet of paper; results.json has every column.
TUBE_COLUMNS = (
    *("tube", "velocity", "outlet_mach", "back_pressure_gauge"),
    *("power_cost", "power_cost_low", "power_cost_high", "mass_per_length", "verdict"),
)
MERGE_COLUMNS = (
    *("outlet", "area_ratio", "cutback", "stretch_at_half", "loss"),
    *("power_cost", "power_cost_low", "power_cost_high", "verdict"),
)


class Chapter(NamedTuple):
    """One page to be made: its name for the progress line, and what makes it."""

    name: str
    page: Callable[[Answers, Figures], Page]


def chapters(job: Job) -> tuple[Chapter, ...]:
    """Return the pages of a job sheet in order; those on the joint only if there is one.

    >>> from exhaust.job import load_job
    >>> job = load_job(tables.shipped("data") / "jobs" / "v8-parallel-x.toml")
    >>> [chapter.name for chapter in chapters(job)][:2]
    ['customer', 'answers']
    """
    found = [
        Chapter("customer", customer_page),
        Chapter("answers", answers_page),
        Chapter("job", job_page),
        Chapter("gas flow", flow_page),
        Chapter("system", system_page),
    ]
    if job.after_build is not None:
        found.append(Chapter("after the build", after_build_page))
    found.append(Chapter("tube", tube_page))
    if job.outlets:
        found.append(Chapter("merge", merge_page))
    if job.system.joint is not None:
        if job.measured is not None:
            found.append(Chapter("as measured", measured_page))
        found += [Chapter("joint", joint_page), Chapter("cut sheet", cut_page)]
        found.append(Chapter("fit-up", fit_page))
    if job.saw is not None:
        found.append(Chapter("parts and stock", stock_page))
    return (*found, Chapter("assumptions", assumptions_page), Chapter("cautions", cautions_page))


def pages(answers: Answers, each: Callable[[Sequence[Chapter]], Iterable[Chapter]]) -> list[Page]:
    """Return every page in the job's unit system; `each` goes over the chapters, to be watched."""
    figures = Figures()
    with show.shown_in(answers.job.units):
        return [chapter.page(answers, figures) for chapter in each(chapters(answers.job))]


def answers_page(answers: Answers, figures: Figures) -> Page:
    """Return the answers in short."""
    lines = list(headlines(answers))
    blocks: list[Block] = [Facts(lines, large=True)]
    warned = warnings(answers)
    if warned:
        blocks += [Heading("Mind before sawing"), Items(warned, boxed=True)]
    return Page("For the shop", blocks, fresh=True)


def warnings(answers: Answers) -> list[str]:
    """Return what must be known before a saw is set."""
    found = []
    choice, tube = answers.tubes.choice, answers.job.system.tube
    if choice != tube:
        found.append(
            f"The answer is {choice.name}, but the job is written in {tube.name}: everything to "
            "saw and measure here is for the job as written. To build it in the other tube, "
            "change [tube] and every clr in the job file and print the sheet again"
        )
    found += sensor_warnings(answers.job.system, answers.job.engine)
    if answers.room is not None and not all(one.fits for one in answers.room.fits):
        found.append(answers.room.reason)
    if answers.cut is not None:
        found += answers.cut.warnings
    return found


def headlines(answers: Answers) -> tuple[Fact, ...]:
    """Return the answers of the job, a line each: the tube, the merge, what to saw."""
    job, tubes, merges = answers.job, answers.tubes, answers.merges
    cost = tubes.chosen.power_cost
    band = show.spread(cost.low, cost.high, "percent", job.units)
    found = [Fact("Tube", tubes.choice.name, note=f"costs {band} of power")]
    if merges is not None:
        met = "as" if _has_a_merge(job) else "if"
        note = f"outlet, {met} the two pipes of {merges.leg.name} are merged into one"
        found.append(Fact("Merge", merges.choice.name, note=note))
    if isinstance(answers.joint, (JointNumbers, YMergeNumbers)):
        note = "from the stop, touching the heel, to the kept side of the blade"
        found.append(Fact("Saw stop", answers.joint.joint.cut_depth, "cut", note))
    if isinstance(answers.joint, HPipeNumbers):
        note = "long point to long point; what is left for the grinder is on the cut sheet"
        found.append(Fact("Balance tube", answers.joint.joint.blank_length, "cut", note))
    return tuple(found)


def _has_a_merge(job: Job) -> bool:
    """Return whether the job's pipes meet in one as it is written."""
    return job.system.pipes == 1


def job_page(answers: Answers, figures: Figures) -> Page:
    """Return who and what the job is, and the job file as it was typed."""
    job = answers.job
    blocks: list[Block] = [Words(job.about.note)] if job.about.note else []
    blocks.append(Group(tuple(as_written(job)), "columns"))
    return Page("The job as written", blocks)


def flow_page(answers: Answers, figures: Figures) -> Page:
    """Return the gas that the exhaust has to carry."""
    words = Words(
        "What the engine breathes out at full load, and how hot it is. Everything after this "
        "page is worked from these numbers."
    )
    rows = answers.flow.rows()
    blocks: list[Block] = [words, Facts(banded(answers.flow.facts()))]
    if rows is not None:
        blocks += [Heading("What the gas is made of"), Grid(rows)]
    return Page("The gas", blocks)


def system_page(answers: Answers, figures: Figures) -> Page:
    """Return the exhaust as written: pressure, heat and growth from place to place."""
    result = answers.through
    blocks: list[Block] = [
        Words(result.reason),
        Facts(banded(result.facts())),
        figures.plot(plots.flow_along, result),
        Grid(result.rows()),
        Heading("Mind"),
        Items(result.notes),
        *blanks(answers),
        figures.plot(plots.band_shares, result),
    ]
    if answers.room is not None:
        room = answers.room
        blocks += [Heading(room.title), Words(room.reason), Facts(room.facts())]
    return Page("The exhaust as written", blocks, fresh=True)


def tube_page(answers: Answers, figures: Figures) -> Page:
    """Return the choice of tube."""
    result = answers.tubes
    figure = figures.plot(plots.tube_comparison, result)
    blocks = _choice(result, result.reason, figure, TUBE_COLUMNS)
    over = answers.speeds
    speeds = figures.plot(plots.over_speeds, over)
    blocks.append(Group([Heading(over.title), Words(over.reason), speeds, Facts(over.facts())]))
    return Page("Which tube", blocks, fresh=True)


def merge_page(answers: Answers, figures: Figures) -> Page:
    """Return the choice of outlet after a merge."""
    result = answers.merges
    assert result is not None
    words = (
        "What if the two pipes ran into one? The merge is weighed in the same tube and in the "
        "larger outlets on the shelf; it is another way to build the exhaust, beside the joint."
    )
    if _has_a_merge(answers.job):
        words = (
            "Two pipes run into one, which goes on alone. The merge is weighed in their own tube "
            "and in the larger outlets on the shelf, all that follows in the outlet's tube."
        )
    figure = figures.plot(plots.merge_comparison, result)
    blocks = _choice(result, result.reason, figure, MERGE_COLUMNS)
    return Page("Which merge", [Words(words), *blocks], fresh=True)


def _choice(result: Result, reason: str, figure: Drawing, columns: Sequence[str]) -> list[Block]:
    """Return why, the headline lines, the figure and the columns that fit on paper."""
    facts = [fact for fact in result.facts() if fact.value != reason]
    rows = result.rows()
    grid = [] if rows is None else [Grid(narrowed(rows, columns), "Every column: results.json.")]
    return [Words(reason), Facts(banded(facts)), figure, *grid]


def joint_page(answers: Answers, figures: Figures) -> Page:
    """Return what the joint measures and what it leaves open for the gas."""
    joint = answers.joint
    assert joint is not None
    blocks: list[Block] = [figures.drawings(plan(joint.joint))]
    if isinstance(joint, HPipeNumbers):
        blocks += [Heading("The balance tube"), Facts(joint.balance_tube())]
    blocks += [
        *(Heading("What it measures"), Facts(joint.dimensions())),
        *(Heading("What the gas sees"), Facts(joint.openings())),
    ]
    return Page(joint.title, blocks, fresh=True)


def assumptions_page(answers: Answers, figures: Figures) -> Page:
    """Return everything that was assumed, by result."""
    blocks: list[Block] = [
        Words(
            "Each line can be replaced by a measured value in the job file; the first of each "
            "matters most."
        )
    ]
    said: set[str] = set()
    for result in answers.results().values():
        new = [line for line in result.assumptions if line not in said]
        said.update(new)
        if new:
            blocks += [Heading(result.title), Items(new)]
    return Page("What was assumed", blocks)


def cautions_page(answers: Answers, figures: Figures) -> Page:
    """Return the cautions that belong on a sheet."""
    at_work = [] if answers.cut is None else list(answers.cut.cautions)
    at_work += [] if answers.plan is None else answers.plan.cautions
    lines = [text for text in tables.cautions("sheet") if text not in at_work]
    words = Words(
        "Common practice in plain words. Local codes and the people licensed for the work come "
        "before anything on this sheet."
        + (" Those for the saw, the torch and the purge stand beside that work." if at_work else "")
    )
    return Page("Cautions", [words, Items(lines)])
