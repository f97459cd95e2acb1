"""A bend, a leg, a mitre and their cuts by plain trigonometry, in mm: steps that sheets share.

Seams that are no arc are summed from 20,000 chords.
"""

from __future__ import annotations

import math

import numpy as np

from exhaust import Bend, Saw, Tube

SAW = Saw(kerf="1.1 mm")  # its vice holds 50.8 mm, its dial goes to 45 degrees
K, CLAMP = 1.1, 50.8
D, WALL, R, TANGENT = 63.5, 1.651, 95.25, 30.0
A = D / 2
HEEL, THROAT = R + A, R - A
QUARTER = math.pi / 4
TUBE = Tube(od=f"{D} mm", wall=f"{WALL} mm")
WIDE = Tube(od="76.2 mm", wall=f"{WALL} mm")
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
