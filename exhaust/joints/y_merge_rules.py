"""What a Y merge can be: its outlet, its cut, where its legs come in, in the shop's words."""

from __future__ import annotations

import math

from exhaust.errors import broken
from exhaust.geometry import crossover, elbow, merge, merge_leg
from exhaust.geometry.crossover import Quarter
from exhaust.geometry.elbow import SLACK, SlicedElbow
from exhaust.joints import parallel_x_rules as bends
from exhaust.joints.forming import FITS, Stretching, ring, stretching
from exhaust.joints.parallel_x_rules import Asked, Placed, floored, in_unit_of, share, text
from exhaust.show import quantity
from exhaust.stock import DEGREE, Bend, Tube

PARALLEL, SPLAYED = "parallel", "splayed"
USUAL = "0.5 is usual for an outlet of the same size"
LEGS = 2
SAME = 1e-9  # of an outside diameter; far below what a shop can measure
LITTLE = 10e-3  # heel behind the tip that a slip or two may use up; common practice, no source [m]
FURTHER = 1e-3  # of depth, to say what it does [m]


def check_outlet(leg: Tube, outlet: Tube) -> None:
    """Refuse an outlet smaller than a leg, or one as wide as both."""
    if outlet.od < leg.od * (1.0 - SAME):
        rule = f"must be as large as the legs, {leg.name}, or larger"
        raise broken(rule, outlet.name, "a merge never narrows").named("outlet")
    if ring(outlet).middle >= LEGS * ring(leg).middle:
        most = in_unit_of(outlet.od, LEGS * (leg.od - leg.wall) + outlet.wall, up=False)
        rule = f"must be less than {most}, both legs of {leg.name} side by side"
        raise broken(rule, outlet.name, "use a collector").named("outlet")


def check_return(bend: Bend, back: Bend | None, legs: str) -> None:
    """Refuse a return bend that is not of the joint, or one that splayed legs have no use for."""
    if back is None:
        return
    if legs == SPLAYED:
        rule = "has no use where the legs stay splayed"
        raise broken(rule, None, f'leave it out or give legs="{PARALLEL}"').named("return_bend")
    bends.check_return(bend, back)


def check_splay(bend: Bend, legs: str) -> None:
    """Refuse legs that splay to a right angle or more: they would never come in together."""
    if legs == SPLAYED and bend.half_angle >= math.pi / 2.0 - 1e-9:
        limit = in_unit_of(bend.angle, math.pi)
        rule = f"turns {text(bend.angle)}, but splayed legs take less than {limit}"
        raise broken(rule, None, f'give legs="{PARALLEL}" or a bend of less angle').named("bend")


def stretched(leg: Tube, outlet: Tube, cutback: float) -> Stretching:
    """Return what it takes to bring the outline at `cutback` to `outlet`."""
    return stretching(merge.stretch(ring(leg), cutback, ring(outlet)), leg)


def check_stretch(leg: Tube, outlet: Tube, cutback: float) -> None:
    """Refuse a cutback whose outline must be stretched further than its metal takes."""
    asked = stretched(leg, outlet, cutback)
    if not asked.past_the_metal:
        return
    most = merge.cutback_for_stretch(ring(leg), ring(outlet), asked.most)
    none = merge.zero_stretch_cutback(ring(leg), ring(outlet))
    rule = (
        f"must be at most {floored(most)} to reach {outlet.name}: {asked.grade} is not stretched "
        f"past {quantity(asked.most, 'percent')}"
    )
    got = f"{share(cutback)}, which asks {quantity(asked.share, 'percent')}"
    raise broken(rule, got, f"{none:.3f} needs no stretch").named("cutback")


def placed(bend: Bend, back: Bend | None, cutback: float, asked: Asked | None) -> Placed:
    """Return what gives the spacing that was asked, or refuse it; no `back`: splayed legs."""
    if back is not None:
        return bends.placed(bend, back, cutback, asked)
    if asked is None or asked.name == "spacer":
        return bends.as_bought(bend, cutback, 0.0 if asked is None else float(asked.value))
    least = least_splayed(bend, cutback)
    across = merge_leg.end_width(bend.tube.od / 2.0, bend.half_angle)
    shift = {"spacing": 0.0, "gap": across, "outside_width": -across}[asked.name]
    wanted = asked.value + shift
    if wanted < least - SLACK:
        limit = in_unit_of(asked.value, least - shift, up=True)
        remedy = "a smaller clr or a bend of less angle brings the legs closer"
        raise broken(f"must be at least {limit}", text(asked.value), remedy).named(asked.name)
    straight = crossover.straight_for(_splayed(bend, cutback), wanted)
    past = bends.run_on(bend, cutback)
    return Placed(bend.half_angle, max(straight, past, 0.0), trimmed=False)  # within SLACK


def _splayed(bend: Bend, cutback: float) -> Quarter:
    offset = bend.tube.od / 2.0 * (1.0 - 2.0 * cutback)
    return Quarter(offset, float(bend.clr), 0.0, bend.half_angle)


def least_splayed(bend: Bend, cutback: float) -> float:
    """Return the least spacing of splayed legs: a straight only where the opening needs it [m]."""
    past = max(bends.run_on(bend, cutback), 0.0)
    return crossover.spacing(_splayed(bend, cutback)._replace(straight=past))


def notes(bend: Bend, outlet: Tube, half: SlicedElbow, at: Placed) -> tuple[str, ...]:
    """Return what is unusual about a merge that can be made, in words."""
    leg = bend.tube
    found = []
    if half.cutback > 0.5:
        found.append(
            f"cutback {share(half.cutback)} is past the widest point: less than half of each leg "
            "is left at the outlet before it is formed"
        )
    found += _forming(leg, outlet, half)
    found += bends.bend_notes(bend, at, elbow.run_on(half))
    left = merge_leg.left_behind_tip(half) + at.spacer
    if 0.0 <= left < LITTLE:
        degree = merge_leg.taken_per_angle(half) * DEGREE
        found.append(
            f"only {in_unit_of(bend.clr, left)} of heel is left behind the tip of the opening; a "
            f"half bend that turns a degree less takes {in_unit_of(bend.clr, degree)} of it"
        )
    if outlet.material != leg.material:
        found.append(
            f"legs of {leg.material} meet an outlet of {outlet.material}: choose the filler by "
            "the pair"
        )
    return tuple(found)


def _forming(leg: Tube, outlet: Tube, half: SlicedElbow) -> list[str]:
    """Return what bringing the outline to the outlet takes, in words."""
    asked = stretched(leg, outlet, half.cutback)
    fitting = merge.zero_stretch_cutback(ring(leg), ring(outlet))
    if abs(asked.share) < FITS:
        return []
    found = [f"to reach {outlet.name} the joined outline is {_way(asked, fitting)}"]
    if asked.share > 0.0:
        crotch = in_unit_of(leg.od, elbow.opening_length(half, half.radius) / 2.0)
        found.append(
            "the swage crosses two seams, and the elongation in tables does not hold across a "
            "bead (common practice): go in small steps and look for cracks there; it must reach "
            f"the crotch, {crotch} behind the outlet"
        )
    return found


def _way(asked: Stretching, fitting: float) -> str:
    if asked.share < 0.0:
        return f"{asked.words(fitting)}"
    return f"stretched: {asked.words(fitting)}"


def limits(
    bend: Bend, outlet: Tube, half: SlicedElbow, deepest: float, least: float
) -> tuple[str, ...]:
    """Return what limits a merge that can be made, in words: bend, metal, spacing, and slips."""
    leg = bend.tube
    asked = stretched(leg, outlet, half.cutback)
    takes, step = (
        merge.cutback_for_stretch(ring(leg), ring(outlet), growth)
        for growth in (asked.most, asked.in_one_step)
    )
    stretch = (
        f"cutback can grow to {floored(step)} before reaching {outlet.name} takes more than "
        f"{quantity(asked.in_one_step, 'percent')} of stretch, what one step takes, and to "
        f"{floored(takes)} before it takes more than {quantity(asked.most, 'percent')}, as far as "
        f"{asked.grade} is stretched"
    )
    near = f"spacing can come down to {in_unit_of(bend.clr, least, up=True)} at this cutback"
    first = bends.limits(bend, deepest, least)[:1] if deepest < takes else ()
    return (*first, stretch, near, _behind_the_tip(bend, half))


def _behind_the_tip(bend: Bend, half: SlicedElbow) -> str:
    """Return what is left behind the tip of the opening and what slips take of it, in words."""
    left, where = merge_leg.left_behind_tip(half), "bend"
    if left < 0.0:
        left, where = left + half.straight, "straight"
    degree, deeper = merge_leg.taken_per_angle(half) * DEGREE, merge_leg.taken_per_depth(half)
    unit = bend.clr
    return (
        f"{in_unit_of(unit, left)} of {where} is left behind the tip of the opening: a half bend "
        f"that turns a degree less takes {in_unit_of(unit, degree)} of it, a cut "
        f"{in_unit_of(unit, FURTHER)} deeper {in_unit_of(unit, FURTHER * deeper)}"
    )
