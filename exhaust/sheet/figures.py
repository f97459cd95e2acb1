"""The figures of one sheet, numbered in order."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from exhaust import plots
from exhaust.cutmath.pose import Pose
from exhaust.sheet.blocks import Drawing, Group
from exhaust.sheet.svg import inline_svg
from exhaust.show import Result

R = TypeVar("R", bound=Result)

DRAWING_SCALE = 0.8  # of drawings on paper; their lettering stays readable


class Figures:
    """Numbers the figures of one sheet, so that no two share a name inside the HTML."""

    def __init__(self) -> None:
        self.count = 0
        self.plotted: dict[tuple[str, int], tuple[str, str]] = {}  # SVG and caption

    def drawings(self, poses: Sequence[Pose]) -> Group:
        """Return drawings to scale, side by side where they fit."""
        pictures = [(one.svg(), one.caption) for one in plots.side_by_side(poses)]
        return Group([self._numbered(*picture, DRAWING_SCALE) for picture in pictures], "row")

    def plot(self, plot: Callable[[R], plots.Picture], result: R, scale: float = 1.0) -> Drawing:
        """Return a plot of a result of this sheet; one that stands on two pages is drawn once."""
        key = plot.__name__, id(result)
        if key not in self.plotted:
            picture = plot(result)
            self.plotted[key] = picture.svg(), picture.caption
        return self._numbered(*self.plotted[key], scale)

    def _numbered(self, svg: str, words: str, scale: float) -> Drawing:
        self.count += 1
        caption = f"Figure {self.count}. {words[:1].upper()}{words[1:]}"
        return Drawing(inline_svg(svg, self.count, scale), caption)
