"""What a mirror shows of a joint's fit: no piece is the first, no side is up, no end the entry.

Every error of a joint at once, at random and so small that first order is all there is. Seen in a
mirror a saw's lean is a lean the other way and piece A is piece B: the fit must be the same.
"""

from __future__ import annotations

import re

import numpy as np
import pytest
from fit_models import BEND, TUBE
from test_fit_up import JOINTS, SAW

from exhaust import HPipe, ParallelToSplayedX, ParallelX, SplayedX, YMerge, cut_sheet
from exhaust.cutmath.fit.model import LONG, WAYS, Fitted, Model, Slips
from exhaust.cutmath.fit.question import model_of
from exhaust.joints import Joint

SMALL, COUNT = 1e-5, 32  # [m], [rad]
FIRST = 2e-3  # relative: second order of so small an error, counted at one of the two edges
ROUNDING = 1e-9  # [m]
ALL = JOINTS | {
    "X in pieces": ParallelX(BEND, cutback=0.3, spacing="300 mm"),
    "X of one length": ParallelX(BEND, cutback=0.2, spacer="20 mm"),
    "unequal": SplayedX(
        TUBE, included_angle="40 deg", exit_angle="56 deg", cutback=0.3, leg_length="250 mm"
    ),
    "half, other way": ParallelToSplayedX(
        BEND, cutback=0.3, included_angle="45 deg", leg_length="250 mm", spacing="300 mm"
    ),
    "skew H": HPipe(TUBE, spacing="250 mm", angle="70 deg"),
    "Y in pieces": YMerge(BEND, spacing="300 mm"),
    "Y, splayed": YMerge(BEND, legs="splayed", spacer="20 mm"),
    "Y, splayed in pieces": YMerge(BEND, legs="splayed", spacer="80 mm"),
}
each_joint = pytest.mark.parametrize("joint", ALL.values(), ids=ALL)
each_way = pytest.mark.parametrize("way", WAYS)
ENDS = ("entry", "exit")


def sampled(model: Model, seed: int = 11) -> dict[str, np.ndarray]:
    generator = np.random.default_rng(seed)
    return {error.name: SMALL * generator.normal(size=(COUNT, 1)) for error in model.errors}


def fitted(model: Model, drawn: dict[str, np.ndarray], way: str) -> Fitted:
    return model.fitted(Slips(drawn, COUNT), WAYS[way])


def exchanged(name: str) -> str:
    """The error of the other piece: A for B, 1 for 2."""
    other = {"A": "B", "B": "A", "1": "2", "2": "1"}
    return re.sub(r"\b([AB12])\b", lambda mark: other[mark[1]], name)


def same(one: Fitted, other: Fitted, ends: dict[str, str] | None = None) -> None:
    for name, seam in one.seams.items():
        assert np.allclose(seam.gap, other.seams[name].gap, rtol=FIRST, atol=ROUNDING), name
        if seam.step is not None:
            step = other.seams[name].step
            assert step is not None
            assert np.allclose(seam.step, step, rtol=FIRST, atol=ROUNDING), name
    for name, error in one.ends.items():
        assert np.allclose(error, other.ends[(ends or {}).get(name, name)], rtol=FIRST, atol=2e-9)
    assert np.allclose(one.held, other.held, rtol=FIRST, atol=ROUNDING)


def leans(name: str, joint: Joint) -> bool:
    """Whether an error is one out of the joint's plane: it is the other way seen from below."""
    if isinstance(joint, HPipe):
        return name.endswith("clock") or name.startswith("offset")
    straight = name.startswith(("entry roll", "exit roll", "legs roll"))  # about the leg's axis
    return name.endswith("lean") or straight


@each_way
@each_joint
def test_seen_from_below_a_joint_fits_alike(joint: Joint, way: str) -> None:
    _, model = model_of(joint, SAW)
    drawn = sampled(model)
    below = {name: -x if leans(name, joint) else x for name, x in drawn.items()}
    same(fitted(model, drawn, way), fitted(model, below, way))


def halved_over(joint: Joint) -> tuple[str, ...]:
    """Errors that give to one piece what they take from the other: of what is halved for both."""
    if isinstance(joint, ParallelToSplayedX):
        return ("halving slant", "return half", "facing", "facing slant", "legs mitre lean")
    if isinstance(joint, YMerge):
        halves = ("halving slant", "halving lean", "bend half", "return half", "outlet slant")
        return (*halves, "square lean")  # straights lie either way up
    return ()


@each_way
@each_joint
def test_neither_piece_is_the_first(joint: Joint, way: str) -> None:
    """Exchanged, piece B is sawn as piece A was: what a turn reverses of the saw is reversed.

    The primaries of an H change places when it is turned end for end, its top still the top.
    """
    _, model = model_of(joint, SAW)
    drawn = sampled(model)
    turned = "long lean", "slice lean"
    if way != LONG:
        turned = "long slant", "slice slant"
    if isinstance(joint, HPipe):
        turned = ("clock", "square slant") if way == LONG else ("clock", "clock")
    flips = tuple(n for n in drawn if n.endswith(turned)) + halved_over(joint)
    other = {name: drawn[exchanged(name)] * (-1 if name in flips else 1) for name in drawn}
    ends = dict(zip(ENDS, ENDS[::-1], strict=True)) if isinstance(joint, HPipe) else None
    same(fitted(model, drawn, way), fitted(model, other, way), ends)


@each_way
@pytest.mark.parametrize("joint", [j for j in ALL.values() if isinstance(j, ParallelX | SplayedX)])
def test_no_end_is_the_entry(joint: Joint, way: str) -> None:
    """Turned end for end a crossover is the same joint; the errors of one setting turn with it."""
    _, model = model_of(joint, SAW)
    names = dict(zip(ENDS, ENDS[::-1], strict=True))
    drawn = sampled(model)
    if isinstance(joint, SplayedX):
        if joint.entry.leg != joint.exit.leg:
            return
        flips: tuple[str, ...] = ()
    else:
        flips = ("slice slant", "roll A", "roll B", "halving slant", "return A half")
        flips += ("return B half",)
    other = {}
    for name in drawn:
        ends = re.sub(r"\b(entry|exit)\b", lambda end: names[end[1]], name)
        other[name] = drawn[ends] * (-1 if name in flips else 1)
    same(fitted(model, drawn, way), fitted(model, other, way), names)


@each_joint
def test_every_error_that_is_drawn_does_something(joint: Joint) -> None:
    _, model = model_of(joint, SAW)
    for name, values in sampled(model).items():
        found = [fitted(model, {name: values}, way) for way in WAYS]
        nothing = fitted(model, {}, LONG)
        moved = 0.0
        for each in found:
            for seam, of in each.seams.items():
                base = nothing.seams[seam]
                moved = max(moved, float(np.ptp(of.gap)))
                if of.step is not None and base.step is not None:
                    moved = max(moved, float(np.ptp(of.step - base.step)))
            moved = max(moved, *(float(np.ptp(error)) for error in each.ends.values()))
        assert moved > SMALL * 1e-3, name  # an angle moves what is a few centimetres off


@each_joint
def test_only_straights_that_are_sawn_are_sawn_askew(joint: Joint) -> None:
    """The cut sheet knows which: a balance tube, or a piece between two bends."""
    _, model = model_of(joint, SAW)
    titles = {step.title for step in cut_sheet(joint, SAW).steps}
    sawn = bool(titles & {"Saw the straights", "Saw the balance tube"})
    assert ("square slant" in {error.name for error in model.errors}) is sawn
