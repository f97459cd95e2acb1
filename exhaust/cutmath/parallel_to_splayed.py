"""Half a parallel X with splayed legs at the saw: a tacked X sawn in half, two mitred legs."""

from __future__ import annotations

import math

from exhaust.cutmath import dial, parallel_x
from exhaust.cutmath.cutsheet import Blank, CutSheet, Part, under_guides
from exhaust.cutmath.finished import finished_table
from exhaust.cutmath.parallel_to_splayed_steps import left_on_bend, steps
from exhaust.cutmath.parallel_x_work import Work, work_on
from exhaust.cutmath.splayed_x import assumptions, leg_warnings, rounded
from exhaust.cutmath.splayed_x_steps import legs_blank
from exhaust.joints import ParallelToSplayedX
from exhaust.joints.bent_end import BentEnd
from exhaust.show import Table, cut_length
from exhaust.stock import Saw, material
from exhaust.tables import cautions


def cut_sheet(x: ParallelToSplayedX, saw: Saw, sawn: bool = False) -> CutSheet:
    """Return the cut sheet of half a parallel X with splayed legs.

    `joint` of the sheet has its legs at the nearest mitre that the dial can show; of mitres that
    are `sawn` already it is `x` itself. Raises
    `ExhaustError` when the dial is too coarse or the kerf as deep as a cut.
    """
    made = x if sawn else settable(x, saw)
    work = work_on(made.parallel, saw)
    parallel = parallel_x.cut_sheet(made.parallel, saw)
    return CutSheet(
        joint=made,
        saw=saw,
        parts=_parts(made, parallel, saw),
        steps=steps(made, work),
        finished=_finished(made, work),
        warnings=_warnings(x, made, work, parallel),
        cautions=cautions("saw"),
        assumptions=(parallel.assumptions[0], *assumptions(saw)),
        title="Cut sheet: half a parallel X with splayed legs",
    )


def settable(x: ParallelToSplayedX, saw: Saw) -> ParallelToSplayedX:
    """Return the joint nearest to `x` whose mitre is on a mark of the dial; butted legs need none.

    >>> from exhaust import Bend, Tube
    >>> bend = Bend(Tube(od="2.5 in", wall="16 ga"), clr="3.75 in")
    >>> x = ParallelToSplayedX(bend, cutback=0.3, included_angle="44.6 deg", leg_length="8 in")
    >>> round(math.degrees(settable(x, Saw(kerf="1.1 mm")).included_angle), 6)
    45.0
    """
    if isinstance(x.leg, BentEnd):
        return x
    found = dial.mitre_on_dial(x.leg.mitre_angle, saw)
    if found == x.leg.mitre_angle:
        return x
    return x.with_(included_angle=dial.in_degrees(2.0 * found))


def _parts(x: ParallelToSplayedX, parallel: CutSheet, saw: Saw) -> tuple[Part, ...]:
    """Mains and what is used of the rest; a main's mass is what this joint keeps of it."""
    others = [part._replace(pieces=part.pieces // 2) for part in parallel.parts[1:]]
    tube, leg, main = x.tube, x.leg, parallel.parts[0]
    slug = leg.removed_volume(leg.radius) - leg.removed_volume(leg.leg.bore)
    off = material(tube.material).density * slug
    if isinstance(leg, BentEnd):
        left = left_on_bend(leg, x.bend)
        own, straight = leg.centreline - leg.leg.straight + left, leg.leg.straight - left
        bend = main._replace(
            what="main bend, heel sliced",
            length=main.length / 2.0 + own,
            mass=main.mass / 2.0 + own * tube.mass_per_length - off,
        )
        square = Blank(tube, straight)
        made = Part("D", "leg, square", 2, square, straight, straight * tube.mass_per_length)
        return (bend, *others, made) if straight > 0.0 else (bend, *others)
    bend = main._replace(
        what="main bend, heel sliced, halved with its mate",
        length=main.length / 2.0,
        mass=main.mass / 2.0,
    )
    mass = leg.length * tube.mass_per_length - off
    blank = Blank(tube, legs_blank(leg, saw), makes=2)
    made = Part("D", "leg, mitred and sliced", 2, blank, leg.length, mass)
    return (bend, *others, made)


def _finished(x: ParallelToSplayedX, work: Work) -> Table:
    half, leg, butts = x.parallel, x.leg, work.plan.butt_welds
    across = 1.0 + 2.0 * butts * math.sin(half.half_angle)
    along = 1.0 + butts * math.cos(half.half_angle)
    spread = 1.0
    if isinstance(leg, BentEnd):
        spread += 2.0 * math.sin(leg.angle)
        along += math.cos(leg.angle) - 1.0
    return finished_table(
        (
            ("Spacing, parallel end, centre to centre", half.spacing, across),
            ("Gap between the parallel tubes", half.gap, across),
            ("Outside width, parallel end", half.outside_width, across),
            ("Spacing, legs' ends, centre to centre", leg.spacing, spread),
            ("Gap between the legs' ends", leg.gap, spread),
            ("Outside width, legs' ends", leg.outside_width, spread),
            ("Overall length", x.overall_length - work.short, along),
        )
    )


def _warnings(
    asked: ParallelToSplayedX, made: ParallelToSplayedX, work: Work, parallel: CutSheet
) -> tuple[str, ...]:
    notes = made.parallel.notes
    found = [*made.notes, *(words for words in parallel.warnings if words not in notes)]
    if made is not asked:
        old, new = (f"{math.degrees(x.included_angle):.4g}°" for x in (asked, made))
        spacing = asked.leg.spacing, made.leg.spacing
        found.append(rounded(work.saw, old, new, spacing, "the legs' ends"))
    if isinstance(made.leg, BentEnd):
        return tuple(found)
    wide = made.halved_opening
    found += under_guides("Halving the tacked X", work.saw, float(made.tube.od), wide)
    found += leg_warnings(made.leg, "D", work.saw)
    found.append(
        f"The legs step {cut_length(made.worst_step)} off the bends at the worst place: form them "
        "to each other, or let the bends turn on (legs butted), which leaves no step"
    )
    return tuple(found)
