"""What a stock plan tells, every number by hand: two tails of 0.8 m with a bend of 45 degrees.

Each is straight, bend, straight; the bends come from one of 90. And the limits of what is had.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from test_stock_plan import BEND, JOB, SAW, TUBE, X, tail

from exhaust import (
    Bend,
    ExhaustError,
    Measured,
    Offcut,
    PurgeGas,
    Run,
    Stock,
    System,
    Tube,
    show,
    stock_plan,
)
from exhaust.cutmath.stock_result import StockPlan
from exhaust.stock import material

PRICED = Stock(price_per_length="4.20 /m", price_per_bend=18, lengths=["6 m"])
ARC = math.pi / 4 * 0.1143  # of 45 degrees at 4.5 in
STRAIGHT = (0.8 - ARC + 1e-3) / 2  # a kerf of the sawn bend made up
RING = math.pi / 4 * (0.0762**2 - (0.0762 - 2 * TUBE.wall) ** 2)
HEAVY = RING * material("304").density  # [kg/m]


@pytest.fixture(scope="module")
def two() -> StockPlan:
    return stock_plan(System(runs=[tail("45 deg", length="0.8 m")], pipes=2), SAW, PRICED)


def test_what_is_bought_left_and_paid(two: StockPlan) -> None:
    left = 6.0 - 5e-3 - 4 * (STRAIGHT + 1e-3)
    bore = math.pi / 4 * (0.0762 - 2 * TUBE.wall) ** 2
    gas = math.log(0.21 / 0.001) * 2 * 0.8 * bore
    with show.shown_in("metric"):
        found = [(fact.name, fact.value, fact.note) for fact in two.facts()]
    name, per = "tube 3 in x 16 ga", "in 3 in x 16 ga, in the money of the job"
    flow = f"{gas * 1e3:.0f} L at 15.0 L/min"
    wanted: list[tuple[str, float, str]] = [
        (f"Buy: {name}", 1, "of 6.00 m"),
        ("Buy: 90° bend, 3 in x 16 ga, clr 4.5 in", 1, ""),
        ("Longest tube left", left, f"of {name}"),
        ("An offcut that would do", 6.0 - left, f"of {name}, in place of 6.00 m"),
        ("Cost of tube", 6 * 4.2, per),
        ("Cost of bends", 18.0, per),
        ("Mass of tube and joint", 2 * 0.8 * HEAVY, "parts in line not counted"),
        ("Mass of what is bought", (6.0 + 2 * ARC) * HEAVY, ""),
        ("Weld in all", 4 * math.pi * 0.0762, ""),
        ("Purge the whole exhaust, at least", gas / 0.25e-3, flow),
    ]
    assert [(one, note) for one, _, note in found] == [(one, note) for one, _, note in wanted]
    for (one, value, _), (_, expected, _) in zip(found, wanted, strict=True):
        assert value == pytest.approx(expected, rel=1e-9), one


def test_rows_welds_and_words(two: StockPlan) -> None:
    left = 6e3 - 5 - 4 * (STRAIGHT + 1e-3) * 1e3
    with show.shown_in("metric"):
        texts = two.rows().texts()
    assert texts == [
        ["1", "tube 3 in x 16 ga", "buy", f"4 x 1a {STRAIGHT * 1e3:.1f}", "6000.0", f"{left:.1f}"],
        ["1", "90° bend, 3 in x 16 ga, clr 4.5 in", "buy", "2 x 1b 45.0°", "179.5", "0.0"],
    ]
    assert two.seams_rows().rows == (
        ("butt weld round 3 in x 16 ga", 4, pytest.approx(math.pi * 0.0762)),
    )
    with show.shown_in("metric"):
        assert two.reason.startswith("Buy 1 length of 6.00 m of tube 3 in x 16 ga and 1 bend of 90")
        said = two.assumptions
    assert two.reason.endswith("no plan buys less")
    assert said[0].startswith("Straights of tail are not described")
    assert "5.0 mm with its kerf; each piece takes a kerf of 1.0 mm" in said[1]
    assert "sold at 90.0° and 180.0°" in said[2]
    assert not any("Tube is sold" in line for line in said)  # the lengths are given
    assert two.parts_rows().rows[0][0] == "1a"


def test_lengths_that_are_assumed_are_told_after_straights_that_are() -> None:
    own = Run(name="tail", tube=TUBE, length="1 m")
    plain, shared = (
        stock_plan(System(runs=[run]), SAW).assumptions for run in (own, tail("90 deg"))
    )
    with show.shown_in("metric"):
        assert "lengths of 20.0 ft" in plain[0] or "lengths of 6.10 m" in plain[0]
    assert shared[0].startswith("Straights of tail")
    assert shared[1].startswith("Tube is sold in lengths of")


def test_a_plan_that_is_not_proven_says_its_gap(two: StockPlan) -> None:
    import attrs

    assert attrs.evolve(two, gap=0.021).reason.endswith("the least possible is at most 2.1 % less")


def test_a_joint_is_weighed_welded_and_purged_beside_its_runs() -> None:
    runs = [Run(name=name, tube=TUBE, length="1 m") for name in ("in", "out")]
    alone, duals = (stock_plan(System(runs=runs, pipes=2, joint=joint), SAW) for joint in (None, X))
    assert duals.mass == pytest.approx(4 * HEAVY + X.mass)
    assert alone.mass == pytest.approx(4 * HEAVY)
    assert alone.weld_length == pytest.approx(2 * math.pi * 0.0762)  # in to out, twice
    names = [fact.name for fact in duals.facts()]
    assert names.index("Purge the joint, at least") < names.index(
        "Purge the whole exhaust, at least"
    )
    assert not any("Purge the joint" in fact.name for fact in alone.facts())
    assert not any(name.startswith("Cost") for name in names)


def test_what_is_left_is_told_longest_first_and_the_barely_used_are_named() -> None:
    """Two tubes opened, one to its end: the offcut in place of the other is what it gives."""
    assert JOB.saw is not None
    plan = stock_plan(JOB.system, JOB.saw)
    lengths = [one.left for one in plan.left]
    assert lengths == sorted(lengths, reverse=True)
    assert min(lengths) > 0.0
    assert all(isinstance(one.stock, Tube) for one in plan.left)
    (spared,) = plan.spared
    assert spared.left == lengths[0]
    assert spared.left > spared.length / 2
    ours = Stock(on_hand=[Offcut(TUBE, length="20 ft")])
    own = stock_plan(System(runs=[tail(length="1 m")]), SAW, ours)
    assert own.spared == ()  # it is on hand, not bought
    assert own.rows().rows[0][2] == "on hand"
    assert not any(fact.name.startswith("An offcut") for fact in own.facts())
    used = 6.096 - 5e-3 - 1.0 - SAW.kerf
    assert own.left[0].left == pytest.approx(used)


def test_only_tube_like_the_systems_own_is_priced() -> None:
    other = Tube(od="2 in", wall="16 ga")
    runs = [
        Run(name="in", tube=TUBE, length="1 m", bends=[BEND]),
        Run(name="out", tube=other, length="1 m", bends=[Bend(other, clr="3 in")]),
    ]
    plan = stock_plan(System(runs=runs), SAW, PRICED)
    cost = {fact.name: fact.value for fact in plan.facts() if fact.name.startswith("Cost")}
    assert cost == {"Cost of tube": pytest.approx(6 * 4.2), "Cost of bends": 18.0}


# What can be had, and what can be read

LIMITS: list[tuple[Any, str, str, str]] = [
    (lambda text: Offcut(TUBE, length=text), "length", "1 mm", "30 m"),
    (lambda text: Stock(lengths=[text]), "lengths", "100 mm", "30 m"),
    (lambda text: Stock(trim=text), "trim", "0 mm", "50 mm"),
    (lambda text: Stock(bend_angles=[text]), "bend_angles", "5 deg", "185 deg"),
]
LIMITS += [
    (lambda text, name=name: Measured(**{name: text}), name, low, high)
    for name, low, high in (
        ("od_heel_to_throat", "0.25 in", "12 in"),
        ("od_side_to_side", "0.25 in", "12 in"),
        ("wall", "0.2 mm", "20 mm"),
        ("heel_wall", "0.1 mm", "20 mm"),
        ("bend_angle", "5 deg", "185 deg"),
        ("return_angle", "5 deg", "185 deg"),
        ("tangent", "0 m", "3 m"),
        ("return_tangent", "0 m", "3 m"),
        ("opening_length", "1 mm", "3 m"),
        ("opening_height", "1 mm", "3 m"),
        ("mitre_opening", "1 mm", "3 m"),
        ("exit_mitre_opening", "1 mm", "3 m"),
        ("halved_opening", "1 mm", "3 m"),
        ("kerf", "0.2 mm", "5 mm"),
    )
]


@pytest.mark.parametrize(
    ("make", "name", "low", "high"), LIMITS, ids=[f"{n} {low}" for _, n, low, _ in LIMITS]
)
def test_what_a_shop_can_have_and_read_is_taken_and_no_more(
    make: Any, name: str, low: str, high: str
) -> None:
    """Common practice, no source: a size a little past either limit is a slip of the pen."""
    for text in (low, high):
        make(text)
        number, unit = text.split()
        past = float(number) * (0.99 if text == low else 1.01) - (0.01 if number == "0" else 0.0)
        with pytest.raises(ExhaustError, match=name):
            make(f"{past} {unit}")


def test_argon_flows_at_15_litres_a_minute_to_a_tenth_of_a_percent() -> None:
    """Common practice, no source."""
    gas = PurgeGas()
    assert gas.flow * 60e3 == pytest.approx(15.0)
    assert gas.oxygen == 0.001
    assert "15 L/min" in repr(PurgeGas(flow="15 L/min", oxygen=0.01))
    for share in (0.0, 0.21, -0.1):
        with pytest.raises(ExhaustError, match="oxygen must be a share"):
            PurgeGas(oxygen=share)
    assert PurgeGas(oxygen=0.2).oxygen == 0.2
    with pytest.raises(ExhaustError, match=r"flow must be more than zero \(got 0 L/min\)"):
        PurgeGas(flow="0 L/min")
    with pytest.raises(ExhaustError, match=r"price_per_bend must be between 0 and 1e"):
        Stock(price_per_bend=1.1e6)
    assert Stock().trim == pytest.approx(5e-3)
    assert Stock().trim.written() == "5 mm"  # type: ignore[attr-defined]
    assert [round(math.degrees(angle)) for angle in Stock().bend_angles] == [90, 180]
    assert gas.flow.written() == "15 L/min"  # type: ignore[attr-defined]


# Limits of nesting a run


@pytest.mark.parametrize(("length", "pieces"), [("5.995 m", 1), ("5.996 m", 2), ("11.99 m", 2)])
def test_a_straight_is_one_piece_to_the_stocks_length_less_its_trim(
    length: str, pieces: int
) -> None:
    """6 m less 5 mm; twice that is two pieces, not three."""
    plan = stock_plan(System(runs=[tail(length=length)]), SAW, Stock(lengths=["6 m"]))
    (part,) = plan.parts
    assert part.pieces == pieces
    assert part.length == pytest.approx(float(length.split()[0]) / pieces)
    assert sum(seam.count for seam in plan.seams) == pieces - 1


def test_a_bend_on_hand_is_one_with_its_ends_as_long() -> None:
    """A joint takes a bend with straight ends as long as its own or longer; not a shorter."""
    own = BEND.with_(tangent="20 mm")
    joint = X.with_(bend=own)
    runs = [Run(name=name, tube=TUBE, length="1 m") for name in ("in", "out")]
    for tangent, taken in (("25 mm", True), ("20 mm", True), ("19 mm", False)):
        ours = Stock(on_hand=[BEND.with_(tangent=tangent)])
        plan = stock_plan(System(runs=runs, pipes=2, joint=joint), SAW, ours)
        held = [one for one in plan.opened if one.on_hand]
        assert len(held) == taken, tangent
        assert sum(isinstance(one.stock, Bend) for one in plan.opened) == 4


def test_marks_go_by_run_and_kind() -> None:
    """The second run's pieces are 2a and 2b; two pipes have twice as many of each."""
    runs = [tail("45 deg", length="0.8 m"), tail("45 deg", "90 deg", length="1.5 m")]
    runs[1] = runs[1].with_(name="end")
    plan = stock_plan(System(runs=runs, pipes=2), SAW)
    assert [(part.label, part.pieces) for part in plan.parts] == [
        ("1a", 4),
        ("1b", 2),
        ("2a", 6),
        ("2b", 2),
        ("2c", 2),
    ]
    assert plan.parts[3].what == "end, bend of 45.0°"
    between = (1.5 - 0.1143 * (math.pi / 4 + math.pi / 2) + 1e-3) / 3  # one kerf: 90 is sold
    assert plan.parts[2].length == pytest.approx(between)
    assert plan.parts[3].mass == pytest.approx(ARC * HEAVY)
