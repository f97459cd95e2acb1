"""A figure of one slider: what each of its places costs, and a mark that moves along them.

Curves are drawn once; a move changes the mark and its numbers, so that it is shown at once.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from exhaust import show
from exhaust.bands import Band
from exhaust.plots.style import ACCENT, GREY, INK, PALE, STYLE, axes_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from exhaust.choices import TubeComparison
    from exhaust.choices.cutbacks import CutbackInFlow

WIDE, TALL = 7.6, 2.5  # [in]
FINE = 165  # dots to the inch: shown smaller, letters stay clean
FLAT = 0.05  # of the value: a curve that moves less is shown as flat as it is
HEADROOM = 0.25  # of the range of a curve, kept free above it for the number


class Curve(NamedTuple):
    """What one panel shows: a title, a kind of number, a value for each place, or a band."""

    title: str
    kind: str
    values: Sequence[Band]


class Sliding:
    """A figure of curves over the places of a slider, with a mark at one of them.

    >>> twice = Curve("twice", "ratio", [Band(v, v, v) for v in (2.0, 4.0)])
    >>> figure = Sliding("once", ["1", "2"], [twice])
    >>> figure.at(1)[:4]
    b'\\x89PNG'
    """

    def __init__(self, along: str, places: Sequence[str], curves: Sequence[Curve]) -> None:
        import matplotlib as mpl

        self.places, self.curves = places, curves
        with mpl.rc_context(STYLE):
            self.figure, axes = axes_of(WIDE, TALL, panels=len(curves))
            self._marks = [self._panel(*pair) for pair in zip(axes, curves, strict=True)]
            axes[0].set_xlabel(along)
            self.canvas = _canvas(self.figure)
            self.figure.set_dpi(FINE)
            self.canvas.draw()
            self._still = self.canvas.copy_from_bbox(self.figure.bbox)

    def _panel(self, axes: Axes, curve: Curve) -> tuple[Any, Any, Any]:
        """Draw one curve with its band; return its mark, its line and its number."""
        look = show.style(curve.kind)
        unit = f" [{look.unit}]" if look.unit else ""
        low, middle, high = (
            [(value - look.offset) / look.scale for value in side]
            for side in zip(*curve.values, strict=True)
        )
        at = range(len(middle))
        few = len(middle) < 8
        axes.fill_between(at, low, high, color=PALE, linewidth=0)
        axes.plot(at, middle, "o-" if few else "-", color=GREY, markersize=3)
        top, bottom = max(high), min(low)
        level = max(FLAT * abs(top) - (top - bottom), 0.0) / 2
        room = HEADROOM * (top - bottom + 2 * level or 1.0)
        axes.set_ylim(bottom - level - 0.3 * room, top + level + room)
        axes.ticklabel_format(axis="y", useOffset=False)
        axes.set_xlim(-0.4 if few else 0, len(middle) - 1 + (0.4 if few else 0))
        step = 1 if few else max(1, (len(middle) - 1) // 4)
        axes.set_xticks(list(at)[::step], list(self.places)[::step])
        axes.set_title(f"{curve.title}{unit}")
        line = axes.axvline(0, color=ACCENT, linewidth=0.9, animated=True)
        (mark,) = axes.plot([0], [middle[0]], "o", color=ACCENT, markersize=7, animated=True)
        number = axes.annotate(
            "",
            (0, middle[0]),
            (0, 8),
            textcoords="offset points",
            color=INK,
            fontweight="bold",
            fontsize=10,
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0, "alpha": 0.8},
            animated=True,
        )
        return line, mark, number

    def at(self, place: int) -> bytes:
        """Return the figure as PNG with its mark at a place, counted from nought."""
        import matplotlib as mpl
        from PIL import Image

        self.canvas.restore_region(self._still)
        for (line, mark, number), curve in zip(self._marks, self.curves, strict=True):
            look = show.style(curve.kind)
            value = curve.values[place].middle
            y = (value - look.offset) / look.scale
            mark.set_data([place], [y])
            line.set_xdata([place, place])
            number.xy = (place, y)
            number.set_text(show.number(value, curve.kind))
            share = place / max(len(curve.values) - 1, 1)
            number.set_ha("left" if share < 0.15 else "right" if share > 0.85 else "center")
            with mpl.rc_context(STYLE):  # fonts are looked up when drawn
                for artist in (line, mark, number):
                    artist.axes.draw_artist(artist)
        buffer = io.BytesIO()
        Image.fromarray(np.asarray(self.canvas.buffer_rgba())).save(buffer, "png", compress_level=3)
        return buffer.getvalue()


def _canvas(figure: Figure) -> Any:
    from matplotlib.backends.backend_agg import FigureCanvasAgg

    return FigureCanvasAgg(figure)


def _sharp(values: Sequence[float]) -> list[Band]:
    return [Band(value, value, value) for value in values]


def cutback_slider(options: Sequence[CutbackInFlow]) -> Sliding:
    """Return what a joint leaves open and the back pressure over cutbacks, to slide along."""
    joints = [one.joint for one in options]
    return Sliding(
        "cutback, share of the diameter",
        [f"{one.cutback:.2f}" for one in options],
        [
            Curve("Narrowest area", "percent", _sharp([one.narrowest_ratio for one in joints])),
            Curve("Window", "percent", _sharp([one.window_ratio for one in joints])),
            Curve("Back pressure", "pressure", _sharp([one.back_pressure for one in options])),
        ],
    )


def tube_slider(answer: TubeComparison) -> Sliding:
    """Return velocity, back pressure and power cost of each tube, to slide along."""
    options = answer.options

    names = [one.tube.od.written() for one in options]  # type: ignore[attr-defined]
    units = {name.rpartition(" ")[2] for name in names}
    unit = units.pop() if len(units) == 1 else ""
    return Sliding(
        f"outside diameter{f' [{unit}]' if unit else ''}",
        [name.removesuffix(f" {unit}") for name in names],
        [
            Curve("Velocity", "velocity", _sharp([one.velocity for one in options])),
            Curve("Back pressure", "pressure", _sharp([one.back_pressure for one in options])),
            Curve("Power cost", "percent", [one.power_cost for one in options]),
        ],
    )
