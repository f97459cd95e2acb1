"""What half a parallel X with splayed legs can be: refusals, notes, limits in shop words."""

from __future__ import annotations

import math
from typing import NamedTuple

from exhaust.errors import broken
from exhaust.geometry import parallel_to_splayed, splayed
from exhaust.geometry.elbow import SLACK, SlicedElbow
from exhaust.joints import parallel_x_rules, splayed_rules
from exhaust.joints.bent_end import BentEnd
from exhaust.joints.parallel_x import ParallelX
from exhaust.joints.parallel_x_rules import Placed, in_unit_of, share, text
from exhaust.joints.splayed_end import MitredEnd
from exhaust.joints.splayed_rules import Most
from exhaust.units import SI

MITRED, BUTTED = "mitred", "butted"
HALVINGS = 40  # of an angle, when the one is looked for at which a step is as large as the wall


class Asked(NamedTuple):
    """The joint as it was described: the X that is halved, and its legs."""

    parallel: ParallelX
    angle: float  # included [rad]
    length: float  # of a leg [m]
    legs: str
    held: float | None  # spacing where the parallel tubes come out, if it was given [m]

    @property
    def turn(self) -> float:
        """Angle of a leg to the joint [rad]."""
        return float(self.angle) / 2.0


def end(asked: Asked) -> MitredEnd | BentEnd:
    """Return the end of the two legs, or refuse it with the limit."""
    if asked.legs == BUTTED:
        return _bent(asked)
    x = asked.parallel
    thin = x.tube.wall / x.tube.od
    widest = 2.0 * math.acos(min(thin / (1.0 - x.cutback), 1.0))
    if asked.angle >= widest:
        limit = in_unit_of(asked.angle, widest, up=False)
        rule = f"must be less than {limit} at cutback {share(x.cutback)}, or nothing of the legs"
        remedy = f"use a shallower cutback or {BUTTED} legs"
        raise broken(f"{rule} is left", text(asked.angle), remedy).named("included_angle")
    found = MitredEnd(parallel_to_splayed.mitred_leg(x.elbow, asked.turn), float(asked.length))
    splayed_rules.check_length(found, "leg_length", asked.length)
    return found


def _bent(asked: Asked) -> BentEnd:
    bend = asked.parallel.bend
    if asked.angle > bend.angle + parallel_x_rules.SAME_ANGLE:
        rule = f"must be at most {text(bend.angle)}, what the bend turns, for {BUTTED} legs"
        remedy = f"use bends of a larger angle or {MITRED} legs"
        raise broken(rule, text(asked.angle), remedy).named("included_angle")
    least = run_on(asked)
    if asked.length < least - SLACK:
        limit = in_unit_of(asked.length, least, up=True)
        remedy = f"at {text(asked.angle)} the opening runs past the bend"
        rule = f"must be at least {limit} for the opening to end before the leg does"
        raise broken(rule, text(asked.length), remedy).named("leg_length")
    straight = max(float(asked.length), least)  # within SLACK of `least`
    cut = parallel_to_splayed.butted_leg(asked.parallel.elbow, asked.turn, straight)
    return BentEnd(cut)


def run_on(asked: Asked) -> float:
    """Return how far the opening runs onto a butted leg, along its heel line [m]; none is zero."""
    cut = asked.parallel.elbow
    past = (cut.clr + cut.radius) * math.cos(asked.turn) - cut.plane
    return max(past, 0.0) / math.sin(asked.turn)


def notes(asked: Asked, at: MitredEnd | BentEnd) -> tuple[str, ...]:
    """Return what is unusual about a joint that can be made, in words."""
    x = asked.parallel
    found = list(x.notes)
    if isinstance(at, BentEnd):
        if run_on(asked):
            onto = in_unit_of(asked.length, run_on(asked))
            found.append(
                f"the opening runs {onto} onto each leg: weld them to the bends before slicing"
            )
        return tuple(found)
    if at.cutback > 0.5 >= x.cutback:
        found.append(
            f"the legs lose {share(at.cutback)} of their mitre opening, past the widest point: "
            "their opening is highest beside the middle"
        )
    worst = parallel_to_splayed.meeting(x.elbow, at.leg).steps
    if max(worst.outward, -worst.inward) >= x.tube.wall:
        stepped = splayed_rules.step_note(worst, x.tube.od, x.tube.wall)
        found.append(f"{stepped}; {BUTTED} legs leave none")
    return tuple(found)


def deepest(asked: Asked) -> Most:
    """Return the largest cutback that the tube, the bends and the legs leave room for."""
    x, turn = asked.parallel, asked.turn
    placed = Placed(x.half_angle, x.spacer, x.trimmed)
    held = None if asked.held is None else x.spacing
    bends = parallel_x_rules.deepest(x.bend, x.return_bend, placed, held)
    od, radius = float(x.tube.od), float(x.tube.od) / 2.0
    thin = 1.0 - x.tube.wall / od - 1e-6
    if asked.legs == BUTTED:
        turned = (x.bend.clr + radius) * (1.0 - math.cos(turn))
        legs = (turned + asked.length * math.sin(turn)) / od
    else:
        room = asked.length + radius * math.tan(turn)
        own = min(thin, room / (od * (1.0 / math.tan(turn) + math.tan(turn))))
        legs = 1.0 - (1.0 - own) / math.cos(turn)
    return min(
        Most(thin, splayed_rules.NOTHING_LEFT),
        Most(bends, "before the tips of the opening meet the ends of the bends"),
        Most(legs, "for these legs"),
    )


def limits(asked: Asked, at: MitredEnd | BentEnd) -> tuple[str, ...]:
    """Return what limits a joint that can be made, in words."""
    x = asked.parallel
    found = [deepest(asked).words(), x.limits[1]]
    if isinstance(at, BentEnd):
        if run_on(asked):
            least = in_unit_of(asked.length, run_on(asked), up=True)
            found.append(f"leg_length can come down to {least}, what the opening takes of a leg")
        found.append(f"included_angle can grow to {text(x.bend.angle)}, what the bend turns")
        return tuple(found)
    least = in_unit_of(asked.length, splayed.least_length(at.leg), up=True)
    found.append(f"leg_length can come down to {least} {splayed_rules.ends_with(at)}")
    return (*found, *_angles(asked))


def _angles(asked: Asked) -> list[str]:
    """Return the included angles past which the legs' cut and the steps become awkward."""
    x, found = asked.parallel, []
    if x.cutback < 0.5:
        widest = _angle(asked, 2.0 * math.acos(1.0 / (2.0 * (1.0 - x.cutback))))
        found.append(f"past an included angle of {widest} the legs are cut past their widest point")
    stepped = step_limit(x.elbow)
    if stepped < math.pi:
        found.append(
            f"past an included angle of {_angle(asked, stepped)} the edges step apart by more than "
            "the wall"
        )
    return found


def _angle(asked: Asked, value: float) -> str:
    like = asked.angle if isinstance(asked.angle, SI) else SI(asked.angle, "angle")
    return in_unit_of(like, value, up=False)


def step_limit(cut: SlicedElbow) -> float:
    """Return the included angle at which the worst step is as large as the wall [rad].

    pi: it never is, as far as legs can be cut. Inward tan²(t/2) = 1 - (1 - wall/a)²; outward at the
    seam cos t = a (1 + s)/(a + h), s² = 1 - [(a + wall)² - h²]/a² [mitred], while the deepest step
    inward is on the face, short of f = 3/4; beyond that it is found by halving.

    >>> third = SlicedElbow(0.09525, 0.03175, 0.001651, math.pi / 4, 0.0, 1 / 3)
    >>> round(math.degrees(step_limit(third)), 1)
    70.6
    """
    thin, a, h = cut.wall / (2.0 * cut.radius), cut.radius, cut.offset
    high = math.acos(min(thin / (1.0 - cut.cutback), 1.0)) * (1.0 - 1e-9)  # of a leg [rad]
    inward = 2.0 * math.atan(math.sqrt(1.0 - (1.0 - cut.wall / a) ** 2))
    deepest = math.sqrt(math.cos(inward) / (2.0 * (1.0 + math.cos(inward))))  # of the circle
    if h <= -a * deepest:
        return _searched_limit(cut, high)
    squared = 1.0 - ((a + cut.wall) ** 2 - h * h) / (a * a)
    cosine = a * (1.0 + math.sqrt(squared)) / (a + h) if squared >= 0.0 else 1.0
    outward = math.acos(cosine) if cosine < 1.0 else math.inf
    first = min(inward, outward)
    return 2.0 * first if first <= high else math.pi


def _searched_limit(cut: SlicedElbow, high: float) -> float:
    low = 0.0
    if _step(cut, high) < cut.wall:
        return math.pi
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if _step(cut, middle) < cut.wall else (low, middle)
    return 2.0 * low


def _step(cut: SlicedElbow, angle: float) -> float:
    worst = parallel_to_splayed.meeting(cut, parallel_to_splayed.mitred_leg(cut, angle)).steps
    return max(worst.outward, -worst.inward)
