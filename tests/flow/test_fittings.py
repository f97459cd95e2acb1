"""Fittings against closed forms, other authors and the open library the code does not call."""

import numpy as np
import pytest
from fluids import fittings as library
from hypothesis import given
from hypothesis import strategies as st

from exhaust.errors import ExhaustError
from exhaust.flow.fittings import (
    cone_contraction_loss,
    cone_expansion_loss,
    contraction_loss,
    entrance_loss,
    exit_loss,
    expansion_loss,
    mitre_loss,
    rated_loss,
)
from exhaust.published import check, values

WATER_INCH = 249.089  # Pa, conventional inch of water

ratios = st.floats(0.01, 1.0)
degrees = st.floats(2.0, 180.0)
frictions = st.floats(0.0, 0.08)


# Steps and cones


@given(ratios)
def test_sudden_expansion_is_borda_carnot(r):
    """Momentum over the step, from velocities: p2 - p1 = rho u2 (u1 - u2), exact."""
    u1, u2 = 1.0, r
    recovered = u2 * (u1 - u2)
    lost = 0.5 * u1**2 - 0.5 * u2**2 - recovered
    assert float(expansion_loss(r)) == pytest.approx(lost / 0.5, abs=1e-12)


def test_equal_areas_cost_nothing():
    assert float(expansion_loss(1.0)) == 0.0
    assert float(contraction_loss(1.0)) == 0.0
    assert cone_expansion_loss(1.0, np.radians([5, 40, 120]), 0.02) == pytest.approx(0.0)
    assert cone_contraction_loss(1.0, np.radians([5, 40, 120]), 0.02) == pytest.approx(0.0)


@pytest.mark.parametrize("r", [0.1, 0.25, 0.5, 0.8, 0.95])
def test_cone_of_180_degrees_is_the_step(r):
    # The published piece ends 2 % above the step for a small pipe, 0.5 % for the rest.
    assert float(cone_expansion_loss(r, np.pi, 0.02)) == pytest.approx((1 - r) ** 2, rel=0.021)
    assert float(cone_contraction_loss(r, np.pi, 0.0)) == pytest.approx(float(contraction_loss(r)))


@given(ratios, degrees, frictions)
def test_no_cone_gains_total_pressure(r, a, f):
    assert float(cone_expansion_loss(r, np.radians(a), f)) >= -1e-12
    assert float(cone_contraction_loss(r, np.radians(a), f)) >= -1e-12


@given(ratios)
def test_steps_neither_gain_nor_lose_more_than_is_there(r):
    assert 0 <= float(expansion_loss(r)) <= 1
    assert -1e-12 <= float(contraction_loss(r)) <= 0.58


@pytest.mark.parametrize("r", [0.05, 0.2, 0.25, 0.5, 0.9])
@pytest.mark.parametrize("seam", [20.0, 60.0])
def test_pieces_of_the_cone_meet(r, seam):
    before, after = cone_expansion_loss(r, np.radians([seam - 1e-9, seam + 1e-9]), 0.0)
    assert abs(after - before) < 0.01 * (1 - r) ** 2


def test_no_seam_where_the_small_pipe_is_half_the_large_one():
    for a in (10.0, 40.0, 120.0):
        low, high = cone_expansion_loss([0.25 - 1e-9, 0.25 + 1e-9], np.radians(a), 0.02)
        assert high == pytest.approx(low, abs=1e-7)


# Other authors' values for the same step or cone, friction factor 0.018, Re 2e5. Swamee and
# Sharma's cones lose up to a hundred times a step's loss and are left out.
# angle, then Crane TP-410 (2009), Idelchik (3rd ed.), Miller (1990) for b = 0.5 and 0.7
WIDENING = [
    (7, 0.25, (0.0893, 0.0950, 0.2135)),
    (10, 0.25, (0.1275, 0.1100, 0.2650)),
    (20, 0.25, (0.2540, 0.2100, 0.3894)),
    (30, 0.25, (0.3785, 0.3600, 0.4810)),
    (60, 0.25, (0.5625, 0.6600, 0.6482)),
    (7, 0.49, (0.0413, 0.0611, 0.0336)),
    (10, 0.49, (0.0589, 0.0621, 0.0646)),
    (20, 0.49, (0.1174, 0.1033, 0.1271)),
    (30, 0.49, (0.1750, 0.1764, 0.1681)),
    (60, 0.49, (0.2601, 0.3106, 0.2362)),
]


@pytest.mark.parametrize(("angle", "r", "others"), WIDENING)
def test_widening_cone_lies_among_other_authors(angle, r, others):
    # They differ from each other by a quarter and more: allow as much outside of them.
    assert 0.75 * min(others) < float(cone_expansion_loss(r, np.radians(angle), 0.018))
    assert float(cone_expansion_loss(r, np.radians(angle), 0.018)) < 1.25 * max(others)


@pytest.mark.parametrize(
    ("angle", "r", "miller"),
    [
        (15, 0.25, 0.0582),
        (30, 0.25, 0.0501),
        (60, 0.25, 0.1136),
        (15, 0.49, 0.0374),
        (30, 0.49, 0.0496),
        (60, 0.49, 0.0784),
    ],
)
def test_narrowing_cone_is_near_miller(angle, r, miller):
    # Both are small; charts are read to a few hundredths.
    assert float(cone_contraction_loss(r, np.radians(angle), 0.018)) == pytest.approx(
        miller, abs=0.03
    )


def test_sharp_contraction_is_on_the_high_side_of_other_authors():
    authors = (values(source, "loss of a sharp contraction") for source in ("hooper", "idelchik"))
    for hooper, idelchik in zip(*authors, strict=True):
        others = hooper.number, idelchik.number
        assert hooper.inputs == idelchik.inputs
        assert max(others) < check(hooper).ours < 1.25 * min(others)


@pytest.mark.parametrize("r", [0.05, 0.3, 0.7])
@pytest.mark.parametrize("angle", [8.0, 35.0, 100.0])
def test_transcription(r, angle):
    """The same published form in an open library: proves the copying, not the handbook."""
    small, f = np.sqrt(r), 0.02
    wide = library.diffuser_conical(Di1=small, Di2=1.0, angle=angle, fd=f, method="Rennels")
    tight = library.contraction_conical(Di1=1.0, Di2=small, angle=angle, fd=f, method="Rennels")
    sharp = library.contraction_sharp(Di1=1.0, Di2=small, method="Rennels")
    assert float(cone_expansion_loss(r, np.radians(angle), f)) == pytest.approx(wide, rel=1e-9)
    assert float(cone_contraction_loss(r, np.radians(angle), f)) == pytest.approx(tight, rel=1e-9)
    assert float(contraction_loss(r)) == pytest.approx(sharp, rel=1e-9)
    assert float(mitre_loss(np.radians(angle))) == pytest.approx(library.bend_miter(angle))
    assert float(entrance_loss(r)) == pytest.approx(library.entrance_rounded(Di=1.0, rc=r))


# Mitres and ends


def test_a_mitre_of_no_angle_costs_nothing_and_a_sharper_one_more():
    losses = mitre_loss(np.radians(np.linspace(0, 150, 31)))
    assert losses[0] == 0.0
    assert np.all(np.diff(losses) > 0)


def test_a_rounder_mouth_costs_less():
    losses = entrance_loss(np.linspace(0, 1.2, 200))
    assert np.all(np.diff(losses) <= 1e-12)
    assert np.max(np.abs(np.diff(losses[losses < 0.04]))) < 1e-3  # no cliff at x = 1
    # Crane, Idelchik and Blevins have 0.5 for a sharp edge; a bell mouth 0.03 to 0.05.
    assert losses[0] == pytest.approx(0.5, abs=0.1)
    assert losses[-1] == pytest.approx(0.04, abs=0.011)


@pytest.mark.parametrize("f", [0.01, 0.02, 0.05])
def test_kinetic_energy_of_the_logarithmic_profile(f):
    """Integrate u^3 over the tube: u/V = 1 + sqrt(f/8)/0.4 (ln(y/R) + 3/2), not the closed form."""
    y = np.exp(np.linspace(-40, 0, 200001))  # from the wall; the profile is cut off far below it
    u = 1 + np.sqrt(f / 8) / 0.4 * (np.log(y) + 1.5)
    ring = 2 * (1 - y)
    mean = np.trapezoid(u * ring, y)
    assert mean == pytest.approx(1.0, abs=1e-6)
    energy = float(np.trapezoid(u**3 * ring, y))
    # Two rounded coefficients: 0.005 of either.
    assert float(exit_loss(f)) == pytest.approx(energy, abs=0.005 * (f + f**1.5))


def test_exit_of_a_flat_profile_is_one_head():
    assert float(exit_loss(0.0)) == 1.0
    # The 1/7 power law: (n+1)^3 (2n+1)^3 / (4 n^4 (n+3)(2n+3)) with n = 7, f about 0.02
    seventh = 8**3 * 15**3 / (4 * 7**4 * 10 * 17)
    assert float(exit_loss(0.02)) == pytest.approx(seventh, abs=0.01)


# Parts rated on a bench


@given(
    st.floats(0.0, 30.0), st.floats(20.0, 150.0), st.floats(1e-3, 1e-2), st.floats(1.0, 1.3),
    st.floats(0.0, 1.6),
)  # fmt: skip
def test_a_rating_gives_back_the_part(loss, velocity, area, density, ends):
    depression = 0.5 * density * velocity**2 * (loss + ends)
    if depression > 0:
        found = rated_loss(velocity * area, depression, area, density, ends)
        assert float(found) == pytest.approx(loss, abs=1e-9 * (1 + loss + ends))


def test_what_a_perfect_square_inch_flows_at_28_inches_of_water():
    """Common practice: 146 cubic feet a minute through a square inch without loss."""
    flow = 146 * 0.3048**3 / 60
    # To the three figures of the rule of thumb, twice over for the square: one dynamic head.
    whole = rated_loss(flow, 28 * WATER_INCH, 0.0254**2, 1.225, end_losses=0.0)
    assert float(whole) == pytest.approx(1, abs=0.01)


def test_a_rating_at_another_depression_is_the_same_part():
    """Flow goes with the root of the depression: 25 in against 28 in."""
    at_28 = rated_loss(0.2, 28 * WATER_INCH, 0.00317, 1.2)
    at_25 = rated_loss(0.2 * np.sqrt(25 / 28), 25 * WATER_INCH, 0.00317, 1.2)
    assert float(at_25) == pytest.approx(float(at_28), rel=1e-12)


# Refusals


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: mitre_loss(np.radians(170)), "angle must be between 0 and 150 degrees .got 170"),
        (lambda: mitre_loss(np.nan), "angle must be between"),
        (lambda: expansion_loss(1.2), "area_ratio must be above 0 and up to 1 .got 1.2.; give"),
        (lambda: contraction_loss(0.0), "area_ratio must be above 0"),
        (lambda: cone_expansion_loss(0.5, 0.0, 0.02), "angle must be above 0 and up to 180"),
        (lambda: cone_contraction_loss(0.5, 3.5, 0.02), "angle must be above 0 and up to 180"),
        (lambda: cone_expansion_loss(0.5, 1.0, -0.1), "friction must be between 0 and 0.1"),
        (lambda: entrance_loss(-0.1), "rounding must be at least 0 .got -0.1"),
        (lambda: exit_loss(0.5), "friction must be between 0 and 0.1"),
        (lambda: rated_loss(0.0, 7e3, 0.003, 1.2), "rated_flow must be more than zero"),
        (lambda: rated_loss(0.2, 7e3, 0.003, np.nan), "density must be more than zero"),
        (lambda: rated_loss(0.2, 7e3, 0.003, 1.2, -1), "end_losses must be at least 0"),
        (lambda: rated_loss(0.5, 7e3, 0.003, 1.2), "rated_flow is more than a tube without loss"),
    ],
)
def test_refusals(call, words):
    with pytest.raises(ExhaustError, match=words):
        call()
