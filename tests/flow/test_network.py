"""Networks of pieces: balances, a second way of solving them, the second law, refusals."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from exhaust.engine.species import gas_table
from exhaust.errors import ExhaustError
from exhaust.flow.balance import Balance, Link, Network
from exhaust.flow.heat import Surroundings, TubeHeat
from exhaust.flow.junction import drive, leg_pressures
from exhaust.flow.network import network_flow
from exhaust.flow.piece import Piece
from exhaust.gas.properties import Mixture
from exhaust.published.gases import Perfect

BURNT = Mixture({"N2": 0.73, "CO2": 0.13, "H2O": 0.13, "Ar": 0.01}, gas_table())
AIR = Mixture({"N2": 0.7808, "O2": 0.2095, "Ar": 0.0097}, gas_table())
AMBIENT = 101325.0
AREA = math.pi / 4 * 0.06**2
GAMMA = 1.33
PERFECT = Perfect.of(GAMMA, 290.0)._replace(mu=4e-5, k=0.06)  # so that closed relations hold
LEFT, RIGHT, UP, DOWN = (-1.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0)


def pipe(name, length=2.0, area=AREA, loss=0.0, heat=True):
    wall = TubeHeat(BURNT, 1.0, 0.0016, Surroundings(AIR, 300.0))
    more = {"heat": wall} if heat else {}
    return Piece(name, area, area, length, 1e-5, loss=loss, distance=0.6, **more)


def link(start, end, leaving=RIGHT, arriving=LEFT, **more):
    name = f"{start} to {end}"
    return Link(name, start, end, (pipe(name, **more),), leaving, arriving)


def tails():
    """One pipe into two tails of unlike length."""
    return Network(
        (
            link("engine", "fork"),
            link("fork", "long tip", leaving=(0.8, 0.6, 0.0), length=4.0, loss=1.0),
            link("fork", "short tip", leaving=(0.8, -0.6, 0.0)),
        ),
        {"engine": 1.0},
    )


def merged():
    return Network(
        (link("left", "Y"), link("right", "Y", length=3.0), link("Y", "tip", area=1.5 * AREA)),
        {"left": 0.4, "right": 0.6},
    )


def crossed():
    """Two fours into ones, a point crossover, unequal tails."""
    primaries = [
        link(f"port {side}{n}", f"collector {side}", length=0.7, area=AREA / 3)
        for side in "AB"
        for n in range(4)
    ]
    onward = [link(f"collector {side}", "X", length=0.5) for side in "AB"]
    out = [link("X", "tip A", length=2.0), link("X", "tip B", length=4.0, loss=2.0)]
    return Network(
        (*primaries, *onward, *out), {f"port {s}{n}": 1 / 8 for s in "AB" for n in range(4)}
    )


def bridge(first=1.0, second=1.0):
    """Two ways in parallel, tied by a tube from the middle of one to that of the other."""
    return Network(
        (
            link("left", "tee A", length=first),
            link("right", "tee B", length=second),
            link("tee A", "tee B", leaving=DOWN, arriving=UP, length=0.3, heat=False),
            link("tee A", "tip A", length=1.0),
            link("tee B", "tip B", length=1.0, loss=3.0),
        ),
        {"left": 0.5, "right": 0.5},
    )


def parallel():
    """Three ways side by side between a fork and a merge."""
    ways = [link("fork", f"meet{n}", length=n + 1.0, area=AREA / 2) for n in range(3)]
    ways = [one._replace(end="meet") for one in ways]
    return Network((link("engine", "fork"), *ways, link("meet", "tip")), {"engine": 1.0})


NETWORKS = [tails, merged, crossed, bridge, parallel]


@pytest.mark.parametrize("make", NETWORKS, ids=lambda one: one.__name__)
@pytest.mark.parametrize("method", ["quick", "full"])
def test_mass_and_energy_close(make, method):
    """Mass to 1e-10 of the flow; enthalpy that comes in, less what walls take, goes out to 1e-8."""
    network, m, T = make(), np.array([0.05, 0.15]), np.array([1000.0, 850.0])
    flow = network_flow(network, BURNT, m, T, AMBIENT, method)
    for place in network.junctions:
        into = sum(flow.mass_flow[one.name] for one in network.links if one.end == place)
        out = sum(flow.mass_flow[one.name] for one in network.links if one.start == place)
        assert np.all(np.abs(into - out) <= 1e-10 * m)
    carried = m * BURNT.enthalpy(T)
    total = np.zeros(2)
    for one in network.links:
        chain, way = flow.chains[one.name], flow.mass_flow[one.name]
        first, last = (BURNT.enthalpy(end.total_temperature) for end in (chain.start, chain.end))
        total = total + way * (first - last)  # what its wall takes
        if one.end not in network.junctions:
            total = total + way * last
    assert np.all(np.abs(total / carried - 1) <= 1e-8)
    assert flow.pressure_residual <= 1e-9
    assert flow.mass_residual <= 1e-10


def fanno(M, g):
    return (1 - M**2) / (g * M**2) + (g + 1) / (2 * g) * math.log(
        (g + 1) * M**2 / (2 + (g - 1) * M**2)
    )


def start_of(m, N, p_end, T0=900.0, area=AREA):
    """Return Mach number, pressure and velocity where a pipe of loss number N starts, bracketed."""
    g, R = GAMMA, PERFECT.gas_constant

    def pressure(M):
        T = T0 / (1 + (g - 1) / 2 * M**2)
        return m * R * T / (area * M * math.sqrt(g * R * T))

    end = brentq(lambda M: pressure(M) - p_end, 1e-5, 1.0, xtol=1e-15)
    M = brentq(lambda M: fanno(M, g) - fanno(end, g) - N, 1e-5, end, xtol=1e-15)
    T = T0 / (1 + (g - 1) / 2 * M**2)
    return M, pressure(M), M * math.sqrt(g * R * T)


def test_unequal_tails_against_a_second_way():
    """Closed Fanno relations and brackets, written here; friction by Swamee and Jain is not used:
    the tails are without friction and have loss coefficients of 1 and 3."""
    g, R, m, T0 = GAMMA, PERFECT.gas_constant, 0.12, 900.0
    down = Link("down", "engine", "fork", (Piece("down", AREA, AREA, loss=0.5),))
    one = Link("one", "fork", "a", (Piece("one", AREA, AREA, loss=1.0),))
    two = Link("two", "fork", "b", (Piece("two", AREA, AREA, loss=3.0),))
    flow = network_flow(Network((down, one, two), {"engine": 1.0}), PERFECT, m, T0, AMBIENT)

    def coming(p):
        """Velocity at which all of the gas comes into a mouth at pressure p."""
        b = m / AREA * R * T0 / p
        return 2 * b / (1 + math.sqrt(1 + 2 * b * b / (PERFECT.heat_capacity * T0)))

    def mouth(part, N):
        """Pressure in the mouth that a straight way on asks for, by its momentum."""
        _, p, u = start_of(part, N, AMBIENT, T0)
        return brentq(lambda q: p + part / AREA * (u - coming(q)) - q, 0.5 * p, 2 * p, xtol=1e-9)

    share = brentq(lambda s: mouth(s * m, 1.0) - mouth((1 - s) * m, 3.0), 0.3, 0.9, xtol=1e-13)
    assert float(flow.mass_flow["one"]) == pytest.approx(share * m, rel=1e-8)
    assert float(flow.mouths["fork"]) == pytest.approx(mouth(share * m, 1.0), rel=1e-9)
    assert g > 1


def test_slow_flow_divides_as_an_incompressible_one():
    """At Mach 0.01: the junction's law with `leg_pressures`, the pipes with K rho u^2/2."""
    m, T0 = 0.005, 900.0
    angle = math.radians(40)
    axes = [LEFT, RIGHT, (math.cos(angle), math.sin(angle), 0.0)]
    links = (
        Link("down", "engine", "fork", (Piece("down", AREA, AREA),)),
        Link("run", "fork", "a", (Piece("run", AREA, AREA, loss=2.0),), leaving=axes[1]),
        Link("side", "fork", "b", (Piece("side", AREA, AREA, loss=0.5),), leaving=axes[2]),
    )
    flow = network_flow(Network(links, {"engine": 1.0}), PERFECT, m, T0, AMBIENT)
    density = AMBIENT / (PERFECT.gas_constant * T0)
    Q = m / density

    def uneven(share):
        legs = np.array([Q, -share * Q, (share - 1) * Q])
        total = leg_pressures(legs, AREA, axes, density)
        heads = density / 2 * (legs / AREA) ** 2
        # total pressure into the leg, less its loss, leaves as one head at the same outside
        ends = total[1:] - heads[1:] * (1 + np.array([2.0, 0.5]))
        return ends[0] - ends[1]

    share = brentq(uneven, 0.01, 0.99, xtol=1e-12)
    assert float(flow.mass_flow["run"]) / m == pytest.approx(share, abs=3e-4)


angles = st.floats(0.0, math.pi)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.floats(0.02, 1.0), min_size=3, max_size=5),
    st.lists(st.floats(0.4, 2.5), min_size=5, max_size=5),
    st.lists(angles, min_size=5, max_size=5),
    st.lists(st.floats(500.0, 1200.0), min_size=5, max_size=5),
    st.integers(1, 4),
    st.floats(0.02, 0.6),
)
def test_no_junction_lowers_entropy_or_raises_total_pressure(
    parts, areas, turns, hot, inlets, mach
):
    """The law of the network for any legs, areas, splits and temperatures; fastest leg at Mach 0.6.

    What comes in is mixed; entropy by cp ln T - R ln p of total states, one cp.
    """
    inlets = min(inlets, len(parts) - 1)
    g, R, cp = GAMMA, PERFECT.gas_constant, PERFECT.heat_capacity
    m = np.array(parts)
    into = np.arange(len(m)) < inlets
    m[~into] *= m[into].sum() / m[~into].sum()
    T0 = np.array(hot[: len(m)])
    mixed = float((m * T0)[into].sum() / m[into].sum())
    T0 = np.where(into, T0, mixed)
    A = AREA * np.array(areas[: len(m)])
    p = AMBIENT
    # scale the flow so that the fastest leg, at the mouth's pressure, runs at `mach`
    b = m / A * R * T0 / p
    T_at = T0 / (1 + (g - 1) / 2 * mach**2)
    wanted = mach * np.sqrt(g * R * T_at) * T0 / T_at
    scale = float(np.min(wanted / b))
    m, b = m * scale, b * scale
    u = 2 * b / (1 + np.sqrt(1 + 2 * b**2 / (cp * T0)))
    axis = np.stack([np.cos(turns[: len(m)]), np.sin(turns[: len(m)]), 0 * m], axis=-1)
    flow = np.where(into, m, -m) / m[into].sum()

    def outward(q):
        """Static pressure in each way on, by its momentum, solved by steps."""
        pressure, speed = np.full(len(m), q), u.copy()
        for _ in range(200):
            driven = drive(flow, np.where(into, u, speed), axis)
            pressure = q - m / A * (speed - driven)
            if np.any(pressure[~into] < 0.4 * q):
                return None
            b = m / A * R * T0 / pressure
            speed = 2 * b / (1 + np.sqrt(1 + 2 * b**2 / (cp * T0)))
        return pressure, speed

    found = outward(p)
    if found is None:  # gas turned so hard that it would choke
        return
    pressure = np.where(into, p, found[0])
    speed = np.where(into, u, found[1])
    T = T0 - speed**2 / (2 * cp)
    if np.any(speed > 0.95 * np.sqrt(g * R * T)):
        return
    total = pressure * (T0 / T) ** (cp / R)
    entropy = m * (cp * np.log(T0) - R * np.log(total))
    made = entropy[~into].sum() - entropy[into].sum()
    assert made >= -1e-9 * m.sum() * R
    if np.ptp(T0) < 1e-9:
        lost = (m * total)[into].sum() - (m * total)[~into].sum()
        assert lost >= -1e-9 * m.sum() * p


def test_mirror_images_mirror():
    flow = network_flow(bridge(1.0, 2.0), BURNT, 0.15, 900.0, AMBIENT, "quick")
    links = bridge(2.0, 1.0).links
    swapped = {"left": "right", "right": "left", "A": "B", "B": "A"}
    loss = {"tee A to tip A": 3.0, "tee B to tip B": 0.0}
    mirrored = [
        one._replace(pieces=(one.pieces[0]._replace(loss=loss.get(one.name, 0.0)),))
        for one in links
    ]
    across = next(one for one in mirrored if one.name == "tee A to tee B")
    mirrored[mirrored.index(across)] = across._replace(start="tee B", end="tee A")
    other = network_flow(
        Network(tuple(mirrored), {"left": 0.5, "right": 0.5}), BURNT, 0.15, 900.0, AMBIENT, "quick"
    )
    for name in ("A", "B"):
        mine = float(flow.mass_flow[f"tee {name} to tip {name}"])
        theirs = float(other.mass_flow[f"tee {swapped[name]} to tip {swapped[name]}"])
        assert mine == pytest.approx(theirs, rel=1e-9)


def test_a_tie_between_equals_carries_nothing_and_turns_with_the_load():
    def across(first_loss, second_loss):
        links = list(bridge().links)
        for number, loss in ((3, first_loss), (4, second_loss)):
            piece = links[number].pieces[0]._replace(loss=loss)
            links[number] = links[number]._replace(pieces=(piece,))
        network = Network(tuple(links), {"left": 0.5, "right": 0.5})
        flow = network_flow(network, BURNT, 0.15, 900.0, AMBIENT, "quick")
        return float(flow.mass_flow["tee A to tee B"])

    assert abs(across(1.0, 1.0)) < 1e-6 * 0.15
    assert across(0.0, 3.0) < 0 < across(3.0, 0.0)
    assert across(0.0, 3.0) == pytest.approx(-across(3.0, 0.0), rel=1e-3)


@settings(max_examples=8, deadline=None)
@given(st.floats(0.03, 0.2), st.floats(1.02, 1.3))
def test_more_flow_never_means_less_loss(m, more):
    flow = network_flow(tails(), BURNT, m * np.array([1.0, more]), 900.0, AMBIENT, "quick")
    first = flow.chains["engine to fork"].start
    ideal = first.pressure * (first.total_temperature / first.temperature) ** (
        first.heat_capacity / BURNT.gas_constant
    )
    assert ideal[1] > ideal[0] > AMBIENT


def test_choking_is_flagged_sample_by_sample():
    flow = network_flow(tails(), BURNT, np.array([0.1, 5.0]), 900.0, AMBIENT, "quick")
    assert flow.choked.tolist() == [False, True]
    assert np.all(np.isfinite(flow.chains["engine to fork"].start.pressure))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"mass_flow": 0.0}, "mass_flow must be more than zero (got 0)"),
        ({"mass_flow": -0.1}, "mass_flow must be more than zero (got -0.1)"),
        ({"total_temperature": 2000.0}, "gas temperature must be between 250 K and 1800 K"),
        ({"outlet_pressure": 0.0}, "outlet_pressure must be more than zero"),
    ],
)
@pytest.mark.parametrize("method", ["quick", "full"])
def test_what_cannot_flow_is_refused_in_words(change, words, method):
    usual = {"mass_flow": 0.1, "total_temperature": 900.0, "outlet_pressure": AMBIENT}
    with pytest.raises(ExhaustError) as caught:
        network_flow(tails(), BURNT, **(usual | change), method=method)
    assert str(caught.value).startswith(words)


def test_what_does_not_settle_says_how_much_is_left_and_where(monkeypatch):
    monkeypatch.setattr("exhaust.flow.network.MOST_STEPS", 1)
    with pytest.raises(ExhaustError, match=r"did not settle in 1 steps.*left over, most at '"):
        network_flow(tails(), BURNT, 0.2, 900.0, AMBIENT)


def test_air_drawn_in_at_an_outlet_is_refused():
    """A small fast jet past the open side of a large tube draws air through it."""
    jet = Link("jet", "engine", "tee", (Piece("jet", AREA / 8, AREA / 8),))
    on = Link("on", "tee", "tip", (Piece("on", AREA, AREA, loss=0.05),))
    side = Link("side", "tee", "mouth", (Piece("side", AREA, AREA, loss=0.05),), leaving=LEFT)
    with pytest.raises(ExhaustError, match="would draw air in from outside"):
        network_flow(Network((jet, on, side), {"engine": 1.0}), BURNT, 0.05, 900.0, AMBIENT)


def test_the_matrix_is_the_slope_of_what_is_left_over():
    """A step along Newton's direction, made a thousandth, takes a thousandth of it away."""
    brought = [np.array(0.1), np.array(900.0), np.array(AMBIENT)]
    balance = Balance(tails(), BURNT, brought, "quick")
    at = balance.guess()
    over = balance.scaled(balance.left_over(at))
    move = np.linalg.solve(balance.change(at), -over[..., None])[..., 0] * 1e-3
    flow, mouth = at.flow.copy(), at.mouth.copy()
    free = balance.network.free
    for column, i in enumerate(free):
        flow[i] = flow[i] + move[column] * balance.total
    mouth[0] = mouth[0] + move[len(free)] * balance.outside
    after = balance.scaled(balance.left_over(at._replace(flow=flow, mouth=mouth)))
    assert np.linalg.norm(after - 0.999 * over) < 2e-5 * np.linalg.norm(over)
