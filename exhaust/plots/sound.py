"""Sound compared: levels by engine order, and clips to listen to."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from exhaust import show
from exhaust.choices.sound import FLOOR, RATE
from exhaust.plots.style import ACCENT, GREY, INK, PALE, STYLE, Picture, axes_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from exhaust.choices.sound import Heard, SoundComparison
    from exhaust.choices.waves import FloatArray

LAST_ORDER = 16.5  # shown
COLOURS = (INK, ACCENT, GREY, "#9a9a9a", PALE)


def orders(answer: SoundComparison) -> Picture:
    """Return the level of each engine order, each option on its own panel at one scale."""
    import matplotlib as mpl

    with mpl.rc_context(STYLE):
        count = len(answer.options)
        highest = max(max(*one.apart, *one.together) for one in answer.options)
        figure, panels = axes_of(7.2, 1.25 * count + 0.6, panels=count, stacked=True)
        for axes, one in zip(panels, answer.options, strict=True):
            _bars(axes, answer, one)
            axes.set_xlim(0.0, LAST_ORDER)
            axes.set_ylim(FLOOR, 1.0 + highest)
            axes.set_xticks(np.arange(0.0, LAST_ORDER, 1.0))
            axes.grid(visible=False, axis="x")
            colour = ACCENT if one is answer.choice else INK
            axes.set_title(f"{one.name} [dB]", color=colour)
        panels[-1].set_xlabel(
            "engine order; pale: each open end by itself, black: all heard as one"
        )
    return Picture(figure, "levels by engine order, each option against the first one's loudest")


def _bars(axes: Axes, answer: SoundComparison, one: Heard) -> None:
    x = np.array(answer.orders)
    shown = (x > 0) & (x <= LAST_ORDER)
    for levels, colour, width in ((one.apart, PALE, 0.42), (one.together, INK, 0.2)):
        height = np.array(levels)[shown]
        above = height > FLOOR
        axes.bar(x[shown][above], height[above] - FLOOR, width, bottom=FLOOR, color=colour)


class Clip(NamedTuple):
    """A sound that plays in a notebook: `samples` [2, n] in -1 to 1, at `rate` [1/s]."""

    samples: FloatArray
    rate: int
    caption: str

    def _repr_html_(self) -> str:
        from html import escape

        from IPython.display import Audio

        played: Any = Audio(self.samples, rate=self.rate, normalize=False)  # type: ignore[no-untyped-call]
        return f"<p>{escape(self.caption)}</p>{played._repr_html_()}"

    def __repr__(self) -> str:
        return f"<sound: {self.caption}>"


def clips(answer: SoundComparison, seconds: float = 3.0) -> list[Clip]:
    """Return a clip of each option, all at one scale; what they are not is in their words."""
    at = show.quantity(answer.speed, "speed")
    return [
        Clip(
            answer.signal(one.name, seconds),
            RATE,
            f"{one.name} at {at}, only to be held against the others: no noise measurement",
        )
        for one in answer.options
    ]
