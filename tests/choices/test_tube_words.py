"""What the answer about tubes says: limits, words, what to buy, and what it refuses."""

import pytest

from exhaust.choices import Limits, compare_tubes, tubes
from exhaust.engine import Ambient
from exhaust.errors import ExhaustError
from exhaust.show import shown_in
from exhaust.stock import Bend, Tube
from exhaust.system import Run, System


def test_limits_are_kept_and_named(engine, duty, ambient, duals, sizes):
    limits = Limits(largest_od="2.75 in", largest_back_pressure_gauge="20 kPa")
    answer = compare_tubes(duals, engine, duty, ambient, sizes, limits)
    assert [one.fits for one in answer.options] == [
        one.tube.od <= 0.06985 * (1 + 1e-9) and one.back_pressure <= 20e3 for one in answer.options
    ]
    assert answer.choice.od <= 0.06985 * (1 + 1e-9)
    assert "3 in x 16 ga and 3.5 in x 16 ga are over the largest od, 2.75 in." in answer.reason
    assert "2.25 in x 16 ga is over the largest back pressure, 20 kPa." in answer.reason
    frame = answer.table
    assert list(frame["verdict"])[-1] == "does not fit"


def test_a_choked_tube_is_named(engine, duty, ambient, duals):
    single = duals.with_(pipes=1)
    few = [Tube(od=od, wall="16 ga") for od in ("1.375 in", "1.5 in", "3 in", "3.5 in")]
    answer = compare_tubes(single, engine, duty, ambient, few)
    assert [one.choked for one in answer.options] == [True, True, False, False]
    assert answer.options[0].outlet_mach == pytest.approx(1.0, rel=1e-9)
    assert "1.375 in x 16 ga and 1.5 in x 16 ga are choked (gas at Mach 1)." in answer.reason
    assert list(answer.table["verdict"])[:2] == ["chokes", "chokes"]


def test_tubes_of_which_none_fits_are_refused(engine, duty, ambient, duals):
    words = (
        r"tubes hold none that fits: 3 in x 16 ga is over the largest od, 2 in; give other tubes"
    )
    with pytest.raises(ExhaustError, match=words):
        compare_tubes(duals, engine, duty, ambient, [duals.tube], Limits(largest_od="2 in"))


def test_a_tube_that_the_system_cannot_be_built_in_is_named(engine, duty, ambient):
    tube = Tube(od="2.5 in", wall="16 ga")

    tight = Run(name="tail", tube=tube, length="0.31 m", bends=[Bend(tube, clr="7.5 in")])
    pair = [tube, Tube(od="3 in", wall="16 ga")]
    answer = compare_tubes(System(runs=[tight], pipes=2), engine, duty, ambient, pair)
    assert [one.tube for one in answer.options] == [tube]
    assert answer.refused[0][0] == pair[1]
    assert "3 in x 16 ga is left out: length of run 'tail' must hold its bends" in answer.reason


def test_only_tubes_that_cannot_be_built(engine, duty, ambient):

    tube = Tube(od="2.5 in", wall="16 ga")
    tight = Run(name="tail", tube=tube, length="0.31 m", bends=[Bend(tube, clr="7.5 in")])
    with pytest.raises(ExhaustError, match="tubes hold none that the system can be built in"):
        compare_tubes(System(runs=[tight]), engine, duty, ambient, [Tube(od="4 in", wall="16 ga")])


def test_what_is_said_and_shown(asked_tubes, sizes):
    answer = asked_tubes
    assert answer.assumptions[0].startswith("Gas temperature")
    assert any(line.startswith("Heat goes through the wall") for line in answer.assumptions)
    facts = {fact.name: fact for fact in answer.facts()}
    heard = facts["rules heard in shops take"]
    for one in answer.options:
        takes = 75 <= one.velocity <= 105 and one.outlet_mach < 0.3
        assert (one.tube.name in str(heard.value)) == takes
    assert "not used" in heard.note
    assert len(answer.table) == len(sizes)
    assert repr(answer).startswith("<TubeComparison: buy ")
    html = answer._repr_html_()
    assert 'class="chosen"' in html
    with shown_in("metric"):
        assert "kPa" in answer._repr_html_()


def test_shop_rules_never_choose(asked_tubes, engine, duty, ambient, duals, sizes, monkeypatch):
    before = asked_tubes.choice
    monkeypatch.setattr(tubes, "RULE_VELOCITY", (1.0, 2.0))
    after = compare_tubes(duals, engine, duty, ambient, sizes)
    assert after.choice == before
    assert not any(one.in_shop_rules for one in after.options)


def test_defaults_are_the_shelf_and_standard_air(engine, duty, duals):
    answer = compare_tubes(duals, engine, duty)
    assert answer.flow.ambient == Ambient()
    names = [one.tube.name for one in answer.options]
    assert "3 in x 16 ga" in names
    assert not any("0.049" in name for name in names)  # one wall per od: the system's
    metric = compare_tubes(duals.with_tube(Tube(od="76 mm", wall="1.5 mm")), engine, duty)
    assert all("mm" in one.tube.name for one in metric.options)


def test_every_tube_that_is_no_worse_is_named(engine, duty, ambient, duals, sizes):
    answer = compare_tubes(duals, engine, duty, ambient, sizes, Limits(worth_having=0.04))
    named = "Against the best, 2.75 in x 16 ga and 3 in x 16 ga: not worth deciding on."
    assert answer.choice == sizes[1]
    assert named in answer.reason
    answer = compare_tubes(duals, engine, duty, ambient, sizes, Limits(worth_having=0.5))
    assert "Against the best, 2.5 in x 16 ga, 2.75 in x 16 ga and 3 in x" in answer.reason


def test_the_largest_given_may_not_be_large_enough(engine, duty, ambient, duals, sizes):
    answer = compare_tubes(duals, engine, duty, ambient, sizes[:2])
    assert answer.choice == sizes[1]
    assert "Nothing that fits costs less, and nothing larger was given." in answer.reason


@pytest.mark.parametrize("word", ["cannot tell", "not worth deciding on"])
def test_no_difference_still_ends_with_what_to_buy(engine, duty, ambient, duals, sizes, word):
    """The threshold put just under the middle of a difference, or far over it."""
    first = compare_tubes(duals, engine, duty, ambient, sizes[3:])
    gap = abs(first.options[0].verdict.difference.middle)
    worth = gap * 1.02 if word == "cannot tell" else gap * 3
    answer = compare_tubes(
        duals, engine, duty, ambient, sizes[3:], Limits(worth_having=float(worth))
    )
    assert answer.chosen.verdict.word == word
    assert word in answer.reason
    assert answer.choice == sizes[3]
    assert f"Buy {sizes[3].name}" in answer.reason.split(". ")[-1]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"tubes": []}, "tubes is empty; give at least one tube"),
        ({"tubes": ["3 in"]}, "tubes must be a list of tubes"),
        ({"tubes": "3 in"}, "tubes must be a list of tubes"),
        ({"tubes": Tube(od="3 in", wall="16 ga")}, "tubes must be a list of tubes"),
        ({"system": Tube(od="3 in", wall="16 ga")}, "system must be a System"),
        ({"engine": None}, "engine must be an Engine"),
        ({"limits": 0.01}, "limits must be a Limits"),
        ({"ambient": "300 m"}, "ambient must be an Ambient"),
    ],
)
def test_refusals(engine, duty, duals, change, words):
    usual = {"system": duals, "engine": engine, "duty": duty}
    with pytest.raises(ExhaustError, match=words):
        compare_tubes(**(usual | change))
