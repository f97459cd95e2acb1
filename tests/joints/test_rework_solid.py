"""Openings of wrongly sawn pieces, measured on solids: `rework` finds how they were sawn.

Independent: OpenCascade (through build123d) saws and measures; the package calls neither.
"""

from __future__ import annotations

import math

import pytest
from build123d import Align, Box, Cylinder, Face, Part, Pos, Rot
from solids import MM, Shape, flat, measured, reach_along

from exhaust import Bend, ParallelToSplayedX, ParallelX, Saw, SplayedX, Tube, rework

SOLID = 1e-7  # of a cutback; OpenCascade builds intersections to 1e-7 mm
SAW = Saw(kerf="1.1 mm")
TUBE = Tube(od="63.5 mm", wall="1.651 mm")


@pytest.mark.parametrize(
    ("clr", "half_angle", "straight", "share"),
    [(95.25, 45.0, 30.0, 0.337), (63.5, 45.0, 30.0, 0.47), (95.25, 30.0, 40.0, 0.31)],
)
def test_a_bend_that_was_sawn_too_deep(
    clr: float, half_angle: float, straight: float, share: float
) -> None:
    """Inside the bend, past its end, and on a bend of 60 degrees."""
    solid = measured(Shape(63.5, 1.651, clr, half_angle, straight, clr, 0.0, share))
    bend = Bend(TUBE, clr=f"{clr} mm", angle=f"{2 * half_angle} deg", tangent="50 mm")
    x = ParallelX(bend, cutback=0.28, spacer=f"{straight} mm")
    found = rework(x, SAW, f"{solid['opening_length']!r} m")
    assert found.cutback == pytest.approx(share, abs=SOLID)
    after = found.after
    assert isinstance(after, ParallelX)
    for name in ("spacing", "narrowest_area", "window_area", "opening_height"):
        assert getattr(after, name) == pytest.approx(solid[name], rel=1e-6), name


def _leg(theta: float, off: float, mitre_at: float) -> Part:
    """A leg on the y axis turned out by theta [deg] at z = 0, mitred at y, sliced at x = off."""
    whole = Cylinder(31.75, 600.0, align=(Align.CENTER, Align.CENTER, Align.CENTER))
    leg = Rot(0, 0, theta) * (Rot(90, 0, 0) * whole)  # its axis goes to -x as y grows
    low = Pos(0, mitre_at, 0) * Box(900, 900, 900, align=(Align.CENTER, Align.MAX, Align.CENTER))
    slug = Pos(off, 0, 0) * Box(900, 900, 900, align=(Align.MIN, Align.CENTER, Align.CENTER))
    return leg - low - slug


def _kept_and_run_out(leg: Part, off: float, mitre_at: float) -> tuple[float, float]:
    (face,) = (f for f in leg.faces() if f.is_planar and abs(f.normal_at().Y) > 0.999)
    assert isinstance(face, Face)
    kept = reach_along(face, (1, 0, 0)) + reach_along(face, (-1, 0, 0))
    cut = flat((off - 1e-9, 0, 0), (1, 0, 0)).intersect(leg)
    return kept, max(reach_along(each, (0, 1, 0)) for each in cut) - mitre_at


def test_a_leg_sawn_too_deep_and_mitred_again_is_the_leg_that_was_wanted() -> None:
    """Sawn at 0.36 of its mitre opening where 0.3 was wanted; then a mitre further along."""
    theta = 22.5
    opening = 63.5 / math.cos(math.radians(theta))
    off = opening * (0.5 - 0.36)
    kept, run_out = _kept_and_run_out(_leg(theta, off, 0.0), off, 0.0)
    joint = SplayedX(TUBE, included_angle="45 deg", cutback=0.3, leg_length="150 mm")
    for way, size in (("kept", kept), ("opening_length", run_out)):
        found = rework(joint, SAW, **{way: f"{size!r} mm"})
        assert found.cutback == pytest.approx(0.36, abs=SOLID)
    (up,) = (fact.value for fact in found.facts() if fact.name.startswith("Or mitre this leg"))
    assert isinstance(up, float)
    along = up / MM * math.cos(math.radians(theta))
    again = _kept_and_run_out(_leg(theta, off, along), off, along)
    assert again[0] * MM == pytest.approx(joint.entry.kept_width, abs=1e-8)
    assert again[1] * MM == pytest.approx(joint.entry.run_out, abs=1e-8)


def test_the_leg_of_half_a_parallel_x_likewise() -> None:
    bend = Bend(TUBE, clr="95.25 mm")
    x = ParallelToSplayedX(bend, cutback=0.3, included_angle="60 deg", leg_length="180 mm")
    off = 63.5 / math.cos(math.radians(30.0)) * (0.5 - 0.45)
    kept, _ = _kept_and_run_out(_leg(30.0, off, 0.0), off, 0.0)
    found = rework(x, SAW, kept=f"{kept!r} mm", piece="D")
    assert found.verdict == "recut it"
    (up,) = (fact.value for fact in found.facts() if fact.name.startswith("Mitre this leg"))
    assert isinstance(up, float)
    along = up / MM * math.cos(math.radians(30.0))
    again, _ = _kept_and_run_out(_leg(30.0, off, along), off, along)
    assert again * MM == pytest.approx(x.halved_opening / 2, abs=1e-8)
