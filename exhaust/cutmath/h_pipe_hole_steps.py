"""The holes in the primaries of an H pipe, for the inside of its balance tube."""

from __future__ import annotations

from exhaust.cutmath import h_pipe_poses as poses
from exhaust.cutmath.cutsheet import Step
from exhaust.cutmath.h_pipe_work import SIDES, Hole, HWork, begun, primary_marks
from exhaust.show import Fact

ALIKE = 1e-9  # [m], [rad]


def holes(work: HWork) -> Step:
    """Return how the primaries are set under the drill and holed, and what to measure after."""
    h = work.h
    told = work.holes[:1] if work.square else work.holes
    settings = [
        Fact(
            "Hole saw, no larger than",
            h.balance_tube.inside_diameter,
            "tube",
            "the balance tube's inside: the tube stands on the primary, not in it",
        )
    ]
    checks: list[Fact] = []
    for hole in told:
        which = "" if len(told) == 1 else f"{SIDES[hole.side]} primary: "
        settings += _hole_settings(work, hole, which)
        checks += _hole_checks(hole, which)
    checks += [
        Fact("Hole along the primary", h.hole_length, "cut", "its long axis" if h.splay else ""),
        Fact("Hole round the primary", h.hole_width, "cut", "with a tape, on the outside"),
    ]
    words = (
        "Before the primaries are fixed. Facing line up in vee blocks, drill the pilot, then the "
        "hole saw slow and square to the spindle; or wrap the hole's template on its cross, cut "
        "inside the line and grind to it. Take the burr off inside. "
    )
    if any(abs(hole.lean) > ALIKE for hole in work.holes):
        words += "A hole saw walks on a slope: clamp the tube hard, start slow in the pilot. "
    if work.alike and not work.square:
        words += (
            "The right primary is the left one turned end for end, its top still the top: both "
            "are told from the entry end. "
        )
    elif not work.alike:
        words += "The primaries differ: mark left and right before drilling. "
    shown = told[:1] if work.alike else told
    drawn = [pose for hole in shown for pose in poses.drilling(work, hole)]
    return Step(
        *("Hole the primaries", primary_marks(work.h), words.strip()),
        *(tuple(settings), tuple(checks), tuple(drawn)),
    )


def _hole_settings(work: HWork, hole: Hole, which: str) -> list[Fact]:
    found = [
        Fact(begun(f"{which}entry end to the pilot, on the facing line"), hole.pilot, "cut"),
    ]
    if work.h.offset:
        over = "above" if hole.above > 0.0 else "below"
        found += [
            Fact(
                begun(f"{which}pilot {over} the facing line"),
                abs(hole.above),
                "cut",
                "round the tube",
            ),
            Fact(
                begun(f"{which}spindle off the primary's axis"),
                abs(float(work.h.offset)),
                "cut",
                f"towards its {'top' if work.h.offset > 0.0 else 'bottom'}",
            ),
        ]
    if abs(hole.lean) > ALIKE:
        to = "exit" if hole.lean > 0.0 else "entry"
        found.append(
            Fact(begun(f"{which}tube from level"), abs(hole.lean), "angle", f"{to} end raised")
        )
    return found


def _hole_checks(hole: Hole, which: str) -> list[Fact]:
    found = [
        Fact(begun(f"{which}entry end to the hole's near edge"), hole.near, "cut"),
        Fact(begun(f"{which}entry end to the hole's far edge"), hole.far, "cut"),
    ]
    if abs(hole.above) > ALIKE:
        found += [
            Fact(
                begun(f"{which}facing line up to the hole's edge"),
                hole.up,
                "cut",
                "round the tube",
            ),
            Fact(begun(f"{which}facing line down to its edge"), hole.down, "cut", "round the tube"),
        ]
    return found
