"""The figures of one sheet, numbered in order."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple, TypeVar

from exhaust import plots
from exhaust.cutmath.pose import Pose
from exhaust.sheet.blocks import Drawing, Group
from exhaust.sheet.svg import inline_svg, size_of
from exhaust.show import Result

R = TypeVar("R", bound=Result)

DRAWING_SCALE = 0.8  # of drawings on paper; their lettering stays readable


class Figures:
    """Numbers the figures of one sheet, so that no two share a name inside the HTML."""

    def __init__(self) -> None:
        self.count = 0
        self.plotted: dict[tuple[str, int], _Drawn] = {}

    def drawings(self, poses: Sequence[Pose]) -> Group:
        """Return drawings to scale, side by side where they fit."""
        drawn = [_drawn(one) for one in plots.side_by_side(poses)]
        return Group([self._numbered(one, DRAWING_SCALE) for one in drawn], "row")

    def plot(self, plot: Callable[[R], plots.Picture], result: R, scale: float = 1.0) -> Drawing:
        """Return a plot of a result of this sheet; one that stands on two pages is drawn once."""
        key = plot.__name__, id(result)
        if key not in self.plotted:
            self.plotted[key] = _drawn(plot(result))
        return self._numbered(self.plotted[key], scale)

    def _numbered(self, drawn: _Drawn, scale: float) -> Drawing:
        self.count += 1
        caption = f"Figure {self.count}. {drawn.caption[:1].upper()}{drawn.caption[1:]}"
        return Drawing(
            svg=inline_svg(drawn.svg, self.count, scale),
            pdf=drawn.pdf,
            width=drawn.width * scale,
            height=drawn.height * scale,
            caption=caption,
        )


class _Drawn(NamedTuple):
    """A picture once it is drawn, its size in points."""

    svg: str
    pdf: bytes
    width: float
    height: float
    caption: str


def _drawn(picture: plots.Picture) -> _Drawn:
    svg = picture.svg()
    return _Drawn(svg, picture.pdf(), *size_of(svg), picture.caption)
