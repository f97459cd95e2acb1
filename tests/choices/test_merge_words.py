"""What the answer about merges says: limits, words, what to buy, and what it refuses."""

import pytest

from exhaust.choices import Limits, compare_merges
from exhaust.errors import ExhaustError
from exhaust.joints import YMerge
from exhaust.stock import Bend, Tube
from exhaust.system import Inlet, Run, System


def tube(od, wall="16 ga", material="304"):
    return Tube(od=f"{od} in", wall=wall, material=material)


def y_system(bend, **more):
    y = YMerge(bend, **more)
    runs = [
        Run(name="left", tube=bend.tube, length="1 m", from_="L", to="Y"),
        Run(name="right", tube=bend.tube, length="1 m", from_="R", to="Y"),
        Run(name="tail", tube=y.outlet, length="1 m"),
    ]
    inlets = [Inlet(name="L"), Inlet(name="R")]
    return System(runs=runs, inlets=inlets, joint=y, joint_at="Y")


ODS = (2.5, 2.75, 3, 3.5)
OUTLETS = [tube(od) for od in ODS]


def test_choice_and_words_where_nothing_is_worth_having(engine, duty, ambient, duals):
    large = duals.with_tube(tube(3.5))
    answer = compare_merges(large, engine, duty, ambient, [tube(3.5), tube(4)])
    assert answer.choice == tube(3.5)
    assert answer.options[1].verdict.word == "not worth deciding on"
    reason = answer.reason
    assert reason.startswith("Merged into their own size, 3.5 in x 16 ga, the pipes and all")
    assert "not worth deciding on" in reason
    assert "steady flow" in reason
    assert "pulses" in reason
    assert "Buy 3.5 in x 16 ga" in reason.split(". ")[-1]


def test_choice_where_a_step_is_worth_having(engine, duty, ambient, duals):
    """Small legs on a large engine: all the gas in one pipe of their own size costs far more."""
    small = duals.with_tube(tube(2))
    answer = compare_merges(small, engine, duty, ambient, [tube(2), tube(2.5), tube(2.75)])
    assert answer.options[1].verdict.word == "better"
    assert answer.choice == tube(2.75)
    assert "2.75 in x 16 ga saves" in answer.reason
    assert answer.rows().marked == 2


def test_choked_same_size_is_named_and_not_priced(engine, duty, ambient):
    head = Run(name="head", tube=tube(1.5), length="0.3 m")
    small = System(runs=[head, head.with_(name="tail")], pipes=2)
    answer = compare_merges(small, engine, duty, ambient, [tube(1.5), tube(2)])
    assert answer.same_size.choked
    assert answer.reason.startswith("1.5 in x 16 ga is choked (gas at Mach 1).")
    assert answer.choice == tube(2)
    assert answer.table["verdict"].iloc[0] == "chokes"


def test_no_outlet_that_fits_is_refused(engine, duty, ambient, legs):
    words = r"outlets hold none that fits: 2.5 in x 16 ga is over the largest od, 2 in"
    with pytest.raises(ExhaustError, match=words):
        compare_merges(legs, engine, duty, ambient, [tube(2.5)], Limits(largest_od="2 in"))


def test_an_outlet_that_the_system_cannot_be_built_in_is_left_out(engine, duty, ambient):
    leg = tube(2.5)
    head = Run(name="head", tube=leg, length="1 m")
    tight = Run(name="tail", tube=leg, length="0.31 m", bends=[Bend(leg, clr="7.5 in")])
    system = System(runs=[head, tight], pipes=2)
    answer = compare_merges(system, engine, duty, ambient, [tube(3)])
    assert [one.outlet for one in answer.options] == [leg]
    assert [outlet for outlet, _ in answer.refused] == [tube(3)]
    assert "3 in x 16 ga is left out: length of run 'tail' must hold its bends" in answer.reason


def test_legs_that_cannot_be_cut_for_their_own_size_are_refused(engine, duty, ambient):
    bend = Bend(tube(2.5), clr="3.75 in", angle="60 deg")
    system = y_system(bend, cutback=0.2, outlet=tube(3.5), legs="splayed")
    words = (
        r"system cannot be merged into the legs' own size, 2.5 in x 16 ga: cutback 0.50 runs past"
    )
    with pytest.raises(ExhaustError, match=words):
        compare_merges(system, engine, duty, ambient, [tube(3.5)])


def test_limits(engine, duty, ambient, legs):
    limits = Limits(largest_od="3 in", largest_back_pressure_gauge="30 kPa")
    answer = compare_merges(legs, engine, duty, ambient, OUTLETS, limits)
    assert [one.fits for one in answer.options] == [False, True, True, False]
    assert answer.choice == tube(3)
    assert "3.5 in x 16 ga is over the largest od, 3 in" in answer.reason
    assert "2.5 in x 16 ga is over the largest back pressure, 30 kPa" in answer.reason
    assert any("The loss of a merge is a momentum balance" in line for line in answer.assumptions)


def test_defaults_are_the_shelf_up_to_both_legs_area(engine, duty, legs):
    answer = compare_merges(legs, engine, duty)
    assert [one.outlet.name for one in answer.options] == [
        "2.5 in x 16 ga",
        "2-3/4 in x 16 ga",
        "3 in x 16 ga",
    ]
    assert all(one.area_ratio >= 1 for one in answer.options)


def test_ferritic_tube_is_warned(engine, duty, ambient, duals):
    answer = compare_merges(
        duals.with_tube(tube(2.5, material="409")), engine, duty, ambient, [tube(2.75)]
    )
    assert answer.options[1].forming.words().endswith("ferritic, so less across a weld")
    assert any("weld bead" in line and "ferritic" in line for line in answer.assumptions)


def test_shown(asked_merges):
    answer = asked_merges
    assert answer.assumptions[0].startswith("Gas temperature")
    assert repr(answer).startswith("<MergeComparison: buy ")
    assert "merge_cost" in answer.table.columns
    assert 'class="chosen"' in answer._repr_html_()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"outlets": []}, "outlets is empty"),
        ({"outlets": ["3 in"]}, "outlets must be a list of tubes"),
        (
            {"outlets": [tube(3), tube(2.25)]},
            r"outlets must be as large as the legs, 2.5 in x 16 ga, or larger "
            r"\(got 2.25 in x 16 ga\); a merge never narrows",
        ),
        ({"outlets": [tube(5)]}, "outlets must be less than both legs"),
        ({"system": "dual 3 in"}, "system must be a System"),
        ({"duty": None}, "duty must be an OperatingPoint"),
        ({"limits": None}, "limits must be a Limits"),
    ],
)
def test_refusals(engine, duty, legs, change, words):
    usual = {"system": legs, "engine": engine, "duty": duty}
    with pytest.raises(ExhaustError, match=words):
        compare_merges(**(usual | change))


def test_one_pipe_has_nothing_to_merge(engine, duty, legs):
    with pytest.raises(ExhaustError, match=r"system must have two pipes or more to merge"):
        compare_merges(legs.with_(pipes=1), engine, duty)
