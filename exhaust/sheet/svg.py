"""Figures as SVG text fit to stand inside an HTML page."""

from __future__ import annotations

import io
import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from exhaust.plots import Picture

_NAME = re.compile(r"""(\bid="|href="#|url\(#)""")
_WIDTH = re.compile(r'\swidth="([\d.]+)pt"')


def svg_of(picture: Picture) -> str:
    """Return a picture as SVG text without its empty borders, the same bytes each time."""
    import matplotlib as mpl

    from exhaust.plots import STYLE

    buffer = io.BytesIO()
    with mpl.rc_context(STYLE):
        picture.figure.savefig(
            buffer, format="svg", bbox_inches="tight", pad_inches=0.03, metadata={"Date": None}
        )
    return buffer.getvalue().decode()


def inline_svg(svg: str, number: int, scale: float = 1.0) -> str:
    """Return an SVG file's text to stand inside HTML, its names kept apart from other figures'.

    Its width is `scale` times its own; its height follows, so that it can shrink.

    >>> inline_svg('<?xml version="1.0"?><svg width="10pt" height="5pt"><g id="a"/></svg>', 2, 0.5)
    '<svg width="5pt"><g id="f2-a"/></svg>'
    """
    head, body = svg[svg.index("<svg") :].split(">", 1)
    head = re.sub(r'\sheight="[^"]*"', "", head)
    head = _WIDTH.sub(lambda found: f' width="{float(found[1]) * scale:.4g}pt"', head)
    body = re.sub(r"<metadata>.*?</metadata>|<!--.*?-->", "", body, flags=re.DOTALL)
    body = re.sub(r"\n\s*", "\n", body)
    body = _NAME.sub(rf"\g<1>f{number}-", body)
    return f"{head}>{body}".strip()
