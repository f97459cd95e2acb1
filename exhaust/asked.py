"""What has to be asked before there can be an answer, and how it is asked."""

from __future__ import annotations

from typing import NamedTuple


class Question(NamedTuple):
    """One thing to ask: its `name`, the `key` of the job file it fills, words and an example."""

    name: str
    key: str
    words: str
    example: str


QUESTIONS = (
    Question("displacement", "engine.displacement", "Displacement of the whole engine", "5.1 L"),
    Question("cylinders", "engine.cylinders", "How many cylinders", "8"),
    Question("speed", "duty.speed", "Engine speed at peak power", "6200 rpm"),
    Question("fuel", "engine.fuel", "Fuel", "gasoline"),
    Question("tube", "tube", "Tube on the shelf, od x wall", "3 in x 16 ga"),
)
