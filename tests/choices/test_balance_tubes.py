"""Balance tubes by size and place: what is chosen and why, and where the pressure swings."""

from __future__ import annotations

import numpy as np
import pytest

from exhaust import (
    ExhaustError,
    HPipe,
    Pulses,
    Run,
    System,
    Tube,
    compare_balance_tubes,
    compare_crossovers,
    plots,
)

TUBE = Tube(od="3 in", wall="16 ga")
SIZES = [Tube(od=od, wall="16 ga") for od in ("1.5 in", "3 in")]
QUICK = Pulses(cell="50 mm", speeds=["2500 rpm", "5500 rpm"], samples=2)


@pytest.fixture(scope="module")
def answer(job):
    return compare_balance_tubes(job.system, job.engine, job.duty, job.ambient, SIZES, QUICK)


def test_every_size_is_tried_in_every_place(answer):
    places = {tube: [one.distance for one in answer.options if one.tube == tube] for tube in SIZES}
    first, second = places.values()
    assert first == second
    assert len(first) == 5
    assert first == sorted(first)
    assert not answer.refused


def test_the_pipes_stay_as_long_wherever_the_tube_stands(job, answer):
    long = sum(run.length for run in answer.without.system.runs)
    for one in answer.options:
        runs = one.system.runs
        assert sum(run.length for run in runs) + one.joint.centreline_length == pytest.approx(long)
        assert one.distance == pytest.approx(runs[0].length + one.joint.centreline_length / 2)
        # the sensor reads its own bank alone
        assert job.system.sensors[0].distance < runs[0].length


def test_a_larger_tube_evens_more_and_swings_less(answer):
    """Common practice: the larger the balance tube, the nearer to one pipe the two become."""
    small, large = ([one for one in answer.options if one.tube == tube] for tube in SIZES)
    for thin, wide in zip(small, large, strict=True):
        assert wide.half_orders.middle < thin.half_orders.middle
        assert wide.difference < thin.difference < answer.without.difference
        assert wide.across < thin.across


def test_the_choice_is_the_least_work_of_those_that_sound_alike(answer):
    least = min(one.half_orders.middle for one in answer.options)
    chosen = answer.chosen
    assert chosen.name in answer.alike
    assert chosen.half_orders.middle <= least + 0.03
    alike = [one for one in answer.options if one.name in answer.alike]
    assert chosen.tube.flow_area == min(one.tube.flow_area for one in alike)
    assert f"Fit a balance tube in {chosen.tube.name}" in answer.reason
    assert "optimum is" in answer.reason


def test_the_swing_dies_out_at_the_tips_and_is_what_the_banks_differ_by(answer):
    """At an open end the pressure is that outside: nothing is left to differ."""
    assert answer.swing[-1] < 0.1 * answer.swing.max()
    assert np.all(np.diff(answer.position) > 0)
    at = answer.options[2].distance
    # without a tube the banks differ where it would stand by as much as is said of that place
    there = float(np.interp(at, answer.position, answer.swing))
    assert there == pytest.approx(answer.without.difference, rel=0.1)
    assert answer.swing[np.argmin(np.abs(answer.position - answer.swings_most))] == max(
        answer.swing
    )


def test_a_tube_where_the_crossover_stands_is_what_the_crossovers_have(job, answer):
    h = next(one.joint for one in answer.options if one.tube == SIZES[1])
    found = compare_crossovers(job.system, job.engine, job.duty, job.ambient, [h], QUICK)
    mine = next(
        one
        for one in answer.options
        if one.tube == SIZES[1] and one.distance == answer.without.distance
    )
    assert found.options[1].gain == mine.gain
    assert found.options[1].half_orders == mine.half_orders
    assert found.options[1].across == mine.across


def test_the_figure_has_every_size_and_where_to_fit(answer):
    upper, lower = plots.balance_tubes(answer).figure.axes
    assert {text.get_text() for text in upper.texts} == {tube.name for tube in SIZES}
    marked = lower.lines[1].get_xdata()[0]
    assert marked == pytest.approx(answer.chosen.distance / 0.3048)


def test_what_has_no_room_is_refused_in_words(engine, duty):
    def refused(words, system, tubes=None):
        with pytest.raises(ExhaustError, match=words):
            compare_balance_tubes(system, engine, duty, tubes=tubes, pulses=QUICK)

    short = [Run(name=name, tube=TUBE, length="3 in") for name in ("head", "tail")]
    refused("must have room for the balance tube in the straight", System(runs=short, pipes=2))
    one = System(runs=[Run(name="all", tube=TUBE, length="3 m")])
    refused("system must have a crossover, or two pipes alike", one)
    duals = [Run(name=name, tube=TUBE, length="2 m") for name in ("head", "tail")]
    refused("tubes is empty; give at least one tube", System(runs=duals, pipes=2), [])


def test_a_balance_tube_is_an_h_pipe_to_be_sawn(answer):
    assert isinstance(answer.chosen.joint, HPipe)
    assert answer.chosen.system.joint == answer.chosen.joint
