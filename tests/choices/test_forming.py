"""Forming two sliced legs: the table of zero-stretch cutbacks, and when a swage is too much."""

import pytest

from exhaust.choices.forming import forming
from exhaust.joints.forming import MOST_IN_ONE_STEP
from exhaust.stock import Tube


@pytest.mark.parametrize(
    ("leg", "outlet", "cutback"),
    # od of leg and outlet [mm], 16 ga both; cutback on the middle of the wall as a closed form
    # gives it and a solid model confirmed
    [(63.5, 63.5, 0.5), (57.15, 63.5, 0.41320), (63.5, 76.2, 0.34563)],
)
def test_table(leg, outlet, cutback):
    way = forming(Tube(od=f"{leg} mm", wall="16 ga"), Tube(od=f"{outlet} mm", wall="16 ga"))
    assert way.cutback == pytest.approx(cutback, abs=6e-6)  # printed to five figures
    # halves: two half circles of the leg's middle line make one whole circle of it
    grown = (outlet - 1.651) / (leg - 1.651) - 1
    assert way.stretch_at_half == pytest.approx(grown, abs=1e-12)


def words(outlet, material):
    leg = Tube(od="2.5 in", wall="16 ga", material=material)
    return forming(leg, Tube(od=outlet, wall="16 ga")).words()


def test_judgement_grows_with_the_stretch():
    """Limits are common practice: 15 % in one step, three quarters of the elongation."""
    assert MOST_IN_ONE_STEP == 0.15
    assert words("2.5 in", "304") == "no stretch"
    assert words("2.75 in", "304").endswith("in one step")
    assert "over 15.0 % in one step" in words("3 in", "304")
    assert "past what the metal takes" in words("3.5 in", "304")  # 41 % of 40 %
    # ferritic: 20 % elongation, so 15 % is already all it takes
    assert "past what the metal takes" in words("3 in", "409")
    assert words("2.75 in", "409").endswith("ferritic, so less across a weld")
