"""Outlines rolled flat: wrapped back they meet the plane, the other tube, the cut of the bend."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import ellipe, ellipeinc

from exhaust.errors import ExhaustError
from exhaust.geometry import elbow, elbow_measures, saddle_edge, saddle_measures, unroll
from exhaust.geometry.elbow import SlicedElbow
from exhaust.geometry.saddle import Saddle

DEGREE = math.pi / 180
MEETS = 1e-9  # [m]; a template wrapped back on its tube
CHORDS = 2e-6  # of a length, with 2000 straight pieces once round

ROUND = np.linspace(-math.pi, math.pi, 2001)
radii = st.floats(0.01, 0.1)
papers = st.floats(0.0, 0.5e-3)

A = Saddle(0.03175, 0.001651, 0.0254, 0.001651)
SADDLES = {
    "square": A,
    "skew": Saddle(0.0381, 0.001651, 0.0254, 0.001651, 60 * DEGREE),
    "offset": Saddle(0.0381, 0.001651, 0.0254, 0.001651, 105 * DEGREE, -8e-3),
    "equal": Saddle(0.03175, 0.001651, 0.03175, 0.001651, 70 * DEGREE),
}


def length(points: np.ndarray) -> float:
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())


# Flat cuts


@given(radii, papers, st.floats(-80.0, 80.0))
def test_a_mitre_wrapped_back_lies_in_its_plane(radius: float, paper: float, deg: float) -> None:
    """The plane through the axis' point at height 0, its normal leaning by the mitre to x."""
    flat = unroll.mitre_outline(radius, deg * DEGREE, ROUND, paper)
    points = unroll.wrapped(flat, radius, paper)
    normal = np.array([math.sin(deg * DEGREE), 0.0, math.cos(deg * DEGREE)])
    assert np.abs(points @ normal).max() < MEETS
    assert np.hypot(points[:, 0], points[:, 1]) == pytest.approx(radius, abs=MEETS)
    assert flat.arc[-1] - flat.arc[0] == pytest.approx(unroll.wrap_length(radius, paper), rel=1e-12)


@pytest.mark.parametrize("deg", [0.0, 15.0, 22.5, 45.0, 60.0])
def test_a_mitre_is_as_long_as_its_ellipse(deg: float) -> None:
    """Exact: 4 (a/cos t) E(sin² t), once round on the tube and once round on the sheet."""
    theta = deg * DEGREE
    flat = unroll.mitre_outline(0.03175, theta, ROUND)
    ellipse = 4 * 0.03175 / math.cos(theta) * ellipe(math.sin(theta) ** 2)
    assert length(unroll.wrapped(flat, 0.03175)) == pytest.approx(ellipse, rel=CHORDS)
    assert length(np.column_stack(flat)) == pytest.approx(ellipse, rel=CHORDS)


@given(radii, papers, st.floats(10.0, 60.0), st.floats(0.05, 0.9), st.floats(-15.0, 15.0))
def test_a_heel_cut_wrapped_back_lies_in_both_planes(
    radius: float, paper: float, deg: float, cutback: float, tilt: float
) -> None:
    """In the joint's axes (y along it, the leg leaning away by `deg`): every point is on the
    mitre's plane y = x tan(tilt) or on the flat x = xc, and none is on the wrong side of one."""
    lean, eta = deg * DEGREE, tilt * DEGREE
    cut = unroll.HeelCut(radius, lean - eta, lean, cutback)
    points = unroll.wrapped(unroll.heel_outline(cut, ROUND, paper), radius, paper)
    x = points[:, 0] * math.cos(lean) - points[:, 2] * math.sin(lean)
    y = points[:, 0] * math.sin(lean) + points[:, 2] * math.cos(lean)
    flat = radius * (1 - 2 * cutback) * math.cos(eta) / math.cos(lean - eta)
    above = y * math.cos(eta) - x * math.sin(eta)
    assert np.minimum(np.abs(above), np.abs(x - flat)).max() < MEETS
    assert above.min() > -MEETS
    assert (x - flat).max() < MEETS
    corner = unroll.heel_corner(cut)
    on_flat = np.abs(ROUND) < corner
    assert np.abs(x - flat)[on_flat].max() < MEETS
    assert np.abs(above)[~on_flat].max() < MEETS


def test_a_heel_cut_is_as_long_as_its_arcs() -> None:
    """Exact: two arcs of ellipses, by incomplete elliptic integrals; 60° included, a third off."""
    a, theta, g = 0.03175, 30 * DEGREE, 1 / 3
    beta = math.acos(1 - 2 * g)
    seam = (
        2
        * a
        / math.sin(theta)
        * (ellipe(math.cos(theta) ** 2) - ellipeinc(math.pi / 2 - beta, math.cos(theta) ** 2))
    )
    mitre = (
        2
        * a
        / math.cos(theta)
        * (ellipe(math.sin(theta) ** 2) + ellipeinc(math.pi / 2 - beta, math.sin(theta) ** 2))
    )
    cut = unroll.HeelCut(a, theta, theta, g)
    corner = unroll.heel_corner(cut)
    for low, high, exact in ((-corner, corner, seam), (corner, 2 * math.pi - corner, mitre)):
        clock = np.linspace(low, high, 2001)
        points = unroll.wrapped(unroll.heel_outline(cut, clock), a)
        assert length(points) == pytest.approx(exact, rel=CHORDS)


# Saddles and holes


def placed(joint: Saddle, flat: unroll.Outline, paper: float) -> np.ndarray:
    """Wrap a notch back on its tube and stand the tube on the primary: x, y, z of every point."""
    local = unroll.wrapped(flat, joint.radius, paper)
    sine, cosine = math.sin(joint.angle), math.cos(joint.angle)
    x = local[:, 2] * sine - local[:, 0] * cosine
    y = local[:, 2] * cosine + local[:, 0] * sine
    return np.column_stack([x, y, local[:, 1] + joint.offset])


@given(st.floats(0.1, 1.0), st.floats(20.0, 160.0), st.floats(-1.0, 1.0), papers)
def test_a_notch_wrapped_back_meets_the_primary(
    ratio: float, deg: float, share: float, paper: float
) -> None:
    a = 0.0381
    joint = Saddle(a, 1e-6, ratio * a, 1e-3 * a, deg * DEGREE, share * (1 - ratio) * a)
    points = placed(joint, unroll.saddle_outline(joint, ROUND, "saddle", paper), paper)
    assert np.abs(np.hypot(points[:, 0], points[:, 2]) - a).max() < MEETS


@pytest.mark.parametrize("name", SADDLES)
def test_a_straight_edge_wrapped_back_touches_and_never_enters(name: str) -> None:
    """Through the wall at every clock position: the nearest of it is on the primary's wall."""
    joint = SADDLES[name]
    clock = np.radians(np.arange(0.0, 360.0, 5.0))
    flat = unroll.saddle_outline(joint, clock, "straight", 2e-4)
    touching = saddle_edge.contact_radius(joint, clock)
    sine, cosine = math.sin(joint.angle), math.cos(joint.angle)
    for share in (*np.linspace(0.0, 1.0, 21), None):
        rho = touching if share is None else joint.bore + share * joint.wall
        x = flat.height * sine - rho * np.cos(clock) * cosine
        distance = np.hypot(x, rho * np.sin(clock) + joint.offset) - joint.primary
        assert distance.min() > -MEETS
        if share is None:
            assert np.abs(distance).max() < MEETS


@pytest.mark.parametrize("name", SADDLES)
def test_a_feather_edge_wrapped_back_touches_at_the_bore(name: str) -> None:
    joint = SADDLES[name]
    flat = unroll.saddle_outline(joint, ROUND, "feather")
    x = flat.height * math.sin(joint.angle) - joint.bore * np.cos(ROUND) * math.cos(joint.angle)
    distance = np.hypot(x, joint.bore * np.sin(ROUND) + joint.offset)
    assert distance == pytest.approx(joint.primary, abs=MEETS)


@pytest.mark.parametrize("name", SADDLES)
@pytest.mark.parametrize("paper", [0.0, 3e-4])
def test_a_hole_wrapped_back_lies_on_the_tubes_inside(name: str, paper: float) -> None:
    joint = SADDLES[name]
    flat = unroll.hole_outline(joint.hole, ROUND, paper)
    around = unroll.wrapped(flat, joint.primary, paper)  # x, z, y of the joint
    beside = around[:, 2] * math.sin(joint.angle) - around[:, 0] * math.cos(joint.angle)
    distance = np.hypot(beside, around[:, 1] - joint.offset)
    assert np.abs(distance - joint.bore).max() < MEETS
    assert around[0] == pytest.approx(around[-1], abs=MEETS)


@pytest.mark.parametrize("name", SADDLES)
def test_lengths_and_areas_of_the_sheets_are_the_joints(name: str) -> None:
    """A notch is as long as the seam, and the hole's sheet as large as the hole (no paper)."""
    joint = SADDLES[name]
    points = placed(joint, unroll.saddle_outline(joint, ROUND), 0.0)
    assert length(points) == pytest.approx(saddle_measures.seam_length(joint.outside), rel=CHORDS)
    arc, y = unroll.hole_outline(joint.hole, ROUND)
    area = abs(np.sum(arc[:-1] * y[1:] - arc[1:] * y[:-1])) / 2
    assert area == pytest.approx(saddle_measures.hole_area(joint.hole), rel=1e-5)


def test_a_square_notch_by_scipys_quadrature() -> None:
    """Independent: the seam of worked case A from its own integrand, 169.14284742775993 mm."""
    r, a = A.radius, A.primary

    def piece(c: float) -> float:
        rate = r * r * math.sin(c) * math.cos(c) / math.sqrt(a * a - (r * math.sin(c)) ** 2)
        return math.hypot(r, rate)

    seam = 4 * quad(piece, 0.0, math.pi / 2, epsabs=1e-14)[0]
    assert seam == pytest.approx(0.16914284742775993, rel=1e-12)
    points = placed(A, unroll.saddle_outline(A, ROUND), 0.0)
    assert length(points) == pytest.approx(seam, rel=CHORDS)


# Bends

INSIDE = SlicedElbow(0.09525, 0.03175, 0.001651, 45 * DEGREE, 0.0, 0.3)
RUNS_ON = SlicedElbow(0.05715, 0.028575, 0.001651, 45 * DEGREE, 0.02, 0.5)
DEEP = SlicedElbow(0.09525, 0.03175, 0.001651, 45 * DEGREE, 0.0, 0.55)
U = SlicedElbow(0.09525, 0.03175, 0.001651, 90 * DEGREE, 0.0, 0.6)


@pytest.mark.parametrize("cut", [INSIDE, RUNS_ON, DEEP, U])
def test_ordinates_of_a_bend_lie_in_the_cut(cut: SlicedElbow) -> None:
    """Walked along the bend from its middle, then straight on: every point is in the plane."""
    side = unroll.cut_clock(cut)
    clock = np.linspace(-side, side, 41)[1:-1]
    table = unroll.bend_ordinates(cut, clock)
    r = cut.clr + cut.radius * np.cos(clock)
    straight = table.along_wall - r * table.angle
    assert straight == pytest.approx(table.on_straight, abs=1e-12)
    x = r * np.cos(table.angle) - straight * np.sin(table.angle)
    y = r * np.sin(table.angle) + straight * np.cos(table.angle)
    assert x == pytest.approx(cut.plane, abs=MEETS)
    assert np.all(table.angle <= cut.half_angle)
    assert table.along_centreline == pytest.approx(cut.clr * table.angle + straight, abs=1e-12)
    heel = cut.clr + cut.radius
    assert table.along_heel == pytest.approx(heel * table.angle + straight, abs=1e-12)
    assert y.max() == pytest.approx(elbow.opening_length(cut, cut.radius) / 2, rel=1e-12)
    # the same outline as it is drawn in the plane of the cut
    along, high = elbow_measures.outline(cut, cut.radius, count=4000)
    quarter = np.argsort(along[:4001])
    z = np.interp(y, along[:4001][quarter], high[:4001][quarter])
    assert cut.radius * np.abs(np.sin(clock)) == pytest.approx(z, abs=1e-5)


def test_ordinates_miss_the_wall_past_the_sides_of_the_cut() -> None:
    side = unroll.cut_clock(INSIDE)
    table = unroll.bend_ordinates(INSIDE, [side - 1e-9, side + 1e-9, math.pi])
    assert np.isnan(table.along_wall).tolist() == [False, True, True]
    assert table.clock.tolist() == [side - 1e-9, side + 1e-9, math.pi]


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda: unroll.wrap_length(0.0), "radius must be more than zero"),
        (lambda: unroll.wrap_length(0.02, -1e-4), "paper must be between zero"),
        (lambda: unroll.wrap_length(0.02, 0.02), "paper must be between zero"),
        (lambda: unroll.mitre_outline(0.02, math.pi / 2, [0.0]), "mitre must be less than 90 deg"),
        (lambda: unroll.mitre_outline(0.02, 0.5, ["up"]), "clock must be numbers, in radians"),
        (
            lambda: unroll.heel_outline(unroll.HeelCut(0.02, 0.5, 0.0, 0.3), [0.0]),
            "lean must be between 0 and 90 deg",
        ),
        (
            lambda: unroll.heel_outline(unroll.HeelCut(0.02, 0.5, 0.5, 30), [0.0]),
            r"cutback must be between 0 and 1 \(got 30\)",
        ),
        (lambda: unroll.saddle_outline(A, [0.0], "torch"), "edge is not a known way"),
        (lambda: unroll.bend_ordinates(INSIDE, [math.inf]), "clock must be finite numbers"),
    ],
)
def test_what_cannot_be_is_refused(made: Callable[[], object], words: str) -> None:
    with pytest.raises(ExhaustError, match=words):
        made()


@pytest.mark.parametrize("cutback", [-0.5, 0.0, 1.0, 1.5])
def test_a_heel_is_cut_by_more_than_nothing_and_less_than_all(cutback: float) -> None:
    cut = unroll.HeelCut(0.03175, math.radians(30), math.radians(30), cutback)
    with pytest.raises(ExhaustError, match="cutback must be between 0 and 1"):
        unroll.heel_corner(cut)
