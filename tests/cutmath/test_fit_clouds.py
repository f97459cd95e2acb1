"""What errors do to the fit, against points on real surfaces that are turned and measured.

Errors one at a time, a few tenths of a degree or of a millimetre; and all together. Gaps agree to
first order in how a plane's lean is counted along the joint (0.2 %); steps are looked for at
stations and measured to the nearest of 2000 points (1 %).
"""

from __future__ import annotations

import math
from typing import Any

import fit_clouds as clouds
import numpy as np
import pytest
from fit_clouds import Piece, Plane, X, Y, Z
from fit_models import BEND, GAP, NOTHING, STEP, TENTHS, TUBE, A, R, arrays, fitted, gap_of, step_of

from exhaust import Bend, HPipe, ParallelX, Tube, YMerge
from exhaust.cutmath.fit.h_pipe import HFit
from exhaust.cutmath.fit.model import LONG, VERTICAL, WAYS, Fitted
from exhaust.cutmath.fit.parallel_x import ParallelFit
from exhaust.cutmath.fit.y_merge import YFit

# Sliced bends


def sliced(
    x: ParallelX | YMerge, saw: tuple[float, float], own: tuple[float, float, float], start: float
) -> Piece:
    """A bend as sawn: `saw` slant and lean; `own` depth, roll, diameter; its edge from `start`."""
    (slant, lean), (depth, roll, od) = saw, own
    radius, clr = A + od / 2, float(x.bend.clr)
    middle = np.array([clr + radius - x.cut_depth - depth, 0.0, 0.0])
    cut = Plane(middle, X).turned(Y, lean, middle).turned(Z, -slant, middle).turned(Z, -roll)
    shape = clouds.bend(clr, radius, x.half_angle)
    far = clr * x.half_angle + x.spacer
    parts = [clouds.edge(shape, cut, 0.0, far)]
    if start < 0.0:
        parts.append(clouds.edge(shape, cut, -far, 0.0))
    return Piece(cut, np.concatenate(parts))


X_JOINT = ParallelX(BEND, cutback=0.3, spacing="230 mm")
RUN_ON = ParallelX(Bend(TUBE, clr="63.5 mm", tangent="30 mm"), cutback=0.42, spacer="30 mm")
ALONE = [
    {"slant": TENTHS},
    {"lean": TENTHS},
    {"rolls": (TENTHS, 0.0)},
    {"rolls": (TENTHS, -TENTHS)},
    {"depths": (0.3e-3, 0.0)},
    {"ods": (0.2e-3, -0.1e-3)},
    {
        "slant": TENTHS,
        "lean": -TENTHS,
        "rolls": (-TENTHS, 0.003),
        "depths": (0.3e-3, -0.2e-3),
        "ods": (0.2e-3, -0.1e-3),
    },
]


def bends_off(error: dict[str, Any]) -> tuple[Any, dict[str, float]]:
    slant, lean = error.get("slant", 0.0), error.get("lean", 0.0)
    pairs = {name: error.get(name, (0.0, 0.0)) for name in ("depths", "rolls", "ods")}
    named = {"slice_slant": slant, "slice_lean": lean}
    for word, both in (("depth", "depths"), ("roll", "rolls"), ("bend", "ods")):
        named |= {f"{word}_A": pairs[both][0], f"{word}_B": pairs[both][1]}
    return ((slant, lean), *pairs.values()), named


def compare(found: Fitted, seam: str, gap: float, step: float, slack: float = GAP) -> None:
    assert gap_of(found, seam) == pytest.approx(gap, rel=slack, abs=NOTHING)
    assert step_of(found, seam) == pytest.approx(step, rel=STEP, abs=1e-5)


@pytest.mark.parametrize("x", [X_JOINT, RUN_ON], ids=["in the bend", "run on"])
@pytest.mark.parametrize("turned", [LONG, VERTICAL])
@pytest.mark.parametrize("error", ALONE, ids=lambda error: " ".join(error))
def test_a_parallel_x_fits_as_its_points_do(
    error: dict[str, Any], turned: str, x: ParallelX
) -> None:
    (saw, depths, rolls, ods), named = bends_off(error)
    sign = WAYS[turned]  # rolls are counted as seen in the joint
    first = sliced(x, saw, (depths[0], rolls[0], ods[0]), -1.0)
    second = sliced(x, saw, (depths[1], sign * rolls[1], ods[1]), -1.0)
    brought = second.placed(Y if turned == LONG else Z)
    gap = clouds.opened(clouds.gaps(first, brought, X))
    step = clouds.stepped(first, brought, X)
    compare(fitted(ParallelFit(x), turned, **named), "round the opening", gap, step)


@pytest.mark.parametrize("turned", [LONG, VERTICAL])
@pytest.mark.parametrize("error", ALONE, ids=lambda error: " ".join(error))
def test_a_merge_fits_along_its_opening_as_its_points_do(
    error: dict[str, Any], turned: str
) -> None:
    """Turned about the vertical: the second leg lay end for end in the saw, turned about x."""
    y = YMerge(BEND, cutback=0.42, spacing="230 mm")
    (saw, depths, rolls, ods), named = bends_off(error)
    first = sliced(y, saw, (depths[0], rolls[0], ods[0]), 1.0)
    if turned == LONG:
        second = sliced(y, saw, (depths[1], rolls[1], ods[1]), 1.0)
    else:
        lying = sliced(y, saw, (depths[1], -rolls[1], ods[1]), -1.0)
        keep = lying.points[:, 1] < 0.0  # its opening is at the other end
        second = Piece(lying.cut, lying.points[keep]).placed(X)
    assert second.points[:, 1].min() >= -1e-9
    brought = second.placed(Y)
    gap = clouds.opened(clouds.gaps(first, brought, X))
    inner = Piece(first.cut, first.points[first.points[:, 1] > 5e-3])  # the other may end there
    step = clouds.stepped(inner, brought, X)
    compare(fitted(YFit(y), turned, **named), "along the opening", gap, step)


# The butts, and where the ends come out


def test_ends_come_out_where_their_paths_lead_with_faces_pulled_flat() -> None:
    """Each side's path integrated in short steps, then turned until its sawn face is flat."""
    x = X_JOINT
    off = {
        "slice_slant": 0.004,
        "roll_A": 0.01,
        "roll_B": -0.004,
        "depth_A": 0.3e-3,
        "bend_A_angle": 0.012,
        "bend_B_angle": -0.02,
        "return_A_angle": 0.015,
        "return_B_half": 0.006,
        "halving_slant": -0.003,
    }
    theta, s, straight = x.half_angle, x.spacer, float(x.return_bend.tangent)
    half = {
        side: (
            off.get(f"return_{side}_angle", 0.0) / 2,
            off.get(f"return_{side}_half", 0.0) + off["halving_slant"],
        )
        for side in "AB"
    }
    for turned, sign in WAYS.items():
        found = fitted(ParallelFit(x), turned, **off)
        for end, side_of_mark in (("exit", 1.0), ("entry", -1.0)):
            total = 0.0
            for side in "AB":
                out = theta + off[f"bend_{side}_angle"] / 2
                own, mark = half[side]
                last = out - (theta + own + side_of_mark * mark)
                path = [(R * out, 0.0, out), (s, out, out), (R * (out - last), out, last)]
                drop, along = clouds.end_of([*path, (straight, last, last)])
                slant = (1 if side == "A" else sign) * off["slice_slant"]
                depth = off.get(f"depth_{side}", 0.0)
                plane = Plane(np.array([R + A - x.cut_depth - depth, 0, 0]), X)
                plane = plane.turned(Z, -slant, plane.point).turned(Z, -off[f"roll_{side}"])
                tip = np.array([[R + drop, side_of_mark * along, 0.0]])
                total -= plane.level(tip)[0]
            error = float(found.ends[end][0])
            assert error == pytest.approx(total - x.spacing, abs=2e-8), (turned, end)


def test_spacing_moves_per_degree_as_the_joint_itself_says() -> None:
    """All bends a degree over: half a degree on each half; depth takes its own from the spacing."""
    one = math.radians(1.0)
    bends = {f"{name}_{side}_angle": one for name in ("bend", "return") for side in "AB"}
    found = fitted(ParallelFit(X_JOINT), **bends)
    expected = X_JOINT.spacing_per_degree * one / 2
    assert found.ends["exit"][0] == pytest.approx(expected, rel=0.01)
    both = fitted(ParallelFit(X_JOINT), depth_A=0.5e-3, depth_B=0.5e-3)
    assert both.ends["entry"][0] == pytest.approx(-1e-3, rel=1e-9)
    assert both.held[0] == pytest.approx(1e-3, rel=1e-9)


# The balance tube


H_ERRORS = [
    {"square_slant": TENTHS},
    {"notch_1_clock": 0.02},
    {"offset_1": 0.4e-3},
    {"balance_tube": -0.2e-3},
    {"primary_1": 0.2e-3},
    {"notch_1": 0.5e-3},
    {
        "square_slant": -TENTHS,
        "notch_1_clock": 0.01,
        "offset_1": -0.3e-3,
        "balance_tube": 0.1e-3,
        "primary_1": 0.1e-3,
    },
]


@pytest.mark.parametrize("angle", ["90 deg", "70 deg"])
@pytest.mark.parametrize("error", H_ERRORS, ids=lambda error: " ".join(error))
def test_a_balance_tube_sits_on_its_primary_as_its_points_do(
    error: dict[str, float], angle: str
) -> None:
    """The notched edge as drawn, turned and moved, pushed home until a point touches."""
    h = HPipe(
        TUBE,
        balance_tube=Tube(od="50.8 mm", wall="1.651 mm"),
        spacing="250 mm",
        angle=angle,
        offset="2 mm",
    )
    end = h.saddles[0]
    clock = np.linspace(-math.pi, math.pi, 20001)
    axis = np.array([math.sin(end.angle), math.cos(end.angle), 0.0])
    side = np.array([-math.cos(end.angle), math.sin(end.angle), 0.0])
    rise = np.array([0.0, 0.0, end.offset])
    lines = np.outer(0.0254 * np.cos(clock), side) + np.outer(0.0254 * np.sin(clock), Z) + rise
    along = _home(lines, axis, A)  # the notch as it is cut
    radius = 0.0254 + error.get("balance_tube", 0.0) / 2
    twist = error.get("notch_1_clock", 0.0) / 2  # both ends share it
    ring = radius * np.stack([np.cos(clock + twist), np.sin(clock + twist)])
    edge = np.outer(ring[0], side) + np.outer(ring[1], Z) + rise + np.outer(along, axis)
    slant = error.get("square_slant", 0.0)
    edge, axis = clouds.turned(edge, Z, -slant), clouds.turned(axis, Z, -slant)
    edge = edge + error.get("offset_1", 0.0) * Z
    primary = A + error.get("primary_1", 0.0) / 2
    edge = edge + np.max(_home(edge, axis, primary)) * axis
    gap = np.max(np.hypot(edge[:, 0], edge[:, 2]) - primary)
    model = HFit(h)
    both = dict(error)
    if "notch_1" in error:  # too deep: it is pushed home all the same
        gap = 0.0
    found = fitted(model, **both)
    first = model._seated(
        arrays(error),
        0,
        np.array([[slant]]),
        np.array([[twist]]),
    )
    assert first.normal.max() == pytest.approx(gap, rel=5e-3, abs=NOTHING)
    assert gap_of(found, "balance tube to primary") >= first.normal.max() - 1e-12


def _home(points: Any, axis: Any, radius: float) -> Any:
    """How far points must be moved along an axis to lie on the primary, on the near side."""
    a = axis[0] ** 2 + axis[2] ** 2
    b = points[:, 0] * axis[0] + points[:, 2] * axis[2]
    c = points[:, 0] ** 2 + points[:, 2] ** 2 - radius**2
    return (-b + np.sqrt(b**2 - a * c)) / a
