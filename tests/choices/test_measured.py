"""Readings made by a march of their own, and readings drawn from what is assumed, met again."""

import math

import numpy as np
import pytest
from independent_march import marched

from exhaust import (
    Bend,
    Engine,
    ExhaustError,
    Inlet,
    Merge,
    OperatingPoint,
    ParallelX,
    Part,
    PortReading,
    PortReadings,
    Run,
    System,
    Tube,
    compare_measured,
    flow_through,
)
from exhaust.bands import Band
from exhaust.choices.at_port import AWAY, at_speeds, tapped
from exhaust.choices.doubts import doubts
from exhaust.choices.one_parameter import gauge_covariance, moves
from exhaust.choices.ports import AHEAD
from exhaust.choices.speeds import duties_at, given_speeds
from exhaust.choices.steady import steady_flow
from exhaust.engine import exhaust_flow

TUBE = Tube(od="3 in", wall="16 ga")
BORE = (3 - 2 * 0.065) * 0.0254
STATED, TRUE = 6.0, 9.0  # loss coefficients
LONG = 3.0  # [m]
STRAIGHT = System(runs=[Run(name="all", tube=TUBE, length="3 m", loss=STATED)], pipes=2)
ENGINE = Engine(displacement="5.1 L", cylinders=8, compression_ratio=10.0)
DUTY = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.92, lambda_=0.88)
SPEEDS = given_speeds(["3000 rpm", "4000 rpm", "5000 rpm", "6000 rpm"], [])
ACCURACY = 300.0  # of the gauge, the middle 90 % [Pa]


def readings(pressures, speeds=SPEEDS, accuracy="300 Pa", **more):
    """Readings of `pressures` [Pa]; of each speed what `more` lists."""
    each = [dict(zip(more, values, strict=True)) for values in zip(*more.values(), strict=True)]
    rows = zip(speeds, pressures, each or [{}] * len(speeds), strict=True)
    read = [
        PortReading(speed=speed, back_pressure_gauge=f"{p} Pa", **also) for speed, p, also in rows
    ]
    return PortReadings(readings=read, gauge_accuracy=accuracy)


def asked(system, pressures, **more):
    return compare_measured(system, ENGINE, DUTY, readings(pressures, **more))


def port(system, speeds=SPEEDS):
    flow = exhaust_flow(ENGINE, DUTY)
    return at_speeds(system, flow, [exhaust_flow(ENGINE, at) for at in duties_at(flow, speeds)])


def predicted(system, **changed):
    """Pressures [Pa] with inputs changed by name, all others at their middle."""
    at = port(system)
    values = at.middle() | {name: np.array([value]) for name, value in changed.items()}
    return at.pressure(values)[:, 0]


def move(answer, name):
    return next(one for one in answer.moves if one.name == name)


@pytest.fixture(scope="module")
def by_another_way():
    """Gauge pressure at the port for the true loss, stepped by scipy: nothing of `flow` is called.

    The system has the stated loss; the gas that comes in is the package's.
    """
    flow = exhaust_flow(ENGINE, DUTY)
    found = []
    for duty in duties_at(flow, SPEEDS):
        at = exhaust_flow(ENGINE, duty)
        place = marched(at, TUBE, LONG, TRUE, pipes=2, at=AHEAD * BORE)
        found.append(place.pressure - at.ambient_pressure)
    return np.array(found)


def test_the_port_reads_what_an_independent_march_gives_there(by_another_way):
    ours = predicted(STRAIGHT, silencers=TRUE / STATED)
    # As near as the two marches are at the start of a run (test_tubes): 1 % of the pressure.
    assert ours == pytest.approx(by_another_way, rel=0.01)


def test_a_known_loss_is_found_again_in_noisy_readings_of_an_independent_march(by_another_way):
    """The band is of 90 % with every other assumption free; here only the gauge strays."""
    noise = np.random.default_rng(7)
    inside, middles = 0, []
    repeats = 8
    for _ in range(repeats):
        zero, own = noise.normal(size=1), noise.normal(size=len(SPEEDS))
        strays = ACCURACY / 1.645 * (math.sqrt(0.5) * zero + math.sqrt(0.5) * own)
        answer = asked(STRAIGHT, by_another_way + strays)
        found = move(answer, "silencers").needed
        inside += found.low <= TRUE / STATED <= found.high
        middles.append(found.middle)
    assert inside == repeats
    # The gauge is off by 300 Pa of 17000: 2 % each, and the mean of eight is nearer.
    assert np.mean(middles) == pytest.approx(TRUE / STATED, rel=0.03)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["silencers", "gas_temperature", "mass_flow"])
def test_the_band_holds_the_truth_as_often_as_it_says(name):
    """All other assumptions are drawn from their bands, the gauge strays: nine in ten are held.

    120 repeats: two standard errors of 0.9 are 0.055; 0.07 leaves room for bands that are not
    normal.
    """
    at = port(STRAIGHT)
    stated = at.bands[name]
    truth = stated.middle + 1.5 * (stated.high - stated.middle)
    drawn = at.sampled(128, seed=5)
    drawn[name] = np.full(128, truth)
    pressures, noise, held = at.pressure(drawn), np.random.default_rng(3), []
    for column in range(120):
        strays = noise.multivariate_normal(np.zeros(4), gauge_covariance(ACCURACY, 4))
        found = moves(at, pressures[:, column] + strays, ACCURACY)
        needed = next(one for one in found if one.name == name).needed
        held.append(needed.low <= truth <= needed.high)
    assert np.mean(held) == pytest.approx(0.9, abs=0.07)


def test_the_band_of_the_prediction_holds_nine_in_ten_of_what_is_drawn():
    at = port(STRAIGHT)
    answer = asked(STRAIGHT, predicted(STRAIGHT))
    others = at.pressure(at.sampled(1024, seed=99))
    for row, point in zip(others, answer.points, strict=True):
        low, _, high = point.predicted
        assert np.mean((low <= row) & (row <= high)) == pytest.approx(0.9, abs=0.03)


def test_each_assumption_is_found_again_when_it_alone_has_moved():
    """Its own model run at a known value: the least squares find that value."""
    known = {"silencers": 1.4, "gas_temperature": 1050.0, "mass_flow": 0.31, "slope": 0.15}
    for name, value in known.items():
        answer = asked(STRAIGHT, predicted(STRAIGHT, **{name: value}), accuracy="50 Pa")
        found = move(answer, name)
        assert found.needed.middle == pytest.approx(value, rel=0.02), name
        assert found.needed.low < value < found.needed.high
        assert found.likelihood > 0.9  # no noise


def test_a_loss_that_no_other_could_stand_for_is_told():
    answer = asked(STRAIGHT, predicted(STRAIGHT, silencers=1.8))
    assert not answer.in_band
    assert answer.choice is not None
    assert answer.choice.name == "silencers"
    assert "losses of silencers, to 1.8" in answer.reason
    (line,) = answer.next_job
    assert line.startswith("[[run]] 'all' loss = 11  # ")


def test_what_two_could_do_as_well_cannot_be_told():
    """A joint and a silencer of like loss: pressure at one port goes with their sum."""
    x = ParallelX(Bend(TUBE, clr="4.5 in"), cutback=0.28)
    runs = [Run(name=name, tube=TUBE, length="1 m") for name in ("head", "link")]
    tail = Run(name="tail", tube=TUBE, length="1 m", loss=1.0)
    system = System(runs=[*runs, tail], pipes=2, joint=x)
    answer = asked(system, predicted(system, joint=4.0))
    names = {one.name for one in answer.able}
    assert {"joint", "silencers"} <= names
    assert answer.choice is None
    assert "Cannot tell" in answer.reason
    assert "just ahead of the joint and just behind it" in answer.notes[0]
    assert answer.next_job == ()


def test_readings_as_predicted_lie_in_the_band_and_move_nothing():
    answer = asked(STRAIGHT, predicted(STRAIGHT))
    assert answer.in_band
    assert (answer.choice, answer.able) == (None, ())
    assert "Nothing that was assumed has to move" in answer.reason
    for one in answer.moves:
        if one.name in ("silencers", "gas_temperature", "mass_flow"):
            assert abs(one.halves.middle) < 0.2, one.name  # the mean of the samples is not theirs


def test_a_gauge_that_may_be_far_off_makes_no_reading_lie_outside():
    high = 1.5 * predicted(STRAIGHT)
    assert not asked(STRAIGHT, high).in_band
    assert asked(STRAIGHT, high, accuracy="10 kPa").in_band


def test_what_bends_otherwise_over_speed_is_not_one_assumption():
    """A reading at one speed that is far off the curve of the others."""
    off = predicted(STRAIGHT) * np.array([1.0, 2.2, 1.0, 1.0])
    answer = asked(STRAIGHT, off)
    assert answer.choice is None
    assert answer.able == ()
    assert "No one assumption meets them" in answer.reason
    assert "Read again" in answer.notes[-1]


def test_one_reading_cannot_tell():
    pressures = predicted(STRAIGHT, silencers=1.8)[-1:]
    answer = asked(STRAIGHT, pressures, speeds=SPEEDS[-1:])
    assert answer.points[0].lies == "above"
    assert answer.choice is None
    assert "One reading cannot tell" in answer.reason


def test_a_reading_below_the_air_outside_is_taken_and_warned_of():
    answer = asked(STRAIGHT, [-800.0, 5e3, 9e3, 13e3])
    assert answer.points[0].lies == "below"
    assert any("reads below the air outside" in note for note in answer.notes)


def test_air_measured_at_every_speed_is_used_and_narrows_the_band():
    """Flow goes with volumetric efficiency, pressure nearly with its square."""
    pressures = predicted(STRAIGHT)
    filled = [0.80, 0.85, 0.90, 0.92]
    plain = asked(STRAIGHT, pressures)
    told = asked(STRAIGHT, pressures, volumetric_efficiency=filled)
    for before, after, filling in zip(plain.points, told.points, filled, strict=True):
        ratio = after.predicted.middle / before.predicted.middle
        assert ratio == pytest.approx((filling / 0.92) ** 2, rel=0.03)
    width = [(p.predicted.high - p.predicted.low) / p.predicted.middle for p in plain.points]
    narrow = [(p.predicted.high - p.predicted.low) / p.predicted.middle for p in told.points]
    assert narrow[0] < 0.8 * width[0]


def test_gas_as_hot_as_it_was_measured_at_the_port():
    hot = ["700 degC", "750 degC", "790 degC", "800 degC"]
    pressures = predicted(STRAIGHT)
    answer = asked(STRAIGHT, pressures, gas_temperature=hot)
    # It has cooled since the collector, by tens of kelvin.
    assert 800 + 273.15 + 5 < answer.flow.gas_temperature < 800 + 273.15 + 60
    plain = asked(STRAIGHT, pressures)
    assert move(answer, "gas_temperature").share < 0.5 * move(plain, "gas_temperature").share


@pytest.mark.parametrize(
    "system",
    [
        STRAIGHT,
        System(
            runs=[
                Run(
                    name="head",
                    tube=TUBE,
                    length="1.4 m",
                    bends=[Bend(TUBE, clr="4.5 in", angle="90 deg")] * 2,
                ),
                Run(name="tail", tube=TUBE, length="1 m"),
            ],
            pipes=2,
            joint=ParallelX(Bend(TUBE, clr="4.5 in"), cutback=0.28),
        ),
        System(
            runs=[
                Run(name="left", tube=TUBE, length="1 m", from_="l", to="Y"),
                Run(name="right", tube=TUBE, length="1.5 m", from_="r", to="Y"),
                Run(name="on", tube=TUBE, length="2 m", loss=1.0),
            ],
            inlets=[Inlet(name="l"), Inlet(name="r")],
            places=[Merge(name="Y", angle="10 deg")],
        ),
    ],
    ids=["straight", "two bends and an X", "merge"],
)
def test_dividing_a_run_at_its_port_changes_nothing_of_the_flow(system):
    """Bends stand where they are, instead of spread along: a tenth of a percent is left."""
    flow = exhaust_flow(ENGINE, DUTY)
    middle = doubts(flow)[0]
    found = tapped(system)
    whole, divided = (
        steady_flow([one], flow, middle, "quick").back_pressure[0, 0]
        for one in (system, found.system)
    )
    assert divided == pytest.approx(whole, rel=2e-3)
    assert sum(run.length for run in found.system.runs) == pytest.approx(
        sum(run.length for run in system.runs)
    )
    bends = [len(run.bends) for run in found.system.runs]
    assert sum(bends) == sum(len(run.bends) for run in system.runs)


def test_the_band_at_the_port_is_near_that_where_the_gas_comes_in():
    """Of the same inputs, at the duty's own speed, where filling is not doubted otherwise."""
    answer = asked(STRAIGHT, predicted(STRAIGHT))
    through = flow_through(STRAIGHT, ENGINE, DUTY)
    at_port, at_inlet = answer.points[-1].predicted, through.back_pressure
    assert at_port.middle < at_inlet.middle
    left = 1 - AHEAD * BORE / LONG  # of the run's loss, which is spread along it
    for one, other in zip(at_port, at_inlet, strict=True):
        assert one == pytest.approx(left * other, rel=0.03)


def test_silencer_of_a_bench_rating_is_told_as_the_loss_it_had_to_have():
    runs = [
        Run(name="head", tube=TUBE, length="1 m", to="box"),
        Run(name="tail", tube=TUBE, length="0.5 m"),
    ]
    box = Part(name="box", kind="silencer", rated_flow="300 cfm")
    system = System(runs=runs, pipes=2, places=[box])
    area = math.pi / 4 * BORE**2
    flow, head = 300 * 0.3048**3 / 60, 28 * 249.089  # inH2O at 4 degC
    stated = head / (1.2 / 2 * (flow / area) ** 2) - 1
    answer = asked(system, predicted(system, silencers=2.0))
    assert answer.choice is not None
    (line,) = answer.next_job
    assert line.startswith("[[part]] 'box' loss = ")
    assert float(line.split("= ")[1].split()[0]) == pytest.approx(2 * stated, rel=0.06)


def test_what_would_have_to_move_much_farther_is_not_taken_for_the_reason(job):
    flow = exhaust_flow(job.engine, job.duty, job.ambient)
    flows = [exhaust_flow(job.engine, at, job.ambient) for at in duties_at(flow, SPEEDS)]
    at = at_speeds(job.system, flow, flows)
    pressures = at.pressure(at.middle() | {"silencers": np.array([2.5])})[:, 0]
    answer = compare_measured(job.system, job.engine, job.duty, readings(pressures), job.ambient)
    bends, silencers = move(answer, "bends"), move(answer, "silencers")
    assert bends.fits
    assert bends.halves.middle > 1.5 * silencers.halves.middle
    assert silencers in answer.able
    assert bends not in answer.able


def test_bends_ahead_of_the_port_stay_ahead_of_it():
    bend = Bend(TUBE, clr="4.5 in", angle="90 deg")
    turned = math.pi / 2 * 4.5
    run = Run(
        name="head",
        tube=TUBE,
        length=f"{42 + turned} in",
        bends=[bend],
        straights=["2 in", "40 in"],
    )
    found = tapped(System(runs=[run]))
    assert [len(one.bends) for one in found.system.runs] == [1, 0]
    ahead = 2 + turned + AHEAD * BORE / 0.0254
    assert found.system.runs[0].length == pytest.approx(ahead * 0.0254)


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ([], "readings is empty; give at least one reading"),
        ([("6000 rpm", "1 psi"), ("6000 rpm", "1.1 psi")], "readings has two readings at 6000 rpm"),
        ([("60000 rpm", "1 psi")], "speed must be between 100 rpm and 25000 rpm"),
        ([("6000 rpm", "-9 psi")], "back_pressure_gauge must be between"),
        ([("6000 rpm", 1.0)], "back_pressure_gauge must be a pressure with a unit"),
    ],
)
def test_readings_that_cannot_be_are_refused_in_words(rows, said):
    with pytest.raises(ExhaustError, match=said):
        PortReadings(
            readings=[PortReading(speed=speed, back_pressure_gauge=p) for speed, p in rows]
        )


def test_what_was_measured_at_some_speeds_only_is_refused():
    some = [
        PortReading(speed="5000 rpm", back_pressure_gauge="1 psi"),
        PortReading(speed="6000 rpm", back_pressure_gauge="1 psi", volumetric_efficiency=0.9),
    ]
    with pytest.raises(ExhaustError, match="at some speeds but not at 5000 rpm"):
        PortReadings(readings=some)


def test_how_filling_is_doubted_grows_with_the_distance_from_the_duty():
    at = port(STRAIGHT)
    assert at.below == pytest.approx([1.0, 2 / 3, 1 / 3, 0.0])
    assert at.bands["slope"] == AWAY == Band(-0.1, 0.0, 0.1)
    low, high = (predicted(STRAIGHT, slope=value) for value in (-0.1, 0.1))
    # At half of the duty's speed exp(0.1) of the flow; pressure goes nearly with its square.
    assert high[0] / low[0] == pytest.approx(math.exp(0.4), rel=0.03)
    assert high[-1] == pytest.approx(low[-1], rel=1e-9)
