"""Networks with rings and ties: flow either way, symmetry, splitting, scales, refusals."""

import math

import numpy as np
import pytest
from scipy.optimize import root

from exhaust.engine.species import gas_table
from exhaust.errors import ExhaustError
from exhaust.flow.heat import Surroundings, TubeHeat
from exhaust.flow.junction import leg_pressures
from exhaust.flow.links import Link, Network
from exhaust.flow.network import network_flow
from exhaust.flow.passage import no_heat
from exhaust.flow.piece import Piece
from exhaust.gas.properties import Mixture
from exhaust.published.gases import Perfect

BURNT = Mixture({"N2": 0.73, "CO2": 0.13, "H2O": 0.13, "Ar": 0.01}, gas_table())
AIR = Mixture({"N2": 0.7808, "O2": 0.2095, "Ar": 0.0097}, gas_table())
AMBIENT, AREA = 101325.0, math.pi / 4 * 0.06**2
PERFECT = Perfect.of(1.33, 290.0)._replace(mu=4e-5, k=0.06)
WALL = TubeHeat(BURNT, 1.0, 0.0016, Surroundings(AIR, 300.0, speed=5.0))


def towards(degrees):
    angle = math.radians(degrees)
    return (math.cos(angle), math.sin(angle), 0.0)


def tube(name, length, share=1.0, loss=0.3, distance=0.6):
    area = share * AREA
    return Piece(name, area, area, length, 1e-5, loss, distance=distance, heat=WALL)


def link(name, start, end, *pieces, leaving=0.0, arriving=180.0):
    return Link(name, start, end, pieces, towards(leaving), towards(arriving))


def tied(first=1.0, second=1.0, share=0.4, length=0.3):
    """Two banks with tails of loss `first` and `second`, a tube between them: an H."""
    cross = tube("tie", length, share, 0.2, 1.6)
    return Network(
        (
            link("left", "a", "A", tube("left", 1.0)),
            link("right", "b", "B", tube("right", 1.0)),
            link("tie", "A", "B", cross, leaving=-90, arriving=90),
            link("left tail", "A", "tip A", tube("left tail", 2.0, 1.0, first, 1.6)),
            link("right tail", "B", "tip B", tube("right tail", 2.0, 1.0, second, 1.6)),
        ),
        {"a": 0.5, "b": 0.5},
    )


def bridged(losses=(0.5, 4.0, 4.0, 0.5), share=0.5):
    """A fork into two ways that meet again, tied half way: a Wheatstone bridge.

    `losses` are those of the upper way ahead of the tie and behind it, then of the lower way.
    """
    ways = [
        ("up", "fork", "A", 45, 225),
        ("up on", "A", "meet", -45, 135),
        ("down", "fork", "B", -45, 135),
        ("down on", "B", "meet", 45, 225),
    ]
    return Network(
        (
            link("head", "engine", "fork", tube("head", 1.0)),
            *(
                link(*names, tube(names[0], 1.0, 0.7, loss), leaving=out, arriving=back)
                for (*names, out, back), loss in zip(ways, losses, strict=True)
            ),
            link("tie", "A", "B", tube("tie", 0.4, share), leaving=-90, arriving=90),
            link("tail", "meet", "tip", tube("tail", 1.5)),
        ),
        {"engine": 1.0},
    )


def collected(angle=0.0, second=2.0):
    """Two fours into ones, a crossover at a point, two tails."""
    ports = [f"port {side}{n}" for side in "AB" for n in range(4)]
    first = [
        link(port, port, f"collector {port[5]}", tube(port, 0.7, 0.35), arriving=165 + 10 * (n % 4))
        for n, port in enumerate(ports)
    ]
    sides = {"A": angle, "B": -angle}
    onward = [
        link(f"on {side}", f"collector {side}", "X", tube(side, 0.5), arriving=180 + turn)
        for side, turn in sides.items()
    ]
    tails = [
        link(f"tail {side}", "X", f"tip {side}", tube(side, length), leaving=sides[side])
        for side, length in (("A", 2.0), ("B", second))
    ]
    return Network((*first, *onward, *tails), dict.fromkeys(ports, 1 / 8))


def balances(network, flow, m, T):
    """Mass left over at junctions and energy over all, as shares of what comes in."""
    mass = [
        sum(
            flow.mass_flow[one.name] * (int(one.end == place) - int(one.start == place))
            for one in network.links
        )
        / m
        for place in network.junctions
    ]
    energy = m * BURNT.enthalpy(T)
    for one in network.links:
        chain, way = flow.chains[one.name], flow.mass_flow[one.name]
        first, last = (BURNT.enthalpy(end.total_temperature) for end in (chain.start, chain.end))
        energy = energy - way * (first - last)  # what its wall takes
        if one.end not in network.junctions:
            energy = energy - way * last
    return np.max(np.abs(mass)), np.max(np.abs(energy / (m * BURNT.enthalpy(T))))


CASES = {
    "a tie that carries nothing": tied(),
    "a tie one way": tied(1.0, 4.0),
    "a tie the other way": tied(4.0, 1.0),
    "a bridge down": bridged(),
    "a bridge up": bridged((4.0, 0.5, 0.5, 4.0)),
    "a bridge that carries nothing": bridged((1.0, 1.0, 1.0, 1.0)),
    "collectors and a crossover": collected(20.0, 4.0),
}


@pytest.mark.parametrize("name", CASES)
def test_mass_and_energy_close_by_the_quick_march(name):
    """From an engine that hardly turns to a system that chokes; each sample alone is the same."""
    m, T = np.array([1e-4, 0.003, 0.05, 0.15, 0.3, 0.8]), np.full(6, 1000.0)
    flow = network_flow(CASES[name], BURNT, m, T, AMBIENT, "quick")
    mass, energy = balances(CASES[name], flow, m, T)
    assert mass <= 1e-10
    assert energy <= 1e-8
    assert flow.steps <= 25
    alone = network_flow(CASES[name], BURNT, m[3], T[3], AMBIENT, "quick")
    for one, way in alone.mass_flow.items():
        assert float(way) == pytest.approx(flow.mass_flow[one][3], abs=1e-8 * m[3])


@pytest.mark.parametrize("name", CASES)
def test_mass_and_energy_close_by_the_full_march(name):
    m, T = np.array([0.02, 0.15]), np.array([900.0, 1100.0])
    network = CASES[name]
    flow = network_flow(network, BURNT, m, T, AMBIENT)
    mass, energy = balances(network, flow, m, T)
    assert mass <= 1e-10
    assert energy <= 1e-8
    quick = network_flow(network, BURNT, m, T, AMBIENT, "quick")
    for one in network.links:
        # the quick march's own error, which both ways on share
        apart = np.abs(flow.mass_flow[one.name] - quick.mass_flow[one.name])
        assert np.max(apart / m) < 3e-3


def with_unlike_tie(losses, around):
    """The H, its tie a wide piece, a step and a narrow one; described one way or the other."""
    network = tied(*losses)
    wide, narrow = tube("wide", 0.4, 0.6, 0.2, 1.6), tube("narrow", 0.2, 0.4, 0.5, 2.0)
    step = Piece("step", 0.6 * AREA, 0.4 * AREA, loss=0.2, distance=2.0)
    old = network.links[2]
    new = old._replace(pieces=(wide, step, narrow))
    if around:
        turned = (narrow._replace(distance=1.6), step.turned(), wide._replace(distance=1.8))
        new = Link("tie", "B", "A", turned, old.arriving, old.leaving)
    return network._replace(links=(*network.links[:2], new, *network.links[3:]))


@pytest.mark.parametrize("method", ["quick", "full"])
def test_a_link_described_the_other_way_is_the_same(method):
    for losses in ((0.5, 4.0), (4.0, 0.5)):
        one, other = (
            network_flow(with_unlike_tie(losses, around), BURNT, 0.2, 1000.0, AMBIENT, method)
            for around in (False, True)
        )
        carried = float(one.mass_flow["tie"])
        assert carried == pytest.approx(-float(other.mass_flow["tie"]), rel=1e-9)
        assert abs(carried) > 0.005
        for name in ("A", "B"):
            assert float(one.mouths[name]) == pytest.approx(float(other.mouths[name]), rel=1e-12)
        start, end = one.chains["tie"].start, other.chains["tie"].end
        for mine, theirs in zip(start, end, strict=True):
            assert float(mine) == pytest.approx(float(theirs), rel=1e-9)
        warm, back = one.chains["tie"].pieces[0].warmth, other.chains["tie"].pieces[-1].warmth
        assert float(warm.start) == pytest.approx(float(back.end), rel=1e-9)


@pytest.mark.parametrize("method", ["quick", "full"])
def test_a_bridge_upside_down_is_itself_mirrored(method):
    losses = (0.5, 4.0, 3.0, 1.0)
    down = network_flow(bridged(losses), BURNT, 0.2, 1000.0, AMBIENT, method)
    up = network_flow(bridged(losses[2:] + losses[:2]), BURNT, 0.2, 1000.0, AMBIENT, method)
    assert float(down.mass_flow["tie"]) > 0.005
    swapped = {"up": "down", "down": "up", "up on": "down on", "head": "head"}
    for mine, theirs in swapped.items():
        assert float(down.mass_flow[mine]) == pytest.approx(float(up.mass_flow[theirs]), rel=1e-9)
    assert float(down.mass_flow["tie"]) == pytest.approx(-float(up.mass_flow["tie"]), rel=1e-8)


ONE_BANK = {
    "left": (
        tied(),
        Network(
            (
                link("left", "a", "A", tube("left", 1.0)),
                link("tail", "A", "tip", tube("tail", 2.0, 1.0, 1.0, 1.6)),
            ),
            {"a": 1.0},
        ),
    ),
    "port A0": (
        collected(),
        Network(
            (
                *collected().links[:4],
                link("on", "collector A", "X", tube("on", 0.5)),
                link("tail", "X", "tip", tube("tail", 2.0)),
            ),
            {f"port A{n}": 0.25 for n in range(4)},
        ),
    ),
}


@pytest.mark.parametrize("name", ONE_BANK)
@pytest.mark.parametrize("method", ["quick", "full"])
def test_two_like_banks_are_twice_one(method, name):
    """By symmetry nothing crosses: a bank alone, straight on, has the same pressures."""
    m, (both, half) = np.array([0.03, 0.2]), ONE_BANK[name]
    whole = network_flow(both, BURNT, m, 1000.0, AMBIENT, method)
    one = network_flow(half, BURNT, m / 2, 1000.0, AMBIENT, method)
    for mine, theirs in zip(whole.chains[name].start, one.chains[name].start, strict=True):
        assert mine == pytest.approx(theirs, rel=1e-8)


def test_splitting_a_link_by_a_straight_joint_changes_little():
    """Nothing but where friction takes its temperature: the mean of each part, not of the whole."""
    whole = Network(
        (
            link("down", "engine", "fork", tube("down", 1.0)),
            link("long", "fork", "a", tube("long", 3.0, 1.0, 0.0, 1.6), leaving=20),
            link("short", "fork", "b", tube("short", 1.0, 1.0, 0.0, 1.6), leaving=-20),
        ),
        {"engine": 1.0},
    )
    ahead = link("long", "fork", "joint", tube("long", 1.2, 1.0, 0.0, 1.6), leaving=20)
    behind = link("rest", "joint", "a", tube("rest", 1.8, 1.0, 0.0, 2.8))
    split = whole._replace(links=(whole.links[0], ahead, behind, whole.links[2]))
    one, two = (network_flow(each, BURNT, 0.2, 1000.0, AMBIENT) for each in (whole, split))
    assert float(two.mass_flow["long"]) == pytest.approx(float(one.mass_flow["long"]), rel=3e-4)
    pressure, other = (float(each.chains["down"].start.pressure) for each in (one, two))
    assert other - AMBIENT == pytest.approx(pressure - AMBIENT, rel=3e-4)
    warm, same = (
        float(each.chains[name].end.total_temperature)
        for each, name in ((one, "long"), (two, "rest"))
    )
    assert same == pytest.approx(warm, rel=1e-4)  # a little flow has gone elsewhere


def test_a_slow_bridge_against_a_second_way():
    """Hand solution of an incompressible bridge at Mach 0.01, losses K only: flows round both rings
    and pressures in four mouths by a general root finder, junctions by `leg_pressures`."""
    m, T0 = 0.006, 900.0
    network = bridged((0.5, 4.0, 3.0, 1.0))
    plain = [
        one._replace(pieces=tuple(p._replace(length=0.0, heat=no_heat) for p in one.pieces))
        for one in network.links
    ]
    flow = network_flow(network._replace(links=tuple(plain)), PERFECT, m, T0, AMBIENT)
    density = AMBIENT / (PERFECT.gas_constant * T0)
    areas = np.array([float(one.pieces[0].start) for one in plain])
    losses = np.array([float(one.pieces[0].loss) for one in plain])
    scale = density / 2 * (m / density / AREA) ** 2

    def left_over(unknown):
        part, tie, across = unknown[0], unknown[1], scale * unknown[2:]
        Q = np.array([1, part, part - tie, 1 - part, 1 - part + tie, tie, 1]) * m / density
        heads = density / 2 * (Q / areas) ** 2
        starts, ends = np.zeros(len(plain)), np.full(len(plain), np.nan)
        for place, mouth in zip(network.junctions, across, strict=True):
            legs = [(i, one.start == place) for i, one in enumerate(plain) if place in one[1:3]]
            into = [-Q[i] if leaves else Q[i] for i, leaves in legs]
            axes = [plain[i].leaving if leaves else plain[i].arriving for i, leaves in legs]
            total = mouth + leg_pressures(into, areas[[i for i, _ in legs]], axes, density)
            for (i, leaves), p0 in zip(legs, total, strict=True):
                (starts if leaves else ends)[i] = p0
        ends[-1] = heads[-1]  # out into still air at nought
        over = starts - ends - losses * np.sign(Q) * heads
        return over[1:] / scale

    assert [one.name for one in plain] == ["head", "up", "up on", "down", "down on", "tie", "tail"]
    found = root(left_over, np.array([0.5, 0.01, 5.0, 4.0, 4.0, 3.0]), tol=1e-12)
    assert found.success
    assert float(flow.mass_flow["up"]) / m == pytest.approx(found.x[0], abs=3e-4)
    assert float(flow.mass_flow["tie"]) / m == pytest.approx(found.x[1], abs=3e-4)
    assert found.x[1] > 0.02
    over = [float(flow.mouths[name]) - AMBIENT for name in network.junctions]
    assert over == pytest.approx(scale * found.x[2:], rel=3e-3)  # of order M^2, and of their sum


def test_choking_is_flagged_where_it_is_and_holds_what_lies_ahead():
    """A narrow pipe into a wide one chokes long before that does, in one sample of two."""
    links = (
        link("narrow", "engine", "joint", tube("narrow", 0.5, 0.15)),
        link("wide", "joint", "tip", tube("wide", 2.0)),
    )
    for method in ("quick", "full"):
        m = np.array([0.02, 0.15])
        flow = network_flow(Network(links, {"engine": 1.0}), BURNT, m, 1000.0, AMBIENT, method)
        assert flow.choked.tolist() == [False, True]
        assert flow.chains["narrow"].choked.tolist() == [False, True]
        assert not np.any(flow.chains["wide"].choked)
        end = flow.chains["narrow"].end
        assert end.pressure[0] == pytest.approx(flow.mouths["joint"][0], rel=1e-9)
        assert end.pressure[1] > 1.5 * flow.mouths["joint"][1]
        sound = np.sqrt(BURNT.gamma(end.temperature) * BURNT.gas_constant * end.temperature)
        assert float(end.velocity[1] / sound[1]) == pytest.approx(1.0, abs=0.01)


def test_flow_close_to_choking_settles():
    m = np.linspace(0.4, 1.2, 33)
    flow = network_flow(tied(1.0, 4.0), BURNT, m, 1000.0, AMBIENT, "quick")
    choked = flow.choked
    assert not choked[0]
    assert choked[-1]
    assert np.all(np.diff(choked.astype(int)) >= 0)
    start = flow.chains["left"].start.pressure
    assert np.all(np.diff(start) > 0)


def test_a_wide_short_tail_that_sucks_is_refused_in_words():
    """It slows the gas like a diffuser, to less than ambient at the fork: a small long tail beside
    it has no flow outward that balances, and draws air."""
    small, wide = tube("long", 4.0, 0.4, 2.0), tube("short", 0.6, 1.6)
    network = Network(
        (
            link("down", "engine", "fork", tube("down", 1.0)),
            link("long", "fork", "a", small, leaving=32),
            link("short", "fork", "b", wide, leaving=-32),
        ),
        {"engine": 1.0},
    )
    for m in (0.002, 0.1, 0.6):
        with pytest.raises(ExhaustError, match="run 'long' would draw air in from outside"):
            network_flow(network, BURNT, m, 1000.0, AMBIENT, "quick")


def test_only_the_wall_may_vary_from_sample_to_sample():
    around = Surroundings(AIR, 300.0, emissivity=np.array([0.2, 0.5, 0.9]))
    piece = tube("pipe", 2.0)._replace(heat=TubeHeat(BURNT, 1.0, 0.0016, around))
    links = (
        link("down", "engine", "fork", piece),
        link("one", "fork", "a", piece, leaving=10),
        link("two", "fork", "b", piece, leaving=-10),
    )
    for method in ("quick", "full"):
        flow = network_flow(Network(links, {"engine": 1.0}), BURNT, 0.1, 1000.0, AMBIENT, method)
        ends = flow.chains["one"].end.total_temperature
        assert ends.shape == (3,)
        assert np.all(np.diff(ends) < 0)


TAIL = link("tail", "engine", "tip", tube("tail", 1.0))
FORK = link("down", "engine", "fork", tube("down", 1.0))


@pytest.mark.parametrize(
    ("links", "sources", "words"),
    [
        ((), {"engine": 1.0}, "links is empty"),
        ((TAIL, TAIL._replace(end="other")), {"engine": 1.0}, "'tail' is the name of several runs"),
        ((TAIL,), {"motor": 1.0}, "run 'tail' starts at 'engine', where nothing comes in; name"),
        ((TAIL,), {"engine": 0.5}, r"shares of the sources must add up to one \(got 0.5\)"),
        ((TAIL,), {"engine": -1.0}, "share of 'engine' must be more than zero"),
        ((TAIL._replace(end="engine"),), {"engine": 1.0}, "ends at 'engine', where it starts"),
        (
            (TAIL, TAIL._replace(name="other", end="tip 2")),
            {"engine": 1.0},
            r"source 'engine' must be where one run starts and none ends \(got 2 start\)",
        ),
        (
            (FORK, TAIL._replace(start="fork"), TAIL._replace(name="b", start="fork", pieces=())),
            {"engine": 1.0},
            "pieces is empty; give at least one piece",
        ),
    ],
)
def test_a_network_that_cannot_be_is_refused_in_words(links, sources, words):
    with pytest.raises(ExhaustError, match=words):
        network_flow(Network(links, sources), BURNT, 0.1, 900.0, AMBIENT)
