"""Engine orders of known pulses: firing impulses, smooth pulses, shifted banks."""

from __future__ import annotations

import numpy as np
import pytest

from exhaust.choices.orders import at_microphones, frequencies, order_amplitudes, sent
from exhaust.choices.waves import Wave, overlap
from exhaust.pulse.arrays import Gas

ANGLE = np.linspace(0.0, 4 * np.pi, 721)
# Firing angles of one bank and of the other; sum of exp(-i m angle/2) of one bank, by order:
# Fourier series of unit impulses (derived)
BANKS = {
    "cross-plane V8": ((0, 270, 450, 540), (90, 180, 360, 630)),
    "flat-plane V8": ((0, 180, 360, 540), (90, 270, 450, 630)),
    "even-fire V6": ((0, 240, 480), (120, 360, 600)),
}
ONE_BANK = {
    "cross-plane V8": {0.5: 1.08239, 1: 0, 1.5: 2.61313, 2: 0, 2.5: 2.61313, 3: 0, 3.5: 1.08239,
                       4: 4, 4.5: 1.08239, 5: 0, 5.5: 2.61313, 6: 0, 8: 4},
    "flat-plane V8": {0.5: 0, 1: 0, 1.5: 0, 2: 4, 2.5: 0, 3: 0, 4: 4, 6: 4, 7.5: 0, 8: 4},
    "even-fire V6": {0.5: 0, 1: 0, 1.5: 3, 2: 0, 2.5: 0, 3: 3, 4.5: 3, 6: 3, 7: 0, 7.5: 3},
}  # fmt: skip
WIDTH = np.radians(12.0)


def train(degrees: tuple[int, ...]) -> np.ndarray:
    """Return one bell of unit area at each angle, over the whole cycle and round its end."""
    flow = np.zeros(721)
    for place in degrees:
        for turn in (-720, 0, 720):
            x = (ANGLE - np.radians(place + turn)) / WIDTH
            flow += np.exp(-(x**2)) / (np.sqrt(np.pi) * WIDTH)
    return flow


@pytest.mark.parametrize("engine", BANKS)
def test_a_bank_of_known_pulses_has_the_orders_of_its_firing(engine: str):
    """Amplitude of order o: 2/(4 pi) |sum exp(-i o angle)| exp(-(o width)^2/4), a bell's own."""
    found = np.abs(order_amplitudes(train(BANKS[engine][0])))
    for order, impulses in ONE_BANK[engine].items():
        expected = impulses / (2 * np.pi) * np.exp(-((order * WIDTH) ** 2) / 4)
        assert found[round(2 * order)] == pytest.approx(expected, abs=2e-6)


@pytest.mark.parametrize("engine", BANKS)
def test_banks_share_some_orders_and_oppose_in_the_others(engine: str):
    """Cross-plane: half orders oppose, order 4 is common. V6: 1.5 and 4.5 oppose, 3 is common."""
    one, other = (order_amplitudes(train(bank)) for bank in BANKS[engine])
    common, opposed = np.abs(one + other), np.abs(one - other)
    lists = {
        "cross-plane V8": ((4.0, 8.0), (0.5, 1.5, 2.5, 3.5, 4.5)),
        "flat-plane V8": ((4.0, 8.0), (2.0, 6.0)),
        "even-fire V6": ((3.0, 6.0), (1.5, 4.5)),
    }
    shared, against = lists[engine]
    for order in shared:
        assert opposed[round(2 * order)] < 1e-9 < common[round(2 * order)]
    for order in against:
        assert common[round(2 * order)] < 1e-9 < opposed[round(2 * order)]


def test_a_sine_of_flow_is_sent_as_its_slope():
    """m = sin(o w t): dm/dt has the amplitude o w, a quarter turn ahead."""
    speed = 500.0
    found = sent(order_amplitudes(0.2 + 0.01 * np.sin(2.5 * ANGLE)), speed)
    assert abs(found[5]) == pytest.approx(0.01 * 2.5 * speed, rel=1e-9)
    assert np.angle(found[5]) == pytest.approx(0.0, abs=1e-9)
    assert frequencies(6, speed)[5] == pytest.approx(2.5 * speed / (2 * np.pi))


def test_microphones_hear_two_ends_late_by_the_way_between_them():
    """Ends 1 m apart at 45 degrees: 0.70711 m/343 m/s; opposite ends add up at its half wave."""
    delay = 0.70711 / 343.0
    hertz = np.array([0.0, 0.5 / delay])
    ends = np.array([[0.0, 1.0], [0.0, -1.0]])
    turn = np.linspace(0, 4 * np.pi, 400)
    assert np.max(at_microphones(ends, hertz, turn)) == pytest.approx(2.0, rel=1e-3)
    hertz = np.array([0.0, 1 / delay])
    assert np.max(np.abs(at_microphones(ends, hertz, turn))) < 1e-4


def flowing(flow: np.ndarray) -> Wave:
    one = np.ones(721)
    return Wave(name="leg", kind="leg", angle=ANGLE, area=1.0, density=one, velocity=flow,
                pressure=one, gas=Gas(1.33, 289.0))  # fmt: skip


@pytest.mark.parametrize(("apart", "expected"), [(0, 1.0), (60, 0.5), (120, 0.0), (400, 0.0)])
def test_overlap_of_square_pulses_is_the_share_of_the_time_together(apart: int, expected: float):
    """Pulses of 120 degrees, so far apart: 2 integral min / integral sum."""
    degrees = np.arange(721)
    flows = [((degrees - start) % 720 < 120).astype(float) for start in (0, apart)]
    assert overlap(*(flowing(flow) for flow in flows)) == pytest.approx(expected, abs=1e-12)


def test_overlap_of_half_sines_in_quarter_step_by_the_integral():
    """sin x and cos x where both are positive: 2 (2 - sqrt 2)/4 = 2 - sqrt 2 over 2... by hand.

    Half sines of 180 degrees shifted by 90: min has the area 2 - sqrt(2), each half sine 2.
    """
    flows = [np.maximum(np.sin(ANGLE - s), 0.0) * ((ANGLE - s) % (4 * np.pi) < np.pi)
             for s in (0.0, np.pi / 2)]  # fmt: skip
    expected = 2 * (2 - np.sqrt(2)) / 4
    assert overlap(*(flowing(flow) for flow in flows)) == pytest.approx(expected, rel=1e-3)
