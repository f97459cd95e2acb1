"""The Y merge at the saw: a bend halved, a straight tacked on, the heel sliced, the outlet."""

from __future__ import annotations

import math

from exhaust.cutmath import y_merge_poses as poses
from exhaust.cutmath.bend_parts import awkward, bends_assumed, following
from exhaust.cutmath.cutsheet import Blank, CutSheet, Part, under_guides
from exhaust.cutmath.finished import finished_table
from exhaust.cutmath.y_merge_steps import steps
from exhaust.cutmath.y_merge_work import YWork, work_on
from exhaust.joints import YMerge
from exhaust.show import Table, cut_length, quantity
from exhaust.stock import DEGREE, Saw, material
from exhaust.tables import cautions


def cut_sheet(y: YMerge, saw: Saw) -> CutSheet:
    """Return the cut sheet of a Y merge.

    Raises `ExhaustError` when the kerf is as deep as the cut.
    """
    work = work_on(y, saw)
    return CutSheet(
        joint=y,
        saw=saw,
        parts=_parts(work),
        steps=steps(work),
        finished=_finished(work),
        warnings=_warnings(work),
        cautions=cautions("saw"),
        assumptions=_assumptions(work),
        title="Cut sheet: Y merge",
    )


def _parts(work: YWork) -> tuple[Part, ...]:
    y = work.y
    length = y.bend.clr * y.half_angle + work.left_on_leg - work.saw.kerf / 2
    mass = material(y.tube.material).density * work.leg_metal
    parts = [Part("A", "half bend, heel sliced", 2, Blank.whole(y.bend, 2), length, mass)]
    parts += following(y, y.return_bend, work.plan, work.saw, legs=2)
    if y.outlet_straight:
        long = float(y.outlet_straight)
        mass = long * y.outlet.mass_per_length
        parts.append(Part("D", "outlet", 1, Blank(y.outlet, long), long, mass))
    return tuple(parts)


def _finished(work: YWork) -> Table:
    """Across lies the seam, and the legs' butt welds aslant; along, those and the outlet's."""
    y, half = work.y, work.y.half_angle
    each = y.leg_butts / 2.0
    over = 1.0 + 2.0 * each * math.sin(half)
    rows = (
        ("Spacing, centre to centre", y.spacing, over),
        ("Gap between the legs", y.gap, over),
        ("Outside width", y.outside_width, over),
        ("Overall length", work.overall_length, 1.0 + each * math.cos(half)),
    )
    return finished_table(rows)


def _warnings(work: YWork) -> tuple[str, ...]:
    y, saw, od = work.y, work.saw, float(work.y.tube.od)
    found = list(y.notes)
    along, _ = poses.extent(work)
    found += under_guides("A leg, flat or standing,", saw, od, along, turned=True)
    if work.handle:
        found.append(
            f"Only {cut_length(max(work.beyond_tip, 0.0))} of straight is left past the tip to "
            f"clamp, less than the vice holds ({cut_length(saw.clamp_length)}): tack an offcut on "
            "for the slice"
        )
    found += awkward(work.plan, y.return_bend, saw)
    if work.passes > 1:
        found.append(
            f"A stretch of {quantity(y.stretch, 'percent')} is more than "
            f"{quantity(y.stretching.in_one_step, 'percent')}, what one step takes: form it in "
            f"{work.passes} passes, or slice at cutback {y.zero_stretch_cutback:.3f}"
        )
    return tuple(found)


def _assumptions(work: YWork) -> tuple[str, ...]:
    degree = abs(work.y.spacing_per_degree) * DEGREE
    moved = f"every half bend a degree over moves the spacing {cut_length(degree)}"
    at_kerf = "; halving takes half of it off each leg at the outlet face"
    return tuple(bends_assumed(work.saw, moved, at_kerf))
