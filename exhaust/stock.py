"""What the shop has: tube, bends, materials and a saw."""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import attrs

from exhaust import tables, units
from exhaust.describe import Description, a, not_negative, one_of, positive, within
from exhaust.errors import broken, typed
from exhaust.units import SI

if TYPE_CHECKING:
    import pint

INCH = 0.0254
MILLIMETRE = 1e-3
DEGREE = math.pi / 180


@attrs.frozen(kw_only=True)
class Material:
    """A tube material as data/material.csv has it."""

    grade: str
    density: float  # [kg/m^3]
    expansion: float  # mean from 20 °C to running heat [1/K]
    conductivity: float  # at 500 °C [W/m/K]
    elongation: float  # least at break, as a share
    scaling_temperature: float  # highest in continuous service [K]
    ferritic: bool
    filler: str
    note: str


@lru_cache(maxsize=64)
def material(grade: str) -> Material:
    """Return the material `grade`, for example "304" or "titanium grade 2".

    >>> material("304").density
    8000.0
    """
    row = tables.lookup("material", grade, "grade")
    return Material(
        grade=grade,
        density=float(row["density_kg_per_m3"]),
        expansion=float(row["expansion_um_per_m_K"]) * 1e-6,
        conductivity=float(row["conductivity_W_per_m_K"]),
        elongation=float(row["elongation_percent"]) / 100,
        scaling_temperature=float(row["scaling_degC"]) + 273.15,
        ferritic=row["ferritic"] == "yes",
        filler=row["filler"],
        note=row["note"],
    )


_GAUGE = re.compile(r"\s*(\d{1,2})\s*(?:ga|gauge|bwg)\.?\s*", re.IGNORECASE)


def wall_thickness(value: str | float | pint.Quantity[Any]) -> float:
    """Return a tube wall [m]: "16 ga" (BWG, not sheet gauge), "0.065 in", "1.5 mm".

    >>> wall_thickness("16 ga")
    0.001651
    """
    match = _GAUGE.fullmatch(value) if isinstance(value, str) else None
    if match is None:
        return units.length(value)
    gauges = {row["gauge"]: float(row["wall_in"]) for row in tables.read("bwg")}
    if match[1] not in gauges:
        raise broken("has a BWG number that is not listed", match[0], f"known: {', '.join(gauges)}")
    return SI(gauges[match[1]] * INCH, "length", "in", INCH, 0.0, f"{match[1]} ga")


units.CONVERTERS[wall_thickness] = "length"


def _known_material(instance: object, field: attrs.Attribute[Any], value: object) -> None:
    if not isinstance(value, str):
        raise broken("must be the name of a material", typed(value)).named(field.name)
    material(value)


@attrs.frozen(kw_only=True, repr=False)
class Tube(Description):
    """A round tube on the shelf.

    `od` outside diameter [m], `wall` thickness [m] ("16 ga" is BWG), `material` a grade from
    data/material.csv.

    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> round(tube.flow_area * 1e6, 1)  # mm^2
    4173.7
    """

    od: float = attrs.field(
        converter=units.length,
        validator=within(0.25 * INCH, 12 * INCH, "is it the tube's outside?"),
    )
    wall: float = attrs.field(converter=wall_thickness, validator=positive)
    material: str = attrs.field(
        default="304", validator=_known_material, metadata={"table": ("material", "grade")}
    )

    def __attrs_post_init__(self) -> None:
        if self.wall >= self.od / 2:
            od, wall = _written(self.od), _written(self.wall)
            rule = f"must be less than half of od {od}"
            raise broken(rule, wall, "check which number is the wall").named("wall")

    @property
    def inside_diameter(self) -> float:
        """Inside diameter [m]."""
        return float(self.od) - 2 * self.wall

    @property
    def flow_area(self) -> float:
        """Area that gas runs through [m^2]."""
        return math.pi / 4 * self.inside_diameter**2

    @property
    def metal_area(self) -> float:
        """Area of the wall in a square section [m^2]."""
        return math.pi * self.wall * (self.od - self.wall)

    @property
    def mass_per_length(self) -> float:
        """Mass of a metre of tube [kg/m]."""
        return self.metal_area * material(self.material).density

    @property
    def in_inches(self) -> bool:
        """Whether its od was written in inches or feet."""
        unit = self.od.scale if isinstance(self.od, SI) else 1.0
        return any(math.isclose(unit, inches) for inches in (INCH, 12 * INCH))

    @property
    def name(self) -> str:
        """Short name as typed: "3 in x 16 ga"."""
        return f"{_written(self.od)} x {_written(self.wall)}"


def alike(one: Tube, other: Tube) -> bool:
    """Return whether two tubes are the same metal to a micrometre, however they were typed.

    >>> alike(Tube(od="3 in", wall="16 ga"), Tube(od="76.2 mm", wall="1.651 mm"))
    True
    """
    near = abs(one.od - other.od) < 1e-6 and abs(one.wall - other.wall) < 1e-6
    return near and one.material == other.material


def _written(value: float) -> str:
    return value.written() if isinstance(value, SI) else f"{value * 1e3:.6g} mm"


@attrs.frozen(kw_only=True, repr=False)
class Bend(Description):
    """A mandrel bend on the shelf: `Bend(tube, clr="4.5 in", angle="90 deg")`.

    `clr` centreline radius [m], `angle` as measured [rad], `tangent` the straight end it comes
    with on each side [m].

    >>> bend = Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")
    >>> round(bend.clr / bend.tube.od, 3), round(bend.half_angle / DEGREE)
    (1.5, 45)
    """

    tube: Tube = attrs.field(validator=a(Tube), kw_only=False)
    clr: float = attrs.field(
        converter=units.length, validator=within(5e-3, 10.0, "clr is the centreline radius")
    )
    angle: float = attrs.field(
        default=SI(math.pi / 2, "angle", "deg", DEGREE),
        converter=units.angle,
        validator=within(5 * DEGREE, 185 * DEGREE),
    )
    tangent: float = attrs.field(
        default=SI(0.0, "length", "in", INCH), converter=units.length, validator=within(0.0, 3.0)
    )

    def __attrs_post_init__(self) -> None:
        if self.clr <= self.tube.od / 2:
            rule = f"must be more than half of od {_written(self.tube.od)}"
            raise broken(rule, _written(self.clr), "clr runs to the centreline").named("clr")

    @property
    def name(self) -> str:
        """Short name, lengths as typed: "90° bend, 3 in x 16 ga, clr 4.5 in"."""
        return f"{math.degrees(self.angle):.4g}° bend, {self.tube.name}, clr {_written(self.clr)}"

    @property
    def half_angle(self) -> float:
        """Half of the bend's angle [rad]."""
        return float(self.angle) / 2

    @property
    def centreline_length(self) -> float:
        """Length along the centreline with both straight ends [m]."""
        return self.clr * self.angle + 2 * self.tangent

    @property
    def heel_wall(self) -> float:
        """Wall at the heel if its metal keeps its volume, t R/(R + a) [m]; pessimistic.

        Good bends thin less (15 to 20 % at 1.5 D; common practice, no source): measure it.
        """
        return self.tube.wall * self.clr / (self.clr + self.tube.od / 2)

    def with_tube(self, tube: Tube) -> Bend:
        """Return the same bend in another tube: the same clr over od."""
        clr = SI(self.clr / self.tube.od * tube.od, "length", "in", INCH)
        return Bend(tube, clr=clr, angle=self.angle, tangent=self.tangent)


@attrs.frozen(kw_only=True, repr=False)
class Saw(Description):
    """The shop's bandsaw.

    `kerf` [m] measured on a test cut; `kind` "upright" (the work is fed) or "horizontal" (the
    head comes down); `height_capacity` and `width_capacity` under the guides [m];
    `largest_angle` from square and `angle_step` as the dial shows them [rad]; `clamp_length` the
    least that the vice must hold [m].

    >>> Saw(kerf="1.1 mm").kind
    'upright'
    """

    kerf: float = attrs.field(
        converter=units.length, validator=within(0.2e-3, 5e-3, "measure it on a test cut")
    )
    kind: str = attrs.field(default="upright", validator=one_of("upright", "horizontal"))
    height_capacity: float = attrs.field(
        default=SI(7 * INCH, "length", "in", INCH), converter=units.length, validator=positive
    )
    width_capacity: float = attrs.field(
        default=SI(12 * INCH, "length", "in", INCH), converter=units.length, validator=positive
    )
    largest_angle: float = attrs.field(
        default=SI(45 * DEGREE, "angle", "deg", DEGREE),
        converter=units.angle,
        validator=within(0.0, 75 * DEGREE),
    )
    angle_step: float = attrs.field(
        default=SI(0.5 * DEGREE, "angle", "deg", DEGREE),
        converter=units.angle,
        validator=within(0.01 * DEGREE, 15 * DEGREE),
    )
    clamp_length: float = attrs.field(
        default=SI(2 * INCH, "length", "in", INCH), converter=units.length, validator=not_negative
    )
