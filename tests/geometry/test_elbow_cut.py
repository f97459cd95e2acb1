"""The sliced elbow: worked values, a second way of integrating, traps, limits."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad

from exhaust.errors import ExhaustError
from exhaust.geometry import elbow, elbow_measures
from exhaust.geometry.elbow import SlicedElbow

DEGREE = math.pi / 180
QUARTER_TURN = 45 * DEGREE
EXACT = 1e-12  # closed forms and settled quadrature in double precision

A = SlicedElbow(95.25, 31.75, 1.651, QUARTER_TURN, 0.0, 0.3)
B = SlicedElbow(57.15, 28.575, 1.651, QUARTER_TURN, 20.0, 0.5)  # runs on to the straight
C = SlicedElbow(114.3, 38.1, 1.2446, QUARTER_TURN, 0.0, 0.25)
DEEP = SlicedElbow(95.25, 31.75, 1.651, QUARTER_TURN, 0.0, 0.55)  # two lobes
DEEP_ON = SlicedElbow(57.15, 28.575, 1.651, QUARTER_TURN, 40.0, 0.65)  # two lobes on straights
U = SlicedElbow(95.25, 31.75, 1.651, 90 * DEGREE, 0.0, 0.6)
EVERY = (A, B, C, DEEP, DEEP_ON, U)

# Closed form and solid model, worked case [mm, mm², mm³]: in A, B, C order.
WORKED: dict[str, tuple[Callable[[SlicedElbow], float], tuple[float, float, float]]] = {
    "plane": (lambda e: e.plane, (107.95, 57.15, 133.35)),
    "length": (
        lambda e: elbow.opening_length(e, e.radius),
        (133.80280266122978, 128.16691526886714, 147.5606654905026),
    ),
    "bore length": (
        lambda e: elbow.opening_length(e, e.bore),
        (127.42322081944091, 123.4971820859112, 142.34791813244053),
    ),
    "height": (
        lambda e: elbow.opening_height(e, e.radius),
        (58.198711325939165, 57.15, 65.99113576837424),
    ),
    "bore height": (
        lambda e: elbow.opening_height(e, e.bore),
        (54.57691090562015, 53.848, 63.100491572094754),
    ),
    "area": (
        lambda e: elbow_measures.opening_area(e, e.radius),
        (6371.683120985229, 6274.249005267527, 7895.33466340635),
    ),
    "window": (
        lambda e: elbow_measures.opening_area(e, e.bore),
        (5680.378667010957, 5706.513199732123, 7273.826692220598),
    ),
    "seam": (
        lambda e: elbow_measures.curve_length(e, e.radius),
        (318.23402677786646, 312.0895364000974, 352.01977288164085),
    ),
    "bore seam": (
        lambda e: elbow_measures.curve_length(e, e.bore),
        (301.7901173764991, 299.3241153908652, 338.7178048316341),
    ),
    "throat": (
        lambda e: 2 * elbow.throat_area(e),
        (4328.4884559973025, 2277.3460940557934, 6945.055346180527),
    ),
    "throat wall": (
        lambda e: 2 * elbow.throat_perimeter(e),
        (241.56029685344538, 169.16848121050316, 311.64990648491784),
    ),
    "section at D/4": (
        lambda e: 2 * elbow_measures.section_area(e, e.radius / 2, e.bore),
        (4529.793017269041, 2605.162864592735, 7232.533551589921),
    ),
    "tip angle": (
        lambda e: elbow.tip_angle(e, e.radius) / DEGREE,
        (31.78833061705162, 48.18968510422141, 28.95502437185986),
    ),
    "run-on": (elbow.run_on, (0.0, 4.902694910377633, 0.0)),
    "reach": (
        lambda e: elbow.reach(e.clr, e.radius, e.half_angle),
        (0.5857864376269049, 0.43933982822017864, 0.5857864376269049),
    ),
}


@pytest.mark.parametrize("name", WORKED)
def test_as_worked(name: str) -> None:
    measure, expected = WORKED[name]
    for cut, value in zip((A, B, C), expected, strict=True):
        assert measure(cut) == pytest.approx(value, rel=EXACT)


def test_slug_as_worked() -> None:
    """Kerf 1.5 mm; closed form and solid model, worked case."""
    for cut, metal, length in (
        (A, 12182.148883273774, 128.8362914709982),
        (C, 11147.180780486175, 142.00334503102388),
    ):
        outside = elbow_measures.removed_volume(cut, cut.radius)
        got = outside - elbow_measures.removed_volume(cut, cut.bore)
        assert got == pytest.approx(metal, rel=EXACT)
        slug = elbow.after_kerf(cut, 1.5)
        assert elbow.opening_length(slug, slug.radius) == pytest.approx(length, rel=EXACT)
        assert slug.depth == pytest.approx(17.55, rel=EXACT)


# clr/od, cutback: tip angle [deg], opening length/od, height/od. Worked table, rounded to the
# last digit given.
TABLE = [
    (1.5, 0.25, 28.955, 1.9365, 0.8660),
    (1.5, 0.30, 31.788, 2.1071, 0.9165),
    (1.5, 1 / 3, 33.557, 2.2111, 0.9428),
    (1.5, 0.50, 41.410, 2.6458, 1.0),
    (1.0, 0.25, 33.557, 1.6583, 0.8660),
    (1.0, 0.30, 36.870, 1.8000, 0.9165),
    (1.0, 1 / 3, 38.942, 1.8856, 0.9428),
    (1.0, 0.50, 48.190, 2.2426, 1.0),
]


@pytest.mark.parametrize(("clr", "cutback", "tip", "length", "height"), TABLE)
def test_shape_over_od(
    clr: float, cutback: float, tip: float, length: float, height: float
) -> None:
    cut = SlicedElbow(clr, 0.5, 0.026, QUARTER_TURN, 0.5, cutback)
    assert elbow.tip_angle(cut, 0.5) / DEGREE == pytest.approx(tip, abs=6e-4)
    assert elbow.opening_length(cut, 0.5) == pytest.approx(length, abs=6e-5)
    assert elbow.opening_height(cut, 0.5) == pytest.approx(height, abs=6e-5)


# A second way: go round the tube instead of along the cut. At the clock angle psi from the heel
# the surface has z = rho sin psi and lies w = rho cos psi outside the centreline.


def _across(cut: SlicedElbow, rho: float, t: float) -> tuple[float, float]:
    """Return y of the outline at psi = end - t², and dy/dpsi; the end is y = 0."""
    end = math.acos(cut.offset / rho)
    psi = end - t * t
    beyond = 2 * rho * math.sin(end - t * t / 2) * math.sin(t * t / 2)  # r - plane, unrounded
    r = cut.plane + beyond
    turn = math.cos(cut.half_angle)
    if cut.plane < r * turn:
        y = (r - cut.plane * turn) / math.sin(cut.half_angle)
        return y, -rho * math.sin(psi) / math.sin(cut.half_angle)
    y = math.sqrt(beyond * (r + cut.plane))
    return y, -r * rho * math.sin(psi) / y


def _going_round(cut: SlicedElbow, rho: float) -> tuple[float, float]:
    """Return area and length of the outline by adaptive quadrature in t."""
    end = math.acos(cut.offset / rho)
    breaks = [0.0, math.sqrt(end)]
    if cut.plane < (cut.clr + rho) * math.cos(cut.half_angle):
        kink = math.acos((cut.plane / math.cos(cut.half_angle) - cut.clr) / rho)
        breaks.insert(1, math.sqrt(end - kink))

    def area(t: float) -> float:
        return _across(cut, rho, t)[0] * rho * math.cos(end - t * t) * 2 * t

    def length(t: float) -> float:
        return math.hypot(rho * math.cos(end - t * t), _across(cut, rho, t)[1]) * 2 * t

    def whole(part: Callable[[float], float]) -> float:
        spans = pairwise(breaks)
        return 4 * sum(quad(part, *span, epsabs=0, epsrel=1e-12, limit=200)[0] for span in spans)

    return whole(area), whole(length)


@pytest.mark.parametrize("cut", EVERY)
def test_areas_and_curves_by_going_round_the_tube(cut: SlicedElbow) -> None:
    """Independent: another variable, another rule. 1e-9 is what the adaptive rule holds."""
    for rho in (cut.radius, cut.bore):
        area, length = _going_round(cut, rho)
        assert elbow_measures.opening_area(cut, rho) == pytest.approx(area, rel=1e-9)
        assert elbow_measures.curve_length(cut, rho) == pytest.approx(length, rel=1e-9)


@pytest.mark.parametrize("cut", EVERY)
@pytest.mark.parametrize("rho", ["radius", "bore"])
def test_the_outline_lies_on_the_tube(cut: SlicedElbow, rho: str) -> None:
    """Invariant: every point is rho from the centreline, arc or straight; and it closes."""
    radius = getattr(cut, rho)
    y, z = elbow_measures.outline(cut, radius, count=200)
    for across, high in zip(np.abs(y), z, strict=True):
        arc = math.hypot(cut.plane, across) - cut.clr
        if math.atan2(across, cut.plane) > cut.half_angle:
            turn = cut.half_angle
            arc = cut.plane * math.cos(turn) + across * math.sin(turn) - cut.clr
        assert math.hypot(arc, high) == pytest.approx(radius, rel=1e-9)
    assert (y[0], z[0]) == (y[-1], z[-1])
    drawn = float(np.hypot(np.diff(y), np.diff(z)).sum())
    assert drawn == pytest.approx(elbow_measures.curve_length(cut, radius), rel=1e-3)


@given(st.floats(0.6, 3.0), st.floats(0.05, 0.95), st.floats(5.0, 89.0))
def test_volume_grows_by_the_area(clr: float, cutback: float, deg: float) -> None:
    """Invariant: d(volume)/d(depth) is the opening's area, run-on or not."""
    step = 1e-4
    assume(abs(cutback - elbow.reach(clr, 0.5, deg * DEGREE)) > 2 * step)
    parts = [
        SlicedElbow(clr, 0.5, 0.02, deg * DEGREE, 100.0, cutback + k * step) for k in (-1, 0, 1)
    ]
    low, _, high = (elbow_measures.removed_volume(part, 0.5) for part in parts)
    area = elbow_measures.opening_area(parts[1], 0.5)
    assert (high - low) / (2 * step) == pytest.approx(area, rel=1e-4)


@given(st.floats(0.6, 3.0), st.floats(10.0, 80.0))
def test_nothing_jumps_where_the_tip_leaves_the_bend(clr: float, deg: float) -> None:
    """Invariant: every measure is continuous across the bend's end (1e-9 of cutback apart)."""
    limit = elbow.reach(clr, 0.5, deg * DEGREE)
    assume(0.05 < limit < 0.95)
    below, above = (
        SlicedElbow(clr, 0.5, 0.02, deg * DEGREE, 1.0, limit * (1 + k * 1e-9)) for k in (-1, 1)
    )
    assert elbow.onto_straight(above, 0.5)
    assert not elbow.onto_straight(below, 0.5)
    for measure in (
        elbow.opening_length,
        elbow_measures.opening_area,
        elbow_measures.curve_length,
        elbow_measures.removed_volume,
    ):
        assert measure(above, 0.5) == pytest.approx(measure(below, 0.5), rel=1e-6)
    slopes = [elbow.opening_length_per_depth(cut) for cut in (below, above)]
    assert slopes[0] == pytest.approx(slopes[1], rel=1e-6)


@given(st.floats(0.6, 3.0), st.floats(0.05, 0.95), st.floats(5.0, 89.0))
def test_the_gauge_moves_by_its_slope(clr: float, cutback: float, deg: float) -> None:
    """Central difference of the opening's length over depth."""
    step = 1e-5
    assume(abs(cutback - elbow.reach(clr, 0.5, deg * DEGREE)) > 2 * step)
    low, here, high = (
        SlicedElbow(clr, 0.5, 0.02, deg * DEGREE, 100.0, cutback + k * step) for k in (-1, 0, 1)
    )
    slope = (elbow.opening_length(high, 0.5) - elbow.opening_length(low, 0.5)) / (2 * step)
    assert elbow.opening_length_per_depth(here) == pytest.approx(slope, rel=1e-5)


@pytest.mark.parametrize("cut", [A, B, C, DEEP, U])
def test_no_section_is_less_than_the_middle(cut: SlicedElbow) -> None:
    """The narrowest area is in the middle: sections square to the joint only grow from there."""
    most = (cut.clr - cut.bore) * math.sin(min(cut.half_angle, math.pi / 2))
    areas = [elbow_measures.section_area(cut, most * k / 40, cut.bore) for k in range(41)]
    assert areas[0] == pytest.approx(elbow.throat_area(cut), rel=1e-12)
    assert all(after >= before for before, after in pairwise(areas))


@pytest.mark.parametrize("cut", [A, C])
def test_a_section_by_small_boxes(cut: SlicedElbow) -> None:
    """Independent: the width added up on 300 even heights, good to 1e-4."""
    y = 0.4 * cut.clr
    z = (np.arange(300) + 0.5) / 300 * cut.bore
    half = np.sqrt(cut.bore**2 - z**2)
    outer = np.minimum(np.sqrt((cut.clr + half) ** 2 - y**2), cut.plane)
    inner = np.sqrt((cut.clr - half) ** 2 - y**2)
    boxes = 2 * float(np.sum(np.maximum(outer - inner, 0.0))) * cut.bore / 300
    assert elbow_measures.section_area(cut, y, cut.bore) == pytest.approx(boxes, rel=2e-4)


def test_a_section_past_the_tips_is_the_whole_tube() -> None:
    """On the straight end the plane cuts an ellipse, bore area over cos theta: exact."""
    cut = SlicedElbow(95.25, 31.75, 1.651, QUARTER_TURN, 400.0, 0.3)
    got = elbow_measures.section_area(cut, 200.0, cut.bore)
    assert got == pytest.approx(math.pi * cut.bore**2 / math.cos(QUARTER_TURN), rel=EXACT)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"radius": 100.0}, r"radius must be between zero and clr"),
        ({"wall": 40.0}, r"wall must be between zero and radius"),
        ({"half_angle": 0.0}, r"half_angle must be between 0 and 180 deg"),
        ({"straight": -1.0}, r"straight must not be less than zero"),
        ({"cutback": 0.02}, r"cutback must be between 0\.026 and 0\.974 to open the bore"),
        ({"cutback": math.nan}, r"cutback must be between"),
    ],
)
def test_what_cannot_be_is_refused(changes: dict[str, float], words: str) -> None:
    given_ = dict(zip(SlicedElbow.__slots__, (95.25, 31.75, 1.651, QUARTER_TURN, 0.0, 0.3)))  # noqa: B905
    with pytest.raises(ExhaustError, match=words):
        SlicedElbow(**(given_ | changes))


def test_surfaces_and_planes_outside_the_tube_are_refused() -> None:
    with pytest.raises(ExhaustError, match=r"rho must be between .* to meet the cut"):
        elbow.opening_length(A, 12.0)
    with pytest.raises(ExhaustError, match=r"rho must be between .* to meet the cut"):
        elbow_measures.opening_area(A, 32.0)
    with pytest.raises(ExhaustError, match="rho must be between zero"):
        elbow_measures.section_area(A, 0.0, 40.0)
    with pytest.raises(ExhaustError, match="rho must be between zero"):
        elbow_measures.section_area(A, 0.0, 0.0)
    with pytest.raises(ExhaustError, match=r"y must be within .* where the tube ends"):
        elbow_measures.section_area(A, 80.0, A.bore)
    with pytest.raises(ExhaustError, match="count must be 2 or more"):
        elbow_measures.outline(A, A.radius, count=1)
