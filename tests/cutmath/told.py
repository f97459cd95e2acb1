"""A sheet in millimetres, one of its steps, what it warns of, one of its numbers."""

from __future__ import annotations

from by_hand import SAW

from exhaust import Saw, cut_sheet
from exhaust.cutmath import CutSheet, Step
from exhaust.joints import Joint
from exhaust.show import shown_in


def sheet(joint: Joint, saw: Saw = SAW) -> CutSheet:
    with shown_in("metric"):
        return cut_sheet(joint, saw)


def step(found: CutSheet, title: str) -> Step:
    return next(each for each in found.steps if each.title.startswith(title))


def said(found: CutSheet) -> str:
    return " ".join(found.warnings)


def value(facts: object, name: str) -> float:
    (found,) = (float(fact.value) for fact in facts if fact.name == name)  # type: ignore[attr-defined]
    return found
