"""A joint that lets the balance tube of an H pipe come apart."""

from __future__ import annotations

import attrs

from exhaust import units
from exhaust.describe import Description, not_negative, one_of, positive, within
from exhaust.errors import broken
from exhaust.joints.parallel_x_rules import text
from exhaust.stock import INCH
from exhaust.units import SI

KINDS = ("clamp", "flange", "V-band")


@attrs.frozen(kw_only=True, repr=False)
class SplitJoint(Description):
    """A joint that lets the balance tube come apart in its middle.

    `kind` "clamp", "flange" or "V-band"; `length` of tube that it takes up [m], room for its bolts
    included; `gap` that it leaves between the two ends of the tube [m].

    >>> SplitJoint(kind="V-band", length="1.5 in", gap="1/8 in").welded
    True
    """

    kind: str = attrs.field(validator=one_of(*KINDS))
    length: float = attrs.field(converter=units.length, validator=[positive, within(0.0, 1.0)])
    gap: float = attrs.field(
        default=SI(0.0, "length", "in", INCH), converter=units.length, validator=not_negative
    )

    def __attrs_post_init__(self) -> None:
        if self.gap > self.length:
            rule = f"must not be more than length {text(self.length)}"
            raise broken(rule, text(self.gap), "the joint covers its own gap").named("gap")

    @property
    def welded(self) -> bool:
        """Whether its halves are welded to the tube: flanges are, a clamp goes over it."""
        return self.kind != "clamp"
