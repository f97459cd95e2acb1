"""Runs between places: what follows what, in every usual layout, written short or in full."""

from __future__ import annotations

import pytest
from layouts import (
    CROSSOVERS,
    LEFT,
    SILENCER,
    THREE,
    TWO_HALF,
    X,
    dual,
    dual_x,
    folded_x,
    one_into_two,
    primaries,
    run,
    single,
    two_into_a_y,
    two_into_one,
)

from exhaust import Sensor, System
from exhaust.joints import Joint
from exhaust.system import OPEN_AIR, Line


def ways(system: System) -> list[tuple[str, str, str]]:
    """Every run by name between its places."""
    return [(system.runs[n].name, start, end) for n, start, end in system.graph.lines]


def test_the_short_form_goes_from_the_engine_through_each_run_to_the_open_air() -> None:
    system = System(runs=[run("a"), run("b"), run("c")])
    assert ways(system) == [
        ("a", "engine", "a | b"),
        ("b", "a | b", "b | c"),
        ("c", "b | c", OPEN_AIR),
    ]
    assert list(system.graph.inlets) == ["engine"]
    assert system.graph.places == {}


def test_a_single_pipe_with_a_silencer() -> None:
    system = single()
    assert ways(system) == [("down", "engine", "silencer"), ("tail", "silencer", OPEN_AIR)]
    assert system.graph.places == {"silencer": SILENCER}


def test_the_only_inlet_is_where_the_first_run_starts() -> None:
    system = System(runs=[run("a")], inlets=[LEFT])
    assert ways(system) == [("a", "left", OPEN_AIR)]


def test_a_joint_that_no_run_names_stands_between_the_first_run_and_the_second() -> None:
    three = System(runs=[run("a"), run("b"), run("c")], pipes=2, joint=X)
    assert ways(three) == [
        ("a", "engine", "joint"),
        ("b", "joint", "b | c"),
        ("c", "b | c", OPEN_AIR),
    ]
    named = System(runs=[run("a"), run("b", to="X"), run("c")], pipes=2, joint=X, joint_at="X")
    assert ways(named) == [("a", "engine", "a | b"), ("b", "a | b", "X"), ("c", "X", OPEN_AIR)]


def test_a_joint_named_only_by_the_run_after_it_is_named() -> None:
    system = System(runs=[run("a", to="X"), run("b", "X")], pipes=2, joint=X, joint_at="X")
    assert ways(system) == [("a", "engine", "X"), ("b", "X", OPEN_AIR)]


def test_without_its_joint_the_place_is_a_seam() -> None:
    system = dual_x()
    with pytest.raises(ValueError, match="run 'left ahead' goes to 'X', which must lie between"):
        system.with_(joint=None)
    folded = System(runs=[run("a", to="X"), run("b")], pipes=2, joint=X, joint_at="X")
    assert folded.with_(joint=None).graph.lines == folded.graph.lines


def test_both_sides_of_a_crossover_in_full() -> None:
    system = dual_x()
    assert ways(system) == [
        ("left ahead", "left", "X"),
        ("left tail", "X", OPEN_AIR),
        ("right ahead", "right", "X"),
        ("right tail", "X", OPEN_AIR),
    ]
    assert system.graph.into("X") == [Line(0, "left", "X"), Line(2, "right", "X")]
    assert system.graph.out_of("X") == [Line(1, "X", OPEN_AIR), Line(3, "X", OPEN_AIR)]
    assert system.graph.places["X"] is X


def test_two_into_one_and_one_into_two() -> None:
    assert ways(two_into_one()) == [
        ("left", "left", "Y"),
        ("right", "right", "Y"),
        ("tail", "Y", OPEN_AIR),
    ]
    assert ways(one_into_two()) == [
        ("down", "engine", "fork"),
        ("left tip", "fork", OPEN_AIR),
        ("right tip", "fork", OPEN_AIR),
    ]


def test_a_joint_of_two_legs_and_one_outlet() -> None:
    graph = two_into_a_y().graph
    assert [line.run for line in graph.into("Y")] == [0, 1]
    assert [line.run for line in graph.out_of("Y")] == [2]


def test_primaries_into_a_collector_and_on() -> None:
    system = primaries()
    assert [line.run for line in system.graph.into("collector")] == [0, 1, 2, 3]
    assert ways(system)[4:] == [
        ("collector", "collector", "cone"),
        ("link", "cone", "silencer"),
        ("tail", "silencer", OPEN_AIR),
    ]
    assert list(system.graph.inlets) == ["port 1", "port 2", "port 3", "port 4"]


def test_two_pipes_of_primaries_are_folded_about_their_crossover() -> None:
    """The collectors of each bank, then the X: four runs into one merge in each pipe."""
    four = primaries()
    runs = [*four.runs[:4], run("ahead", "collector", "X"), run("tail")]
    folded = System(
        runs=runs, inlets=four.inlets, places=four.places[:1], joint=X, joint_at="X", pipes=2
    )
    whole = folded.unfolded()
    assert [len(whole.graph.into(f"{side} collector")) for side in ("left", "right")] == [4, 4]
    assert [whole.runs[line.run].name for line in whole.graph.into("X")] == [
        "left ahead",
        "right ahead",
    ]


def test_runs_may_be_listed_in_any_order_that_names_its_places() -> None:
    """Invariant: the same graph however it is listed."""
    one = two_into_a_y()
    named = zip(one.runs, one.graph.lines, strict=True)
    runs = [each.with_(from_=line.start) for each, line in named]
    two = one.with_(runs=runs[::-1])
    assert sorted(ways(one)) == sorted(ways(two))


def test_what_the_gas_has_passed_is_told_nearest_first() -> None:
    graph = primaries().graph
    assert graph.passed(6) == [
        *("silencer", "cone", "collector"),
        *("port 1", "port 2", "port 3", "port 4"),
    ]
    assert graph.passed(0) == ["port 1"]
    assert set(dual_x().graph.passed(1)) == {"X", "left", "right"}


@pytest.mark.parametrize("pipes", [1, 2, 3])
def test_unfolded_every_pipe_is_there_in_full(pipes: int) -> None:
    """Invariant: length, bends and parts of all pipes, and each leads from an inlet outside."""
    folded = dual().with_(pipes=pipes, sensors=[Sensor(name="O2", run="down", distance="8 in")])
    whole = folded.unfolded()
    assert whole.pipes == 1
    assert len(whole.runs) == pipes * len(folded.runs)
    assert sum(r.length for r in whole.runs) == pytest.approx(
        pipes * sum(r.length for r in folded.runs)
    )
    assert len(whole.places) == len(whole.sensors) == pipes
    assert len(whole.graph.inlets) == pipes
    assert [line.end for line in whole.graph.lines].count(OPEN_AIR) == pipes
    for sensor in whole.sensors:
        assert sensor.run in {r.name for r in whole.runs}
    assert whole.unfolded() == whole


def test_unfolded_a_crossover_ties_the_sides_in_their_order() -> None:
    whole = folded_x().unfolded()
    assert ways(whole) == [
        ("left ahead", "left engine", "joint"),
        ("left behind", "joint", OPEN_AIR),
        ("right ahead", "right engine", "joint"),
        ("right behind", "joint", OPEN_AIR),
    ]
    assert whole.joint is X
    assert [one.cylinders for one in whole.inlets] == [(), ()]


@pytest.mark.parametrize("joint", CROSSOVERS.values(), ids=CROSSOVERS)
def test_every_crossover_ties_two_pipes_folded_or_in_full(joint: Joint) -> None:
    folded = System(runs=[run("ahead"), run("behind")], pipes=2, joint=joint)
    whole = folded.unfolded()
    assert len(whole.graph.into("joint")) == len(whole.graph.out_of("joint")) == 2
    other = folded.with_tube(TWO_HALF)
    assert other.joint is not None
    assert other.joint.tube == other.joint.outlet == TWO_HALF
    assert other.unfolded() == whole.with_tube(TWO_HALF)  # folding and tubes do not mind order


def test_the_same_runs_between_the_same_places_are_the_same_system() -> None:
    assert dual_x() == dual_x()
    assert hash(dual_x()) == hash(dual_x())
    assert dual_x() != dual_x().with_(joint_at="joint", runs=folded_x().runs, inlets=[], pipes=2)
    assert dual_x().with_() == dual_x()
    assert System(runs=[run("a", tube=THREE)]).graph.lines == (Line(0, "engine", OPEN_AIR),)
