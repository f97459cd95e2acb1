"""Merges over a range of speeds in pulses: parts that add up, bands by hand, twins that tie."""

from __future__ import annotations

import math
from concurrent.futures import ProcessPoolExecutor

import numpy as np
import pytest

from exhaust.choices import compare_merges
from exhaust.choices.merged import merge_name, merged
from exhaust.choices.merging_pulsed import compare_merges_in_pulses
from exhaust.choices.pulse_cases import _draws
from exhaust.choices.pulses import Pulses
from exhaust.choices.simulating import simulate
from exhaust.choices.stepped import stepped
from exhaust.engine import Cam, Engine
from exhaust.errors import ExhaustError
from exhaust.stock import Bend, Tube
from exhaust.system import Cone, Inlet, Merge, Run, System

SMALL, LARGE, TWIN = (
    Tube(od=od, wall="16 ga", material=material)
    for od, material in (("2.25 in", "304"), ("3 in", "304"), ("2.25 in", "304L"))
)
SPEEDS = ["4000 rpm", "5000 rpm", "6000 rpm"]
COARSE = Pulses(cell="40 mm", speeds=SPEEDS, samples=2)
ROUGH = Pulses(cell="80 mm", speeds=SPEEDS, samples=2)


@pytest.fixture(scope="module")
def six():
    return Engine(
        displacement="3 L", cylinders=6, firing_order=(1, 5, 3, 6, 2, 4), left_bank=(1, 2, 3)
    )


@pytest.fixture(scope="module")
def pair():
    runs = [Run(name="head", tube=SMALL, length="0.8 m"), Run(name="on", tube=SMALL, length="2 m")]
    return System(runs=runs, pipes=2)


@pytest.fixture(scope="module")
def steady(pair, six, duty):
    return compare_merges(pair, six, duty, outlets=[TWIN, LARGE])


@pytest.fixture(scope="module")
def answer(steady):
    return compare_merges_in_pulses(steady, COARSE)


def test_a_step_behind_the_joint_changes_tube_only_and_no_length(pair):
    same, place = merged(pair, SMALL), merge_name(pair)
    one = stepped(same, place, LARGE)
    (step,) = (thing for thing in one.places if isinstance(thing, Cone))
    whole = sum(run.length for run in one.runs) + step.length
    assert whole == pytest.approx(sum(run.length for run in same.runs), rel=1e-12)
    (behind,) = one.graph.out_of(place)
    assert one.runs[behind.run].tube == SMALL
    larger = [run.name for run in one.runs if run.tube == LARGE]
    assert larger == ["outlet on", "on"]


def test_a_bend_straight_behind_the_joint_leaves_no_room_for_a_step(six, duty):
    bend = Bend(SMALL, clr="4 in", angle="90 deg")
    runs = [
        Run(name=f"{side} leg", tube=SMALL, length="0.8 m", from_=f"{side} bank", to="meet")
        for side in ("left", "right")
    ]
    runs.append(Run(name="on", tube=SMALL, length="0.25 m", bends=[bend], from_="meet"))
    inlets = [
        Inlet(name=f"{side} bank", cylinders=numbers)
        for side, numbers in (("left", (1, 2, 3)), ("right", (4, 5, 6)))
    ]
    single = System(runs=runs, inlets=inlets, places=[Merge(name="meet")])
    with pytest.raises(ExhaustError, match="has no straight of 6 in behind the merge"):
        stepped(single, "meet", LARGE)
    steady = compare_merges(single, six, duty, outlets=[LARGE])
    found = compare_merges_in_pulses(steady, ROUGH)
    assert found.options[1].parted is None
    assert "Joint and pipe could not be told apart" in " ".join(found.assumptions)
    assert list(found.table["joint_gain"]) == ["–", "–"]


def test_joint_and_pipe_add_up_to_the_gain(answer):
    one = answer.options[2]
    joint, pipe = (part.difference.middle for part in one.parted)
    assert joint + pipe == pytest.approx(one.gain.difference.middle, rel=1e-12)
    assert np.mean(one.by_speed) == pytest.approx(one.gain.difference.middle, rel=1e-12)


def cost(found, engine):
    """Return the share of power that pistons and gas left behind cost, by hand.

    p/pme + ln(m)/(0.85 (r - 1)), m the mass left in a cylinder, of the fresh charge 1.
    """
    flow = found.flow
    pme = flow.power * 4 * math.pi / (engine.displacement * flow.duty.speed)
    left = np.mean([one.residual / (1 - one.residual) for one in found.cylinders])
    filling = math.log(left) / (0.85 * (engine.compression_ratio - 1))
    return found.pumping_pressure / pme + filling


def test_gains_are_those_of_simulations_apart_priced_by_hand(answer, pair, six, duty):
    """The same size, the larger outlet, and the larger with a same-size joint, speed by speed."""
    same, place = merged(pair, SMALL), merge_name(pair)
    designs = (same, merged(pair, LARGE), stepped(same, place, LARGE))
    costs = np.array(
        [
            [
                cost(simulate(six, one, duty.with_(speed=speed), pulses=Pulses(cell="40 mm")), six)
                for speed in SPEEDS
            ]
            for one in designs
        ]
    )
    one = answer.options[2]
    # a cycle counts as repeated within CLOSED of its flow: a part in a thousand
    assert one.by_speed == pytest.approx(costs[0] - costs[1], rel=0.02, abs=1e-4)
    assert one.parted.pipe.difference.middle == pytest.approx(
        np.mean(costs[0] - costs[2]), rel=0.02, abs=1e-4
    )


def test_one_pressure_in_all_legs_flatters_a_narrow_joint(pair, six, duty):
    """Its known fault: it makes total pressure where the outlet is less than both legs."""
    same, place = merged(pair, SMALL), merge_name(pair)
    joint = {}
    for model in ("momentum", "constant pressure"):
        whole, step = (
            np.mean(
                [
                    cost(
                        simulate(
                            six,
                            one,
                            duty.with_(speed=speed),
                            pulses=Pulses(cell="40 mm", junction=model),
                        ),
                        six,
                    )
                    for speed in SPEEDS
                ]
            )
            for one in (merged(pair, LARGE), stepped(same, place, LARGE))
        )
        joint[model] = step - whole
    assert joint["constant pressure"] < 0.0 < joint["momentum"]


def test_the_band_takes_in_valves_that_nobody_has_asked_about(answer, pair, six, duty):
    """Larger valves feel more of what is behind them: a larger outlet then saves more.

    Where the cam is given nothing of it is drawn, and the band is narrower.
    """
    saved = {
        valves: [
            cost(simulate(six, one, duty, pulses=Pulses(cell="40 mm", cam=Cam(valves=valves))), six)
            for one in (merged(pair, SMALL), merged(pair, LARGE))
        ]
        for valves in (1, 2)
    }
    one, two = (small - large for small, large in saved.values())
    assert two > 1.1 * one
    flows = {draw.cam.discharge for draw in _draws(COARSE.with_(samples=32))}
    assert min(flows) < 0.62
    assert max(flows) == 1.0
    given = COARSE.with_(cam=Cam(valves=2), samples=32)
    assert {draw.cam for draw in _draws(given)} == {given.cam}


def test_a_larger_outlet_saves_where_the_pipe_is_small(answer):
    one = answer.options[2]
    assert one.gain.difference.middle > 0.002
    assert one.steady > 0
    assert one.gain.difference.low <= one.other_model <= one.gain.difference.high


def test_the_same_bore_in_another_steel_is_not_worth_deciding_on(answer):
    twin = answer.options[1]
    assert twin.gain.word == "not worth deciding on"
    assert abs(twin.gain.difference.middle) < 1e-4
    assert twin.parted is None  # no cone between two like bores


def test_the_answer_is_two_sentences_that_end_with_what_to_buy(answer):
    first, second = answer.reason.split(". ")
    assert first.startswith("Breathing in pulses from 4000 rpm to 6000 rpm, ")
    assert "joint's own" in first
    assert "steady flow at those speeds has" in first
    assert second.startswith(f"Buy {answer.choice.name}")


def test_twins_alone_tie_and_the_answer_still_says_what_to_buy(pair, six, duty):
    steady = compare_merges(pair, six, duty, outlets=[TWIN])
    found = compare_merges_in_pulses(steady, ROUGH)
    assert found.options[1].gain.word == "not worth deciding on"
    assert found.choice == SMALL
    assert found.reason.endswith(".")
    assert f"Buy {SMALL.name}" in found.reason


def test_what_cannot_be_compared_in_pulses_is_refused(steady, six, duty):
    with pytest.raises(ExhaustError, match=r"speeds of pulses must be 3 or more \(got 2\); waves"):
        compare_merges_in_pulses(steady, COARSE.with_(speeds=SPEEDS[:2]))
    with pytest.raises(ExhaustError, match=r"worth_having of pulses must be that of the steady"):
        compare_merges_in_pulses(steady, COARSE.with_(worth_having=0.02))
    runs = [Run(name=name, tube=SMALL, length="1 m") for name in ("head", "on")]
    four = compare_merges(System(runs=runs, pipes=4), six, duty, outlets=[LARGE])
    with pytest.raises(ExhaustError, match="steady merges two of 4 pipes"):
        compare_merges_in_pulses(four, COARSE)


@pytest.mark.slow
def test_other_processes_give_the_same_to_the_last_bit(pair, six, duty):
    steady = compare_merges(pair, six, duty, outlets=[LARGE])
    here = compare_merges_in_pulses(steady, ROUGH)
    with ProcessPoolExecutor(2) as pool:
        there = compare_merges_in_pulses(steady, ROUGH.with_(executor=pool))
    assert there.options == here.options
