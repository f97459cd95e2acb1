"""The job sheet: one content list, rendered to a folder of files.

`save_sheet` asks every question of a job and writes job-sheet.pdf and its twin job-sheet.html,
results.json, cut-list.csv, templates.pdf, templates.dxf and manifest.json.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from exhaust import show
from exhaust.sheet.folder import NAMES, PAGES, checked_folder, write_folder

if TYPE_CHECKING:
    from exhaust.sheet.answers import Answers
    from exhaust.sheet.content import Chapter

    Each = Callable[[Sequence[Chapter]], Iterable[Chapter]]

__all__ = ["save_sheet", "sheet_files"]


def sheet_files(
    answers: Answers,
    today: date | None = None,
    each: Each | None = None,
    paper: str | None = None,
) -> dict[str, bytes]:
    """Return the files of the job sheet, name to bytes; the same for the same job and day.

    `each` goes over the chapters as they are made, to show progress; `paper` is "A4" or "Letter",
    or what the job's unit system goes with.
    """
    from exhaust.sheet.content import pages
    from exhaust.sheet.cut_list import cut_list
    from exhaust.sheet.html import sheet_html
    from exhaust.sheet.job_pdf import job_pdf
    from exhaust.sheet.paging import checked_paper, usual_paper
    from exhaust.sheet.results import results_json
    from exhaust.sheet.templates import templates_files

    job, day = answers.job, today or date.today()
    size = usual_paper(job.units) if paper is None else checked_paper(paper)
    made = pages(answers, each or iter)
    with show.shown_in(job.units):
        files = {
            "job-sheet.pdf": job_pdf(job, made, day, size),
            "job-sheet.html": sheet_html(job, made, day),
            "results.json": results_json(job, answers.results()),
        }
        if answers.plan is not None:
            files["cut-list.csv"] = cut_list(answers.plan, job.units)
        what = answers.cut or job.system.joint
        if what is not None:
            files |= templates_files(what, job.name, size.name)
    return files


def save_sheet(
    answers: Answers,
    folder: str | Path,
    today: date | None = None,
    each: Each | None = None,
    paper: str | None = None,
) -> tuple[Path, ...]:
    """Write the job sheet to `folder` and return the paths of its files.

    Raises `ExhaustError` before anything is computed when the folder cannot be used or holds
    something in the way that is not ours to replace. `each` and `paper` as in `sheet_files`.

    >>> import tempfile
    >>> from exhaust.job import load_job
    >>> from exhaust.sheet.answers import Answers
    >>> from exhaust.tables import shipped
    >>> job = load_job(shipped("data") / "jobs" / "v8-parallel-x.toml")
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     [path.name for path in save_sheet(Answers(job), folder)]
    ['job-sheet.pdf', 'job-sheet.html', 'results.json', 'cut-list.csv', 'templates.pdf', ...]
    """
    folder = Path(folder)
    checked_folder(folder, PAGES if answers.job.system.joint is None else NAMES)
    return write_folder(folder, sheet_files(answers, today, each, paper))
