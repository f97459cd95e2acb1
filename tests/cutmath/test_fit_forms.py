"""First order of what errors do to the fit: closed forms, values from solids, rules of turning."""

from __future__ import annotations

import math

import numpy as np
import pytest
from fit_models import BEND, TENTHS, TUBE, A, R, fitted, gap_of, step_of

from exhaust import (
    HPipe,
    ParallelToSplayedX,
    ParallelX,
    Saw,
    SplayedX,
    Tube,
    YMerge,
)
from exhaust.cutmath.fit.h_pipe import HFit
from exhaust.cutmath.fit.model import LONG, VERTICAL
from exhaust.cutmath.fit.parallel_to_splayed import ButtedFit, MitredFit
from exhaust.cutmath.fit.parallel_x import ParallelFit
from exhaust.cutmath.fit.question import model_of
from exhaust.cutmath.fit.splayed_x import SplayedFit
from exhaust.cutmath.fit.y_merge import YFit

SAW = Saw(kerf="1.1 mm")
X = ParallelX(BEND, cutback=0.3, spacing="230 mm")
SPLAYED = SplayedX(TUBE, included_angle="45 deg", cutback=1 / 3, leg_length="250 mm")
HALF = ParallelToSplayedX(BEND, cutback=0.3, included_angle="45 deg", leg_length="250 mm")
BUTTED = HALF.with_(legs="butted", included_angle="80 deg")
Y = YMerge(BEND, outlet=Tube(od="76.2 mm", wall="1.651 mm"), cutback=0.3454915)
H = HPipe(TUBE, balance_tube=Tube(od="50.8 mm", wall="1.651 mm"), spacing="250 mm")
SMALL = 1e-5  # [rad] or [m]
FIRST = 1e-3  # relative: what second order leaves of so small an error
OPENING = "round the opening"


# Closed forms of the first order


def test_wedges_of_a_parallel_x_are_the_opening_times_the_angle() -> None:
    """2 ymax and 2 z0 for each piece; outlines step 2 xc at the tips and 2 h at the sides.

    Between sides and tips a lean steps them more: z n/sqrt(1 - n²) for each piece, n the wall's
    normal across the joint.
    """
    xc, h = R + A * 0.4, A * 0.4
    long, tall = 2 * math.sqrt((R + A) ** 2 - xc**2), 2 * math.sqrt(A**2 - h**2)
    model = ParallelFit(X)
    flipped = fitted(model, LONG, slice_slant=SMALL)
    about = fitted(model, VERTICAL, slice_slant=SMALL)
    assert gap_of(flipped, OPENING) == pytest.approx(2 * long * SMALL, rel=FIRST)
    assert step_of(about, OPENING) == pytest.approx(2 * xc * SMALL, rel=FIRST)
    leaning = fitted(model, VERTICAL, slice_lean=SMALL)
    flat = fitted(model, LONG, slice_lean=SMALL)
    assert gap_of(leaning, OPENING) == pytest.approx(2 * tall * SMALL, rel=FIRST)
    turn = np.linspace(0.0, math.acos(h / A), 2000)
    n = np.cos(turn) * xc / (R + A * np.cos(turn))
    steps = A * np.sin(turn) * n / np.sqrt(1 - n**2)
    assert steps[-1] == pytest.approx(h)
    assert step_of(flat, OPENING) == pytest.approx(2 * steps.max() * SMALL, rel=5e-3)  # stations


@pytest.mark.parametrize("joint", [X, SPLAYED, HALF, BUTTED, Y], ids=lambda j: type(j).__name__)
def test_one_turn_cancels_a_slant_and_doubles_a_lean_the_other_the_reverse(joint: object) -> None:
    made, model = model_of(joint, SAW)  # type: ignore[arg-type]
    seam = made.seams[0].name
    names = [error.name.replace(" ", "_") for error in model.errors]
    slants = [n for n in names if n.endswith(("slice_slant", "long_slant"))]
    leans = [n for n in names if n.endswith(("slice_lean", "long_lean"))]
    assert slants
    assert leans
    slant, lean = (dict.fromkeys(each, TENTHS) for each in (slants, leans))
    nothing = 1e-9  # [m]
    assert gap_of(fitted(model, VERTICAL, **slant), seam) < nothing
    assert gap_of(fitted(model, LONG, **lean), seam) < nothing
    for off, way in ((slant, LONG), (lean, VERTICAL)):
        once = gap_of(fitted(model, way, **off), seam)
        alone = {name: value / 2 for name, value in off.items()}
        assert once > 1e-4
        assert once == pytest.approx(2 * gap_of(fitted(model, way, **alone), seam), rel=0.02)


def test_a_parallel_x_worked_by_hand() -> None:
    """63.5 on 95.25 at 0.3, half a degree, a solid's tips: 2.3355 mm, or a step of 1.8841 mm."""
    half = math.radians(0.5)
    doubled = gap_of(fitted(ParallelFit(X), LONG, slice_slant=half), OPENING)
    assert doubled * 1e3 == pytest.approx(2.3355013, rel=1e-4)
    stepped = step_of(fitted(ParallelFit(X), VERTICAL, slice_slant=half), OPENING)
    assert stepped * 1e3 == pytest.approx(1.8841308, rel=1e-4)  # along the plane: over its cosine
    one = step_of(fitted(ParallelFit(X), depth_A=0.5e-3), OPENING)
    assert one * 1e3 == pytest.approx(0.8001311, rel=1e-6)


def test_long_cuts_and_mitres_of_splayed_legs() -> None:
    """Run-out delta/tan; wedge 2 run-out eps; kept width times twice the mitre's error."""
    theta, model = math.radians(22.5), SplayedFit(SPLAYED)
    leg = SPLAYED.entry
    depth = fitted(model, entry_depth_A=SMALL)
    assert step_of(depth, OPENING) == pytest.approx(SMALL / math.tan(theta), rel=FIRST)
    slant = fitted(model, LONG, both_long_slant=SMALL)
    assert gap_of(slant, OPENING) == pytest.approx(2 * leg.run_out * SMALL, rel=FIRST)
    lean = fitted(model, VERTICAL, both_long_lean=SMALL)
    assert gap_of(lean, OPENING) == pytest.approx(2 * leg.seam_height * SMALL, rel=FIRST)
    mitre = fitted(model, both_mitre_slant=SMALL)
    assert gap_of(mitre, "mitre") == pytest.approx(2 * leg.kept_width * SMALL, rel=FIRST)
    lone = fitted(SplayedFit(SPLAYED.with_(exit_angle="50 deg")), entry_mitre_lean=SMALL)
    assert gap_of(lone, "mitre") == pytest.approx(2 * A * SMALL, rel=1e-2)  # D eps
    width = fitted(model, entry_depth_A=SMALL)
    assert step_of(width, "mitre") == pytest.approx(SMALL, rel=FIRST)
    rolled = fitted(model, entry_roll_A=SMALL)  # cos(theta) of it, over the seam's height
    assert gap_of(rolled, OPENING) == pytest.approx(
        leg.seam_height * math.cos(theta) * SMALL, rel=FIRST
    )


def test_a_mitre_half_a_degree_off_makes_the_long_axis_of_the_solid() -> None:
    """68.98388396 mm for 63.5 at 22.5 + 0.5 degrees, measured on a solid."""
    model = SplayedFit(SPLAYED)
    legs = model_of(SPLAYED, SAW)[0]
    assert legs == SPLAYED
    off = math.radians(0.5)
    from exhaust.cutmath.fit.faces import Leg, LegSlips

    leg = Leg(SPLAYED.entry.leg, SPLAYED.entry.kept_width, LegSlips(*[0.0] * 7)._replace(mitre=off))
    wall = leg.mitred().wall
    edges = [(sign * A - wall.offset) / wall.per_t for sign in (1, -1)]
    assert (edges[0] - edges[1]) * 1e3 == pytest.approx(68.98388396523633, rel=1e-9)
    assert model.settings == ("both", "both")


def test_half_an_x_takes_a_facing_error_over_its_whole_width() -> None:
    """Xw eps, D eps for a lean; a leg's width error steps at the outer edge by itself."""
    model = MitredFit(HALF)
    whole = 2 * 0.7 * 2 * A
    assert gap_of(fitted(model, facing=SMALL), "mitre") == pytest.approx(whole * SMALL, rel=FIRST)
    lean = gap_of(fitted(model, facing_lean=SMALL), "mitre")
    assert lean == pytest.approx(2 * A * SMALL, rel=1e-2)
    drawn_step = step_of(fitted(model), "mitre")
    assert drawn_step * 1e3 == pytest.approx(1.152, abs=5e-4)  # closed form of the mismatch


def test_a_merges_outline_shrinks_by_two_over_sin_beta() -> None:
    """2.5 to 3 in: 237.29197 for 239.38936 mm when both are half a millimetre deep (solid)."""
    model = YFit(Y)
    both = fitted(model, depth_A=0.5e-3, depth_B=0.5e-3)
    shrunk = (239.38936020354222 - 237.29196760949523) / (2 * math.pi)
    assert step_of(both, "legs to outlet") * 1e3 == pytest.approx(shrunk, rel=1e-4)
    beta = math.acos(1 - 2 * 0.3454915)
    one = fitted(model, depth_A=SMALL)
    expected = 2 * SMALL / math.sin(beta) / (2 * math.pi)
    assert step_of(one, "legs to outlet") == pytest.approx(expected, rel=FIRST)
    assert gap_of(both, "legs to outlet") == 0.0
    slant = gap_of(fitted(model, bend_half=SMALL), "legs to outlet")
    width = 2 * (2 * A) * (1 - 0.3454915)  # one plane across both faces
    assert slant == pytest.approx(width * SMALL, rel=FIRST)


def test_butts_open_by_diameter_times_what_the_halves_are_off() -> None:
    """Bend's half, its return's half and mark, square to a lean of the cut."""
    off = {"bend_A_angle": 0.02, "return_A_angle": -0.01, "return_A_half": 0.004}
    found = fitted(ParallelFit(X), halving_lean=0.003, **off)
    angles = [0.01 + 0.005 - mark for mark in (0.004, -0.004)]
    expected = max(2 * A * math.hypot(math.tan(a), math.tan(0.003)) for a in angles)
    assert gap_of(found, "bend to return bend") == pytest.approx(expected, rel=1e-9)
    stepped = fitted(ParallelFit(X), bend_A=0.2e-3, A_exit=-0.1e-3)
    assert step_of(stepped, "bend to return bend") == pytest.approx(0.15e-3, rel=1e-9)
    butted = fitted(ButtedFit(BUTTED), trim_B=0.01)
    assert gap_of(butted, "bend to leg") == pytest.approx(2 * A * math.tan(0.01), rel=1e-9)


def test_ends_of_an_h_pipe_stay_parallel_one_way_and_splay_the_other() -> None:
    splays = fitted(HFit(H), LONG, square_slant=0.01).ends
    along = H.centreline_length / 2 * math.tan(0.02)
    assert splays["exit"][0] - splays["entry"][0] == pytest.approx(2 * along)
    level = fitted(HFit(H), VERTICAL, square_slant=0.01).ends
    assert level["exit"][0] == pytest.approx(level["entry"][0], abs=1e-12)
    deep = fitted(HFit(H), notch_1=0.3e-3, notch_2=0.2e-3)
    assert deep.ends["exit"][0] == pytest.approx(-0.5e-3)
    assert gap_of(deep, "balance tube to primary") == pytest.approx(0.0, abs=1e-12)
