"""Faces that meet: steps and overlaps against worked values and closed forms. Lengths in mm."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust.geometry import mitre, parallel_to_splayed, segment, splayed
from exhaust.geometry.elbow import SlicedElbow
from exhaust.geometry.mismatch import Face, Meeting, overlap_area
from exhaust.geometry.splayed import MitredLeg

DEGREE = math.pi / 180
EXACT = 1e-12  # closed forms in double precision
STEP = 1e-12  # of a step over the radius: a difference of two lengths about as long as it
a = 31.75


def at(alpha: float, f: float) -> Meeting:
    """A leg at an included angle [deg] on a halved parallel X of cutback f."""
    bend = SlicedElbow(95.25, a, 1.651, math.pi / 4, 20.0, f)
    return parallel_to_splayed.meeting(
        bend, parallel_to_splayed.mitred_leg(bend, alpha / 2 * DEGREE)
    )


# f, included angle: inward, its angle, outward, its angle, seam step, areas of circle and ellipse,
# ledges circle over ellipse and ellipse over circle. Closed form and solid model, worked cases.
WORKED = [
    (
        *(0.3, 45, -0.6344513437232031, 60.65885052448194, 1.152224065560958),
        *(112.70534757595809, 1.2530140708811572, 2367.8573897383017, 2344.951188400201),
        *(35.60479824340973, 12.6985969053095),
    ),
    (
        *(1 / 3, 70, -1.6194896527057518, 61.67344558146377, 1.5891595535871446),
        *(108.50845017633644, 1.6805660569899565, 2242.8411965428827, 2159.6593441907285),
        *(94.78698446359954, 11.605132111444732),
    ),
]


@pytest.mark.parametrize("case", WORKED)
def test_leg_on_a_halved_x_as_worked(case: tuple[float, ...]) -> None:
    f, alpha, inward, inward_at, outward, outward_at, seam, circle, ellipse, over, under = case
    meeting = at(alpha, f)
    worst = meeting.steps
    assert worst.inward == pytest.approx(inward, abs=a * STEP)
    assert worst.inward_at / DEGREE == pytest.approx(inward_at, rel=1e-9)
    assert worst.outward == pytest.approx(outward, abs=a * STEP)
    assert worst.outward_at / DEGREE == pytest.approx(outward_at, rel=EXACT)
    assert worst.at_seam == pytest.approx(seam, abs=a * STEP)
    areas = [face.area(a, face.edge(a), 0.0) for face in (meeting.first, meeting.second)]
    assert areas == pytest.approx([circle, ellipse], rel=EXACT)
    common = overlap_area(meeting.first, meeting.second, a)
    assert [area - common for area in areas] == pytest.approx([over, under], abs=1e-9)


# included angle: inward (any f), its angle, outward and seam step at f = 0.25, 0.30, 1/3 [mm];
# 63.5 mm. Worked table, rounded to the last digit given; 70 deg inward is 1.6195 and rounds to
# 1.619, which the table has as 1.620.
TABLE = {
    30: (-0.276, 60.3, (0.761, 0.875), (0.565, 0.615), (0.445, 0.472)),
    45: (-0.634, 60.7, (1.567, 1.795), (1.152, 1.253), (0.898, 0.951)),
    60: (-1.161, 61.2, (2.454, 2.801), (1.774, 1.926), (1.355, 1.434)),
    70: (-1.619, 61.7, (2.997, 3.412), (2.127, 2.307), (1.589, 1.681)),
    90: (-2.852, 62.9, (3.695, 4.195), (2.444, 2.649), (1.668, 1.764)),
}


@pytest.mark.parametrize("alpha", TABLE)
def test_table_of_steps(alpha: int) -> None:
    inward, where, *by_cutback = TABLE[alpha]
    for f, (outward, seam) in zip((0.25, 0.30, 1 / 3), by_cutback, strict=True):
        worst = at(alpha, f).steps
        assert worst.inward == pytest.approx(inward, abs=6e-4)
        assert worst.inward_at / DEGREE == pytest.approx(where, abs=0.06)
        assert worst.outward == pytest.approx(outward, abs=6e-4)
        assert worst.at_seam == pytest.approx(seam, abs=6e-4)


@given(st.floats(5.0, 70.0), st.floats(0.05, 0.55))
def test_steps_of_a_leg_in_closed_form(theta: float, f: float) -> None:
    """Exact: deepest inward a [1 - sqrt(1 - tan²(t/2))] where cos² = cos t / (2 (1 + cos t));
    none at a tan²(t/2) past the middle; at the seam's corner hypot(h, ze) - a."""
    worst, meeting = at(2 * theta, f).steps, at(2 * theta, f)
    t, h = theta * DEGREE, a * (1 - 2 * f)
    squared = math.tan(t / 2) ** 2
    if h > a * squared:  # the leg is proud at the seam
        deepest = -a * (1 - math.sqrt(1 - squared))
        where = math.acos(math.sqrt(math.cos(t) / (2 * (1 + math.cos(t)))))
        assert worst.inward == pytest.approx(deepest, abs=a * STEP)
        assert worst.inward_at == pytest.approx(where, rel=1e-7)
        long = a / math.cos(t)
        ze = a * math.sqrt(1 - ((h - long + a) / long) ** 2)
        assert worst.outward == pytest.approx(math.hypot(h, ze) - a, abs=a * STEP)
        assert worst.at_seam == pytest.approx(ze - math.sqrt(a * a - h * h), abs=a * STEP)
        crossing = math.atan2(math.sqrt(a * a - (a * squared) ** 2), -a * squared)
        assert float(meeting.step(crossing)) == pytest.approx(0.0, abs=a * STEP)
    else:
        assert worst.outward == pytest.approx(0.0, abs=a * STEP)


def equal_width() -> Meeting:
    """45 and 70 deg, the second sliced to the width of the first at a third."""
    first, second = (63.5 / math.cos(angle * DEGREE) for angle in (22.5, 35.0))
    g = mitre.cutback_for(second, mitre.kept_width(first, 1 / 3))
    legs = [
        MitredLeg(a, 1.651, angle * DEGREE, angle * DEGREE, share)
        for angle, share in ((22.5, 1 / 3), (35.0, g))
    ]
    return Meeting(*(Face(math.cos(leg.mitre), leg.offset) for leg in legs), a)


def test_unequal_ends_of_equal_width_as_worked() -> None:
    """Closed form and solid model, worked case [mm]; the inward angle there was searched to 1e-5
    of a degree, where the step has its least to the last digit."""
    meeting = equal_width()
    worst = meeting.steps
    assert worst.at_seam == pytest.approx(1.2844140372058597, abs=a * STEP)
    assert worst.outward == pytest.approx(1.2319619335477654, abs=a * STEP)
    assert worst.outward_at / DEGREE == pytest.approx(114.26268567446343, rel=EXACT)
    assert worst.inward == pytest.approx(-0.9860510728142593, abs=a * STEP)
    assert worst.inward_at / DEGREE == pytest.approx(62.52923703232312, abs=1e-5)
    near = float(meeting.step(110.83480510422952 * DEGREE))
    assert near == pytest.approx(0.9159133700961135, abs=a * STEP)


cosines = st.floats(3.0, 75.0).map(lambda degrees: math.cos(math.radians(degrees)))
offsets = st.floats(-0.9, 0.9).map(lambda share: share * a)


@given(cosines, cosines, offsets, offsets)
def test_overlap_by_strips(c1: float, c2: float, w1: float, w2: float) -> None:
    """A second way: strips of the lower of the two walls; a strip's own error is the tolerance."""
    first, second = Face(c1, w1), Face(c2, w2)
    left = max(first.edge(a), second.edge(a))
    u = np.linspace(left, 0.0, 20001)
    u = (u[1:] + u[:-1]) / 2
    lower = np.minimum(
        *(np.sqrt(np.maximum(a * a - (f.cosine * u + f.offset) ** 2, 0.0)) for f in (first, second))
    )
    strips = float(2 * lower.sum() * -left / 20000)
    got = overlap_area(first, second, a)
    assert got == pytest.approx(strips, rel=1e-5)
    assert got == pytest.approx(overlap_area(second, first, a), rel=1e-9)
    for face in (first, second):
        assert got <= face.area(a, face.edge(a), 0.0) * (1 + 1e-12)


@given(cosines, offsets)
def test_a_face_meets_its_like_without_a_step(cosine: float, offset: float) -> None:
    """Exact: the overlap is the face, and no ray steps; so with the bisector's mitre."""
    face = Face(cosine, offset)
    common = overlap_area(face, face, a)
    assert common == pytest.approx(segment.kept_area(a, offset) / cosine, rel=EXACT)
    worst = Meeting(face, face, a).steps
    assert (worst.inward, worst.outward, worst.at_seam) == (0.0, 0.0, 0.0)


@given(cosines, cosines, offsets)
def test_faces_of_one_offset_differ_in_width_only_at_the_edge(
    c1: float, c2: float, offset: float
) -> None:
    """Plain rule: seam heights agree, and the step at the outer edge is the difference of width."""
    first, second = Face(c1, offset), Face(c2, offset)
    meeting = Meeting(first, second, a)
    assert meeting.steps.at_seam == pytest.approx(0.0, abs=a * STEP)
    wider = first.edge(a) - second.edge(a)
    assert float(meeting.step(0.0)) == pytest.approx(wider, abs=1e-9 * abs(first.edge(a)))


def test_trap_6_a_leg_on_an_x_can_be_cut_past_its_widest_point() -> None:
    """90 deg: g passes a half at f = 0.30 and at a third, where the X itself is well inside it;
    what is left of the leg ends short of its widest point, and its opening is highest beside the
    seam."""
    for f in (0.30, 1 / 3):
        bend = SlicedElbow(95.25, a, 1.651, math.pi / 4, 20.0, f)
        leg = parallel_to_splayed.mitred_leg(bend, 45 * DEGREE)
        assert leg.cutback > 0.5 > f
        assert leg.offset < 0.0
        seam = splayed.seam_height(leg, a)
        assert seam == pytest.approx(2 * math.sqrt(a * a - leg.offset**2), rel=EXACT)
        assert seam < splayed.opening_height(leg, a) * (1 - 1e-5) == 2 * a * (1 - 1e-5)
        assert at(90, f).steps.at_seam == pytest.approx(
            seam / 2 - math.sqrt(a * a - (a * (1 - 2 * f)) ** 2), abs=a * STEP
        )
    assert mitre.leg_cutback(0.3, math.acos(1 / 1.4)) == pytest.approx(0.5, rel=EXACT)


@pytest.mark.parametrize("degrees", [10.0, 35.0, 80.0, 120.0])
def test_the_rate_of_a_step_is_its_slope(degrees: float) -> None:
    """The worst step is looked for where the rate is nought; a central difference gives it too."""
    tilt, a, near = 22.5 * DEGREE, 0.03175, 1e-5
    leg = Face(math.cos(tilt), 0.0889 * math.cos(tilt) / 2 - a)
    meeting = Meeting(Face(1.0, 0.0127), leg, a)
    at = np.array([degrees * DEGREE])
    slope = (meeting.step(at + near) - meeting.step(at - near)) / (2.0 * near)
    assert meeting._rate(at) == pytest.approx(slope, abs=a * 1e-8)
