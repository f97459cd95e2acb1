"""Starts a job file from five answers; the rest of it is usual, and says so."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from exhaust import tables
from exhaust.asked import QUESTIONS, Question
from exhaust.choices.shelf import shelf_tubes
from exhaust.engine import Engine, OperatingPoint
from exhaust.errors import JobError
from exhaust.job.files import checked_path, write_new
from exhaust.job.keys import attempt, keys_of
from exhaust.job.sections import shelf_tube
from exhaust.stock import Tube

TEMPLATE = "new_job.toml.jinja"
TWO_PIPES = 6  # cylinders from which two pipes are usual (common practice, no source)
COLUMN = 46  # where remarks start
NEAR = 2  # tubes to weigh on either side of the one on the shelf

USUAL_BY_UNITS: dict[str, dict[str, Any]] = {
    "inch": {
        "lengths": ("46 in", "38 in", "78 in", "84 in"),
        **{"kerf": "0.045 in", "spacing": "10.5 in", "largest": "3-1/2 in"},
        **{"boost": "8 psi", "temperature": "1480 degF", "altitude": "900 ft"},
        **{"weather": "85 degF", "tangent": "2 in"},
    },
    "metric": {
        "lengths": ("1150 mm", "950 mm", "2000 mm", "2100 mm"),
        **{"kerf": "1.1 mm", "spacing": "270 mm", "largest": "90 mm"},
        **{"boost": "55 kPa", "temperature": "805 degC", "altitude": "300 m"},
        **{"weather": "30 degC", "tangent": "50 mm"},
    },
}
USUAL_BY_IGNITION = {  # common practice, no source
    "spark": {"compression_ratio": 10.0, "volumetric_efficiency": 0.85, "lambda": 0.88},
    "compression": {"compression_ratio": 17.0, "volumetric_efficiency": 0.85, "lambda": 1.4},
}


_KEYS = {
    f"{section}.{key.name}": key.read
    for section, description in (("engine", Engine), ("duty", OperatingPoint))
    for key in keys_of(description)
} | {"tube": shelf_tube}


def answer_mistakes(question: Question, answer: str) -> list[str]:
    """Return what is wrong with an answer, in the sentences of the job file; none if nothing.

    >>> from exhaust.asked import QUESTIONS
    >>> answer_mistakes(QUESTIONS[1], "99")
    ['engine.cylinders must be between 1 and 24 (got 99)']
    """
    if not answer.strip():
        remedy = f'for example {question.name} = "{question.example}"'
        return [f"{question.key} is missing; {remedy}"]
    found: list[str] = []
    attempt(question.key, _value(answer), _KEYS[question.key], found)
    return found


def _value(answer: str) -> int | str:
    """Return an answer as the job file writes it: a number where it is a whole one."""
    text = answer.strip()
    return int(text) if text.isdecimal() else text


def start_job(path: str | Path, answers: Mapping[str, str]) -> Path:
    """Write a job file that says `answers` at `path`, as `started` has it, and return the path.

    Never overwrites; raises `JobError`, and writes nothing, with every answer that is wrong.

    >>> start_job("my-job.txt", {})
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: path must end in .toml (got 'my-job.txt'); the ending says ...
    """
    path = checked_path(path, (".toml",))
    write_new(path, started(answers, path.name).encode("utf-8"))
    return path


def started(answers: Mapping[str, str], file: str = "my-job.toml") -> str:
    """Return the text of the job `file` that says `answers` by the name of each of `QUESTIONS`.

    Everything else in it is usual and marked so. Its units are those the tube is written in.
    Raises `JobError` with every answer that is missing or wrong.

    >>> said = {"displacement": "2.0 L", "cylinders": "4", "speed": "6500 rpm"}
    >>> text = started(said | {"fuel": "gasoline", "tube": "60 mm x 1.5 mm"})
    >>> from exhaust.job import read_job
    >>> read_job(text).system.tube.name, read_job(text).units
    ('60 mm x 1.5 mm', 'metric')
    """
    mistakes = [
        wrong for one in QUESTIONS for wrong in answer_mistakes(one, answers.get(one.name, ""))
    ]
    if mistakes:
        raise JobError(mistakes)
    said = {one.name: _value(answers[one.name]) for one in QUESTIONS}
    tube = shelf_tube("tube", said["tube"])
    ignition = str(tables.lookup("fuel", said["fuel"], "fuel")["ignition"])
    units = "inch" if tube.in_inches else "metric"
    given = USUAL_BY_UNITS[units] | USUAL_BY_IGNITION[ignition] | _stock(tube)
    cylinders = int(str(said["cylinders"]))
    pipes = 2 if cylinders >= TWO_PIPES and cylinders % 2 == 0 else 1
    left_bank = list(range(1, cylinders + 1, 2))
    text: str = _template().render(
        given,
        name=Path(file).stem,
        file=file,
        units=units,
        said=said,
        pipes=pipes,
        left_bank=left_bank,
    )
    return "\n".join(map(_aligned, text.split("\n")))


def _aligned(line: str) -> str:
    """Return a line with the remark at its end in the column of the others."""
    said, mark, remark = line.partition("  # ")
    return f"{said.rstrip():<{COLUMN - 1}} # {remark.strip()}" if mark else line


def _stock(tube: Tube) -> dict[str, object]:
    """Return the tube as the file writes it, its usual bend, and the shelf about it."""
    shelf = shelf_tubes(tube)
    smaller = [one.name for one in shelf if one.od < tube.od]
    larger = [one.name for one in shelf if one.od > tube.od]
    return {
        "od": tube.od.written(),  # type: ignore[attr-defined]  # a converted length
        "wall": tube.wall.written(),  # type: ignore[attr-defined]
        "clr": tube.od.written(1.5 * tube.od),  # type: ignore[attr-defined]
        "tubes": [*smaller[-NEAR:], tube.name, *larger[:NEAR]],
        "outlets": [tube.name, *larger[:NEAR]],
    }


def _template() -> Any:
    import tomlkit
    from jinja2 import Environment, StrictUndefined

    environment = Environment(undefined=StrictUndefined, keep_trailing_newline=True)
    environment.filters["toml"] = lambda text: tomlkit.item(str(text)).as_string()
    return environment.from_string(tables.shipped("data").joinpath(TEMPLATE).read_text("utf-8"))
