"""The form as a user handles it: fold, type, read."""

from __future__ import annotations

import html
import re
from typing import Any

from exhaust.form import JobForm

V8, V6, FOUR = "v8-parallel-x.toml", "v6-h-pipe.toml", "inline-four-y-merge.toml"


def opened(form: JobForm, section: str) -> None:
    """Unfold a section, as by a click on its title."""
    form.rest.selected_index = list(form.draft.sections).index(section)


def typed(form: JobForm, place: str, text: str) -> None:
    if place not in form.rows:
        opened(form, place.rpartition(".")[0])
    form.rows[place].box.value = text


def words(widget: Any) -> str:
    """What can be read in an HTML widget."""
    return html.unescape(re.sub(r"<style>.*?</style>|<[^>]+>", " ", widget.value, flags=re.DOTALL))
