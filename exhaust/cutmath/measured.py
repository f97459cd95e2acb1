"""What was measured at the bench, and the joint that it makes."""

from __future__ import annotations

import math
from typing import Any

import attrs

from exhaust import units
from exhaust.cutmath import dial
from exhaust.cutmath.sawn import SAME, checked, sawn_pieces
from exhaust.describe import Description, within
from exhaust.errors import ExhaustError, broken
from exhaust.joints import Joint, ParallelToSplayedX, ParallelX, SplayedX, YMerge
from exhaust.joints.bent_end import BentEnd
from exhaust.joints.parallel_x_rules import Asked, text
from exhaust.joints.splayed_rules import BISECTOR, EQUAL_WIDTH
from exhaust.stock import DEGREE, INCH, Bend, Saw, Tube, wall_thickness
from exhaust.units import SI

SAME_ANGLE = 1e-9  # [rad]; far below what a shop can measure
ALIKE = 1e-4  # bends that measure closer than this are alike [rad]


def _reading(dimension: str, low: float, high: float, convert: Any = None) -> Any:
    converter = convert or {"length": units.length, "angle": units.angle}[dimension]
    return attrs.field(
        default=None,
        converter=attrs.converters.optional(converter),
        validator=attrs.validators.optional(within(low, high)),
        metadata={"dimension": dimension},
    )


def _size(low: float = 1e-3, high: float = 3.0) -> Any:
    return _reading("length", low, high)


@attrs.frozen(kw_only=True, repr=False)
class Measured(Description):
    """Readings taken at the bench; each may be left out, and the nominal value stands.

    On the tube: `od_heel_to_throat` and `od_side_to_side`, the outside diameter in the plane of
    the bend or mitre and square to it [m]; `wall` [m]; `heel_wall`, by micrometer at a bend's heel
    [m]. On the bends: `bend_angle` and `return_angle`, whole bends [rad]; `tangent` and
    `return_tangent`, their straight ends [m]. On pieces that are sawn: `opening_length` and
    `opening_height`, of the first piece that lost its heel [m]; `mitre_opening` of a splayed leg,
    of the entry where the ends differ, and `exit_mitre_opening` [m]; `halved_opening` of a
    parallel X that was sawn in half [m]. On a test cut: `kerf` [m].

    >>> Measured(bend_angle="91 deg", kerf="1.2 mm")
    Measured(bend_angle=91 deg, kerf=1.2 mm)
    """

    od_heel_to_throat: float | None = _size(0.25 * INCH, 12 * INCH)
    od_side_to_side: float | None = _size(0.25 * INCH, 12 * INCH)
    wall: float | None = _reading("length", 0.2e-3, 20e-3, wall_thickness)
    heel_wall: float | None = _reading("length", 0.1e-3, 20e-3, wall_thickness)
    bend_angle: float | None = _reading("angle", 5 * DEGREE, 185 * DEGREE)
    return_angle: float | None = _reading("angle", 5 * DEGREE, 185 * DEGREE)
    tangent: float | None = _size(0.0)
    return_tangent: float | None = _size(0.0)
    opening_length: float | None = _size()
    opening_height: float | None = _size()
    mitre_opening: float | None = _size()
    exit_mitre_opening: float | None = _size()
    halved_opening: float | None = _size()
    kerf: float | None = _reading("length", 0.2e-3, 5e-3)

    @property
    def given(self) -> dict[str, float]:
        """The readings that were taken, by name."""
        pairs = ((field.name, getattr(self, field.name)) for field in self.__attrs_attrs__)
        return {name: value for name, value in pairs if value is not None}

    @property
    def ovality(self) -> float | None:
        """How much wider the tube is one way than the other [m], if both were measured."""
        if self.od_heel_to_throat is None or self.od_side_to_side is None:
            return None
        return abs(self.od_heel_to_throat - self.od_side_to_side)

    @property
    def mean_od(self) -> float | None:
        """Mean of the two outside diameters [m], or the one that was measured."""
        taken = [d for d in (self.od_heel_to_throat, self.od_side_to_side) if d is not None]
        return sum(taken) / len(taken) if taken else None


ON_TUBE = ("od_heel_to_throat", "od_side_to_side", "wall", "kerf")
ON_BEND = ("heel_wall", "bend_angle", "tangent")
ON_RETURN = ("return_angle", "return_tangent")
ON_CUT = ("opening_length", "opening_height")


def uses(joint: Joint) -> tuple[str, ...]:
    """Return the readings that `joint` has a use for.

    >>> from exhaust import HPipe
    >>> uses(HPipe(Tube(od="3 in", wall="16 ga"), spacing="10 in"))
    ('od_heel_to_throat', 'od_side_to_side', 'wall', 'kerf')
    """
    if isinstance(joint, SplayedX):
        return (*ON_TUBE, *ON_CUT, "mitre_opening", "exit_mitre_opening")
    if isinstance(joint, YMerge) and joint.return_bend is None:
        return (*ON_TUBE, *ON_BEND, *ON_CUT)
    found = (*ON_TUBE, *ON_BEND, *ON_RETURN, *ON_CUT)
    if isinstance(joint, (ParallelX, YMerge)):
        return found
    if isinstance(joint, ParallelToSplayedX):
        mitred = not isinstance(joint.leg, BentEnd)
        return (*found, "mitre_opening", "halved_opening") if mitred else found
    return ON_TUBE


def rebuilt(joint: Joint, saw: Saw, measured: Measured) -> Joint:
    """Return `joint` made of what was measured; without a reading that differs, `joint` as it is.

    Raises `ExhaustError` for a reading that the joint has no use for, or that cannot be.
    """
    for name, value in measured.given.items():
        if name not in uses(joint):
            rule = "has no use on this joint"
            raise broken(rule, text(value), f"it takes {', '.join(uses(joint))}").named(name)
    in_stock = _in_stock(joint, measured)
    made: Joint = _sliced(_mitred(in_stock, saw, measured), saw, measured)
    return made


def measured_tube(tube: Tube, measured: Measured) -> Tube:
    """Return `tube` as measured; its diameter is the one in the plane that the saw cuts in."""
    od = measured.od_heel_to_throat or measured.od_side_to_side
    changes = {"od": od, "wall": measured.wall}
    given = {name: value for name, value in changes.items() if value is not None}
    return tube.with_(**given) if given else tube


def true_angle(bend: Bend, measured: Measured) -> float:
    """Return the angle that every bend can be given: the least that was measured [rad]."""
    taken = [each for each in (measured.bend_angle, measured.return_angle) if each is not None]
    return min(taken, default=bend.angle)


def _in_stock(joint: Any, measured: Measured) -> Any:
    """Return the joint in its tube and its bends as measured."""
    tube = measured_tube(joint.tube, measured)
    if not hasattr(joint, "bend"):
        return joint.with_(tube=tube) if tube != joint.tube else joint
    bend = _bent(joint.bend, tube, measured, measured.tangent)
    x = joint.parallel if isinstance(joint, ParallelToSplayedX) else joint
    back, other = x.return_bend, None
    if back is not None and (back is not joint.bend or measured.return_tangent is not None):
        own = back is not joint.bend
        tangent = measured.return_tangent
        other = _bent(back, tube, measured, tangent if own or tangent is not None else bend.tangent)
    if bend == joint.bend and (other is None or other == back):
        return joint
    also = {"outlet": tube} if isinstance(joint, YMerge) and joint.outlet == joint.tube else {}
    return joint.with_(bend=bend, return_bend=other, **also)


def _bent(bend: Bend, tube: Tube, measured: Measured, tangent: float | None) -> Bend:
    straight = bend.tangent if tangent is None else tangent
    return bend.with_(tube=tube, angle=true_angle(bend, measured), tangent=straight)


def _mitred(joint: Any, saw: Saw, measured: Measured) -> Any:
    """Return the joint with the legs' angles that their mitre openings show."""
    taken = (measured.mitre_opening, measured.exit_mitre_opening)
    if taken == (None, None):
        return joint
    od = float(joint.tube.od)
    shown = [None if size is None else _shown(od, size) for size in taken]
    if isinstance(joint, ParallelToSplayedX):
        assert shown[0] is not None
        return _turned(joint, (shown[0], joint.leg.angle))
    first, second = joint.entry, joint.exit
    nominal = [dial.mitre_on_dial(end.mitre_angle, saw) for end in (first, second)]
    alike = first.leg == second.leg
    if joint.unequal == BISECTOR and not alike:
        known = [each for each in shown if each is not None]
        mitre, tilt = sum(known) / len(known), dial.on_dial(first.tilt, saw)
        return _turned(joint, (mitre + tilt, mitre - tilt))
    if alike:
        angles = [shown[0] if each is None else each for each in shown]
        angles[0] = angles[1] if angles[0] is None else angles[0]
        turned = _turned(joint, (angles[0], angles[1]))  # type: ignore[arg-type]
        unlike = abs(turned.entry.angle - turned.exit.angle) > SAME_ANGLE
        return turned.with_(unequal=EQUAL_WIDTH) if unlike else turned
    pair = [n if each is None else each for each, n in zip(shown, nominal, strict=True)]
    return _turned(joint, (pair[0], pair[1]))


def _shown(od: float, opening: float) -> float:
    if opening <= od:
        rule = f"must be more than the diameter, {text(SI(od, 'length', 'mm', 1e-3))}"
        raise broken(rule, text(opening), "measure along the long axis").named("mitre_opening")
    return math.acos(od / opening)


def _turned(joint: Any, angles: tuple[float, float]) -> Any:
    """Return a joint of legs at `angles` to it, entry and exit [rad]; the same if they are."""
    if isinstance(joint, ParallelToSplayedX):
        if abs(angles[0] - joint.leg.angle) < SAME_ANGLE:
            return joint
        return joint.with_(included_angle=dial.in_degrees(2.0 * angles[0]))
    was = joint.entry.angle, joint.exit.angle
    if all(abs(now - then) < SAME_ANGLE for now, then in zip(angles, was, strict=True)):
        return joint
    entry, leaving = (dial.in_degrees(2.0 * angle) for angle in angles)
    return joint.with_(included_angle=entry, exit_angle=leaving)


def _sliced(joint: Any, saw: Saw, measured: Measured) -> Any:
    """Return the joint with the cutback that its openings show: halved, else length, else height.

    A joint whose spacing was given keeps it: the straights that are still to be cut make it up.
    """
    halved = measured.halved_opening
    if halved is not None:
        name, found = "halved_opening", 1.0 - halved / (2.0 * joint.tube.od)
        found = joint.cutback if abs(found - joint.cutback) < SAME else found
    else:
        taken = [(way, getattr(measured, way)) for way in ON_CUT]
        name, size = next(((w, s) for w, s in taken if s is not None), ("", None))
        if size is None:
            return joint
        piece = sawn_pieces(joint, saw)[0].piece
        checked(piece, Asked(name, size))
        found = piece.shown(name, float(size))
    if found == joint.cutback:
        return joint
    try:
        return joint.with_(cutback=found)
    except ExhaustError as error:
        rule = f"shows a cutback of {found:.3f}, which this joint cannot have"
        got = text(getattr(measured, name))
        raise broken(rule, got, f"{error} (ask rework what to do)").named(name) from error
