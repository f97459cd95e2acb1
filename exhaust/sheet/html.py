"""A sheet as one HTML file that stands alone: styles and figures are inside it."""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from exhaust import show
from exhaust.sheet.arrange import closing, dated, for_whom, opened
from exhaust.sheet.blocks import Page

if TYPE_CHECKING:
    from collections.abc import Sequence

    from jinja2 import Template

    from exhaust.job import Job

TEMPLATE = "job_sheet.html.jinja"


def sheet_html(job: Job, pages: Sequence[Page], today: date) -> bytes:
    """Return the job sheet as HTML (UTF-8); the same bytes for the same job and day.

    Text from the job is escaped wherever it stands.
    """
    with show.shown_in(job.units):
        text = _template().render(
            job=job,
            pages=pages,
            units=job.units,
            whom=for_whom(job),
            dated=dated(today),
            closing=closing(job),
        )
    return text.encode("utf-8")


@lru_cache(maxsize=1)
def _template() -> Template:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(Path(__file__).parent),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["opened"] = opened
    return environment.get_template(TEMPLATE)
