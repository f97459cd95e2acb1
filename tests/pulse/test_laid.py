"""A system laid out as pipes in cells: what they hold, and steady flow through them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from exhaust import (
    Ambient,
    Bend,
    Cone,
    Engine,
    HPipe,
    Inlet,
    Merge,
    OperatingPoint,
    ParallelX,
    Part,
    Run,
    SplayedX,
    System,
    Tube,
    exhaust_flow,
)
from exhaust.choices.doubts import doubts, service
from exhaust.choices.headers import with_headers
from exhaust.flow.installed import installed
from exhaust.flow.moving import total_pressure
from exhaust.flow.network import network_flow
from exhaust.pulse.arrays import Run as March
from exhaust.pulse.crossing import narrowed, side_name, sides_of
from exhaust.pulse.laid import Found, Grid, Outside, at_rest, laid
from exhaust.pulse.network import Reservoir, no_windows
from exhaust.pulse.pipes import END_CORRECTION, Pipe
from exhaust.pulse.segments import PART_LENGTHS
from exhaust.pulse.solver import COURANT, advance

TUBE, WIDE = Tube(od="3 in", wall="16 ga"), Tube(od="3.5 in", wall="16 ga")
ENGINE = Engine(
    displacement="5 L",
    cylinders=8,
    firing_order=(1, 8, 4, 3, 6, 5, 7, 2),
    left_bank=(1, 3, 5, 7),
)
DUTY = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, lambda_=0.88)
FLOW = exhaust_flow(ENGINE, DUTY, Ambient())
BEND, SIXTY = (Bend(TUBE, clr="4.5 in", angle=angle) for angle in ("90 deg", "60 deg"))


def _system(joint=None) -> System:
    """Return duals with a joint, a cone, a silencer, bends and a tip."""
    runs = [
        Run(
            name="head", tube=TUBE, length="1.1 m", bends=[Bend(TUBE, clr="4.5 in", angle="60 deg")]
        ),
        Run(name="middle", tube=TUBE, length="0.8 m", to="step"),
        Run(name="over", tube=WIDE, length="1.0 m", to="box"),
        Run(name="tail", tube=WIDE, length="0.7 m", loss=0.3),
    ]
    places = [Cone(name="step", length="5 in"), Part(name="box", loss=1.2)]
    return System(runs=runs, places=places, pipes=2, joint=joint)


def _found(headed):
    middle = doubts(FLOW)[0]
    steady = installed([headed.system], FLOW.gas, service(FLOW, middle), 1)
    flow = network_flow(
        steady.network, FLOW.gas, FLOW.mass_flow, 950.0, FLOW.ambient_pressure, "quick"
    )
    return Found(steady, flow, FLOW.gas, 900.0)


def _laid(system, cell=0.02, momentum=True):
    headed = with_headers(system, ENGINE)
    found = _found(headed)
    air = Outside(FLOW.ambient_pressure, 288.15)
    net = laid(headed.system, found, headed.collectors, Grid(cell, momentum, 1.7), air)
    return headed.system, found, net


def _volume(net) -> float:
    per = net.network.mesh.per_volume
    return float(np.sum(1 / per[per > 0]))


JOINTS = [
    None,
    ParallelX(BEND, cutback=0.28),
    SplayedX(TUBE, included_angle="45 deg", cutback=0.3, leg_length="9 in"),
    HPipe(TUBE, balance_tube=Tube(od="2 in", wall="16 ga"), spacing="10 in"),
]


@pytest.mark.parametrize("joint", JOINTS, ids=lambda joint: type(joint).__name__)
def test_the_pipes_hold_as_much_gas_as_the_exhaust(joint):
    """Tube by its area, the joint by its own exact volume, silencers, cones, end corrections."""
    system, _, net = _laid(_system(joint), 0.005)
    runs = sum(run.length * run.tube.flow_area for run in system.runs)
    cone = (
        math.pi
        / 12
        * 0.127
        * sum(
            a * b
            for a, b in (
                (TUBE.inside_diameter, TUBE.inside_diameter),
                (TUBE.inside_diameter, WIDE.inside_diameter),
                (WIDE.inside_diameter, WIDE.inside_diameter),
            )
        )
    )
    box = PART_LENGTHS["silencer"] * WIDE.flow_area
    air = END_CORRECTION * WIDE.inside_diameter / 2 * WIDE.flow_area
    held = runs + 2 * (cone + box + air) + (0.0 if joint is None else joint.inside_volume)
    # the joint's own volume is exact, a sum of slices across a bent path is not quite
    assert _volume(net) == pytest.approx(held, rel=2e-3 if joint else 1e-5)


@pytest.mark.parametrize("joint", JOINTS[1:3], ids=lambda joint: type(joint).__name__)
def test_the_window_has_the_joints_own_area_and_the_legs_narrow_as_cut(joint):
    _, _, net = _laid(_system(joint), 0.005)
    assert net.network.windows.area.sum() == pytest.approx(joint.window_area, rel=1e-12)
    names = [segment.name for segment in net.segments]
    pipe = net.pipes[names.index(side_name("joint", 0))].pipe
    least = joint.flow_normal_area / 2
    assert pipe.face_area.min() == pytest.approx(least, rel=0.02)
    # gas swings from the middle of one leg to that of the other: half a leg's mean depth each way
    depth = pipe.area / TUBE.inside_diameter
    opened = (
        net.network.windows.first - net.network.ends.cell[2 * names.index(side_name("joint", 0))]
    )
    assert net.network.windows.path == pytest.approx(depth[opened], rel=1e-3)
    assert pipe.face_area[[0, -1]] == pytest.approx(TUBE.flow_area, rel=1e-12)
    assert pipe.cells * pipe.width == pytest.approx(joint.centreline_length, rel=1e-12)


def test_a_balance_tube_is_as_long_as_the_gas_in_it():
    h = JOINTS[3]
    _, _, net = _laid(_system(h), 0.005)
    (tie,) = (one for one in net.segments if one.name.endswith("balance tube"))
    assert tie.length * h.balance_tube.flow_area == pytest.approx(h.balance_volume, rel=1e-12)
    assert tie.length < h.balance_length


def test_walls_take_the_heat_that_the_steady_flow_loses():
    """Of each link of the steady network: h pi D L (T - Twall) of its pipes is m times its cooling.

    By enthalpy, not by a heat capacity; gas and wall are the steady ones.
    """
    _, found, net = _laid(_system())
    for link in found.laid.network.links:
        bits = [bit for one in net.segments if one.link == link.name for bit in one.bits]
        taken = sum(
            bit.heat_coefficient * math.pi * bit.start * bit.length * (bit.temperature - bit.wall)
            for bit in bits
        )
        at = found.flow.chains[link.name]
        hot, cold = (
            float(np.ravel(T)[0]) for T in (at.pieces[0].warmth.start, at.pieces[-1].warmth.end)
        )
        given = FLOW.gas.enthalpy(np.array(hot)) - FLOW.gas.enthalpy(np.array(cold))
        mass = float(np.ravel(found.flow.mass_flow[link.name])[0])
        assert taken == pytest.approx(mass * float(given), rel=5e-3)
        assert taken > 0


def test_losses_of_a_side_stay_on_the_tubes_own_head():
    """What a narrowed side loses in all, each cell on its own head, is its coefficient again."""
    x = JOINTS[1]
    _, _, net = _laid(_system(x), 0.005)
    names = [segment.name for segment in net.segments]
    k = names.index(side_name("joint", 0))
    lost = sum(bit.loss_rate * bit.length for bit in net.segments[k].bits)
    pipe = net.pipes[k].pipe
    across = np.sqrt(4 / np.pi * pipe.area)
    heads = (TUBE.flow_area / pipe.area) ** 2
    assert np.sum(pipe.friction / across * pipe.width * heads) == pytest.approx(lost, rel=1e-3)


def _steady_march(net, found, windows=True):
    """Return the mass flow [kg/s] through ports that open to the steady answer's own totals."""
    starts = {link.start: found.flow.chains[link.name].start for link in found.laid.network.links}
    ports = [
        Reservoir(
            2 * pipe,
            float(np.ravel(total_pressure(starts[net.segments[pipe].start], FLOW.gas))[0]),
            float(np.ravel(starts[net.segments[pipe].start].total_temperature)[0]),
        )
        for pipe in net.ports.values()
    ]
    still = net.network.reservoirs
    opened = still._replace(
        end=np.concatenate([still.end, [port.end for port in ports]]),
        area=np.concatenate([still.area, [net.network.ends.area[port.end] for port in ports]]),
        pressure=np.concatenate([still.pressure, [port.pressure for port in ports]]),
        temperature=np.concatenate([still.temperature, [port.temperature for port in ports]]),
    )
    network = net.network._replace(closed=np.empty(0, np.int64), reservoirs=opened)
    if not windows:
        network = network._replace(windows=no_windows())
    state = at_rest(net._replace(network=network))
    advance(network, state, March(0.35, COURANT, 0.0))
    before = state.passed.copy()
    advance(network, state, March(0.05, COURANT, 0.0))
    passed = (state.passed - before)[:, 0] / 0.05
    return -sum(passed[port.end] for port in ports), passed


@pytest.mark.parametrize("joint", JOINTS, ids=lambda joint: type(joint).__name__)
def test_a_steady_inflow_gives_the_steady_networks_answer(joint):
    """Two solvers of one system: pressures at the ports from the one, the flow from the other.

    They share friction, losses and walls. The gas of the one has a heat capacity that follows its
    temperature, that of the other one value: 0.1 % of the flow. Where the legs of an X narrow
    cells of 20, 10 and 5 mm lose 1.9, 0.5 and 0.2 % of it; of a splayed X, whose legs narrow to an
    edge, 1.8, 1.4 and 0.3 %.
    """
    _, found, net = _laid(_system(joint), 0.005)
    flow, passed = _steady_march(net, found)
    assert flow == pytest.approx(FLOW.mass_flow, rel=0.005)
    out = [passed[2 * pipe + 1] for pipe in net.outlets]
    assert sum(out) == pytest.approx(flow, rel=2e-3)
    assert out[0] == pytest.approx(out[1], rel=1e-3)


def test_a_merge_in_steady_flow_gives_the_steady_networks_answer():
    left, right = (
        Run(name=name, tube=TUBE, length="1.2 m", from_=f"{name} bank", to="Y")
        for name in ("left", "right")
    )
    tail = Run(name="tail", tube=WIDE, length="2 m", from_="Y")
    inlets = [
        Inlet(name="left bank", cylinders=(1, 3, 5, 7)),
        Inlet(name="right bank", cylinders=(2, 4, 6, 8)),
    ]
    system = System(runs=[left, right, tail], inlets=inlets, places=[Merge(name="Y")])
    _, found, net = _laid(system)
    assert _steady_march(net, found)[0] == pytest.approx(FLOW.mass_flow, rel=0.01)


def test_without_its_window_a_crossover_is_two_pipes_apart():
    """What one bank's pressure does to the other: nothing without the window, much with it."""
    x = JOINTS[1]
    _, found, net = _laid(_system(x))
    left = [2 * net.ports[n] for n in (1, 3, 5, 7)]
    out = {}
    for open_ in (True, False):
        flows = []
        for factor in (1.0, 1.1):
            chains = dict(found.flow.chains)
            for link in found.laid.network.links:
                if any(net.segments[e // 2].start == link.start for e in left):
                    at = chains[link.name].pieces[0]
                    raised = at._replace(
                        start=at.start._replace(pressure=at.start.pressure * factor)
                    )
                    pieces = (raised, *chains[link.name].pieces[1:])
                    chains[link.name] = chains[link.name]._replace(pieces=pieces)
            other = found._replace(flow=found.flow._replace(chains=chains))
            _, passed = _steady_march(net, other, open_)
            flows.append(passed[2 * net.outlets[1] + 1])
        out[open_] = flows[1] / flows[0] - 1
    assert abs(out[False]) < 1e-4
    assert out[True] > 0.02


def test_sides_of_a_crossover_are_paired_as_listed():
    """The first run in and the first run out are on one side, whatever the order of the others."""
    left, right = (
        [
            Run(name=f"{side} head", tube=TUBE, length=long, from_=f"{side} bank", to="X"),
            Run(name=f"{side} tail", tube=TUBE, length="2 m", from_="X"),
        ]
        for side, long in (("left", "1.0 m"), ("right", "1.3 m"))
    )
    inlets = [
        Inlet(name="left bank", cylinders=(1, 3, 5, 7)),
        Inlet(name="right bank", cylinders=(2, 4, 6, 8)),
    ]
    runs = [left[0], right[0], left[1], right[1]]
    system = System(runs=runs, inlets=inlets, joint=JOINTS[1], joint_at="X")
    whole, _, net = _laid(system)
    names = [segment.name for segment in net.segments]
    for side, run in ((0, "left"), (1, "right")):
        segment = net.segments[names.index(side_name("X", side))]
        (before,) = (one for one in net.segments if one.end == segment.start)
        (after,) = (one for one in net.segments if one.start == segment.end)
        assert whole.runs[before.owners[0]].name == f"{run} head"
        assert whole.runs[after.owners[0]].name == f"{run} tail"


def test_a_side_in_coarse_cells_is_cut_as_its_own_profile():
    x = JOINTS[1]
    for n in (8, 40, 200):
        pipe = Pipe(x.centreline_length / n, np.full(n + 1, TUBE.flow_area), 0.02)
        cut = narrowed(pipe, sides_of(x, pipe))
        assert cut.face_area.max() == pytest.approx(TUBE.flow_area)
        assert cut.area.sum() * cut.width == pytest.approx(x.inside_volume / 2, rel=0.02)
