"""The flow place by place: sums, and one system described folded, in full and mirrored."""

import numpy as np
import pytest
from whole_systems import JOINTS, LAYOUTS, THREE, H, assert_adds_up, folded, middle_flow, unequal

from exhaust import HPipe, Tube


@pytest.mark.parametrize("system", LAYOUTS.values(), ids=LAYOUTS)
def test_losses_add_up(engine, duty, system):
    """By share of the flow, with the head that leaves."""
    flow, steady, places = middle_flow(system, engine, duty, "full")
    lost = float(steady.total_pressure_loss[0, 0]) - float(steady.leaving_head[0, 0])
    assert_adds_up(places, lost, flow.mass_flow / system.pipes)
    for place in places:
        assert place.end_temperature <= place.start_temperature + 1e-9, place.name
        if place.wall_temperature is not None:
            assert flow.ambient_temperature < place.wall_temperature
            assert place.wall_temperature < place.start_temperature


@pytest.mark.parametrize("joint", JOINTS.values(), ids=JOINTS)
def test_folded_equals_unfolded(engine, duty, joint):
    """One pipe of two alike, or both in full: every place."""
    system = folded().with_(joint=joint)
    one, two = (middle_flow(each, engine, duty) for each in (system, system.unfolded()))
    # the joint is marched to its middle and on, the streams' momentum balanced there
    for name in ("back_pressure", "total_pressure_loss", "power_cost"):
        assert getattr(one[1], name) == pytest.approx(getattr(two[1], name), rel=3e-5)
    whole = {place.name: place for place in two[2]}
    for place in one[2]:
        sides = [f"{side} {place.name}" for side in ("left", "right")]
        for name in [place.name] if place.name in whole else sides:
            other = whole[name]
            assert other.total_pressure_loss == pytest.approx(place.total_pressure_loss, rel=2e-4)
            assert other.end_temperature == pytest.approx(place.end_temperature, rel=1e-6)
            assert other.velocity == pytest.approx(place.velocity, rel=1e-5)
            assert other.growth == pytest.approx(place.growth, rel=1e-5)
            both = 2 if name == place.name else 1
            assert other.mass_flow == pytest.approx(both * place.mass_flow, rel=1e-7)


def test_what_each_joint_loses_in_heads(engine, duty):
    """Turns by hand, the friction of its own tube and its narrowing; handbook values for turns."""
    # 45 degrees in one mitre 0.30; a bend of 90 degrees less friction 0.19, of 45 about 0.13;
    # of 22.5 about 0.07
    turns = {"X": 0.19 + 2 * 0.13, "H": 0.0, "splayed X": 0.30, "half and half": 0.13 * 2 + 0.10}
    for name, turned in turns.items():
        joint = JOINTS[name]
        _, _, places = middle_flow(folded().with_(joint=joint), engine, duty)
        (place,) = (one for one in places if one.name == "J")
        rubbed = 0.0205 * joint.centreline_length / THREE.inside_diameter
        narrow = (1 / joint.narrowest_ratio - 1) ** 2 + (0.03 * 0.43 if name == "H" else 0.0)
        # a gas that cools gains a little: ln(T0 out/T0 in)
        gained = np.log(place.end_temperature / place.start_temperature)
        heads = turned + rubbed + narrow + gained
        assert place.total_pressure_loss == pytest.approx(heads * place.dynamic_head, rel=0.08)


def test_mirrored_banks_mirror(engine, duty):
    """The long tail on the other side: every number changes sides, and nothing else."""
    _, one, places = middle_flow(unequal("1 m", "1.5 m", H), engine, duty)
    _, two, others = middle_flow(unequal("1.5 m", "1 m", H), engine, duty)
    assert one.back_pressure == pytest.approx(two.back_pressure, rel=1e-9)
    other = {place.name: place for place in others}
    for place in places:
        side = {"left": "right", "right": "left"}.get(place.name.split()[0])
        name = place.name if side is None else f"{side} {place.name.split()[1]}"
        for number in ("mass_flow", "velocity", "total_pressure_loss", "end_temperature"):
            expected = getattr(place, number)
            assert getattr(other[name], number) == pytest.approx(expected, rel=1e-7), name
    assert places[-1].mass_flow < places[-2].mass_flow  # the long tail takes less


def test_a_small_balance_tube_exchanges_less(engine, duty):
    """Unequal tails pass unequal flows only by what the joint lets across."""
    uneven = []
    for od in ("0.75 in", "2 in"):
        joint = HPipe(THREE, balance_tube=Tube(od=od, wall="18 ga"), spacing="10 in")
        _, _, places = middle_flow(unequal("1 m", "3 m", joint), engine, duty)
        short, long = (place.mass_flow for place in places if place.name.endswith("tail"))
        uneven.append((short - long) / (short + long))
    assert 0 < uneven[0] < uneven[1] / 2 < 0.1
