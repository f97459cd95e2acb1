"""Every number of a whole cut sheet beside the same worked by hand: none left out, none over.

Plain trigonometry of circles, arcs and ellipses in mm, from the sizes that are asked for. Seams
that are no arc are summed from 20,000 chords. What has a limit of the shop's in it (the vice, the
third of the way out to a tack, the kerf) carries it as common practice has it.
"""

from __future__ import annotations

import pytest
from by_hand import SAW
from by_hand_sheets import SHEETS

from exhaust import cut_sheet

NEAR = 2e-6  # [mm]; chords of a seam
FACE = 0.01  # [mm]; an opening measured on a face that is half a kerf from the middle


@pytest.mark.parametrize("name", SHEETS)
def test_every_number_on_the_sheet_is_the_one_worked_by_hand(name: str) -> None:
    joint, by_hand = SHEETS[name]()
    steps = cut_sheet(joint, SAW).steps
    assert [step.title for step in steps] == [title.strip() for title in by_hand]
    for step, (_, wanted) in zip(steps, by_hand.items(), strict=True):
        facts = [fact for fact in (*step.settings, *step.checks) if fact.kind != "text"]
        assert sorted(fact.name for fact in facts) == sorted(wanted)
        for fact in facts:
            angle = fact.kind in ("angle", "percent", "count")
            close = FACE if "outlet face to tip" in fact.name or name == "Y" else NEAR
            found = float(fact.value) * (1.0 if angle else 1e3)  # type: ignore[arg-type]
            near = 1e-9 if angle else close
            assert found == pytest.approx(wanted[fact.name], abs=near), (step.title, fact.name)
