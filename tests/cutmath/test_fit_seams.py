"""Seams that are made of several, and butts of bends alike, by the first order of each error."""

from __future__ import annotations

import math

import pytest
from fit_models import A, R, fitted, gap_of, step_of
from test_fit_up import BUTTED, HALF, SAW, X, Y

from exhaust import ExhaustError, Tolerances
from exhaust.cutmath.fit.model import ANGLES, KINDS, LONG
from exhaust.cutmath.fit.parallel_to_splayed import ButtedFit, MitredFit
from exhaust.cutmath.fit.question import model_of
from exhaust.cutmath.fit.y_merge import YFit
from exhaust.joints import Joint

SMALL, FIRST = 1e-5, 1e-3
NOTHING = dict.fromkeys(ANGLES, "0 deg") | dict.fromkeys(set(KINDS) - set(ANGLES), "0 mm")

# Tolerances


@pytest.mark.parametrize(
    ("name", "usual", "most"),
    [
        ("depth", "0.5 mm", "10 mm"),
        ("blade_angle", "0.5 deg", "10 deg"),
        ("clocking", "1 deg", "10 deg"),
        ("halving", "0.5 deg", "10 deg"),
        ("bend_angle", "1 deg", "10 deg"),
        ("od", "0.2 mm", "10 mm"),
        ("offset", "0.5 mm", "10 mm"),
        ("gap", "1 mm", "6 mm"),
    ],
)
def test_usual_tolerances_and_what_would_be_a_mistake(name: str, usual: str, most: str) -> None:
    """Common practice, no source; what is more than a tenth of the tube is no tolerance."""
    assert getattr(Tolerances(), name) == getattr(Tolerances(**{name: usual}), name)
    assert getattr(Tolerances(**{name: most}), name) > getattr(Tolerances(), name)
    assert getattr(Tolerances(**{name: "0 " + most.split()[1]}), name) == 0.0
    for wrong in (most.replace(" ", ".1 "), "-0.1 " + most.split()[1]):
        with pytest.raises(ExhaustError, match=name):
            Tolerances(**{name: wrong})


# Seams that are made of two


def test_half_of_a_tacked_seam_opens_by_half_where_the_other_half_touches() -> None:
    """A slant opens one end of the whole seam: all of it there, half of it at the other's middle.

    The X was tacked before it was halved, so what touches is the whole seam's.
    """
    model = MitredFit(HALF)
    gaps = [
        gap_of(fitted(model, LONG, slice_slant=sign * SMALL), HALF.seams[0].name)
        for sign in (1, -1)  # more than nought: more metal at the kept end, which touches
    ]
    long = 2 * math.sqrt((R + A) ** 2 - (R + 0.4 * A) ** 2)
    assert gaps == pytest.approx([long * SMALL, 2 * long * SMALL], rel=FIRST)


def test_an_outlet_off_as_its_faces_are_fits() -> None:
    """One plane across both faces: the outlet that leans with it closes, against it doubles it.

    A lean of the halving is each face's own: the outlet can close on one of them only.
    """
    model, seam = YFit(Y), "legs to outlet"
    for name in ("bend_half", "halving_slant"):
        alone = gap_of(fitted(model, **{name: SMALL}), seam)
        both = sorted(
            gap_of(fitted(model, **{name: SMALL, "outlet_slant": sign * SMALL}), seam)
            for sign in (1, -1)
        )
        assert both == pytest.approx([0.0, 2 * alone], rel=FIRST, abs=1e-12)
    alone = gap_of(fitted(model, outlet_slant=SMALL), seam)
    assert alone == pytest.approx(gap_of(fitted(model, bend_half=SMALL), seam), rel=FIRST)
    lean = gap_of(fitted(model, halving_lean=SMALL), seam)
    own = gap_of(fitted(model, outlet_lean=SMALL), seam)
    assert own == pytest.approx(2 * A * SMALL, rel=1e-2)  # over the height of the outline
    assert lean == pytest.approx(own, rel=1e-2)  # out at the top of one, at the foot of the other
    for sign in (1, -1):
        both = fitted(model, halving_lean=SMALL, outlet_lean=sign * SMALL)
        assert gap_of(both, seam) == pytest.approx(2 * own, rel=1e-2)


def test_an_outlet_wider_by_as_much_as_the_legs_steps_less() -> None:
    """Half of its own diameter's error; the outline's length over 2 pi; they take from each other.

    Legs wider by d at one depth: radius and offset grow by d/2 each.
    """
    model, seam = YFit(Y), "legs to outlet"
    assert step_of(fitted(model, outlet=SMALL), seam) == pytest.approx(SMALL / 2)
    cut = Y.cut_depth
    d = 1e-4

    def arc(radius: float) -> float:
        return 2 * radius * (math.pi - math.acos((radius - cut) / radius))

    legs = 2 * (arc(A + d / 2) - arc(A)) / (2 * math.pi)
    found = [
        step_of(fitted(model, bend_A=d, bend_B=d, outlet=sign * d), seam) for sign in (1, 0, -1)
    ]
    assert found == pytest.approx([abs(legs - d / 2), legs, legs + d / 2], rel=1e-6)


def test_a_bend_trimmed_off_its_mark_swings_its_leg() -> None:
    """The splayed end moves by the angle times the way along the joint, R sin 40 + 250 cos 40."""
    model = ButtedFit(BUTTED)
    forty = math.radians(40)
    along = R * math.sin(forty) + 0.25 * math.cos(forty)
    for trim in ("trim_A", "trim_B"):
        ends = fitted(model, **{trim: SMALL}).ends
        assert ends[model.other_end][0] == pytest.approx(along * SMALL, rel=FIRST)
        assert ends[model.end][0] == pytest.approx(0.0, abs=1e-12)
    both = fitted(model, trim_slant=SMALL).ends[model.other_end][0]
    assert both == pytest.approx(2 * along * SMALL, rel=FIRST)
    assert model.end == BUTTED.parallel_end
    other = ButtedFit(BUTTED.with_(parallel_end="exit"))
    assert (other.end, other.other_end) == ("exit", "entry")


# Butts of bends that are alike


@pytest.mark.parametrize(
    ("joint", "seam", "bends", "returns"),
    [
        (X, "bend to return bend", "bend A angle,bend B angle", "return A angle,return B angle"),
        (HALF, "bend to return bend", "bend A angle,bend B angle", "return angle"),
        (BUTTED, "bend to return bend", "bend A angle,bend B angle", "return angle"),
        (Y, "on the legs", "bend angle", "return angle"),
    ],
    ids=["X", "half", "butted", "Y"],
)
def test_bends_alike_close_on_each_other_whatever_their_angle(
    joint: Joint, seam: str, bends: str, returns: str
) -> None:
    """Halves of bends off by x each lack x/2: together nothing; against each other D x."""
    _, model = model_of(joint, SAW)

    def gap(back: float, **more: float) -> float:
        off = dict.fromkeys(bends.split(","), SMALL) | dict.fromkeys(returns.split(","), back)
        return gap_of(fitted(model, LONG, **(off | more)), seam)

    assert gap(SMALL) == pytest.approx(0.0, abs=1e-12)
    assert gap(-SMALL) == pytest.approx(2 * A * SMALL, rel=FIRST)
    if any(error.name == "square slant" for error in model.errors):
        wedge = sorted(gap(-SMALL, **{"square slant": sign * SMALL}) for sign in (1, -1))
        assert wedge == pytest.approx([0.0, 4 * A * SMALL], rel=FIRST, abs=1e-12)


@pytest.mark.parametrize(
    ("joint", "end", "bends", "returns"),
    [
        (X, "exit", "bend A angle,bend B angle", "return A angle,return B angle"),
        (HALF, "entry", "bend A angle,bend B angle", "return angle"),
        (BUTTED, "entry", "bend A angle,bend B angle", "return angle"),
        (Y, "legs", "bend angle", "return angle"),
    ],
    ids=["X", "half", "butted", "Y"],
)
def test_a_bend_over_swings_all_that_follows_it(
    joint: Joint, end: str, bends: str, returns: str
) -> None:
    """Each half turns x/2 more, on both sides: x times the way along from the joint's middle.

    That is 2 R sin 45 and the straights; of a return, its own straight end of 30 mm alone, back.
    """
    _, model = model_of(joint, SAW)

    def moved(names: str) -> float:
        off = dict.fromkeys(names.split(","), SMALL)
        return float(fitted(model, LONG, **off).ends[end][0]) / SMALL

    straight = float(getattr(joint, "parallel", joint).spacer)
    along = 2 * R * math.sqrt(0.5) + straight * math.sqrt(0.5) + 0.03
    assert moved(bends) == pytest.approx(along, rel=FIRST)
    assert moved(returns) == pytest.approx(-0.03, rel=FIRST)
