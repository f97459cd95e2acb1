"""Every number of a whole cut sheet beside the same worked by hand: none left out, none over.

Plain trigonometry of circles, arcs and ellipses in mm, from the sizes that are asked for. Seams
that are no arc are summed from 20,000 chords. What has a limit of the shop's in it (the vice, the
third of the way out to a tack, the kerf) carries it as common practice has it.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from exhaust import (
    Bend,
    ParallelToSplayedX,
    ParallelX,
    Saw,
    SplayedX,
    Tube,
    YMerge,
    cut_sheet,
)
from exhaust.joints import Joint

NEAR = 2e-6  # [mm]; chords of a seam
FACE = 0.01  # [mm]; an opening measured on a face that is half a kerf from the middle
SAW = Saw(kerf="1.1 mm")  # its vice holds 50.8 mm, its dial goes to 45 degrees
K, CLAMP = 1.1, 50.8
D, WALL, R, TANGENT = 63.5, 1.651, 95.25, 30.0
A = D / 2
HEEL, THROAT = R + A, R - A
QUARTER = math.pi / 4
TUBE = Tube(od=f"{D} mm", wall=f"{WALL} mm")
BEND = Bend(TUBE, clr=f"{R} mm", tangent=f"{TANGENT} mm")

Numbers = dict[str, float]
Sheet = dict[str, Numbers]


def chords(t: np.ndarray, z: np.ndarray) -> float:
    return float(np.sum(np.hypot(np.diff(t), np.diff(z))))


def round_half(offset: float) -> np.ndarray:
    """Turns round the tube from side to side of a cut at `offset`, crowded at both sides."""
    last = math.acos(offset / A)
    return last * np.sin(np.linspace(-math.pi / 2, math.pi / 2, 20_001))


def bend_seam(depth: float) -> float:
    """One half of the edge of a slice through a bend."""
    turn = round_half(A - depth)
    t = np.sqrt(np.maximum((R + A * np.cos(turn)) ** 2 - (HEEL - depth) ** 2, 0.0))
    return chords(t, A * np.sin(turn))


def leg_seam(offset: float, angle: float) -> float:
    turn = round_half(offset)
    return chords(A * np.cos(turn) / math.sin(angle), A * np.sin(turn))


def mitre_seam(offset: float, mitre: float) -> float:
    first = math.acos(offset / A)
    turn = np.linspace(first, 2 * math.pi - first, 20_001)
    return chords(A * np.cos(turn) / math.cos(mitre), A * np.sin(turn))


def high(offset: float) -> float:
    return 2 * math.sqrt(A**2 - offset**2)


def wall(length: float) -> float:
    """Metal of straight tube [mm^3]."""
    return math.pi * (D - WALL) * WALL * length


# Steps that sheets share


def measured() -> Numbers:
    return {
        "Heel, end to middle": HEEL * QUARTER + TANGENT,
        "Outside diameter, heel to throat": D,
        "Outside diameter, square to that": D,
        "Wall at the heel, at least": WALL * R / HEEL,
        "Angle of each bend": math.pi / 2,
        "Straight end on each side": TANGENT,
    }


def slice_of(depth: float, straight: float, half: float = QUARTER) -> Numbers:
    """The slice of a bend whose opening stays in the bend."""
    plane = HEEL - depth
    return {
        "Stop to the blade's far face (kept side)": depth,
        "Stop to the blade's near face": depth - K,
        "Blade from square": 0.0,
        "Length of the opening": 2 * math.sqrt(HEEL**2 - plane**2),
        "Height of the opening": high(plane - R),
        "Tip to end of bend along the heel": HEEL * (half - math.acos(plane / HEEL)) + straight,
        "Throat to cut face at the middle": D - depth,
        "Slug: greatest depth": depth - K,
        "Slug: length": 2 * math.sqrt(HEEL**2 - (plane + K) ** 2),
    }


RETURNS = {
    "Heel, end to the middle of the blade": HEEL * QUARTER + TANGENT,
    "Throat, end to the middle of the blade": THROAT * QUARTER + TANGENT,
    "Blade from square": 0.0,
    "Heel of each half": HEEL * QUARTER + TANGENT - K / 2,
    "Angle of each half": QUARTER,
}


def straights(length: float) -> Numbers:
    return {
        "Stop to the blade's near face": length,
        "Blade from square": 0.0,
        "Length all round": length,
    }


def welds(**seams: tuple[int, float]) -> Numbers:
    found = {f"{n} x {name.replace('_', ' ')}": length for name, (n, length) in seams.items()}
    return found | {"Weld in all": sum(n * length for n, length in seams.values())}


def blanks(*lengths: float) -> Numbers:
    found = {f"Blank for two legs {mark}": size for mark, size in zip("AB", lengths, strict=False)}
    return found | {
        "Blade from square": 0.0,
        "Line to line round the tube": math.pi * D / 2,
        "Outside diameter at the mitre": D,
        "Heel line to outer line, across": D,
    }


def mitre(angle: float, length: float) -> Numbers:
    long, short = length + A * math.tan(angle), length - A * math.tan(angle)
    return {
        "Blade from square, on the dial": angle,
        "Stop to the blade's near face, heel line": long,
        "Stop to the blade's near face, outer line": short,
        "Mitre opening": D / math.cos(angle),
        "Angle that the opening shows": angle,
        "Heel line, square end to long point": long,
        "Outer line, square end to short point": short,
    }


def long_cut(off: float, angle: float, of_mitre: float, length: float) -> Numbers:
    """`off` comes off square to the leg; the plane stands at `angle` to the leg."""
    tilt, drop = angle - of_mitre, off * math.tan(of_mitre) + off / math.tan(angle)
    opening = D / math.cos(of_mitre)
    less = off / math.cos(of_mitre)
    return {
        "Blade from square to the fence": abs(tilt),
        "Outer edge to the blade's near face": opening - less,
        "Or heel edge to the blade's near face": less,
        "Half line above the table": A,
        "Kept width, outer edge to the cut": opening - less,
        "Seam height at the mitre": high(A - off),
        "Run-out along the sawn face, corner to tip": off / math.sin(angle),
        "Round tube beyond the tip, heel line": length + A * math.tan(of_mitre) - drop,
        "Slug: width of its mitre face": less - K / math.cos(tilt),
        "Smallest leg for this clamp, centreline": drop + CLAMP - A * math.tan(of_mitre),
        "Smallest heel line for this clamp": drop + CLAMP,
    }


# The sheets


def parallel_x() -> tuple[Joint, Sheet]:
    """Pieces of straight between: the need is the straight and half the kerf of halving."""
    depth, spacing, half = 0.3 * D, 230.0, QUARTER
    rise = 2 * R * (1 - math.cos(half))
    between = (spacing / 2 - (HEEL - depth - R) - rise) / math.sin(half)
    along = 2 * (2 * R * math.sin(half) + between * math.cos(half) + TANGENT)
    joint = ParallelX(BEND, cutback=0.3, spacing=f"{spacing} mm")
    return joint, {
        "Measure and mark": measured(),
        "Slice the heel": slice_of(depth, TANGENT),
        "Halve the returns": RETURNS,
        "Saw the straights": straights(between + K / 2 - TANGENT),
        "Fit and tack": across_x(spacing, along),
        "Weld": welds(
            round_the_opening=(1, 2 * bend_seam(depth)), bend_to_return_bend=(8, math.pi * D)
        ),
    }


def across_x(spacing: float, along: float) -> Numbers:
    return {
        "Gap between the tubes, front": spacing - D,
        "Gap between the tubes, back": spacing - D,
        "Outside width, front": spacing + D,
        "Outside width, back": spacing + D,
        "Overall length": along,
        "Diagonals of the four exits": math.hypot(spacing, along),
    }


def sawn_out() -> tuple[Joint, Sheet]:
    """The straight ends of both bends make up the straight: sawn faces out, half a kerf short."""
    depth, between = 0.3 * D, 45.0
    rise = 2 * R * (1 - math.cos(QUARTER)) + between * math.sin(QUARTER)
    spacing = 2 * (HEEL - depth - R + rise)
    along = 2 * (2 * R * math.sin(QUARTER) + between * math.cos(QUARTER) - K / 2)
    joint = ParallelX(BEND, cutback=0.3, spacer=f"{between} mm")
    return joint, {
        "Measure and mark": measured(),
        "Slice the heel": slice_of(depth, TANGENT),
        "Halve the returns": RETURNS | {"Straight left on the factory end": between - TANGENT},
        "Fit and tack": across_x(spacing, along),
        "Weld": welds(
            round_the_opening=(1, 2 * bend_seam(depth)), bend_to_return_bend=(4, math.pi * D)
        ),
    }


def trimmed_x() -> tuple[Joint, Sheet]:
    """Closer than whole bends come: every bend turns acos(1 - rise/2R) only, no straight."""
    depth, spacing = 0.28 * D, 110.0
    half = math.acos(1 - (spacing / 2 - (HEEL - depth - R)) / (2 * R))
    along = 2 * (2 * R * math.sin(half) + TANGENT)
    joint = ParallelX(BEND, cutback=0.28, spacing=f"{spacing} mm")
    return joint, {
        "Measure and mark": measured(),
        "Trim the bends": {
            "Heel, middle to cut": HEEL * half,
            "Throat, middle to cut": THROAT * half,
            "Angle left each side of the middle": half,
        },
        "Slice the heel": slice_of(depth, 0.0, half),
        "Cut the returns": {
            "Heel, factory end of bend to cut": HEEL * half + TANGENT,
            "Throat, factory end of bend to cut": THROAT * half + TANGENT,
        },
        "Fit and tack": across_x(spacing, along),
        "Weld": welds(
            round_the_opening=(1, 2 * bend_seam(depth)), bend_to_return_bend=(4, math.pi * D)
        ),
    }


def splayed(exit_degrees: float) -> tuple[Joint, Sheet]:
    """Both legs mitred to half the sum of their angles; the rest of each is the long cut's."""
    share, length = 0.3, 250.0
    angles = math.radians(20.0), math.radians(exit_degrees / 2)
    middle = sum(angles) / 2
    off, opening = share * D, D / math.cos(middle)
    kept = (1 - share) * opening
    tilts = [angle - middle for angle in angles]
    drops = [(kept - opening / 2) * math.cos(tilt) for tilt in tilts]
    spacings = [
        2 * (drop + length * math.sin(angle)) for drop, angle in zip(drops, angles, strict=True)
    ]
    outs = [length * math.cos(angle) for angle in angles]
    joint = SplayedX(
        TUBE,
        included_angle="40 deg",
        exit_angle=f"{exit_degrees} deg",
        cutback=share,
        leg_length=f"{length} mm",
    )
    blank = 2 * length + K / math.cos(middle)
    sheet: Sheet = {
        "Saw blanks and mark the lines": blanks(blank, blank),
        "Mitre the legs": mitre(middle, length),
    }
    for number, angle in enumerate(angles[: 1 if tilts[0] == 0.0 else 2]):
        sheet["The long cut" + " " * number] = long_cut(off, angle, middle, length)
    sheet["Fit and tack"] = {
        "Length of the opening, tip to tip": sum(off / math.sin(angle) for angle in angles),
        "Height of the opening": high(A - off),
        "Over both sides at the mitres": 2 * kept * math.cos(tilts[0]),
        "Overall length, over the ends' corners": sum(outs) + sum(A * math.sin(x) for x in angles),
        "Diagonals of the four exits": math.hypot(sum(spacings) / 2, sum(outs)),
    }
    for end, spacing, angle in zip(("entry", "exit"), spacings, angles, strict=True):
        sheet["Fit and tack"] |= {
            f"Gap between the tubes, {end}": spacing - D * math.cos(angle),
            f"Outside width, {end}": spacing + D * math.cos(angle),
        }
    seam = sum(leg_seam(A - off, angle) for angle in angles)
    both = mitre_seam(A - off, middle)
    sheet["Weld"] = welds(round_the_opening=(1, seam), mitre=(2, both))
    return joint, sheet


HALVED = HEEL - 0.3 * D  # plane of the X, from the bends' axis
PARALLEL = 2 * (HALVED - R + 2 * R * (1 - math.cos(QUARTER)))  # its spacing without straights
ALONG = 2 * R * math.sin(QUARTER) + TANGENT


def half_mitred() -> tuple[Joint, Sheet]:
    """A leg keeps what the bend keeps: (1 - f) D along its mitre's face."""
    depth, length, angle = 0.3 * D, 250.0, math.radians(22.5)
    opening, kept = D / math.cos(angle), 0.7 * D
    off = (opening - kept) * math.cos(angle)
    spacing = 2 * (kept - opening / 2 + length * math.sin(angle))
    chord = math.sqrt(HEEL**2 - HALVED**2)
    corners = 2 * (HALVED - THROAT * math.cos(QUARTER) + K / 2 * math.sin(QUARTER))
    wide = A / math.cos(angle)
    height = A * math.sqrt(1 - ((kept - wide) / wide) ** 2)
    blank = 2 * length + K / math.cos(angle)
    joint = ParallelToSplayedX(
        BEND, cutback=0.3, included_angle="45 deg", leg_length=f"{length} mm"
    )
    seen = {"Height of the opening at the cut": high(HALVED - R)}
    return joint, {
        "Measure and mark": measured(),
        "Shorten the straight ends": {"Straight left on each end": K / 2},
        "Slice the heel": slice_of(depth, K / 2),
        "Halve the returns": RETURNS,
        "Tack the X": {
            "Tacks from the middle plane, at least": 2 * chord / 6,
            "Length of the opening, tip to tip": 2 * chord,
            "Over both bends in the middle": 2 * kept,
            "Far corners of the bends' ends": corners,
        },
        "Secure and halve the X": seen
        | {
            "Tips of the kept half to the blade's near face": chord,
            "Blade from square": 0.0,
            "Kerf, all in the spare half": K,
            "Halved opening, over both bends": 2 * kept,
            "Seam left on the kept half, to the tips": chord,
            "Far corners of its ends, after the cut": corners,
        },
        "Saw blanks and mark the lines": {
            name.replace("legs A", "legs D"): value for name, value in blanks(blank).items()
        },
        "Mitre the legs": mitre(angle, length),
        "The long cut": long_cut(off, angle, angle, length)
        | {"Take-off of each leg": opening - kept},
        "Fit and tack": {
            "Length of the opening, tip to tip": chord + off / math.sin(angle),
            "Largest step between the edges": math.hypot(kept - A, height) - A,
            "Gap between the parallel tubes": PARALLEL - D,
            "Outside width, parallel end": PARALLEL + D,
            "Gap between the legs' ends": spacing - D * math.cos(angle),
            "Outside width, legs' ends": spacing + D * math.cos(angle),
            "Overall length, over the legs' corners": ALONG
            + length * math.cos(angle)
            + A * math.sin(angle),
            "Diagonals of the four ends": math.hypot(
                (PARALLEL + spacing) / 2, ALONG + length * math.cos(angle)
            ),
        },
        "Weld": welds(
            round_the_opening=(1, bend_seam(depth) + leg_seam(A - off, angle)),
            mitre=(2, mitre_seam(HALVED - R, 0.0)),
            bend_to_return_bend=(2, math.pi * D),
        ),
    }


def half_butted() -> tuple[Joint, Sheet]:
    """The bends turn on to 40 degrees past the middle; square legs stand on their ends."""
    depth, length, angle = 0.3 * D, 250.0, math.radians(40.0)
    drop = HALVED - R + R * (1 - math.cos(angle)) + length * math.sin(angle)
    out = R * math.sin(angle) + length * math.cos(angle)
    chord = math.sqrt(HEEL**2 - HALVED**2)
    cut = slice_of(depth, K / 2)
    parallel = cut.pop("Tip to end of bend along the heel")
    joint = ParallelToSplayedX(
        BEND, cutback=0.3, included_angle="80 deg", leg_length=f"{length} mm", legs="butted"
    )
    return joint, {
        "Measure and mark": measured(),
        "Shorten the straight ends": {"Straight left on each end": K / 2},
        "Saw the legs": straights(length),
        "Trim the splayed end": {
            "Heel, middle to cut": HEEL * angle,
            "Throat, middle to cut": THROAT * angle,
            "Angle left past the middle": angle,
        },
        "Slice the heel": cut
        | {
            "Tip to end of bend, parallel end": parallel,
            "Tip to the leg's end, splayed end": HEEL * (angle - math.acos(HALVED / HEEL)) + length,
        },
        "Halve the returns": RETURNS,
        "Fit and tack": {
            "Length of the opening, tip to tip": 2 * chord,
            "Gap between the parallel tubes": PARALLEL - D,
            "Outside width, parallel end": PARALLEL + D,
            "Gap between the legs' ends": 2 * drop - D * math.cos(angle),
            "Outside width, legs' ends": 2 * drop + D * math.cos(angle),
            "Overall length, over the legs' corners": ALONG + out + A * math.sin(angle),
            "Diagonals of the four ends": math.hypot(PARALLEL / 2 + drop, ALONG + out),
        },
        "Weld": welds(
            round_the_opening=(1, 2 * bend_seam(depth)),
            bend_to_leg=(2, math.pi * D),
            bend_to_return_bend=(2, math.pi * D),
        ),
    }


def y_merge() -> tuple[Joint, Sheet]:
    """Half the bends' diameter off, a straight on each leg, 280 mm apart, an outlet as the legs."""
    depth, spacing, outlet = 0.4 * D, 280.0, 100.0
    plane = HEEL - depth
    between = (spacing / 2 - (plane - R) - 2 * R * (1 - math.cos(QUARTER))) / math.sin(QUARTER)
    piece = between + K / 2 - TANGENT
    tip = math.acos(plane / HEEL)
    chord = math.sqrt(HEEL**2 - plane**2)
    along = 2 * R * math.sin(QUARTER) + between * math.cos(QUARTER) + TANGENT + outlet - K / 2
    degree = math.radians(1)
    behind = HEEL * (QUARTER - tip)
    kerf = HEEL * (math.acos((plane - 1e-4) / HEEL) - tip) / 1e-4 * K
    both = HEEL * (QUARTER - degree - math.acos((plane - K) / HEEL))
    around = 2 * mitre_seam(plane - R, 0.0)
    middle_wall = around * (A - WALL / 2) / A  # nearly: worked below
    corner = math.acos((plane - R) / (A - WALL / 2))
    middle_wall = 4 * (A - WALL / 2) * (math.pi - corner)
    joint = YMerge(
        BEND, cutback=0.4, spacing=f"{spacing} mm", outlet_straight=f"{outlet} mm", outlet=WIDE
    )
    return joint, {
        "Measure and mark": measured(),
        "Halve the bend and check the angle": RETURNS
        | {
            "Throat of each half": THROAT * QUARTER + TANGENT - K / 2,
            "Left of the half bend behind the tip": behind,
            "A degree less on a half takes of it": HEEL * degree,
            "The kerf on the wrong side takes of it": kerf,
            "Left with both": both,
        },
        "Saw the straights": straights(piece),
        "Tack the straight on": {
            "Straight past the half bend": between + K / 2,
            "Straight to the outlet's line": QUARTER,
        },
        "Slice the heel": {
            "Stop to the blade's far face (kept side)": depth,
            "Stop to the blade's near face": depth - K,
            "Outlet face from square to the blade": 0.0,
            "Straight to the blade": QUARTER,
            "Length of the opening, outlet face to tip": chord - K / 2,
            "Height of the opening": high(plane - R),
            "Throat to cut face on the outlet face": D - depth,
            "Left of the half bend behind the tip": behind,
            "Slug: greatest depth": depth - K,
            "Slug: length": math.sqrt(HEEL**2 - (plane + K) ** 2) - K / 2,
        },
        "Halve the returns": RETURNS,
        "Fit and tack the legs": {
            "Over both legs at the outlet face": 2 * (D - depth),
            "Tape round both at the outlet face": around,
            "Gap between the legs' ends": spacing - D,
            "Outside width over the legs' ends": spacing + D,
        },
        "Form the outline to the outlet": {
            "Outside of the formed end": 76.2,
            "Stretch, middle of the wall": math.pi * (76.2 - WALL) / middle_wall - 1,
            "Passes, evenly": 1.0,
            "Depth to form, at least": chord - K / 2,
            "Tape round the outside before": around,
            "Tape round the outside after": math.pi * 76.2,
        },
        "Fit the outlet": {
            "Stop to the blade's near face, outlet straight": outlet,
            "Overall length, legs' ends to outlet's end": along,
            "Outlet square to the legs' line": math.pi / 2,
        },
        "Weld": welds(
            along_the_opening=(1, bend_seam(depth)),
            legs_to_outlet=(1, math.pi * 76.2),
            on_the_legs=(4, math.pi * D),
        ),
    }


WIDE = Tube(od="76.2 mm", wall=f"{WALL} mm")
SHEETS: dict[str, Callable[[], tuple[Joint, Sheet]]] = {
    "parallel X": parallel_x,
    "sawn faces out": sawn_out,
    "trimmed": trimmed_x,
    "splayed alike": lambda: splayed(40.0),
    "splayed unlike": lambda: splayed(56.0),
    "half, mitred": half_mitred,
    "half, butted": half_butted,
    "Y": y_merge,
}


@pytest.mark.parametrize("name", SHEETS)
def test_every_number_on_the_sheet_is_the_one_worked_by_hand(name: str) -> None:
    joint, by_hand = SHEETS[name]()
    steps = cut_sheet(joint, SAW).steps
    assert [step.title for step in steps] == [title.strip() for title in by_hand]
    for step, (_, wanted) in zip(steps, by_hand.items(), strict=True):
        facts = [fact for fact in (*step.settings, *step.checks) if fact.kind != "text"]
        assert sorted(fact.name for fact in facts) == sorted(wanted)
        for fact in facts:
            angle = fact.kind in ("angle", "percent", "count")
            close = FACE if "outlet face to tip" in fact.name or name == "Y" else NEAR
            found = float(fact.value) * (1.0 if angle else 1e3)  # type: ignore[arg-type]
            near = 1e-9 if angle else close
            assert found == pytest.approx(wanted[fact.name], abs=near), (step.title, fact.name)
