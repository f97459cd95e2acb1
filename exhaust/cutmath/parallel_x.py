"""The parallel X at the saw: two bends with the heel sliced, back to back, and their returns."""

from __future__ import annotations

import math

from exhaust.cutmath import poses_parallel_x as poses
from exhaust.cutmath.cutsheet import Blank, CutSheet, Part, fits, too_big
from exhaust.cutmath.parallel_x_steps import steps
from exhaust.cutmath.parallel_x_work import Work, work_on
from exhaust.joints import ParallelX
from exhaust.show import Column, Table, cut_length
from exhaust.stock import DEGREE, Saw, material
from exhaust.tables import cautions

SHRINK = (0.5e-3, 1.0e-3)  # of one welded joint [m]; common practice, no source
RING = 12e-3  # a straight piece shorter than this is a ring that is hard to saw and weld [m]


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
    x, tube, returns = work.x, work.x.tube, work.returns
    heel = material(tube.material).density * x.slug_volume()
    main = work.bend.clr * 2 * x.half_angle + 2 * work.main_straight
    back = returns.clr * x.half_angle + max(work.plan.at_exit, 0.0) + work.plan.left_on_return
    if not x.trimmed:
        back -= work.saw.kerf / 2
    per_metre = tube.mass_per_length
    sliced = Blank.whole(work.bend)
    parts = [
        Part("A", "main bend, heel sliced", 2, sliced, main, main * per_metre - heel),
        Part("B", _return_text(work), 4, Blank.whole(returns, 2), back, back * per_metre),
    ]
    if work.plan.piece:
        length = work.plan.piece
        parts.append(Part("C", "straight", 4, Blank(tube, length), length, length * per_metre))
    return tuple(parts)


def _return_text(work: Work) -> str:
    angle = math.degrees(work.x.half_angle)
    return f"return, {angle:.1f}° of bend, two from each bend"


def _finished(work: Work) -> Table:
    """After tacking as designed; after welding each joint has drawn in by SHRINK."""
    x, butts = work.x, work.plan.butt_welds
    across = 1 + 2 * butts * math.sin(x.half_angle)  # the seam and two legs side by side
    along = 2 * butts * math.cos(x.half_angle)
    columns = (
        Column("dimension", "Dimension"),
        Column("tacked", "After tacking", "cut"),
        Column("welded_most", "After welding, at most", "cut"),
        Column("welded_least", "After welding, at least", "cut"),
    )
    rows = []
    for name, value, joints in (
        ("Spacing, centre to centre", x.spacing, across),
        ("Gap between the tubes", x.gap, across),
        ("Outside width", x.outside_width, across),
        ("Overall length", work.overall_length, along),
    ):
        rows.append((name, value, value - joints * SHRINK[0], value - joints * SHRINK[1]))
    return Table(columns, tuple(rows))


def _warnings(work: Work) -> tuple[str, ...]:
    x, saw, plan, od = work.x, work.saw, work.plan, float(work.x.tube.od)
    found = list(x.notes)
    chord, _ = poses.extent(work.bend, work.sliced_straight, x)
    if not fits(saw, od, chord) and not fits(saw, chord, od):
        found.append(
            too_big("The main bend, flat or standing,", saw, min(od, chord), max(od, chord))
        )
    if 0 < plan.piece < RING:
        found.append(
            f"Each straight is a ring of {cut_length(plan.piece)}, hard to saw and weld: widen the "
            "spacing or choose bends with longer straight ends"
        )
    elif 0 < plan.piece < saw.clamp_length:
        found.append(
            f"A straight of {cut_length(plan.piece)} is shorter than the vice holds "
            f"({cut_length(saw.clamp_length)}): saw it from long stock, never the other way round"
        )
    left = work.tip_to_end
    if left < saw.clamp_length:
        found.append(
            f"Only {cut_length(left)} of round tube is left beyond the opening, less than the vice "
            f"holds ({cut_length(saw.clamp_length)}): clamp the bend in shaped blocks"
        )
    return tuple(found)


def _assumptions(work: Work) -> tuple[str, ...]:
    degree = abs(work.x.spacing_per_degree) * DEGREE / 2  # a degree of bend is half on each side
    return (
        f"Bends are true: all of them a degree over moves the spacing {cut_length(degree)} wider.",
        "Tube is round with an even wall; a bend's heel is thinner than that (measure it).",
        f"Kerf {cut_length(work.saw.kerf)} as measured on a test cut.",
        f"Each welded joint draws in {cut_length(SHRINK[0])} to {cut_length(SHRINK[1])} "
        "(common practice).",
    )
