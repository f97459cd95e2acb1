"""The mitred and sliced leg: worked values, elliptic integrals, traps, limits. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import ellipeinc

from exhaust.errors import ExhaustError
from exhaust.geometry import mitre, segment, splayed, splayed_measures
from exhaust.geometry.splayed import MitredLeg

DEGREE = math.pi / 180
EXACT = 1e-12  # closed forms and settled quadrature in double precision
ALIKE = 1e-10  # two routes in double precision


def leg(alpha: float, g: float, od: float = 63.5, wall: float = 1.651) -> MitredLeg:
    """An included angle [deg] of equal ends, cutback, tube [mm]."""
    return MitredLeg(od / 2, wall, alpha / 2 * DEGREE, alpha / 2 * DEGREE, g)


A = leg(45, 1 / 3)
C = leg(45, 0.25, 76.2, 1.2446)

# Closed form and solid model, worked cases [mm, mm²]: A, C.
WORKED: dict[str, tuple[Callable[[MitredLeg], float], tuple[float, float]]] = {
    "opening": (lambda e: e.opening, (68.73190471856702, 82.47828566228043)),
    "take-off": (lambda e: e.take_off, (22.910634906189006, 20.619571415570107)),
    "kept": (lambda e: e.kept_width, (45.82126981237802, 61.85871424671032)),
    "run-out": (lambda e: splayed.run_out(e, e.radius), (55.31116551309993, 49.780048961789944)),
    "in the bore": (lambda e: splayed.run_out(e, e.bore), (50.99689460307814, 46.527752429619675)),
    "on the wall": (splayed.run_out_on_wall, (59.86837414046102, 53.88153672641492)),
    "height": (lambda e: splayed.seam_height(e, e.radius), (59.86837414046102, 65.99113576837422)),
    "bore height": (
        lambda e: splayed.seam_height(e, e.bore),
        (56.35398323297318, 63.100491572094754),
    ),
    "half opening": (
        lambda e: splayed_measures.opening_area(e, e.radius),
        (2414.738840679368, 2329.75037249107),
    ),
    "half window": (
        lambda e: splayed_measures.opening_area(e, e.bore),
        (2088.8019236038126, 2076.813346204435),
    ),
    "half seam": (
        lambda e: splayed_measures.opening_seam(e, e.radius),
        (133.82256594626304, 126.87893556471361),
    ),
    "mitre": (
        lambda e: splayed_measures.mitre_seam(e, e.radius),
        (127.18848663778907, 167.5848556508877),
    ),
    "face": (
        lambda e: splayed_measures.face_area(e, e.radius),
        (2427.633817632477, 3971.091807615005),
    ),
    "throat": (
        lambda e: 2 * splayed_measures.face_area(e, e.bore),
        (4430.827348504382, 7517.273737304794),
    ),
    "on the diameter": (
        lambda e: e.radius - e.offset,
        (21.166666666666664, 19.05),
    ),
}


@pytest.mark.parametrize("name", WORKED)
def test_as_worked(name: str) -> None:
    measure, values = WORKED[name]
    for case, value in zip((A, C), values, strict=True):
        assert measure(case) == pytest.approx(value, rel=EXACT)


# included angle: run-out [mm], throat over two bores, window over one bore; 63.5 x 1.651, a third.
# Worked table, rounded to the last digit given.
TABLE = [
    (30, 81.782, 0.7445, 2.170),
    (45, 55.311, 0.7784, 1.468),
    (60, 42.333, 0.8304, 1.123),
    (70, 36.903, 0.8779, 0.979),
    (90, 29.934, 1.0170, 0.794),
]


@pytest.mark.parametrize(("alpha", "run_out", "throat", "window"), TABLE)
def test_table_over_included_angles(
    alpha: float, run_out: float, throat: float, window: float
) -> None:
    at = leg(alpha, 1 / 3)
    bore = math.pi * at.bore**2
    assert splayed.run_out(at, at.radius) == pytest.approx(run_out, abs=6e-4)
    assert splayed_measures.face_area(at, at.bore) / bore == pytest.approx(throat, abs=6e-5)
    assert 2 * splayed_measures.opening_area(at, at.bore) / bore == pytest.approx(window, abs=6e-4)


def test_the_bisectors_leg_as_worked() -> None:
    """45 and 70 deg at a third; closed form and solid model, worked case [mm, mm²]."""
    found = mitre.bisector(22.5 * DEGREE, 35 * DEGREE)
    first, second = (
        MitredLeg(31.75, 1.651, angle * DEGREE, found.mitre, 1 / 3) for angle in (22.5, 35.0)
    )
    for one in (first, second):
        assert one.opening == pytest.approx(72.42849563631292, rel=EXACT)
        assert one.plane == pytest.approx(11.99966752586408, rel=EXACT)
        face = splayed_measures.face_area(one, one.radius)
        assert face == pytest.approx(2558.198642783449, rel=EXACT)
    assert first.corner == pytest.approx(-1.31417732835909, rel=EXACT)
    assert second.corner == pytest.approx(1.31417732835909, rel=EXACT)
    tips = [one.corner + splayed.run_out(one, one.radius) for one in (first, second)]
    assert tips == pytest.approx([53.99698818474084, 38.21713450233899], rel=EXACT)
    window = sum(splayed_measures.opening_area(one, one.bore) for one in (first, second))
    assert window == pytest.approx(3482.4259273037887, rel=EXACT)


angles = st.floats(3.0, 80.0)
shares = st.floats(0.05, 0.93)


@given(angles, angles, shares)
def test_trap_15_seams_are_elliptic_integrals_of_the_square_of_the_modulus(
    theta: float, turn: float, g: float
) -> None:
    """Independent: scipy's incomplete elliptic integral of the second kind, E(phi | m), m = k²."""
    at = MitredLeg(31.75, 1.651, theta * DEGREE, turn * DEGREE, g)
    beta = math.acos(1 - 2 * g)
    m1, m2 = math.cos(at.angle) ** 2, math.sin(at.mitre) ** 2
    turned = math.pi / 2 - beta
    seam = 63.5 / math.sin(at.angle) * (ellipeinc(math.pi / 2, m1) - ellipeinc(turned, m1))
    edge = 63.5 / math.cos(at.mitre) * (ellipeinc(math.pi / 2, m2) + ellipeinc(turned, m2))
    assert splayed_measures.opening_seam(at, at.radius) == pytest.approx(seam, rel=ALIKE)
    assert splayed_measures.mitre_seam(at, at.radius) == pytest.approx(edge, rel=ALIKE)


@given(angles, angles, shares)
def test_areas_and_volume_by_strips(theta: float, turn: float, g: float) -> None:
    """A second way: integrals over w of the chord times what each cut makes of it."""
    at = MitredLeg(31.75, 1.651, theta * DEGREE, turn * DEGREE, g)
    rho, low = at.bore, at.offset

    def chord(w: float) -> float:
        return 2 * math.sqrt(max(rho * rho - w * w, 0.0))

    def between(w: float) -> float:  # mitre to slice along the tube
        slice_at = -at.offset * math.tan(at.mitre) + (w - at.offset) / math.tan(at.angle)
        return slice_at + w * math.tan(at.mitre)

    window = quad(chord, low, rho, limit=200)[0] / math.sin(at.angle)
    face = quad(chord, -rho, low, limit=200)[0] / math.cos(at.mitre)
    slug = quad(lambda w: chord(w) * between(w), low, rho, limit=200)[0]
    assert splayed_measures.opening_area(at, rho) == pytest.approx(window, rel=1e-8)
    assert splayed_measures.face_area(at, rho) == pytest.approx(face, rel=1e-8)
    assert splayed_measures.removed_volume(at, rho) == pytest.approx(slug, rel=1e-8)


@given(angles, shares)
def test_sections_add_up_to_the_window(theta: float, g: float) -> None:
    at = leg(2 * theta, g)
    tip = splayed.run_out(at, at.bore)
    y = splayed_measures.stations(tip, 1.5 * tip, 300)
    area, height = splayed_measures.along(at, y)
    got = float(np.trapezoid(height, y))
    assert got == pytest.approx(splayed_measures.opening_area(at, at.bore), rel=1e-3)
    assert area[0] == pytest.approx(splayed_measures.normal_area(at, at.bore), rel=EXACT)
    assert np.all(np.diff(area) >= 0.0)
    assert area[-1] == pytest.approx(math.pi * at.bore**2, rel=EXACT)


@given(st.integers(1, 40), st.floats(0.1, 2.0))
def test_stations_run_from_nought_to_the_end(count: int, tip: float) -> None:
    y = splayed_measures.stations(tip, 1.0, count)
    assert y.shape == (count + 1,)
    assert y[0] == 0.0
    assert y[-1] == pytest.approx(1.0, rel=EXACT)
    assert np.all(np.diff(y) > 0.0)


@given(angles, shares, st.floats(0.0, 100.0))
def test_the_least_leg_holds_the_clamp_beyond_the_tip(theta: float, g: float, clamp: float) -> None:
    at = leg(2 * theta, g)
    least = splayed.least_length(at, clamp)
    heel = least + mitre.point_beyond(at.radius, at.mitre)
    assert heel - splayed.run_out_on_wall(at) >= clamp - 1e-9
    assert least - mitre.point_beyond(at.radius, at.mitre) >= clamp - 1e-9
    # at the least length without a clamp the corner of the end is on the joint's plane or off it
    bare = splayed.least_length(at)
    near = splayed.exit_offset(at, bare) - at.radius * math.cos(at.angle)
    assert near >= -1e-9


# The usual mistakes: each test fails when its mistake is made.


def test_trap_1_the_cut_is_measured_outside_and_the_throat_inside() -> None:
    strips = np.linspace(-A.bore, A.offset, 200001)
    middles = (strips[1:] + strips[:-1]) / 2
    area = float(np.sum(2 * np.sqrt(A.bore**2 - middles**2) * np.diff(strips)))
    assert splayed_measures.normal_area(A, A.bore) == pytest.approx(area, rel=1e-6)
    slip = segment.kept_area(A.bore, A.bore * (1 - 2 / 3))
    assert slip < 0.985 * splayed_measures.normal_area(A, A.bore)


def test_trap_2_the_share_is_of_the_mitre_opening() -> None:
    """At 90 deg a third of the diameter would be only 0.236 of the opening; but square to the leg
    a third of one is a third of the other."""
    at = leg(90, 1 / 3)
    assert at.take_off == pytest.approx(89.803 / 3, abs=1e-3)
    assert 63.5 / 3 / at.opening == pytest.approx(0.236, abs=5e-4)
    assert at.radius - at.offset == pytest.approx(63.5 / 3, rel=EXACT)


def test_trap_3_the_mitre_is_half_the_included_angle() -> None:
    """A 90 deg splay is a 45 deg mitre: an opening of D sqrt(2)."""
    assert leg(90, 0.3).opening == pytest.approx(63.5 * math.sqrt(2), rel=EXACT)


def test_trap_5_past_the_widest_point_the_corner_is_not_the_highest() -> None:
    deep = leg(60, 0.6)
    assert splayed.opening_height(deep, deep.radius) == pytest.approx(63.5, rel=EXACT)
    assert splayed.seam_height(deep, deep.radius) == pytest.approx(
        2 * 63.5 * math.sqrt(0.6 * 0.4), rel=EXACT
    )
    assert splayed_measures.normal_area(deep, deep.bore) < math.pi * deep.bore**2 / 2


def test_trap_7_the_kerf_falls_in_the_slug() -> None:
    """All of it: the fallen piece's face is a kerf nearer the heel, square to the cut."""
    found = mitre.bisector(22.5 * DEGREE, 35 * DEGREE)
    for at in (A, MitredLeg(31.75, 1.651, 35 * DEGREE, found.mitre, 1 / 3)):
        slug = splayed.after_kerf(at, 1.5)
        assert slug.plane - at.plane == pytest.approx(1.5, rel=EXACT)
    with pytest.raises(ExhaustError, match=r"kerf must be between zero and 21123"):
        splayed.after_kerf(A, 22.0)
    with pytest.raises(ExhaustError, match="kerf must be between zero and"):
        splayed.after_kerf(A, -0.1)
    with pytest.raises(ExhaustError, match=r"kerf must be between zero and 21123"):
        splayed.after_kerf(A, (A.bore - A.offset) / math.cos(A.mitre))  # no bore left to cut


def test_trap_14_the_throat_in_the_mitre_plane_is_not_square_to_the_flow() -> None:
    """At 90 deg it 'exceeds' two bores, 1.017; square to the legs it is 0.719."""
    at = leg(90, 1 / 3)
    bore = math.pi * at.bore**2
    assert splayed_measures.face_area(at, at.bore) / bore == pytest.approx(1.0170, abs=6e-5)
    assert splayed_measures.normal_area(at, at.bore) / bore == pytest.approx(0.7191, abs=6e-5)


def test_trap_15_elliptic_integrals_take_the_square_of_the_modulus() -> None:
    """E(phi | m) with m = k² = cos² of the angle; with k it is out by parts in a hundred."""
    k = math.cos(A.angle)
    beta = math.acos(A.offset / A.radius)
    right, wrong = (
        63.5 / math.sin(A.angle) * (ellipeinc(math.pi / 2, m) - ellipeinc(math.pi / 2 - beta, m))
        for m in (k * k, k)
    )
    assert splayed_measures.opening_seam(A, A.radius) == pytest.approx(right, rel=ALIKE)
    assert abs(wrong / right - 1) > 0.01


def test_trap_16_plain_quadrature_stalls_at_the_tips() -> None:
    """A thousand even strips along the joint miss what the closed form has to the last digit."""
    y = np.linspace(0.0, splayed.run_out(A, A.radius), 1001)
    z = np.sqrt(np.maximum(A.radius**2 - (A.offset + y * math.sin(A.angle)) ** 2, 0.0))
    area, length = 2414.738840679368, 133.82256594626304  # closed form and solid, worked case
    assert abs(2 * float(np.trapezoid(z, y)) / area - 1) > 1e-6
    assert abs(2 * float(np.hypot(np.diff(y), np.diff(z)).sum()) / length - 1) > 1e-6
    assert splayed_measures.opening_area(A, A.radius) == pytest.approx(area, rel=EXACT)
    assert splayed_measures.opening_seam(A, A.radius) == pytest.approx(length, rel=EXACT)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"radius": math.nan}, "radius must be more than zero"),
        ({"wall": 40.0}, "wall must be between zero and radius"),
        ({"angle": 1.6}, "angle must be between 0 and 90 deg"),
        ({"mitre": 0.0}, "mitre must be between 0 and 90 deg"),
        ({"cutback": 0.02}, r"cutback must be between 0\.026 and 0\.974"),
        ({"cutback": 0.98}, r"cutback must be between 0\.026 and 0\.974"),
        ({"cutback": math.nan}, "cutback must be between"),
    ],
)
def test_what_cannot_be_is_refused(change: dict[str, float], words: str) -> None:
    good = {"radius": 31.75, "wall": 1.651, "angle": 0.4, "mitre": 0.4, "cutback": 0.3}
    MitredLeg(**good)
    with pytest.raises(ExhaustError, match=words):
        MitredLeg(**(good | change))


def test_a_surface_that_the_cut_misses_is_refused() -> None:
    with pytest.raises(ExhaustError, match="rho must be between"):
        splayed.run_out(A, A.offset * 0.9)
    with pytest.raises(ExhaustError, match="rho must be between"):
        splayed_measures.face_area(A, A.radius + 1.0)
    with pytest.raises(ExhaustError, match="clamp must not be less than zero"):
        splayed.least_length(A, -1.0)
