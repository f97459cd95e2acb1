"""The steps of an H pipe at the saw, the drill and the bench, in order."""

from __future__ import annotations

import math

from exhaust.cutmath import h_pipe_poses as poses
from exhaust.cutmath.bend_steps import straights_sawn
from exhaust.cutmath.cutsheet import Step
from exhaust.cutmath.finished import weld
from exhaust.cutmath.h_pipe_hole_steps import holes
from exhaust.cutmath.h_pipe_notch_steps import blank, ground, roughed
from exhaust.cutmath.h_pipe_work import LINES, HWork, balance_marks, primary_marks
from exhaust.show import Fact


def steps(work: HWork) -> tuple[Step, ...]:
    """Return what to do, in order: holes before the primaries are fixed, the split before tacks."""
    found = [_measure(work), _primaries(work), holes(work), blank(work)]
    if any(end.made for end in work.ends):
        found.append(roughed(work))
    found.append(ground(work))
    if work.h.split is not None:
        found.append(_split(work))
    return (*found, _fit(work), _weld(work))


def _measure(work: HWork) -> Step:
    h = work.h
    settings = (
        Fact("Balance tube, line to line", math.pi * h.balance_tube.od / 4.0, "cut", "a quarter"),
        Fact("Balance tube's own seam", "midway between the bottom and the entry side", "text"),
        Fact("Primary, a quarter round", math.pi * h.tube.od / 4.0, "cut", "facing line to top"),
        Fact("Primary's own seam", "on the side away from the balance tube", "text"),
    )
    checks = (
        Fact("Balance tube, outside", float(h.balance_tube.od), "cut", "two ways at each end"),
        Fact("Balance tube, inside", h.balance_tube.inside_diameter, "cut", "the hole's size"),
        Fact("Primary, outside, at the saddle", float(h.tube.od), "cut", "two ways"),
    )
    words = (
        "Scribe four lines along the balance tube, a quarter turn apart: top, exit side, bottom, "
        "entry side, as seen from the left primary looking along the tube, left being the left "
        "hand when you look along the flow. Both notches are clocked to the one top line. Scribe "
        "on each primary the line that faces the other and the top line. If a tube is not the "
        "size below, put it in the job and print again."
    )
    drawn = (poses.clocking(work),)
    return Step("Measure and mark", work.every_mark, words, settings, checks, drawn)


def _primaries(work: HWork) -> Step:
    h = work.h
    step = straights_sawn(h.tube, h.centreline_length, work.saw, "both")
    words = (
        "The length is that of the joint alone. Where the primary is part of a longer run, leave "
        "it whole, mark the entry end of the joint on it, and measure from there."
    )
    words = f"{step.words} {words}"
    drawn = tuple(pose._replace(title="Saw a primary") for pose in step.poses)
    return step._replace(
        title="Saw the primaries", parts=primary_marks(work.h), words=words, poses=drawn
    )


def _split(work: HWork) -> Step:
    h = work.h
    assert h.split is not None
    settings = (
        Fact("Split joint", h.split.kind, "text"),
        Fact("Tube that it takes", float(h.split.length), "cut"),
        Fact("Gap between the two ends of tube", float(h.split.gap), "cut"),
    )
    checks = (
        Fact("Bolted up, long point to long point", h.blank_length, "cut"),
        *(
            Fact(f"Bolted up, on the {name} line", work.line(clock), "cut")
            for name, clock in LINES.items()
        ),
    )
    words = "Before anything is tacked to the primaries: "
    if h.split.welded:
        words += (
            "tack each half of the joint square on the sawn end of its piece, bolt it up, and see "
            "that the top lines of both pieces meet. "
        )
    else:
        words += "clamp the two pieces together, the top lines of both pieces in line. "
    words += "Bolts where a hand and a socket reach them under the car. It stays bolted up until "
    words += "the H is welded."
    return Step("Fit the split joint", balance_marks(work.h), words, settings, checks)


def _fit(work: HWork) -> Step:
    h = work.h
    along = h.centreline_length * math.cos(h.splay / 2.0)
    diagonal = math.hypot((h.entry_spacing + h.exit_spacing) / 2.0, along)
    across = h.outside_width - h.exit_spacing
    above = (h.tube.od - h.balance_tube.od) / 2.0 + h.offset
    checks = (
        Fact("Gap between the primaries, entry", h.entry_gap, "cut"),
        Fact("Gap between the primaries, exit", h.gap, "cut"),
        Fact("Outside width, entry", h.entry_spacing + across, "cut"),
        Fact("Outside width, exit", h.outside_width, "cut"),
        Fact("Diagonals of the four ends", diagonal, "cut", "centre to centre, both alike"),
        Fact("Balance tube above the plate", above, "cut", "at both ends"),
    )
    words = (
        "On a flat plate, primaries held by spacers at both ends, holes facing. Lift the balance "
        "tube in, its top line up: it must drop in without force, and the gap all round be the "
        "same at both ends. Tack the left end at top and bottom, then the right end, check the "
        "spacing at entry and exit, then exit side and entry side of each, opposite in turn. See "
        "through a primary that its hole and the balance tube's inside are in line."
    )
    return Step("Fit and tack", work.every_mark, words, (), checks)


def _weld(work: HWork) -> Step:
    order = (
        "Weld each saddle in four runs between the lines, left and right end in turn, so that the "
        "primaries are not pulled in or bent at the entry: start on the primary's metal, and run "
        "off the balance tube's long points. "
    )
    if work.h.split is not None:
        order += "Keep the split joint bolted up until all is cold. "
    order += "Measure the spacing at both ends again when cold."
    return weld(work.h, order, "both primaries and the balance tube")
