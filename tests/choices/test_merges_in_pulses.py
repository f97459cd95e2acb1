"""Merges over a range of speeds in pulses: parts that add up, bands by hand, twins that tie."""

from __future__ import annotations

import math
from concurrent.futures import ProcessPoolExecutor

import numpy as np
import pytest

from exhaust.bands import Band
from exhaust.choices import compare_merges
from exhaust.choices.merged import merge_name, merged
from exhaust.choices.merging_pulsed import compare_merges_in_pulses, range_speeds
from exhaust.choices.pulsed_doubts import sampled
from exhaust.choices.pulses import Pulses
from exhaust.choices.simulating import simulate
from exhaust.choices.stepped import stepped
from exhaust.engine import Engine, OperatingPoint
from exhaust.errors import ExhaustError
from exhaust.stock import Bend, Tube
from exhaust.system import Cone, Inlet, Merge, Run, System

SMALL, LARGE, TWIN = (
    Tube(od=od, wall="16 ga", material=material)
    for od, material in (("2.25 in", "304"), ("3 in", "304"), ("2.25 in", "304L"))
)
SPEEDS = ["4000 rpm", "5000 rpm", "6000 rpm"]
COARSE = Pulses(cell="40 mm")


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
    return compare_merges_in_pulses(steady, SPEEDS, COARSE)


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
    found = compare_merges_in_pulses(steady, SPEEDS, Pulses(cell="80 mm"))
    assert found.options[1].parted is None
    assert "Joint and pipe could not be told apart" in " ".join(found.assumptions)
    assert list(found.table["joint_gain"]) == ["–", "–"]


def test_joint_and_pipe_add_up_to_the_gain(answer):
    one = answer.options[2]
    joint, pipe = (part.difference.middle for part in one.parted)
    assert joint + pipe == pytest.approx(one.gain.difference.middle, rel=1e-12)
    assert np.mean(one.by_speed) == pytest.approx(one.gain.difference.middle, rel=1e-12)


def test_a_gain_is_the_pistons_pressure_priced_by_hand(answer, pair, six, duty):
    """p (1/pme + 1/(0.85 g pi (r - 1))), g 1.4, in the same and in the larger outlet."""
    at = duty.with_(speed=SPEEDS[1])
    costs = []
    for outlet in (SMALL, LARGE):
        found = simulate(merged(pair, outlet), six, at, pulses=COARSE)
        flow = found.flow
        filling = 1 / (0.85 * 1.4 * flow.intake_pressure * (six.compression_ratio - 1))
        pme = flow.power * 4 * math.pi / (six.displacement * flow.duty.speed)
        costs.append(found.pumping_pressure * (1 / pme + filling))
    assert answer.options[2].by_speed[1] == pytest.approx(costs[0] - costs[1], rel=1e-9)


def test_the_pipes_part_is_that_of_a_same_size_joint_that_steps_up(answer, pair, six, duty):
    """Simulated apart: its pumping pressure is the point's, and its saving the pipe's part."""
    joint = stepped(merged(pair, SMALL), merge_name(pair), LARGE)
    found = simulate(joint, six, duty.with_(speed=SPEEDS[2]), pulses=COARSE)
    same, step = (
        [one for one in answer.points if one.junction == "momentum" and wanted(one)]
        for wanted in (
            lambda one: one.outlet == SMALL,
            lambda one: one.outlet == LARGE and one.stepped,
        )
    )
    assert step[2].pumping_pressure == pytest.approx(found.pumping_pressure, rel=1e-12)
    saved = [a.power_cost - b.power_cost for a, b in zip(same, step, strict=True)]
    pipe = answer.options[2].parted.pipe.difference.middle
    assert pipe == pytest.approx(np.mean(saved), rel=1e-12)


def test_one_pressure_in_all_legs_flatters_a_narrow_joint(answer):
    """Its known fault: it makes total pressure where the outlet is less than both legs."""

    def joint(model: str) -> float:
        whole, step = (
            np.mean(
                [
                    one.power_cost
                    for one in answer.points
                    if (one.outlet, one.stepped, one.junction) == (LARGE, stepped, model)
                ]
            )
            for stepped in (False, True)
        )
        return float(step - whole)

    assert joint("constant pressure") < 0.0 < joint("momentum")


def test_a_larger_outlet_saves_where_the_pipe_is_small(answer):
    one = answer.options[2]
    assert one.gain.difference.middle > 0.002
    assert one.steady.middle > 0
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
    found = compare_merges_in_pulses(steady, SPEEDS, Pulses(cell="80 mm"))
    assert found.options[1].gain.word == "not worth deciding on"
    assert found.choice == SMALL
    assert found.reason.endswith(".")
    assert f"Buy {SMALL.name}" in found.reason


def test_every_doubt_of_a_gain_by_hand():
    """Inputs as their band; the other model at a band's end; 1.645 s/sqrt(n) of the speeds."""

    def ends(samples):
        return np.quantile(samples, (0.05, 0.95))

    none, flat = Band(0.0, 0.0, 0.0), np.array([0.02, 0.02, 0.02])
    inputs = sampled(np.array([flat, flat]), Band(0.005, 0.01, 0.03))
    assert ends(inputs) == pytest.approx([0.015, 0.04], abs=4e-4)
    junction = sampled(np.array([flat, flat + 0.01]), none)
    assert ends(junction) == pytest.approx([0.01, 0.03], abs=4e-4)
    uneven = np.array([0.01, 0.02, 0.03])
    speeds = sampled(np.array([uneven, uneven]), none)
    assert ends(speeds) == pytest.approx(0.02 + 1.645 * 0.01 / math.sqrt(3) * np.array([-1, 1]),
                                         abs=4e-4)  # fmt: skip


def test_speeds_default_to_the_upper_half_of_the_range():
    duty = OperatingPoint(speed="5500 rpm", volumetric_efficiency=0.9)
    rpm = [speed * 30 / math.pi for speed in range_speeds(duty)]
    assert rpm == pytest.approx([2750, 3300, 3850, 4400, 4950, 5500])


def test_too_few_speeds_and_more_pipes_than_two_are_refused(steady, six, duty):
    with pytest.raises(ExhaustError, match=r"speeds must be 3 or more \(got 2\); waves favour"):
        compare_merges_in_pulses(steady, SPEEDS[:2], COARSE)
    runs = [Run(name=name, tube=SMALL, length="1 m") for name in ("head", "on")]
    four = compare_merges(System(runs=runs, pipes=4), six, duty, outlets=[LARGE])
    with pytest.raises(ExhaustError, match="steady merges two of 4 pipes"):
        compare_merges_in_pulses(four, SPEEDS, COARSE)


@pytest.mark.slow
def test_other_processes_give_the_same_to_the_last_bit(pair, six, duty):
    steady = compare_merges(pair, six, duty, outlets=[LARGE])
    here = compare_merges_in_pulses(steady, SPEEDS, Pulses(cell="80 mm"))
    with ProcessPoolExecutor(2) as pool:
        there = compare_merges_in_pulses(steady, SPEEDS, Pulses(cell="80 mm", executor=pool))
    assert there.points == here.points
    assert there.options == here.options
