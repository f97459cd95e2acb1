"""Each reading beside its nominal value and its tolerance, and what it warns of."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from exhaust import tables
from exhaust.cutmath.as_measured_result import Reading
from exhaust.cutmath.measured import ALIKE, Measured, measured_tube
from exhaust.cutmath.sawn import ON_EDGE, reading, sawn_pieces
from exhaust.joints import Joint, ParallelToSplayedX, SplayedX
from exhaust.show import quantity
from exhaust.stock import DEGREE, MILLIMETRE, Saw

OVAL = 0.5  # share of the wall that the tube may be out of round; common practice, no source
OFF = 0.05 * DEGREE  # a bend that is off by more is not what its name says
UNITS = {"mm": MILLIMETRE, "deg": DEGREE}


def tolerance(name: str, nominal: float) -> tuple[float, str]:
    """Return the tolerance of a reading either way [SI], and where it is from.

    >>> round(tolerance("outside diameter", 0.0762)[0] * 1e3, 4)
    0.5715
    """
    row = tables.lookup("tolerance", name, "reading")
    size = max(float(row["share"]) * nominal, float(row["least"]) * UNITS[row["unit"]])
    return size, f"{name}, {row['where']} ({tables.sources()[row['source']]})"


def readings(joint: Joint, saw: Saw, measured: Measured, made: Joint) -> tuple[Reading, ...]:
    """Return every reading that was taken, in the order they are taken in."""
    return (
        *_on_tube(joint, saw, measured),
        *_on_bends(joint, measured),
        *_on_cuts(joint, saw, measured, made),
    )


def _toleranced(name: str, piece: str, size: float, nominal: float, of: str) -> Reading:
    allowed, source = tolerance(of, nominal)
    kind = "angle" if of == "bend angle" else "tube"
    return Reading(name, piece, size, nominal, kind, allowed, source=source)


def _on_tube(joint: Joint, saw: Saw, measured: Measured) -> Iterator[Reading]:
    od = float(joint.tube.od)
    both = (
        ("Outside diameter, heel to throat", measured.od_heel_to_throat),
        ("Outside diameter, side to side", measured.od_side_to_side),
    )
    for name, size in both:
        if size is not None:
            yield _toleranced(name, "tube", size, od, "outside diameter")
    if measured.ovality is not None:
        yield Reading("Mean of the two", "tube", measured.mean_od or od, od)
        allowed = OVAL * float(joint.tube.wall)
        source = "ovality, half of the wall (common practice, no source)"
        yield Reading("Ovality", "tube", measured.ovality, 0.0, "tube", allowed, source=source)
    if measured.wall is not None:
        yield _toleranced("Wall", "tube", measured.wall, float(joint.tube.wall), "wall")
    if measured.kerf is not None:
        yield Reading("Kerf on a test cut", "saw", measured.kerf, float(saw.kerf))


def _on_bends(joint: Any, measured: Measured) -> Iterator[Reading]:
    if measured.heel_wall is not None:
        least = joint.bend.with_(tube=_walled(joint, measured)).heel_wall
        name = "Wall at the heel"
        yield Reading(name, "A", measured.heel_wall, least, least=True)
    if measured.bend_angle is not None:
        name, angle = "Angle of the bend", float(joint.bend.angle)
        yield _toleranced(name, "A", measured.bend_angle, angle, "bend angle")
    if measured.return_angle is not None:
        name, angle = "Angle of the return's bend", float(joint.bend.angle)
        yield _toleranced(name, "B", measured.return_angle, angle, "bend angle")
    if measured.tangent is not None:
        yield Reading("Straight end", "A", measured.tangent, float(joint.bend.tangent))
    if measured.return_tangent is not None:
        x = joint.parallel if isinstance(joint, ParallelToSplayedX) else joint
        nominal = float(x.return_bend.tangent)
        yield Reading("Straight end of the return's bend", "B", measured.return_tangent, nominal)


def _walled(joint: Any, measured: Measured) -> Any:
    return measured_tube(joint.tube, measured)


def _on_cuts(joint: Any, saw: Saw, measured: Measured, made: Any) -> Iterator[Reading]:
    if measured.opening_length is not None or measured.opening_height is not None:
        named = sawn_pieces(joint, saw)[0]
        for way in ("opening_length", "opening_height"):
            size = getattr(measured, way)
            if size is not None:
                wanted = named.piece.size(way, named.piece.share)
                words = named.piece.words(way)
                name = f"{words[:1].upper()}{words[1:]}"
                yield _edge(name, named.labels.split()[0], size, wanted)
    if measured.mitre_opening is not None:
        half = isinstance(joint, ParallelToSplayedX)
        end, mark = (joint.leg, "D") if half else (joint.entry, "A")
        yield _edge("Mitre opening", mark, measured.mitre_opening, end.mitre_opening)
    if measured.exit_mitre_opening is not None:
        wanted = joint.exit.mitre_opening
        yield _edge("Mitre opening of the exit", "B", measured.exit_mitre_opening, wanted)
    if measured.halved_opening is not None:
        yield _edge("Halved opening", "A", measured.halved_opening, joint.halved_opening)


def _edge(name: str, piece: str, size: float, wanted: float) -> Reading:
    return Reading(name, piece, size, wanted, "tube", reading(size), source=ON_EDGE)


def warnings(joint: Any, measured: Measured, made: Any) -> tuple[str, ...]:
    """Return what the readings warn of, in words."""
    return (
        *_of_angles(joint, measured),
        *_of_metal(joint, measured),
        *_of_cuts(joint, measured, made),
    )


def _of_angles(joint: Any, measured: Measured) -> Iterator[str]:
    taken = [a for a in (measured.bend_angle, measured.return_angle) if a is not None]
    if taken and abs(taken[0] - joint.bend.angle) > OFF:
        angle = quantity(taken[0], "angle")
        half, wanted = (quantity(a / 2.0, "angle") for a in (taken[0], joint.bend.angle))
        yield (
            f"A bend that measures {angle} halves into two of {half}, not {wanted}: everything on "
            "this sheet is for that"
        )
    if len(taken) == 2 and abs(taken[0] - taken[1]) > ALIKE:
        least, most = (quantity(a, "angle") for a in (min(taken), max(taken)))
        which = "main bends" if taken[0] > taken[1] else "returns' bends"
        yield (
            f"The bends measure {least} and {most}: trim the {which} to {least}, or the exits will "
            "not be parallel"
        )


def _of_metal(joint: Any, measured: Measured) -> Iterator[str]:
    oval = measured.ovality
    if oval is not None and oval > OVAL * joint.tube.wall:
        yield (
            f"The tube is {quantity(oval, 'tube')} out of round, more than half of its wall: turn "
            "both pieces the same way round, or press it round before it is fitted"
        )
    if measured.heel_wall is None:
        return
    tube = _walled(joint, measured)
    formula = joint.bend.with_(tube=tube).heel_wall
    thin, by_volume = (1.0 - wall / tube.wall for wall in (measured.heel_wall, formula))
    shares = quantity(thin, "percent"), quantity(by_volume, "percent")
    if measured.heel_wall < formula:
        yield (
            f"The heel has thinned by {shares[0]}, more than the {shares[1]} that keeping its "
            "volume gives: it was pulled thin; measure it again, and look for another bend"
        )
    else:
        yield (
            f"The heel has thinned by {shares[0]}; keeping its volume would give {shares[1]}, "
            "which is pessimistic, as it should be"
        )


def _of_cuts(joint: Any, measured: Measured, made: Any) -> Iterator[str]:
    if hasattr(joint, "cutback") and made.cutback != joint.cutback:
        spacing = "straights that are not sawn yet make up the spacing; rework says what to do if "
        spacing += "they are, or if it is too much"
        if isinstance(joint, SplayedX):
            spacing = f"the exits come out {quantity(made.spacing, 'cut')} apart"
        yield (
            f"What was sawn shows a cutback of {made.cutback:.3f} instead of {joint.cutback:.3f}: "
            f"{spacing}"
        )
    length, height = measured.opening_length, measured.opening_height
    if length is not None and height is not None:
        yield from _at_odds(made, float(height))
    both = measured.mitre_opening, measured.exit_mitre_opening
    if (
        isinstance(joint, SplayedX)
        and None not in both
        and joint.entry.mitre_angle == (joint.exit.mitre_angle)
    ):
        apart = abs(both[0] - both[1])  # type: ignore[operator]
        if apart > reading(max(both)):  # type: ignore[type-var,arg-type]
            yield (
                f"The mitre openings differ by {quantity(apart, 'tube')}: the legs are of two "
                "angles; both are sawn to one kept width"
            )


def _at_odds(made: Any, height: float) -> Iterator[str]:
    """Yield what a height says that does not go with the length, which decides."""
    bent = made.parallel if isinstance(made, ParallelToSplayedX) else made
    expected = float(bent.opening_height)
    if abs(height - expected) > reading(height):
        yield (
            f"The opening is {quantity(height, 'tube')} high where its length asks for "
            f"{quantity(expected, 'tube')}: the tube is out of round, or the piece rolled or "
            "leaned in the saw; the length was believed"
        )
