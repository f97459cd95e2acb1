"""The whole job as one description: what the job file says, checked."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import attrs

from exhaust import show
from exhaust.choices import Limits, PortReadings, Pulses, Room
from exhaust.cutmath.fit import Tolerances
from exhaust.cutmath.measured import Measured
from exhaust.cutmath.supply import PurgeGas, Stock
from exhaust.describe import Description
from exhaust.engine import Ambient, Engine, OperatingPoint
from exhaust.errors import broken
from exhaust.stock import Saw, Tube
from exhaust.system import System


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise broken("must be text", repr(value))
    return value.strip()


def _not_empty(instance: object, field: attrs.Attribute[Any], value: str) -> None:
    if not value:
        raise broken("is empty", None, "write a name").named(field.alias or field.name)


@attrs.frozen(kw_only=True, repr=False)
class About(Description):
    """Who and what the job is for: `name`, `customer`, `note`.

    >>> About(name="Demo").customer
    ''
    """

    name: str = attrs.field(converter=_text, validator=_not_empty)
    customer: str = attrs.field(default="", converter=_text)
    note: str = attrs.field(default="", converter=_text)


@attrs.frozen(kw_only=True, repr=False)
class Job:
    """A job file as read: every description that the questions are asked of.

    `tube` is what [tube] describes, of which every run is made that names no other; `tubes` and
    `outlets` are what the shelf offers for the runs and for a merged outlet; `saw` is there
    whenever the system has a joint; `room` is the space for it, if it was measured; `stock` is
    what can be had of tube and bends, and `gas` what welds are purged with; `tolerances` are what
    the shop's cuts and marks stay within; `measured` is what was read at the bench, if anything;
    `after_build` is what a gauge read at the test port of the finished exhaust, if anything;
    `pulses` are the cam and the primaries that its pulses are simulated with; `text` is the file
    as written.
    """

    about: About
    units: show.System
    engine: Engine
    duty: OperatingPoint
    ambient: Ambient
    tube: Tube
    system: System
    saw: Saw | None
    tubes: tuple[Tube, ...]
    outlets: tuple[Tube, ...]
    limits: Limits
    pulses: Pulses
    room: Room | None
    stock: Stock
    gas: PurgeGas
    tolerances: Tolerances
    measured: Measured | None
    after_build: PortReadings | None
    path: Path
    text: str

    @property
    def name(self) -> str:
        """The name of the job."""
        return self.about.name

    @property
    def customer(self) -> str:
        """Whom it is for, or nothing."""
        return self.about.customer

    def __repr__(self) -> str:
        return f"<Job: {self.name}, {self.path.name}>"
