"""Cut sheets of joints with mitred legs worked by hand, and all that are worked; mm."""

from __future__ import annotations

import math
from collections.abc import Callable

from by_hand import (
    BEND,
    HEEL,
    QUARTER,
    RETURNS,
    TANGENT,
    THROAT,
    TUBE,
    A,
    D,
    K,
    R,
    Sheet,
    bend_seam,
    blanks,
    high,
    leg_seam,
    long_cut,
    measured,
    mitre,
    mitre_seam,
    slice_of,
    straights,
    welds,
)
from by_hand_bends import parallel_x, sawn_out, trimmed_x, y_merge

from exhaust import ParallelToSplayedX, SplayedX
from exhaust.joints import Joint


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
