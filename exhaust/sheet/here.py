"""The folder of a job sheet, written where a notebook runs."""

from __future__ import annotations

import html
from itertools import count
from pathlib import Path

import attrs

from exhaust.errors import ExhaustError
from exhaust.job.working import origin_of, working_folder
from exhaust.sheet import save_sheet
from exhaust.sheet.answers import Answers
from exhaust.sheet.folder import NAMES, checked_folder

WHAT = {
    "job-sheet.pdf": "to print: one page for the customer, then the shop's",
    "job-sheet.html": "the same on a screen",
    "results.json": "every number, in SI",
    "cut-list.csv": "every piece, for a spreadsheet",
    "templates.pdf": "outlines of the cuts at actual size, to print",
    "templates.dxf": "the same to plot or to cut",
    "manifest.json": "what was written here, so that a changed file is never replaced",
}


@attrs.frozen(kw_only=True, repr=False)
class SavedSheet:
    """A job sheet that was written: its `folder` and the `files` in it."""

    folder: Path
    files: tuple[Path, ...]

    def __repr__(self) -> str:
        return f"Written to {self.folder.name}: {', '.join(path.name for path in self.files)}"

    def _repr_html_(self) -> str:
        names = [path.name for path in self.files]
        items = "".join(f"<li><b>{name}</b>: {WHAT[name]}</li>" for name in names)
        return f"<p>Written to <b>{html.escape(self.folder.name)}</b></p><ul>{items}</ul>"


def save_sheet_here(answers: Answers) -> SavedSheet:
    """Write the job sheet to a folder named for the job file, beside the notebook.

    The folder of an earlier run is written anew; where something in it was changed, or is somebody
    else's, the next free name is taken. Beside the files that came with the package it goes to the
    system's folder for temporary files.

    >>> import contextlib, tempfile
    >>> from exhaust.job import load_job
    >>> answers = Answers(load_job("v8-parallel-x.toml"))
    >>> with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
    ...     save_sheet_here(answers)
    Written to v8-parallel-x-sheet: job-sheet.pdf, job-sheet.html, results.json, cut-list.csv, ...
    """
    beside, stem = working_folder(make=True), Path(origin_of(answers.job)).stem
    for number in count(1):
        folder = beside / (f"{stem}-sheet" if number == 1 else f"{stem}-sheet-{number}")
        try:
            checked_folder(folder, NAMES)
            break
        except ExhaustError:
            if not folder.exists():  # it is the place itself that cannot be written to
                raise
    return SavedSheet(folder=folder, files=save_sheet(answers, folder))
