"""Back pressure over engine speeds: against one speed at a time, its laws, its words."""

import math

import attrs
import numpy as np
import pytest

from exhaust import Bend, OperatingPoint, Run, System, Tube
from exhaust.choices import compare_speeds, compare_tubes, flow_through
from exhaust.choices.speeds import usual_speeds
from exhaust.engine import exhaust_flow
from exhaust.errors import ExhaustError
from exhaust.show import shown_in

RPM = math.pi / 30


def test_at_the_duty_it_is_the_flow_through(engine, duty, ambient, duals):
    """The same samples and the same march: bands are equal, not just alike."""
    one = flow_through(duals, engine, duty, ambient)
    (point,) = compare_speeds(duals, engine, duty, ambient, speeds=["6200 rpm"]).points
    # several speeds at once share one grid of steps, to 1e-7 of pressure
    assert point.back_pressure == pytest.approx(one.back_pressure, rel=1e-5)
    assert point.power_cost == pytest.approx(one.power_cost, rel=1e-5)
    assert point.mass_flow == pytest.approx(one.flow.mass_flow, rel=1e-12)


def test_each_point_is_the_question_of_one_speed(engine, duty, ambient, duals, sizes):
    answer = compare_speeds(
        duals, engine, duty, ambient, sizes[1:3], ["2500 rpm", "5000 rpm", "6200 rpm"]
    )
    assert [point.tube for point in answer.points] == [sizes[1]] * 3 + [sizes[2]] * 3
    slow = duty.with_(speed="2500 rpm")
    for point in (answer.points[0], answer.points[3]):
        (other,) = compare_tubes(duals, engine, slow, ambient, [point.tube]).options
        assert point.back_pressure.middle == pytest.approx(other.back_pressure, rel=1e-5)
        assert point.power_cost.middle == pytest.approx(other.power_cost.middle, rel=1e-5)


def test_power_that_was_given_goes_with_speed(engine, ambient, duals):
    """As much pull at every speed: at the duty the price is that of the power given."""
    duty = OperatingPoint(
        speed="6200 rpm", volumetric_efficiency=0.92, lambda_=0.88, power="330 kW"
    )
    one = flow_through(duals, engine, duty, ambient)
    slow, fast = compare_speeds(
        duals, engine, duty, ambient, speeds=["3100 rpm", "6200 rpm"]
    ).points
    assert fast.power_cost == pytest.approx(one.power_cost, rel=1e-5)
    # mean effective pressure is one at both, so the price per pascal is
    price = [point.power_cost.middle / point.back_pressure.middle for point in (slow, fast)]
    assert price[0] == pytest.approx(price[1], rel=0.05)


def test_pressure_grows_nearly_with_the_square_of_the_flow(engine, duty, ambient, duals):
    """By a power between 1.9 (friction falls with Reynolds) and 2.4 (hotter, faster, thinner)."""
    answer = compare_speeds(duals, engine, duty, ambient)
    flow = np.array([point.mass_flow for point in answer.points])
    for name in ("back_pressure", "power_cost"):
        bands = np.array([getattr(point, name) for point in answer.points])
        assert np.all(np.diff(bands, axis=0) > 0), name
    pressure = np.array([point.back_pressure.middle for point in answer.points])
    powers = np.diff(np.log(pressure)) / np.diff(np.log(flow))
    assert np.all((powers > 1.9) & (powers < 2.4))


def test_flow_is_proportional_to_speed_at_one_filling(engine, duty, ambient, duals):
    answer = compare_speeds(duals, engine, duty, ambient)
    per_turn = [point.mass_flow / point.speed for point in answer.points]
    assert per_turn == pytest.approx([per_turn[0]] * len(per_turn), rel=1e-9)


@pytest.mark.parametrize(
    ("rpm", "first", "last", "count"),
    [
        (6200, 1000, 7000, 7),
        (5400, 500, 5500, 11),
        (6000, 1000, 7000, 7),
        (9000, 1000, 10000, 10),
        (2450, 250, 2500, 10),
        (14500, 2000, 16000, 8),
        (1300, 200, 1400, 7),
    ],
)
def test_usual_speeds_are_an_even_ladder_to_just_past_the_duty(rpm, first, last, count):
    duty = OperatingPoint(speed=f"{rpm} rpm", volumetric_efficiency=0.9)
    speeds = [speed / RPM for speed in usual_speeds(duty)]
    assert speeds == pytest.approx(np.linspace(first, last, count))


@pytest.mark.parametrize("rpm", [100, 600, 1000, 2400, 4999, 7777, 11999, 18000, 24999, 25000])
def test_usual_speeds_stay_within_what_an_engine_may_turn(rpm):
    duty = OperatingPoint(speed=f"{rpm} rpm", volumetric_efficiency=0.9)
    speeds = [speed / RPM for speed in usual_speeds(duty)]
    assert speeds[0] >= 100 - 1e-9
    assert speeds[-1] <= 25000 + 1e-9
    if 600 <= rpm < 24000:
        assert 6 <= len(speeds) <= 12
        assert speeds[-2] <= rpm * (1 + 1e-12) < speeds[-1]


def test_a_tube_that_chokes_is_said(engine, duty, ambient, duals):
    single = duals.with_(pipes=1)
    small, large = Tube(od="1.5 in", wall="16 ga"), Tube(od="3 in", wall="16 ga")
    answer = compare_speeds(single, engine, duty, ambient, [small, large], ["1500 rpm", "6200 rpm"])
    assert [point.choked for point in answer.points] == [False, True, False, False]
    assert "1.5 in x 16 ga is far too small from 6200 rpm up: the gas reaches Mach 1." in (
        answer.reason
    )
    assert list(answer.table["gas"]) == ["passes", "chokes", "passes", "passes"]
    alone = attrs.evolve(answer, points=answer.points[1:2])
    assert alone.reason.startswith("1.5 in x 16 ga is far too small from 6200 rpm up")


def test_a_tube_that_the_system_cannot_be_built_in_is_said(engine, duty):
    tube, large = Tube(od="2.5 in", wall="16 ga"), Tube(od="3 in", wall="16 ga")
    tight = Run(name="tail", tube=tube, length="0.31 m", bends=[Bend(tube, clr="7.5 in")])
    system = System(runs=[tight], pipes=2)
    answer = compare_speeds(system, engine, duty, tubes=[tube, large], speeds=["3000 rpm"])
    assert answer.tubes == (tube,)
    assert [one for one, _ in answer.refused] == [large]
    assert "3 in x 16 ga is left out: length of run 'tail' must hold its bends" in answer.reason


def test_words_and_table(engine, duty, ambient, duals, sizes):
    answer = compare_speeds(
        duals, engine, duty, ambient, sizes, ["6200 rpm", "3000 rpm", "3000 rpm"]
    )
    assert [speed / RPM for speed in answer.speeds] == pytest.approx([3000, 6200])
    assert answer.tubes == tuple(sizes)
    assert answer.of(sizes[2]) == answer.points[4:6]
    reason = answer.reason
    assert reason.startswith("In 3 in x 16 ga back pressure rises from ")
    assert " at 3000 rpm to " in reason
    assert "at 6200 rpm, which costs " in reason
    assert "At 6200 rpm 2.25 in x 16 ga costs " in reason
    assert " and 3.5 in x 16 ga costs " in reason
    assert answer.assumptions[0].startswith("Gas temperature")
    assert any("breathes less away from its torque peak" in line for line in answer.assumptions)
    assert len(answer.table) == 10
    assert repr(answer).startswith("<SpeedComparison: tube 3 in x 16 ga")
    with shown_in("metric"):
        assert "kPa" in answer._repr_html_()
    lone = compare_speeds(duals, engine, duty, ambient, speeds=["3000 rpm"])
    assert lone.reason.startswith("In 3 in x 16 ga back pressure is ")
    assert lone.flow.mass_flow == exhaust_flow(engine, duty, ambient).mass_flow


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"speeds": []}, "speeds is empty; give at least one speed"),
        ({"speeds": [4000]}, "one of speeds must be an engine speed with a unit"),
        ({"speeds": ["4000"]}, "one of speeds must be an engine speed with a unit"),
        ({"speeds": ["4000 mph"]}, "one of speeds must be an engine speed"),
        ({"speeds": ["fast"]}, "one of speeds must be an engine speed"),
        ({"speeds": [None]}, "one of speeds must be an engine speed"),
        ({"speeds": "4000 rpm"}, r"speeds must be a list of engine speeds \(got '4000 rpm'\)"),
        ({"speeds": 4000}, r"speeds must be a list of engine speeds \(got 4000\)"),
        ({"speeds": ["50 rpm"]}, "speed must be between 100 rpm and 25000 rpm"),
        ({"tubes": []}, "tubes is empty; give at least one tube"),
        ({"tubes": ["3 in"]}, "tubes must be a list of tubes"),
        ({"system": Tube(od="3 in", wall="16 ga")}, r"system must be a System \(got Tube\)"),
        ({"engine": None}, "engine must be an Engine"),
        ({"duty": "6200 rpm"}, "duty must be an OperatingPoint"),
    ],
)
def test_refusals(engine, duty, duals, change, words):
    usual = {"system": duals, "engine": engine, "duty": duty}
    with pytest.raises(ExhaustError, match=words):
        compare_speeds(**(usual | change))
