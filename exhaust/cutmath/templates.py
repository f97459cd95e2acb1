"""Templates at full size for every cut of a joint on straight tube, to wrap round the tube."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from exhaust import units
from exhaust.cutmath.template import STRIP, Band, Piece, Template, Tubing, laid_out, straight
from exhaust.cutmath.templates_balance import balance_templates
from exhaust.cutmath.templates_legs import leg_templates
from exhaust.errors import ExhaustError, RuleError, broken, nearest, typed
from exhaust.geometry.saddle_edge import EDGES
from exhaust.joints import HPipe, Joint, ParallelToSplayedX, ParallelX, SplayedX, YMerge
from exhaust.joints.splayed_end import MitredEnd
from exhaust.units import SI

if TYPE_CHECKING:
    import pint

    Length = str | float | pint.Quantity[Any]

THICKNESS = "0.1 mm"
THICKEST = 1e-3  # of a sheet that still goes round a tube [m]
JOINTS = (HPipe, ParallelToSplayedX, ParallelX, SplayedX, YMerge)


def templates(
    joint: Joint, thickness: Length = THICKNESS, edge: str = "saddle"
) -> tuple[Template, ...]:
    """Return a template for every cut of `joint` on straight tube, and a strip for square lines.

    `thickness` of the paper [m]; `edge` says how the edge of a saddle is made: "saddle" along the
    primary (hole saw, mill, ground to it), as an H pipe's cut sheet says; "straight" through the
    wall towards the tube's axis; "feather" ground from outside to the bore. A cut on a bend has
    `ordinates` instead. Lettering is in the unit system in use.

    >>> from exhaust import SplayedX, Tube
    >>> tube = Tube(od="2.5 in", wall="16 ga")
    >>> x = SplayedX(tube, included_angle="45 deg", cutback=0.3, leg_length="8 in")
    >>> [(found.name, found.pieces) for found in templates(x)]
    [('leg: mitre', 4), ('leg: mitre and long cut', 4), ('square line', 1)]
    """
    checked_joint(joint)
    sheet = checked_thickness(thickness)
    if edge not in EDGES:
        known = nearest(edge if isinstance(edge, str) else "", EDGES)
        raise broken("is not a known way to make an edge", typed(edge), known).named("edge")
    found: list[Template] = []
    if isinstance(joint, HPipe):
        found += balance_templates(joint, sheet, edge)
    elif isinstance(joint, SplayedX):
        found += leg_templates(joint.tube, joint.entry, joint.exit, sheet)
    elif isinstance(joint, ParallelToSplayedX) and isinstance(joint.leg, MitredEnd):
        found += leg_templates(joint.tube, joint.leg, None, sheet)
    return (*found, *_strips(joint, sheet))


def checked_joint(joint: object) -> Joint:
    """Return `joint` if it is one of the package's joints, or refuse it."""
    if isinstance(joint, JOINTS):
        return joint
    got = "nothing" if joint is None else type(joint).__name__
    known = ", ".join(kind.__name__ for kind in JOINTS)
    raise broken("must be a joint", got, f"make one of {known}").named("joint")


def checked_thickness(thickness: Length) -> float:
    """Return the thickness of paper [m] if a tube can be wrapped in it, or refuse it.

    >>> checked_thickness("2 mm")
    Traceback (most recent call last):
    exhaust.errors.ExhaustError: thickness must be between 0 mm and 1 mm (got 2 mm); it is that...
    """
    try:
        found = units.length(thickness)
    except RuleError as error:
        raise error.named("thickness") from error
    if 0.0 <= found <= THICKEST:
        return float(found)
    low, high = _in_its_unit(found, 0.0), _in_its_unit(found, THICKEST)
    rule = f"must be between {low} and {high}"
    raise _paper(rule, _in_its_unit(found, float(found)))


def _paper(rule: str, got: str) -> ExhaustError:
    return broken(rule, got, "it is that of the paper, not of the wall").named("thickness")


def _in_its_unit(found: float, value: float) -> str:
    return found.written(value) if isinstance(found, SI) else f"{value:g}"


def _strips(joint: Joint, thickness: float) -> list[Template]:
    """Return a strip for square lines for each size of straight tube in the joint."""
    tubes = [joint.tube, joint.outlet]
    if isinstance(joint, HPipe):
        tubes.append(joint.balance_tube)
    found: dict[float, Template] = {}
    for tube in tubes:
        tubing = Tubing(tube.name, float(tube.od) / 2.0, thickness)
        if tubing.radius not in found:
            found[tubing.radius] = square_strip(tubing)
    return list(found.values())


def square_strip(tubing: Tubing) -> Template:
    """Return a band with two lines square to the tube and its quarters marked.

    >>> strip = square_strip(Tubing("2 in x 16 ga", 0.0254, 0.0001))
    >>> [round(x * 1e3, 2) for x in strip.bounds]
    [-79.95, 0.0, 79.95, 40.0]
    """
    names = ("6", "9", "12", "3", "6")
    lines = straight(tubing, 0.0, "cut"), straight(tubing, STRIP)
    notes = (
        "For every square cut on this tube, and to mark its quarters. Wrap it tight: where its "
        "sides meet without a step the line is square to the tube.",
        "The line to saw is the lower edge; the marks of the quarters carry on along the tube.",
    )
    piece = Piece("square line", 1, "either way round", notes)
    return laid_out(tubing, Band(*lines, names), piece)
