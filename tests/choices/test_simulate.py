"""The pulses of whole engines: what must hold whatever the waves do, and what is refused."""

from __future__ import annotations

import math

import attrs
import numpy as np
import pytest

from exhaust import (
    Cam,
    Cone,
    ExhaustError,
    HPipe,
    Inlet,
    Merge,
    OperatingPoint,
    Part,
    Pulses,
    Run,
    System,
    Tube,
    exhaust_flow,
    plots,
    simulate,
)
from exhaust.choices.headers import with_headers
from exhaust.choices.repeating import ready
from exhaust.choices.waves import over_cycle, overlap
from exhaust.pulse.cycle import Stop, settle
from exhaust.pulse.laid import at_rest

COARSE = Pulses(cell="40 mm")
TUBE, SMALL = Tube(od="3 in", wall="16 ga"), Tube(od="2.5 in", wall="16 ga")


@pytest.fixture(scope="module")
def crossed(job):
    return simulate(job.engine, job.system, job.duty, job.ambient, COARSE)


@pytest.fixture(scope="module")
def single(four, duty):
    """A four into one pipe with a cone, a silencer and a tip."""
    runs = [
        Run(name="down", tube=SMALL, length="1.2 m", to="step"),
        Run(name="over", tube=TUBE, length="1.4 m", loss=0.4, to="box"),
        Run(name="tail", tube=TUBE, length="0.9 m"),
    ]
    places = [Cone(name="step", length="4 in"), Part(name="box", loss=1.5)]
    pipe = System(runs=runs, places=places)
    return simulate(four, pipe, duty, pulses=COARSE)


@pytest.fixture(params=["crossed", "single"])
def answer(request):
    return request.getfixturevalue(request.param)


def test_mean_flow_and_enthalpy_are_those_of_the_exhaust_flow(answer):
    """The brief asks for half a percent; a cycle is steered to 0.1 %."""
    assert answer.mass_flow == pytest.approx(answer.flow.mass_flow, rel=2e-3)
    assert answer.gas_temperature == pytest.approx(answer.flow.gas_temperature, rel=2e-3)


def test_what_comes_in_at_the_ports_goes_out_at_the_tips(answer):
    """By the traces, sampled at each degree: another way than the sums of the marches."""
    for kind in ("port", "collector", "outlet"):
        passed = sum(wave.mean_mass_flow for wave in answer.of(kind))
        assert passed == pytest.approx(answer.flow.mass_flow, rel=5e-3)


def test_mass_and_energy_of_a_cycle_add_up(answer):
    assert abs(answer.balance.mass) < 1e-12
    assert abs(answer.balance.energy) < 1e-10
    assert answer.unsolved == 0
    assert answer.outcome == "steady"


def test_work_on_the_piston_is_that_of_the_pressure_in_it(answer):
    """In the exhaust stroke the cylinder stands above its port, on the mean, and does so little
    where the valve is wide: within the pressure that a choked valve could hold."""
    for one in answer.cylinders:
        assert one.pumping_pressure > one.exhaust_stroke_pressure
        assert 0.02 < one.residual < 0.2


def test_half_orders_of_a_cross_plane_v8_are_opposite_in_its_two_tips(job):
    """Each bank fires as the other does, a turn later: order m/2 with m odd has the other sign.

    So the flows of both tips add up to whole orders alone, exact for waves of any size. Run on
    until the ports change by 2 Pa; that steps of time fall elsewhere in each turn leaves 0.7 % in
    cells of 40 mm, 0.4 % of 20 mm, 0.1 % of 10 mm.
    """
    flow = exhaust_flow(job.engine, job.duty, job.ambient)
    headed = with_headers(job.system, job.engine)
    net = ready(headed, flow, Pulses(cell="20 mm"))
    tips = [net.cell(pipe, 1.0) for pipe in net.outlets]
    settled = settle(net.network, at_rest(net), job.duty.speed, tips, Stop(tolerance=2.0))
    assert settled.outcome == "steady"
    rho, u, _ = np.moveaxis(settled.trace.values[:-1], 2, 0)
    left, right = (rho * u).T
    both, apart = (np.abs(np.fft.rfft(x))[1:41] for x in (left + right, left - right))
    largest = max(both.max(), apart.max())
    assert both[0::2].max() < 0.006 * largest  # m = 1, 3, 5 …
    assert apart[1::2].max() < 0.006 * largest  # m = 2, 4, 6 …
    assert apart[0::2].max() > 0.05 * largest


def test_banks_fire_evenly_in_one_pipe_of_a_four(single):
    """Even intervals of 180 degrees: only every fourth harmonic of the cycle leaves the tail."""
    (tail,) = single.of("outlet")
    found = np.abs(np.fft.rfft(tail.mass_flow[:-1]))[1:41]
    others = [x for m, x in enumerate(found, 1) if m % 4]
    assert max(others) < 0.005 * found.max()


def test_exchanged_banks_exchange_their_waves(job, crossed):
    engine = job.engine.with_(left_bank=(2, 4, 6, 8))
    other = simulate(engine, job.system, job.duty, job.ambient, COARSE)
    for one, mirrored in ((0, 1), (1, 0)):
        mine, its = crossed.of("outlet")[one], other.of("outlet")[mirrored]
        assert its.pressure == pytest.approx(mine.pressure, rel=1e-5)
    assert other.pumping_pressure == pytest.approx(crossed.pumping_pressure, rel=1e-4)


def test_cylinders_that_see_the_same_pipes_do_the_same_half_a_cycle_apart(crossed):
    """1 and 6 lie on opposite banks, 360 degrees apart in the order."""
    by = {one.number: one for one in crossed.cylinders}
    for first, second in ((1, 6), (8, 5), (4, 7), (3, 2)):
        assert by[first].pumping_pressure == pytest.approx(by[second].pumping_pressure, rel=2e-3)
        assert by[first].residual == pytest.approx(by[second].residual, rel=1e-2)
    first, second = (crossed.wave(f"cylinder {n}").pressure[:-1] for n in (1, 6))
    # steps of time fall elsewhere in the cycle
    assert np.roll(second, 360) == pytest.approx(first, rel=0.01)


def test_overlap_is_nought_in_turn_and_one_at_once(crossed):
    left, right = crossed.of("outlet")
    assert overlap(left, left) == pytest.approx(1.0)
    assert 0.0 < crossed.overlap < 1.0
    both = left.mass_flow[:-1], right.mass_flow[:-1]
    a, b = (np.maximum(x, 0.0) for x in both)
    assert overlap(left, right) == pytest.approx(2 * np.minimum(a, b).sum() / (a + b).sum())


def test_a_balance_tube_carries_next_to_nothing_on_the_mean_but_much_at_each_moment(job):
    runs = [run.with_(from_=None, to=None) for run in job.system.runs[:2]]
    h = HPipe(TUBE, balance_tube=SMALL, spacing="10.5 in")
    pipe = System(runs=runs, pipes=2, joint=h)
    found = simulate(job.engine, pipe, job.duty, job.ambient, COARSE)
    (across,) = found.of("balance tube")
    whole = found.flow.mass_flow
    assert abs(across.mean_mass_flow) < 2e-3 * whole
    assert np.ptp(across.mass_flow) > 0.05 * whole
    swing = np.abs(np.fft.rfft(across.mass_flow[:-1]))[1:41]
    assert swing[1::2].max() < 0.01 * swing.max()  # half orders alone push gas across


def test_a_merge_gives_both_legs_and_how_much_they_overlap(engine, duty):
    runs = [
        Run(name="left", tube=SMALL, length="1 m", from_="left bank", to="Y"),
        Run(name="right", tube=SMALL, length="1 m", from_="right bank", to="Y"),
        Run(name="tail", tube=TUBE, length="2 m", from_="Y"),
    ]
    inlets = [
        Inlet(name="left bank", cylinders=[1, 3, 5, 7]),
        Inlet(name="right bank", cylinders=[2, 4, 6, 8]),
    ]
    pipe = System(runs=runs, inlets=inlets, places=[Merge(name="Y")])
    found = {
        model: simulate(engine, pipe, duty, pulses=COARSE.with_(junction=model))
        for model in ("momentum", "constant pressure")
    }
    for one in found.values():
        assert [wave.name for wave in one.of("leg")] == ["left at Y", "right at Y"]
        assert 0.2 < one.overlap < 1.0
        assert abs(one.balance.mass) < 1e-12
    # with one pressure in all legs a jet into a wider collector pulls on nothing
    assert found["constant pressure"].port_pressure > found["momentum"].port_pressure


def test_ports_described_one_by_one_need_no_primaries(four, duty):
    """A header in full: as the primaries that would be assumed, it gives the same waves."""
    tube = Tube(od="1-5/8 in", wall="16 ga")
    runs = [
        Run(name=f"pipe {n}", tube=tube, length="0.59 m", from_=f"port {n}", to="collector")
        for n in (1, 2, 3, 4)
    ]
    tail = Run(name="tail", tube=SMALL, length="2 m", from_="collector")
    inlets = [Inlet(name=f"port {n}", cylinders=[n], distance="10 mm") for n in (1, 2, 3, 4)]
    whole = System(runs=[*runs, tail], inlets=inlets, places=[Merge(name="collector")])
    found = simulate(four, whole, duty, pulses=Pulses(cell="20 mm"))
    assumed = simulate(
        four, System(runs=[tail.with_(from_=None)]), duty, pulses=Pulses(cell="20 mm")
    )
    # the gas is steered at the ports of the one and at the collector of the other
    assert found.pumping_pressure == pytest.approx(assumed.pumping_pressure, rel=0.05)
    assert "port lies" in " ".join(found.headers)
    assert "1-5/8 in" in " ".join(assumed.headers)


def test_it_says_when_the_cycle_does_not_repeat_yet(single, four, duty):
    found = simulate(four, single.system, duty, pulses=COARSE.with_(most_cycles=3))
    assert found.outcome == "unsettled"
    assert "does not repeat yet" in found.reason


def test_a_pipe_too_short_for_two_cells_is_stretched_and_said(four, duty):
    runs = [Run(name="stub", tube=SMALL, length="20 mm"), Run(name="tail", tube=TUBE, length="2 m")]
    found = simulate(four, System(runs=runs), duty, pulses=COARSE)
    assert found.stretched == (("stub 1", pytest.approx(0.02)),)
    assert "too short for two cells" in " ".join(found.assumptions)


def test_an_earlier_cam_takes_work_off_the_exhaust_stroke(single, four, duty):
    """Common practice: opening earlier lets more out before the piston comes up."""
    early, late = (
        simulate(four, single.system, duty, pulses=COARSE.with_(cam=Cam(opens=opens)))
        for opens in ("80 deg", "40 deg")
    )
    assert early.pumping_pressure < single.pumping_pressure < late.pumping_pressure


def test_a_slow_engine_pushes_out_against_little(single, four, duty):
    slow = simulate(four, single.system, duty.with_(speed="1500 rpm"), pulses=COARSE)
    assert slow.pumping_pressure < 0.25 * single.pumping_pressure


def test_port_pressure_over_the_stroke_is_taken_at_the_cylinders_own_angles(single):
    for one in single.cylinders:
        own = (np.arange(720) - math.degrees(one.fires)) % 720
        port = single.wave(f"cylinder {one.number}").pressure[:-1] - single.flow.ambient_pressure
        assert one.port_pressure == pytest.approx(port.mean())
        stroke = port[(own >= 180) & (own < 360)]
        assert one.exhaust_stroke_pressure == pytest.approx(stroke.mean())


def test_each_cylinder_breathes_out_while_its_own_valve_is_open(answer):
    """From 110 to 385 degrees after it fires; what the cell beside a shut valve sways is small."""
    for one in answer.cylinders:
        own = (np.arange(720) - math.degrees(one.fires)) % 720
        flow = np.abs(answer.wave(f"cylinder {one.number}").mass_flow[:-1])
        assert flow[(own >= 110) & (own < 386)].sum() > 0.9 * flow.sum()


def test_what_cannot_be_simulated_is_refused_in_words(duals, engine, duty, four):
    def refused(words: str, system=duals, engine=engine, duty=duty):
        with pytest.raises(ExhaustError, match=words):
            simulate(engine, system, duty)

    refused(
        r"system must be a System \(got Engine\); check the order, or make one with System",
        *(engine, duals),
    )
    refused(
        r"firing_order is needed to place the pulses \(got none\)",
        engine=engine.with_(firing_order=()),
    )
    refused(
        r"inlets must say which cylinders feed each of them \(got 2 inlets, 1 bank\); give the "
        r"engine's left_bank",
        engine=engine.with_(left_bank=()),
    )
    turbo = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9, boost_gauge="8 psi")
    refused("a simulation must not be behind a turbocharger; its turbine", duty=turbo)
    tail = Run(name="tail", tube=TUBE, length="2 m")
    some = System(runs=[tail], inlets=[Inlet(name="port", cylinders=[1, 2])])
    refused("cylinder 3 feeds no inlet", some, four)
    many = System(runs=[tail], inlets=[Inlet(name="port", cylinders=[1, 2, 3, 4, 5])])
    refused("inlets name cylinder 5 but the engine has 4", many, four)


def test_a_rod_too_short_to_turn_is_refused(four, duty, single):
    with pytest.raises(ExhaustError, match=r"rod must be more than 43 mm, half of the stroke"):
        simulate(four, single.system, duty, pulses=Pulses(cam=Cam(rod="30 mm")))


@pytest.mark.parametrize("lift", ["0.001 mm", "0.1 mm"])
def test_a_valve_that_never_opens_is_refused(four, duty, single, lift: str):
    with pytest.raises(
        ExhaustError,
        match=r"cylinders must let out at least 25\.0 % of what they hold \(got .* %\); check lift",
    ):
        simulate(four, single.system, duty, pulses=COARSE.with_(cam=Cam(lift=lift)))
    with pytest.raises(ExhaustError, match=r"lift must be more than zero \(got 0 mm\)"):
        Cam(lift="0 mm")


def test_a_speed_that_gives_no_flow_is_refused(duty):
    words = r"must be between 100 rpm and 25000 rpm \(got 0 rpm\); is it crankshaft speed"
    with pytest.raises(ExhaustError, match=f"speed {words}"):
        duty.with_(speed="0 rpm")
    with pytest.raises(ExhaustError, match=f"speeds {words}"):
        Pulses(speeds=["0 rpm", "3000 rpm"])


def test_the_slowest_speed_has_a_little_flow_and_next_to_no_pressure(single, four, duty):
    """100 rpm: pressures go as the square of the flow, which is a sixtieth."""
    crawling = simulate(four, single.system, duty.with_(speed="100 rpm"), pulses=COARSE)
    assert crawling.mass_flow == pytest.approx(crawling.flow.mass_flow, rel=2e-3)
    assert abs(crawling.pumping_pressure) < 2e-3 * single.pumping_pressure


def test_a_place_that_is_not_watched_is_answered_with_the_nearest(single):
    with pytest.raises(
        ExhaustError, match=r"name is no place of the simulation.*nearest: \"tail\""
    ):
        single.wave("tial")


def test_it_says_where_a_junction_was_not_solved(single):
    words = "was not found to the last digits"
    assert words not in " ".join(single.assumptions)
    assert words in " ".join(attrs.evolve(single, unsolved=2).assumptions)


def test_a_result_shows_itself(single):
    assert single.flow.assumptions[0] == single.assumptions[0]
    assert "pumping pressure" in repr(single)
    assert len(single.table) == len(single.waves)
    assert over_cycle(single.of("outlet")[0].mach) < single.fastest.peak_mach


def test_the_figure_draws_what_was_traced(crossed, single):
    top, middle, bottom = plots.waves(crossed).figure.axes
    names = [[text.get_text() for text in axes.texts] for axes in (top, middle, bottom)]
    assert names[0] == ["cylinder 1", "left engine"]
    assert names[1] == ["X, side 1", "X, side 2"]
    assert all("over the axle" in name for name in names[2])
    port = crossed.wave("cylinder 1").pressure - crossed.flow.ambient_pressure
    assert top.lines[0].get_ydata() == pytest.approx(port / 6894.757293168361)
    assert len(plots.waves(single).figure.axes) == 2


def test_flow_needs_no_pulses_to_agree(single, four, duty):
    assert single.flow.mass_flow == exhaust_flow(four, duty).mass_flow
