"""How pulses are simulated: cam, primaries, cells, junctions, when to stop, where to run."""

from __future__ import annotations

from collections.abc import Iterable
from concurrent.futures import Executor

import attrs

from exhaust import units
from exhaust.choices.speeds import given_speeds
from exhaust.describe import Description, a, one_of, within
from exhaust.engine.cam import Cam
from exhaust.engine.descriptions import TURNING
from exhaust.stock import Tube
from exhaust.units import SI

MOMENTUM, CONSTANT_PRESSURE = "momentum", "constant pressure"
STOCK_CAM = Cam()


def _speeds(value: tuple[()] | Iterable[str]) -> tuple[float, ...]:
    return tuple(given_speeds(None if value == () else value, ()))


@attrs.frozen(kw_only=True, repr=False)
class Pulses(Description):
    """What a simulation needs beyond the job; every value has a usual one.

    `cam` of the exhaust; `primary`, the tube from each port to the collector (none: the usual
    size for the cylinder); length of a `cell` [m]; the `junction` model where streams meet,
    "momentum" or "constant pressure"; `most_cycles` to wait for a steady one; `progress`, whether
    to show a bar; `executor` of `concurrent.futures` that sweeps run on (none: threads). Of
    comparisons: `speeds` of the engine [rad/s] (none: even ones up to just past the duty's);
    `samples` of what is not known well, each with either junction model in turn; `worth_having`,
    the least share of power worth deciding on.

    >>> Pulses(cell="20 mm", cam=Cam(opens="80 deg"))
    Pulses(cam=Cam(opens=80 deg), cell=20 mm)
    """

    cam: Cam = attrs.field(default=STOCK_CAM, validator=a(Cam))
    primary: Tube | None = attrs.field(default=None, validator=attrs.validators.optional(a(Tube)))
    cell: float = attrs.field(
        default=SI(0.01, "length", "mm", 1e-3),
        converter=units.length,
        validator=within(2e-3, 0.1, "waves are followed from cell to cell"),
    )
    junction: str = attrs.field(default=MOMENTUM, validator=one_of(MOMENTUM, CONSTANT_PRESSURE))
    most_cycles: int = attrs.field(default=40, converter=units.count, validator=within(3, 500))
    speeds: tuple[float, ...] = attrs.field(
        default=(), converter=_speeds, validator=attrs.validators.deep_iterable(TURNING)
    )
    samples: int = attrs.field(default=8, converter=units.count, validator=within(2, 256))
    worth_having: float = attrs.field(
        default=0.01, converter=units.ratio, validator=within(0.0, 0.5, "0.01 means 1 % of power")
    )
    progress: bool = attrs.field(default=False, validator=a(bool), repr=False)
    executor: Executor | None = attrs.field(
        default=None,
        validator=attrs.validators.optional(a(Executor)),
        eq=False,
        repr=False,
    )
