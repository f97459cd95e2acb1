"""Ours beside published: one check, and how it is judged."""

from __future__ import annotations

import math
from decimal import Decimal

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
VERY_SMALL = 1e-7


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
        memory = " (value from memory)" if self.value.taken == "memory" else ""
        if self.agrees:
            known = "" if self.sound else ", though its row says that it differs"
            return f"agrees{known}{memory}"
        return f"differs: {self.value.differs or 'nobody has said why'}{memory}"

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
            _plain(f"{difference:+.2g}") if difference else "0",
            _plain(f"{self.value.tolerance:.2g}"),
        )


def check(value: Value) -> Check:
    """Return what ours is beside a published value.

    >>> from exhaust.published.values import values
    >>> one = check(values("iso2533", "temperature of the standard atmosphere")[0])
    >>> round(one.ours, 3), one.value.printed, one.judgement
    (291.4, '291.40', 'agrees (value from memory)')
    """
    if value.what not in OURS:
        raise ExhaustError(f"nothing here computes {value.what!r}; {nearest(value.what, OURS)}")
    return Check(value=value, ours=float(OURS[value.what](**value.inputs)))


def _plain(text: str) -> str:
    """Return a number without a power of ten, unless it is very small."""
    sign = "+" if text.startswith("+") else ""
    return f"{sign}{Decimal(text):f}" if abs(float(text)) > VERY_SMALL else text
