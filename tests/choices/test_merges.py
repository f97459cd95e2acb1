"""Same size or stepped: losses by hand, geometry from a solid-checked table, and the words."""

import math

import numpy as np
import pytest

from exhaust.choices import Limits, compare_merges
from exhaust.choices.doubts import doubts
from exhaust.choices.steady import merge_flow
from exhaust.engine import exhaust_flow
from exhaust.errors import ExhaustError
from exhaust.stock import Tube


def tube(od, wall="16 ga", material="304"):
    return Tube(od=f"{od} in", wall=wall, material=material)


@pytest.fixture
def legs(duals):
    return duals.with_tube(tube(2.5))


OUTLETS = [tube(2.5), tube(2.75), tube(3), tube(3.5)]


def test_loss_by_hand(engine, duty, ambient, legs):
    """(1 - 1/(2 f))^2 of the outlet's dynamic head; density from p/(R T) at the outlet."""
    answer = compare_merges(legs, engine, duty, ambient, OUTLETS)
    flow = answer.flow
    leg_area = math.pi / 4 * (2.5 * 0.0254 - 2 * 0.001651) ** 2
    for one, od in zip(answer.options, (2.5, 2.75, 3, 3.5), strict=True):
        area = math.pi / 4 * (od * 0.0254 - 2 * 0.001651) ** 2
        assert one.area_ratio == pytest.approx(2 * leg_area / area, rel=1e-12)
        cold = flow.gas_temperature - one.velocity**2 / (2 * flow.gas.cp(flow.gas_temperature))
        density = flow.ambient_pressure / (flow.gas.gas_constant * cold)
        # one cp along the way: exact here, because gamma is taken at the total temperature
        assert density * one.velocity * area == pytest.approx(flow.mass_flow, rel=1e-9)
        loss = (1 - area / leg_area / 2) ** 2 * density * one.velocity**2 / 2
        assert one.loss == pytest.approx(loss, rel=1e-9)


def test_same_size_comes_first_even_when_not_listed(engine, duty, ambient, legs):
    answer = compare_merges(legs, engine, duty, ambient, [tube(3), tube(2.75)])
    assert [one.outlet for one in answer.options] == [tube(2.5), tube(2.75), tube(3)]
    assert answer.same_size.outlet == answer.leg == tube(2.5)
    assert answer.options[0].forming.cutback == 0.5
    assert answer.options[0].loss_coefficient == pytest.approx(0.25, rel=1e-12)
    assert answer.table["verdict"].iloc[0] == "same size"


def test_cutback_and_stretch_as_a_solid_model_has_them(engine, duty, ambient, legs):
    """2.5 in to 3 in, mid-wall, 16 ga throughout; 20 % and 0.3456 to the printed figures."""
    answer = compare_merges(legs, engine, duty, ambient, [tube(3)])
    one = answer.options[1]
    assert one.forming.cutback == pytest.approx(0.34563, abs=5e-5)
    # outside: 76.2/63.5 - 1 = 20 % exactly; on the middle of the walls (76.2-1.651)/(63.5-1.651)
    assert one.forming.stretch_at_half == pytest.approx(74.549 / 61.849 - 1, rel=1e-9)
    assert "20.5 % is over 15.0 % in one step: slice at 0.346" in list(answer.table["forming"])


def test_larger_outlets_lose_less_up_to_both_legs_area(engine, duty, ambient, legs):
    answer = compare_merges(legs, engine, duty, ambient, OUTLETS)
    for name in ("velocity", "friction_per_length", "cost_per_length", "dynamic_head"):
        assert np.all(np.diff([getattr(one, name) for one in answer.options]) < 0), name
    within = [one for one in answer.options if one.area_ratio >= 1]
    assert np.all(np.diff([one.loss for one in within]) < 0)
    assert np.all(np.diff([one.power_cost.middle for one in within]) < 0)


def test_no_sample_creates_total_pressure(engine, duty, ambient):
    flow = exhaust_flow(engine, duty, ambient)
    _, samples = doubts(flow)
    outlets = [tube(od) for od in (2.5, 3, 3.5, 4)]
    merged = merge_flow(tube(2.5), outlets, 2, flow, samples)
    assert merged.loss_coefficient.min() == 0.0  # the floor is met, and not passed
    assert merged.loss.shape == (4, 256)
    # and the band reaches as far as it says: 0.15 and 30 degrees of leg
    widest = np.quantile(merged.loss_coefficient[0], 0.95)
    assert 0.25 + 0.15 < widest < 0.25 + 0.15 + (1 - math.cos(math.radians(30)))


def test_friction_after_it_is_the_outlets_own(engine, duty, ambient, legs):
    """f/D of the dynamic head, f read off Moody's chart at Re 155e3, e/D 1.7e-4: 0.0175."""
    answer = compare_merges(legs, engine, duty, ambient, OUTLETS)
    one = answer.options[0]
    expected = 0.0175 / 0.0602 * one.dynamic_head
    assert one.friction_per_length == pytest.approx(expected, rel=0.04)


def test_choice_and_words_where_nothing_is_worth_having(engine, duty, ambient, duals):
    answer = compare_merges(duals, engine, duty, ambient, [tube(3), tube(3.5)])
    assert answer.choice == tube(3)
    assert answer.options[1].verdict.word == "not worth deciding on"
    reason = answer.reason
    assert "Two legs merged into their own size, 3 in x 16 ga, lose" in reason
    assert "not worth deciding on" in reason
    assert "steady flow" in reason
    assert "pulses" in reason
    assert "Buy 3 in x 16 ga" in reason.split(". ")[-1]


def test_choice_where_a_step_is_worth_having(engine, duty, ambient, duals):
    """Small legs on a large engine: the merge into their own size costs several percent."""
    small = duals.with_tube(tube(2))
    answer = compare_merges(small, engine, duty, ambient, [tube(2), tube(2.5), tube(2.75)])
    assert answer.options[1].verdict.word == "better"
    assert answer.choice == tube(2.5)
    assert "2.5 in x 16 ga saves" in answer.reason
    assert answer.rows().marked == 1


def test_length_from_which_friction_asks_for_more(engine, duty, ambient, duals):
    """The sentence's length, worked out again from the table."""
    answer = compare_merges(duals, engine, duty, ambient, [tube(3), tube(3.5)])
    small, large = answer.options
    saved = small.power_cost.middle - large.power_cost.middle
    length = (0.01 - saved) / (small.cost_per_length - large.cost_per_length)
    assert 1 < length < 10
    said = f"if more than about {length / 0.3048:.1f} ft of outlet follows, 3.5 in x 16 ga."
    assert answer.reason.endswith(said)


def test_choked_same_size_is_named_and_not_priced(engine, duty, ambient, duals):
    answer = compare_merges(duals.with_tube(tube(1.5)), engine, duty, ambient, [tube(1.5), tube(2)])
    assert answer.same_size.choked
    assert answer.same_size.mach == 1.0
    assert answer.reason.startswith("1.5 in x 16 ga is choked (gas at Mach 1).")
    assert answer.choice == tube(2)
    assert answer.table["verdict"].iloc[0] == "chokes"


def test_every_outlet_choked_is_refused(engine, duty, ambient, duals):
    with pytest.raises(ExhaustError, match=r"outlets hold none that fits: 1.5 in .* is choked"):
        compare_merges(duals.with_tube(tube(1.5)), engine, duty, ambient, [tube(1.5)])


def test_limits(engine, duty, ambient, legs):
    limits = Limits(largest_od="2.75 in", largest_back_pressure_gauge="2 kPa")
    answer = compare_merges(legs, engine, duty, ambient, OUTLETS, limits)
    assert [one.fits for one in answer.options] == [False, True, False, False]
    assert answer.choice == tube(2.75)
    assert "are over largest_od 2.75 in" in answer.reason
    assert "2.5 in x 16 ga is over largest_back_pressure_gauge 2 kPa" in answer.reason
    assert any("the loss of the merge alone" in line for line in answer.assumptions)


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


def test_four_pipes_put_two_shares_in_the_outlet(engine, duty, ambient, duals):
    two = compare_merges(duals, engine, duty, ambient, [tube(3)])
    four = compare_merges(duals.with_(pipes=4), engine, duty, ambient, [tube(3)])
    slow, fast = four.options[0].velocity, two.options[0].velocity
    # half the mass flow is half the velocity but for the gas warming as it slows
    assert slow == pytest.approx(fast / 2, rel=0.02)


def test_shown(engine, duty, ambient, legs):
    answer = compare_merges(legs, engine, duty, ambient, OUTLETS)
    assert answer.assumptions[0].startswith("Gas temperature")
    assert repr(answer).startswith("<MergeComparison: buy ")
    assert "friction_per_length [Pa/m]" in answer.table.columns
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
