"""What a system becomes when two of its pipes are merged: its graph, place by place."""

import pytest

from exhaust import (
    Bend,
    Cone,
    HPipe,
    Inlet,
    Merge,
    ParallelX,
    Part,
    Run,
    Sensor,
    System,
    Tube,
    YMerge,
)
from exhaust.choices.merged import leg_of, meeting_place, merge_name, merged
from exhaust.errors import ExhaustError

SMALL, LARGE = Tube(od="2.5 in", wall="16 ga"), Tube(od="3 in", wall="16 ga")
BEND = Bend(SMALL, clr="3.75 in", angle="45 deg")
RATED = Part(name="silencer", rated_flow="450 cfm")
FLEXIBLE = Part(name="flex", kind="flexible joint")


def system(pipes=2, joint=None, places=(RATED, FLEXIBLE), **more):
    """Return pipes with a flexible joint, a run, a crossover or none, a silencer and a tail."""
    runs = [
        Run(name="down", tube=SMALL, length="0.5 m", to="flex"),
        Run(name="head", tube=SMALL, length="1 m", bends=[BEND], to="X" if joint else "mid"),
        Run(name="middle", tube=SMALL, length="1 m", from_="X" if joint else "mid", to="silencer"),
        Run(name="tail", tube=SMALL, length="1 m", bends=[BEND], loss=0.4),
    ]
    return System(runs=runs, pipes=pipes, joint=joint, joint_at="X", places=places, **more)


def lines(one):
    """Return each run with its tube and the places it lies between."""
    return {
        one.runs[line.run].name: (one.runs[line.run].tube, line.start, line.end)
        for line in one.graph.lines
    }


@pytest.mark.parametrize(
    "joint", [ParallelX(Bend(SMALL, clr="3.75 in"), cutback=0.28), HPipe(SMALL, spacing="10 in")]
)
def test_pipes_with_a_joint_meet_where_it_stood(joint):
    one = merged(system(joint=joint), LARGE)
    assert one.pipes == 1
    assert one.joint is None
    assert lines(one) == {
        "left down": (SMALL, "left engine", "left flex"),
        "left head": (SMALL, "left flex", "merge"),
        "right down": (SMALL, "right engine", "right flex"),
        "right head": (SMALL, "right flex", "merge"),
        "outlet": (LARGE, "merge", "X"),
        "middle": (LARGE, "X", "silencer"),
        "tail": (LARGE, "silencer", "open air"),
    }


@pytest.mark.parametrize("pipes", [2, 4])
def test_pipes_without_a_joint_meet_two_by_two_after_their_first_run(pipes):
    one = merged(system(pipes), LARGE)
    assert one.pipes == 1
    assert lines(one) == {
        "left down": (SMALL, "left engine", "merge"),
        "right down": (SMALL, "right engine", "merge"),
        "outlet": (LARGE, "merge", "flex"),
        "head": (LARGE, "flex", "mid"),
        "middle": (LARGE, "mid", "silencer"),
        "tail": (LARGE, "silencer", "open air"),
    }


def test_bends_and_losses_stay_and_bends_keep_their_shape():
    one = merged(system(), LARGE)
    runs = {run.name: run for run in one.runs}
    assert runs["tail"].loss == 0.4
    assert runs["tail"].bends[0].clr / LARGE.od == pytest.approx(3.75 / 2.5)
    assert runs["left down"].length == 0.5
    assert runs["outlet"].length == pytest.approx(6 * 0.0254)


def test_a_rated_silencer_becomes_one_for_both_and_one_with_a_coefficient_stays():
    places = {place.name: place for place in merged(system(), LARGE).places}
    assert places["silencer"].rated_flow == pytest.approx(900 * 0.0254**3 * 1728 / 60, rel=1e-9)
    assert places["silencer"].rated_depression == RATED.rated_depression
    other = Part(name="silencer", loss=1.8)
    places = {one.name: one for one in merged(system(places=[other, FLEXIBLE]), LARGE).places}
    assert places["silencer"] == other
    # ahead of the merge there is one in each pipe, as rated
    x = ParallelX(Bend(SMALL, clr="3.75 in"), cutback=0.28)
    ahead = Part(name="flex", rated_flow="600 cfm")
    places = {one.name: one for one in merged(system(joint=x, places=[RATED, ahead]), LARGE).places}
    assert places["left flex"].rated_flow == places["right flex"].rated_flow == ahead.rated_flow


def test_legs_run_parallel_as_cut():
    (merge,) = (one for one in merged(system(), LARGE).places if isinstance(one, Merge))
    assert merge.angle == 0.0


def test_sensors_and_inlets_go_along():
    sensors = [
        Sensor(name="front", run="down", distance="0.2 m"),
        Sensor(name="rear", run="tail", distance="0.2 m"),
    ]
    inlet = Inlet(name="collector", distance="0.8 m")
    one = merged(system(sensors=sensors, inlets=[inlet]), LARGE)
    assert [(sensor.name, sensor.run) for sensor in one.sensors] == [
        ("left front", "left down"),
        ("right front", "right down"),
        ("rear", "tail"),
    ]
    assert [(inlet.name, inlet.distance) for inlet in one.inlets] == [
        ("left collector", 0.8),
        ("right collector", 0.8),
    ]


def test_cones_behind_go_with_what_they_joined():
    runs = [
        Run(name="head", tube=SMALL, length="1 m"),
        Run(name="middle", tube=SMALL, length="1 m", to="cone"),
        Run(name="tail", tube=LARGE, length="1 m"),
    ]
    one = merged(System(runs=runs, places=[Cone(name="cone", length="4 in")], pipes=2), LARGE)
    assert [type(place) for place in one.places] == [Merge]
    assert {run.tube for run in one.runs[2:]} == {LARGE}


def test_names_that_are_taken_are_not_given_twice():
    runs = [
        Run(name="outlet", tube=SMALL, length="1 m", to="merge"),
        Run(name="new outlet", tube=SMALL, length="1 m"),
        Run(name="tail", tube=SMALL, length="1 m"),
    ]
    two = System(runs=runs, pipes=2, places=[Part(name="merge", loss=1.0)])
    one = merged(two, LARGE)
    assert merge_name(two) == "new merge"
    assert list(lines(one)) == ["left outlet", "right outlet", "outlet", "new outlet", "tail"]
    assert one.graph.into("new merge")[0].start == "left engine"


def test_a_single_run_of_each_pipe_meets_at_its_end():
    one = merged(System(runs=[Run(name="all", tube=SMALL, length="1 m")], pipes=2), LARGE)
    assert lines(one)["outlet"] == (LARGE, "merge", "open air")


def test_primaries_of_each_pipe_stay_ahead():
    """Two into one in each pipe, then the two pipes: the merge is the new one."""
    runs = [
        Run(name="first", tube=SMALL, length="1 m", from_="a", to="pair"),
        Run(name="second", tube=SMALL, length="1 m", from_="b", to="pair"),
        Run(name="down", tube=SMALL, length="1 m"),
        Run(name="tail", tube=SMALL, length="1 m"),
    ]
    two = System(
        runs=runs, pipes=2, inlets=[Inlet(name="a"), Inlet(name="b")], places=[Merge(name="pair")]
    )
    one = merged(two, LARGE)
    assert merge_name(two) == "merge"
    assert lines(one)["left second"] == (SMALL, "left b", "left pair")
    assert lines(one)["right down"] == (SMALL, "right pair", "merge")
    assert lines(one)["tail"][0] == LARGE


def own_merge(**change):
    runs = [
        Run(name="left", tube=SMALL, length="1 m", from_="L", to="Y"),
        Run(name="right", tube=change.get("right", SMALL), length="1 m", from_="R", to="Y"),
        Run(name="link", tube=SMALL, length="1 m", to="cone"),
        Run(name="tail", tube=LARGE, length="1 m"),
    ]
    places = [Merge(name="Y", angle="10 deg"), Cone(name="cone", length="4 in")]
    return System(runs=runs, inlets=[Inlet(name="L"), Inlet(name="R")], places=places)


def test_a_system_that_has_its_merge_keeps_it():
    system = own_merge()
    assert meeting_place(system) == merge_name(system) == "Y"
    one = merged(system, LARGE)
    assert lines(one) == {
        "left": (SMALL, "L", "Y"),
        "right": (SMALL, "R", "Y"),
        "link": (LARGE, "Y", "cone"),
        "tail": (LARGE, "cone", "open air"),
    }
    assert one.places == (Merge(name="Y", angle="10 deg"),)
    assert leg_of(system) == SMALL


def test_a_merge_joint_changes_legs_and_outlet_at_once():
    """Legs alone in the larger tube would not fit the old outlet."""
    y = YMerge(Bend(SMALL, clr="3.75 in"), outlet=LARGE, cutback=0.345, spacing="10 in")
    runs = [
        Run(name="left", tube=SMALL, length="1 m", from_="L", to="Y"),
        Run(name="right", tube=SMALL, length="1 m", from_="R", to="Y"),
        Run(name="tail", tube=LARGE, length="1 m"),
    ]
    inlets = [Inlet(name="L"), Inlet(name="R")]
    system = System(runs=runs, inlets=inlets, joint=y, joint_at="Y")
    larger = Tube(od="3.5 in", wall="16 ga")
    joint = system.with_tube(larger).joint
    assert joint.tube == joint.outlet == larger
    joint = merged(system, larger).joint
    assert (joint.tube, joint.outlet) == (SMALL, larger)


def test_legs_of_two_tubes_are_refused():
    words = r"system merges 'left' in 2.5 in x 16 ga with 'right' \(got 3 in x 16 ga\)"
    with pytest.raises(ExhaustError, match=words):
        leg_of(own_merge(right=LARGE))


def test_nothing_to_merge_is_refused():
    single = System(runs=[Run(name="all", tube=SMALL, length="1 m")])
    words = r"system must have two pipes or more to merge, or a place where two runs become one"
    for ask in (meeting_place, merge_name, leg_of):
        with pytest.raises(ExhaustError, match=words):
            ask(single)
    with pytest.raises(ExhaustError, match=words):
        merged(single, LARGE)
