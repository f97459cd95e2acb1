"""Pieces, what they are sawn from and what they measure when welded, by hand; mm.

Half a millimetre to a millimetre is drawn in by each weld, counted by how it lies (common
practice): a butt weld aslant by the sine of its tube's angle across, by the cosine along.
"""

from __future__ import annotations

import math

import pytest
from by_hand import QUARTER, SAW, TANGENT, D, K, R
from by_hand_sheets import SHEETS

from exhaust import cut_sheet

WHOLE = 2 * (R * QUARTER + TANGENT)
HALVED = R * QUARTER + TANGENT - K / 2
S45, S40, C40 = math.sqrt(0.5), math.sin(math.radians(40)), math.cos(math.radians(40))


def straight_of(name: str) -> float:
    joint = SHEETS[name]()[0]
    return float(joint.spacer) * 1e3  # type: ignore[attr-defined]


def trimmed_half() -> float:
    return math.acos(1 - (55 - (R + D / 2 - 0.28 * D - R)) / (2 * R))


HALF = trimmed_half()
MITRED = 500 + K / math.cos(math.radians(20)), 500 + K / math.cos(math.radians(24))
# mark: pieces, blanks, length of a blank, of one piece
PARTS: dict[str, dict[str, tuple[int, int, float, float]]] = {
    "parallel X": {
        "A": (2, 2, WHOLE, WHOLE),
        "B": (4, 2, WHOLE, HALVED),
        "C": (4, 4, *[straight_of("parallel X") + K / 2 - TANGENT] * 2),
    },
    "sawn faces out": {
        "A": (2, 2, WHOLE, WHOLE),
        "B": (4, 2, WHOLE, R * QUARTER + 45 - TANGENT - K / 2),
    },
    "trimmed": {"A": (2, 2, WHOLE, 2 * R * HALF), "B": (4, 2, WHOLE, R * HALF + TANGENT)},
    "splayed alike": dict.fromkeys("AB", (2, 1, MITRED[0], 250.0)),
    "splayed unlike": dict.fromkeys("AB", (2, 1, MITRED[1], 250.0)),
    "half, mitred": {
        "A": (2, 2, WHOLE, R * QUARTER + K / 2),
        "B": (2, 1, WHOLE, HALVED),
        "D": (2, 1, 500 + K / math.cos(math.radians(22.5)), 250.0),
    },
    "half, butted": {
        "A": (2, 2, WHOLE, R * (QUARTER + math.radians(40)) + K / 2),
        "B": (2, 1, WHOLE, HALVED),
        "D": (2, 2, 250.0, 250.0),
    },
    "Y": {
        "A": (2, 1, WHOLE, HALVED),
        "B": (2, 1, WHOLE, HALVED),
        "C": (2, 2, *[straight_of("Y") + K / 2 - TANGENT] * 2),
        "D": (1, 1, 100.0, 100.0),
    },
}
PARALLEL = dict.fromkeys(
    (
        "Spacing, parallel end, centre to centre",
        "Gap between the parallel tubes",
        "Outside width, parallel end",
    ),
    1 + 2 * S45,
)
LEGS = (
    "Spacing, legs' ends, centre to centre",
    "Gap between the legs' ends",
    "Outside width, legs' ends",
)
ENDS = (
    "Spacing at the {}, centre to centre",
    "Gap between the tubes, {}",
    "Outside width, {}",
)
X_ROWS = ("Spacing, centre to centre", "Gap between the tubes", "Outside width")
SPLAYED = {row.format(end): 1.0 for end in ("entry", "exit") for row in ENDS}
# dimension: welds that lie across it
WELDS: dict[str, dict[str, float]] = {
    "parallel X": dict.fromkeys(X_ROWS, 1 + 4 * S45) | {"Overall length": 4 * S45},
    "sawn faces out": dict.fromkeys(X_ROWS, 1 + 2 * S45) | {"Overall length": 2 * S45},
    "trimmed": dict.fromkeys(X_ROWS, 1 + 2 * math.sin(HALF))
    | {"Overall length": 2 * math.cos(HALF)},
    "splayed alike": SPLAYED | {"Overall length": 1.0},
    "splayed unlike": SPLAYED | {"Overall length": 1.0},
    "half, mitred": PARALLEL | dict.fromkeys(LEGS, 1.0) | {"Overall length": 1 + S45},
    "half, butted": PARALLEL | dict.fromkeys(LEGS, 1 + 2 * S40) | {"Overall length": C40 + S45},
    "Y": {
        "Spacing, centre to centre": 1 + 4 * S45,
        "Gap between the legs": 1 + 4 * S45,
        "Outside width": 1 + 4 * S45,
        "Overall length": 1 + 2 * S45,
    },
}


@pytest.mark.parametrize("name", PARTS)
def test_pieces_and_what_they_are_sawn_from(name: str) -> None:
    parts = cut_sheet(SHEETS[name]()[0], SAW).parts
    assert [part.label for part in parts] == list(PARTS[name])
    for part in parts:
        pieces, blanks, blank, length = PARTS[name][part.label]
        assert (part.pieces, part.blanks) == (pieces, blanks), part.label
        assert part.blank.length * 1e3 == pytest.approx(blank), part.label
        assert part.length * 1e3 == pytest.approx(length), part.label


@pytest.mark.parametrize("name", WELDS)
def test_welds_across_a_dimension_draw_it_in(name: str) -> None:
    joint, steps = SHEETS[name]()
    rows = {
        row[0]: [1e3 * float(x) for x in row[1:]] for row in cut_sheet(joint, SAW).finished.rows
    }
    assert list(rows) == list(WELDS[name])
    for dimension, welds in WELDS[name].items():
        tacked, most, least = rows[dimension]
        assert tacked - most == pytest.approx(0.5 * welds), dimension
        assert tacked - least == pytest.approx(1.0 * welds), dimension
    fitted = next(numbers for title, numbers in steps.items() if title.startswith("Fit and tack"))
    for word in ("Gap", "Outside width", "Overall length"):  # as they are checked when tacked
        checked = sorted(value for key, value in fitted.items() if key.startswith(word))
        tacked_ones = sorted(row[0] for key, row in rows.items() if key.startswith(word))
        if checked:
            assert {round(x, 5) for x in checked} == {round(x, 5) for x in tacked_ones}
