"""A tube that meets another from the side: worked values, other constructions, closed forms.

Lengths in mm: the kernel only needs one unit.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust.errors import ExhaustError
from exhaust.geometry import saddle, saddle_edge, saddle_measures
from exhaust.geometry.saddle import Crossing, Saddle

DEGREE = math.pi / 180
EXACT = 1e-12  # closed forms and settled quadrature in double precision
LAST = 4e-15  # the last digits of lengths up to 4
ALIKE = 1e-9  # two routes in double precision, one of them with a root of a difference

A = Saddle(31.75, 1.651, 25.4, 1.651)
B = Saddle(38.1, 1.651, 25.4, 1.651, 60 * DEGREE)
OFF = Saddle(38.1, 1.651, 25.4, 1.651, 75 * DEGREE, 6.0)
FAR_OFF = Saddle(38.1, 1.651, 12.7, 1.2446, 90 * DEGREE, 20.0)  # offset more than its radius
EQUAL = Saddle(31.75, 1.651, 31.75, 1.651, 70 * DEGREE)
EVERY = (A, B, OFF, FAR_OFF, EQUAL)

# Closed form, and solid model where it could be measured; worked cases [mm, mm²] in A, B order.
WORKED: dict[str, tuple[Callable[[Saddle], float], tuple[float, float]]] = {
    "least": (lambda s: saddle.span_on_tube(s.outside)[0], (19.05, 28.398063314247334)),
    "greatest": (lambda s: saddle.span_on_tube(s.outside)[1], (31.75, 58.658787349665985)),
    "notch": (lambda s: saddle.notch_depth(s.outside), (12.7, 30.26072403541865)),
    "seam": (
        lambda s: saddle_measures.seam_length(s.outside),
        (169.14284742775993, 178.22293374280872),
    ),
    "bore seam": (
        lambda s: saddle_measures.seam_length(s.hole),
        (156.49609694779497, 165.74256720596605),
    ),
    "hole width": (lambda s: saddle.width_round(s.hole), (53.66026380204507, 51.28247129667659)),
    "hole to": (lambda s: saddle.span_on_primary(s.hole)[1], (23.749, 49.420028342093595)),
    "hole from": (lambda s: saddle.span_on_primary(s.hole)[0], (-23.749, -5.425937829844095)),
    "hole": (
        lambda s: saddle_measures.hole_area(s.hole),
        (1933.6800448160511, 2163.75315329012),
    ),
    "hole inside": (
        lambda s: saddle_measures.hole_area(s.opening),
        (1959.5329311979322, 2177.1132336748265),
    ),
    "footprint": (
        lambda s: saddle_measures.hole_area(s.outside),
        (2250.1605932609573, 2499.0634371483648),
    ),
}


@pytest.mark.parametrize("name", WORKED)
@pytest.mark.parametrize("case", [0, 1])
def test_as_worked(name: str, case: int) -> None:
    measure, values = WORKED[name]
    assert measure((A, B)[case]) == pytest.approx(values[case], rel=1e-11)


# clock [deg]: outside, bore, seat of a straight-through edge [mm]; worked cases A and B
CLOCK = {
    0: ((31.75, 31.75, 31.75), (58.658787349665985, 57.70558205523392, 58.658787349665985)),
    30: (
        (29.099355662969586, 29.445861334829385, 29.445861334829385),
        (54.17802631112849, 53.67731090628556, 54.17802631112849),
    ),
    45: (
        (26.181720722672146, 26.945407762733897, 26.945407762733897),
        (49.16864746174157, 49.185613989775845, 49.18688849683421),
    ),
    60: (
        (22.895250599196334, 24.187832669546896, 24.187832669546896),
        (43.25337290298487, 43.88904158755482, 43.88904158755482),
    ),
    90: (
        (19.05, 21.072434576953846, 21.072434576953846),
        (32.791258997889464, 34.40145343828756, 34.40145343828756),
    ),
    150: (
        (29.099355662969586, 29.445861334829385, 29.445861334829385),
        (28.778026311128478, 29.928310906285553, 29.928310906285553),
    ),
    180: ((31.75, 31.75, 31.75), (29.32939367483299, 30.282598969265063, 30.282598969265063)),
    270: (
        (19.05, 21.072434576953846, 21.072434576953846),
        (32.791258997889464, 34.40145343828756, 34.40145343828756),
    ),
}


@pytest.mark.parametrize("clock", CLOCK)
def test_the_line_at_every_clock_position_as_worked(clock: int) -> None:
    for joint, (outside, bore, seat) in zip((A, B), CLOCK[clock], strict=True):
        at = [clock * DEGREE]
        for edge, value in (("saddle", outside), ("feather", bore), ("straight", seat)):
            assert float(saddle_edge.edge_at(joint, at, edge)[0]) == pytest.approx(value, rel=EXACT)
        both = saddle_measures.depths(joint, at)
        long_point = saddle.span_on_tube(joint.outside)[0]
        assert float(both.outside[0]) == pytest.approx(outside - long_point, abs=ALIKE)
        assert float(both.inside[0]) == pytest.approx(bore - long_point, abs=ALIKE)


# Other ways to the same crossing


def by_cutting_spheres(crossing: Crossing, radius: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Descriptive geometry: a sphere about the crossing of the axes cuts both tubes in circles.

    Where the two circles meet is on the crossing. Returns clock and distance along the tube.
    """
    along_primary = np.sqrt(radius**2 - crossing.primary**2)
    along_tube = np.sqrt(radius**2 - crossing.rho**2)
    sine, cosine = math.sin(crossing.angle), math.cos(crossing.angle)
    x = (along_tube - along_primary * cosine) / sine
    z = np.sqrt(np.maximum(crossing.primary**2 - x**2, 0.0))
    return np.arctan2(z, along_primary * sine - x * cosine), along_tube


@given(st.floats(0.1, 0.98), st.floats(20.0, 160.0))
def test_cutting_spheres_find_the_same_points(ratio: float, deg: float) -> None:
    crossing = Crossing(1.0, ratio, deg * DEGREE)
    low, high = math.sqrt(1.0 + saddle.hole(crossing, 0.0)[1] ** 2), 1.0
    radius = np.linspace(min(low, high), max(low, high), 40)[1:-1]
    clock, distance = by_cutting_spheres(crossing, radius)
    real = np.sin(clock) > 1e-3  # the sphere reaches both circles
    found = saddle.meets_at(crossing, clock[real])
    assert found == pytest.approx(distance[real], abs=ALIKE)


@given(
    st.floats(0.05, 0.95),
    st.floats(20.0, 160.0),
    st.floats(-1.0, 1.0),
    st.floats(-180.0, 180.0),
)
def test_a_ray_by_vectors_meets_at_the_same_distance(
    ratio: float, deg: float, share: float, clock: float
) -> None:
    """Another way: the greater root of the ray's quadratic, from cross products with the axis."""
    crossing = Crossing(1.0, ratio, deg * DEGREE, share * (1.0 - ratio) * 0.999)
    axis = np.array([0.0, 1.0, 0.0])
    u = np.array([math.sin(crossing.angle), math.cos(crossing.angle), 0.0])
    v = np.array([-math.cos(crossing.angle), math.sin(crossing.angle), 0.0])
    z = np.array([0.0, 0.0, 1.0])
    phi = clock * DEGREE
    start = ratio * math.cos(phi) * v + (ratio * math.sin(phi) + crossing.offset) * z
    across, beside = np.cross(u, axis), np.cross(start, axis)
    roots = np.roots([across @ across, 2 * across @ beside, beside @ beside - 1.0])
    ray = max(roots.real)
    assert float(saddle.meets_at(crossing, phi)) == pytest.approx(ray, abs=ALIKE)
    turn, y = saddle.hole(crossing, phi)
    point = start + ray * u
    assert (math.cos(turn), y, math.sin(turn)) == pytest.approx(tuple(point), abs=1e-8)


@pytest.mark.parametrize("joint", EVERY)
def test_slope_is_the_central_difference(joint: Saddle) -> None:
    clock, step = np.radians(np.arange(-175.0, 180.0, 10.0)), 1e-6
    low, high = (saddle.meets_at(joint.outside, clock + k * step) for k in (-1, 1))
    got = saddle.slope(joint.outside, clock)
    assert got == pytest.approx((high - low) / (2 * step), abs=1e-6)


@given(st.floats(0.05, 1.0), st.floats(20.0, 160.0), st.floats(-1.0, 1.0))
def test_spans_are_the_extremes(ratio: float, deg: float, share: float) -> None:
    """Never within 20 000 samples, and no farther out than the steepest slope, 3, takes a step."""
    crossing = Crossing(1.0, ratio, deg * DEGREE, share * (1.0 - ratio))
    clock = np.linspace(-math.pi, math.pi, 20001)
    for span, curve in (
        (saddle.span_on_tube(crossing), saddle.meets_at(crossing, clock)),
        (saddle.span_on_primary(crossing), saddle.hole(crossing, clock)[1]),
    ):
        assert span[0] <= curve.min() + LAST
        assert span[1] >= curve.max() - LAST
        assert span == pytest.approx((curve.min(), curve.max()), abs=1e-3)


@given(st.floats(0.05, 1.0), st.floats(20.0, 90.0))
def test_centred_spans_have_closed_forms(ratio: float, deg: float) -> None:
    """Exact, both branches: the long point is at the sides, or on the obtuse line."""
    g = deg * DEGREE
    side = math.sqrt(1.0 - ratio**2)
    if math.cos(g) * side <= ratio * math.sin(g):
        least = side
    else:
        least = (1.0 - ratio * math.cos(g)) / math.sin(g)
    greatest = (1.0 + ratio * math.cos(g)) / math.sin(g)
    for angle in (g, math.pi - g):
        span = saddle.span_on_tube(Crossing(1.0, ratio, angle))
        assert span == pytest.approx((least, greatest), abs=ALIKE)


@given(st.floats(-12.0, -1.0), st.floats(-12.0, 0.0), st.floats(30.0, 150.0))
def test_nearly_equal_tubes_lose_no_digits(room: float, away: float, deg: float) -> None:
    """sqrt(A² - r² cos² t) as sqrt((A - r)(A + r) + r² sin² t), which has no difference in it."""
    r, t, g = 1.0, 10.0**away, deg * DEGREE
    primary = r + 10.0**room
    expected = (
        math.sqrt((primary - r) * (primary + r) + (r * math.sin(t)) ** 2)
        + r * math.sin(t) * math.cos(g)
    ) / math.sin(g)
    got = float(saddle.meets_at(Crossing(primary, r, g), math.pi / 2 - t))
    # t itself is only known to the last bit of a quarter turn
    assert got == pytest.approx(expected, rel=1e-12, abs=1e-15)


# How the edge is made


@given(st.floats(0.3, 1.0), st.floats(0.01, 0.2), st.floats(30.0, 150.0), st.floats(-1.0, 1.0))
def test_a_straight_edge_touches_and_never_enters(
    ratio: float, wall: float, deg: float, share: float
) -> None:
    """The greatest s of 400 radii in the wall, at every clock position; never under any of it."""
    offset = share * (1.0 - ratio)
    joint = Saddle(1.0, 1e-6, ratio, wall * ratio, deg * DEGREE, offset)
    clock = np.radians(np.arange(0.0, 360.0, 7.5))
    seat = saddle_edge.edge_at(joint, clock, "straight")
    radii = np.linspace(joint.bore, joint.radius, 400)
    every = np.array([saddle.meets_at(replace(joint.outside, rho=r), clock) for r in radii])
    assert np.all(seat >= every.max(axis=0) - 1e-14)
    assert seat == pytest.approx(every.max(axis=0), abs=2e-3 * wall)
    touching = saddle_edge.contact_radius(joint, clock)
    assert np.all((touching >= joint.bore) & (touching <= joint.radius))
    span = saddle_edge.edge_span(joint, "straight")
    assert span[0] <= seat.min() + 1e-14
    assert span[1] >= seat.max() - 1e-14


@pytest.mark.parametrize("joint", EVERY)
def test_long_and_short_points_of_a_straight_edge(joint: Saddle) -> None:
    clock = np.linspace(-math.pi, math.pi, 20001)
    for edge in saddle_edge.EDGES:
        seat = saddle_edge.edge_at(joint, clock, edge)
        span = saddle_edge.edge_span(joint, edge)
        assert span == pytest.approx((seat.min(), seat.max()), abs=1e-2)
        assert span[0] <= seat.min() + 1e-12
        assert span[1] >= seat.max() - 1e-12


def test_the_contact_radius_as_worked() -> None:
    """Worked case B: outside on the acute side, within the wall at 45°, the bore from 60° on."""
    got = saddle_edge.contact_radius(B, np.radians([0.0, 30.0, 45.0, 60.0, 90.0, 180.0]))
    worked = [25.4, 25.4, 24.096555770483064, 23.749, 23.749, 23.749]
    assert got == pytest.approx(worked, rel=1e-12)
    assert saddle_edge.contact_radius(A, [0.0, math.pi]) == pytest.approx([25.4, 25.4])


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda: Crossing(10.0, 0.0), "rho must be more than zero"),
        (lambda: Crossing(10.0, math.nan), "rho must be more than zero"),
        (lambda: Crossing(10.0, 5.0, 0.0), "angle must be between 0 and 180 deg"),
        (lambda: Crossing(10.0, 5.0, math.pi / 2, 5.1), "rho and offset must stay within"),
        (lambda: Crossing(10.0, 5.0, math.pi / 2, math.nan), "rho and offset must stay within"),
        (lambda: replace(A, wall=30.0), "wall must be between zero and radius"),
        (lambda: replace(A, primary_wall=0.0), "primary_wall must be between zero"),
        (lambda: replace(A, offset=7.0), "radius and offset must stay within"),
        (lambda: replace(A, radius=31.75, wall=1.0), "radius inside and offset must stay within"),
        (lambda: saddle.meets_at(A.outside, ["noon"]), "clock must be numbers, in radians"),
        (lambda: saddle.meets_at(A.outside, math.nan), "clock must be finite numbers"),
        (lambda: saddle_edge.edge_at(A, 0.0, "strait"), 'edge is not a known way .* "straight"'),
        (lambda: saddle_edge.edge_span(A, "bevel"), "edge is not a known way"),
    ],
)
def test_what_cannot_be_is_refused(made: Callable[[], object], words: str) -> None:
    with pytest.raises(ExhaustError, match=words):
        made()
