"""A system laid out for the solver: links, shares, distances, cones, joints; and it settles."""

import math

import numpy as np
import pytest

from exhaust import (
    Bend,
    Cone,
    HPipe,
    Inlet,
    Merge,
    ParallelToSplayedX,
    ParallelX,
    Part,
    Run,
    SplayedX,
    System,
    Tube,
    YMerge,
)
from exhaust.engine.species import gas_table
from exhaust.errors import ExhaustError
from exhaust.flow.installed import in_order, inlet_shares, installed
from exhaust.flow.joint_pieces import middle_loss, turning_loss
from exhaust.flow.network import network_flow
from exhaust.flow.system_pieces import Service, part_loss
from exhaust.gas.properties import Mixture

GAS = Mixture({"N2": 0.73, "CO2": 0.13, "H2O": 0.13, "Ar": 0.01}, gas_table())
THREE, TWO_HALF, TWO = (Tube(od=od, wall="16 ga") for od in ("3 in", "2.5 in", "2 in"))
BEND = Bend(THREE, clr="4.5 in")
H = HPipe(THREE, balance_tube=TWO, spacing="10 in")


def run(name, from_=None, to=None, tube=THREE, length="1 m", **more):
    return Run(name=name, tube=tube, length=length, from_=from_, to=to, **more)


def laid(*systems, service=None):
    return installed(systems, GAS, service or Service())


def both_sides(joint):
    runs = [run(f"{side} {end}", *ends) for side in ("left", "right") for end, ends in ENDS[side]]
    inlets = [Inlet(name="left", distance="0.5 m"), Inlet(name="right", distance="0.9 m")]
    return System(runs=runs, inlets=inlets, joint=joint, joint_at="J")


ENDS = {side: (("ahead", (side, "J")), ("behind", ("J", None))) for side in ("left", "right")}


def test_runs_in_series_are_one_link_of_pieces():
    runs = [run("head", to="part"), run("middle", tube=TWO_HALF), run("tail", tube=TWO_HALF)]
    found = laid(System(runs=runs, places=[Part(name="part", loss=1.0)]))
    (link,) = found.network.links
    assert found.owners == {"head": (0, "part", "part", 1, 2)}  # the part and the step at it
    areas = [(float(piece.start[0]), float(piece.end[0])) for piece in link.pieces]
    wide, narrow = THREE.flow_area, TWO_HALF.flow_area
    assert areas == [(wide, wide), (wide, wide), (wide, narrow), (narrow, narrow), (narrow, narrow)]


def test_distance_from_the_ports_runs_on_and_takes_the_longest_way():
    """One way 0.6 + 1 m, the other 0.6 + 0.5 + 0.5 + 2 m: behind the merge 3.6 m."""
    runs = [
        run("short", "a", "Y"),
        run("tail", "Y"),
        run("first", "b", "pair", length="0.5 m"),
        run("second", "c", "pair", length="0.2 m"),
        run("down", "pair", "mid", length="0.5 m"),
        run("long", "mid", "Y", length="2 m"),
    ]
    inlets = [Inlet(name=name) for name in "abc"]
    system = System(runs=runs, inlets=inlets, places=[Merge(name="Y"), Merge(name="pair")])
    links = {link.name: link for link in laid(system).network.links}
    assert float(links["tail"].pieces[0].distance) == pytest.approx(3.6)
    assert float(links["down"].pieces[1].distance) == pytest.approx(1.6)
    order = [line.run for line in in_order(system.graph)]
    assert order.index(1) > order.index(5) > order.index(4) > order.index(3)


def test_shares_follow_cylinders():
    runs = [run("a", "one", "Y"), run("b", "two", "Y"), run("tail")]
    inlets = [Inlet(name="one", cylinders=[1]), Inlet(name="two", cylinders=[2, 3])]
    system = System(runs=runs, inlets=inlets, places=[Merge(name="Y")])
    assert inlet_shares(system) == pytest.approx({"one": 1 / 3, "two": 2 / 3})
    with pytest.raises(ExhaustError, match="inlet 'two' names no cylinders where other inlets do"):
        inlet_shares(system.with_(inlets=[inlets[0], Inlet(name="two")]))


def test_a_bench_rating_by_hand():
    """450 cfm at 28 in of water through 2.5 in tube: 2 p/(rho u^2) - 1."""
    part = Part(name="silencer", rated_flow="450 cfm")
    flow = 450 * 0.3048**3 / 60
    speed = flow / TWO_HALF.flow_area
    expected = 2 * 28 * 249.08891 / (1.2 * speed**2) - 1
    area = np.array([TWO_HALF.flow_area])
    assert part_loss(part, area) == pytest.approx([expected], rel=1e-9)
    # twice the flow through twice the area is the same speed
    double = Part(name="silencer", rated_flow="900 cfm")
    assert part_loss(double, 2 * area) == pytest.approx([expected], rel=1e-9)
    assert part_loss(Part(name="silencer", rated_flow="3000 cfm"), area) == [0.0]
    assert part_loss(Part(name="silencer", loss=1.8), area) == [1.8]


def cone_system(tail):
    runs = [run("head", tube=TWO_HALF, to="cone"), run("tail", tube=tail)]
    return System(runs=runs, places=[Cone(name="cone", length="4 in")])


def test_a_cone_keeps_its_loss_beside_a_system_that_has_none():
    wide = cone_system(THREE)
    level = wide.with_tube(TWO_HALF, instead_of=THREE)
    assert level.places == ()  # the cone is needless there
    for systems in ((wide, level), (level, wide)):
        pieces = laid(*systems).network.links[0].pieces
        cone = pieces[1]
        order = list(systems)
        loss, per_friction = (np.broadcast_to(v, (2,)) for v in (cone.loss, cone.loss_per_friction))
        assert loss[order.index(level)] == 0.0
        # even tube: f L/D
        rubbed = 0.1016 / TWO_HALF.inside_diameter
        assert per_friction[order.index(level)] == pytest.approx(rubbed, rel=1e-9)
        # 2.5 to 3 in over 4 in opens by 7.2 degrees: 8.3 tan(a/2)^1.75 (1 - r)^2 (rennels)
        half = math.atan(0.0127 / (2 * 0.1016))
        ratio = TWO_HALF.flow_area / THREE.flow_area
        assert loss[order.index(wide)] == pytest.approx(
            8.3 * math.tan(half) ** 1.75 * (1 - ratio) ** 2, rel=1e-6
        )
        friction = (1 - ratio**2) / (8 * math.sin(half))
        assert per_friction[order.index(wide)] == pytest.approx(friction, rel=1e-6)


def test_a_level_cone_is_the_limit_of_a_slight_one():
    slight = Tube(od="2.501 in", wall="16 ga")
    cone = laid(cone_system(slight)).network.links[0].pieces[1]
    rubbed = 0.1016 / TWO_HALF.inside_diameter
    assert float(cone.loss_per_friction[0]) == pytest.approx(rubbed, rel=2e-3)
    assert float(cone.loss[0]) == pytest.approx(0.0, abs=1e-8)


def test_an_h_pipe_is_two_tees_and_a_balance_tube():
    network = laid(both_sides(H)).network
    ends = {link.name: (link.start, link.end) for link in network.links}
    first, second = "J | side 1", "J | side 2"
    assert ends == {
        "left ahead": ("left", first),
        "right ahead": ("right", second),
        "J | balance tube": (first, second),
        "left behind": (first, "open air 1"),
        "right behind": (second, "open air 3"),
    }
    balance = next(link for link in network.links if "balance" in link.name)
    assert float(balance.pieces[0].start[0]) == TWO.flow_area
    # each side keeps its own distance from the ports
    reached = {link.name: float(np.ravel(link.pieces[0].distance)[0]) for link in network.links}
    half = H.centreline_length / 2
    assert reached["left behind"] == pytest.approx(0.5 + 1 + half)
    assert reached["right behind"] == pytest.approx(0.9 + 1 + half)
    angled = H.with_(angle="60 deg")
    balance = next(
        link for link in laid(both_sides(angled)).network.links if "balance" in link.name
    )
    assert balance.leaving[:2] == pytest.approx((0.5, math.sqrt(0.75)))


def test_nothing_crosses_between_alike_sides():
    system = both_sides(H).with_(inlets=[Inlet(name="left"), Inlet(name="right")])
    flow = network_flow(laid(system).network, GAS, 0.3, 900.0, 101325.0)
    assert abs(float(flow.mass_flow["J | balance tube"][0])) < 1e-7
    assert float(flow.mass_flow["left behind"][0]) == pytest.approx(0.15, rel=1e-6)


def test_sides_of_a_crossover_lie_along_each_other_and_legs_of_a_merge_at_its_angle():
    x = ParallelX(BEND, cutback=0.28)
    splayed = SplayedX(THREE, included_angle="45 deg", cutback=0.3, leg_length="9 in")
    for joint in (x, splayed):
        for link in laid(both_sides(joint)).network.links:
            assert link.leaving == pytest.approx((1, 0, 0))
            assert link.arriving == pytest.approx((-1, 0, 0))
    runs = [run("a", "left", "Y"), run("b", "right", "Y"), run("tail")]
    inlets = [Inlet(name="left"), Inlet(name="right")]
    merge = System(runs=runs, inlets=inlets, places=[Merge(name="Y", angle="30 deg")])
    a, b, tail = laid(merge).network.links
    assert a.arriving == pytest.approx((-math.sqrt(0.75), 0.5, 0), abs=1e-12)
    assert b.arriving == pytest.approx((-math.sqrt(0.75), -0.5, 0), abs=1e-12)
    assert tail.leaving == pytest.approx((1, 0, 0))


def test_a_merge_joint_has_its_legs_ahead_and_its_straight_outlet_behind():
    y = YMerge(
        Bend(TWO_HALF, clr="3.75 in"),
        outlet=THREE,
        cutback=0.345,
        spacing="10 in",
        outlet_straight="6 in",
    )
    runs = [
        run("a", "left", "Y", tube=TWO_HALF),
        run("b", "right", "Y", tube=TWO_HALF),
        run("tail"),
    ]
    inlets = [Inlet(name="left"), Inlet(name="right")]
    system = System(runs=runs, inlets=inlets, joint=y, joint_at="Y")
    links = laid(system).network.links
    leg, outlet = links[0].pieces[-1], links[2].pieces[0]
    assert float(leg.length[0]) == y.leg_length
    assert float(leg.end[0]) == TWO_HALF.flow_area
    assert float(outlet.length[0]) == pytest.approx(0.1524)
    assert float(outlet.start[0]) == THREE.flow_area
    assert np.all(np.asarray(outlet.loss) == 0)
    # without a straight the outlet starts with the run
    bare = system.with_(joint=y.with_(outlet_straight="0 in"))
    assert [len(link.pieces) for link in laid(bare).network.links] == [2, 2, 1]


def test_turns_by_handbook_middles():
    """Bends of 90, 45 and 22.5 degrees at 1.5 D less friction: 0.19, 0.13, 0.08; mitre of 45: 0.3.

    The middles of Miller, Crane and Ito (from memory), which differ by a quarter; Rennels's mitre.
    """
    x = ParallelX(BEND, cutback=0.28)
    splayed = SplayedX(THREE, included_angle="45 deg", cutback=0.3, leg_length="9 in")
    given = {"cutback": 0.3, "included_angle": "45 deg", "leg_length": "8 in"}
    mitred, butted = (ParallelToSplayedX(BEND, legs=legs, **given) for legs in ("mitred", "butted"))
    y = YMerge(BEND, spacing="10 in")
    losses = {
        x: 0.19 + 2 * 0.13,
        splayed: 0.304,
        mitred: 2 * 0.13 + 0.101,
        butted: 0.13 + 0.16,  # half a return, and 45 and 22.5 degrees in one bend
        H: 0.0,
    }
    for joint, expected in losses.items():
        assert turning_loss(joint, 0.018) == pytest.approx(expected, rel=0.25, abs=1e-12), joint
    half = turning_loss(y, 0.018) / 2  # two alike half bends
    trimmed = y.half_angle / math.radians(45)
    assert half == pytest.approx(0.13 * trimmed, rel=0.25)
    assert turning_loss(y.with_(legs="splayed", spacing=None), 0.018) == pytest.approx(
        0.13, rel=0.25
    )
    steep = SplayedX(THREE, included_angle="160 deg", cutback=0.3, leg_length="20 in")
    words = r"joint turns its streams by more than 150 degrees at a mitre \(got 160\)"
    with pytest.raises(ExhaustError, match=words):
        turning_loss(steep, 0.018)


def test_the_middle_narrows_or_opens():
    x = ParallelX(BEND, cutback=0.28)
    assert middle_loss(x) == pytest.approx((1 / x.narrowest_ratio - 1) ** 2, rel=1e-12)
    # a tee's straight leg with a dead branch of its own size: 0 to 0.06 (common practice)
    own = HPipe(THREE, spacing="10 in")
    assert 0 < middle_loss(H) < middle_loss(own) < 0.06
    assert middle_loss(YMerge(BEND, spacing="10 in")) == 0.0


@pytest.mark.parametrize("method", ["quick", "full"])
def test_a_merge_that_chokes_behind_settles(method):
    """Legs that would choke at the pressure outside do not at the one that the outlet asks for."""
    small = Tube(od="1.5 in", wall="16 ga")
    runs = [run("a", "left", "Y", small, "0.5 m"), run("b", "right", "Y", small, "0.5 m")]
    runs.append(run("tail", tube=small, length="0.5 m"))
    inlets = [Inlet(name="left"), Inlet(name="right")]
    system = System(runs=runs, inlets=inlets, places=[Merge(name="Y", angle="0 deg")])
    network = laid(system).network
    flow = network_flow(network, GAS, 0.28, 900.0, 101325.0, method)
    assert bool(flow.choked[0])
    end = flow.chains["tail"].end
    # at Mach 1 on the way out: m = p A gamma/a, a the speed of sound there
    gamma = float(end.heat_capacity[0]) / (float(end.heat_capacity[0]) - GAS.gas_constant)
    sound = math.sqrt(gamma * GAS.gas_constant * float(end.temperature[0]))
    assert float(end.velocity[0]) == pytest.approx(sound, rel=1e-6)
    assert float(end.pressure[0]) * small.flow_area * gamma / sound == pytest.approx(0.28, rel=1e-3)
    assert float(flow.mouths["Y"][0]) > float(end.pressure[0]) > 101325
