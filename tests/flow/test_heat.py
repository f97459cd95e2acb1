"""Heat through a tube's wall: balance, limits, order, continuity, refusals."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from exhaust.engine.species import gas_table
from exhaust.errors import ExhaustError
from exhaust.flow.heat import (
    COOLING_POWER,
    DECAY,
    EMISSIVITY,
    FAR,
    NEAR,
    STEADY,
    Stirring,
    Surroundings,
    TubeHeat,
    augmentation,
    outside_loss,
    pipe_nusselt,
)
from exhaust.gas.properties import Mixture

AIR = Mixture({"N2": 0.7808, "O2": 0.2095, "Ar": 0.0097}, gas_table())
BORE, WALL = 0.0602, 0.00165


def tube(m=0.1, stirring=Stirring(), **around):  # noqa: B008
    return TubeHeat(AIR, m, WALL, Surroundings(AIR, **({"temperature": 300.0} | around)), stirring)


@given(
    st.floats(0.002, 0.5),
    st.floats(350.0, 1500.0),
    st.floats(0.01, 6.0),
    st.floats(0.0, 40.0),
    st.floats(0.05, 1.0),
)
def test_wall_is_where_both_sides_agree(m, gas, distance, speed, emissivity):
    """The wall by bracketing: inside and outside worked out apart and compared."""
    power = 0.45
    one = tube(m, Stirring(cooling_power=power), speed=speed, emissivity=emissivity)
    wall = one(distance, BORE, gas)
    h = float(one.inside_coefficient(distance, BORE, gas))

    def left_over(Tw):
        inside = h * (gas / Tw) ** power * np.pi * BORE * (gas - Tw)
        return inside - float(outside_loss(Tw, BORE + 2 * WALL, one.around))

    root = brentq(left_over, 300.0, gas, xtol=1e-11, rtol=1e-14)
    # Newton's tolerance is 1e-11 of the temperature, on a slope that is never flat
    assert float(wall.temperature) == pytest.approx(root, rel=1e-9)
    assert 300.0 < float(wall.temperature) < gas


def test_many_samples_are_each_their_own():
    gas = np.array([500.0, 900.0, 1300.0])
    m = np.array([0.01, 0.1, 0.3])
    together = tube(m)(1.0, BORE, gas)
    for i in range(3):
        alone = tube(float(m[i]))(1.0, BORE, float(gas[i]))
        assert together.temperature[i] == pytest.approx(float(alone.temperature), rel=1e-10)
        assert together.loss[i] == pytest.approx(float(alone.loss), rel=1e-9)


def test_gas_as_cold_as_the_air_loses_nothing():
    wall = tube()(1.0, BORE, 300.0)
    assert float(wall.temperature) == 300.0
    assert float(wall.loss) == 0.0


def test_gas_colder_than_the_air_gains():
    wall = tube(temperature=320.0)(1.0, BORE, 290.0)
    assert 290.0 < float(wall.temperature) < 320.0
    assert float(wall.loss) < 0


def test_more_of_anything_loses_more():
    base = float(tube()(1.0, BORE, 1000.0).loss)
    more = [
        tube(m=0.2)(1.0, BORE, 1000.0),
        tube(speed=10.0)(1.0, BORE, 1000.0),
        tube(emissivity=0.8)(1.0, BORE, 1000.0),
        tube(temperature=280.0)(1.0, BORE, 1000.0),
        tube()(0.1, BORE, 1000.0),
        tube()(1.0, BORE, 1100.0),
        tube(stirring=Stirring(near=3.0))(1.0, BORE, 1000.0),
    ]
    for wall in more:
        assert float(wall.loss) > base * 1.001


@pytest.mark.parametrize("edge", [2300.0, 3500.0])
@pytest.mark.parametrize("diameters", [0.5, 10.0, np.inf])
def test_no_jump_between_laminar_and_turbulent(edge, diameters):
    below, above = pipe_nusselt([edge * (1 - 1e-9), edge * (1 + 1e-9)], 0.7, diameters)
    assert float(below) == pytest.approx(float(above), rel=1e-7)
    step = edge * 1e-4  # nor a kink: the slope on both sides, whose own change is of order step
    left, at, right = pipe_nusselt([edge - step, edge, edge + step], 0.7, diameters)
    assert float(right - at) == pytest.approx(float(at - left), abs=1e-6 * float(at))


def test_transition_is_near_the_straight_line():
    """Gnielinski (2013), from memory: straight in Re from laminar at 2300 to turbulent at 4000."""
    low, high = pipe_nusselt([2300.0, 4000.0], 0.7, np.inf)
    for reynolds in (2400.0, 2700.0, 3000.0, 3300.0, 3600.0, 3900.0):
        line = float(low + (high - low) * (reynolds - 2300) / 1700)
        assert float(pipe_nusselt(reynolds, 0.7, np.inf)) == pytest.approx(line, rel=0.2)


def test_nusselt_rises_with_speed_and_falls_along_the_pipe():
    Re = np.geomspace(100, 1e6, 400)
    for diameters in (5.0, np.inf):  # nearer, a laminar entrance takes more than a turbulent one
        assert np.all(np.diff(pipe_nusselt(Re, 0.7, diameters)) >= -1e-12)
    for reynolds in (1e3, 3e3, 1e5):
        assert np.all(np.diff(pipe_nusselt(reynolds, 0.7, np.geomspace(0.01, 1e4, 200))) <= 0)


@pytest.mark.parametrize("length", [1.0, 10.0, 60.0])
def test_mean_of_the_local_entrance_term_is_the_usual_one(length):
    """The mean of 1 + (D/x)^(2/3)/3 over a length L is 1 + (D/L)^(2/3)."""
    s = (np.arange(20000) + 0.5) / 20000
    x = length * s**3  # dx = 3 L s^2 ds takes the entrance's peak away
    local = pipe_nusselt(1e5, 0.7, x) / float(pipe_nusselt(1e5, 0.7, np.inf))
    mean = float(np.mean(local * 3 * s**2))
    assert mean == pytest.approx(1 + length ** (-2 / 3), rel=1e-7)  # midpoint rule, 20000 steps


def test_laminar_entrance_is_leveque():
    """Close to the entrance Nu = 1.077 (Re Pr D/x)^(1/3), the law of a thin layer."""
    thin = float(pipe_nusselt(2000.0, 0.7, 1e-6))
    assert thin == pytest.approx(1.077 * (2000 * 0.7 * 1e6) ** (1 / 3), rel=1e-3)


def test_augmentation_falls_from_near_to_far():
    x = np.linspace(0, 20, 50)
    factor = augmentation(x)
    assert factor[0] == pytest.approx(NEAR.middle)
    assert factor[-1] == pytest.approx(FAR.middle, abs=1e-9)
    assert np.all(np.diff(factor) <= 0)
    at_decay = float(augmentation(DECAY.middle))
    expected = FAR.middle + (NEAR.middle - FAR.middle) / np.e
    assert at_decay == pytest.approx(expected, rel=1e-12)
    assert np.all(augmentation(x, STEADY) == 1.0)


def test_bands_run_upward_and_hold_their_default():
    for band in (NEAR, FAR, DECAY, COOLING_POWER, EMISSIVITY):
        assert band.low < band.middle < band.high


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: tube(m=0.0), "mass_flow must be more than zero"),
        (lambda: tube(emissivity=1.2), r"emissivity must be at most 1 \(got 1.2\)"),
        (lambda: tube(speed=-1.0), "speed of the air must not be less than zero"),
        (lambda: tube(temperature=0.0), "temperature of the surroundings must be more than zero"),
        (lambda: tube(stirring=Stirring(decay=0.0)), "decay must be more than zero"),
        (lambda: tube(stirring=Stirring(near=np.nan)), "near augmentation must be more than zero"),
        (lambda: tube()(0.0, BORE, 900.0), "distance from the port must be more than zero"),
    ],
)
def test_refusals(make, words):
    with pytest.raises(ExhaustError, match=words):
        make()
