"""The job sheet: one content list, rendered to a folder of files.

`save_sheet` asks every question of a job and writes job-sheet.html, results.json, cut-list.csv,
templates.pdf, templates.dxf and manifest.json.
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

PAPER: dict[show.System, str] = {"inch": "Letter", "metric": "A4"}  # that templates are printed on

__all__ = ["save_sheet", "sheet_files"]


def sheet_files(
    answers: Answers, today: date | None = None, each: Each | None = None
) -> dict[str, bytes]:
    """Return the files of the job sheet, name to bytes; the same for the same job and day.

    `each` goes over the chapters as they are made, to show progress.
    """
    from exhaust.sheet.content import pages
    from exhaust.sheet.cut_list import cut_list
    from exhaust.sheet.html import sheet_html
    from exhaust.sheet.results import results_json
    from exhaust.sheet.templates import templates_files

    job = answers.job
    made = pages(answers, each or iter)
    with show.shown_in(job.units):
        files = {
            "job-sheet.html": sheet_html(job, made, today or date.today()),
            "results.json": results_json(job, answers.results()),
        }
        if answers.plan is not None:
            files["cut-list.csv"] = cut_list(answers.plan, job.units)
        what = answers.cut or job.system.joint
        if what is not None:
            files |= templates_files(what, job.name, PAPER[job.units])
    return files


def save_sheet(
    answers: Answers, folder: str | Path, today: date | None = None, each: Each | None = None
) -> tuple[Path, ...]:
    """Write the job sheet to `folder` and return the paths of its files.

    Raises `ExhaustError` before anything is computed when the folder cannot be used or holds
    something in the way that is not ours to replace.

    >>> import tempfile
    >>> from exhaust.job import load_job
    >>> from exhaust.sheet.answers import Answers
    >>> from exhaust.tables import shipped
    >>> job = load_job(shipped("data") / "jobs" / "v8-parallel-x.toml")
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     [path.name for path in save_sheet(Answers(job), folder)]
    ['job-sheet.html', 'results.json', 'cut-list.csv', 'templates.pdf', 'templates.dxf', ...]
    """
    folder = Path(folder)
    checked_folder(folder, PAGES if answers.job.system.joint is None else NAMES)
    return write_folder(folder, sheet_files(answers, today, each))
