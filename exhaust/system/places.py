"""What stands between runs of tube and on them: inlets, parts in line, cones, merges, sensors."""

from __future__ import annotations

import math
from typing import Any

import attrs

from exhaust import units
from exhaust.describe import Description, not_negative, one_of, positive, within
from exhaust.errors import broken, typed
from exhaust.system.run import a_name
from exhaust.units import SI

DEGREE = math.pi / 180
INCH_OF_WATER = 249.08891  # [Pa], water at 4 degC
USUAL_DEPRESSION = SI(28 * INCH_OF_WATER, "pressure", "inH2O", INCH_OF_WATER)


def _cylinders(value: object) -> tuple[int, ...]:
    if isinstance(value, (str, bytes)) or not hasattr(value, "__iter__"):
        raise broken("must be a list of cylinder numbers", typed(value), "for example [1, 3, 5, 7]")
    return tuple(units.count(number) for number in value)


def _each_once(instance: object, field: attrs.Attribute[Any], value: tuple[int, ...]) -> None:
    for number in value:
        if number < 1 or value.count(number) > 1:
            raise broken("must name each cylinder once, from 1 up", number).named(field.name)


@attrs.frozen(kw_only=True, repr=False)
class Inlet(Description):
    """Where the engine's gas comes in: a collector, a port, the outlet of a turbine.

    `name`; `cylinders` that feed it (none: the inlets share the engine evenly); `distance` that
    the gas has come from its ports, which decides how hard it still stirs [m].

    >>> Inlet(name="left bank", cylinders=[1, 3, 5, 7]).cylinders
    (1, 3, 5, 7)
    """

    name: str = attrs.field(validator=a_name)
    cylinders: tuple[int, ...] = attrs.field(default=(), converter=_cylinders, validator=_each_once)
    distance: float = attrs.field(
        default=SI(0.6, "length", "m"),  # along usual headers; common practice, no source
        converter=units.length,
        validator=within(0.01, 20.0, "it is how far the gas has come from the ports"),
    )


@attrs.frozen(kw_only=True, repr=False)
class Part(Description):
    """A part in line: a silencer, a resonator, a catalyst, a flexible joint.

    `name`; `kind`; its `loss` coefficient on the dynamic head of the tube ahead of it, or the
    `rated_flow` of a flow bench [m^3/s] and the `rated_depression` it was taken at [Pa] (28 in of
    water is common practice).

    >>> Part(name="silencer", rated_flow="450 cfm").rated_depression.written()
    '28 inH2O'
    """

    name: str = attrs.field(validator=a_name)
    kind: str = attrs.field(
        default="silencer",
        validator=one_of("silencer", "resonator", "catalyst", "flexible joint"),
    )
    loss: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.ratio),
        validator=attrs.validators.optional([not_negative, within(0.0, 1000.0)]),
    )
    rated_flow: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.volume_flow),
        validator=attrs.validators.optional(positive),
        metadata={"dimension": "volume_flow"},
    )
    rated_depression: float = attrs.field(
        default=USUAL_DEPRESSION,
        converter=units.pressure,
        validator=within(100.0, 50e3),
        metadata={"bare": ("inH2O", "kPa")},
    )

    def __attrs_post_init__(self) -> None:
        named = f"{self.kind} {self.name!r}"
        if self.rated_flow is None and self.rated_depression != USUAL_DEPRESSION:
            raise broken("has a rated_depression but no rated_flow", None, "give both").named(named)
        if (self.loss is None) == (self.rated_flow is None):
            if self.kind == "flexible joint" and self.loss is None:
                return  # little more than the tube it replaces
            got = "neither" if self.loss is None else "both"
            rule = "must give loss, or rated_flow from a flow bench"
            raise broken(rule, got, "give one of them").named(named)


@attrs.frozen(kw_only=True, repr=False)
class Cone(Description):
    """A cone between two runs of different tube.

    `name`; `length` along its axis [m].

    >>> Cone(name="step up", length="4 in").length
    0.1016
    """

    name: str = attrs.field(validator=a_name)
    length: float = attrs.field(
        converter=units.length, validator=within(1e-3, 5.0, "it is along the axis")
    )


@attrs.frozen(kw_only=True, repr=False)
class Merge(Description):
    """Where several runs become one, or one becomes several, whichever way the gas goes.

    `name`; `angle` between each of the several and the axis of the one [rad].

    >>> Merge(name="collector", angle="10 deg").name
    'collector'
    """

    name: str = attrs.field(validator=a_name)
    angle: float = attrs.field(
        default=SI(15 * DEGREE, "angle", "deg", DEGREE),
        converter=units.angle,
        validator=within(0.0, math.pi / 2),
    )


@attrs.frozen(kw_only=True, repr=False)
class Sensor(Description):
    """An oxygen sensor screwed into a run.

    `name`; `run` by its name; `distance` of its bung from the start of that run, along the
    centreline [m].

    >>> Sensor(name="left lambda", run="left downpipe", distance="10 in").distance
    0.254
    """

    name: str = attrs.field(validator=a_name)
    run: str = attrs.field(validator=a_name)
    distance: float = attrs.field(
        converter=units.length, validator=within(1e-3, 100.0, "it is from the start of the run")
    )


Place = Part | Cone | Merge
