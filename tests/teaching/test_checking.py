"""Exercises: right is right in any unit, every usual mistake is known, and nothing is told."""

from __future__ import annotations

import itertools
import re

import pytest
from answer_key import KEY

from exhaust import fit_up, show
from exhaust.errors import ExhaustError
from exhaust.teaching import check, demo_job, demo_x, exercise
from exhaust.teaching.checking import DIMENSIONS, hint
from exhaust.teaching.exercise import Exercise
from exhaust.teaching.lessons import names

UNITS = {
    "cut": ("in", "mm"),
    "angle": ("deg", "rad"),
    "pressure": ("psi", "kPa"),
    "temperature": ("degF", "degC"),
    "velocity": ("ft/s", "m/s"),
    "volume_flow": ("cfm", "L/s"),
}
SCALES = {
    "in": 0.0254, "mm": 1e-3, "deg": 0.017453292519943295, "rad": 1.0, "psi": 6894.757293168361,
    "kPa": 1e3, "ft/s": 0.3048, "m/s": 1.0, "cfm": 0.3048**3 / 60, "L/s": 1e-3,
}  # fmt: skip
EACH = pytest.mark.parametrize("name", names())


def written(value: float, one: Exercise, system: int) -> str:
    """Return `value` [SI] as an apprentice would type it, to seven digits."""
    if one.kind not in DIMENSIONS:
        return f"{value:.7g}" if system == 0 else f"{100 * value:.7g} %"
    unit = UNITS[one.kind][system]
    if unit == "degF":
        return f"{value * 1.8 - 459.67:.7g} degF"
    if unit == "degC":
        return f"{value - 273.15:.7g} degC"
    return f"{value / SCALES[unit]:.7g} {unit}"


def test_the_key_has_every_exercise() -> None:
    assert set(KEY) == set(names())


@EACH
def test_the_key_is_right_in_inch_and_metric(name: str) -> None:
    for answer in KEY[name]:
        said = check(name, answer)
        assert said.outcome == "right", (answer, said.words)
        assert exercise(name).notice in said.words


@EACH
def test_every_usual_mistake_is_told_from_every_other(name: str) -> None:
    one = exercise(name)
    assert len(one.mistakes) >= 2
    for mistake in one.mistakes:
        assert abs(mistake.value - one.right) > one.tolerance
        for system in (0, 1):
            said = check(name, written(mistake.value, one, system))
            assert (said.outcome, said.slip) == ("a usual mistake", mistake.slip)
            assert mistake.why in said.words
    for first, second in itertools.combinations(one.mistakes, 2):
        assert abs(first.value - second.value) > one.tolerance, (first.slip, second.slip)


@EACH
def test_no_wrong_answer_is_told_the_right_one(name: str) -> None:
    one = exercise(name)
    wrong = [one.right * factor for factor in (0.03, 0.3, 0.93, 1.07, 1.25, 1.9, 3.3, 25.4, 60.0)]
    for value in (*wrong, *(mistake.value for mistake in one.mistakes)):
        if abs(value - one.right) <= one.tolerance:
            continue
        said = check(name, written(value, one, 0))
        assert said.outcome in {"a usual mistake", "not yet"}
        for system in show.SYSTEMS:
            shown = show.number(one.right, one.kind, system)
            assert not re.search(rf"(?<![\d.]){re.escape(shown)}(?![\d.])", said.words)


@EACH
def test_without_an_answer_the_question_is_asked_again(name: str) -> None:
    for blank in ("…", "...", "", "  ", None):
        said = check(name, blank)
        assert said.outcome == "your turn"
        assert said.exercise.question.words() in said._repr_html_().replace("&#x27;", "'")


@EACH
def test_only_an_answer_close_to_a_mistake_is_taken_for_it(name: str) -> None:
    one = exercise(name)
    taken = [one.right, *(mistake.value for mistake in one.mistakes)]
    for mistake in one.mistakes:
        for factor, outcome in ((0.9, "a usual mistake"), (1.1, "not yet")):
            value = mistake.value + factor * one.tolerance
            if all(abs(value - each) > one.tolerance for each in taken if each != mistake.value):
                assert check(name, written(value, one, 0)).outcome == outcome


def test_it_says_how_to_answer() -> None:
    assert "a number and its unit (in)" in check("cut depth", "").words
    assert "a share like 28 %" in check("narrowest share", "").words
    assert "a whole number" in check("cylinders for one pipe", "").words


@EACH
def test_the_question_follows_the_unit_system(name: str) -> None:
    with show.shown_in("metric"):
        metric = exercise(name).question.words()
    assert not re.search(r"\d (in|psi|ft|cfm|°F)\b", metric)
    assert "{" not in metric


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        (0.84, 'answer must be a length with a unit (got 0.84); write it like "3 in"'),
        ("0.84", "answer must be a length with a unit (got '0.84'); write it like"),
        ("0,84 in", "answer has a comma in its number"),
        ("2 psi", "answer must be a length, and 'psi' is not a unit of it"),
        ("deep", "answer must be a length: a number and a unit"),
        (["0.84 in"], "answer must be a length with a unit (got ['0.84 in'])"),
        (float("nan"), "answer must be a length with a unit (got nan)"),
    ],
)
def test_an_answer_that_cannot_be_read_is_said_in_a_sentence(answer: object, said: str) -> None:
    found = check("cut depth", answer)
    assert found.outcome == "not read"
    assert found.words.startswith(said)


@pytest.mark.parametrize("answer", ["3 in", "a third", "nan", True, [1], float("inf"), "1 %%"])
def test_a_share_is_a_bare_number(answer: object) -> None:
    found = check("narrowest share", answer)
    assert found.outcome == "not read"
    assert found.words.startswith("answer must be a")


def test_an_unknown_exercise_is_refused_with_the_nearest() -> None:
    with pytest.raises(
        ExhaustError, match=r"there is no exercise 'cut dept'; nearest: \"cut depth"
    ):
        check("cut dept", "1 in")


@pytest.mark.parametrize(
    ("times", "words"),
    [
        (1.05, "a little too big, by less than a tenth"),
        (0.8, "somewhat too small"),
        (1.5, "too big by about half"),
        (0.5, "about twice too small"),
        (2.4, "about twice too big"),
        (2.6, "about 3 times too big"),
        (4.0, "about 4 times too big"),
        (1 / 10, "about 10 times too small"),
        (25.4, "about twenty-five times too big; inches or millimetres?"),
        (57.3, "far too big"),
        (-1.0, "the answer is more than zero"),
        (0.0, "the answer is more than zero"),
    ],
)
def test_the_hint_says_how_far_off(times: float, words: str) -> None:
    assert words in hint(times * 0.3, 0.3, "ratio3")


def test_a_temperature_is_too_hot_or_too_cold() -> None:
    assert hint(900.0, 860.0, "temperature") == "Not yet: somewhat too hot."
    assert hint(600.0, 860.0, "temperature") == "Not yet: far too cold."


def test_the_slant_agrees_with_the_fit() -> None:
    """Invariant: the fit of the whole joint has the same gap from a blade off about the vertical.

    Both take the opening's length; the fit adds what the tips move, under 1 % of the gap.
    """
    fit = fit_up(demo_x(), demo_job().saw, turned="about the long axis", samples=2)
    effects = {(one.seam, one.kind): one.gap_rate for one in fit.effects}
    per_degree = effects["round the opening", "blade_angle"]
    assert exercise("slant of the blade").right == pytest.approx(per_degree / 2, rel=0.01)
