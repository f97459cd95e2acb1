"""Readings in place of nominal values: the joint they make, and what changes at the saw."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import attrs

from exhaust.cutmath import cut_sheet, parallel_to_splayed, splayed_x
from exhaust.cutmath.as_measured_result import AsMeasured, Change
from exhaust.cutmath.cutsheet import CutSheet, Step
from exhaust.cutmath.measured import Measured, rebuilt
from exhaust.cutmath.readings import readings, warnings
from exhaust.cutmath.sawn import a_joint
from exhaust.describe import require
from exhaust.joints import Joint, ParallelToSplayedX, SplayedX
from exhaust.show import Fact
from exhaust.stock import DEGREE, Saw

SEEN = {"cut": 0.0127e-3, "tube": 0.0127e-3, "angle": 0.05 * DEGREE}  # half of what is shown
SLICE = ("Slice the heel", "The long cut")
SAWN = "One is sawn and was measured: saw what must match it at this setting. "
HALVED = ("Trim the bends", "Slice the heel", "Tack the X", "Secure and halve the X")
MITRED = ("Saw blanks and mark the lines", "Mitre the legs")


def as_measured(joint: Joint, saw: Saw, measured: Measured) -> AsMeasured:
    """Return what was measured beside what was wanted, and the cuts that are left worked anew.

    For the bench: type in what caliper, micrometer and protractor read; every setting after that
    is for the metal at hand. `joint` of the result is the one these readings make, `sheet` its cut
    sheet for the cuts that are left, `changes` the settings that move, the most first. The take-off
    of splayed legs comes of the openings as measured: mitre opening less half the halved opening.
    Raises `ExhaustError` for a reading that the joint has no use for, or that cannot be.

    >>> from exhaust import Bend, ParallelX, Tube
    >>> bend = Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")
    >>> x = ParallelX(bend, cutback=0.28, spacing="10.5 in")
    >>> found = as_measured(x, Saw(kerf="1.1 mm"), Measured(bend_angle="91 deg"))
    >>> found.changes[0].name, round((found.joint.spacer - x.spacer) * 1e3, 2)
    ("Stop to the blade's near face", -2.59)
    """
    a_joint(joint)
    require(saw, Saw, "saw")
    require(measured, Measured, "measured")
    used = saw if measured.kerf is None else saw.with_(kerf=measured.kerf)
    made = rebuilt(joint, used, measured)
    before = cut_sheet(joint, saw)
    whole = before if made == joint and used == saw else _sheet(made, used, measured)
    after = attrs.evolve(whole, steps=tuple(_left(whole, made, measured)))
    return AsMeasured(
        described=joint,
        measured=measured,
        joint=made,
        saw=used,
        sheet=after,
        readings=readings(joint, saw, measured, made),
        changes=_changes(before, after, float(joint.tube.od)),
        warnings=(*warnings(joint, measured, made), *_new_steps(before, whole)),
    )


def _sheet(made: Joint, saw: Saw, measured: Measured) -> CutSheet:
    """Return the cut sheet; mitres that were measured are sawn, whatever the dial can show."""
    sawn = measured.mitre_opening is not None or measured.exit_mitre_opening is not None
    if isinstance(made, SplayedX):
        return splayed_x.cut_sheet(made, saw, sawn)
    if isinstance(made, ParallelToSplayedX):
        return parallel_to_splayed.cut_sheet(made, saw, sawn)
    return cut_sheet(made, saw)


def _left(sheet: CutSheet, made: Joint, measured: Measured) -> Iterator[Step]:
    """Yield the steps that are left to do: without those whose outcome was measured."""
    cut = measured.opening_length is not None or measured.opening_height is not None
    for step in sheet.steps:
        if measured.halved_opening is not None and step.title in HALVED:
            continue
        if step.title in MITRED:
            marks = _unmitred(step, made, measured)
            if not marks:
                continue
            if step.title == MITRED[-1]:  # the blanks' step lists what each mark is sawn to
                step = step._replace(parts=" ".join(marks))
        if cut and step.title in SLICE and step.parts != "D":
            step = step._replace(words=SAWN + step.words)
        yield step


def _unmitred(step: Step, made: Joint, measured: Measured) -> list[str]:
    """Return the marks of the legs of a step that were not measured after it."""
    sizes = {"A": measured.mitre_opening, "B": measured.exit_mitre_opening}
    alike = isinstance(made, SplayedX) and made.entry.leg == made.exit.leg
    if isinstance(made, ParallelToSplayedX) or (alike and any(sizes.values())):
        sizes = dict.fromkeys("ABD", measured.mitre_opening or measured.exit_mitre_opening)
    return [mark for mark in step.parts.split() if sizes.get(mark) is None]


def _changes(before: CutSheet, after: CutSheet, od: float) -> tuple[Change, ...]:
    """Return the settings that move, largest first; an angle counts by what it moves across od.

    Pieces whose setting moves alike are told together.
    """
    old = dict(_settings(before))
    marks: dict[tuple[str, str, str, float, float], list[str]] = {}
    for key, fact in _settings(after):
        was = old.get(key)
        if was is None or fact.kind not in SEEN:
            continue
        then, now = _number(was), _number(fact)
        if abs(now - then) > SEEN[fact.kind]:
            step, mark, name = key
            marks.setdefault((step, name, fact.kind, then, now), []).append(mark)
    found = [
        Change(step, " ".join(parts), name, then, now, kind)
        for (step, name, kind, then, now), parts in marks.items()
    ]
    return tuple(
        sorted(found, key=lambda one: -abs(one.moved) * (od if one.kind == "angle" else 1))
    )


def _settings(sheet: CutSheet) -> Iterator[tuple[tuple[str, str, str], Fact]]:
    """Yield every setting of the saw by step, mark and name."""
    for step in sheet.steps:
        settings = step.settings if step.title != "Weld" else ()
        for fact in settings:
            for mark in step.parts.split():
                yield (step.title, mark, fact.name), fact


def _number(fact: Fact) -> float:
    value: Any = fact.value
    return float(value)


def _new_steps(before: CutSheet, after: CutSheet) -> Iterator[str]:
    """Yield the steps that come or go with the metal as measured."""
    old, new = ([step.title for step in sheet.steps] for sheet in (before, after))
    for title in dict.fromkeys(new):
        if title not in old:
            yield f"One step more than on the sheet as described: {title}"
    for title in dict.fromkeys(old):
        if title not in new:
            yield f"One step less than on the sheet as described: {title}"
