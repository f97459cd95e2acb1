"""The one quiet style of all figures, and a figure that shows itself.

Ink, two greys and one blue that prints as a dark grey; labels beside the lines rather than
legends; axes in the unit system in use.
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

INK, GREY, PALE = "#1a1a1a", "#767676", "#d9d9d9"
ACCENT = "#1f5a8c"

STYLE: Any = {
    "font.family": "DejaVu Sans",
    "font.size": 9,
    "axes.titlesize": 9.5,
    "axes.titleweight": "bold",
    "axes.titlelocation": "left",
    "axes.edgecolor": GREY,
    "axes.labelcolor": INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.linewidth": 0.8,
    "axes.grid": True,
    "axes.axisbelow": True,
    "grid.color": PALE,
    "grid.linewidth": 0.6,
    "lines.linewidth": 1.4,
    "hatch.linewidth": 0.5,
    "savefig.bbox": "tight",
    "savefig.pad_inches": 0.03,
    "savefig.dpi": 110,
    "pdf.compression": 0,  # a compressor may differ from one machine to the next
    "svg.fonttype": "path",
    "svg.hashsalt": "exhaust",
}


class Picture(NamedTuple):
    """A finished figure that shows itself in a notebook and saves the same bytes each time."""

    figure: Figure
    caption: str

    def svg(self) -> str:
        """Return the figure as SVG text."""
        return self._saved("svg", {"Date": None}).decode()

    def pdf(self) -> bytes:
        """Return the figure as a PDF of one page, its own size."""
        return self._saved("pdf", {"CreationDate": None, "Creator": None, "Producer": None})

    def _repr_png_(self) -> bytes:
        return self._saved("png", {"Software": None})

    def _saved(self, form: str, metadata: dict[str, Any]) -> bytes:
        import matplotlib as mpl

        buffer = io.BytesIO()
        with mpl.rc_context(STYLE):
            self.figure.savefig(buffer, format=form, metadata=metadata)
        return buffer.getvalue()

    def __repr__(self) -> str:
        return f"<figure: {self.caption}>"


def axes_of(
    width: float, height: float, panels: int = 1, *, stacked: bool = False
) -> tuple[Figure, list[Axes]]:
    """Return a figure of so many inches and its panels, side by side or `stacked`."""
    import matplotlib as mpl
    from matplotlib.figure import Figure

    with mpl.rc_context(STYLE):
        figure = Figure(figsize=(width, height), layout="constrained")
        rows, columns = (panels, 1) if stacked else (1, panels)
        return figure, list(figure.subplots(rows, columns, squeeze=False).flat)
