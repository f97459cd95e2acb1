"""Merge losses: momentum balance, Idelchik (3rd ed., 7-1/7-2, A = 1), Mynard (2015).

Control-volume values are the closed form worked out by hand elsewhere; Idelchik's handbook was
read through open transcriptions, Mynard and Valen-Sendstad's Unified0D (doi 10.1002/cnm.2717)
from its published supplement. Other methods are the spread, not the target.
"""

import numpy as np
import pytest

from exhaust.flow.junction import MERGE_LOSS_SPREAD, mean_loss, merge_losses

# side branch at an angle into a straight run of the outlet's area, equal flows:
# angle, side area share, side K, straight K, Unified0D side, Unified0D straight
LATERALS = [
    (30, 0.5, 0.63397, -0.11603, 0.5288, -0.2212),
    (30, 0.7, 0.39161, 0.13141, 0.3193, 0.0590),
    (30, 1.0, 0.31699, 0.31699, 0.2692, 0.2692),
    (45, 0.5, 0.79289, 0.04289, 0.5646, -0.1854),
    (45, 0.6, 0.60519, 0.16074, 0.4185, -0.0259),
    (45, 0.8, 0.44868, 0.30806, 0.3141, 0.1734),
    (45, 1.0, 0.39645, 0.39645, 0.2931, 0.2931),
    (60, 0.7, 0.65306, 0.39286, 0.3884, 0.1281),
    (60, 1.0, 0.50000, 0.50000, 0.3261, 0.3261),
    (90, 0.5, 1.50000, 0.75000, 0.7528, 0.0028),
    (90, 0.7, 1.01020, 0.75000, 0.5006, 0.2404),
    (90, 1.0, 0.75000, 0.75000, 0.4185, 0.4185),
]
# half angle, area share of each leg, K, Unified0D; equal flows
SYMMETRIC = [
    (15, 0.5, 0.06815, 0.0384),
    (15, 0.6, 0.08457, 0.0598),
    (15, 1.0, 0.28407, 0.2692),
    (22.5, 0.5, 0.15224, 0.0861),
    (22.5, 0.8, 0.23578, 0.1944),
    (22.5, 1.0, 0.32612, 0.2931),
    (30, 0.5, 0.26795, 0.1522),
    (30, 0.6, 0.25107, 0.1546),
    (30, 1.0, 0.38397, 0.3261),
    (45, 0.6, 0.51593, 0.3087),
    (60, 0.8, 0.76562, 0.5067),
    (90, 0.5, 2.00000, 1.2346),
    (90, 1.0, 1.25000, 0.8673),
]
ROUNDED = 6e-6  # half of the last of five printed decimals


@pytest.mark.parametrize(("angle", "share", "side", "straight"), [row[:4] for row in LATERALS])
def test_lateral(angle, share, side, straight):
    losses = merge_losses([0.5, 0.5], [share, 1.0], np.radians([angle, 0.0]))
    assert losses == pytest.approx([side, straight], abs=ROUNDED)


@pytest.mark.parametrize(("half_angle", "share", "loss"), [row[:3] for row in SYMMETRIC])
def test_symmetric_merge(half_angle, share, loss):
    angle = np.radians(half_angle)
    losses = merge_losses([0.5, 0.5], [share, share], [angle, angle])
    assert losses == pytest.approx([loss, loss], abs=ROUNDED)
    # the special case in one line: 1 + 1/(4 f^2) - cos(a)/f
    assert losses[0] == pytest.approx(1 + 1 / (4 * share**2) - np.cos(angle) / share, rel=1e-12)


@pytest.mark.parametrize(
    ("angle", "loss"), [(15, 0.03407), (30, 0.13397), (45, 0.29289), (60, 0.5), (90, 1.0)]
)
def test_idelchik_where_the_legs_areas_add_up_to_the_outlets(angle, loss):
    """Equations 7-1 and 7-2 without their tabulated corrections: one leg straight, one not."""
    losses = merge_losses([0.5, 0.5], [0.5, 0.5], np.radians([angle, 0.0]))
    assert losses == pytest.approx([loss, loss], abs=ROUNDED)


def test_idelchik_square_join_into_the_stem():
    """Diagram 7-29 without its factor A: 1 + 1/f^2 + 3/f^2 (q^2 - q)."""
    q, f = np.array([0.3, 0.7]), 0.8
    losses = merge_losses(q, f, np.pi / 2)
    mean = 1 + 1 / f**2 + 3 / f**2 * (q[0] ** 2 - q[0])
    assert float(mean_loss(q, losses)) == pytest.approx(mean, rel=1e-12)


@pytest.mark.parametrize(
    ("half_angle", "share", "loss", "other"), [row for row in SYMMETRIC if row[0] <= 30]
)
def test_spread_covers_the_other_method_up_to_30_degrees(half_angle, share, loss, other):
    # What the band claims: a merge at up to 30 degrees, another published method inside it.
    assert abs(loss - other) < MERGE_LOSS_SPREAD
