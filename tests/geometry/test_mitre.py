"""A mitred tube's openings: worked values, and what measured openings say."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from exhaust.errors import ExhaustError
from exhaust.geometry import mitre, splayed, unroll
from exhaust.geometry.splayed import MitredLeg

DEGREE = math.pi / 180
EXACT = 1e-12  # closed forms in double precision

angles = st.floats(2.0, 80.0).map(math.radians)
shares = st.floats(0.05, 0.95)

# included angle [deg]: mitre opening, take-off, kept width at a third; 63.5 mm. Closed form and
# solid model, worked table, rounded to the last digit given [mm].
TABLE = [
    (30, 65.740, 21.913, 43.827),
    (45, 68.732, 22.911, 45.821),
    (60, 73.323, 24.441, 48.882),
    (70, 77.519, 25.840, 51.679),
    (90, 89.803, 29.934, 59.868),
]


@pytest.mark.parametrize(("alpha", "opening", "off", "kept"), TABLE)
def test_openings_as_worked(alpha: float, opening: float, off: float, kept: float) -> None:
    got = mitre.mitre_opening(63.5, alpha / 2 * DEGREE)
    assert got == pytest.approx(opening, abs=6e-4)
    assert mitre.take_off(got, 1 / 3) == pytest.approx(off, abs=6e-4)
    assert mitre.kept_width(got, 1 / 3) == pytest.approx(kept, abs=6e-4)


def test_unequal_ends_as_worked() -> None:
    """45 and 70 deg, 63.5 mm, a third. Closed form, worked case [mm]."""
    first, second = (mitre.mitre_opening(63.5, angle * DEGREE) for angle in (22.5, 35.0))
    kept = [mitre.kept_width(opening, 1 / 3) for opening in (first, second)]
    assert kept[1] - kept[0] == pytest.approx(5.858187778523624, rel=EXACT)
    assert mitre.cutback_for(second, kept[0]) == pytest.approx(0.40890414427201693, rel=EXACT)
    assert mitre.take_off_for(second, kept[0]) == pytest.approx(31.69791657397444, rel=EXACT)
    assert mitre.cutback_for(first, kept[1]) == pytest.approx(0.24810089575560512, rel=EXACT)
    found = mitre.bisector(22.5 * DEGREE, 35.0 * DEGREE)
    assert found.mitre / DEGREE == pytest.approx(28.75, rel=EXACT)
    assert found.tilt / DEGREE == pytest.approx(-6.25, rel=EXACT)
    assert mitre.mitre_opening(63.5, found.mitre) == pytest.approx(72.42849563631292, rel=EXACT)


@pytest.mark.parametrize(
    ("f", "alpha", "halved", "opening", "off", "g"),
    [
        (0.3, 45, 88.9, 68.73190471856702, 24.281904718567027, 0.3532843272420994),
        (1 / 3, 70, 84.66666666666667, 77.51918638635246, 35.18585305301912, 0.4538986371406721),
    ],
)
def test_a_leg_to_a_halved_x_as_worked(
    f: float, alpha: float, halved: float, opening: float, off: float, g: float
) -> None:
    """Closed form and solid model, worked cases [mm]."""
    angle = alpha / 2 * DEGREE
    assert mitre.halved_opening(63.5, f) == pytest.approx(halved, rel=EXACT)
    assert mitre.leg_take_off(mitre.mitre_opening(63.5, angle), halved) == pytest.approx(
        off, rel=EXACT
    )
    assert mitre.mitre_opening(63.5, angle) == pytest.approx(opening, rel=EXACT)
    assert mitre.leg_cutback(f, angle) == pytest.approx(g, rel=EXACT)
    assert mitre.take_off(opening, g) == pytest.approx(off, rel=EXACT)


@given(angles, shares)
def test_measured_openings_come_back(angle: float, share: float) -> None:
    """Round trips: an opening shows its mitre, a width its cutback, a halved opening its slice."""
    opening = mitre.mitre_opening(0.0635, angle)
    # near a square cut acos loses half the digits: 1e-15 of opening is 1e-15/sin(angle) of mitre
    assert mitre.mitre_shown(0.0635, opening) == pytest.approx(angle, rel=1e-10)
    kept = mitre.kept_width(opening, share)
    assert mitre.cutback_for(opening, kept) == pytest.approx(share, rel=1e-12)
    assert mitre.take_off(opening, share) + kept == pytest.approx(opening, rel=1e-12)
    halved = mitre.halved_opening(0.0635, share)
    assert mitre.cutback_shown(0.0635, halved) == pytest.approx(share, rel=1e-11)


def test_as_measured_on_the_bench_not_as_on_paper() -> None:
    """A saw half a degree over and an X halved 0.4 mm narrow: every take-off follows the caliper.

    63.5 mm at 22.5 deg is 68.984 mm long when half a degree over (solid model, worked case).
    """
    measured = mitre.mitre_opening(0.0635, 23.0 * DEGREE)
    assert measured == pytest.approx(68.98388396523633e-3, rel=EXACT)
    assert mitre.mitre_shown(0.0635, measured) == pytest.approx(23.0 * DEGREE, rel=1e-12)
    off = mitre.leg_take_off(measured, 0.0885)
    assert measured - off == pytest.approx(0.04425, rel=EXACT)
    assert off - mitre.leg_take_off(0.0687319, 0.0889) == pytest.approx(0.452e-3, abs=1e-6)


@given(angles, angles, shares)
def test_a_template_ends_where_the_leg_does(theta: float, turn: float, share: float) -> None:
    """Two ways: the template's two sinusoids, and the leg's own tip, long point and corner."""
    leg = MitredLeg(0.03175, 0.001, theta, turn, share)
    cut = unroll.HeelCut(0.03175, turn, theta, share)
    tip, corner, short = unroll.heel_outline(cut, [0.0, unroll.heel_corner(cut), math.pi]).height
    long_point = mitre.point_beyond(leg.radius, turn)
    assert tip == pytest.approx(splayed.tip_at(leg), abs=1e-12)
    assert tip + long_point == pytest.approx(splayed.run_out_on_wall(leg), abs=1e-12)
    assert corner == pytest.approx(-leg.offset * math.tan(turn), abs=1e-12)
    assert short == pytest.approx(long_point, abs=1e-12)


def test_small_measures_of_the_saw() -> None:
    assert mitre.point_beyond(0.03175, 45 * DEGREE) == pytest.approx(0.03175, rel=EXACT)
    assert mitre.kerf_along(0.0011, 60 * DEGREE) == pytest.approx(0.0022, rel=EXACT)
    assert mitre.long_cut(22.5 * DEGREE) / DEGREE == pytest.approx(67.5, rel=EXACT)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: mitre.mitre_opening(0.0635, 1.6), "mitre must be from 0 to under 90 deg"),
        (lambda: mitre.mitre_opening(-1.0, 0.4), "od must be more than zero"),
        (lambda: mitre.mitre_shown(0.0635, 0.0634), r"opening must be at least od 63\.5 mm"),
        (lambda: mitre.mitre_shown(0.0635, math.nan), "opening must be at least od"),
        (lambda: mitre.take_off(0.068, 1.5), "cutback must be between 0 and 1"),
        (lambda: mitre.kept_width(math.nan, 0.3), "opening must be more than zero"),
        (lambda: mitre.take_off_for(0.06, 0.07), "kept must be between zero and the opening"),
        (lambda: mitre.leg_take_off(0.068, 0.2), "kept must be between zero and the opening"),
        (lambda: mitre.cutback_shown(0.0635, 0.13), "halved must be between zero and two"),
        (lambda: mitre.kerf_along(-1e-3, 0.3), "kerf must not be less than zero"),
        (lambda: mitre.bisector(0.4, math.nan), "mitre must be from 0 to under 90 deg"),
        (lambda: mitre.point_beyond(math.inf, 0.3), "radius must be more than zero"),
    ],
)
def test_what_cannot_be_is_refused(call: object, words: str) -> None:
    with pytest.raises(ExhaustError, match=words):
        call()  # type: ignore[operator]
