"""One description of the exhaust: stock is named once."""

from __future__ import annotations

import pytest

from exhaust import Bend, ExhaustError, ParallelX, Run, System, Tube

THREE = Tube(od="3 in", wall="16 ga")
TWO_HALF = Tube(od="2-1/2 in", wall="16 ga")
BEND = Bend(THREE, clr="4.5 in")
RUN = Run(name="tail", tube=THREE, length="3.2 m", bends=(BEND, BEND))
X = ParallelX(BEND, cutback=0.28)


def test_with_tube_swaps_runs_bends_and_joint_together() -> None:
    smaller = System(runs=[RUN], pipes=2, joint=X).with_tube(TWO_HALF)
    assert smaller.tube == TWO_HALF
    assert {bend.tube for bend in smaller.runs[0].bends} == {TWO_HALF}
    assert isinstance(smaller.joint, ParallelX)
    assert smaller.joint.tube == TWO_HALF
    assert smaller.joint.cutback == X.cutback
    assert smaller.runs[0].length == RUN.length


def test_with_tube_and_back_changes_nothing() -> None:
    system = System(runs=[RUN], pipes=2, joint=X)
    again = system.with_tube(TWO_HALF).with_tube(THREE)
    assert again.tube == system.tube
    assert again.runs[0].bends[0].clr == pytest.approx(BEND.clr)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: System(runs=[]), "runs is empty; give at least one run of tube"),
        (lambda: System(runs=[RUN], joint="X"), "joint must be a joint, such as a ParallelX"),
        (
            lambda: System(runs=[RUN.with_tube(TWO_HALF)], joint=X),
            "joint is made of 3 in x 16 ga but run 'tail' of 2-1/2 in x 16 ga",
        ),
        (
            lambda: Run(name="tail", tube=TWO_HALF, length="3 m", bends=[BEND]),
            "run 'tail' has a bend in 3 in x 16 ga but its tube is 2-1/2 in x 16 ga",
        ),
        (
            lambda: Run(name="tail", tube=THREE, length="100 mm", bends=[BEND]),
            "length of run 'tail' must hold its bends, which take 179.542 mm on the centreline "
            "(got 100 mm); length includes the bends",
        ),
        (lambda: Run(name=" ", tube=THREE, length="1 m"), "name must be a name"),
    ],
)
def test_what_cannot_be_built_is_refused_in_words(make, words: str) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(ExhaustError) as caught:
        make()
    assert str(caught.value).startswith(words)
