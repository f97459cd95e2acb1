"""The H pipe at the saw: a balance tube sawn square and notched, a hole in each primary."""

from __future__ import annotations

import math

from exhaust.cutmath.cutsheet import CutSheet, Part, fits, too_big
from exhaust.cutmath.dial import dialled
from exhaust.cutmath.h_pipe_steps import steps
from exhaust.cutmath.h_pipe_work import GRIND, SIDES, End, HWork, work_on
from exhaust.cutmath.parallel_x import SHRINK
from exhaust.cutmath.splayed_x import finished_table
from exhaust.geometry import saddle_measures
from exhaust.geometry.saddle_rough import edge_angle
from exhaust.joints import HPipe
from exhaust.show import Table, cut_length, quantity
from exhaust.stock import DEGREE, Saw, material
from exhaust.tables import cautions

FEATHER = 20.0 * DEGREE  # an edge sharper than this burns and bends; common practice, no source


def cut_sheet(h: HPipe, saw: Saw) -> CutSheet:
    """Return the cut sheet of an H pipe.

    The saw squares the balance tube and roughs out its notches, at angles that the dial can show;
    the notches are ground and the holes drilled.
    """
    work = work_on(h, saw)
    return CutSheet(
        joint=h,
        saw=saw,
        parts=_parts(work),
        steps=steps(work),
        finished=_finished(work),
        warnings=_warnings(work),
        cautions=cautions("saw"),
        assumptions=_assumptions(work),
        title="Cut sheet: H pipe",
    )


def _parts(work: HWork) -> tuple[Part, ...]:
    h, tube, other = work.h, work.h.tube, work.h.balance_tube
    plugs = [material(tube.material).density * saddle_measures.plug_volume(e) for e in h.saddles]
    primary = h.centreline_length * tube.mass_per_length
    stock, count = f"tube {other.name}", len(work.sawn)
    balance = h.mass - 2.0 * primary + sum(plugs)
    found = []
    if work.alike or count == 1:
        what = (
            "balance tube, notched at both ends" if count == 1 else "balance tube, one notched end"
        )
        length = h.blank_length if count == 1 else h.pieces[0]
        found.append(Part("A", what, count, stock, length, balance / count))
    else:
        shares = _shares(work)
        for mark, side, length, share in zip("AB", SIDES, h.pieces, shares, strict=True):
            what = f"balance tube, {side} piece"
            found.append(Part(mark, what, 1, stock, length, balance * share))
    stock = f"tube {tube.name}"
    marks = work.primary_marks.split()
    if work.alike:
        mass = primary - plugs[0]
        found.append(Part(marks[0], "primary, holed", 2, stock, h.centreline_length, mass))
        return tuple(found)
    for mark, side, plug in zip(marks, SIDES, plugs, strict=True):
        what = f"{side} primary, holed"
        found.append(Part(mark, what, 1, stock, h.centreline_length, primary - plug))
    return tuple(found)


def _shares(work: HWork) -> tuple[float, float]:
    """Shares of the balance tube's metal in the left and the right piece."""
    h = work.h
    metal = []
    for end, piece in zip(work.ends, h.pieces, strict=True):
        saddle = end.saddle
        whole = end.square + GRIND + piece  # from the primary's axis to the square end
        plunge = [
            saddle_measures.plunge_volume(crossing) for crossing in (saddle.outside, saddle.hole)
        ]
        metal.append(math.pi * (saddle.radius**2 - saddle.bore**2) * whole - plunge[0] + plunge[1])
    return metal[0] / sum(metal), metal[1] / sum(metal)


def _finished(work: HWork) -> Table:
    """Across lie the two saddles, and the two welds of a split joint that is welded on."""
    h = work.h
    over = 4.0 if h.split is not None and h.split.welded else 2.0
    across = h.outside_width - h.exit_spacing
    rows = (
        ("Spacing at the entry, centre to centre", h.entry_spacing, over),
        ("Spacing at the exit, centre to centre", h.exit_spacing, over),
        ("Gap between the primaries, exit", h.gap, over),
        ("Outside width, entry", h.entry_spacing + across, over),
        ("Outside width, exit", h.outside_width, over),
        ("Overall length", h.overall_length, 0.0),
    )
    return finished_table(rows)


def _warnings(work: HWork) -> tuple[str, ...]:
    h, saw = work.h, work.saw
    found = [note[:1].upper() + note[1:] for note in h.notes]
    sharp = min(edge_angle(end.saddle) for end in work.ends)
    if sharp < FEATHER:
        found.append(
            f"The balance tube is drawn out to an edge of {quantity(sharp, 'angle')} at its long "
            "points: back them with a wooden plug in the bore while sawing and grinding, grind "
            "away from the tip, and weld them last and cold"
        )
    for end in work.told:
        found += _cut_warnings(work, end)
    shortest = min(work.sawn)
    if work.held < saw.clamp_length:
        found.append(
            f"Only {cut_length(max(work.held, 0.0))} of the balance tube is whole all round, less "
            f"than the vice holds ({cut_length(saw.clamp_length)}): rough out each notch on the "
            "end of the long stock and saw the piece off after it; grind the other end with the "
            "piece on a mandrel"
        )
    elif shortest < saw.clamp_length:
        found.append(
            f"A piece of {cut_length(shortest)} is shorter than the vice holds: saw it from long "
            "stock, never the other way round"
        )
    for what, tube in (("The balance tube", h.balance_tube), ("A primary", h.tube)):
        if not fits(saw, float(tube.od), float(tube.od)):
            found.append(too_big(what, saw, float(tube.od), float(tube.od)))
    return tuple(found)


def _cut_warnings(work: HWork, end: End) -> list[str]:
    found, od = [], float(work.h.balance_tube.od)
    for cut in end.made:
        side = "exit" if cut.side > 0 else "entry"
        name = f"{side} side" if work.alike else f"{side} side of the {SIDES[end.side]} end"
        at = dialled(cut.angle, work.saw)
        wide = od / math.cos(cut.angle)
        if at.wedge:
            found.append(
                f"The flat cut on the {name} is {quantity(abs(cut.angle), 'angle')} from square, "
                f"past the dial: set {quantity(at.dial, 'angle')} and put a wedge of "
                f"{quantity(at.wedge, 'angle')} between fence and tube"
            )
        if not fits(work.saw, od, wide) and fits(work.saw, od, od):
            found.append(too_big(f"The flat cut on the {name}", work.saw, od, wide))
    return found


def _assumptions(work: HWork) -> tuple[str, ...]:
    step = math.degrees(work.saw.angle_step)
    return (
        "Tube is round and straight with an even wall; the primaries lie in one plane.",
        f"Kerf {cut_length(work.saw.kerf)} as measured on a test cut.",
        f"Sawn edges stay {cut_length(GRIND)} clear of the finished edge, for the grinder (common "
        "practice).",
        f"The dial moves in steps of {step:.4g}°; each flat cut is at the mark that leaves least "
        "to grind, so a degree off costs grinding and spoils nothing.",
        f"Each welded joint draws in {cut_length(SHRINK[0])} to {cut_length(SHRINK[1])} (common "
        "practice).",
    )
