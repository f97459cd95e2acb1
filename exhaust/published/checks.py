"""Ours beside published: one check, and how it is judged."""

from __future__ import annotations

import math

import attrs

from exhaust.errors import ExhaustError, nearest
from exhaust.published import air_and_gas, ducts, heat, in_the_shop, losses, pulses
from exhaust.published.values import Value

OURS = {
    **air_and_gas.OURS,
    **ducts.OURS,
    **heat.OURS,
    **in_the_shop.OURS,
    **losses.OURS,
    **pulses.OURS,
}
MOST_DECIMALS = 9


@attrs.frozen(kw_only=True)
class Check:
    """A published value, and what this package computes for it, in the same unit."""

    value: Value
    ours: float

    @property
    def difference(self) -> float:
        """Ours less the published one, in its unit."""
        return self.ours - self.value.number

    @property
    def of_tolerance(self) -> float:
        """The difference over the tolerance; up to one, either way, agrees."""
        return self.difference / self.value.tolerance

    @property
    def agrees(self) -> bool:
        """Whether ours lies within the tolerance."""
        return abs(self.difference) <= self.value.tolerance

    @property
    def sound(self) -> bool:
        """Whether it agrees, or differs, just as its row says."""
        return self.agrees is not bool(self.value.differs)

    @property
    def judgement(self) -> str:
        """What to think of it, in words."""
        if self.agrees:
            return "agrees" if self.sound else "agrees, though its row says that it differs"
        return f"differs: {self.value.differs or 'nobody has said why'}"

    def texts(self) -> tuple[str, str, str]:
        """Return ours, the difference and the tolerance, rounded to what the tolerance can tell.

        >>> from exhaust.published.values import values
        >>> check(values("iec61672")[0]).texts()
        ('-39.44', '-0.04', '0.06')
        """
        fine = -math.floor(math.log10(self.value.tolerance))
        printed = len(self.value.printed.partition(".")[2])
        decimals = min(max(fine, printed, 0), MOST_DECIMALS)
        difference = round(self.difference, fine + 1) + 0.0
        return (
            f"{round(self.ours, decimals) + 0.0:.{decimals}f}",
            f"{difference:+.2g}" if difference else "0",
            f"{self.value.tolerance:.2g}",
        )


def check(value: Value) -> Check:
    """Return what ours is beside a published value.

    >>> from exhaust.published.values import values
    >>> one = check(values("iso2533", "temperature of the standard atmosphere")[0])
    >>> round(one.ours, 3), one.value.printed, one.judgement
    (291.4, '291.40', 'agrees')
    """
    if value.what not in OURS:
        raise ExhaustError(f"nothing here computes {value.what!r}; {nearest(value.what, OURS)}")
    return Check(value=value, ours=float(OURS[value.what](**value.inputs)))
