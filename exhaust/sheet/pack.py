"""What a file of templates holds, whichever kind of file it is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from exhaust.cutmath import CutSheet
from exhaust.cutmath.ordinates import BENT, Ordinates, ordinates
from exhaust.cutmath.template import Template
from exhaust.cutmath.templates import checked_joint, templates
from exhaust.errors import broken, typed
from exhaust.joints import Joint

if TYPE_CHECKING:
    import pint

    Length = str | float | pint.Quantity[Any]


class Pack(NamedTuple):
    """The templates of one joint: a title, the job's name or nothing, sheets, marks on bends."""

    title: str
    job: str
    templates: tuple[Template, ...]
    marks: Ordinates | None


def packed(what: CutSheet | Joint, thickness: Length, edge: str, job: str) -> Pack:
    """Return what a file of templates for a cut sheet or a joint holds, or refuse it.

    `thickness` and `edge` as in `templates`; `job` is the name to print, or nothing.

    >>> from exhaust import HPipe, Tube
    >>> pack = packed(HPipe(Tube(od="3 in", wall="16 ga"), spacing="10 in"), "0.1 mm", "saddle", "")
    >>> pack.title, [template.pieces for template in pack.templates]
    ('Templates: H pipe', [2, 2, 1])
    """
    if not isinstance(job, str):
        raise broken("must be text", typed(job), "give the job's name").named("job")
    joint = what.joint if isinstance(what, CutSheet) else checked_joint(what)
    sheets = templates(joint, thickness, edge)
    marks = ordinates(joint) if isinstance(joint, BENT) else None
    return Pack(f"Templates: {NAMES[type(joint).__name__]}", printable(job), sheets, marks)


NAMES = {
    "HPipe": "H pipe",
    "ParallelToSplayedX": "parallel-to-splayed X",
    "ParallelX": "parallel X",
    "SplayedX": "splayed X",
    "YMerge": "Y merge",
}


def printable(text: str) -> str:
    """Return text in one line, with nothing in it that does not print.

    >>> printable("Demo\\n V8\\x00 \\u202e(2)")
    'Demo V8 (2)'
    """
    kept = "".join(letter if letter.isprintable() else " " for letter in text)
    return " ".join(kept.split())
