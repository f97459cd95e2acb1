"""What the form holds: a job file, what was typed into it since, and what is wrong with it now."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from exhaust.asked import QUESTIONS
from exhaust.errors import ExhaustError, JobError, broken
from exhaust.job import Job, mistakes_in, read_job, with_values
from exhaust.job.editing import by_place, value_at
from exhaust.job.entries import Entry, sections_of
from exhaust.job.files import checked_path, not_written, write_new, write_whole
from exhaust.job.keys import BARE, Key, with_unit
from exhaust.job.saving import with_tube
from exhaust.job.sections import shelf_tube
from exhaust.job.starting import answer_mistakes, started
from exhaust.job.text import parsed, text_of
from exhaust.job.working import found
from exhaust.show import listed
from exhaust.stock import alike
from exhaust.tables import shipped

FIRST = {question.key: question for question in QUESTIONS}
TUBE = "tube"  # the tube that most of the exhaust is made of, wherever the file says it
NEW_FILE = "my-job.toml"


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
        self.answers: dict[str, str] = {}  # of a new job, as long as not all of them are there
        self._base(text)

    @classmethod
    def opened(cls, path: str | Path) -> Draft:
        """Return the draft of a job file, sound or not; a demo is found by its name alone."""
        where = found(Path(path))
        return cls(text_of(where), where)

    @classmethod
    def new(cls, units: str = "inch") -> Draft:
        """Return the draft of a new job: nothing but its five answers, until they are there.

        Then it is the job file that `exhaust new` writes. A bare number is in the usual `units`.

        >>> draft = Draft.new("metric")
        >>> draft.put("engine.displacement", "2")
        >>> draft.entries["engine.displacement"].typed, draft.sound
        ('2 L', False)
        """
        draft = cls.__new__(cls)
        draft.path, draft.job = Path(NEW_FILE), None
        draft.answers = dict.fromkeys(FIRST, "")
        draft._base(f'schema = 1\nunits = "{units}"\n')
        return draft

    @property
    def sound(self) -> bool:
        """Whether there is nothing to mend and nothing left to answer."""
        return not self.mistakes and not self.answers

    @property
    def to_answer(self) -> int:
        """How many of the answers of a new job are not there, or wrong."""
        return sum(not said or key in self.mistakes for key, said in self.answers.items())

    @property
    def entries(self) -> dict[str, Entry]:
        """Every entry as it stands now, by place; that of the tube among them."""
        found = {one.place: one for those in self.sections.values() for one in those}
        return found | {TUBE: self._tube_entry()} | self._answered()

    def put(self, place: str, typed: str) -> None:
        """Take in what was typed at a place; nothing that was typed is lost, right or wrong."""
        if self.answers:
            self._answer(place, typed)
            return
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
        if self.answers:
            there = f"{len(FIRST) - self.to_answer} of {len(FIRST)}"
            raise ExhaustError(f"answers are missing (got {there}); give them first")
        if not self.sound:
            raise JobError(one for those in self.mistakes.values() for one in those)
        file = checked_path(path, (".toml",))
        try:
            shipped_too = file.resolve().is_relative_to(shipped("data").resolve())
        except (OSError, ValueError, RuntimeError) as error:
            raise not_written(file, error) from error
        if shipped_too:
            rule = "is among the files that came with the package"
            raise broken(rule, str(path), "save it somewhere else").named("path")
        (write_whole if over else write_new)(file, self.text.encode("utf-8"))
        return file

    def _base(self, text: str) -> None:
        """Start over from `text`, with nothing typed into it yet."""
        parsed(text, self.path)
        self._text, self._values = text, dict[str, object]()
        self.tube_typed: str | None = None  # what was typed as the tube and is not in the file
        self._as_opened: Mapping[str, Entry] = {}
        self._read()
        self._as_opened = self.entries

    def _answer(self, place: str, typed: str) -> None:
        """Take in an answer of a new job, and begin its file when all of them are there."""
        given = self._asked[place].value(typed) if place != TUBE else self._tube_text(typed)
        self.answers[place] = "" if given is None else str(given)
        if not any(answer_mistakes(FIRST[key], said) for key, said in self.answers.items()):
            answers = {FIRST[key].name: said for key, said in self.answers.items()}
            self.answers = {}
            self._base(started(answers, NEW_FILE))
        else:
            self._read()

    def _answered(self) -> dict[str, Entry]:
        return {
            key: self._asked[key]._replace(
                typed=said, usual="", remark=f"for example {FIRST[key].example}"
            )
            for key, said in self.answers.items()
        }

    def _read(self) -> None:
        self.text = with_values(self._text, self._values, self.path)
        self.sections = sections_of(self.text, self.path)
        if self.answers:
            asked = {one.place: one for those in self.sections.values() for one in those}
            self._asked = asked | {TUBE: self._tube_entry()}
            self.sections = {}
            given = {key: said for key, said in self.answers.items() if said}
            wrong = {key: answer_mistakes(FIRST[key], said) for key, said in given.items()}
            self.mistakes = {key: said for key, said in wrong.items() if said}
            return
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
        self.tube_typed = typed = self._tube_text(typed)
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

    def _tube_text(self, typed: str) -> str:
        """Return a tube as typed, with the job's unit of length behind bare numbers."""
        metric = value_at(self.text, "units", self.path) == "metric"
        unit = BARE["length"][metric]
        return " x ".join(with_unit(part, unit) for part in re.split(r"\s*[x×]\s*", typed.strip()))

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
