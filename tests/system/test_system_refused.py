"""What is no exhaust is refused in one sentence that says where and what to do."""

from __future__ import annotations

from typing import Any

import pytest
from layouts import (
    BEND,
    LEFT,
    RIGHT,
    SILENCER,
    THREE,
    TWO,
    TWO_HALF,
    X,
    dual_x,
    primaries,
    run,
    y_merge,
)

from exhaust import Bend, Cone, ExhaustError, Inlet, Merge, Part, Run, Sensor, System, Tube
from exhaust.system import GraphError

Y = Merge(name="Y")
TWO_IN = [run("l", "left", "Y"), run("r", "right", "Y")]
BOTH = [LEFT, RIGHT]
LARGE = Tube(od="3-1/2 in", wall="16 ga")
OTHER_METAL = Tube(od="3 in", wall="16 ga", material="409")

WRONG: list[tuple[dict[str, Any], str]] = [
    (
        {"runs": [run("a", to="muffler")]},
        "run 'a' goes to 'muffler', and no run goes on from there; leave out to where it ends in "
        "the open air",
    ),
    (
        {"runs": [run("a", to="silencr"), run("b", "silencer")], "places": [SILENCER]},
        "run 'a' goes to 'silencr', and no run goes on from there; leave out to where it ends in "
        'the open air; nearest: "silencer"',
    ),
    (
        {"runs": [run("a", to="silencer")], "places": [SILENCER]},
        "run 'a' goes to 'silencer', and no run goes on from there; add the run after it, if only "
        "its tip",
    ),
    (
        {"runs": [run("a", "lft")], "inlets": BOTH},
        "run 'a' starts at 'lft', where no run ends and no inlet stands; nearest: \"left\"",
    ),
    (
        {"runs": [run("a", "open air")]},
        "run 'a' starts in the open air, where gas only leaves; name an inlet, or where another "
        "run ends",
    ),
    (
        {"runs": [run("a", to="open air"), run("b")]},
        "run 'b' starts in the open air, where gas only leaves",
    ),
    (
        {"runs": [run("a", to="right"), run("b", "right")], "inlets": BOTH},
        "run 'a' has several inlets to start from; say from which: left and right",
    ),
    (
        {"runs": [run("a", "left", "right"), run("b", "right")], "inlets": BOTH},
        "run 'a' goes to 'right', where gas comes in; lead it away from the inlet",
    ),
    (
        {"runs": [run("a", "left")], "inlets": BOTH},
        "inlet 'right' is on no run; name it in the from or to of a run",
    ),
    (
        {"runs": [run("a"), run("b")], "places": [SILENCER]},
        "silencer 'silencer' is on no run; name it in the from or to of a run",
    ),
    (
        {"runs": [run("a"), run("b")], "places": [Cone(name="step", length="4 in")]},
        "cone 'step' is on no run",
    ),
    (
        {"runs": [run("a")], "joint": X, "pipes": 2},
        "joint is on no run; divide that run where it stands",
    ),
    (
        {"runs": [run("a", to="silencer"), run("b")], "places": [SILENCER], "joint": X, "pipes": 2},
        "joint is on no run; name it in the from or to of a run",
    ),
    ({"runs": [run("a"), run("a")]}, "run 'a' has a name that is taken already, 'a'; name each"),
    (
        {"runs": [run("a", to="silencer"), run("b")], "places": [SILENCER, SILENCER]},
        "silencer 'silencer' has a name that is taken already",
    ),
    (
        {"runs": TWO_IN, "inlets": [LEFT, LEFT]},
        "inlet 'left' has a name that is taken already, 'left'",
    ),
    (
        {"runs": [run("a"), run("b")], "joint": X, "pipes": 2, "places": [Y], "joint_at": "Y"},
        "merge 'Y' has a name that is taken already, 'Y'",
    ),
    (
        {"runs": [run("a")], "inlets": [Inlet(name="open air")]},
        "inlet 'open air' has a name that is taken already",
    ),
    (
        {"runs": [run("a"), run("b")], "joint": X, "pipes": 2, "joint_at": "open air"},
        "joint must not stand at 'open air', where the gas leaves",
    ),
    (
        {"runs": [*TWO_IN, run("c")], "inlets": BOTH},
        "run 'l' goes to 'Y', which must lie between two runs (got 2 in and 1 out); where more "
        "meet, describe a merge or a joint",
    ),
    (
        {"runs": [*TWO_IN, run("c")], "inlets": BOTH, "places": [Part(name="Y", loss=1.0)]},
        "silencer 'Y' must lie between two runs (got 2 in and 1 out)",
    ),
    (
        {"runs": [run("a", to="Y"), run("b")], "places": [Y]},
        "merge 'Y' must bring several runs into one, or one into several (got 1 in and 1 out)",
    ),
    (
        {"runs": [*TWO_IN, run("c", "Y"), run("d", "Y")], "inlets": BOTH, "places": [Y]},
        "merge 'Y' must bring several runs into one, or one into several (got 2 in and 2 out)",
    ),
    (
        {"runs": [run("a", "left"), run("b", "left")], "inlets": [LEFT]},
        "inlet 'left' must feed one run (got 'a' and 'b'); divide it at a merge",
    ),
    (
        {"runs": [run("a", to="step"), run("b")], "places": [Cone(name="step", length="4 in")]},
        "cone 'step' lies between two runs of one size; leave it out",
    ),
    (
        {"runs": [run("a"), run("b")], "joint": X},
        "joint must have 2 runs in and 2 out (got 1 in and 1 out); write pipes = 2 for pipes "
        "alike, or describe a run for each leg",
    ),
    (
        {"runs": [run("a"), run("b")], "joint": X, "pipes": 3},
        "joint must have 2 runs in and 2 out (got 3 in and 3 out)",
    ),
    (
        {"runs": [*TWO_IN, run("c")], "inlets": BOTH, "joint": X, "joint_at": "Y"},
        "joint must have 2 runs in and 2 out (got 2 in and 1 out)",
    ),
    (
        {"runs": [run("a"), run("b")], "joint": y_merge(), "pipes": 2},
        "joint must have 2 runs in and 1 out (got 2 in and 2 out); describe a run for each leg",
    ),
    (
        {"runs": [run("a"), run("b", tube=TWO_HALF)], "joint": X, "pipes": 2},
        "joint is made of 3 in x 16 ga but run 'b' of 2-1/2 in x 16 ga; with_tube changes both",
    ),
    (
        {"runs": [run("a"), run("b", tube=OTHER_METAL)], "joint": X, "pipes": 2},
        "joint is made of 3 in x 16 ga in 304 but run 'b' of 3 in x 16 ga in 409",
    ),
    (
        {
            "runs": [*TWO_IN, run("c")],
            "inlets": BOTH,
            "joint": y_merge(THREE, LARGE),
            "joint_at": "Y",
        },
        "joint is made of 3-1/2 in x 16 ga but run 'c' of 3 in x 16 ga",
    ),
    (
        {"runs": [run("a", "x", "y"), run("b", "y", "x"), run("c", "engine")]},
        "run 'a' leads round in a ring (got 'a' and 'b'); a run leads on to the open air",
    ),
    ({"runs": [run("a", "x", "x")]}, "run 'a' leads round in a ring (got 'a')"),
    (
        {
            "runs": [
                run("in", to="m"),
                run("on", "m", "s"),
                run("back", "s", "m"),
                run("out", "s"),
            ],
            "places": [Merge(name="m"), Merge(name="s")],
        },
        "run 'on' leads round in a ring (got 'on' and 'back')",
    ),
    (
        {"runs": [run("a")], "sensors": [Sensor(name="O2", run="b", distance="5 in")]},
        "sensor 'O2' is in run 'b', which is not one; known: \"a\"",
    ),
    (
        {"runs": [run("a")], "sensors": [Sensor(name="O2", run="a", distance="40 in")]},
        "sensor 'O2' must be less than 39.3701 in from the start of run 'a', its length (got 40",
    ),
]


@pytest.mark.parametrize(("given", "words"), WRONG, ids=lambda one: str(one)[:40])
def test_a_wrong_graph_is_refused_in_words(given: dict[str, Any], words: str) -> None:
    with pytest.raises(ExhaustError) as caught:
        System(**given)
    said = str(caught.value)
    assert said.startswith(words)
    assert "\n" not in said


def test_every_loose_end_is_found_at_once_and_a_slip_is_told_once() -> None:
    runs = [run("a", "left", "X"), run("b", "X"), run("c", "rigt", "X"), run("d", to="nowhere")]
    with pytest.raises(GraphError) as caught:
        System(runs=runs, inlets=BOTH, joint=X, joint_at="X")
    found = [(one.where, one.number, one.key) for one in caught.value.wrongs]
    assert found == [("runs", 2, "from"), ("runs", 3, "to"), ("inlets", 1, "")]
    assert str(caught.value) == str(caught.value.wrongs[0].error.named("run 'c'"))


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: System(runs=[]), "runs is empty; give at least one run of tube"),
        (lambda: System(runs="a"), "runs must be a list of runs (got 'a')"),
        (lambda: System(runs=[run("a")], joint="X"), "joint must be a joint, such as a ParallelX"),
        (lambda: System(runs=[run("a")], places=[LEFT]), "places must be a list of places: Part"),
        (lambda: System(runs=[run("a")], inlets=[Y]), "inlets must be a list of inlets (got one"),
        (lambda: System(runs=[run("a")], sensors=[Y]), "sensors must be a list of sensors"),
        (
            lambda: Run(name="tail", tube=TWO_HALF, length="3 m", bends=[BEND]),
            "run 'tail' has a bend in 3 in x 16 ga but its tube is 2-1/2 in x 16 ga",
        ),
        (
            lambda: Run(name="tail", tube=THREE, length="100 mm", bends=[BEND]),
            "length of run 'tail' must hold its bends, which take 179.542 mm on the centreline "
            "(got 100 mm); length includes the bends",
        ),
        (
            lambda: Run(name="tail", tube=THREE, length="3 m", bends=[BEND], straights=["3 m"]),
            "straights of run 'tail' must be 2, one more than its bends (got 1); where bends meet "
            'write "0 mm"',
        ),
        (
            lambda: Run(name="tail", tube=THREE, length="3 m", straights=["2.9 m"]),
            "straights of run 'tail' must add up to 3 m, what bends leave of its length "
            "(got 2.9 m)",
        ),
        (
            lambda: Run(
                name="t", tube=THREE, length="3 m", bends=[BEND], straights=["4 m", "-1 m"]
            ),
            "straights of run 't' must not be less than zero (got -1 m)",
        ),
        (
            lambda: Run(name="tail", tube=THREE, length="3 m", straights="3 m"),
            "straights must be a list of lengths",
        ),
        (lambda: Run(name=" ", tube=THREE, length="1 m"), "name must be a name"),
        (lambda: run("a", from_=" "), "from_ must be a name"),
        (lambda: run("a").with_tube("3 in"), "tube must be a Tube (got text '3 in')"),
        (lambda: Part(name="s"), "silencer 's' must give loss, or rated_flow from a flow bench"),
        (
            lambda: Part(name="s", loss=1.0, rated_flow="400 cfm"),
            "silencer 's' must give loss, or rated_flow from a flow bench (got both)",
        ),
        (
            lambda: Part(name="s", loss=1.0, rated_depression="20 inH2O"),
            "silencer 's' has a rated_depression but no rated_flow; give both",
        ),
        (lambda: Inlet(name="l", cylinders=[1, 1]), "cylinders must name each cylinder once"),
        (lambda: Inlet(name="l", cylinders=[0]), "cylinders must name each cylinder once"),
        (lambda: Inlet(name="l", cylinders="1-3"), "cylinders must be a list of cylinder numbers"),
    ],
)
def test_what_cannot_be_built_is_refused_in_words(make: Any, words: str) -> None:
    with pytest.raises(ExhaustError) as caught:
        make()
    assert str(caught.value).startswith(words)


def test_a_flexible_joint_needs_no_loss() -> None:
    assert Part(name="flex", kind="flexible joint").loss is None


def test_the_checks_hold_without_assertions() -> None:
    """A checked system must be checked under python -O too."""
    import subprocess
    import sys

    code = (
        "from exhaust import Run, System, Tube\n"
        "tube = Tube(od='3 in', wall='16 ga')\n"
        "System(runs=[Run(name='a', tube=tube, length='1 m', to='nowhere')])"
    )
    done = subprocess.run([sys.executable, "-O", "-c", code], capture_output=True, text=True)
    assert "goes to 'nowhere'" in done.stderr


def test_layouts_that_are_sound_stay_sound_when_their_tube_changes() -> None:
    small = Bend(TWO, clr="3 in").tube
    for system in (primaries(), dual_x()):
        assert {r.tube for r in system.with_tube(small).runs} == {small}
