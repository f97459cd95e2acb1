"""What follows from the job of a form, worked out again whenever that changes."""

from __future__ import annotations

import html
from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as widgets

from exhaust.cutmath import CutSheet, cut_sheet
from exhaust.cutmath.as_measured import as_measured
from exhaust.engine import exhaust_flow
from exhaust.errors import ExhaustError
from exhaust.form.filling import JobForm
from exhaust.form.rows import STYLE
from exhaust.job import Job
from exhaust.show import shown_in
from exhaust.show.result import result_html

Inputs = Callable[[Job], tuple[Any, ...]]  # what an answer depends on
WAIT = "Fill in the form above; then this is worked out."


class Live:
    """Widgets that are filled in again when what they depend on in the job changes."""

    def __init__(self, form: JobForm, inputs: Inputs, fill: Callable[[Job], None]) -> None:
        self.form, self._inputs, self._fill = form, inputs, fill
        self._known: tuple[Any, ...] | None = None
        self.note = widgets.HTML()
        self.body = widgets.VBox()
        self.widget = widgets.VBox([widgets.HTML(STYLE), form.stale, self.note, self.body])
        self.widget.add_class("exhaust-live")

    def start(self) -> widgets.VBox:
        """Watch the form from now on, and return what is shown."""
        self.form.watch(self._changed)
        return self.widget

    def _changed(self, job: Job | None) -> None:
        if job is None:
            self.note.value, self._known = words_html([WAIT]), None
            self.body.layout.display = "none"
            return
        inputs = (job.units, *self._inputs(job))
        if inputs == self._known:
            return
        self.note.value = words_html(["Working it out …"])
        try:
            with shown_in(job.units):
                self._fill(job)
            self.note.value, self.body.layout.display, self._known = "", "", inputs
        except ExhaustError as error:
            self.note.value = words_html(str(error).splitlines())
            self.body.layout.display, self._known = "none", None


def words_html(lines: Sequence[str]) -> str:
    """Return lines as HTML, whatever is in them.

    >>> words_html(["<b>"])
    '<div style="line-height:1.4;max-width:60em">&lt;b&gt;</div>'
    """
    said = "<br>".join(html.escape(line) for line in lines)
    return f'<div style="line-height:1.4;max-width:60em">{said}</div>'


def gas_flow(form: JobForm) -> widgets.VBox:
    """Return what the engine of the form breathes out, kept up to date."""
    shown = widgets.HTML()

    def fill(job: Job) -> None:
        shown.value = result_html(exhaust_flow(job.engine, job.duty, job.ambient), job.units)

    live = Live(form, lambda job: (job.engine, job.duty, job.ambient), fill)
    live.body.children = [shown]
    return live.start()


def saw_settings(form: JobForm) -> widgets.VBox:
    """Return what to set on the saw for the joint of the form, and the drawings when unfolded."""
    shown, drawings = widgets.HTML(), widgets.VBox()
    fold = widgets.Accordion([drawings], selected_index=None)
    fold.set_title(0, "Drawings: each piece as it lies in the saw")
    held: list[CutSheet] = []

    def draw(*_: object) -> None:
        from exhaust import plots

        if fold.selected_index == 0 and held:
            pictures = [plots.pose(one) for one in held[0].poses]
            drawings.children = [
                widgets.Image(value=one._repr_png_(), layout=_as_drawn()) for one in pictures
            ]

    def fill(job: Job) -> None:
        held[:] = [cut_sheet_of(job)]
        shown.value = result_html(held[0], job.units)
        draw()

    fold.observe(draw, "selected_index")
    live = Live(form, lambda job: (job.system.joint, job.saw, job.measured), fill)
    live.body.children = [shown, fold]
    return live.start()


def _as_drawn() -> widgets.Layout:
    return widgets.Layout(max_width="100%", align_self="flex-start")


def cut_sheet_of(job: Job) -> CutSheet:
    """Return the cut sheet of the joint of `job`, for the metal at hand if that was measured."""
    if job.system.joint is None or job.saw is None:
        raise ExhaustError("the job has no joint to saw; describe it in [joint] of the job file")
    if job.measured is None:
        return cut_sheet(job.system.joint, job.saw)
    sheet = as_measured(job.system.joint, job.saw, job.measured).sheet
    if sheet is None:
        raise ExhaustError("everything of the joint was measured: nothing is left to saw")
    return sheet
