"""Templates as a DXF drawing in millimetres, one beside the other, for a plotter or a cutter."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from io import StringIO
from typing import TYPE_CHECKING

from exhaust.cutmath.template import CAPTION, SMALL, Kind, Template
from exhaust.sheet.pack import Pack

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts import Modelspace

LAYERS: dict[Kind, str] = {
    "cut": "CUT",
    "hole": "HOLE",
    "edge": "EDGE",
    "clock": "CLOCK",
    "guide": "GUIDE",
}
DASHES: dict[Kind, str] = {"clock": "CENTER", "guide": "DASHED"}
TEXT = "TEXT"
MM = 1e3  # in a metre
DASH = 6.0  # dashes of the library are about a unit long, which here is a millimetre
APART = 30e-3  # between two templates [m]
CAPITALS = 0.72  # of the size of lettering: a DXF counts the height of its capitals


def templates_dxf(pack: Pack) -> bytes:
    """Return the file, the same bytes for the same pack.

    Layers: CUT and HOLE are marked on the metal, EDGE is where the sheet ends, CLOCK runs along
    the tube, GUIDE is there to compare with, TEXT is lettering. The width of a sheet is that of the
    outside and the paper.

    >>> from exhaust import HPipe, Tube
    >>> from exhaust.sheet.pack import packed
    >>> h = HPipe(Tube(od="2 in", wall="16 ga"), spacing="8 in")
    >>> templates_dxf(packed(h, "0.1 mm", "saddle", "")).splitlines()[:2]
    [b'  0', b'SECTION']
    """
    import ezdxf

    with _fixed_dates():
        drawing = ezdxf.new("R2010", setup=["linetypes"], units=ezdxf.units.MM)
        for layer in (*LAYERS.values(), TEXT):
            drawing.layers.add(layer)
        for kind, dashes in DASHES.items():
            drawing.layers.get(LAYERS[kind]).dxf.linetype = dashes
        drawing.header["$LTSCALE"] = DASH
        _drawn(drawing, pack)
        for used in sorted(drawing.entitydb.dxf_types_in_use()):
            drawing.classes.add_class(used)  # left to itself it takes them in any order
        file = StringIO()
        drawing.write(file)
    return file.getvalue().encode("utf-8")


@contextmanager
def _fixed_dates() -> Iterator[None]:
    """Leave dates and chance numbers out of what is written."""
    import ezdxf

    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def _drawn(drawing: Drawing, pack: Pack) -> None:
    """Draw every template from the left, their lowest points on one line, names under them."""
    space = drawing.modelspace()
    x = 0.0
    for template in pack.templates:
        left, bottom, right, _ = template.bounds
        _template(space, template, x - left, -bottom)
        under = f"{template.name}; {template.tube}; cut {template.pieces}, {template.hand}"
        _text(space, under, x, -2.5 * CAPTION, CAPTION)
        x += right - left + APART
    title = f"{pack.title}, {pack.job}" if pack.job else pack.title
    _text(space, f"{title}; millimetres, actual size", 0.0, -5.0 * CAPTION, CAPTION)


def _template(space: Modelspace, template: Template, dx: float, dy: float) -> None:
    for line in template.lines:
        points = [((x + dx) * MM, (y + dy) * MM) for x, y in line.points.tolist()]
        closed = line.kind == "hole"
        layer = {"layer": LAYERS[line.kind]}
        space.add_lwpolyline(points[:-1] if closed else points, close=closed, dxfattribs=layer)
    for label in template.labels:
        _text(space, label.text, label.at[0] + dx, label.at[1] + dy, label.size)


def _text(space: Modelspace, words: str, x: float, y: float, size: float = SMALL) -> None:
    text = space.add_text(
        words.replace("%%", "% %"),  # two of them would start a code
        height=size * CAPITALS * MM,
        dxfattribs={"layer": TEXT},
    )
    text.set_placement((x * MM, y * MM))
