"""The H pipe at the saw: a balance tube sawn square and notched, a hole in each primary."""

from __future__ import annotations

import math

from exhaust.cutmath.cutsheet import Blank, CutSheet, Part, fits, under_guides
from exhaust.cutmath.dial import dialled
from exhaust.cutmath.finished import draws_in, finished_table
from exhaust.cutmath.h_pipe_steps import steps
from exhaust.cutmath.h_pipe_work import GRIND, SIDES, End, HWork, primary_marks, work_on
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
    return (*_balance_parts(work), *_primary_parts(work))


def _plugs(h: HPipe) -> list[float]:
    """Mass of metal that each hole takes [kg]."""
    density = material(h.tube.material).density
    return [density * saddle_measures.plug_volume(saddle) for saddle in h.saddles]


def _balance_parts(work: HWork) -> list[Part]:
    h, blanks = work.h, [Blank(work.h.balance_tube, length) for length in work.sawn]
    primaries = 2.0 * h.centreline_length * h.tube.mass_per_length - sum(_plugs(h))
    mass = h.mass - primaries
    if h.split is None:
        what = "balance tube, notched at both ends"
        return [Part("A", what, 1, blanks[0], h.blank_length, mass)]
    if work.alike:
        what = "balance tube, notched at one end"
        return [Part("A", what, 2, blanks[0], h.pieces[0], mass / 2.0)]
    rows = zip("AB", SIDES, blanks, h.pieces, _shares(work), strict=True)
    return [
        Part(mark, f"balance tube, {side} piece", 1, blank, length, mass * share)
        for mark, side, blank, length, share in rows
    ]


def _primary_parts(work: HWork) -> list[Part]:
    h, marks = work.h, primary_marks(work.h).split()
    length = h.centreline_length
    blank, mass, plugs = Blank(h.tube, length), length * h.tube.mass_per_length, _plugs(h)
    if work.alike:
        return [Part(marks[0], "primary, holed", 2, blank, length, mass - plugs[0])]
    return [
        Part(mark, f"{side} primary, holed", 1, blank, length, mass - plug)
        for mark, side, plug in zip(marks, SIDES, plugs, strict=True)
    ]


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
        found += under_guides(what, saw, float(tube.od), float(tube.od))
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
        if fits(work.saw, od, od):
            found += under_guides(f"The flat cut on the {name}", work.saw, od, wide)
    return found


def _assumptions(work: HWork) -> tuple[str, ...]:
    step = math.degrees(work.saw.angle_step)
    return (
        "Tube is round and straight with an even wall; the primaries lie in one plane.",
        f"Kerf {cut_length(work.saw.kerf)} as measured on a test cut.",
        f"Sawn edges stay {cut_length(GRIND)} clear of the finished edge, for the grinder (common "
        "practice).",
        f"The dial moves in steps of {step:.4g}°; each flat cut is at the mark that leaves least "
        "to grind, and the finished edge does not hang on it.",
        draws_in(),
    )
