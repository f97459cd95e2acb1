"""The pieces of a system's runs: straight tube and bends, and the welds between them."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator

from exhaust.cutmath.cutsheet import Blank, Part
from exhaust.cutmath.supply import Stock
from exhaust.joints.shared import Seam
from exhaust.show import quantity
from exhaust.stock import DEGREE, Bend, Saw, Tube
from exhaust.system import OPEN_AIR, Run, System

NONE = 1e-6  # a straight no longer than this is none [m]
ONE_ANGLE = 1e-3 * DEGREE  # angles closer than this are the same at the saw [rad]


def run_parts(system: System, saw: Saw, stock: Stock) -> tuple[Part, ...]:
    """Return the pieces of every run, of all pipes together; marked 1a, 1b … by the run.

    The straight tube of a run that does not name its straights is shared evenly between its
    bends; a straight longer than any stock is made of equal lengths. A bend that is not sold as it
    is loses up to one `saw.kerf`, which the straights beside it make up.

    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> bend = Bend(tube, clr="4.5 in", angle="45 deg")
    >>> run = Run(name="tail", tube=tube, length="1 m", bends=[bend])
    >>> [part.what for part in run_parts(System(runs=[run]), Saw(kerf="1 mm"), Stock())]
    ['tail, straight', 'tail, bend of 45.0°']
    """
    found: list[Part] = []
    for number, run in enumerate(system.runs, start=1):
        found += (
            part._replace(label=f"{number}{letters(kind)}", pieces=part.pieces * system.pipes)
            for kind, part in enumerate(_of_run(run, saw, stock))
        )
    return tuple(found)


def letters(number: int) -> str:
    """Return the letters that count kinds of piece from nought: a to z, then aa.

    >>> letters(0), letters(25), letters(26)
    ('a', 'z', 'aa')
    """
    ahead, last = divmod(number, 26)
    return (letters(ahead - 1) if ahead else "") + chr(ord("a") + last)


def _of_run(run: Run, saw: Saw, stock: Stock) -> Iterator[Part]:
    """Yield the kinds of piece of one run, without their marks."""
    for length, many in Counter(straights(run, saw, stock)).items():
        mass = length * run.tube.mass_per_length
        yield Part("", f"{run.name}, straight", many, Blank(run.tube, length), length, mass)
    for bend, many in Counter(run.bends).items():
        arc = float(bend.clr * bend.angle)
        what = f"{run.name}, bend of {quantity(float(bend.angle), 'angle')}"
        yield Part("", what, many, Blank(bend, arc), arc, arc * run.tube.mass_per_length)


def straights(run: Run, saw: Saw, stock: Stock) -> tuple[float, ...]:
    """Return the length of every straight piece of `run`, in order [m]."""
    most = max(stock.sold(run.tube)) - stock.trim
    found: list[float] = []
    for length in _between(run, saw, stock):
        made_of = math.ceil((length - NONE) / most)
        found += [length / made_of] * made_of if made_of else []
    return tuple(found)


def _between(run: Run, saw: Saw, stock: Stock) -> list[float]:
    """Return the straights ahead of, between and behind the bends, kerf of these made up [m]."""
    lost = [0.0 if sold(bend, stock) else float(saw.kerf) for bend in run.bends]
    if not run.straights:
        own, between = run.length - run.in_bends, len(run.bends) + 1
        return [(own + sum(lost)) / between] * between if own > NONE else []
    beside = zip([0.0, *lost], [*lost, 0.0], strict=True)
    return [
        length + (ahead + behind) / 2.0 if length > NONE else 0.0
        for length, (ahead, behind) in zip(map(float, run.straights), beside, strict=True)
    ]


def sold(bend: Bend, stock: Stock) -> bool:
    """Return whether bends are sold in just this angle."""
    return any(abs(bend.angle - angle) < ONE_ANGLE for angle in stock.bend_angles)


def run_seams(system: System, saw: Saw, stock: Stock) -> tuple[Seam, ...]:
    """Return the butt welds of the runs by tube, of all pipes together.

    Between the pieces of a run, from one run to the next, and where a run meets a joint, a part, a
    cone or a merge; not at inlets and in the open air.

    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> run = Run(name="tail", tube=tube, length="1 m", bends=[Bend(tube, clr="4.5 in")])
    >>> run_seams(System(runs=[run]), Saw(kerf="1 mm"), Stock())[0].count
    2
    """
    welds: Counter[Tube] = Counter()
    graph = system.graph
    for line in graph.lines:
        run = system.runs[line.run]
        count = len(straights(run, saw, stock))
        welds[run.tube] += count + len(run.bends) - 1
        welds[run.tube] += sum(end in graph.places for end in (line.start, line.end))
        described = {OPEN_AIR, *graph.places, *graph.inlets}
        welds[run.tube] += line.end not in described  # a seam, counted where it is reached
    return tuple(
        Seam(f"butt weld round {tube.name}", math.pi * tube.od, system.pipes * count)
        for tube, count in welds.items()
        if count
    )
