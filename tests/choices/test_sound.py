"""Sound at open ends: opposed half orders, bounds that hold, twins that tie, one scale."""

from __future__ import annotations

import math

import attrs
import numpy as np
import pytest

from exhaust.choices.merged import merged
from exhaust.choices.pulses import Pulses
from exhaust.choices.simulating import simulate
from exhaust.choices.sound import RATE
from exhaust.choices.sounding import compare_sound
from exhaust.engine import Engine
from exhaust.errors import ExhaustError
from exhaust.stock import Tube
from exhaust.system import Run, System

TUBE, LARGE = (Tube(od=od, wall="16 ga") for od in ("2.5 in", "3 in"))
COARSE = Pulses(cell="25 mm")


@pytest.fixture(scope="module")
def pair():
    runs = [Run(name="head", tube=TUBE, length="1 m"), Run(name="tail", tube=TUBE, length="2 m")]
    return System(runs=runs, pipes=2)


@pytest.fixture(scope="module")
def apart(pair, engine, duty):
    return simulate(engine, pair, duty, pulses=COARSE)


@pytest.fixture(scope="module")
def one(pair, engine, duty):
    return simulate(engine, merged(pair, LARGE), duty, pulses=COARSE)


@pytest.fixture(scope="module")
def answer(apart, one):
    return compare_sound({"two pipes": apart, "one pipe": one})


def by_order(answer, option: int, what: str) -> dict[float, float]:
    levels = getattr(answer.options[option], what)
    return dict(zip(answer.orders, levels, strict=True))


def test_half_orders_of_a_cross_plane_v8_cancel_between_its_pipes(answer):
    """One bank's cycle is the other's half a cycle on: half orders oppose, whole ones agree."""
    together, each = (by_order(answer, 0, what) for what in ("together", "apart"))
    for order in (0.5, 1.5, 2.5, 3.5, 4.5):
        assert together[order] < each[order] - 25.0  # steps of time fall otherwise in each half
    for order in (1.0, 2.0, 3.0, 4.0, 6.0):
        assert together[order] == pytest.approx(each[order] + 10 * math.log10(2), abs=0.3)


def test_an_even_fire_v6_has_its_banks_oppose_at_one_and_a_half(pair, duty):
    """A third of a cycle between banks: 1.5 opposes, 3 agrees, and all else is next to nothing."""
    six = Engine(displacement="3 L", cylinders=6, firing_order=(1, 4, 2, 5, 3, 6),
                 left_bank=(1, 2, 3))  # fmt: skip
    v6 = simulate(six, pair, duty, pulses=COARSE)
    answer = compare_sound({"a": v6, "b": v6})
    together, each = (by_order(answer, 0, what) for what in ("together", "apart"))
    for order in (1.5, 4.5):
        assert together[order] < each[order] - 25.0
    for order in (3.0, 6.0):
        assert together[order] == pytest.approx(each[order] + 3.0103, abs=0.3)
    for order in (0.5, 1.0, 2.0, 2.5, 3.5):
        assert each[order] < -25.0


def test_one_end_sounds_the_same_together_and_apart(answer):
    heard = answer.options[1]
    assert heard.together == heard.apart
    assert answer.options[0].loudest_order in answer.orders
    assert max(answer.options[0].apart) == pytest.approx(0.0, abs=1e-12)


def test_a_level_in_all_is_the_sum_of_the_weighed_orders(answer):
    """By hand from the table of orders: 10 log10 of sums of powers with the A curve."""
    hertz = np.array(answer.frequencies)
    f2 = hertz**2
    curve = 12194.0**2 * f2**2 / (
        (f2 + 20.6**2) * np.sqrt((f2 + 107.7**2) * (f2 + 737.9**2)) * (f2 + 12194.0**2)
    )  # fmt: skip
    gains = []
    for what in ("together", "apart"):
        totals = [
            np.sum(curve**2 * 10 ** (np.array(getattr(heard, what)) / 10))
            for heard in answer.options
        ]
        gains.append(10 * math.log10(totals[0] / totals[1]))
    band = answer.options[1].quieter.difference
    assert [band.low, band.high] == pytest.approx(sorted(gains), abs=0.01)


def test_twins_differ_by_nothing_and_the_answer_says_what_to_build(apart):
    answer = compare_sound({"first": apart, "second": apart})
    twin = answer.options[1]
    assert twin.quieter.word == "not worth deciding on"
    assert twin.quieter.difference == (0.0, 0.0, 0.0)
    assert answer.choice.name == "first"
    assert "For quiet there build first" in answer.reason


def test_half_the_flow_is_six_decibels_quieter(apart):
    """Every end's flow halved: 20 log10 2 in every order, and in all."""
    softer = [
        attrs.evolve(wave, velocity=wave.velocity / 2) if wave.kind == "outlet" else wave
        for wave in apart.waves
    ]
    answer = compare_sound({"full": apart, "half": attrs.evolve(apart, waves=tuple(softer))})
    assert answer.options[1].quieter.difference == pytest.approx([6.0206] * 3, abs=1e-3)
    assert answer.options[1].quieter.word == "better"
    loud, soft = (np.max(np.abs(answer.signal(name, 0.5))) for name in ("full", "half"))
    assert soft / loud == pytest.approx(0.5, rel=1e-9)
    assert loud == pytest.approx(0.9, rel=0.02)


def test_a_clip_repeats_each_cycle_and_starts_and_ends_in_silence(answer):
    heard = answer.signal("one pipe", 1.0)
    assert heard.shape == (2, RATE)
    assert np.allclose(heard[:, [0, -1]], 0.0)
    assert heard[0] == pytest.approx(heard[1], abs=1e-12)  # one end in the middle
    power = np.abs(np.fft.rfft(heard[0])) ** 2
    loudest = np.argmax(power) * 1.0  # [Hz]: a second long
    own = answer.frequencies[answer.orders.index(answer.options[1].loudest_order)]
    assert loudest == pytest.approx(own, abs=1.0)


def test_it_says_first_that_it_is_no_noise_measurement_and_that_law_is_local(answer):
    assert answer.assumptions[0].startswith("This is no noise measurement")
    assert "local emission and noise law" in " ".join(answer.assumptions)


def test_what_cannot_be_compared_is_refused(apart, pair, engine, duty):
    with pytest.raises(ExhaustError, match=r"options must be two or more \(got 1\)"):
        compare_sound({"alone": apart})
    slow = simulate(engine, pair, duty.with_(speed="3000 rpm"), pulses=Pulses(cell="80 mm"))
    with pytest.raises(ExhaustError, match=r"options must turn at one speed \(got 2 speeds\)"):
        compare_sound({"fast": apart, "slow": slow})
    with pytest.raises(ExhaustError, match="options must be simulations by name"):
        compare_sound([apart, apart])
    with pytest.raises(ExhaustError, match=r'is none of the options.*nearest: "two pipes"'):
        compare_sound({"two pipes": apart, "other": apart}).signal("two pipe")
