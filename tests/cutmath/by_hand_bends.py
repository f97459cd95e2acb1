"""Cut sheets of joints of sliced bends worked by hand: every number of every step, in mm."""

from __future__ import annotations

import math

from by_hand import (
    BEND,
    HEEL,
    QUARTER,
    RETURNS,
    TANGENT,
    THROAT,
    WALL,
    WIDE,
    A,
    D,
    K,
    Numbers,
    R,
    Sheet,
    bend_seam,
    high,
    measured,
    mitre_seam,
    slice_of,
    straights,
    welds,
)

from exhaust import ParallelX, YMerge
from exhaust.joints import Joint


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
