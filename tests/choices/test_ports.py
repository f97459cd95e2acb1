"""Where to tap pressure and where sensors belong: lengths by hand, mixing by the graph."""

import math

import pytest

from exhaust import Bend, ParallelX, Run, System, Tube
from exhaust.choices.ports import mixing_place, port_note, sensor_note, straight_length
from exhaust.system import Inlet, Merge, Sensor

TUBE = Tube(od="3 in", wall="16 ga")
BEND = Bend(TUBE, clr="4.5 in", angle="90 deg")


def run(name, length="1 m", **more):
    return Run(name=name, tube=TUBE, length=length, **more)


def test_straight_length_by_hand():
    """A quarter circle of 4.5 in radius is 7.07 in of centreline."""
    two = run("a", bends=[BEND, BEND])
    assert straight_length(two) == pytest.approx(1 - 2 * math.pi / 2 * 4.5 * 0.0254, rel=1e-12)


def test_port_stands_in_the_first_run_ahead_of_the_joint():
    x = ParallelX(BEND, cutback=0.28)
    said = port_note(System(runs=[run("head"), run("tail")], pipes=2, joint=x))
    assert "in the straight of 'head'" in said
    assert "of each pipe" in said
    assert "ahead of any joint" in said
    assert "14.350 in of straight tube ahead of it" in said  # 5 x 2.87 in of bore


def test_a_short_run_is_said_to_read_rough():
    said = port_note(System(runs=[run("head", "300 mm"), run("tail")]))
    assert "less than 7 diameters" in said


def test_sensors_stand_ahead_of_what_mixes_the_banks():
    x = ParallelX(BEND, cutback=0.28)
    duals = System(runs=[run("head"), run("tail")], pipes=2, joint=x, joint_at="X")
    assert mixing_place(duals) == "X"
    assert "Oxygen sensors belong ahead of X" in sensor_note(duals)
    assert sensor_note(System(runs=[run("head")], pipes=2)) is None


def test_a_sensor_behind_what_mixes_the_banks_is_named():
    x = ParallelX(BEND, cutback=0.28)
    runs = [run("head"), run("mid"), run("tail")]

    def said(where):
        sensors = [Sensor(name="lambda", run=where, distance="10 in")]
        return sensor_note(System(runs=runs, pipes=2, joint=x, joint_at="X", sensors=sensors))

    assert said("head") is None
    for where in ("mid", "tail"):
        assert said(where).startswith("lambda reads the gas of both banks, behind X")


def test_a_merge_mixes_too():
    system = System(
        runs=[
            run("left", from_="l", to="Y"),
            run("right", from_="r", to="Y"),
            run("tail", from_="Y"),
        ],
        inlets=[Inlet(name="l"), Inlet(name="r")],
        places=[Merge(name="Y")],
    )
    assert "Oxygen sensors belong ahead of Y" in sensor_note(system)
