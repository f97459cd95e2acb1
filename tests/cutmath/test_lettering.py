"""Words on a template: each on its clock line, in its room, legible, and none over another.

Sizes and distances are the sheet's own look; what counts is that a printed sheet can be read.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from wrapped import ALL, SMALL, TUBE

from exhaust import HPipe, SplayedX, Tube
from exhaust.cutmath.template import Label, Template
from exhaust.cutmath.templates import templates

WIDE = 0.54  # of a letter for its size, at most: common for a plain typeface
MM = 1e-3
SIZES = {
    "narrow": HPipe(TUBE, balance_tube=Tube(od="25.4 mm", wall="1.651 mm"), spacing="230 mm"),
    "tiny": SplayedX(
        Tube(od="16 mm", wall="1 mm"), included_angle="45 deg", cutback=0.3, leg_length="20 mm"
    ),
    "large": HPipe(Tube(od="127 mm", wall="2 mm"), balance_tube=SMALL, spacing="400 mm"),
}
SHEETS = {
    f"{name}: {sheet.name}": sheet
    for name, joint in (ALL | SIZES).items()
    for sheet in templates(joint)
}
each_sheet = pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)


def split(sheet: Template) -> tuple[list[Label], list[Label]]:
    """The names of the clock lines, and what is written between 12 and the next line."""
    return list(sheet.labels[:4]), list(sheet.labels[4:])


def room(sheet: Template, left: float, right: float) -> tuple[float, float]:
    """The lowest and the highest that nothing but paper is at, from side to side."""
    xs = np.linspace(left, right, 400)
    lower, upper = (line.points for line in sheet.lines[:2])
    low = np.interp(xs, lower[:, 0], lower[:, 1]).max()
    return float(low), float(np.interp(xs, upper[:, 0], upper[:, 1]).min())


def width(label: Label) -> float:
    return WIDE * label.size * len(label.text)


@each_sheet
def test_each_clock_line_has_its_name_beside_it(sheet: Template) -> None:
    """Close on its right; the fifth is the first again and is not named."""
    names, _ = split(sheet)
    clocks = sorted(
        (float(line.points[0, 0]), line.name) for line in sheet.lines if line.kind == "clock"
    )
    lines = [(-sheet.around / 2, names[0].text), *clocks]
    assert len(names) == len(lines) == 4
    for label, (x, name) in zip(names, lines, strict=True):
        assert label.text == name
        assert 0.0 < label.at[0] - x < 2 * MM
        assert label.size == 2.4 * MM


@each_sheet
def test_clock_names_stand_at_the_straight_edge(sheet: Template) -> None:
    """Just inside the paper's own edge, clear of the metal's; halfway where both are cut."""
    names, _ = split(sheet)
    lower, upper = sheet.lines[:2]
    for label in names:
        x, y = label.at
        low, high = room(sheet, x, x)
        if upper.kind == "edge":
            assert 0.0 < high - (y + label.size) < 2 * MM
        elif lower.kind == "edge":
            assert 0.0 < y - low < 2 * MM
        else:
            clock = x - 1 * MM
            low, high = room(sheet, clock, clock)
            assert y == pytest.approx((low + high) / 2, abs=1e-9)


@each_sheet
def test_nothing_is_written_over_a_cut_a_line_or_other_words(sheet: Template) -> None:
    """Between the 12 o'clock line and the next, row under row, clear of the clock lines' names."""
    names, rows = split(sheet)
    quarter = sheet.around / 4
    low, high = room(sheet, 0.0, quarter)
    own = [label for label in names if 0.0 < label.at[0] < quarter / 2]
    assert len(own) == 1
    for label in rows:
        x, y = label.at
        assert x > 0.5 * MM
        assert x + width(label) < quarter + 1e-9
        assert low - 1e-9 <= y
        assert y + label.size <= high
        clear = y + label.size < own[0].at[1] or y > own[0].at[1] + own[0].size
        assert clear
    for above, below in pairwise(rows):
        assert below.at[1] + below.size < above.at[1]
        assert above.at[1] - below.at[1] < 2 * below.size


@each_sheet
def test_words_are_as_large_as_their_room_lets_them(sheet: Template) -> None:
    """The name at 3.2 mm and the rest at 2.4 mm where that fits, and never under six tenths."""
    _, rows = split(sheet)
    assert rows, "every sheet says what it is"
    texts = [label.text for label in rows]
    assert texts[0] == sheet.name
    count = f"cut {sheet.pieces}, {sheet.hand}"
    quarter = sheet.around / 4
    full = [
        min(most, (quarter - 2 * MM) / (WIDE * len(text)))
        for text, most in zip(texts, (3.2 * MM, *[2.4 * MM] * 5), strict=False)
    ]
    shrunk = {round(label.size / most, 9) for label, most in zip(rows, full, strict=True)}
    assert len(shrunk) == 1  # all alike
    (share,) = shrunk
    assert 0.6 - 1e-9 <= share <= 1.0
    if share == 1.0:
        assert texts[-2:] == [count, sheet.tube]
    if share > 0.6 + 1e-6:  # all of it is there
        assert texts[-2:] == [count, sheet.tube]
        low, high = room(sheet, 0.0, quarter)
        used = rows[0].at[1] + 1.35 * rows[0].size - rows[-1].at[1]
        taken = 5.4 * MM if "edge" in {line.kind for line in sheet.lines[:2]} else 0.0
        if share < 1.0:  # and it fills its room, but for a millimetre
            assert used == pytest.approx(high - low - taken - 1 * MM, abs=0.1 * MM)


def test_a_sheet_says_what_it_is_in_three_lines_and_more() -> None:
    (sheet,) = (s for s in templates(SIZES["large"]) if s.name.startswith("balance"))
    _, rows = split(sheet)
    assert [label.text for label in rows][1].startswith("edge to edge ")
    sizes = [label.size for label in rows]
    quarter = sheet.around / 4 - 2 * MM
    assert sizes == pytest.approx(
        [
            min(most, quarter / (WIDE * len(label.text)))
            for most, label in zip((3.2 * MM, *[2.4 * MM] * 3), rows, strict=True)
        ]
    )
    steps = [a.at[1] - b.at[1] for a, b in pairwise(rows)]
    assert steps == pytest.approx([1.35 * size for size in sizes[1:]])
    assert {label.at[0] for label in rows} == {2 * MM}
    assert math.isclose(rows[0].at[1] + 1.35 * sizes[0], sheet.bounds[3] - 5.4 * MM, abs_tol=1e-9)
