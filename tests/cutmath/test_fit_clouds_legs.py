"""Mitred legs that are off, against points on real surfaces; see `test_fit_clouds`."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import fit_clouds as clouds
import numpy as np
import pytest
from fit_clouds import Piece, Plane, X, Y, Z
from fit_models import BEND, NOTHING, TENTHS, TUBE, A, arrays, fitted, gap_of, step_of

from exhaust import ParallelToSplayedX, SplayedX
from exhaust.cutmath.fit.legs import pair
from exhaust.cutmath.fit.model import LONG, VERTICAL, WAYS
from exhaust.cutmath.fit.parallel_to_splayed import MitredFit
from exhaust.cutmath.fit.splayed_x import SplayedFit
from exhaust.geometry.splayed import MitredLeg

# Mitred legs


class LegError(NamedTuple):
    """How one leg is off, as it is sawn."""

    mitre: float = 0.0
    mitre_lean: float = 0.0
    slant: float = 0.0
    lean: float = 0.0
    depth: float = 0.0
    roll: float = 0.0
    od: float = 0.0


def sawn_leg(drawn: MitredLeg, kept: float, off: LegError, *, end_for_end: bool) -> list[Piece]:
    """A leg's mitre and long cut, its axis through the origin; the corner on its mitre's face.

    The long cut is set from the outer edge along the mitre's face and square to it, and then off.
    End for end: the saw's own error is turned about the cut's depth before it is sawn in.
    """
    radius = drawn.radius + off.od / 2
    tilt = drawn.tilt - off.mitre
    across = np.array([math.cos(tilt), math.sin(tilt), 0.0])
    face = Plane(np.zeros(3), clouds.turned(Y, Z, tilt)).turned(across, off.mitre_lean)
    outer = -radius / math.cos(drawn.mitre + off.mitre)
    corner = across * (outer + kept - off.depth)
    along = clouds.turned(Y, Z, -off.mitre)
    saw = Plane(corner, clouds.turned(X, Z, -off.mitre))
    saw = saw.turned(along, off.lean, corner).turned(Z, -off.slant, corner)
    if end_for_end:
        saw = saw.turned(clouds.turned(X, Z, -off.mitre), math.pi, corner)
    axis = np.array([-math.sin(drawn.angle), math.cos(drawn.angle), 0.0])
    cut = saw.turned(axis, off.roll)
    shape = clouds.leg(radius, drawn.angle)
    pieces = [Piece(each, clouds.edge(shape, each, -0.4, 0.4)) for each in (face, cut)]
    return [each.moved(-corner) for each in pieces]


def kept_part(piece: Piece, axis: Any, sign: float) -> Piece:
    return Piece(piece.cut, piece.points[sign * (piece.points @ axis) >= -1e-9])


LEGS_ALONE = [
    {"mitre": TENTHS},
    {"mitre_lean": TENTHS},
    {"slant": TENTHS},
    {"lean": TENTHS},
    {"rolls": (TENTHS, 0.0)},
    {"depths": (0.3e-3, -0.1e-3)},
    {"ods": (0.2e-3, -0.1e-3)},
    {
        "mitre": -TENTHS,
        "mitre_lean": 0.003,
        "slant": TENTHS,
        "lean": -0.004,
        "rolls": (0.005, -0.002),
        "depths": (0.2e-3, -0.1e-3),
        "ods": (-0.1e-3, 0.1e-3),
    },
]
SPLAYED = SplayedX(TUBE, included_angle="45 deg", cutback=1 / 3, leg_length="250 mm")


def legs_off(error: dict[str, Any]) -> tuple[LegError, LegError]:
    shared = [error.get(name, 0.0) for name in ("mitre", "mitre_lean", "slant", "lean")]
    pairs = [error.get(name, (0.0, 0.0)) for name in ("depths", "rolls", "ods")]
    return tuple(LegError(*shared, *(pair[n] for pair in pairs)) for n in (0, 1))


def named_legs(error: dict[str, Any], end: str, setting: str) -> dict[str, float]:
    first, second = legs_off(error)
    named = {
        f"{setting}_mitre_slant": first.mitre,
        f"{setting}_mitre_lean": first.mitre_lean,
        f"{setting}_long_slant": first.slant,
        f"{setting}_long_lean": first.lean,
    }
    for side, off in (("A", first), ("B", second)):
        named |= {f"{end}_depth_{side}": off.depth, f"{end}_roll_{side}": off.roll}
        named[f"{end}_{side}"] = off.od
    return named


@pytest.mark.parametrize("turned", [LONG, VERTICAL])
@pytest.mark.parametrize("error", LEGS_ALONE, ids=lambda error: " ".join(error))
def test_long_cuts_of_splayed_legs_fit_as_their_points_do(
    error: dict[str, Any], turned: str
) -> None:
    """One end's pair alone; clocking is a turn about the leg's own axis. The second flips over:

    what it is rolled by is counted as seen in the joint, so the other way on the leg itself.
    """
    first, second = legs_off(error)
    second = second._replace(roll=-second.roll)
    end = SPLAYED.entry
    one = sawn_leg(end.leg, end.kept_width, first, end_for_end=False)[1]
    other = sawn_leg(end.leg, end.kept_width, second, end_for_end=turned == VERTICAL)[1]
    one = kept_part(one, Y, 1.0)
    brought = kept_part(other, Y, 1.0).placed(Y)
    gap = clouds.opened(clouds.gaps(one, brought, X))
    inner = Piece(one.cut, one.points[one.points[:, 1] > 2e-3])
    step = clouds.stepped(inner, brought, X)
    slips = arrays(named_legs(error, "entry", "both"))
    seam = pair(end.leg, end.kept_width, slips, "entry", "both", turned=WAYS[turned]).seam
    assert seam.step is not None
    assert seam.gap[0] == pytest.approx(gap, rel=1e-2, abs=NOTHING)
    assert seam.step[0] == pytest.approx(step, rel=2e-2, abs=1.5e-5)


SHARED = ("mitre", "mitre_lean", "slant", "lean")


@pytest.mark.parametrize("error", LEGS_ALONE, ids=lambda error: " ".join(error))
def test_mitres_of_splayed_legs_fit_as_their_points_do(error: dict[str, Any]) -> None:
    """One side: an entry leg, and an exit leg sawn at the same setting and turned over about x."""
    first, second = legs_off(error)
    end = SPLAYED.entry
    faces = []
    for off in (first, second):
        face, _ = sawn_leg(end.leg, end.kept_width, off, end_for_end=False)
        faces.append(kept_part(face, X, -1.0))
    one, other = faces[0], faces[1].placed(X)
    gap = clouds.opened(clouds.gaps(one, other, Y))
    inner = Piece(one.cut, one.points[one.points[:, 0] < -2e-3])
    step = clouds.stepped(inner, other, Y)
    errors = {}
    for name, off in (("entry", first), ("exit", second)):
        for side in "AB":
            errors |= {f"{name}_depth_{side}": off.depth, f"{name}_{side}": off.od}
    shared = named_legs({k: v for k, v in error.items() if k in SHARED}, "entry", "both")
    found = fitted(SplayedFit(SPLAYED), **(shared | errors))
    assert gap_of(found, "mitre") == pytest.approx(gap, rel=1e-2, abs=NOTHING)
    assert step_of(found, "mitre") == pytest.approx(step, rel=3e-2, abs=2e-5)


@pytest.mark.parametrize(
    "error",
    [
        {"mitre": TENTHS},
        {"mitre_lean": TENTHS},
        {"facing": TENTHS},
        {"facing_lean": TENTHS},
        {"mitre": TENTHS, "facing": -0.003, "mitre_lean": 0.004, "facing_lean": 0.002},
    ],
    ids=lambda error: " ".join(error),
)
def test_legs_stand_on_a_halved_x_as_their_points_do(error: dict[str, float]) -> None:
    """Both legs, tacked to each other, on one sawn face across both bends.

    The step's nominal part is the round on the oval, -0.634 to 1.152 mm for these legs.
    """
    x = ParallelToSplayedX(BEND, cutback=0.3, included_angle="45 deg", leg_length="250 mm")
    off = LegError(mitre=error.get("mitre", 0.0), mitre_lean=error.get("mitre_lean", 0.0))
    first, _ = sawn_leg(x.leg.leg, x.leg.kept_width, off, end_for_end=False)
    first = kept_part(first, X, -1.0)
    legs = (first, first.placed(Y))
    face = Plane(np.zeros(3), Y).turned(X, error.get("facing_lean", 0.0))
    face = face.turned(Z, error.get("facing", 0.0))
    turn = np.linspace(math.acos((x.parallel.elbow.offset) / A), math.pi, 400)
    turn = np.concatenate([turn, 2 * math.pi - turn])
    ring = np.stack([A * np.cos(turn) - x.parallel.elbow.offset, 0 * turn, A * np.sin(turn)], -1)
    stand = []
    for leg, points in zip(legs, (ring, ring * [-1, 1, 1]), strict=True):
        level = face.along(points, Y)  # the halved face, below the legs
        stand.append(leg.cut.along(points, Y) - level)
    named = {
        "legs_mitre_slant": off.mitre,
        "legs_mitre_lean": off.mitre_lean,
        "facing": -error.get("facing", 0.0),  # counted the other way
        "facing_lean": error.get("facing_lean", 0.0),
    }
    found = fitted(MitredFit(x), **named)
    assert gap_of(found, "mitre") == pytest.approx(clouds.opened(*stand), rel=5e-3, abs=NOTHING)
    if set(error) == {"facing"}:
        assert step_of(found, "mitre") * 1e3 == pytest.approx(1.152, rel=2e-3)
