"""The figure of what we compute beside what is published: every difference over its tolerance."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from exhaust.plots.style import ACCENT, GREY, INK, PALE, STYLE, Picture, axes_of

if TYPE_CHECKING:
    from exhaust.published import Checks

GOLDEN = 0.618034  # spreads the dots of a line without a pattern, the same each time
SPREAD = 0.7  # of a line's height
MARGIN = 0.15
AGREES: Any = {"markersize": 3.6, "color": INK, "markeredgecolor": "white", "markeredgewidth": 0.4}
DIFFERS: Any = {
    "markersize": 5,
    "color": "white",
    "markeredgecolor": ACCENT,
    "markeredgewidth": 1.2,
}


def published_differences(answer: Checks) -> Picture:
    """Return a dot a check, a line a source: difference over tolerance; open dots differ."""
    import matplotlib as mpl

    names = list(dict.fromkeys(one.value.source for one in answer.checks))
    counts = Counter(one.value.source for one in answer.checks)
    far = [one.of_tolerance for one in answer.checks]
    with mpl.rc_context(STYLE):
        figure, (axes,) = axes_of(7.2, 0.24 * len(names) + 1.1)
        axes.axvspan(-1.0, 1.0, color=PALE, alpha=0.45, linewidth=0.0, zorder=0)
        axes.axvline(0.0, color=GREY, linewidth=0.8, zorder=1)
        for number, one in enumerate(answer.checks):
            line = names.index(one.value.source) + SPREAD * (number * GOLDEN % 1.0 - 0.5)
            look = AGREES if one.agrees else DIFFERS
            axes.plot(one.of_tolerance, line, "o", **look)
        axes.set_yticks(range(len(names)), [f"{name} ({counts[name]})" for name in names])
        axes.set_xlim(min(-1.0, *far) - MARGIN, max(1.0, *far) + MARGIN)
        axes.set_ylim(len(names) - 0.4, -0.6)
        axes.set_title("Ours less published, over the tolerance: one dot a check")
        axes.set_xlabel("filled, on grey: agrees; open: differs, and its row says why")
        axes.grid(visible=False, axis="x")
        axes.tick_params(axis="y", length=0.0)
    return Picture(figure, "difference over tolerance of every published value, by source")
