"""How the exhaust valves open, and the cylinders behind them: usual ones where nobody has asked."""

from __future__ import annotations

import math
from typing import NamedTuple

import attrs

from exhaust import units
from exhaust.describe import Description, positive, within
from exhaust.engine.descriptions import Engine
from exhaust.errors import broken
from exhaust.units import SI

DEGREE = math.pi / 180
# A road engine's cylinder and exhaust cam; common practice, no source.
OPENS, CLOSES = 70.0, 25.0  # [deg] before bottom and after top dead centre
VALVE_OVER_BORE = (0.40, 0.34)  # of a head with one exhaust valve to a cylinder, and with more
LIFT_OVER_VALVE = 0.25  # more does not open it further
RODS = 1.7  # strokes to a connecting rod
DISCHARGE = 0.7  # of flow through a valve over its curtain's area


class Size(NamedTuple):
    """One cylinder: `bore` [m], `stroke` [m], `rod` [m], swept volume [m^3], clearance [m^3]."""

    bore: float
    stroke: float
    rod: float
    swept: float
    clearance: float


@attrs.frozen(kw_only=True, repr=False)
class Cam(Description):
    """The exhaust side of a cylinder: when its valves open, how far, how large they are.

    `opens` before bottom dead centre and `closes` after top dead centre [rad]; `lift` of a valve
    [m] (none: a quarter of its diameter); `valve` diameter [m] (none: a usual share of the bore);
    `valves` to a cylinder; `discharge` coefficient on the curtain's area; `bore` of the cylinder
    [m] (none: as long as the stroke); connecting `rod` [m] (none: 1.7 strokes).

    >>> Cam(opens="78 deg", lift="11.5 mm").lift
    0.0115
    """

    opens: float = attrs.field(
        default=SI(OPENS * DEGREE, "angle", "deg", DEGREE),
        converter=units.angle,
        validator=within(0.0, 120 * DEGREE, "it is before bottom dead centre"),
    )
    closes: float = attrs.field(
        default=SI(CLOSES * DEGREE, "angle", "deg", DEGREE),
        converter=units.angle,
        validator=within(0.0, 90 * DEGREE, "it is after top dead centre"),
    )
    lift: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.length),
        validator=attrs.validators.optional([positive, within(0.0, 0.05)]),
        metadata={"dimension": "length"},
    )
    valve: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.length),
        validator=attrs.validators.optional([positive, within(0.0, 0.2)]),
        metadata={"dimension": "length"},
    )
    valves: int = attrs.field(default=1, converter=units.count, validator=within(1, 4))
    discharge: float = attrs.field(
        default=DISCHARGE, converter=units.ratio, validator=within(0.1, 1.0)
    )
    bore: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.length),
        validator=attrs.validators.optional([positive, within(0.01, 1.0)]),
        metadata={"dimension": "length"},
    )
    rod: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.length),
        validator=attrs.validators.optional([positive, within(0.01, 3.0)]),
        metadata={"dimension": "length"},
    )

    def cylinder(self, engine: Engine) -> Size:
        """Return the size of one cylinder of `engine`; refuse a rod that could not turn.

        >>> size = Cam().cylinder(Engine(displacement="2 L", cylinders=4))
        >>> round(size.bore, 4), round(size.swept * 1e3, 3)
        (0.086, 0.5)
        """
        swept = engine.displacement / engine.cylinders
        bore = (4 / math.pi * swept) ** (1 / 3) if self.bore is None else float(self.bore)
        stroke = swept / (math.pi / 4 * bore**2)
        rod = RODS * stroke if self.rod is None else float(self.rod)
        if rod <= stroke / 2:
            least = f"{stroke / 2 * 1e3:.3g} mm, half of the stroke"
            raise broken(f"must be more than {least}", f"{rod * 1e3:.3g} mm").named("rod")
        return Size(bore, stroke, rod, swept, swept / (engine.compression_ratio - 1))

    def open_area(self, engine: Engine) -> float:
        """Return the flow area of a cylinder's exhaust valves at full lift [m^2].

        The curtain round each valve, pi D L [heywood, eq. 6.21], no wider than the valve itself,
        times the discharge coefficient.

        >>> engine = Engine(displacement="2 L", cylinders=4)
        >>> round(Cam().open_area(engine) * 1e6)
        651
        """
        share = VALVE_OVER_BORE[0 if self.valves == 1 else 1]
        valve = share * self.cylinder(engine).bore if self.valve is None else float(self.valve)
        lift = LIFT_OVER_VALVE * valve if self.lift is None else float(self.lift)
        widest = math.pi / 4 * valve**2
        return self.valves * self.discharge * min(math.pi * valve * lift, widest)
