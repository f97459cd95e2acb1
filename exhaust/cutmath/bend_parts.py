"""What joints of sliced bends share: halved returns, straights between, what is awkward of them."""

from __future__ import annotations

from exhaust.cutmath.cutsheet import Blank, Part
from exhaust.cutmath.finished import draws_in
from exhaust.cutmath.straights import StraightPlan
from exhaust.joints import ParallelX, YMerge
from exhaust.show import cut_length, quantity
from exhaust.stock import Bend, Saw

RING = 12e-3  # a straight piece shorter than this is a ring that is hard to saw and weld [m]


def following(
    joint: ParallelX | YMerge, returns: Bend | None, plan: StraightPlan, saw: Saw, legs: int
) -> list[Part]:
    """Return the parts that follow sliced bends on so many `legs`: the returns, the straights."""
    tube, found = joint.tube, []
    if returns is not None:
        back = returns.clr * joint.half_angle + max(plan.at_exit, 0.0) + plan.left_on_return
        back -= 0.0 if joint.trimmed else saw.kerf / 2
        what = f"return, {quantity(joint.half_angle, 'angle')} of bend, two from a bend"
        mass = back * tube.mass_per_length
        found.append(Part("B", what, legs, Blank.whole(returns, 2), back, mass))
    if plan.piece:
        mass = plan.piece * tube.mass_per_length
        found.append(Part("C", "straight", legs, Blank(tube, plan.piece), plan.piece, mass))
    return found


def awkward(plan: StraightPlan, returns: Bend | None, saw: Saw) -> list[str]:
    """Return what is awkward about how the straights are made up, in words.

    >>> awkward(StraightPlan(0.0, 0.008, 0.0, False, 0.0), None, Saw(kerf="1.1 mm"))[0][:42]
    'Each straight is a ring of 0.315 in (5/16)'
    """
    found = []
    if 0 < plan.piece < RING:
        found.append(
            f"Each straight is a ring of {cut_length(plan.piece)}, hard to saw and weld: widen the "
            "spacing or choose bends with longer straight ends"
        )
    elif 0 < plan.piece < saw.clamp_length:
        found.append(
            f"A straight of {cut_length(plan.piece)} is shorter than the vice holds "
            f"({cut_length(saw.clamp_length)}): saw it from long stock, never the other way round"
        )
    if returns is not None and returns.tangent > 0 and plan.sawn_face_out:
        short = cut_length(plan.short_at_exit(float(returns.tangent)))
        found.append(
            "The returns are turned, straight end inward, which saves a weld on each leg: every "
            f"end of a leg comes out {short} shorter than drawn; make the run that meets it as "
            "much longer"
        )
    return found


def bends_assumed(saw: Saw, moved: str, at_kerf: str = "") -> list[str]:
    """Return what sliced bends take for granted; `moved` says what a degree does, in words."""
    return [
        f"Bends are true: {moved}.",
        "Tube is round with an even wall; a bend's heel is thinner than that (measure it).",
        f"Kerf {cut_length(saw.kerf)} as measured on a test cut{at_kerf}.",
        draws_in(),
    ]
