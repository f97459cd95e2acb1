"""The splayed X at the saw: four straight legs, mitred in pairs, then sliced along the joint."""

from __future__ import annotations

import math

from exhaust.cutmath import dial
from exhaust.cutmath.cutsheet import Blank, CutSheet, Part, Step, under_guides
from exhaust.cutmath.finished import draws_in, finished_table, weld
from exhaust.cutmath.splayed_x_steps import (
    TIPS,
    blanks,
    clamp_allowance,
    in_clamp,
    lean,
    legs_blank,
    long_cut,
    mitred,
    squared_off,
)
from exhaust.joints import SplayedX
from exhaust.joints.splayed_end import MitredEnd
from exhaust.joints.splayed_rules import BISECTOR
from exhaust.show import Fact, cut_length, quantity
from exhaust.stock import Saw, material
from exhaust.tables import cautions

ALIKE = 1e-6  # sizes closer than this are the same at the bench [m]
ONE_ANGLE = 1e-9  # two legs closer in angle than this are cut alike [rad]


def cut_sheet(x: SplayedX, saw: Saw, sawn: bool = False) -> CutSheet:
    """Return the cut sheet of a splayed X, for the nearest angles that the dial can show.

    `joint` of the sheet is the one that these angles make; of mitres that are `sawn` already it is
    `x` itself. Raises `ExhaustError` when the dial is
    too coarse or the kerf as wide as the cut.
    """
    made = x if sawn else settable(x, saw)
    return CutSheet(
        joint=made,
        saw=saw,
        parts=_parts(made, saw),
        steps=steps(made, saw),
        finished=finished_table(_across_and_along(made)),
        warnings=_warnings(x, made, saw),
        cautions=cautions("saw"),
        assumptions=assumptions(saw),
        title="Cut sheet: splayed X",
    )


def settable(x: SplayedX, saw: Saw) -> SplayedX:
    """Return the joint nearest to `x` whose every cut is on a mark of the dial.

    >>> from exhaust import Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> x = SplayedX(tube, included_angle="44.7 deg", cutback=0.3, leg_length="9 in")
    >>> round(math.degrees(settable(x, Saw(kerf="1.1 mm")).included_angle), 6)
    45.0
    """
    first, second = x.entry, x.exit
    mitres = [dial.mitre_on_dial(end.mitre_angle, saw) for end in (first, second)]
    tilt = 0.0
    if x.unequal == BISECTOR:  # one mitre for both, and one tilt either way: rounded once
        mitres[1] = mitres[0]
        tilt = dial.on_dial(first.tilt, saw)
    angles = [mitres[0] + tilt, mitres[1] - tilt]
    if all(abs(a - end.angle) < ONE_ANGLE for a, end in zip(angles, (first, second), strict=True)):
        return x
    entry, leaving = (dial.in_degrees(2.0 * angle) for angle in angles)
    return x.with_(included_angle=entry, exit_angle=leaving)


def groups(x: SplayedX) -> tuple[tuple[MitredEnd, str], ...]:
    """Return the legs that are cut alike, with their marks; two of each, or four of one."""
    return ((x.entry, "A"), (x.exit, "B"))


def _parts(x: SplayedX, saw: Saw) -> tuple[Part, ...]:
    tube, found = x.tube, []
    density = material(tube.material).density
    for (end, label), where in zip(groups(x), ("entry", "exit"), strict=True):
        slug = end.removed_volume(end.radius) - end.removed_volume(end.leg.bore)
        mass = end.length * tube.mass_per_length - density * slug
        what = f"leg of the {where}, mitred and sliced"
        blank = Blank(tube, legs_blank(end, saw), makes=2)
        found.append(Part(label, what, 2, blank, end.length, mass))
    return tuple(found)


def steps(x: SplayedX, saw: Saw) -> tuple[Step, ...]:
    """Return what to do, in order: both legs of an end at one setting."""
    ends = (x.entry, x.exit)
    sawn = [blanks(ends, "A B", x.tube, saw)]
    if _mitred_alike(x, saw):
        sawn.append(mitred(x.entry, "A B", saw))
    else:
        sawn += [mitred(end, label, saw) for end, label in groups(x)]
    sliced = ((x.entry, "A B"),) if x.entry == x.exit else groups(x)
    cuts = [long_cut(end, label, saw) for end, label in sliced]
    if abs(x.entry.tilt) > ONE_ANGLE:
        cuts = [cut._replace(words=f"{_hands(x)} {cut.words}") for cut in cuts]
    squared = [step for end, label in sliced for step in squared_off(end, label, saw)]
    return (*sawn, *cuts, *squared, _fit(x), weld(x, TIPS))


def _mitred_alike(x: SplayedX, saw: Saw) -> bool:
    """Return whether the legs of both ends are mitred at one setting."""
    first, second = (in_clamp(end, saw) for end in (x.entry, x.exit))
    same = abs(first.mitre_angle - second.mitre_angle) < ONE_ANGLE
    return same and abs(first.length - second.length) < ALIKE


def _hands(x: SplayedX) -> str:
    return (
        "Legs A and B are of opposite hand: at the same mitre the blade stands "
        f"{quantity(abs(x.entry.tilt), 'angle')} from square for both, for A {lean(x.entry.tilt)}, "
        f"for B {lean(x.exit.tilt)}. Mark them before sawing."
    )


def _fit(x: SplayedX) -> Step:
    along = sum(end.length * math.cos(end.angle) for end in x.ends)
    across = (x.entry_spacing + x.spacing) / 2.0
    checks = [
        Fact("Length of the opening, tip to tip", x.opening_length, "cut"),
        Fact("Height of the opening", x.opening_height, "cut"),
        *_face_checks(x),
        *_end_checks(x),
        Fact("Overall length, over the ends' corners", x.overall_length, "cut"),
        Fact(
            "Diagonals of the four exits",
            math.hypot(across, along),
            "cut",
            "centre to centre, both alike: the X is square",
        ),
    ]
    words = (
        "On a flat plate put an entry leg to an exit leg, mitre to mitre, outer edges level: that "
        "is one side. Tack each side at the outer edge, then top and bottom. Stand the two sides "
        "cut face to cut face, tack the middle top and bottom, then both tips, checking both ends "
        "after each tack. The seam is not to be forced shut: a gap at one tip says that a mitre "
        "is off, a gap along all of it that a leg was rolled in the saw."
    )
    return Step("Fit and tack", "A B", words, (), tuple(checks))


def _face_checks(x: SplayedX) -> list[Fact]:
    over = [2.0 * end.kept_width * math.cos(end.tilt) for end in x.ends]
    found = [Fact("Over both sides at the mitres", over[0], "cut")]
    if abs(x.width_mismatch) > ALIKE:
        found.append(Fact("Over the exit legs at the mitres", over[1], "cut", "unlike the entry's"))
    if x.worst_step > ALIKE:
        note = "form it level before tacking"
        found.append(Fact("Largest step between the edges", x.worst_step, "tube", note))
    return found


def _end_checks(x: SplayedX) -> list[Fact]:
    found = []
    for end, name in zip(x.ends, ("entry", "exit"), strict=True):
        found += [
            Fact(f"Gap between the tubes, {name}", end.gap, "cut", "at the near corners"),
            Fact(f"Outside width, {name}", end.outside_width, "cut", "over the far corners"),
        ]
    return found


def _across_and_along(x: SplayedX) -> tuple[tuple[str, float, float], ...]:
    found: list[tuple[str, float, float]] = []
    for end, name in zip(x.ends, ("entry", "exit"), strict=True):
        found += [
            (f"Spacing at the {name}, centre to centre", end.spacing, 1.0),
            (f"Gap between the tubes, {name}", end.gap, 1.0),
            (f"Outside width, {name}", end.outside_width, 1.0),
        ]
    return (*found, ("Overall length", x.overall_length, 1.0))


def _warnings(asked: SplayedX, made: SplayedX, saw: Saw) -> tuple[str, ...]:
    found = list(made.notes)
    if made is not asked:
        found.append(rounded(saw, _angles(asked), _angles(made), (asked.spacing, made.spacing)))
    for end, label in groups(made):
        found += leg_warnings(end, label, saw)
    return tuple(found)


def _angles(x: SplayedX) -> str:
    each = dict.fromkeys(
        f"{math.degrees(angle):.4g}°" for angle in (x.included_angle, x.exit_angle)
    )
    return " and ".join(each)


def rounded(
    saw: Saw, asked: str, made: str, spacing: tuple[float, float], where: str = "the exit"
) -> str:
    """Return what the steps of the dial change, in words: angles, then the spacing at one end."""
    return (
        f"The dial moves in steps of {math.degrees(saw.angle_step):.4g}°: this sheet is for an "
        f"included angle of {made} instead of {asked}, everything worked out anew; the spacing at "
        f"{where} becomes {cut_length(spacing[1])} instead of {cut_length(spacing[0])}"
    )


def leg_warnings(end: MitredEnd, label: str, saw: Saw) -> list[str]:
    """Return what `saw` makes awkward about the mitred legs marked `label`."""
    found, od = [], 2.0 * end.radius
    for what, angle in (("mitre", end.mitre_angle), ("long cut", end.tilt)):
        at = dial.dialled(angle, saw)
        if at.wedge:
            found.append(
                f"The {what} of {label} is {quantity(abs(angle), 'angle')} from square, past the "
                f"dial: set {quantity(at.dial, 'angle')} and put a wedge of "
                f"{quantity(at.wedge, 'angle')} between fence and work"
            )
    for what, width in (("The mitre", end.mitre_opening), ("The long cut", end.run_out)):
        found += under_guides(f"{what} of {label}", saw, od, width)
    short = clamp_allowance(end, saw)
    if short > 0.0:
        found.append(
            f"Leg {label} leaves {cut_length(end.left_beyond_tip)} of round tube beyond the tip, "
            f"less than the clamp holds ({cut_length(saw.clamp_length)}): saw its blank "
            f"{cut_length(short)} longer at the square end, and square it off after the long cut"
        )
    return found


def assumptions(saw: Saw) -> tuple[str, ...]:
    """Return what every setting of straight legs takes for granted."""
    return (
        "Tube is round and straight with an even wall; the sides of a leg are parallel.",
        f"Kerf {cut_length(saw.kerf)} as measured on a test cut.",
        "The dial is true: check it with a square, and the first mitre by its opening.",
        draws_in(),
    )
