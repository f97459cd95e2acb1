"""The question of the flow through a system: a whole account by hand, its band, its words."""

import attrs
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from whole_systems import THREE, TWO, TWO_HALF, assert_adds_up, folded, primaries, run, two_into_one

from exhaust import Ambient, Engine, Inlet, OperatingPoint, System
from exhaust.bands import band_of
from exhaust.choices import compare_tubes, flow_through
from exhaust.choices.doubts import doubts
from exhaust.choices.steady import steady_flow
from exhaust.engine import exhaust_flow
from exhaust.errors import ExhaustError
from exhaust.job import load_job
from exhaust.show import shown_in
from exhaust.tables import shipped


@pytest.fixture(scope="module")
def shipped_job():
    return load_job(shipped("data") / "jobs" / "v8-parallel-x.toml")


@pytest.fixture(scope="module")
def answer(shipped_job):
    """The answer for the shipped job."""
    job = shipped_job
    return flow_through(job.system, job.engine, job.duty, job.ambient)


def test_primaries_into_a_collector(four, duty):
    """A hand's account of each place, in dynamic heads of its own."""
    answer = flow_through(primaries(), four, duty)
    lost = answer.total_pressure_loss.middle - answer.leaving_head
    assert_adds_up(answer.places, lost, answer.flow.mass_flow)
    places = {place.name: place for place in answer.places}
    names = [f"primary {n}" for n in (1, 2, 3, 4)]
    names += ["collector", "down", "cone", "link", "silencer", "tail", "step at tail | tip", "tip"]
    assert [place.name for place in answer.places] == names
    for name in names[:4]:
        assert places[name].mass_flow == pytest.approx(answer.flow.mass_flow / 4, rel=1e-9)
        # friction 0.026 (Moody, Re 21e3, e/D 2e-4) over 0.7 m of 47.5 mm, less what a gas that
        # cools gains: dp0 = -q (f dx/D + dT0/T0) (Rayleigh)
        one = places[name]
        heads = 0.026 * 0.7 / 0.0475 + np.log(one.end_temperature / one.start_temperature)
        assert one.total_pressure_loss == pytest.approx(heads * one.dynamic_head, rel=0.1)
    # four legs parallel but for 10 degrees: K = 1 + (A/4A1)^2 - 2 (A/4A1) cos a on the outlet
    ratio = THREE.flow_area / (4 * TWO.flow_area)
    coefficient = 1 + ratio**2 - 2 * ratio * np.cos(np.radians(10))
    lost = places["collector"].total_pressure_loss
    assert lost == pytest.approx(coefficient * places["down"].dynamic_head, rel=0.05)
    # 450 cfm at 28 in of water: 0.2124 m^3/s through 60.2 mm at 6975 Pa, air of 1.2 kg/m^3
    speed = 0.21238 / TWO_HALF.flow_area
    rated = 6974.5 / (0.6 * speed**2) - 1
    silencer = places["silencer"]
    assert silencer.total_pressure_loss == pytest.approx(rated * silencer.dynamic_head, rel=0.05)
    # Borda-Carnot into the tip
    step = places["step at tail | tip"]
    borda = (1 - TWO_HALF.flow_area / THREE.flow_area) ** 2
    assert step.total_pressure_loss == pytest.approx(borda * step.dynamic_head, rel=0.02)
    assert places["cone"].length == pytest.approx(0.1016)
    assert places["cone"].growth > 0


def test_folded_equals_unfolded_by_the_full_march(engine, duty):
    one, two = (flow_through(each, engine, duty) for each in (folded(), folded().unfolded()))
    assert one.back_pressure == pytest.approx(two.back_pressure, rel=3e-5)
    assert one.power_cost == pytest.approx(two.power_cost, rel=3e-5)
    assert one.growth.along == pytest.approx(two.growth.along, rel=1e-6)


def test_bands_are_those_of_the_full_march(job):
    """The quick march against the full one on 32 samples of the shipped job."""
    flow = exhaust_flow(job.engine, job.duty, job.ambient)
    _, samples = doubts(flow, samples=32)
    full, quick = (steady_flow([job.system], flow, samples, method) for method in ("full", "quick"))
    for name in ("back_pressure", "total_pressure_loss", "power_cost"):
        one, other = (getattr(each, name)[0] for each in (full, quick))
        band = band_of(one)
        half = (band.high - band.low) / 2
        assert np.max(np.abs(other - one)) < 0.1 * half, name
        for end, off in zip(band, band_of(other), strict=True):
            assert abs(off - end) < 0.1 * half, name


def test_numbers_agree_with_the_question_of_tubes(job, answer):
    """Two questions, one flow."""
    other = compare_tubes(job.system, job.engine, job.duty, job.ambient, [job.system.tube])
    assert answer.back_pressure.middle == other.chosen.back_pressure
    assert answer.power_cost == other.chosen.power_cost
    assert answer.places[0].mass_flow == pytest.approx(answer.flow.mass_flow / 2)
    assert answer.back_pressure.low < answer.back_pressure.middle < answer.back_pressure.high


def test_where_the_band_comes_from(job, answer):
    shares = list(answer.contributions.values())
    assert shares == sorted(shares, reverse=True)
    assert sum(shares) == pytest.approx(1.0, abs=0.1)  # nearly additive
    assert not {"merge_angle", "merge_loss"} & set(answer.contributions)
    # measured hot and without a joint: they explain little and nothing
    duty = job.duty.with_(gas_temperature="700 degC")
    plain = flow_through(job.system.with_(joint=None), job.engine, duty, job.ambient)
    assert "joint" not in plain.contributions
    assert plain.contributions["gas_temperature"] < answer.contributions["gas_temperature"] / 4


def test_a_turbine_stands_ahead_and_multiplies(engine, duty, duals):
    """Pressure at the turbine outlet as it is; its price ahead of the turbine, twice as much."""
    boosted = duty.with_(boost_gauge="60 kPa")
    answer = flow_through(duals, engine, boosted)
    assert answer.reason.startswith("Back pressure at the turbine outlet is ")
    assert "Ahead of the turbine it is about 2 times as much." in answer.reason
    assert any(
        line.startswith("Pressures stand at the turbine outlet") for line in answer.assumptions
    )
    flow, lost = answer.flow, answer.total_pressure_loss.middle
    ahead = 2 * lost
    filling = ahead / flow.intake_pressure / 1.4 / (10.0 - 1) / 0.85
    expected = ahead / flow.mean_effective_pressure + filling
    assert answer.power_cost.middle == pytest.approx(expected, rel=1e-9)
    plain = flow_through(duals, engine, duty)
    assert plain.reason.startswith("Back pressure at the collector is ")
    assert "turbine" not in plain.reason


def test_inlets_are_named_where_they_are_few(answer):
    two = attrs.evolve(answer, system=two_into_one())
    assert two.reason.startswith("Back pressure at left and right is ")
    many = attrs.evolve(answer, system=primaries())
    assert many.reason.startswith("Back pressure where the gas comes in is ")


def test_a_choked_system_is_said(answer):
    assert "Mach 1" not in answer.reason
    answer = attrs.evolve(answer, choked=True)
    assert "The gas reaches Mach 1 on the way: this system is far too small." in answer.reason


def test_shown(answer):
    assert answer.assumptions[0].startswith("Gas temperature")
    assert repr(answer).startswith("<FlowThrough: back pressure ")
    assert list(answer.table["place"]) == [place.name for place in answer.places]
    facts = {fact.name: fact for fact in answer.facts()}
    assert "losses of silencers" in facts["what moves the answer most"].value
    with shown_in("metric"):
        assert "kPa" in answer._repr_html_()


@settings(max_examples=3, deadline=None)
@given(st.floats(2000, 6500), st.floats(1.05, 1.4), st.floats(0.5, 4))
def test_more_flow_and_more_pipe_never_gain(speed, more, length):
    """The whole question, its band too."""
    engine = Engine(displacement="2 L", cylinders=4)

    def asked(rpm, metres):
        duty = OperatingPoint(speed=f"{rpm} rpm", volumetric_efficiency=0.9)
        system = System(runs=[run("all", tube=TWO_HALF, length=f"{metres} m")])
        return flow_through(system, engine, duty, Ambient()).total_pressure_loss

    base = asked(speed, length)
    assert np.all(np.array(asked(speed * more, length)) > np.array(base))
    assert np.all(np.array(asked(speed, length * more)) > np.array(base))


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"system": "dual 3 in"}, r"system must be a System \(got text 'dual 3 in'\)"),
        ({"system": None}, r"system must be a System \(got nothing\)"),
        ({"engine": None}, "engine must be an Engine"),
        ({"duty": 6000}, "duty must be an OperatingPoint"),
        ({"ambient": "300 m"}, "ambient must be an Ambient"),
    ],
)
def test_refusals(engine, duty, duals, change, words):
    usual = {"system": duals, "engine": engine, "duty": duty}
    with pytest.raises(ExhaustError, match=words):
        flow_through(**(usual | change))


def test_inlets_with_and_without_cylinders_are_refused(engine, duty):
    system = two_into_one()
    half = system.with_(inlets=[Inlet(name="left", cylinders=[1, 3]), system.inlets[1]])
    with pytest.raises(
        ExhaustError, match=r"inlet 'right' names no cylinders where other inlets do"
    ):
        flow_through(half, engine, duty)
