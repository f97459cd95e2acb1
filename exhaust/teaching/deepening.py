"""What a cut opens and closes as it goes deeper into the heel."""

from __future__ import annotations

import attrs

from exhaust.joints import ParallelX
from exhaust.show import Column, Fact, Result, Table

SHARES = tuple(each / 100 for each in range(4, 51, 2))


@attrs.frozen(kw_only=True, repr=False)
class Deepening(Result):
    """One parallel X at one cutback after another, shallow to deep.

    >>> from exhaust.teaching.exercise import demo_x
    >>> deepening(demo_x())
    <Deepening: cutbacks 0.04 to 0.50>
    """

    cuts: tuple[ParallelX, ...]

    title = "As the cut deepens"

    def facts(self) -> list[Fact]:
        """Return the range of cutbacks."""
        first, last = self.cuts[0].cutback, self.cuts[-1].cutback
        return [Fact("cutbacks", f"{first:.2f} to {last:.2f}")]

    def rows(self) -> Table:
        """Return depth, length of the opening, narrowest area and window of every cut."""
        columns = (
            Column("cutback", "cutback", "ratio"),
            Column("depth", "depth", "tube"),
            Column("opening_length", "opening", "tube"),
            Column("narrowest_ratio", "narrowest area, of two tubes", "ratio"),
            Column("window_ratio", "window, of one tube", "ratio"),
            Column("metal_left", "heel left at each end", "tube"),
        )
        rows = tuple(
            (
                *(x.cutback, x.cut_depth, x.opening_length),
                *(x.narrowest_ratio, x.window_ratio, x.metal_left_arc),
            )
            for x in self.cuts
        )
        return Table(columns, rows)


def deepening(x: ParallelX, shares: tuple[float, ...] = SHARES) -> Deepening:
    """Return the joint `x` at each of `shares`, all else the same.

    >>> from exhaust.teaching.exercise import demo_x
    >>> [round(each.narrowest_ratio, 2) for each in deepening(demo_x(), (0.25, 0.33)).cuts]
    [0.82, 0.72]
    """
    return Deepening(cuts=tuple(x.with_(cutback=share) for share in shares))
