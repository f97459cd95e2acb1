"""Figures as SVG text fit to stand inside an HTML page."""

from __future__ import annotations

import re

_NAME = re.compile(r"""(\bid="|href="#|url\(#)""")
_SIZE = re.compile(r'\s(width|height)="([\d.]+)pt"')


def size_of(svg: str) -> tuple[float, float]:
    """Return how wide and how high an SVG file is [pt].

    >>> size_of('<svg width="10.5pt" height="5pt"><g id="a"/></svg>')
    (10.5, 5.0)
    """
    sides = dict(_SIZE.findall(svg[svg.index("<svg") :].split(">", 1)[0]))
    return float(sides["width"]), float(sides["height"])


def inline_svg(svg: str, number: int, scale: float = 1.0) -> str:
    """Return an SVG file's text to stand inside HTML, its names kept apart from other figures'.

    It is `scale` times its own size.

    >>> inline_svg('<?xml version="1.0"?><svg width="10pt" height="5pt"><g id="a"/></svg>', 2, 0.5)
    '<svg width="5pt" height="2.5pt"><g id="f2-a"/></svg>'
    """
    head, body = svg[svg.index("<svg") :].split(">", 1)
    head = _SIZE.sub(lambda found: f' {found[1]}="{float(found[2]) * scale:.4g}pt"', head)
    body = re.sub(r"<metadata>.*?</metadata>|<!--.*?-->", "", body, flags=re.DOTALL)
    body = re.sub(r"\n\s*", "\n", body)
    body = _NAME.sub(rf"\g<1>f{number}-", body)
    return f"{head}>{body}".strip()
