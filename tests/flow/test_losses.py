"""Bends against handbooks that the code does not call, and the narrow place against algebra."""

import numpy as np
import pytest

from exhaust.errors import ExhaustError
from exhaust.flow.losses import bend_loss, narrowing_loss

D, F = 0.0635, 0.01733  # inside diameter, Darcy factor at Re 2e5, 0.015 mm


def friction_part(clr_over_d: float, degrees: float) -> float:
    return F * np.radians(degrees) * clr_over_d


# clr over inside diameter, angle, then the loss with friction after Miller (1990), Crane TP-410
# (2009) and Ito (1960): three other handbooks, same bend, Re 2e5
OTHERS = [
    (1.0, 90, 0.2781, 0.3607, 0.2615),
    (1.5, 45, 0.1026, 0.1795, 0.1310),
    (1.5, 90, 0.2375, 0.2535, 0.2017),
    (2.0, 45, 0.1110, 0.1466, 0.1243),
    (2.0, 90, 0.2159, 0.2143, 0.1819),
    (3.0, 90, 0.2075, 0.2186, 0.1793),
]


@pytest.mark.parametrize(("clr_over_d", "degrees", "miller", "crane", "ito"), OTHERS)
def test_bend_with_its_friction_lies_among_other_handbooks(clr_over_d, degrees, miller, crane, ito):
    loss = float(bend_loss(D, clr_over_d * D, np.radians(degrees), F))
    loss += friction_part(clr_over_d, degrees)
    # Handbooks of bends differ by a tenth or so beyond their own range.
    assert 0.9 * min(miller, crane, ito) < loss < 1.1 * max(miller, crane, ito)


@pytest.mark.parametrize(
    ("clr_over_d", "degrees", "whole"),
    [
        (1.0, 15, 0.0793),
        (1.0, 45, 0.1823),
        (1.0, 90, 0.3044),
        (1.5, 90, 0.2196),
        (2.0, 45, 0.1387),
        (3.0, 90, 0.2015),
    ],
)
def test_bend_is_rennels_less_the_friction_of_its_length(clr_over_d, degrees, whole):
    """Worked values of the same form: they check the friction taken off, not the handbook."""
    loss = float(bend_loss(D, clr_over_d * D, np.radians(degrees), F))
    assert loss + friction_part(clr_over_d, degrees) == pytest.approx(whole, abs=6e-5)


def test_bend_loss_for_many_factors_at_once():
    many = bend_loss(D, 1.5 * D, np.pi / 2, np.array([0.015, 0.02, 0.03]))
    assert many[1] == pytest.approx(float(bend_loss(D, 1.5 * D, np.pi / 2, 0.02)))
    assert np.all(np.diff(many) > 0)


def test_bend_tighter_than_its_tube_is_refused():
    with pytest.raises(ExhaustError, match="clr must be at least half of the inside diameter"):
        bend_loss(D, 0.4 * D, np.pi / 2, F)


def test_narrowing_is_the_re_expansion():
    # Narrow to half the area: (V2 - V1)^2 with V2 = 2 V1 is one dynamic head, exactly.
    assert narrowing_loss([0.5, 1.0, 1.2]).tolist() == [1.0, 0.0, 0.0]


def test_nothing_to_flow_through_is_refused():
    with pytest.raises(ExhaustError, match="narrowest_ratio must be more than zero"):
        narrowing_loss(0.0)
