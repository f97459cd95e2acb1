"""The pieces weigh and measure what the joint does, less what the sheet says is lost."""

from __future__ import annotations

import math

import pytest

from exhaust import Bend, ParallelToSplayedX, ParallelX, Saw, Tube, YMerge, cut_sheet
from exhaust.cutmath import CutSheet

KERF = 1.1e-3
SAW = Saw(kerf="1.1 mm")
TUBE = Tube(od="63.5 mm", wall="1.651 mm")
BARE = Bend(TUBE, clr="95.25 mm")
ENDED = BARE.with_(tangent="40 mm")
RING = math.pi / 4 * (63.5e-3**2 - 60.198e-3**2) * 8000.0  # of a metre of tube, 304 [kg/m]


def mass(sheet: CutSheet) -> float:
    return sum(part.pieces * part.mass for part in sheet.parts)


def length(sheet: CutSheet) -> float:
    return next(row[1] for row in sheet.finished.rows if row[0] == "Overall length")  # type: ignore[no-any-return]


# Bends, spacer or spacing, and what each end of a leg comes out short of the drawing [mm].
WAYS = [
    (BARE, {"spacer": "60 mm"}, 0.0),  # a separate piece
    (ENDED, {"spacer": "20 mm"}, 0.0),  # the bend's own straight end
    (ENDED, {"spacer": "60 mm"}, 40.0 + 0.55),  # both ends: the returns are turned
    (BARE, {}, 0.55),  # nothing between: half a kerf goes outward
    (ENDED, {"spacing": "105 mm"}, 0.0),  # trimmed
]


@pytest.mark.parametrize(("bend", "placed", "short"), WAYS)
def test_a_parallel_x_loses_only_what_is_turned_outward(
    bend: Bend, placed: dict[str, str], short: float
) -> None:
    x = ParallelX(bend, cutback=0.28, **placed)
    sheet = cut_sheet(x, SAW)
    assert mass(sheet) == pytest.approx(x.mass - 4 * RING * short * 1e-3, rel=1e-9)
    assert length(sheet) == pytest.approx(x.overall_length - 2e-3 * short, abs=1e-9)
    said = [words for words in sheet.warnings if "returns are turned" in words]
    assert len(said) == (short > 1.0)


@pytest.mark.parametrize(("bend", "placed", "short"), WAYS)
def test_a_y_merge_loses_that_and_half_a_kerf_at_the_outlet(
    bend: Bend, placed: dict[str, str], short: float
) -> None:
    """The outlet face of a half slice is half of the tube's ring."""
    y = YMerge(bend, outlet_straight="80 mm", **placed)
    sheet = cut_sheet(y, SAW)
    face = 2 * RING / 2 * KERF / 2
    lost = 2 * RING * short * 1e-3 + face
    assert mass(sheet) == pytest.approx(y.mass - lost, rel=1e-9)
    assert length(sheet) == pytest.approx(y.overall_length - 1e-3 * short - KERF / 2, abs=1e-9)
    said = [words for words in sheet.warnings if "returns are turned" in words]
    assert len(said) == (short > 1.0)


@pytest.mark.parametrize(("bend", "placed", "short"), WAYS)
@pytest.mark.parametrize("legs", ["mitred", "butted"])
def test_half_an_x_is_as_much_shorter_at_its_parallel_end(
    bend: Bend, placed: dict[str, str], short: float, legs: str
) -> None:
    size = {"cutback": 0.3, "included_angle": "45 deg", "leg_length": "200 mm"}
    x = ParallelToSplayedX(bend, legs=legs, **size, **placed)  # type: ignore[arg-type]
    sheet = cut_sheet(x, SAW)
    assert length(sheet) == pytest.approx(x.overall_length - 1e-3 * short, abs=1e-9)
    assert mass(sheet) == pytest.approx(x.mass - 2 * RING * short * 1e-3, rel=1e-9)
