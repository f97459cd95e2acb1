"""The sections of the job file that are more than the fields of one description."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from functools import partial
from typing import Any, NamedTuple, TypeVar

import attrs

from exhaust import units
from exhaust.choices import PortReading, PortReadings
from exhaust.cutmath.supply import Offcut, Stock
from exhaust.describe import Description, within
from exhaust.engine import Ambient
from exhaust.errors import JobError, broken, nearest
from exhaust.job.keys import Key, build, keys_of, read_table, some_of, with_unit
from exhaust.joints import (
    HPipe,
    ParallelToSplayedX,
    ParallelX,
    SplayedX,
    SplitJoint,
    YMerge,
)
from exhaust.show import System as Units
from exhaust.stock import Bend, Tube
from exhaust.system import Run, System

Made = TypeVar("Made")

PARALLEL_X = "parallel X"


@attrs.frozen(kw_only=True, repr=False)
class RunBend(Description):
    """A bend as a run lists it: `angle` [rad], `clr` [m] or that of [bend], `count` alike.

    >>> RunBend(angle="45 deg").count
    1
    """

    angle: float = attrs.field(converter=units.angle)
    clr: float | None = attrs.field(
        default=None,
        converter=attrs.converters.optional(units.length),
        metadata={"dimension": "length"},
    )
    count: int = attrs.field(default=1, converter=units.count, validator=within(1, 50))


def joint_kind(place: str, value: object) -> str:
    """Return the kind of joint if it is known."""
    if not isinstance(value, str) or value not in JOINTS:
        raise broken("is not a known joint", repr(value), nearest(str(value), JOINTS)).named(place)
    return value


def run_bend(place: str, value: object) -> RunBend:
    """Return one entry of a run's bends: an angle, or { angle, clr, count }."""
    if isinstance(value, str):
        return RunBend(angle=_RUN_BEND_KEYS[0].read(place, value))
    if not isinstance(value, dict):
        rule = "must be an angle, or { angle, clr, count }"
        raise broken(rule, repr(value), 'write it like "45 deg"').named(place)
    return _inline(place, RunBend, value, _RUN_BEND_KEYS)


def shelf_tube(place: str, value: object, material: str = "304") -> Tube:
    """Return a tube written "3 in x 16 ga" or { od, wall, material }.

    >>> shelf_tube("shelf.tubes 1", "2-1/2 in x 16 ga").name
    '2-1/2 in x 16 ga'
    """
    if isinstance(value, dict):
        return _inline(place, Tube, {"material": material} | value, _TUBE_KEYS)
    parts = re.split(r"\s*[x×]\s*", value) if isinstance(value, str) else []
    if len(parts) != 2:
        rule = "must be a tube, its od x its wall"
        raise broken(rule, repr(value), 'write it like "3 in x 16 ga"').named(place)
    given = {"od": parts[0], "wall": parts[1], "material": material}
    return _inline(place, Tube, given, _TUBE_KEYS)


def _inline(
    place: str, maker: Callable[..., Made], given: Mapping[str, object], keys: tuple[Key, ...]
) -> Made:
    mistakes: list[str] = []
    made = build(place, maker, read_table(place, dict(given), keys, mistakes), mistakes)
    if made is None:
        raise JobError(mistakes)
    return made


def held(place: str, value: object, material: str = "304") -> tuple[Offcut | Bend, ...]:
    """Return one entry of what is on hand, each naming its tube: lengths of tube, or bends.

    >>> entry = {"tube": "3 in x 16 ga", "length": "40 in", "count": 2}
    >>> [round(one.length, 3) for one in held("stock.on_hand 1", entry)]
    [1.016, 1.016]
    """
    if not isinstance(value, dict):
        rule = "must be { tube, length, count } or { tube, clr, angle, count }"
        raise broken(rule, repr(value)).named(place)
    given = dict(value)
    tube_key = Key("tube", "tube", partial(shelf_tube, material=material), True, '"3 in x 16 ga"')
    maker: type[Offcut | Bend] = Offcut if "length" in given else Bend
    keys = (tube_key, _COUNT, *keys_of(maker, without=("tube",)))
    mistakes: list[str] = []
    values = read_table(place, given, keys, mistakes)
    count = values.pop("count", 1) if values is not None else 1
    made = build(place, maker, values, mistakes)
    if not isinstance(made, (Offcut, Bend)):
        raise JobError(mistakes)
    return (made,) * count


def shelf_keys(material: str = "304") -> tuple[Key, ...]:
    """Return the keys of the section [shelf]; tubes are of `material` if they name none."""
    read = partial(some_of, read=partial(shelf_tube, material=material))
    return (
        Key("tubes", "tubes", read, required=True, many="text"),
        Key("outlets", "outlets", read, many="text"),
    )


def stock_keys(material: str = "304") -> tuple[Key, ...]:
    """Return the keys of the section [stock]; tubes on hand are of `material` if they name none."""
    read = partial(some_of, read=partial(held, material=material))
    listed = Key("on_hand", "on_hand", read, many="text")
    return (*keys_of(Stock, without=("on_hand",)), listed)


(_COUNT,) = (key for key in keys_of(RunBend) if key.name == "count")
_RUN_BEND_KEYS = keys_of(RunBend)
_TUBE_KEYS = keys_of(Tube)

BEND_KEYS = keys_of(Bend, without=("tube",))


def run_keys(material: str = "304") -> tuple[Key, ...]:
    """Return the keys of a run; its own tube is of `material` where it names none.

    >>> [key.name for key in run_keys()]
    ['name', 'length', 'straights', 'loss', 'from', 'to', 'bends', 'tube']
    """
    return (
        *keys_of(Run, without=("tube", "bends")),
        Key("bends", "bends", partial(some_of, read=run_bend), many="angle"),
        Key("tube", "tube", partial(shelf_tube, material=material)),
    )


_IN_LISTS = ("runs", "inlets", "places", "sensors")
SYSTEM_KEYS = keys_of(System, without=(*_IN_LISTS, "joint", "joint_at"))
(_JOINT_AT,) = (key for key in keys_of(System) if key.name == "joint_at")
_HEAD = (Key("kind", "kind", joint_kind, True, f'"{PARALLEL_X}"'), _JOINT_AT._replace(name="at"))
_RETURN = BEND_KEYS[0]._replace(name="return_clr", argument="return_clr", required=False)


def split_joint(place: str, value: object) -> SplitJoint:
    """Return the split joint in a balance tube, written { kind, length, gap }."""
    if not isinstance(value, dict):
        raise broken("must be { kind, length, gap }", repr(value)).named(place)
    return _inline(place, SplitJoint, value, keys_of(SplitJoint))


def bench_keys(description: type[Description], system: Units) -> tuple[Key, ...]:
    """Return the keys of `description` that also take a bare number, in the units of `system`.

    What a caliper or a protractor reads is typed as it stands there.

    >>> from exhaust.cutmath.measured import Measured
    >>> keys = {key.name: key for key in bench_keys(Measured, "metric")}
    >>> keys["bend_angle"].read("measured.bend_angle", 91).written()
    '91 deg'
    >>> keys["kerf"].read("measured.kerf", 1.2).written()
    '1.2 mm'
    """

    def bare(key: Key) -> Key:
        unit = key.unit(system)

        def read(place: str, value: object) -> Any:
            number = isinstance(value, (int, float)) and not isinstance(value, bool)
            return key.read(place, with_unit(str(value), unit) if number and unit else value)

        return key._replace(read=read)

    return tuple(bare(key) for key in keys_of(description))


def after_build_keys(system: Units) -> tuple[Key, ...]:
    """Return the keys of what was read at the test port, and of the weather of that day.

    A bare number of a reading is in the units of `system`, as it stands on the gauge.

    >>> [key.name for key in after_build_keys("inch")]
    ['gauge_accuracy', 'readings', 'altitude', 'temperature', 'humidity']
    """
    row = bench_keys(PortReading, system)

    def reading(place: str, value: object) -> PortReading:
        if not isinstance(value, dict):
            rule = "must be { speed, back_pressure_gauge }"
            raise broken(rule, repr(value)).named(place)
        return _inline(place, PortReading, value, row)

    keys = {key.name: key for key in keys_of(PortReadings)}
    each = keys["readings"]._replace(read=partial(some_of, read=reading))
    return (keys["gauge_accuracy"], each, *keys_of(Ambient))


def header_keys(material: str = "304") -> tuple[Key, ...]:
    """Return the keys of the header; a tube is of `material` where it names none.

    >>> [key.name for key in header_keys()]
    ['primary']
    """
    read = partial(shelf_tube, material=material)
    return (Key("primary", "primary", read, True, '"1-3/4 in x 16 ga"'),)


class JointKind(NamedTuple):
    """One kind of joint: what makes it, its keys in the file, what its first argument is."""

    maker: Callable[..., Any]
    keys: tuple[Key, ...]
    from_bend: bool  # else from [tube]
    tubes: tuple[str, ...]  # keys that take a tube, as the shelf writes it

    def keys_in(self, material: str) -> tuple[Key, ...]:
        """Return the keys, tubes being of `material` where they name none."""
        read = partial(shelf_tube, material=material)
        return tuple(
            key._replace(read=read) if key.name in self.tubes else key for key in self.keys
        )


def _kind(
    maker: type[Description],
    without: tuple[str, ...],
    *more: Key,
    from_bend: bool,
    tubes: tuple[str, ...] = (),
) -> JointKind:
    plain = keys_of(maker, without=(*without, *tubes))
    own = (Key(name, name, shelf_tube) for name in tubes)
    return JointKind(maker, (*_HEAD, *plain, *own, *more), from_bend, tubes)


_BENT = ("bend", "return_bend")
JOINTS = {
    PARALLEL_X: _kind(ParallelX, _BENT, _RETURN, from_bend=True),
    "splayed X": _kind(SplayedX, ("tube",), from_bend=False),
    "parallel-to-splayed X": _kind(ParallelToSplayedX, _BENT, _RETURN, from_bend=True),
    "Y merge": _kind(YMerge, _BENT, _RETURN, from_bend=True, tubes=("outlet",)),
    "H pipe": _kind(
        HPipe,
        ("tube", "split"),
        Key("split", "split", split_joint),
        from_bend=False,
        tubes=("balance_tube",),
    ),
}
JOINT_KEYS = JOINTS[PARALLEL_X].keys
