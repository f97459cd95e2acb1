"""Checks an answer: right, a usual mistake by its name, or how far off it is."""

from __future__ import annotations

import html
from typing import Literal

import attrs

from exhaust import units
from exhaust.errors import RuleError, broken
from exhaust.show import Fact, Result, System, quantity, style
from exhaust.teaching.exercise import Exercise
from exhaust.teaching.lessons import exercise

Outcome = Literal["your turn", "right", "a usual mistake", "not yet", "not read"]

DIMENSIONS = {
    "cut": "length",
    "angle": "angle",
    "pressure": "pressure",
    "temperature": "temperature",
    "velocity": "velocity",
    "volume_flow": "volume_flow",
}
BLANK = {"", "…", "..."}
FAR_IN_KELVIN = 100.0


@attrs.frozen(kw_only=True, repr=False)
class Checked(Result):
    """What an answer was worth: `outcome`, and the `words` for the apprentice.

    >>> check("cut depth", "0.42 in")
    <cut depth: a usual mistake (half of the diameter taken for the diameter)>
    """

    name: str
    exercise: Exercise
    answer: object
    outcome: Outcome
    words: str
    slip: str = ""

    @property
    def title(self) -> str:  # type: ignore[override]
        """The exercise and how it went."""
        return f"{self.name[:1].upper()}{self.name[1:]}: {self.outcome}"

    def facts(self) -> list[Fact]:
        """Return the question, the answer and what it was worth."""
        found = [Fact("question", self.exercise.question.words())]
        if self.outcome != "your turn":
            found.append(Fact("your answer", str(self.answer)))
        return [*found, Fact(self.outcome, self.words)]

    def body_html(self, system: System | None = None) -> str:
        """Return the question and the words as paragraphs, in the unit system in use."""
        question = f"<p>{html.escape(self.exercise.question.words())}</p>"
        return f"{question}<p><strong>{html.escape(self.words)}</strong></p>"

    def __repr__(self) -> str:
        slip = f" ({self.slip})" if self.slip else ""
        return f"<{self.name}: {self.outcome}{slip}>"


def check(name: str, answer: object) -> Checked:
    """Return what `answer` to the exercise `name` is worth; without an answer, the question again.

    An answer is text with a unit, like everywhere; a share is a bare number or "28 %". What cannot
    be read is said in the result, so that a notebook runs on. Raises `ExhaustError` for a name that
    no exercise has.

    >>> check("cut depth", "…"), check("cut depth", "27/32 in")
    (<cut depth: your turn>, <cut depth: right>)
    >>> check("cut depth", 0.84).words
    'answer must be a length with a unit (got 0.84); write it like "3 in"'
    >>> check("depth of cut", "1 in")
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: there is no exercise 'depth of cut'; known: ...
    """
    one = exercise(name)
    if answer is None or (isinstance(answer, str) and answer.strip() in BLANK):
        return _said(name, one, answer, "your turn", _how(one))
    try:
        value = read(answer, one.kind)
    except RuleError as error:
        return _said(name, one, answer, "not read", str(error.named("answer")))
    if abs(value - one.right) <= one.tolerance:
        right = f"Right: {quantity(one.right, one.kind)} ({one.because}). {one.notice}"
        return _said(name, one, answer, "right", right)
    nearest = min(one.mistakes, key=lambda each: abs(value - each.value))
    if abs(value - nearest.value) <= one.tolerance:
        words = f"That is what comes out with {nearest.slip}. {nearest.why}"
        return _said(name, one, answer, "a usual mistake", words, nearest.slip)
    return _said(name, one, answer, "not yet", hint(value, one.right, one.kind))


def _said(
    name: str, one: Exercise, answer: object, outcome: Outcome, words: str, slip: str = ""
) -> Checked:
    return Checked(name=name, exercise=one, answer=answer, outcome=outcome, words=words, slip=slip)


def _how(one: Exercise) -> str:
    if one.kind == "count":
        return "Put a whole number between the quotation marks, and run again."
    if one.kind not in DIMENSIONS:
        return "Put a bare number or a share like 28 % between the quotation marks, and run again."
    unit = style(one.kind).unit
    return f"Put a number and its unit ({unit}) between the quotation marks, and run again."


def read(answer: object, kind: str) -> float:
    """Return an answer [SI]: text with a unit, or for a share a bare number or percent.

    Raises `RuleError` for what is neither.

    >>> round(read("0.84 in", "cut"), 6), read("28 %", "ratio3"), read("0.28", "ratio3")
    (0.021336, 0.28, 0.28)
    """
    if kind in DIMENSIONS:
        return float(units.quantity(answer, DIMENSIONS[kind]))
    if not isinstance(answer, str):
        return units.ratio(answer)  # type: ignore[arg-type]
    text = answer.strip()
    number, scale = (text[:-1], 1e-2) if text.endswith("%") else (text, 1.0)
    try:
        return units.ratio(float(number)) * scale
    except ValueError as error:
        if isinstance(error, RuleError):
            raise
        rule = "must be a bare number or a share"
        raise broken(rule, repr(answer), 'write it like "0.28" or "28 %"') from error


def hint(value: float, right: float, kind: str) -> str:
    """Return how far off a wrong `value` is from the `right` one [SI], without telling it.

    >>> hint(2.1, 1.0, "ratio3"), hint(0.96, 1.0, "ratio3")
    ('Not yet: about twice too big.', 'Not yet: a little too small, by less than a tenth.')
    """
    if kind == "temperature":
        far = "far too" if abs(value - right) > FAR_IN_KELVIN else "somewhat too"
        return f"Not yet: {far} {'hot' if value > right else 'cold'}."
    if value <= 0.0:
        return "Not yet: the answer is more than zero; look at the signs."
    way = "big" if value > right else "small"
    times = max(value / right, right / value)
    return f"Not yet: {_times(times, way)}."


def _times(times: float, way: str) -> str:
    if times < 1.1:
        return f"a little too {way}, by less than a tenth"
    if times < 1.4:
        return f"somewhat too {way}"
    if times < 1.75:
        return f"too {way} by about half"
    if times < 2.5:
        return f"about twice too {way}"
    if 22.0 < times < 28.0:
        return f"about twenty-five times too {way}; inches or millimetres?"
    if times < 15.0:
        return f"about {times:.0f} times too {way}"
    return f"far too {way}; look at the unit, and at degrees and radians"
