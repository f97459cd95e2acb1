"""Cylinders: volume, emptying through a valve, the piston's work."""

from __future__ import annotations

import numpy as np
import pytest
from engines import BURNT, cylinders, ports, single
from tubes import even

from exhaust.pulse.arrays import Cylinders, Gas, Network, Run, State
from exhaust.pulse.cycle import Stop, settle
from exhaust.pulse.network import Fittings, Reservoir, filled, network
from exhaust.pulse.solver import COURANT, advance

G, R = BURNT
MASS, ENERGY, RESIDUAL, WORK = 0, 1, 4, 6  # columns of State.held


def test_the_volume_is_the_clearance_at_the_top_and_the_swept_more_at_the_bottom():
    from exhaust.pulse.cylinder import volume

    made = cylinders([0], np.zeros(1))
    assert volume(0.0, 0, made) == pytest.approx(0.64e-4, rel=1e-12)
    assert volume(np.pi, 0, made) == pytest.approx(0.64e-4 + 0.64e-3, rel=1e-12)
    # slider-crank at 90 degrees: V = Vc + Vd/2 (1 + 1/l - sqrt(1/l^2 - 1))
    side = 1 + 1 / 0.29 - np.sqrt(1 / 0.29**2 - 1)
    assert volume(np.pi / 2, 0, made) == pytest.approx(0.64e-4 + 0.32e-3 * side, rel=1e-12)


def _vessel(area: float, speed: float = 0.0) -> tuple[Network, State]:
    """Return one litre at 12 bar and 1200 K behind an opening on a wide pipe."""
    made = cylinders([0], np.zeros(1), release=1200.0)
    mass = 12e5 * 1e-3 / (R * 1200.0)
    vessel = made._replace(
        clearance=np.array([1e-3]),
        opens=np.array([-1.0]),
        closes=np.array([1.0]),
        flow_area=np.full((1, 3), area),
        charge=np.array([mass]),
    )
    if speed:
        vessel = vessel._replace(opens=np.array([0.0]), closes=np.array([4 * np.pi]))
    net = network(
        BURNT, [even(0.5, 50, 5e-3)], Fittings([], [Reservoir(1, 1e5, 300.0)], cylinders=vessel)
    )
    return net, filled(net, 1e5, 300.0)


def test_a_vessel_empties_through_a_choked_opening_by_the_closed_form():
    """p/p0 = (1 + (g - 1)/2 k t)^(-2g/(g - 1)), T/T0 its square, while choked (derived)."""
    area = 1e-4
    net, state = _vessel(area)
    k = area * np.sqrt(G * R * 1200.0) / 1e-3 * (2 / (G + 1)) ** ((G + 1) / (2 * (G - 1)))
    t = 0.0
    for step in (0.002, 0.005, 0.01):
        advance(net, state, Run(step, COURANT, 0.0))
        t += step
        x = 1 + 0.5 * (G - 1) * k * t
        mass, energy = state.held[0, :2]
        assert (G - 1) * energy / 1e-3 / 12e5 == pytest.approx(x ** (-2 * G / (G - 1)), rel=2e-6)
        assert (G - 1) * energy / (mass * R) / 1200.0 == pytest.approx(x**-2, rel=2e-6)
    assert (G - 1) * state.held[0, ENERGY] / 1e-3 > 2e5  # it was choked all along


def test_a_piston_on_shut_gas_keeps_p_v_to_the_gamma():
    """Adiabatic, at second order in the step: a quarter of the error at half the Courant number."""
    from exhaust.pulse.cylinder import volume

    errors = []
    for courant in (0.9, 0.45):
        net, state = _vessel(0.0, speed=600.0)
        advance(net, state, Run(np.pi / 600.0, courant, 600.0))
        V = np.array([volume(a, 0, net.cylinders) for a in (0.0, np.pi)])
        p = (G - 1) * state.held[0, ENERGY] / V[1]
        errors.append(abs(p / (12e5 * (V[0] / V[1]) ** G) - 1))
    assert errors[0] < 1e-4
    assert errors[1] < 0.35 * errors[0]


def test_work_of_the_exhaust_stroke_is_that_from_bottom_to_top_alone():
    """Shut gas pressed from V1 to V2 takes p1 V1/(g - 1) ((V1/V2)^(g - 1) - 1), adiabatic.

    The stroke before gave as much back, so what is done in all is nought again.
    """
    from exhaust.pulse.cylinder import STROKE_SO_FAR, WORK_SO_FAR, volume

    net, state = _vessel(0.0, speed=600.0)
    advance(net, state, Run(np.pi / 600.0, COURANT, 600.0))
    down = state.held[0, WORK_SO_FAR]
    assert state.held[0, STROKE_SO_FAR] == 0.0
    after = Run(2 * np.pi / 600.0, COURANT, 600.0)
    net, state = _vessel(0.0, speed=600.0)
    advance(net, state, after)
    V2, V1 = (volume(a, 0, net.cylinders) for a in (0.0, np.pi))
    p1 = 12e5 * (V2 / V1) ** G
    taken = p1 * V1 / (G - 1) * ((V1 / V2) ** (G - 1) - 1)
    assert state.held[0, STROKE_SO_FAR] == pytest.approx(-taken, rel=2e-5)
    assert down == pytest.approx(taken, rel=2e-5)
    assert abs(state.held[0, WORK_SO_FAR]) < 1e-3 * taken


def test_each_cylinder_obeys_the_first_law_and_hands_its_residual_on():
    net = single()
    state = filled(net, 101325.0, 900.0)
    speed, before = 500.0, 0.0
    for _ in range(3):
        cycle = settle(net, state, speed, ports(net), Stop(most=1))
        end = net.cylinders.end[0]
        mass = net.cylinders.charge[0] + before
        assert cycle.residual[0] == pytest.approx(mass + cycle.passed[end, 0], rel=1e-12)
        energy = mass * R / (G - 1) * net.cylinders.release_temperature[0]
        gone = -cycle.passed[end, 1] + cycle.work[0]
        assert state.held[0, ENERGY] == pytest.approx(energy - gone, rel=1e-10)
        before = cycle.residual[0]
    # what could fill the clearance at the pipe's own pressure and heat, within a factor of two
    alike = 101325.0 * 0.64e-4 / (R * 1000.0)
    assert 0.5 < before / alike < 3


def test_no_gas_of_zero_length_arrays_is_needed():
    net = network(Gas(1.4, 287.0), [even(0.1, 10)], Fittings(closed=[0, 1]))
    assert isinstance(net.cylinders, Cylinders)
    assert net.cylinders.end.size == 0
