"""How sure a number is: its band, and what a difference smaller than its band means."""

from __future__ import annotations

from typing import NamedTuple


class Band(NamedTuple):
    """A number with the range it is expected to lie in (the middle 90 % of samples)."""

    low: float
    middle: float
    high: float
