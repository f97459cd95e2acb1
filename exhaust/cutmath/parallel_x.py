"""The parallel X at the saw: two bends with the heel sliced, back to back, and their returns."""

from __future__ import annotations

import math

from exhaust.cutmath import bend_poses as poses
from exhaust.cutmath.bend_parts import awkward, bends_assumed, following
from exhaust.cutmath.cutsheet import Blank, CutSheet, Part, under_guides
from exhaust.cutmath.finished import finished_table
from exhaust.cutmath.parallel_x_steps import steps
from exhaust.cutmath.parallel_x_work import Work, work_on
from exhaust.joints import ParallelX
from exhaust.show import Table, cut_length
from exhaust.stock import DEGREE, Saw, material
from exhaust.tables import cautions


def cut_sheet(x: ParallelX, saw: Saw) -> CutSheet:
    """Return the cut sheet of a parallel X.

    Raises `ExhaustError` when the kerf is as deep as the cut.
    """
    work = work_on(x, saw)
    return CutSheet(
        joint=x,
        saw=saw,
        parts=_parts(work),
        steps=steps(work),
        finished=_finished(work),
        warnings=_warnings(work),
        cautions=cautions("saw"),
        assumptions=_assumptions(work),
        title="Cut sheet: parallel X",
    )


def _parts(work: Work) -> tuple[Part, ...]:
    x, tube = work.x, work.x.tube
    heel = material(tube.material).density * x.slug_volume()
    length = work.bend.clr * 2 * x.half_angle + 2 * work.main_straight
    mass = length * tube.mass_per_length - heel
    main = Part("A", "main bend, heel sliced", 2, Blank.whole(work.bend), length, mass)
    return (main, *following(x, work.returns, work.plan, work.saw, legs=4))


def _finished(work: Work) -> Table:
    x, butts = work.x, work.plan.butt_welds
    across = 1 + 2 * butts * math.sin(x.half_angle)  # the seam and two legs side by side
    along = 2 * butts * math.cos(x.half_angle)
    return finished_table(
        (
            ("Spacing, centre to centre", x.spacing, across),
            ("Gap between the tubes", x.gap, across),
            ("Outside width", x.outside_width, across),
            ("Overall length", work.overall_length, along),
        )
    )


def _warnings(work: Work) -> tuple[str, ...]:
    x, saw, od = work.x, work.saw, float(work.x.tube.od)
    found = list(x.notes)
    chord, _ = poses.extent(work.bend, work.sliced_straight, x)
    found += under_guides("The main bend, flat or standing,", saw, od, chord, turned=True)
    found += awkward(work.plan, work.returns, saw)
    left = work.tip_to_end
    if left < saw.clamp_length:
        found.append(
            f"Only {cut_length(left)} of round tube is left beyond the opening, less than the vice "
            f"holds ({cut_length(saw.clamp_length)}): clamp the bend in shaped blocks"
        )
    return tuple(found)


def _assumptions(work: Work) -> tuple[str, ...]:
    degree = abs(work.x.spacing_per_degree) * DEGREE / 2  # a degree of bend is half on each side
    moved = f"all of them a degree over moves the spacing {cut_length(degree)} wider"
    return tuple(bends_assumed(work.saw, moved))
