"""What is sawn from each tube and bend, to scale."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from exhaust import show
from exhaust.plots.style import GREY, INK, STYLE, Picture
from exhaust.stock import Bend, Tube

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from exhaust.cutmath.opened import Opened
    from exhaust.cutmath.stock_result import StockPlan

PIECE: dict[str, Any] = {"facecolor": "#ececec", "edgecolor": INK, "linewidth": 1.0}
LEFT: dict[str, Any] = {"facecolor": "white", "edgecolor": GREY, "linestyle": (0, (4, 3))}
WIDTH = 7.2  # of the figure [in]
LETTER = 0.09  # of a mark's letters, each [in]
BAR = 0.4  # of a row's height, that the tube takes
A_ROW = 6  # bends side by side

Counted = Sequence[tuple["Opened", int]]


def stock_cuts(plan: StockPlan) -> Picture:
    """Return every tube and bend that is opened with the marks of its pieces, each to scale.

    Tubes share one scale and bends another; what is left is dashed.
    """
    import matplotlib as mpl
    from matplotlib.figure import Figure

    tubes = [one for one in Counter(plan.opened).items() if isinstance(one[0].stock, Tube)]
    bends = [one for one in Counter(plan.opened).items() if isinstance(one[0].stock, Bend)]
    heights = [0.58 * len(tubes) + 0.6] * bool(tubes)
    heights += [1.42 * math.ceil(len(bends) / A_ROW) + 0.3] * bool(bends)
    with mpl.rc_context(STYLE):
        figure = Figure(figsize=(WIDTH, sum(heights)), layout="constrained")
        grid = figure.subplots(len(heights), 1, squeeze=False, height_ratios=heights)
        panels = list(grid.flat)
        if tubes:
            _tubes(panels.pop(0), tubes)
        if bends:
            _bends(panels.pop(0), bends)
    return Picture(figure, "what is sawn from each tube and bend, to scale; dashed: left over")


def _tubes(axes: Axes, tubes: Counted) -> None:
    unit = show.style("run")
    longest = max(one.length for one, _ in tubes)
    for row, (one, count) in enumerate(tubes):
        _tube(axes, one, row, longest / WIDTH)
        axes.text(0.0, row - 0.24, _above(one, count), va="bottom", size=8)
    axes.set_xlim(-0.004 * longest, 1.004 * longest)
    axes.set_ylim(len(tubes) - 0.5, -0.55)
    axes.set_yticks([])
    axes.spines["left"].set_visible(False)
    axes.xaxis.set_major_formatter(lambda value, _: f"{value / unit.scale:g}")
    axes.set_xticks([step * unit.scale for step in _steps(longest / unit.scale)])
    axes.grid(visible=False)
    axes.set_title(f"Tubes [{unit.unit}]")


def _tube(axes: Axes, one: Opened, row: int, inch: float) -> None:
    """Draw one tube; `inch` of the figure stands for so much of it [m]."""
    from matplotlib.patches import Rectangle

    taken = one.length - one.left - sum(cut.length for cut in one.cuts)  # by trim and kerfs
    gap = at = taken / (len(one.cuts) + 1)
    for cut, many in Counter(one.cuts).items():  # alike ones stand together
        middles = [at + cut.length / 2 + number * (cut.length + gap) for number in range(many)]
        for middle in middles:
            corner = (middle - cut.length / 2, row - BAR / 2)
            axes.add_patch(Rectangle(corner, cut.length, BAR, **PIECE))
            if cut.length > LETTER * len(cut.label) * inch:
                axes.text(middle, row, cut.label, ha="center", va="center", size=7.5)
        if cut.length <= LETTER * len(cut.label) * inch:
            words = f"{many} x {cut.label}" if many > 1 else cut.label
            x = (middles[0] + middles[-1]) / 2
            axes.text(x, row + 0.24, words, ha="center", va="top", size=7.5)
        at += many * (cut.length + gap)
    if one.left > 0.0:
        axes.add_patch(Rectangle((at, row - BAR / 2), one.left, BAR, **LEFT))
    if one.left > inch:
        words = show.quantity(one.left, "cut")
        axes.text(at + one.left / 2, row, words, ha="center", va="center", size=8)


def _above(one: Opened, count: int) -> str:
    """Return what a tube is, how many are sawn alike, and whether it is bought."""
    assert isinstance(one.stock, Tube)
    source = "on hand" if one.on_hand else "buy"
    many = f"{count} alike, " if count > 1 else ""
    return f"{many}{one.stock.name}, {show.quantity(one.length, 'run')}, {source}"


def _steps(longest: float) -> list[float]:
    """Return round marks from nought to `longest`, four to nine of them."""
    step = next(step for step in (0.1, 0.2, 0.5, 1, 2, 5, 10) if longest / step < 9)
    return [number * step for number in range(math.floor(longest / step) + 1)]


def _bends(axes: Axes, bends: Counted) -> None:
    reach = max(one.stock.clr + one.stock.tube.od / 2 for one, _ in bends)  # type: ignore[union-attr]
    wide, tall = 2.35 * reach, 1.85 * reach
    sizes = {one.stock.name.partition(" bend, ")[2] for one, _ in bends}
    for number, (one, count) in enumerate(bends):
        row, column = divmod(number, A_ROW)
        centre = (column * wide + reach, -row * tall)
        _bend(axes, one, centre, reach)
        words = _below(one, count, len(sizes) > 1)
        axes.text(centre[0], centre[1] - 0.12 * reach, words, ha="center", va="top", size=8)
    rows = math.ceil(len(bends) / A_ROW)
    axes.set_xlim(-0.05 * reach, wide * min(len(bends), A_ROW))
    axes.set_ylim(-(rows - 1) * tall - 0.7 * reach, 1.1 * reach)
    axes.set_aspect("equal", anchor="W")
    axes.set_axis_off()
    axes.set_title("Bends")


def _bend(axes: Axes, one: Opened, centre: tuple[float, float], reach: float) -> None:
    from matplotlib.patches import Wedge

    bend = one.stock
    assert isinstance(bend, Bend)
    od, clr, at = float(bend.tube.od), float(bend.clr), 90.0 - math.degrees(bend.angle) / 2
    share = bend.angle / len(one.cuts)  # a joint divides its bends evenly
    pieces = [(cut.label, math.degrees(cut.angle or share)) for cut in one.cuts]
    if one.left > 0.0:
        pieces.append(("", math.degrees(one.left / clr)))
    for label, angle in pieces:
        look = PIECE if label else LEFT
        axes.add_patch(Wedge(centre, clr + od / 2, at, at + angle, width=od, **look))
        turn = math.radians(at + angle / 2)
        x, y = centre[0] + clr * math.cos(turn), centre[1] + clr * math.sin(turn)
        axes.text(x, y, label, ha="center", va="center", size=7.5)
        at += angle


def _below(one: Opened, count: int, named: bool) -> str:
    """Return what a bend is, how many are sawn alike, and whether it is bought."""
    angle, _, size = one.stock.name.partition(" bend, ")
    lines = [f"{count} x {angle}", "on hand" if one.on_hand else "buy"]
    return "\n".join([*lines, *size.split(", ")] if named else lines)
