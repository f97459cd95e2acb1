"""The figures of one sheet, numbered in order."""

from __future__ import annotations

from collections.abc import Sequence

from exhaust import plots
from exhaust.cutmath.pose import Pose
from exhaust.sheet.blocks import Drawing, Group
from exhaust.sheet.svg import inline_svg

DRAWING_SCALE = 0.8  # of drawings on paper; their lettering stays readable


class Figures:
    """Numbers the figures of one sheet, so that no two share a name inside the HTML."""

    def __init__(self) -> None:
        self.count = 0

    def drawings(self, poses: Sequence[Pose]) -> Group:
        """Return drawings to scale, side by side where they fit."""
        pictures = plots.side_by_side(poses)
        return Group([self.drawing(picture, DRAWING_SCALE) for picture in pictures], "row")

    def drawing(self, picture: plots.Picture, scale: float = 1.0) -> Drawing:
        """Return a figure ready to stand in the sheet."""
        self.count += 1
        words = picture.caption
        caption = f"Figure {self.count}. {words[:1].upper()}{words[1:]}"
        return Drawing(inline_svg(picture.svg(), self.count, scale), caption)
