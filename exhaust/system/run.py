"""One run of tube: stock, length, the bends in it, and the places it lies between."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, TypeVar

import attrs

from exhaust import units
from exhaust.describe import Description, a, argument_name, not_negative, require, within
from exhaust.errors import broken, typed
from exhaust.stock import Bend, Tube
from exhaust.units import SI

OPEN_AIR = "open air"
ADDS_UP = 2e-3  # straights and bends that miss the length by no more are as long as it [m]

Kind = TypeVar("Kind")


def all_of(value: object, kind: type[Kind] | tuple[type[Kind], ...], noun: str) -> tuple[Kind, ...]:
    """Return `value` as a tuple of `kind`, or refuse it as a list of `noun`.

    >>> all_of([1, 2], int, "numbers")
    (1, 2)
    """
    if not isinstance(value, Iterable) or isinstance(value, (str, bytes)):
        raise broken(f"must be a list of {noun}", typed(value))
    parts = tuple(value)
    for part in parts:
        if not isinstance(part, kind):
            raise broken(f"must be a list of {noun}", f"one {type(part).__name__}")
    return parts


def a_name(instance: object, field: attrs.Attribute[Any], value: object) -> None:
    """Refuse a value that is not the name of something."""
    if not isinstance(value, str) or not value.strip():
        raise broken("must be a name", typed(value)).named(argument_name(field))


def _bends(value: object) -> tuple[Bend, ...]:
    return all_of(value, Bend, "bends")


def _straights(value: object) -> tuple[float, ...]:
    return tuple(units.quantity(one, "length") for one in all_of(value, object, "lengths"))


def told_apart(one: Tube, other: Tube) -> tuple[str, str]:
    """Return the names of two tubes, with what they are made of where that is all that differs.

    >>> told_apart(Tube(od="3 in", wall="16 ga"), Tube(od="3 in", wall="16 ga", material="409"))
    ('3 in x 16 ga in 304', '3 in x 16 ga in 409')
    """
    if one.name != other.name:
        return one.name, other.name
    return f"{one.name} in {one.material}", f"{other.name} in {other.material}"


def like(typed_length: float, value: float) -> str:
    """Return `value` in the unit that `typed_length` was typed in.

    >>> like(2.0, 0.5)
    '0.5 m'
    """
    if isinstance(typed_length, SI):
        return typed_length.written(value)
    return f"{value:.4g} m"


@attrs.frozen(kw_only=True, repr=False)
class Run(Description):
    """One run of tube.

    `name`; `tube`; `length` along the centreline, bends included, a joint's own tube not [m];
    `bends` in it, in order; `straights` ahead of, between and behind them, which with the bends
    make up the length (none: they share it evenly) [m]; `loss`, the sum of any other loss
    coefficients on the tube's dynamic head; `from_` and `to`, the places it lies between (`System`
    says what they may be, and what stands for none).

    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> Run(name="tail", tube=tube, length="3.2 m", loss=0.4).length
    3.2
    """

    name: str = attrs.field(validator=a_name)
    tube: Tube = attrs.field(validator=a(Tube))
    length: float = attrs.field(
        converter=units.length, validator=within(1e-3, 100.0, "length is along the centreline")
    )
    bends: tuple[Bend, ...] = attrs.field(default=(), converter=_bends)
    straights: tuple[float, ...] = attrs.field(
        default=(), converter=_straights, metadata={"each": "length"}
    )
    loss: float = attrs.field(
        default=0.0, converter=units.ratio, validator=[not_negative, within(0.0, 1000.0)]
    )
    from_: str | None = attrs.field(default=None, validator=attrs.validators.optional(a_name))
    to: str | None = attrs.field(default=None, validator=attrs.validators.optional(a_name))

    def __attrs_post_init__(self) -> None:
        for bend in self.bends:
            if bend.tube != self.tube:
                of_bend, of_run = told_apart(bend.tube, self.tube)
                rule = f"has a bend in {of_bend} but its tube is {of_run}"
                raise broken(rule, None, "one run is one tube").named(f"run {self.name!r}")
        if self.in_bends > self.length:
            held = like(self.length, self.in_bends)
            rule = f"must hold its bends, which take {held} on the centreline"
            got, remedy = like(self.length, self.length), "length includes the bends"
            raise broken(rule, got, remedy).named(f"length of run {self.name!r}")
        if self.straights:
            self._check_straights()

    def _check_straights(self) -> None:
        named, count = f"straights of run {self.name!r}", len(self.bends) + 1
        if len(self.straights) != count:
            rule = f"must be {count}, one more than its bends"
            remedy = 'where bends meet write "0 mm"'
            raise broken(rule, len(self.straights), remedy).named(named)
        if min(self.straights) < 0:
            got = like(self.straights[0], min(self.straights))
            raise broken("must not be less than zero", got).named(named)
        rest, total = self.length - self.in_bends, sum(self.straights)
        if abs(rest - total) > ADDS_UP:
            first = self.straights[0]
            rule = f"must add up to {like(first, rest)}, what bends leave of its length"
            raise broken(rule, like(first, total)).named(named)

    @property
    def in_bends(self) -> float:
        """Length that its bends take on the centreline, without their straight ends [m]."""
        return sum(float(bend.clr * bend.angle) for bend in self.bends)

    def with_tube(self, tube: Tube) -> Run:
        """Return the run in another tube: bends keep clr over od, straights their shares."""
        require(tube, Tube, "tube")
        bends = tuple(bend.with_tube(tube) for bend in self.bends)
        if not self.straights:
            return self.with_(tube=tube, bends=bends)
        taken = sum(float(bend.clr * bend.angle) for bend in bends) - self.in_bends
        share = max(0.0, 1.0 - taken / (sum(self.straights) or 1.0))
        straights = tuple(SI(one * share, "length") for one in self.straights)
        return self.with_(tube=tube, bends=bends, straights=straights)
