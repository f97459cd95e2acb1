"""Pieces in series: an integrator beside them, limits, invariants, splitting, choking, refusals."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from exhaust.engine.species import gas_table
from exhaust.errors import ExhaustError
from exhaust.flow.chain import Chained, as_described
from exhaust.flow.fanno import fanno_loss, mach_before
from exhaust.flow.heat import Surroundings, TubeHeat
from exhaust.flow.local_loss import local_loss
from exhaust.flow.march import TOLERANCE
from exhaust.flow.passage import no_heat
from exhaust.flow.piece import Piece, turned_round
from exhaust.flow.quick import total_pressure
from exhaust.gas.properties import Mixture

BURNT = Mixture({"N2": 0.73, "CO2": 0.13, "H2O": 0.13, "Ar": 0.01}, gas_table())
AIR = Mixture({"N2": 0.7808, "O2": 0.2095, "Ar": 0.0097}, gas_table())
AMBIENT, ROUGH = 101325.0, 1e-5
SMALL, LARGE = (math.pi / 4 * bore**2 for bore in (0.055, 0.07))
WALL = TubeHeat(BURNT, 1.0, 0.0016, Surroundings(AIR, 300.0, speed=5.0))

flows = st.floats(0.005, 0.2)
temperatures = st.floats(600.0, 1300.0)
lengths = st.floats(0.2, 3.0)


def tube(length, area=SMALL, loss=0.5, distance=0.5, heat=WALL):
    return Piece("tube", area, area, length, ROUGH, loss, 0.0, distance, heat)


def along(pieces, m, T0, pressure=AMBIENT, method="full"):
    chain = Chained(pieces, BURNT, method)
    m, T0 = (np.asarray(value, float) for value in (m, T0))
    return chain.up(chain.down(m, T0), pressure)


def lost(flow):
    """Total pressure from the start to the end."""
    return total_pressure(flow.start, BURNT) - total_pressure(flow.end, BURNT)


def widening():
    """Tube, a step, tube, a cone that narrows again, a loss at one place, tube."""
    return [
        tube(1.0),
        Piece("step", SMALL, LARGE, loss=0.146, distance=1.5),
        tube(0.6, LARGE, 0.2, 1.5),
        Piece("cone", LARGE, SMALL, 0.2, ROUGH, 0.02, 0.3, 2.1, WALL),
        Piece("part", SMALL, SMALL, loss=1.2, distance=2.3),
        tube(1.5, SMALL, 0.3, 2.3),
    ]


def colebrook(reynolds, relative):
    def over(x):
        return x + 2 * math.log10(relative / 3.7 + 2.51 * x / reynolds)

    return brentq(over, 1.0, 40.0, xtol=1e-13) ** -2


class Integrated:
    """The same pieces by a general integrator: heat down, then dp/dx up, Shapiro's form.

    dp/p = -g M^2/(1-M^2) (dT0/T0' - dA/A + (1 + (g-1) M^2) (f/D + K/L) dx/2), dT0' from dh0/cp;
    a loss at one place by brackets on the Fanno relation, areas by brackets on total pressure.
    """

    options = {"rtol": 1e-9, "atol": 1e-9}  # noqa: RUF012

    def __init__(self, m, T0):
        self.m, self.h = m, float(BURNT.enthalpy(T0))
        self.down = []

    def cool(self, piece):
        L = float(piece.length)
        first, last = (math.sqrt(4 / math.pi * float(a)) for a in (piece.start, piece.end))
        if L == 0:
            self.down.append((piece, None, first, last, 0.0))
            return
        heat = WALL.carrying(self.m)

        def rate(x, y):
            D, T = first + (last - first) * x / L, float(BURNT.temperature_at(float(y[0])))
            return [-float(heat(float(piece.distance) + x, D, T).loss) / self.m]

        path = solve_ivp(rate, (0, L), [self.h], dense_output=True, **self.options)
        ends = [float(BURNT.temperature_at(h)) for h in (self.h, float(path.y[0, -1]))]
        self.h = float(path.y[0, -1])
        least = min(first, last)
        Re = 4 * self.m / (math.pi * least * float(BURNT.viscosity(sum(ends) / 2)))
        self.down.append((piece, path.sol, first, last, colebrook(Re, ROUGH / least)))

    def static(self, p, h0, area):
        """Temperature and velocity of the flow at a static pressure."""
        c = self.m / area * BURNT.gas_constant / p

        def over(T):
            return float(BURNT.enthalpy(T)) + (c * T) ** 2 / 2 - h0

        T = brentq(over, 260.0, float(BURNT.temperature_at(h0)), xtol=1e-11)
        return T, c * T

    def up(self, p):
        h_end = self.h
        for piece, h, first, last, f in reversed(self.down):
            if h is None:
                p = self.at_place(piece, p, h_end)
                continue
            p = self.marched(piece, h, (first, last, f), p)
            h_end = float(h(0)[0])
        return p

    def marched(self, piece, h, measures, p):
        first, last, f = measures
        L, R = float(piece.length), BURNT.gas_constant
        spread = float(piece.loss) + float(piece.loss_per_friction) * f
        if first != last:  # K on the smaller end's head, spread evenly over the cone
            least = min(first, last)
            share = np.linspace(0, 1, 2001)
            mean = np.trapezoid((least / (first + (last - first) * share)) ** 4, share)
            spread, f = spread / mean, 0.0

        def rate(x, y):
            p, h0 = math.exp(y[0]), float(h(x)[0])
            D = first + (last - first) * x / L
            T, u = self.static(p, h0, math.pi / 4 * D**2)
            cp, g = float(BURNT.cp(T)), float(BURNT.gamma(T))
            M2 = u**2 / (g * R * T)
            loss = float(WALL.carrying(self.m)(float(piece.distance) + x, D, TOT(h0)).loss)
            warming = -loss / self.m / (cp * T) - 2 * (last - first) / L / D
            rubbing = (1 + (g - 1) * M2) * (f / D + spread / L) / 2
            return [-g * M2 / (1 - M2) * (warming + rubbing)]

        return math.exp(solve_ivp(rate, (L, 0), [math.log(p)], **self.options).y[0, -1])

    def at_place(self, piece, p, h0):
        T0 = TOT(h0)
        cp, R = float(BURNT.cp(T0)), BURNT.gas_constant
        g = cp / (cp - R)

        def total(M):
            return (1 + (g - 1) / 2 * M**2) ** (g / (g - 1))

        def pressure(M, area):
            T = T0 / (1 + (g - 1) / 2 * M**2)
            return self.m * R * T / (area * M * math.sqrt(g * R * T))

        def mach(p0, area):
            return brentq(lambda M: pressure(M, area) * total(M) - p0, 1e-4, 1.0, xtol=1e-14)

        first, last = float(piece.start), float(piece.end)
        end = brentq(lambda M: pressure(M, last) - p, 1e-4, 1.0, xtol=1e-14)
        least = min(first, last)
        M = mach(pressure(end, last) * total(end), least)
        wanted = float(fanno_loss(M, g)) + float(piece.loss)
        M = brentq(lambda one: float(fanno_loss(one, g)) - wanted, 1e-4, M, xtol=1e-14)
        return pressure(mach(pressure(M, least) * total(M), first), first)


def TOT(h0):
    return float(BURNT.temperature_at(h0))


@pytest.mark.parametrize("m", [0.06, 0.14])
def test_pieces_against_an_integrator(m):
    """Friction, cooling and changes of area, piece after piece; nothing of the march is used."""
    pieces, T0 = widening(), 1100.0
    other = Integrated(m, T0)
    for piece in pieces:
        other.cool(piece)
    back = other.up(AMBIENT) - AMBIENT
    flow = along(pieces, m, T0)
    assert float(flow.end.total_temperature) == pytest.approx(TOT(other.h), abs=2e-4)
    # the march's tolerance is of the whole pressure, 1e-7 a piece; the integrator's is less
    assert float(flow.start.pressure) - AMBIENT == pytest.approx(back, abs=1e-6 * AMBIENT)
    quick = along(pieces, m, T0, method="quick")
    # cones are taken at one place, with the temperature at their end
    assert float(quick.start.pressure) - AMBIENT == pytest.approx(back, rel=0.01)


def test_slow_flow_loses_heads():
    """At Mach 0.02, without heat: sum of f L/D + K on each head, and what areas give back."""
    m, T0 = 0.012, 900.0
    pieces = [one._replace(heat=no_heat) for one in widening()]
    flow = along(pieces, m, T0)
    density = AMBIENT / (BURNT.gas_constant * T0)
    heads = {area: density / 2 * (m / density / area) ** 2 for area in (SMALL, LARGE)}
    expected = 0.0
    for piece in pieces:
        area = min(float(piece.start), float(piece.end))
        D = math.sqrt(4 / math.pi * area)
        f = colebrook(4 * m / (math.pi * D * float(BURNT.viscosity(T0))), ROUGH / D)
        rubbing = f * float(piece.length) / D if piece.even else 0.0
        K = rubbing + float(piece.loss) + float(piece.loss_per_friction) * f
        expected += K * heads[area]
    # compressibility is of order M^2 and of the loss over the pressure
    assert float(lost(flow)) == pytest.approx(expected, rel=1e-3)
    assert float(flow.start.pressure) - AMBIENT == pytest.approx(expected, rel=1e-3)


def test_a_sudden_step_is_borda_carnot():
    """K = (1 - a)^2 on the smaller tube's head: pressure rises by rho u1 (u1 - u2)."""
    m, T0, a = np.array(0.006), np.array(900.0), SMALL / LARGE
    step = Piece("step", SMALL, LARGE)
    start, end, _ = local_loss(step, m, (T0, T0), (1 - a) ** 2, AMBIENT, BURNT)
    density = float(end.pressure / (BURNT.gas_constant * end.temperature))
    u1, u2 = float(start.velocity), float(end.velocity)
    rise = float(end.pressure - start.pressure)
    assert rise == pytest.approx(density * u2 * (u1 - u2), rel=1e-3)
    assert u1 / u2 == pytest.approx(LARGE / SMALL, rel=1e-3)


@settings(max_examples=25, deadline=None)
@given(flows, temperatures, st.floats(0.0, 4.0))
def test_a_loss_between_like_areas_is_fanno(m, T0, loss):
    m, T0 = np.array(m), np.array(T0)
    start, end, choked = local_loss(Piece("part", SMALL, SMALL), m, (T0, T0), loss, AMBIENT, BURNT)
    cp, R = float(BURNT.cp(T0)), BURNT.gas_constant
    g = cp / (cp - R)
    assert not choked
    for place in (start, end):  # mass and energy
        kept = place.pressure * place.velocity * SMALL / (R * place.temperature)
        assert float(kept) == pytest.approx(float(m), rel=1e-11)
        assert float(place.temperature + place.velocity**2 / (2 * cp)) == pytest.approx(float(T0))
    mach = [float(one.velocity / np.sqrt(g * R * one.temperature)) for one in (start, end)]
    assert mach[0] == pytest.approx(float(mach_before(mach[1], loss, g)), rel=1e-10)


@settings(max_examples=10, deadline=None)
@given(flows, st.floats(1.01, 1.5), temperatures, lengths, st.sampled_from(["full", "quick"]))
def test_more_flow_never_means_less_loss(m, times, T0, length, method):
    """With heat as well: the greater flow is hotter all the way."""
    flow = along([tube(length), *widening()[1:3]], [m, m * times], T0, method=method)
    total = total_pressure(flow.start, BURNT)
    assert total[1] > total[0] > AMBIENT


@settings(max_examples=10, deadline=None)
@given(flows, temperatures, lengths, st.floats(0.01, 2.0), st.sampled_from(["full", "quick"]))
def test_a_longer_pipe_never_gains_total_pressure(m, T0, length, more, method):
    cold = [tube(np.array([length, length + more]), heat=no_heat)]
    total = total_pressure(along(cold, m, T0, method=method).start, BURNT)
    assert total[1] > total[0] > AMBIENT


@settings(max_examples=10, deadline=None)
@given(flows, temperatures, lengths, st.floats(0.05, 1.0))
def test_nor_does_one_that_cools(m, T0, length, more):
    """Heat drawn off gives pressure back: dp0/p0 = -(g M^2/2) (f dx/D + dT0/T0). Gas gives up less
    of its heat to a tube than of its momentum, but that is a law of steady pipes, not of physics:
    asked of the tube here, beyond its entrance, whose wall is warm."""
    piece = tube(np.array([length, length + more]), loss=0.0, distance=2.0)
    total = total_pressure(along([piece], m, T0).start, BURNT)
    assert total[1] > total[0] * (1 - 1e-9)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.8])
def test_splitting_without_heat_changes_nothing(share):
    """To the march's tolerance of the whole pressure; losses shared out by length."""
    whole = tube(2.0, heat=no_heat)
    parts = [
        tube(2.0 * share, loss=0.5 * share, heat=no_heat),
        tube(2.0 * (1 - share), loss=0.5 * (1 - share), heat=no_heat),
    ]
    one, two = (float(along(pieces, 0.15, 1000.0).start.pressure) for pieces in ([whole], parts))
    assert two == pytest.approx(one, rel=3 * TOLERANCE)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.8])
@pytest.mark.parametrize(("method", "tolerance"), [("full", 4e-4), ("quick", 4e-3)])
def test_splitting_with_heat_changes_no_more_than_friction_does(share, method, tolerance):
    """Friction is that at the mean temperature of each part: the factor goes with about the sixth
    part of the temperature, whose bend along the pipe is what a share of the loss is off by.
    The heat itself is the same, by the full march to its tolerance."""
    whole = tube(2.0)
    parts = [
        tube(2.0 * share, loss=0.5 * share),
        tube(2.0 * (1 - share), loss=0.5 * (1 - share), distance=0.5 + 2.0 * share),
    ]
    one, two = (along(pieces, 0.15, 1100.0, method=method) for pieces in ([whole], parts))
    assert float(lost(two)) == pytest.approx(float(lost(one)), rel=tolerance)
    warm = float(one.end.total_temperature)
    close = {"rel": 3 * TOLERANCE} if method == "full" else {"abs": 2.0}
    assert float(two.end.total_temperature) == pytest.approx(warm, **close)


@settings(max_examples=10, deadline=None)
@given(flows, temperatures)
def test_heat_friction_and_energy_of_each_piece(m, T0):
    """What a wall takes, summed up here from its own law, is the enthalpy that is missing."""
    pieces = widening()
    flow = along(pieces, m, T0)
    heat = WALL.carrying(m)
    for piece, found in zip(pieces, flow.pieces, strict=True):
        warm = found.warmth
        first, last = (float(BURNT.enthalpy(T)) for T in (warm.start, warm.end))
        if not piece.is_tube:
            assert float(warm.start) == float(warm.end)
            continue
        D = float(piece.bore)
        Re = 4 * m / (math.pi * D * float(BURNT.viscosity((warm.start + warm.end) / 2)))
        assert float(warm.reynolds) == pytest.approx(Re, rel=1e-12)
        if Re > 4000:
            assert float(warm.friction) == pytest.approx(colebrook(Re, ROUGH / D), rel=1e-9)
        # Simpson's rule over the piece, temperature a cubic through both ends and their slopes
        x = np.linspace(0, float(piece.length), 41)
        ends = [math.sqrt(4 / math.pi * float(a)) for a in (piece.start, piece.end)]
        bore = ends[0] + (ends[1] - ends[0]) * x / x[-1]
        rates = [
            -float(heat(float(piece.distance) + x[i], bore[i], T).loss) / m / float(BURNT.cp(T))
            for i, T in ((0, float(warm.start)), (-1, float(warm.end)))
        ]
        t, fall = x / x[-1], float(warm.end - warm.start)
        T = warm.start + t**2 * (3 - 2 * t) * fall
        T = T + t * (1 - t) * ((1 - t) * rates[0] - t * rates[1]) * x[-1]
        loss = heat(float(piece.distance) + x, bore, T).loss
        weights = np.where(np.arange(41) % 2, 4.0, 2.0)
        weights[[0, -1]] = 1.0
        taken = float(np.sum(weights * loss) * x[1] / 3)
        assert m * (first - last) == pytest.approx(taken, rel=3e-3)
    ends = [float(BURNT.enthalpy(T)) for T in (T0, float(flow.end.total_temperature))]
    along_it = sum(
        float(
            BURNT.enthalpy(one.start.total_temperature) - BURNT.enthalpy(one.end.total_temperature)
        )
        for one in flow.pieces
    )
    assert along_it == pytest.approx(ends[0] - ends[1], rel=1e-9)


@pytest.mark.parametrize("method", ["full", "quick"])
def test_pressure_carries_over_from_piece_to_piece(method):
    flow = along(widening(), 0.12, 1100.0, method=method)
    for before, after in zip(flow.pieces, flow.pieces[1:], strict=False):
        assert float(before.end.pressure) == pytest.approx(float(after.start.pressure), rel=1e-12)
        ends = before.end.total_temperature, after.start.total_temperature
        assert float(ends[0]) == pytest.approx(float(ends[1]), rel=1e-9)


NARROW = math.pi / 4 * 0.03**2
CHOKED = {
    "tube": [tube(1.0)],
    "narrow tube ahead of a wide one": [tube(0.3, NARROW), tube(1.0, LARGE)],
    "a part": [Piece("part", NARROW, NARROW, loss=2.0), tube(1.0, LARGE)],
    "a step up": [Piece("step", NARROW, LARGE, loss=0.5), tube(1.0, LARGE)],
    "a step down": [tube(1.0, LARGE), Piece("step", LARGE, NARROW, loss=0.4)],
    "a cone up": [Piece("cone", NARROW, LARGE, 0.2, ROUGH, 0.1), tube(1.0, LARGE)],
    "a cone down": [tube(1.0, LARGE), Piece("cone", LARGE, NARROW, 0.2, ROUGH, 0.1)],
}


@pytest.mark.parametrize("name", CHOKED)
@pytest.mark.parametrize("method", ["full", "quick"])
def test_choking_is_flagged_sample_by_sample_and_pressure_goes_on_rising(name, method):
    """Where the gas would pass Mach 1, pressure ahead stands at what the flow needs: in proportion
    to it, which no gas that is not choked does."""
    m = np.array([0.01, 0.6, 1.2])
    pieces = [one._replace(heat=no_heat) for one in CHOKED[name]]
    flow = along(pieces, m, 900.0, method=method)
    assert flow.choked.tolist() == [False, True, True]
    pressure = flow.start.pressure
    assert np.all(np.isfinite(pressure))
    assert np.all(np.diff(pressure) > 0)
    for one in flow.pieces:
        for place in (one.start, one.end):
            gamma = BURNT.gamma(place.temperature)
            mach = place.velocity / np.sqrt(gamma * BURNT.gas_constant * place.temperature)
            assert np.all(mach < 1.012)  # gamma at rest, not in flow, by the closed relations
    if len(pieces) == 1:
        assert pressure[2] / pressure[1] == pytest.approx(2.0, rel=0.01)


def test_gas_that_turns_round_meets_the_pieces_the_other_way():
    pieces = [*widening()[:3]]
    back = turned_round(pieces)
    assert [one.name for one in back] == ["tube", "step", "tube"]
    assert (back[1].start, back[1].end) == (LARGE, SMALL)
    assert [float(one.distance) for one in back] == pytest.approx([0.5, 1.1, 1.1])
    again = turned_round(back)
    for one, same in zip(pieces, again, strict=True):
        assert one[:3] == same[:3]
        assert float(one.distance) == pytest.approx(float(same.distance))
    flow = as_described(along(back, 0.1, 1000.0))
    assert flow.pieces[0].name == "tube"
    warm = flow.pieces[0].warmth
    assert float(warm.start) == pytest.approx(float(flow.start.total_temperature))
    assert float(warm.start) < float(warm.end)  # it comes in at the described end
    assert float(flow.end.total_temperature) == pytest.approx(1000.0)


@pytest.mark.parametrize("method", ["full", "quick"])
@pytest.mark.parametrize(
    ("pieces", "change", "words"),
    [
        ([], {}, "pieces is empty; give at least one piece"),
        ([tube(1.0)], {"T0": 1900.0}, "gas temperature must be between 250 K and 1800 K"),
        ([tube(1.0)], {"T0": 200.0}, "gas temperature must be between 250 K and 1800 K"),
    ],
)
def test_refusals(pieces, change, words, method):
    with pytest.raises(ExhaustError, match=words):
        along(pieces, **({"m": 0.1, "T0": 900.0} | change), method=method)
