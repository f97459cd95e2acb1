"""The form of a job file in a notebook: five things first, the rest folded away."""

from __future__ import annotations

import html
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from exhaust.errors import ExhaustError
from exhaust.form.draft import FIRST, NEW_FILE, Draft
from exhaust.form.rows import BOX, NAME, STYLE, Row
from exhaust.job import Job
from exhaust.job.working import save_working
from exhaust.tables import shipped

OWN = "a file of my own …"
NEW = {"inch": "a new job, in inches", "metric": "a new job, in millimetres"}
STALE = "Something in the form is to be mended: this is still the job from before that."
TITLES = {
    "": "units of the answers",
    "job": "customer and note",
    "duty": "how hard it works",
    "ambient": "weather and hill",
    "tube": "tube the job starts from",
    "shelf": "tube on the shelf",
    "limits": "limits",
    "room": "room under the car",
    "stock": "stock and prices",
    "purge": "argon",
    "system": "pipes",
    "measured": "measured at the bench",
    "cam": "cam, for pulses",
    "header": "header, for pulses",
}


Watcher = Callable[[Job | None], None]


class JobForm:
    """A job file to fill in. `job` is the last sound one; `watch` is told of each new one.

    Shown by a notebook; made by `job_form`. `stale` says where answers are behind the form.
    """

    def __init__(self, draft: Draft) -> None:
        self.draft = draft
        self._watchers: list[Watcher] = []
        self._told: str | None = None
        self.choose, self.own = _chooser(draft.path)
        self.missing = widgets.HTML()
        self.status, self.said, self.stale = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self.rows: dict[str, Row] = {}
        self._drawn: dict[str, list[tuple[str, str]]] = {}
        self.first = widgets.VBox()
        self.rest = widgets.Accordion(selected_index=None)
        self.fold = widgets.Accordion([self.rest], selected_index=None)
        self.fold.set_title(0, "The rest of the job: what is usual is filled in already")
        self.name, self.over, self.save, self.keep = _saving()
        self.widget = self._laid_out()
        self._listen()
        self._begin()

    @property
    def job(self) -> Job | None:
        """The last job that was sound; none as long as a file was never sound."""
        return self.draft.job

    def watch(self, watcher: Watcher) -> None:
        """Tell `watcher` of the job now, and again whenever another sound one is filled in."""
        self._watchers.append(watcher)
        watcher(self.job)

    def rewrite(self, text: str) -> None:
        """Take in the job as a tube or a joint that was picked makes it."""
        self.draft.rewrite(text)
        self._refresh()

    def open(self, draft: Draft) -> None:
        """Put another job in the place of this one; what was not saved is gone."""
        self.draft = draft
        self._begin()

    def _repr_mimebundle_(self, **options: Any) -> Any:
        return self.widget._repr_mimebundle_(**options)

    def _laid_out(self) -> widgets.VBox:
        line = widgets.Layout(align_items="center", flex_flow="row wrap")
        above = widgets.HBox([_name("job"), self.choose, self.own, self.missing], layout=line)
        below = widgets.HBox([_name("file"), self.name, self.save, self.over, self.keep])
        below.layout = line
        body = [widgets.HTML(STYLE), above, self.first, self.fold, self.status, below, self.said]
        form = widgets.VBox(body, layout=widgets.Layout(padding="4px 0"))
        form.add_class("exhaust-form")
        return form

    def _listen(self) -> None:
        self.choose.observe(self._chosen, "value")
        self.own.observe(self._named, "value")
        self.rest.observe(lambda change: self._open_section(change["new"]), "selected_index")
        self.save.on_click(lambda button: self._save())
        self.keep.on_click(lambda button: self._keep())

    def _chosen(self, change: dict[str, Any]) -> None:
        choice = change["new"]
        self.own.layout.display = "" if choice == OWN else "none"
        if choice in NEW:
            self.open(Draft.new(choice))
        elif choice != OWN:
            self._try(lambda: self.open(Draft.opened(choice)), self.missing)

    def _named(self, change: dict[str, Any]) -> None:
        if change["new"].strip():
            self._try(lambda: self.open(Draft.opened(change["new"].strip())), self.missing)

    def _begin(self) -> None:
        """Show a job from the start: nothing is left of the one before."""
        self.rows, self._drawn = {}, {}
        asked = self.draft.entries
        for key, question in FIRST.items():
            self.rows[key] = Row(asked[key], self._put, question.words)
        self.first.children = [self.rows[key].widget for key in FIRST]
        self.name.value = _file_name(self.draft.path)
        self.said.value = self.missing.value = ""
        self._refresh()

    def _put(self, place: str, typed: str) -> None:
        self.said.value = ""
        self._try(lambda: self.draft.put(place, typed), self.said)
        self._refresh()

    def _refresh(self) -> None:
        """Show what the file would say now, and what is wrong with it."""
        sections = list(self.draft.sections)
        if len(self.rest.children) != len(sections):
            self.rest.selected_index = None
            self.rest.children = [widgets.VBox() for _ in sections]
            self._drawn = {}
        for number, name in enumerate(sections):
            self.rest.set_title(number, self._title(name))
        self._open_section(self.rest.selected_index)
        for place, entry in self.draft.entries.items():
            if place in self.rows:
                self.rows[place].show(entry, self.draft.mistakes.get(place, ()))
        self.status.value = self._status()
        self.stale.value = "" if self.draft.sound or self.job is None else _said(STALE, wrong=True)
        self._tell()

    def _tell(self) -> None:
        job = self.job
        text = None if job is None else job.text
        if text == self._told:
            return
        self._told = text
        for watcher in self._watchers:
            watcher(job)

    def _title(self, name: str) -> str:
        entries = {one.place: one for one in self.draft.sections[name]}
        places = {name, *entries} - set(FIRST)
        wrong = sum(len(self.draft.mistakes.get(place, ())) for place in places)
        title = TITLES.get(name, name)
        if " " in name and f"{name}.name" in entries:
            title += f": {entries[f'{name}.name'].typed}"
        return f"{title} – {wrong} to mend" if wrong else title

    def _open_section(self, number: int | None) -> None:
        """Draw the rows of a section when it is first opened, or when its keys have changed."""
        if number is None:
            return
        name = list(self.draft.sections)[number]
        entries = [one for one in self.draft.sections[name] if one.place not in FIRST]
        keys = [(one.place, one.unit) for one in entries]
        if self._drawn.get(name) == keys:
            return
        self._drawn[name] = keys
        for entry in entries:
            self.rows[entry.place] = Row(entry, self._put)
            self.rows[entry.place].show(entry, self.draft.mistakes.get(entry.place, ()))
        self.rest.children[number].children = [self.rows[one.place].widget for one in entries]

    def _status(self) -> str:
        """Return in words whether the job is sound; what stands beside no entry stands here."""
        if self.draft.sound:
            assert self.job is not None
            return _said(f"Sound: {self.job.name}.")
        many = sum(map(len, self.draft.mistakes.values()))
        if self.draft.answers:
            return _said(f"A new job: answers to go, {self.draft.to_answer}.")
        lines = [f"{many} to mend before this job can be worked out or saved."]
        shown = set(FIRST) | {row.entry.place for row in self.rows.values()}
        lines += [
            one for place, said in self.draft.mistakes.items() if place not in shown for one in said
        ]
        return _said(*lines, wrong=True)

    def _save(self) -> None:
        def save() -> None:
            path = self.draft.save(self.name.value.strip(), over=self.over.value)
            self.over.value = False
            self.said.value = _said(f"Saved as {path}.")

        self._try(save, self.said)

    def _keep(self) -> None:
        def keep() -> None:
            if not self.draft.sound or self.job is None:
                raise ExhaustError("what is marked has to be mended first")
            kept = save_working(self.job, self.draft.text, "the job as filled in")
            words = f'For the next notebook, in its inputs cell: job_file = "{kept.path.name}"'
            self.said.value = _said(words)

        self._try(keep, self.said)

    def _try(self, task: Callable[[], object], said: widgets.HTML) -> None:
        """Run a task; what it refuses is said in words."""
        try:
            task()
        except ExhaustError as error:
            said.value = _said(*str(error).splitlines(), wrong=True)


def _said(*lines: str, wrong: bool = False) -> str:
    look = "said wrong" if wrong else "said"
    return f'<div class="{look}">{"<br>".join(html.escape(line) for line in lines)}</div>'


def _name(words: str) -> widgets.HTML:
    return widgets.HTML(f'<div class="name">{words}</div>', layout=widgets.Layout(width=NAME))


def _file_name(path: Path) -> str:
    """Return where a job is saved if nothing else is typed: under its own name, here."""
    demo = path.is_relative_to(shipped("data"))
    return f"my-{path.name}" if demo else str(path)


def _chooser(path: Path) -> tuple[widgets.Dropdown, widgets.Text]:
    demos = sorted((shipped("data") / "jobs").glob("*.toml"))
    options = [(f"demo: {demo.stem}", demo.name) for demo in demos]
    options += [(words, units) for units, words in NEW.items()] + [(OWN, OWN)]
    at = path.name if path.name in {demo.name for demo in demos} else OWN
    choose = widgets.Dropdown(options=options, value=at, layout=widgets.Layout(width=BOX))
    own = widgets.Text(
        value="" if at != OWN else str(path),
        placeholder="its name, for example my-job.toml",
        continuous_update=False,
        layout=widgets.Layout(width=BOX),
    )
    own.layout.display = "" if at == OWN else "none"
    return choose, own


def _saving() -> tuple[widgets.Text, widgets.Checkbox, widgets.Button, widgets.Button]:
    name = widgets.Text(value=NEW_FILE, layout=widgets.Layout(width="240px"))
    over = widgets.Checkbox(description="write over what is there", indent=False)
    over.layout.width = "180px"
    save = widgets.Button(description="Save", layout=widgets.Layout(width="90px"))
    keep = widgets.Button(description="Keep for the next notebook")
    keep.layout.width = "210px"
    return name, over, save, keep


def job_form(job_file: str | Path = "v8-parallel-x.toml") -> JobForm:
    """Return a form that reads and writes a job file; a demo job is found by its name alone.

    It asks five things first and folds the rest away. A bare number gets the unit beside its box;
    a mistake is told beside its box in the words of `exhaust check`. Nothing is written before
    it is asked for.

    >>> form = job_form("v6-h-pipe.toml")
    >>> form.rows["duty.speed"].box.value = "7000"
    >>> form.rows["duty.speed"].box.value, form.job.duty
    ('7000 rpm', OperatingPoint(speed=7000 rpm, volumetric_efficiency=0.95, lambda_=0.88))
    """
    return JobForm(Draft.opened(job_file))
