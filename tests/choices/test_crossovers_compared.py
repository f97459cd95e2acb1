"""Crossovers compared by their pulses: systems alike, verdicts, what is refused."""

from __future__ import annotations

import math
import multiprocessing
import re
from concurrent.futures import ProcessPoolExecutor

import attrs
import numpy as np
import pytest

from exhaust import (
    Bend,
    ExhaustError,
    HPipe,
    Inlet,
    ParallelX,
    Pulses,
    Run,
    System,
    Tube,
    compare_crossovers,
    plots,
    simulate,
)
from exhaust.choices.crossover_reasons import crossover_reason
from exhaust.choices.crossover_systems import Crossover, usual_crossovers, with_crossover
from exhaust.choices.crossovers import _evenest
from exhaust.choices.pulse_cases import half_orders

TUBE = Tube(od="3 in", wall="16 ga")
X = ParallelX(Bend(TUBE, clr="4.5 in"), cutback=0.28, spacing="10.5 in")
H = HPipe(TUBE, balance_tube=Tube(od="2 in", wall="16 ga"), spacing="10.5 in")
QUICK = Pulses(cell="50 mm", speeds=["2500 rpm", "5500 rpm"], samples=2)


@pytest.fixture(scope="module")
def answer(job):
    return compare_crossovers(job.system, job.engine, job.duty, job.ambient, [H, X], QUICK)


def _way(system: System) -> float:
    """Length of one of two pipes alike from end to end [m]."""
    joint = 0.0 if system.joint is None else system.joint.centreline_length
    return sum(run.length for run in system.runs) + joint


@pytest.mark.parametrize("joint", [None, H, X])
@pytest.mark.parametrize("behind", [0.0, 0.2])
def test_every_crossover_leaves_the_pipes_as_long_as_they_were(job, joint, behind):
    found = with_crossover(job.system, Crossover(joint, behind))
    assert _way(found) == pytest.approx(_way(job.system), rel=1e-12)
    own = 0.0 if joint is None else joint.centreline_length
    middle = found.runs[0].length + own / 2
    was = job.system.runs[0].length + job.system.joint.centreline_length / 2
    assert middle == pytest.approx(was + behind, rel=1e-12)


def test_the_straight_beside_a_crossover_makes_room_for_it():
    """Straights that were given stay as they are but for the one that the crossover takes from."""
    bend = Bend(TUBE, clr="4.5 in", angle="45 deg")
    turned = math.pi / 4 * bend.clr
    runs = [
        Run(name=name, tube=TUBE, length=f"{1 + turned} m", bends=[bend],
            straights=["0.4 m", "0.6 m"]) for name in ("head", "tail")
    ]  # fmt: skip
    crossed = with_crossover(System(runs=runs, pipes=2), Crossover(X, 0.1))
    half = X.centreline_length / 2
    head, tail = crossed.runs
    assert head.straights == pytest.approx((0.4, 0.6 - half + 0.1))
    assert tail.straights == pytest.approx((0.4 - half - 0.1, 0.6))
    with pytest.raises(ExhaustError, match="run 'tail' is too short for parallel X"):
        with_crossover(System(runs=runs, pipes=2), Crossover(X, 0.4))


def test_sides_described_one_by_one_stay_apart_without_a_crossover():
    left, right = (
        [
            Run(name=f"{side} head", tube=TUBE, length="1 m", from_=f"{side} bank", to="X"),
            Run(name=f"{side} tail", tube=TUBE, length="2 m", from_="X"),
        ]
        for side in ("left", "right")
    )
    inlets = [Inlet(name="left bank", cylinders=[1, 3]), Inlet(name="right bank", cylinders=[2, 4])]
    whole = System(runs=[*left, *right], inlets=inlets, joint=X, joint_at="X")
    found = with_crossover(whole, Crossover(None))
    ends = {found.runs[line.run].name: (line.start, line.end) for line in found.graph.lines}
    assert ends["left head"] == ("left bank", "X 1")
    assert ends["left tail"] == ("X 1", "open air")
    assert ends["right tail"] == ("X 2", "open air")


def test_what_is_weighed_by_itself_is_weighed_alike_in_the_comparison(job, answer):
    """The middle of the draws at one speed is the simulation of that system at that speed."""
    option = answer.options[2]
    assert option.joint == X
    for n, speed in enumerate(answer.speeds):
        alone = [
            simulate(job.engine, one.system, job.duty.with_(speed=speed), job.ambient, QUICK)
            for one in (answer.options[0], option)
        ]
        bmep = alone[0].flow.mean_effective_pressure
        left = np.log(alone[0].residual / alone[1].residual)
        gain = (alone[0].pumping_pressure - alone[1].pumping_pressure) / bmep
        gain += left / (job.engine.compression_ratio - 1) / 0.85
        assert option.gain_at[n] == pytest.approx(gain, abs=5e-4)


def test_an_x_evens_the_banks_more_than_an_h_and_nothing_does_so_least(answer):
    """Common practice: an X sounds smoother than an H, which is smoother than straight pipes."""
    none, h, x = answer.options
    assert none.half_orders.middle > h.half_orders.middle > x.half_orders.middle
    assert none.difference > h.difference > x.difference
    assert answer.evenest == x.name
    assert h.across > 0 == x.across


def test_it_says_what_its_x_is_cut_from(answer):
    said = " ".join(answer.assumptions)
    assert re.search(r"Parallel X's are cut from 90.0. bends on a radius of 4.500 in", said), said


def test_of_those_that_sound_alike_the_evenest_gains_most_and_straight_pipes_come_first(answer):
    """Common practice: half orders within 3 % of the pulsation sound alike."""
    none, h, x = answer.options
    more = x.gain._replace(middle=x.gain.middle + 0.01)

    def sounding(one, apart, **changes):
        middle = x.half_orders.middle + apart
        return attrs.evolve(one, half_orders=x.half_orders._replace(middle=middle), **changes)

    near, far = (sounding(h, apart, gain=more) for apart in (0.02, 0.04))
    assert _evenest([none, near, x]) is near
    assert _evenest([none, far, x]) is x
    quiet = sounding(none, 0.02)
    assert _evenest([quiet, near, x]) is quiet


def test_the_verdict_is_two_sentences_with_threshold_and_choice(answer):
    first, second = crossover_reason(answer)
    assert "1.0 %" in first
    assert "build" in first
    assert "half orders" in second
    assert answer.evenest in second
    assert answer.reason == f"{first} {second}"


def test_straight_pipes_gain_nothing_over_themselves(answer):
    none = answer.options[0]
    assert none.gain == (0.0, 0.0, 0.0)
    assert none.verdict.word == "not worth deciding on"
    for one in answer.options:
        assert one.gain.low <= one.gain.middle <= one.gain.high
        assert np.mean(one.gain_at) == pytest.approx(one.gain.middle)
        assert min(one.gain_by_model) >= one.gain.low - 5e-3


def test_the_choice_moves_with_what_is_worth_having(job, answer):
    """With nothing too small to be worth it, the best is built unless the band spans nought."""
    greedy = compare_crossovers(
        job.system, job.engine, job.duty, job.ambient, [H, X], QUICK.with_(worth_having=0.0)
    )
    assert greedy.best == answer.best
    assert greedy.options[1].gain == answer.options[1].gain


def test_the_figure_has_every_crossover_and_its_numbers(answer):
    left, right = plots.crossover_comparison(answer).figure.axes
    names = [label.get_text() for label in left.get_yticklabels()]
    assert names == [one.name for one in answer.options]
    said = [text.get_text() for text in right.texts]
    assert said == [f"{100 * one.half_orders.middle:.1f}" for one in answer.options]


@pytest.mark.slow
def test_finer_cells_change_a_gain_by_less_than_the_models_do(job):
    """20 mm against 5 mm: 0.005 % of power, where the two models differ by 0.15 %."""
    at = Pulses(speeds=["3000 rpm", "5000 rpm"], samples=2)
    coarse, fine = (
        compare_crossovers(
            job.system, job.engine, job.duty, job.ambient, [X], at.with_(cell=cell)
        ).options[1]
        for cell in ("20 mm", "5 mm")
    )
    moved = abs(coarse.gain.middle - fine.gain.middle)
    assert moved < 0.2 * abs(fine.gain_by_model[0] - fine.gain_by_model[1])
    assert coarse.half_orders.middle == pytest.approx(fine.half_orders.middle, abs=0.02)


def test_processes_give_what_threads_do(job, answer):
    with ProcessPoolExecutor(2, multiprocessing.get_context("spawn")) as pool:
        found = compare_crossovers(
            job.system, job.engine, job.duty, job.ambient, [X], QUICK.with_(executor=pool)
        )
    # Other numbers of designs settle together, a last digit apart.
    assert found.options[1].gain == pytest.approx(answer.options[2].gain, rel=1e-9)


def test_half_orders_are_those_of_one_bank_alone():
    angle = np.radians(np.arange(720.0))
    even = np.cos(angle)
    uneven = np.cos(1.5 * angle)
    assert half_orders(np.stack([even, uneven], axis=1)) == pytest.approx(0.5)


def test_the_usual_crossovers_are_none_an_h_and_the_systems_own(job):
    names = [one.name for one in usual_crossovers(job.system)]
    assert names[0] == "no crossover"
    assert sum(name.startswith("H") for name in names) == 5
    assert [name[-4:] for name in names if name.startswith("parallel X")] == [
        "0.22",
        "0.28",
        "0.34",
    ]


@pytest.mark.parametrize("joint", [None, H])
def test_a_system_without_an_x_tries_one_of_usual_bends(joint):
    runs = [Run(name=name, tube=TUBE, length="2 m") for name in ("head", "tail")]
    tried = list(usual_crossovers(System(runs=runs, pipes=2, joint=joint)))
    found = [one.joint for one in tried if isinstance(one.joint, ParallelX)]
    assert [x.cutback for x in found] == pytest.approx([0.22, 0.28, 0.34])
    assert [x.bend.clr / TUBE.od for x in found] == pytest.approx([1.5] * 3)
    assert tried[0] == Crossover(None)
    assert len({one.name for one in tried}) == len(tried) == 9


def test_what_cannot_be_crossed_is_refused_in_words(job, engine, duty):
    def refused(words, system=job.system, joints=None):
        with pytest.raises(ExhaustError, match=words):
            compare_crossovers(system, engine, duty, joints=joints, pulses=QUICK)

    one = System(runs=[Run(name="all", tube=TUBE, length="3 m")])
    refused("system must have a crossover, or two pipes alike with a first run and one after", one)
    refused("joints has no crossover in it; give at least one", joints=[None])
    refused(r"joints must be a list of joints \(got one 'X'\)", joints=["X"])
    small = HPipe(Tube(od="2.5 in", wall="16 ga"), spacing="9 in")
    refused("joints can be built with none of them: .*is made of 2.5 in", joints=[small])
    long = HPipe(TUBE, spacing="9 in", length="9 ft")
    refused(
        r"can be built with none of them: run '.*' is too short for H, 3 in x 16 ga, which takes "
        r".* of its straight \(got .*\); give it more straight tube",
        joints=[long],
    )


def test_a_crossover_without_room_is_left_out_and_said(job):
    long = HPipe(TUBE, spacing="10.5 in", length="9 ft")
    found = compare_crossovers(
        job.system, job.engine, job.duty, job.ambient, [H, long], QUICK.with_(speeds=["3000 rpm"])
    )
    assert [one.name for one in found.options] == ["no crossover", "H, 2 in x 16 ga"]
    assert "is left out: run 'collector to X' is too short for H" in found.reason
