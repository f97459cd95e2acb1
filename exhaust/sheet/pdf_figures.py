"""A figure's SVG as what a PDF draws: paths and copies of paths, each with its own ink.

Only what our own figures are made of is known, and anything else is refused: no figure comes out
on paper with something missing. Lengths in points; y is down, as in SVG.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import NamedTuple
from xml.etree.ElementTree import Element, fromstring

from exhaust.sheet.svg_parts import (
    NUMBER,
    USUAL,
    WHOLE,
    Matrix,
    colour,
    line_operators,
    matrix_operator,
    numbers,
    path_operators,
    placed,
    style_of,
    target,
    unknown,
    within,
)

SILENT = ("defs", "style", "metadata")  # draw nothing by themselves
PAINT = {(True, True): "B", (True, False): "f", (False, True): "S"}


class Ink(NamedTuple):
    """Operators of a PDF that stand alone, and how much their filling and line hide: all is 1."""

    operators: str
    fill: float
    stroke: float


class Sketch(NamedTuple):
    """A figure `width` by `height` [pt]: `place` turns it upright, `inks` in the order drawn."""

    width: float
    height: float
    place: Matrix
    inks: tuple[Ink, ...]


@lru_cache(maxsize=64)
def sketched(svg: str) -> Sketch:
    """Return what an SVG file draws. Raises `ExhaustError` where it holds what is not known here.

    >>> made = sketched('<svg width="9pt" height="9pt"><path d="M 1 1 L 8 1 L 8 8 z"/></svg>')
    >>> made.inks
    (Ink(operators='q 0 0 0 rg 1 1 m 8 1 l 8 8 l h f Q', fill=1.0, stroke=1.0),)
    """
    root = fromstring(svg)
    width, height = (float(root.attrib[side].removesuffix("pt")) for side in ("width", "height"))
    box = [float(x) for x in root.get("viewBox", f"0 0 {width} {height}").split()]
    across, down = width / box[2], height / box[3]
    upright = (across, 0.0, 0.0, -down, -box[0] * across, height + box[1] * down)
    named = {f"#{one.attrib['id']}": one for one in root.iter() if "id" in one.attrib}
    return Sketch(width, height, upright, tuple(_Pen(named, WHOLE, USUAL, ()).inside(root)))


class _Pen(NamedTuple):
    """How things are drawn: parts by name, where, in which style, clipped by which operators."""

    named: Mapping[str, Element]
    place: Matrix
    style: Mapping[str, str]
    clips: tuple[str, ...]

    def inside(self, element: Element) -> Iterator[Ink]:
        """Yield what all that stands in an element draws."""
        for child in element:
            yield from self.drawn(child)

    def drawn(self, element: Element) -> Iterator[Ink]:
        """Yield what an element draws."""
        kind = _kind(element)
        if kind in SILENT:
            return
        pen = self._held(element)
        if kind == "g":
            yield from pen.inside(element)
        elif kind == "path":
            yield from pen._inked(path_operators(element.get("d", "")))
        elif kind == "rect":
            yield from pen._inked(_rectangle(element))
        elif kind == "use":
            href = next(value for key, value in element.items() if key.endswith("href"))
            yield from pen.drawn(pen.named[href])
        else:
            raise unknown(f"<{kind}>")

    def _held(self, element: Element) -> _Pen:
        """Return the pen as an element holds it."""
        place, style, clips = self.place, self.style, self.clips
        if "clip-path" in element.attrib:
            (rect,) = self.named[target(element.attrib["clip-path"])]
            clips = (*clips, f"{self._kept(_rectangle(rect))} W n")
        if "transform" in element.attrib:
            place = within(placed(element.attrib["transform"]), place)
        if _kind(element) == "use":
            x, y = (float(element.get(axis, "0")) for axis in "xy")
            place = within((1.0, 0.0, 0.0, 1.0, x, y), place)
        if "style" in element.attrib:
            style = {**style, **style_of(element.attrib["style"])}
        if "fill" in element.attrib:
            style = {**style, "fill": element.attrib["fill"]}
        return _Pen(self.named, place, style, clips)

    def _inked(self, path: str) -> Iterator[Ink]:
        style = dict(self.style)
        if style["fill"].startswith("url("):
            yield from self._hatched(self.named[target(style["fill"])], path)
            style["fill"] = "none"
        filled, lined = style["fill"] != "none", style["stroke"] != "none"
        if not path or not (filled or lined):
            return
        looks = [*self.clips]
        if self.place != WHOLE:
            looks.append(matrix_operator(self.place))
        if filled:
            looks.append(f"{colour(style['fill'])} rg")
        if lined:
            looks.append(line_operators(style))
        whole = float(style["opacity"])
        fill, stroke = (whole * float(style[f"{part}-opacity"]) for part in ("fill", "stroke"))
        yield Ink(f"q {' '.join(looks)} {path} {PAINT[filled, lined]} Q", fill, stroke)

    def _hatched(self, pattern: Element, path: str) -> Iterator[Ink]:
        """Yield a pattern's tiles, as many as lie under a path, clipped to it."""
        clip = f"{self._kept(path)} W n"
        wide, high = (float(pattern.attrib[side]) for side in ("width", "height"))
        found = [float(x) for x in re.findall(NUMBER, path)]
        for across in _tiles(found[::2], wide):
            for down in _tiles(found[1::2], high):
                x, y = across * wide, down * high
                tile = f"{numbers([x, y, wide, high])} re W n"
                place = (1.0, 0.0, 0.0, 1.0, x, y)
                yield from _Pen(self.named, place, USUAL, (*self.clips, clip, tile)).inside(pattern)

    def _kept(self, path: str) -> str:
        """Return a path to clip to, or refuse it where it is not drawn as it stands."""
        if self.place != WHOLE:
            raise unknown("a clip or a hatch that is moved or turned")
        return path


def _tiles(values: list[float], step: float) -> range:
    return range(int(min(values) // step), int(max(values) // step) + 1)


def _kind(element: Element) -> str:
    return element.tag.rpartition("}")[2]


def _rectangle(rect: Element) -> str:
    sides = [float(rect.get(side, "0")) for side in ("x", "y", "width", "height")]
    return f"{numbers(sides)} re"
