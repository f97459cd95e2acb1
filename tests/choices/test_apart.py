"""Two pipes kept apart that a merge makes one of.

Invariants: each pipe is as long as before and has every part of its way; what splits in two is
halved; what is apart already stays.
"""

from __future__ import annotations

import pytest

from exhaust import HPipe, Inlet, Merge, Part, Run, System, Tube, kept_apart, load_job
from exhaust.errors import ExhaustError
from exhaust.system import OPEN_AIR, Line

LEG = Tube(od="2 in", wall="16 ga")
LARGE = Tube(od="2.5 in", wall="16 ga")


def way(system: System, start: str, side: int = 0) -> list[Line]:
    """Return the lines from a place to the open air; through a crossover on its own side."""
    found: list[Line] = []
    while start != OPEN_AIR:
        out = system.graph.out_of(start)
        found.append(out[side if len(out) > 1 else 0])
        start = found[-1].end
    return found


def long(system: System, lines: list[Line]) -> float:
    joint = system.joint
    held = 0.0 if joint is None else float(joint.centreline_length)
    return held + sum(float(system.runs[line.run].length) for line in lines)


def merging(rated: bool = False) -> System:
    silencer = {"rated_flow": "570 cfm"} if rated else {"loss": 1.0}
    return System(
        runs=[
            Run(name="left", tube=LEG, length="0.5 m", from_="l", to="meet"),
            Run(name="right", tube=LEG, length="0.5 m", from_="r", to="meet"),
            Run(name="middle", tube=LARGE, length="1 m", from_="meet", to="silencer"),
            Run(name="tail", tube=LARGE, length="2 m", from_="silencer"),
        ],
        inlets=[Inlet(name="l", cylinders=[1, 4]), Inlet(name="r", cylinders=[2, 3])],
        places=[Merge(name="meet"), Part(name="silencer", **silencer)],
    )


def test_pipes_apart_stay_as_they_are() -> None:
    for name in ("v8-parallel-x.toml", "v6-h-pipe.toml"):
        system = load_job(name).system
        assert kept_apart(system) is system


@pytest.mark.parametrize("inlet", ["pair 1-4", "pair 2-3"])
def test_each_pipe_is_as_long_as_its_way_was(inlet: str) -> None:
    """The H pipe stands where the Y was: what it is shorter, the runs beside it are longer."""
    system = load_job("inline-four-y-merge.toml").system
    apart, side = kept_apart(system), int(inlet == "pair 2-3")
    before, after = way(system, inlet), way(apart, inlet, side)
    assert long(apart, after) == pytest.approx(long(system, before), abs=1e-9)
    assert {apart.runs[line.run].tube for line in after} == {system.joint.tube}  # type: ignore[union-attr]
    parts = [line.end.removeprefix("left ").removeprefix("right ") for line in after]
    assert parts == [line.end for line in before]


def test_the_two_share_nothing_but_the_joint_and_the_open_air() -> None:
    apart = kept_apart(load_job("inline-four-y-merge.toml").system)
    ends = [{line.end for line in way(apart, name, n)} for n, name in enumerate(apart.graph.inlets)]
    assert ends[0] & ends[1] == {"Y", OPEN_AIR}
    assert isinstance(apart.joint, HPipe)


def test_a_silencer_with_a_rating_becomes_two_that_flow_half() -> None:
    apart = kept_apart(merging(rated=True))
    (whole,) = (one for one in merging(rated=True).places if isinstance(one, Part))
    halves = [one for one in apart.places if isinstance(one, Part)]
    assert len(halves) == 2
    for half in halves:
        assert half.rated_flow == pytest.approx(whole.rated_flow / 2)  # type: ignore[operator]


def test_a_run_without_room_for_the_crossover_is_named() -> None:
    short = merging().runs[0].with_(length="0.05 m")
    system = merging().with_(runs=[short, *merging().runs[1:]])
    with pytest.raises(ExhaustError, match="run 'left' has no room for a crossover"):
        kept_apart(system)
