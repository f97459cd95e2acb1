"""Where to tap pressure and where sensors belong: lengths by hand, mixing by the graph."""

import math

import pytest

from exhaust import Bend, ParallelX, Run, System, Tube
from exhaust.choices.ports import mixing_place, port_note, sensor_note, straight_length
from exhaust.system import Inlet, Merge, Part

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


@pytest.mark.parametrize("before", [True, False])
def test_a_catalyst_behind_the_merge_is_named(before):
    parts = [Merge(name="Y"), Part(name="catalyst", kind="catalyst", loss=1.0)]
    cat, meet = "catalyst", "Y"
    left = [run("left", from_="l", to=cat), run("left on", from_=cat, to=meet)]
    tail = [run("tail", from_=meet)]
    if not before:
        left = [run("left", from_="l", to=meet)]
        tail = [run("tail", from_=meet, to=cat), run("tip", from_=cat)]
    system = System(
        runs=[*left, run("right", from_="r", to=meet), *tail],
        inlets=[Inlet(name="l"), Inlet(name="r")],
        places=parts,
    )
    assert ("behind catalyst sees both banks" in sensor_note(system)) is not before
