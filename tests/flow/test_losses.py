"""Bends against handbooks that the code does not call, and the narrow place against algebra."""

import numpy as np
import pytest

from exhaust.errors import ExhaustError
from exhaust.flow.losses import bend_loss, narrowing_loss
from exhaust.published import check, values

D = 0.0635  # inside diameter


AUTHORS = [
    [one for source in ("miller", "crane") for one in values(source) if one.at == ito.at] + [ito]
    for ito in values("ito")
]


@pytest.mark.parametrize("others", AUTHORS, ids=str)
def test_bend_with_its_friction_lies_among_other_handbooks(others):
    """Miller (1990), Crane TP-410 (2009) and Ito (1960), same bend, Re 2e5."""
    assert len(others) == 3
    numbers = [one.number for one in others]
    # Handbooks of bends differ by a tenth or so beyond their own range.
    assert 0.9 * min(numbers) < check(others[0]).ours < 1.1 * max(numbers)


def test_bend_loss_for_many_factors_at_once():
    many = bend_loss(D, 1.5 * D, np.pi / 2, np.array([0.015, 0.02, 0.03]))
    assert many[1] == pytest.approx(float(bend_loss(D, 1.5 * D, np.pi / 2, 0.02)))
    assert np.all(np.diff(many) > 0)


def test_bend_tighter_than_its_tube_is_refused():
    with pytest.raises(ExhaustError, match="clr must be at least half of the inside diameter"):
        bend_loss(D, 0.4 * D, np.pi / 2, 0.017)


def test_narrowing_is_the_re_expansion():
    # Narrow to half the area: (V2 - V1)^2 with V2 = 2 V1 is one dynamic head, exactly.
    assert narrowing_loss([0.5, 1.0, 1.2]).tolist() == [1.0, 0.0, 0.0]


def test_nothing_to_flow_through_is_refused():
    with pytest.raises(ExhaustError, match="narrowest_ratio must be more than zero"):
        narrowing_loss(0.0)
