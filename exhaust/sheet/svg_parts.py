"""What a figure's SVG says in its attributes, as a PDF says it: paths, places, colours, lines."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache

from exhaust.errors import ExhaustError

Matrix = tuple[float, float, float, float, float, float]

WHOLE: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"
COUNTS = {"M": 2, "L": 2, "Q": 4, "C": 6, "Z": 0}  # of numbers after a path's letter
CAPS = {"butt": 0, "round": 1, "square": 2}
JOINS = {"miter": 0, "round": 1, "bevel": 2}
USUAL = {
    "fill": "#000000",
    "stroke": "none",
    "stroke-width": "1",
    "stroke-linecap": "butt",
    "stroke-linejoin": "round",  # as the figures' own style sheet has it
    "stroke-dasharray": "none",
    "stroke-dashoffset": "0",
    "stroke-miterlimit": "10",
    "opacity": "1",
    "fill-opacity": "1",
    "stroke-opacity": "1",
}

_TOKEN = re.compile(rf"[A-Za-z]|{NUMBER}")
_MOVE = re.compile(r"(\w+)\(([^)]*)\)")
_COLOUR = re.compile(r"#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})")
_TARGET = re.compile(r"url\((#[^)]+)\)")


def unknown(what: str) -> ExhaustError:
    """Return the refusal of what a PDF would leave out."""
    return ExhaustError(f"a figure holds {what} that its PDF cannot draw; the HTML shows it")


@lru_cache(maxsize=4096)
def path_operators(d: str) -> str:
    """Return a path's data as operators of a PDF; a curve of second degree is one of third there.

    >>> path_operators("M 0 0 Q 3 0 3 3 L 0 3 z")
    '0 0 m 2 0 3 1 3 3 c 0 3 l h'
    """
    found: list[str] = []
    at = (0.0, 0.0)
    tokens = _TOKEN.findall(d)
    place = 0
    while place < len(tokens):
        letter = tokens[place].upper() if tokens[place] in "MLQCzZ" else None
        if letter is None:
            raise unknown(f"the path operator {tokens[place]}")
        texts = tokens[place + 1 : place + 1 + COUNTS[letter]]
        place += 1 + COUNTS[letter]
        if letter == "Z":
            found.append("h")
            continue
        ends = [float(text) for text in texts]
        if letter == "Q":
            found.append(f"{numbers(_third_degree(at, ends))} c")
        else:
            found.append(f"{numbers(ends)} {letter.lower()}")
        at = ends[-2], ends[-1]
    return " ".join(found)


def _third_degree(start: tuple[float, float], ends: Sequence[float]) -> list[float]:
    """Return the third-degree curve that is the same: controls two thirds of the way to the one."""
    (x, y), (u, v, right, top) = start, ends
    first = x + (u - x) * 2.0 / 3.0, y + (v - y) * 2.0 / 3.0
    second = right + (u - right) * 2.0 / 3.0, top + (v - top) * 2.0 / 3.0
    return [*first, *second, right, top]


def numbers(values: Iterable[float], digits: int = 4) -> str:
    """Return numbers as a PDF has them, with so many digits after the point at most.

    >>> numbers([1.0, -0.00001, 2 / 3])
    '1 0 0.6667'
    """
    return " ".join(_number(f"{value:.{digits}f}") for value in values)


def _number(text: str) -> str:
    text = text.rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def matrix_operator(matrix: Matrix) -> str:
    """Return a matrix as the operator of a PDF: lettering is much reduced, so with more digits.

    >>> matrix_operator((0.00140625, 0.0, 0.0, 1.0, 0.0, 0.0))
    '0.0014062 0 0 1 0 0 cm'
    """
    return f"{numbers(matrix, digits=7)} cm"


@lru_cache(maxsize=1024)
def placed(text: str) -> Matrix:
    """Return what a transform does, as a matrix.

    >>> placed("translate(10 20) scale(2 -2)")
    (2.0, 0.0, 0.0, -2.0, 10.0, 20.0)
    """
    made = WHOLE
    for kind, inside in _MOVE.findall(text):
        given = [float(x) for x in re.findall(NUMBER, inside)]
        if kind == "translate":
            step: Matrix = (1.0, 0.0, 0.0, 1.0, given[0], given[1] if len(given) > 1 else 0.0)
        elif kind == "scale":
            step = (given[0], 0.0, 0.0, given[-1], 0.0, 0.0)
        elif kind == "rotate" and len(given) == 1:
            c, s = math.cos(math.radians(given[0])), math.sin(math.radians(given[0]))
            step = (c, s, -s, c, 0.0, 0.0)
        elif kind == "matrix":
            a, b, c, d, e, f = given
            step = (a, b, c, d, e, f)
        else:
            raise unknown(f"the transform {kind}")
        made = within(step, made)
    return made


def within(inner: Matrix, outer: Matrix) -> Matrix:
    """Return what `inner` does when all it draws is moved by `outer`."""
    a, b, c, d, e, f = inner
    p, q, r, s, t, u = outer
    return (
        *(a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s),
        *(e * p + f * r + t, e * q + f * s + u),
    )


@lru_cache(maxsize=1024)
def style_of(text: str) -> dict[str, str]:
    """Return a style's properties by name; one that is not known here is refused.

    >>> style_of("fill: none; stroke-width: 0.8")
    {'fill': 'none', 'stroke-width': '0.8'}
    """
    pairs = (part.split(":", 1) for part in text.split(";") if part.strip())
    found = {name.strip(): value.strip() for name, value in pairs}
    for name in found:
        if name not in USUAL:
            raise unknown(f"the style {name}")
    return found


@lru_cache(maxsize=1024)
def colour(text: str) -> str:
    """Return a colour's red, green and blue as a PDF has them.

    >>> colour("#ff0000")
    '1 0 0'
    """
    found = _COLOUR.fullmatch(text)
    if found is None:
        raise unknown(f"the colour {text}")
    return numbers([int(part, 16) / 255.0 for part in found.groups()])


def target(text: str) -> str:
    """Return what a url() names: "#a" of "url(#a)"."""
    found = _TARGET.fullmatch(text)
    if found is None:
        raise unknown(f"the link {text}")
    return found[1]


def line_operators(style: Mapping[str, str]) -> str:
    """Return colour, width, ends, corners and dashes of a line as operators of a PDF."""
    dashes = "[] 0 d"
    if style["stroke-dasharray"] != "none":
        lengths = [float(x) for x in re.findall(NUMBER, style["stroke-dasharray"])]
        dashes = f"[{numbers(lengths)}] {numbers([float(style['stroke-dashoffset'])])} d"
    return (
        f"{colour(style['stroke'])} RG {numbers([float(style['stroke-width'])])} w "
        f"{CAPS[style['stroke-linecap']]} J {JOINS[style['stroke-linejoin']]} j "
        f"{numbers([float(style['stroke-miterlimit'])])} M {dashes}"
    )
