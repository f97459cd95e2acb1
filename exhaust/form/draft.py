"""What the form holds: a job file, what was typed into it since, and what is wrong with it now."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from exhaust.asked import QUESTIONS
from exhaust.errors import ExhaustError, JobError, broken
from exhaust.job import Job, mistakes_in, read_job, with_values
from exhaust.job.editing import by_place
from exhaust.job.entries import Entry, sections_of
from exhaust.job.files import checked_path, write_new, write_whole
from exhaust.job.keys import Key
from exhaust.job.saving import with_tube
from exhaust.job.sections import shelf_tube
from exhaust.job.starting import answer_mistakes, started
from exhaust.job.text import text_of
from exhaust.job.working import found
from exhaust.show import listed
from exhaust.stock import alike
from exhaust.tables import shipped

FIRST = {question.key: question for question in QUESTIONS}
TUBE = "tube"  # the tube that most of the exhaust is made of, wherever the file says it
NEW_FILE = "my-job.toml"
NEW_TUBES = {"inch": "3 in x 16 ga", "metric": "76.1 mm x 1.6 mm"}


class Draft:
    """A job file as it is being filled in; nothing is written until `save`.

    `job` is the last that was sound, `text` what the file would be now, `mistakes` what is wrong
    with that, by place: the place of an entry, or of its section, or "" for what has none.

    >>> draft = Draft.opened("v8-parallel-x.toml")
    >>> draft.put("engine.cylinders", "eight")
    >>> draft.mistakes
    {'engine.cylinders': ["engine.cylinders must be a whole number (got 'eight')"]}
    """

    def __init__(self, text: str, path: Path) -> None:
        self.path = path
        self.job: Job | None = None
        self._base(text)

    @classmethod
    def opened(cls, path: str | Path) -> Draft:
        """Return the draft of a job file, sound or not; a demo is found by its name alone."""
        where = found(Path(path))
        return cls(text_of(where), where)

    @classmethod
    def new(cls, units: str = "inch") -> Draft:
        """Return the draft of a job of usual values, to be given its five answers.

        >>> Draft.new("metric").job.system.tube.name
        '76.1 mm x 1.6 mm'
        """
        answers = {question.name: question.example for question in QUESTIONS}
        return cls(started(answers | {TUBE: NEW_TUBES[units]}, NEW_FILE), Path(NEW_FILE))

    @property
    def sound(self) -> bool:
        """Whether there is nothing to mend."""
        return not self.mistakes

    @property
    def entries(self) -> dict[str, Entry]:
        """Every entry as it stands now, by place; that of the tube among them."""
        found = {one.place: one for those in self.sections.values() for one in those}
        return found | {TUBE: self._tube_entry()}

    def put(self, place: str, typed: str) -> None:
        """Take in what was typed at a place; nothing that was typed is lost, right or wrong."""
        if place == TUBE:
            self._put_tube(typed)
            return
        before = self._as_opened[place] if place in self._as_opened else self.entries[place]
        if typed == before.typed and place in self._as_opened:
            self._values.pop(place, None)
        else:
            self._values[place] = self.entries[place].value(typed)
        self._read()
        if self.tube_typed is not None and set(self.mistakes) == {TUBE}:
            self._put_tube(self.tube_typed)

    def rewrite(self, text: str) -> None:
        """Take in a whole new text of the same job, as a tube or a joint makes it."""
        read_job(text, self.path)
        self._base(text)

    def save(self, path: str | Path, *, over: bool = False) -> Path:
        """Write the job file; `over` what is there already, if so asked. Refuse what is unsound.

        Never into the folder of the demo jobs that came with the package.
        """
        if not self.sound:
            raise JobError(one for those in self.mistakes.values() for one in those)
        file = checked_path(path, (".toml",)).expanduser()
        if file.resolve().is_relative_to((shipped("data")).resolve()):
            rule = "is among the files that came with the package"
            raise broken(rule, str(path), "save it somewhere else").named("path")
        (write_whole if over else write_new)(file, self.text.encode("utf-8"))
        return file

    def _base(self, text: str) -> None:
        """Start over from `text`, with nothing typed into it yet."""
        self._text, self._values = text, dict[str, object]()
        self.tube_typed: str | None = None  # what was typed as the tube and is not in the file
        self._as_opened: Mapping[str, Entry] = {}
        self._read()
        self._as_opened = self.entries

    def _read(self) -> None:
        self.text = with_values(self._text, self._values, self.path)
        self.sections = sections_of(self.text, self.path)
        said = list(mistakes_in(self.text, self.path))
        if not said:
            self.job = read_job(self.text, self.path)
        self.mistakes = by_place(said, [*self.sections, *self.entries])
        if self.tube_typed is not None:
            self.mistakes.setdefault(TUBE, []).extend(self._tube_mistakes(self.tube_typed))

    def _tube_mistakes(self, typed: str) -> list[str]:
        wrong = answer_mistakes(FIRST[TUBE], typed)
        return wrong or [f"{TUBE} {typed} is taken in once the rest is sound"]

    def _put_tube(self, typed: str) -> None:
        """Make most of the exhaust of another tube, if the job is sound but for that."""
        self.tube_typed = typed
        self._read()
        others = set(self.mistakes) - {TUBE}
        if answer_mistakes(FIRST[TUBE], typed) or others or self.job is None:
            return
        try:
            tube = shelf_tube(TUBE, typed, self.job.system.tube.material)
            if alike(tube, self.job.system.tube):
                self.tube_typed = None
                self._read()
            else:
                self.rewrite(with_tube(self.job, tube))
        except ExhaustError as error:
            self.mistakes[TUBE] = str(error).splitlines()

    def _tube_entry(self) -> Entry:
        named = "" if self.job is None else self.job.system.tube.name
        shelf = () if self.job is None else [one.name for one in self.job.tubes]
        return Entry(
            place=TUBE,
            key=Key(TUBE, TUBE, shelf_tube, True, f'"{FIRST[TUBE].example}"'),
            typed=named if self.tube_typed is None else self.tube_typed,
            unit="",
            usual="",
            choices=(),
            remark=f"on the shelf: {listed(shelf)}" if shelf else "",
            in_line=True,
        )
