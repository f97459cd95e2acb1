"""One line of the form: what is asked, a box to type in, and what is wrong with it beside it."""

from __future__ import annotations

import html
from collections.abc import Callable, Sequence

import ipywidgets as widgets

from exhaust.job.entries import Entry

Changed = Callable[[str, str], None]  # (place, what was typed)

NAME, BOX, BESIDE = "200px", "260px", "100%"
USUAL = "usual: "
STYLE = """<style>
.exhaust-form .name { text-align: right; line-height: 1.25; padding-top: 5px; }
.exhaust-form .beside { line-height: 1.3; padding-top: 5px; }
.exhaust-form .remark { color: #666; }
.exhaust-form .said { line-height: 1.4; max-width: 60em; }
.exhaust-form .wrong, .exhaust-live .wrong { color: #8f1d1d; font-weight: 600; }
.exhaust-live .widget-button { margin-left: 16px; }
.exhaust-live .widget-html-content, .exhaust-live p, .exhaust-live li { line-height: 1.4; }
.exhaust-live p { margin: 4px 0; }
.exhaust-live h4, .exhaust-live h5 { margin: 12px 0 4px 0; font-size: 14px; }
.exhaust-live td, .exhaust-live th { padding: 2px 12px 2px 0; vertical-align: top; }
.exhaust-live ul { margin: 4px 0; }
</style>"""


class Row:
    """One entry of the job file in the form; `changed` is told what is typed into it.

    >>> from exhaust.job.entries import sections_of
    >>> od = sections_of('units = "inch"\\n[tube]\\nod = "3 in"')["tube"][0]
    >>> row = Row(od, print)
    >>> row.box.value = "2-1/2"
    tube.od 2-1/2
    """

    def __init__(self, entry: Entry, changed: Changed, words: str = "") -> None:
        self.entry = entry
        self._quiet = False
        self._changed = changed
        name = html.escape(words or entry.words)
        self.box = _box(entry)
        self.beside = widgets.HTML(layout=widgets.Layout(width=BESIDE))
        label = widgets.HTML(
            f'<div class="name">{name}</div>', layout=widgets.Layout(width=NAME, flex="0 0 auto")
        )
        self.widget = widgets.HBox(
            [label, self.box, self.beside], layout=widgets.Layout(align_items="flex-start")
        )
        self.box.observe(self._typed, "value")
        self.show(entry, ())

    def _typed(self, change: dict[str, object]) -> None:
        if not self._quiet:
            self._changed(self.entry.place, str(change["new"]))

    def show(self, entry: Entry, mistakes: Sequence[str]) -> None:
        """Show what stands in the file now, and beside it what is wrong with it."""
        self.entry = entry
        self._quiet = True
        try:
            if self.box.value != entry.typed:
                if entry.choices and entry.typed not in dict(self.box.options).values():
                    self.box.options = _options(entry)
                self.box.value = entry.typed
        finally:
            self._quiet = False
        self.beside.value = beside_html(entry, mistakes)


def beside_html(entry: Entry, mistakes: Sequence[str]) -> str:
    """Return what stands beside the box of an entry: its unit, then what is wrong, or the remark.

    >>> from exhaust.job.entries import sections_of
    >>> od = sections_of('units = "inch"\\n[tube]\\nod = "3 in"  # <b>')["tube"][0]
    >>> beside_html(od, [])
    '<div class="beside">in <span class="remark">&lt;b&gt;</span></div>'
    """
    parts = [html.escape(entry.unit.replace("^3", "³"))] if entry.unit else []
    if mistakes:
        said = "<br>".join(html.escape(one) for one in mistakes)
        parts.append(f'<span class="wrong">{said}</span>')
    elif entry.remark or not entry.in_line:
        note = entry.remark if entry.in_line else "change this one in the file itself"
        parts.append(f'<span class="remark">{html.escape(note)}</span>')
    return f'<div class="beside">{" ".join(parts)}</div>'


def _box(entry: Entry) -> widgets.Text | widgets.Dropdown:
    layout = widgets.Layout(width=BOX, flex="0 0 auto")
    if entry.choices:
        return widgets.Dropdown(options=_options(entry), value=entry.typed, layout=layout)
    hint = f"{USUAL}{entry.usual}" if entry.usual else ""
    if entry.key.required and not entry.typed:
        hint = "needed"
    return widgets.Text(
        value=entry.typed,
        placeholder=hint,
        disabled=not entry.in_line,
        continuous_update=False,
        layout=layout,
    )


def _options(entry: Entry) -> list[tuple[str, str]]:
    """Return what a list to choose from offers; what stands in the file is always among it."""
    left_out = f"{USUAL}{entry.usual}" if entry.usual else "–"
    offered = [(one, one) for one in entry.choices]
    if entry.typed and entry.typed not in entry.choices:
        offered.insert(0, (entry.typed, entry.typed))
    return [(left_out, ""), *offered]
