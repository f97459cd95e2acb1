"""What does a real saw's error do to the fit?"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from exhaust.bands import SEED, Band, draw
from exhaust.cutmath import parallel_to_splayed, splayed_x
from exhaust.cutmath.fit import words
from exhaust.cutmath.fit.alone import Alone
from exhaust.cutmath.fit.h_pipe import HFit
from exhaust.cutmath.fit.model import WAYS, Error, Fitted, Model, Slips
from exhaust.cutmath.fit.parallel_to_splayed import ButtedFit, MitredFit
from exhaust.cutmath.fit.parallel_x import ParallelFit
from exhaust.cutmath.fit.result import Chance, Effect, EndRow, FitUp, SeamRow, chance_of
from exhaust.cutmath.fit.splayed_x import SplayedFit
from exhaust.cutmath.fit.tolerances import Tolerances
from exhaust.cutmath.fit.y_merge import YFit
from exhaust.describe import require
from exhaust.errors import broken, nearest, typed
from exhaust.geometry.quadrature import Array
from exhaust.joints import HPipe, Joint, ParallelToSplayedX, ParallelX, SplayedX, YMerge
from exhaust.stock import Saw

MOST_SAMPLES = 100_000
BEST = "best"


def fit_up(
    joint: Joint,
    saw: Saw,
    tolerances: Tolerances | None = None,
    turned: str = BEST,
    samples: int = 1000,
    seed: int = SEED,
) -> FitUp:
    """Return what the errors of saw, marks and stock do to the fit of `joint`.

    Gaps and edge steps of every seam with the parts held true to the drawing and drawn together
    until they touch; the error of the spacing at each end with the faces pulled flat instead; which
    error makes most of it; the chance that every seam is within the gap that the weld may have.
    `turned` is how the second piece lies to the first: "about the long axis", "about the vertical",
    or "best", whichever keeps more joints within the gap. Errors of the blade are those of one
    setting, shared by all pieces sawn at it; depth, clocking, marks and stock are each piece's own.

    Raises `ExhaustError` for what is not a joint, a saw, tolerances, a turn or a number of samples.

    >>> from exhaust import Bend, ParallelX, Tube
    >>> bend = Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")
    >>> x = ParallelX(bend, cutback=0.28, spacing="10.5 in")
    >>> answer = fit_up(x, Saw(kerf="1.1 mm"))
    >>> [(seam.name, seam.most.kind) for seam in answer.seams]
    [('round the opening', 'clocking'), ('bend to return bend', 'blade_angle')]
    """
    made, model = model_of(joint, require(saw, Saw, "saw"))
    limits = require(Tolerances() if tolerances is None else tolerances, Tolerances, "tolerances")
    _check_turned(turned)
    _whole("samples", samples, 1, MOST_SAMPLES)
    _whole("seed", seed, 0, 2**31)
    slips = drawn(model.errors, limits, samples, seed)
    ways = {way: model.fitted(slips, sign) for way, sign in WAYS.items()}
    inside = {way: _inside(one, float(limits.gap)) for way, one in ways.items()}
    way = _best(ways, inside) if turned == BEST else turned
    (other,) = set(WAYS) - {way}
    alone = Alone(model, limits, way)
    effects = alone.effects()
    seams = _seams(ways[way], effects, float(limits.gap))
    ends = tuple(
        EndRow(name, _typical(error), alone.most_at(name)) for name, error in ways[way].ends.items()
    )
    choice = words.Choice(way, inside[way], inside[other], turned == BEST)
    sliced = not isinstance(made, HPipe)  # or there is no seam along the joint
    blades = {each: alone.blade(each) for each in WAYS if sliced}
    return FitUp(
        joint=made,
        saw=saw,
        tolerances=limits,
        turned=way,
        chance=_share(inside[way]),
        other_chance=_share(inside[other]),
        seams=seams,
        ends=ends,
        held=_typical(ways[way].held)[1],
        effects=effects,
        advice=words.advice(made, saw, words.worst_of(seams), blades, choice),
        samples=slips.nothing.size,
        reason=words.reason(limits, _share(inside[way]), seams, ends),
        assumptions=words.assumptions(made, limits, slips.nothing.size),
    )


def model_of(joint: Joint, saw: Saw) -> tuple[Joint, Model]:
    """Return the joint that `saw` makes of `joint`, mitres on its dial, as its errors see it."""
    if isinstance(joint, SplayedX):
        splayed = splayed_x.settable(joint, saw)
        return splayed, SplayedFit(splayed)
    if isinstance(joint, ParallelToSplayedX):
        half = parallel_to_splayed.settable(joint, saw)
        return half, ButtedFit(half) if half.legs == "butted" else MitredFit(half)
    if isinstance(joint, YMerge):
        return joint, YFit(joint)
    if isinstance(joint, HPipe):
        return joint, HFit(joint)
    if isinstance(joint, ParallelX):
        return joint, ParallelFit(joint)
    raise broken("must be a joint", typed(joint), "make one, say ParallelX(…)").named("joint")


def drawn(errors: tuple[Error, ...], limits: Tolerances, samples: int, seed: int = SEED) -> Slips:
    """Return joint samples of `errors`: normal, nine in ten within their tolerance either way."""
    bands = {}
    for error in errors:
        most = float(getattr(limits, error.kind))
        bands[error.name] = Band(-most, 0.0, most)
    found = draw(bands, samples=samples, seed=seed)
    columns = {name: values[:, None] for name, values in found.items()}
    return Slips(columns, next(iter(columns.values())).size)


def _check_turned(turned: object) -> None:
    known = (BEST, *WAYS)
    if not isinstance(turned, str) or turned not in known:
        hint = nearest(turned if isinstance(turned, str) else "", known)
        raise broken("is not a known choice", typed(turned), hint).named("turned")


def _whole(name: str, value: object, low: int, high: int) -> None:
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        rule = f"must be a whole number from {low} to {high}"
        raise broken(rule, typed(value)).named(name)


def _inside(fitted: Fitted, gap: float) -> NDArray[np.bool_]:
    """Return which samples have every seam within `gap` [m]."""
    return np.asarray(np.all([seam.gap <= gap for seam in fitted.seams.values()], axis=0))


def _best(ways: dict[str, Fitted], inside: dict[str, NDArray[np.bool_]]) -> str:
    """Return the way with more joints within the gap; of ways alike, that with truer ends."""

    def value(way: str) -> tuple[int, float]:
        return int(inside[way].sum()), -sum(_typical(end)[1] for end in ways[way].ends.values())

    return max(ways, key=value)


def _share(hits: NDArray[np.bool_]) -> Chance:
    return chance_of(int(hits.sum()), hits.size)


def _typical(values: Array) -> tuple[float, float]:
    middle, worst = np.quantile(np.abs(values), (0.5, 0.95))
    return float(middle), float(worst)


def _seams(fitted: Fitted, effects: tuple[Effect, ...], gap: float) -> tuple[SeamRow, ...]:
    """Return each seam's gap and step, its chance, and the error that makes most of its gap."""
    found = []
    for name, seam in fitted.seams.items():
        step = None if seam.step is None else _typical(seam.step)
        most = next(one for one in effects if one.seam == name)
        found.append(SeamRow(name, _typical(seam.gap), step, _share(seam.gap <= gap), most))
    return tuple(found)
