"""The exhaust as installed: runs of tube from the collector to the outlet, and its joint.

Every question reads the same system. Stock is named once: `with_tube` rebuilds the runs and the
joint together, and a joint whose tube differs from its runs is refused.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, TypeVar

import attrs

from exhaust import units
from exhaust.describe import Description, a, not_negative, within
from exhaust.errors import broken, typed
from exhaust.joints import Joint
from exhaust.stock import Bend, Tube
from exhaust.units import SI

Part = TypeVar("Part")


def _all_of(value: object, kind: type[Part], noun: str) -> tuple[Part, ...]:
    """Return `value` as a tuple of `kind`, or refuse it as a list of `noun`."""
    if not isinstance(value, Iterable) or isinstance(value, (str, bytes)):
        raise broken(f"must be a list of {noun}", typed(value))
    parts = tuple(value)
    for part in parts:
        if not isinstance(part, kind):
            raise broken(f"must be a list of {noun}", f"one {type(part).__name__}")
    return parts


def _bends(value: object) -> tuple[Bend, ...]:
    return _all_of(value, Bend, "bends")


def _runs(value: object) -> tuple[Run, ...]:
    runs = _all_of(value, Run, "runs")
    if not runs:
        raise broken("is empty", None, "give at least one run of tube")
    return runs


def a_joint(instance: object, field: attrs.Attribute[Any], value: object) -> None:
    """Refuse a value that is not a joint."""
    if not isinstance(value, Joint):
        got = type(value).__name__
        raise broken("must be a joint, such as a ParallelX", got).named(field.name)


def _like(typed_length: float, value: float) -> str:
    """Return `value` in the unit that `typed_length` was typed in."""
    if isinstance(typed_length, SI):
        return typed_length.written(value)
    return f"{value:.4g} m"


def _some_text(instance: object, field: attrs.Attribute[Any], value: object) -> None:
    if not isinstance(value, str) or not value.strip():
        raise broken("must be a name", typed(value)).named(field.name)


@attrs.frozen(kw_only=True, repr=False)
class Run(Description):
    """One run of tube.

    `name`; `tube`; `length` along the centreline, bends included [m]; `bends` in it; `loss`, the
    sum of the loss coefficients of its silencers and catalysts on the tube's dynamic head.

    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> Run(name="tail", tube=tube, length="3.2 m", loss=2.0).length
    3.2
    """

    name: str = attrs.field(validator=_some_text)
    tube: Tube = attrs.field(validator=a(Tube))
    length: float = attrs.field(
        converter=units.length, validator=within(1e-3, 100.0, "length is along the centreline")
    )
    bends: tuple[Bend, ...] = attrs.field(default=(), converter=_bends)
    loss: float = attrs.field(
        default=0.0, converter=units.ratio, validator=[not_negative, within(0.0, 1000.0)]
    )

    def __attrs_post_init__(self) -> None:
        for bend in self.bends:
            if bend.tube != self.tube:
                rule = f"has a bend in {bend.tube.name} but its tube is {self.tube.name}"
                raise broken(rule, None, "one run is one tube").named(f"run {self.name!r}")
        in_bends = sum(bend.clr * bend.angle for bend in self.bends)
        if in_bends > self.length:
            rule = (
                f"must hold its bends, which take {_like(self.length, in_bends)} on the centreline"
            )
            got, remedy = _like(self.length, self.length), "length includes the bends"
            raise broken(rule, got, remedy).named(f"length of run {self.name!r}")

    def with_tube(self, tube: Tube) -> Run:
        """Return the run in another tube; its bends keep clr over od."""
        return self.with_(tube=tube, bends=tuple(bend.with_tube(tube) for bend in self.bends))


@attrs.frozen(kw_only=True, repr=False)
class System(Description):
    """An exhaust: `runs` in order from collector to outlet, `pipes` of them alike, a `joint`.

    `pipes` stand side by side and share the engine's flow evenly: 2 for true duals.

    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> duals = System(runs=[Run(name="tail", tube=tube, length="3.2 m")], pipes=2)
    >>> duals.with_tube(Tube(od="2.5 in", wall="16 ga")).tube.name
    '2.5 in x 16 ga'
    """

    runs: tuple[Run, ...] = attrs.field(converter=_runs)
    pipes: int = attrs.field(default=1, converter=units.count, validator=within(1, 8))
    joint: Joint | None = attrs.field(default=None, validator=attrs.validators.optional(a_joint))

    def __attrs_post_init__(self) -> None:
        if self.joint is None:
            return
        for run in self.runs:
            if run.tube != self.joint.tube:
                rule = f"is made of {self.joint.tube.name} but run {run.name!r} of {run.tube.name}"
                raise broken(rule, None, "with_tube changes both").named("joint")

    @property
    def tube(self) -> Tube:
        """The tube of the first run."""
        return self.runs[0].tube

    def with_tube(self, tube: Tube) -> System:
        """Return the same system in another tube, runs and joint together."""
        joint = None if self.joint is None else self.joint.with_tube(tube)
        runs = tuple(run.with_tube(tube) for run in self.runs)
        return self.with_(runs=runs, joint=joint)
