"""What heat does to lengths: a hand's account in 304, and what it asks for."""

import pytest
from whole_systems import THREE, H, X, folded, primaries, run, two_into_one

from exhaust import Inlet, Merge, OperatingPoint, Part, Run, System
from exhaust.choices.along import PlaceFlow
from exhaust.choices.growth import SLIDES, Growth, Tie, growth, growth_notes
from exhaust.choices.through import flow_through
from exhaust.engine import Ambient, exhaust_flow
from exhaust.show import shown_in

COLD = 293.15  # 20 C


@pytest.fixture
def flow(engine):
    duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9)
    return exhaust_flow(engine, duty, Ambient(temperature="20 degC"))


def place(name, length, wall, tube=THREE):
    """Return a place of 304 whose wall is at a temperature; it grows by 18.4e-6 per kelvin."""
    grown = 0.0 if wall is None else length * 18.4e-6 * (wall - COLD)
    return PlaceFlow(
        name=name,
        tube=tube,
        mass_flow=0.1,
        length=length,
        start_temperature=900.0,
        end_temperature=850.0,
        wall_temperature=wall,
        velocity=90.0,
        mach=0.15,
        dynamic_head=1500.0,
        total_pressure_loss=800.0,
        growth=grown,
    )


def test_common_practice_for_a_side_exit_in_304(engine, four):
    """2.6 m of 304 whose wall stands at about 400 C grows by 17 to 19 mm (common practice)."""
    duty = OperatingPoint(speed="5000 rpm", volumetric_efficiency=0.85, gas_temperature="550 degC")
    system = System(runs=[Run(name="all", tube=THREE, length="2.6 m")], pipes=2)
    answer = flow_through(system, engine, duty, Ambient(temperature="20 degC"))
    (one,) = answer.places
    assert one.wall_temperature == pytest.approx(673.0, abs=15.0)  # the gas was chosen for that
    at_400 = answer.growth.along * (673.15 - COLD) / (one.wall_temperature - COLD)
    assert 17e-3 < at_400 < 19e-3
    assert answer.growth.along == one.growth


@pytest.mark.parametrize("lengths", [(1.0, 2.0), (2.0, 1.0)])
def test_the_way_that_grows_most_counts(flow, lengths):
    """Two legs of 1 m and 2 m, a tail of 3 m: the longer of both and the tail."""
    runs = [run("left", "L", "Y"), run("right", "R", "Y"), run("tail", length="3 m")]
    inlets = [Inlet(name="L"), Inlet(name="R")]
    system = System(runs=runs, inlets=inlets, places=[Merge(name="Y")])
    places = {
        0: place("left", lengths[0], 700.0),
        1: place("right", lengths[1], 700.0),
        "Y": place("Y", 0.0, None),
        2: place("tail", 3.0, 600.0),
    }
    expected = 18.4e-6 * (2.0 * (700 - COLD) + 3.0 * (600 - COLD))
    assert growth(system, places, flow).along == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("joint", [X, H], ids=["X", "H"])
def test_a_crossover_ties_and_grows_across(engine, duty, joint):
    """10.5 or 10 in between the pipes at about 500 C."""
    answer = flow_through(folded(joint), engine, duty, Ambient(temperature="20 degC"))
    (tie,) = answer.growth.ties
    wall = next(one.wall_temperature for one in answer.places if one.name == "J")
    assert tie.name == "J"
    assert not tie.flexible
    assert tie.across == pytest.approx(joint.spacing * 18.0e-6 * (wall - COLD), rel=0.05)
    said = " ".join(answer.notes)
    assert "At J the pipes are tied together and grow " in said
    assert "further apart: put a flexible joint or a slip ahead of it." in said


def flexible(joint=X, both=True):
    """Both sides of a crossover, a flexible joint ahead of it in one or in both."""
    runs = [
        run("left down", "left", "left flex"),
        run("left ahead", "left flex", "J"),
        run("left tail"),
        run("right down", "right", "right flex"),
        run("right ahead", "right flex", "J"),
        run("right tail"),
    ]
    kinds = ("flexible joint", "flexible joint" if both else "resonator")
    parts = [
        Part(name=f"{side} flex", kind=kind, loss=0.0)
        for side, kind in zip(("left", "right"), kinds, strict=True)
    ]
    inlets = [Inlet(name="left"), Inlet(name="right")]
    return System(runs=runs, inlets=inlets, places=parts, joint=joint, joint_at="J")


def places_of(system):
    found = {number: place(one.name, 1.0, 700.0) for number, one in enumerate(system.runs)}
    return found | {name: place(name, 0.3, 700.0) for name in system.graph.places}


@pytest.mark.parametrize("both", [True, False])
def test_a_flexible_joint_must_stand_ahead_in_every_pipe(flow, both):
    system = flexible(both=both)
    (tie,) = growth(system, places_of(system), flow).ties
    assert tie.flexible == both
    (*_, said) = growth_notes(growth(system, places_of(system), flow))
    assert ("the flexible joint ahead of it takes that up" in said) == both
    assert ("put a flexible joint or a slip ahead of it" in said) != both


def test_a_flexible_joint_behind_does_not_help(flow):
    runs = [run("ahead", to="J"), run("link", "J", "flex"), run("tail")]
    part = Part(name="flex", kind="flexible joint")
    system = System(runs=runs, pipes=2, joint=X, joint_at="J", places=[part])
    (tie,) = growth(system, places_of(system), flow).ties
    assert not tie.flexible


def test_a_merge_ties_two_banks_but_not_the_ports_of_one(flow, four, duty):
    tie = growth(two_into_one(), places_of(two_into_one()), flow).ties
    assert tie == (Tie("Y", None, False),)
    # the V8's banks are (1, 3, 5, 7) and the rest
    one_bank, two_banks = ([1, 3], [5, 7]), ([1, 3, 5, 7], [2, 4, 6, 8])
    for cylinders, tied in ((one_bank, False), (two_banks, True)):
        inlets = [
            Inlet(name=name, cylinders=some)
            for name, some in zip(("left", "right"), cylinders, strict=True)
        ]
        system = two_into_one().with_(inlets=inlets)
        assert bool(growth(system, places_of(system), flow).ties) == tied
    # all four ports of an engine in line are one bank
    header = primaries()
    assert growth(header, places_of(header), exhaust_flow(four, duty)).ties == ()


def test_notes_in_words():
    assert growth_notes(Growth(SLIDES * 0.99, ())) == []
    notes = growth_notes(Growth(0.018, (Tie("Y", None, True),)))
    assert notes == [
        "Hot, the pipe is 0.71 in longer than cold: hangers must let it slide.",
        "At Y the pipes are tied together: the flexible joint ahead of it takes that up.",
    ]
    with shown_in("metric"):
        assert "18.0 mm longer" in growth_notes(Growth(0.018, ()))[0]


def test_nothing_to_tie_in_plain_pipes(flow):
    plain = System(runs=[run("all")], pipes=2)
    assert growth(plain, places_of(plain), flow).ties == ()
