"""Stock is named once: another tube changes runs, bends and joint together, or none of them."""

from __future__ import annotations

import math

import pytest
from layouts import (
    BEND,
    THREE,
    TWO,
    TWO_HALF,
    X,
    dual_x,
    folded_x,
    primaries,
    run,
    two_into_a_y,
    two_into_one,
)

from exhaust import Bend, Cone, ExhaustError, ParallelX, Run, System, Tube

MIDDLE = Tube(od="2-3/4 in", wall="16 ga")
LARGE = Tube(od="3-1/2 in", wall="16 ga")


def test_with_tube_swaps_runs_bends_and_joint_together() -> None:
    system = System(runs=[run("a", bends=[BEND, BEND]), run("b")], pipes=2, joint=X)
    smaller = system.with_tube(TWO_HALF)
    assert smaller.tube == TWO_HALF
    assert {one.tube for one in smaller.runs} == {TWO_HALF}
    assert {bend.tube for bend in smaller.runs[0].bends} == {TWO_HALF}
    assert isinstance(smaller.joint, ParallelX)
    assert smaller.joint.tube == TWO_HALF
    assert smaller.joint.cutback == X.cutback
    assert smaller.runs[0].length == system.runs[0].length


def test_with_tube_and_back_changes_nothing() -> None:
    system = System(runs=[run("a", bends=[BEND, BEND]), run("b")], pipes=2, joint=X)
    again = system.with_tube(TWO_HALF).with_tube(THREE)
    assert again.tube == system.tube
    assert again.runs[0].bends[0].clr == pytest.approx(BEND.clr)
    assert again.graph.lines == system.graph.lines


@pytest.mark.parametrize("system", [folded_x(), dual_x()], ids=["folded", "in full"])
def test_every_run_and_the_joint_change_however_it_is_described(system: System) -> None:
    other = system.with_tube(TWO)
    assert {one.tube for one in other.runs} == {TWO}
    assert other.joint is not None
    assert other.joint.tube == TWO
    assert other.graph.lines == system.graph.lines


def test_only_the_runs_in_one_tube_change() -> None:
    other = two_into_one().with_tube(TWO, instead_of=TWO_HALF)
    assert [one.tube for one in other.runs] == [TWO, TWO, THREE]


def test_a_joint_stays_when_its_tube_is_not_the_one_that_changes() -> None:
    runs = [run("ahead"), run("behind", to="cone"), run("tail", tube=TWO_HALF)]
    cone = Cone(name="cone", length="4 in")
    system = System(runs=runs, pipes=2, joint=X, places=[cone])
    tail = system.with_tube(TWO, instead_of=TWO_HALF)
    assert tail.joint is X
    assert tail.places == (cone,)
    assert [one.tube for one in tail.runs] == [THREE, THREE, TWO]
    with pytest.raises(ExhaustError, match=r"instead_of is the tube of no run \(got 2 in x 16 ga"):
        system.with_tube(THREE, instead_of=TWO)


def test_a_cone_with_nothing_left_to_bring_together_goes() -> None:
    system = primaries()
    same = system.with_tube(THREE)
    assert [place.name for place in same.places] == ["collector", "silencer"]
    assert same.graph.lines == system.graph.lines
    assert system.with_tube(TWO, instead_of=THREE).places == system.places
    twin = Tube(od="2-1/2 in", wall="16 ga", material="409")  # another metal, the same bore
    assert len(system.with_tube(twin, instead_of=THREE).places) == 2


@pytest.mark.parametrize(
    ("asked", "wanted"),
    [
        ((THREE,), (THREE, THREE)),
        ((MIDDLE, TWO_HALF), (MIDDLE, THREE)),
        ((LARGE, THREE), (TWO_HALF, LARGE)),
    ],
    ids=["everywhere", "the legs", "the outlet"],
)
def test_a_merge_keeps_an_outlet_of_its_own(
    asked: tuple[Tube, ...], wanted: tuple[Tube, Tube]
) -> None:
    """Legs and outlet of another tube each: only those that are asked for change."""
    other = two_into_a_y().with_tube(*asked)
    assert other.joint is not None
    assert (other.joint.tube, other.joint.outlet) == wanted
    assert (other.runs[0].tube, other.runs[2].tube) == wanted


def test_a_tail_of_another_tube_leaves_the_merge_as_it_is() -> None:
    whole = two_into_a_y()
    runs = [*whole.runs[:2], run("stub", "Y", length="6 in"), run("tail", tube=LARGE)]
    system = whole.with_(runs=runs)
    assert system.with_tube(MIDDLE, instead_of=LARGE).joint is system.joint


def test_the_tube_of_a_system_is_what_most_of_it_is_made_of() -> None:
    long, short = run("a", tube=TWO, length="1.2 m"), run("b", length="1 m")
    assert System(runs=[short, long]).tube == TWO
    assert System(runs=[long, short, run("c", length="0.3 m")]).tube == THREE
    assert System(runs=[run("a"), run("b", tube=TWO)]).tube == THREE  # the first of equals


def test_the_whole_is_refused_where_one_part_cannot_be_made() -> None:
    tight = System(runs=[run("a", bends=[BEND], length="8 in"), run("b")], pipes=2, joint=X)
    with pytest.raises(ExhaustError, match="length of run 'a' must hold its bends"):
        tight.with_tube(Tube(od="5 in", wall="16 ga"))
    with pytest.raises(ExhaustError, match=r"tube must be a Tube \(got text '3 in'\)"):
        tight.with_tube("3 in")  # type: ignore[arg-type]


def test_straights_keep_their_shares_in_another_tube() -> None:
    """Exact: bends of 1.5 D grow with the tube, and the straights give way alike."""
    bend = Bend(THREE, clr="4.5 in")
    arc = math.pi / 2 * 4.5
    run = Run(
        name="tail",
        tube=THREE,
        length=f"{40 + arc:.9f} in",
        bends=[bend],
        straights=["30 in", "10 in"],
    )
    other = run.with_tube(LARGE)
    left = (40 + arc - math.pi / 2 * 5.25) * 0.0254
    assert other.straights == pytest.approx((0.75 * left, 0.25 * left), rel=1e-6)
    assert other.length == run.length
