"""The stock plan of whole exhausts, by hand, by invariants and by brute force."""

from __future__ import annotations

import itertools
import math
from collections import Counter

import pytest

from exhaust import (
    Bend,
    ExhaustError,
    Offcut,
    ParallelX,
    Part,
    PurgeGas,
    Run,
    Saw,
    Stock,
    System,
    Tube,
    cut_sheet,
    load_job,
    stock_plan,
)
from exhaust.cutmath.stock_result import StockPlan
from exhaust.stock import material
from exhaust.tables import cautions

TUBE = Tube(od="3 in", wall="16 ga")
BEND = Bend(TUBE, clr="4.5 in")
SAW = Saw(kerf="1 mm")
X = ParallelX(BEND, cutback=0.28, spacing="10.5 in")
JOB = load_job("v8-parallel-x.toml")


def bent(angle: str) -> Bend:
    return BEND.with_(angle=angle)


def tail(*angles: str, length: str = "3 m") -> Run:
    return Run(name="tail", tube=TUBE, length=length, bends=[bent(angle) for angle in angles])


def bends(plan: StockPlan) -> list[tuple[float, list[float]]]:
    """The angle of each bend opened and the angles sawn from it, to a degree."""
    return [
        (
            round(math.degrees(one.stock.angle)),
            [round(math.degrees(cut.angle or cut.length / one.stock.clr)) for cut in one.cuts],
        )
        for one in plan.opened
        if isinstance(one.stock, Bend)
    ]


def tubes(plan: StockPlan) -> list[tuple[float, list[float], float]]:
    return [
        (one.length, [cut.length for cut in one.cuts], one.left)
        for one in plan.opened
        if isinstance(one.stock, Tube)
    ]


@pytest.fixture(scope="module")
def plan() -> StockPlan:
    assert JOB.saw is not None
    return stock_plan(JOB.system, JOB.saw)


def test_every_blank_of_every_part_is_sawn_from_something(plan: StockPlan) -> None:
    """Invariant: marks come out as often as parts take blanks (a joint's bends: pieces)."""
    cut = Counter(one.label for opened in plan.opened for one in opened.cuts)
    straight = {p.label: p.blanks for p in plan.parts if isinstance(p.blank.stock, Tube)}
    curved = {p.label: p.pieces for p in plan.parts if isinstance(p.blank.stock, Bend)}
    assert cut == straight | curved


def test_no_tube_gives_more_than_it_has(plan: StockPlan) -> None:
    """Invariant: trim, pieces, a kerf for each and what is left make up the length."""
    assert JOB.saw is not None
    for length, pieces, left in tubes(plan):
        used = plan.stock.trim + sum(pieces) + len(pieces) * JOB.saw.kerf
        assert used + left == pytest.approx(length, abs=1e-9)


def test_what_is_bought_is_at_least_what_the_pieces_take(plan: StockPlan) -> None:
    """Bound by length: fewer tubes than the sum of pieces fills cannot do; here one less."""
    need = sum(sum(pieces) for _, pieces, _ in tubes(plan))
    assert len(tubes(plan)) == math.ceil(need / 6.096)


def test_mass_is_density_times_metal(plan: StockPlan) -> None:
    """Exact: ring area times length times density, twice; and the joint's own mass."""
    ring = math.pi / 4 * (TUBE.od**2 - (TUBE.od - 2 * TUBE.wall) ** 2)
    length = (46 + 38 + 78) * 0.0254
    assert plan.joint is not None
    runs = 2 * length * ring * material("304").density
    assert plan.mass == pytest.approx(runs + plan.joint.mass, rel=1e-9)


def test_parts_weigh_what_the_plan_weighs(plan: StockPlan) -> None:
    """Independent: summed piece by piece. Kerf made up beside sawn bends, and what a sawn joint
    differs from a drawn one, are under half a percent."""
    pieces = sum(part.pieces * part.mass for part in plan.parts)
    assert pieces == pytest.approx(plan.mass, rel=5e-3)


def test_welds_are_the_sum_of_seams_counted_by_hand(plan: StockPlan) -> None:
    """Exact. One pipe: 5 pieces in the first run and 1 and 7 in the others make 4, 0 and 6; both
    sides of the X and of the silencer make 4 more."""
    butts = 2 * (4 + 0 + 6 + 4)
    assert plan.seams[-1].count == butts
    assert plan.joint is not None
    own = sum(seam.count * seam.length for seam in plan.joint.seams)
    assert plan.weld_length == pytest.approx(own + butts * math.pi * TUBE.od, rel=1e-12)


def test_one_run_going_on_in_the_next_is_one_weld() -> None:
    """By hand: two runs of one piece each meet in one weld; inlet and open air have none."""
    runs = [Run(name=name, tube=TUBE, length="1 m") for name in ("in", "out")]
    (seam,) = stock_plan(System(runs=runs), SAW).seams
    assert seam.count == 1


def test_two_45s_come_from_one_90() -> None:
    """By hand: 45 + 45, 60 + 30 and 90 fill three bends; 60 + 45 takes another."""
    assert bends(stock_plan(System(runs=[tail("45 deg", "45 deg")]), SAW)) == [(90, [45, 45])]
    some = stock_plan(System(runs=[tail("30 deg", "60 deg", "90 deg")]), SAW)
    assert sorted(bends(some)) == [(90, [60, 30]), (90, [90])]
    assert len(bends(stock_plan(System(runs=[tail("60 deg", "45 deg")]), SAW))) == 2


def test_a_u_bend_is_bought_where_a_90_does_not_reach_or_wastes_more() -> None:
    """By hand: 120 needs a U; three 60s fill one U of 180, or half of three 90s."""
    assert bends(stock_plan(System(runs=[tail("120 deg")]), SAW)) == [(180, [120])]
    three = System(runs=[tail("60 deg", "60 deg", "60 deg")])
    assert bends(stock_plan(three, SAW)) == [(180, [60, 60, 60])]
    plain = stock_plan(three, SAW, Stock(bend_angles=["90 deg"]))
    assert bends(plain) == [(90, [60])] * 3
    assert plain.opened[-1].left == pytest.approx(math.radians(30) * 4.5 * 0.0254, rel=1e-9)


@pytest.mark.parametrize("angles", [(30, 45, 60, 15), (60, 60, 30, 75), (45, 45, 45, 90)])
def test_no_other_way_buys_fewer_bends(angles: tuple[int, ...]) -> None:
    """Independent: every way to put bends together, those that fit a 90 counted."""
    least = len(angles)
    for ways in itertools.product(range(len(angles)), repeat=len(angles)):
        sums = Counter[int]()
        for way, angle in zip(ways, angles, strict=True):
            sums[way] += angle
        if max(sums.values()) <= 90:
            least = min(least, len(sums))
    run = tail(*(f"{angle} deg" for angle in angles))
    found = stock_plan(System(runs=[run]), SAW, Stock(bend_angles=["90 deg"]))
    assert len(bends(found)) == least


def test_a_sawn_bend_gives_a_kerf_that_its_straights_make_up() -> None:
    """Exact: 3 m less the bend's arc and with 1 mm, in two; a 90 as sold gives none."""
    arc = math.pi / 4 * 4.5 * 0.0254
    part = stock_plan(System(runs=[tail("45 deg")]), SAW).parts[0]
    assert part.pieces == 2
    assert part.length == pytest.approx((3.0 - arc + 1e-3) / 2, abs=1e-12)
    part = stock_plan(System(runs=[tail("90 deg")]), SAW).parts[0]
    assert part.length == pytest.approx((3.0 - 2 * arc) / 2, abs=1e-12)


def test_a_run_longer_than_stock_is_made_of_equal_lengths_and_welded() -> None:
    """By hand: 10 m of 6 m tube is two of 5 m with a weld between."""
    found = stock_plan(System(runs=[tail(length="10 m")]), SAW, Stock(lengths=["6 m"]))
    assert [pieces for _, pieces, _ in tubes(found)] == [[5.0], [5.0]]
    assert [(seam.count, seam.length) for seam in found.seams] == [(1, math.pi * TUBE.od)]


def test_a_run_that_is_all_bend_has_no_straight() -> None:
    """Exact: two 90s fill their run; one weld between them."""
    length = math.pi * BEND.clr + 1e-9  # rounding
    run = Run.from_si(name="u", tube=TUBE, length=length, bends=[BEND, BEND])
    found = stock_plan(System(runs=[run]), SAW)
    assert tubes(found) == []
    assert found.seams[0].count == 1


def test_what_is_on_hand_is_used_first() -> None:
    """By hand: 0.9 m and a 90 are there, so one 45 is sawn from it and nothing is bought."""
    run = tail("45 deg", length="0.8 m")
    ours = [Offcut(TUBE, length="0.9 m"), Offcut(TUBE, length="2 m"), BEND]
    found = stock_plan(System(runs=[run]), SAW, Stock(on_hand=ours))
    assert found.buy == ()
    assert found.reason.startswith("Everything comes from what is on hand")
    assert [one.length for one in found.opened if isinstance(one.stock, Tube)] == [0.9]
    assert found.bought_mass == 0.0


def test_an_offcut_that_would_do_is_named_and_does() -> None:
    """Invariant: with that offcut on hand the length is not bought; a millimetre less, it is."""
    system = System(runs=[tail("45 deg", length="0.8 m")])
    (spared,) = stock_plan(system, SAW).spared
    need = spared.length - spared.left

    def bought(length: float) -> int:
        ours = [Offcut.from_si(tube=TUBE, length=length)]
        found = stock_plan(system, SAW, Stock(on_hand=ours))
        return sum(isinstance(stock, Tube) for stock, _, _ in found.buy)

    assert bought(need) == 0
    assert bought(need - 1e-3 - SAW.kerf) == 1
    full = stock_plan(System(runs=[tail(length="5 m")]), SAW)
    assert full.spared == ()


def test_only_like_tube_and_bends_on_hand_are_used() -> None:
    other = Tube(od="3 in", wall="16 ga", material="409")
    ours = [Offcut(other, length="2 m"), Bend(TUBE, clr="3 in"), Bend(other, clr="4.5 in")]
    found = stock_plan(System(runs=[tail("45 deg")]), SAW, Stock(on_hand=ours))
    assert not any(one.on_hand for one in found.opened)


def test_a_joint_takes_its_bends_whole_from_what_is_on_hand() -> None:
    runs = [Run(name=name, tube=TUBE, length="1 m") for name in ("in", "out")]
    duals = System(runs=runs, pipes=2, joint=X)
    ours = [BEND, BEND, BEND.with_(angle="89 deg"), Bend(TUBE, clr="3 in")]
    found = stock_plan(duals, SAW, Stock(on_hand=ours))
    whole = [one for one in found.opened if isinstance(one.stock, Bend)]
    assert [one.on_hand for one in whole] == [True, True, False, False]
    assert [part for part in found.parts if part.label in "ABC"] == list(cut_sheet(X, SAW).parts)


def test_inch_and_metric_typing_give_one_plan() -> None:
    """The same exhaust typed in millimetres; lengths to a nanometre, words aside."""
    metric = Tube(od="76.2 mm", wall="1.651 mm")

    def found(tube: Tube, clr: str, length: str, kerf: str) -> list[tuple[float, float]]:
        bend = Bend(tube, clr=clr, angle="45 deg")
        run = Run(name="tail", tube=tube, length=length, bends=[bend])
        stock = Stock(lengths=["6 m"])
        opened = stock_plan(System(runs=[run], pipes=2), Saw(kerf=kerf), stock).opened
        return [(round(one.length, 9), round(one.left, 9)) for one in opened]

    assert found(TUBE, "4.5 in", "100 in", "0.04 in") == found(
        metric, "114.3 mm", "2540 mm", "1.016 mm"
    )


def test_tube_typed_two_ways_is_one_tube() -> None:
    metric = Tube(od="76.2 mm", wall="1.651 mm")
    runs = [
        Run(name="in", tube=TUBE, length="1 m", to="silencer"),
        Run(name="out", tube=metric, length="1 m", from_="silencer"),
    ]
    system = System(runs=runs, places=[Part(name="silencer", loss=1.0)])
    assert len(tubes(stock_plan(system, SAW))) == 1


def test_usual_lengths_follow_the_unit_that_tube_is_written_in() -> None:
    """Common practice, no source: 20 ft in inch stock, 6 m in metric."""
    metric = Tube(od="76.1 mm", wall="1.6 mm")
    assert Stock().sold(TUBE) == (pytest.approx(6.096),)
    assert Stock().sold(metric) == (6.0,)
    assert Stock(lengths=["10 ft", "7 ft"]).sold(TUBE) == pytest.approx((3.048, 2.1336))


def test_costs_are_lengths_and_bends_times_their_price() -> None:
    """Exact: one tube of 20 ft at 4.20 a foot, one bend at 18."""
    stock = Stock(price_per_length="4.20 /ft", price_per_bend=18)
    found = {f.name: f.value for f in stock_plan(System(runs=[tail("45 deg")]), SAW, stock).facts()}
    assert found["Cost of tube"] == pytest.approx(84.0, rel=1e-9)
    assert found["Cost of bends"] == 18


def test_purge_of_the_joint_and_of_the_whole(plan: StockPlan) -> None:
    """Exact: bores times lengths, and the joint's volume; n = ln(0.21 / 0.001) changes."""
    assert plan.joint is not None
    joint, whole = plan.purges
    assert joint.volume == plan.joint.inside_volume
    runs = 2 * (46 + 38 + 78) * 0.0254 * TUBE.flow_area
    assert whole.volume == pytest.approx(runs + joint.volume, rel=1e-12)
    assert whole.time == pytest.approx(math.log(210) * whole.volume / 0.25e-3, rel=1e-12)
    assert any("suffocates" in text for text in plan.cautions)
    assert plan.cautions == cautions("purge")


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Stock(lengths="6 m"), r"lengths must be a list of lengths \(got '6 m'\)"),
        (lambda: Stock(lengths=[6.0]), r"lengths must be a length with a unit \(got 6\)"),
        (lambda: Stock(lengths=["1 mm"]), r"lengths must be between 100 mm and 30000 mm"),
        (lambda: Stock(bend_angles=[]), r"bend_angles is empty; name at least one"),
        (lambda: Stock(on_hand=["3 in"]), r"on_hand must be a list of Offcut and Bend"),
        (lambda: Stock(price_per_length="4 $"), r"price_per_length has a unit that is not known"),
        (lambda: Stock(price_per_length="0 /m"), r"price_per_length must be more than zero"),
        (lambda: PurgeGas(flow="0 cfh"), r"flow must be more than zero \(got 0 cfh\)"),
        (lambda: PurgeGas(oxygen=0.21), r"oxygen must be a share between 0 and 0.21"),
        (lambda: Offcut(TUBE, length="1 in x"), r"length has a unit that is not known"),
    ],
)
def test_bad_stock_is_refused_in_a_sentence(make: object, message: str) -> None:
    assert callable(make)
    with pytest.raises(ExhaustError, match=message):
        make()


def test_pieces_that_no_stock_holds_are_refused() -> None:
    long = System(runs=[tail("120 deg")])
    with pytest.raises(
        ExhaustError,
        match=r"stock.bend_angles must have one that tail, bend of 120.0° can come from \(got 90",
    ):
        stock_plan(long, SAW, Stock(bend_angles=["90 deg"]))
    splayed = load_job("v8-parallel-x.toml").system.with_(joint=X.with_(spacing="60 in"))
    with pytest.raises(ExhaustError, match=r"stock.lengths must have one that part C, straight,"):
        stock_plan(splayed, SAW, Stock(lengths=["12 in"]))


def test_straights_that_are_described_are_sawn_as_they_are() -> None:
    """Exact: half a kerf more beside each 45 that is sawn from a 90; none where bends meet."""
    arc = math.pi / 4 * 4.5
    length = f"{30 + 20 + 2 * arc:.6f} in"
    run = Run(
        name="tail",
        tube=TUBE,
        length=length,
        bends=[bent("45 deg")] * 2,
        straights=["30 in", "0 in", "20 in"],
    )
    found = stock_plan(System(runs=[run]), SAW)
    pieces = [part.length for part in found.parts if isinstance(part.blank.stock, Tube)]
    assert pieces == pytest.approx([30 * 0.0254 + 0.5e-3, 20 * 0.0254 + 0.5e-3], abs=1e-9)
    assert found.seams[0].count == 3
    assert not any("not described" in line for line in found.assumptions)


def test_a_run_of_more_kinds_of_piece_than_letters_is_planned() -> None:
    """Thirty bends, no two alike, in one run; every mark its own."""
    angles = [bent(f"{15 + number} deg") for number in range(30)]
    run = Run(name="coil", tube=TUBE, length="9 m", bends=angles)
    found = stock_plan(System(runs=[run]), SAW)
    assert len({part.label for part in found.parts}) == 31
    assert found.gap < 0.2
