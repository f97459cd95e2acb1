"""The second law at a junction: any angles, areas, splits, temperatures, ways, up to Mach 0.6.

Analysis, for one cp: streams that come in at one pressure mix to an entropy that is no less (the
logarithm of temperature is concave, and mixed momentum is no more than the mean of speeds); what
turns keeps less momentum still; and a subsonic stream that finds its leg's pressure by G (u - d)
loses, because mass flux rises with speed. Here over random junctions, by numbers.
"""

import math

import numpy as np
import pytest

from exhaust.flow.junction import leg_pressures, mouth_pressures

R, GAMMA, MOUTH = 290.0, 1.33, 101325.0
CP = GAMMA * R / (GAMMA - 1)
COUNT = 4000
ROUNDING = 1e-9


def motion(m, area, T0, pressure):
    """Velocity and static temperature of a gas that carries m through `area` at a pressure."""
    b = m / area * R * T0 / pressure
    u = 2 * b / (1 + np.sqrt(1 + 2 * b * b / (CP * T0)))
    return u, T0 - u * u / (2 * CP)


def mach(u, T):
    return u / np.sqrt(GAMMA * R * T)


def drawn(rng, inlets, outlets, most, spread):
    """Flows into (legs, samples), areas, total temperatures; the fastest at `most` or less."""
    legs = inlets + outlets
    m = rng.uniform(0.02, 1.0, (COUNT, legs))
    m[:, :inlets] /= m[:, :inlets].sum(axis=1, keepdims=True)
    m[:, inlets:] /= m[:, inlets:].sum(axis=1, keepdims=True)
    area = 0.0028 * np.exp(rng.uniform(-1, 1, (COUNT, legs)))
    T0 = rng.uniform(800 - spread, 800 + spread, (COUNT, legs))
    T0[:, inlets:] = np.sum(m * T0, axis=1, where=np.arange(legs) < inlets)[:, None]
    aim = rng.uniform(most / 30, most, COUNT)
    T = T0 / (1 + (GAMMA - 1) / 2 * aim[:, None] ** 2)
    flux = MOUTH / (R * T) * aim[:, None] * np.sqrt(GAMMA * R * T)
    m = m * np.min(flux * area / m, axis=1, keepdims=True)  # none is faster at the mouth's pressure
    return np.where(np.arange(legs) < inlets, m, -m), area, T0


def settled(flow, area, T0, axis):
    """The pressure in each leg, or nan where a way out would choke: mouths by bracketing."""
    out = flow < 0
    low, high = np.full(flow.shape, 0.5 * MOUTH), np.full(flow.shape, 1.6 * MOUTH)
    for _ in range(55):
        pressure = np.where(out, (low + high) / 2, MOUTH)
        u, T = motion(np.abs(flow), area, T0, pressure)
        asked = mouth_pressures(flow, pressure, u, R * T, axis)
        low = np.where(asked < MOUTH, pressure, low)
        high = np.where(asked < MOUTH, high, pressure)
    fine = np.all(~out | (np.abs(asked / MOUTH - 1) < 1e-10), axis=1)
    return pressure, u, T, fine & np.all(mach(u, T) < 0.95, axis=1)


@pytest.mark.parametrize("spread", [0.0, 400.0])
@pytest.mark.parametrize(
    ("inlets", "outlets"), [(1, 1), (2, 1), (3, 1), (4, 1), (1, 2), (1, 3), (2, 2), (3, 2), (2, 3)]
)
def test_no_junction_raises_total_pressure_or_lowers_entropy(inlets, outlets, spread):
    """Legs anywhere round the circle, so that each is met by gas going either way."""
    rng = np.random.default_rng(100 * inlets + outlets)
    flow, area, T0 = drawn(rng, inlets, outlets, 0.6, spread)
    turn = rng.uniform(0, 2 * math.pi, flow.shape)
    axis = np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    pressure, u, T, fine = settled(flow, area, T0, axis)
    assert np.mean(fine) > 0.5
    assert np.max(mach(u, T)[fine]) > 0.6
    total = pressure * (T0 / T) ** (CP / R)
    share = flow / np.sum(np.maximum(flow, 0), axis=1, keepdims=True)
    made = -np.sum(share * (CP * np.log(T0) - R * np.log(total)), axis=1) / R
    lost = np.sum(share * total, axis=1) / MOUTH
    assert np.min(made[fine]) >= -ROUNDING
    assert np.min(lost[fine]) >= -ROUNDING


def test_without_speed_it_is_that_of_an_incompressible_fluid():
    """At Mach 0.01 each leg's total pressure is that of `leg_pressures`: of order M^2 apart."""
    rng = np.random.default_rng(5)
    turn = rng.uniform(0, 2 * math.pi, 4)
    axis = np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    flow, area, T0 = drawn(rng, 2, 2, 0.01, 0.0)
    area[:] = area[0]
    pressure, u, T, fine = settled(flow, area, T0, axis)
    assert np.all(fine)
    density = MOUTH / (R * 800.0)
    expected = leg_pressures(flow / density, area[0], axis, np.full(COUNT, density))
    total = pressure - MOUTH + pressure * u**2 / (2 * R * T)
    assert total == pytest.approx(expected, abs=2e-3 * np.max(np.abs(expected)))


def test_a_leg_of_its_own_size_straight_on_costs_nothing_at_any_speed():
    u = np.array([[300.0, 300.0]])
    p, heat = np.full((1, 2), MOUTH), np.full((1, 2), R * 900.0)
    axis = np.array([[-1.0, 0.0], [1.0, 0.0]])
    asked = mouth_pressures(np.array([[0.1, -0.1]]), p, u, heat, axis)
    assert float(asked[0, 1]) == pytest.approx(MOUTH, rel=1e-14)
    back = mouth_pressures(np.array([[-0.1, 0.1]]), p, u, heat, axis)
    assert float(back[0, 0]) == pytest.approx(MOUTH, rel=1e-14)
