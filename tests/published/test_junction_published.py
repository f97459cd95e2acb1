"""Merge losses: momentum balance, Idelchik (3rd ed., 7-1/7-2, A = 1), Mynard (2015).

Control-volume values are the closed form worked out by hand elsewhere; Idelchik's handbook was
read through open transcriptions, Mynard and Valen-Sendstad's Unified0D (doi 10.1002/cnm.2717)
from its published supplement. Other methods are the spread, not the target. All values lie in
data/published.
"""

import numpy as np
import pytest

from exhaust.flow.junction import MERGE_LOSS_SPREAD, mean_loss, merge_losses
from exhaust.published import check, values

ALIKE = "merge of two alike"


@pytest.mark.parametrize("value", values("control-volume", ALIKE), ids=repr)
def test_two_alike_lose_alike(value):
    """The special case in one line: 1 + 1/(4 f^2) - cos(a)/f."""
    angle, share = np.radians(value.inputs["half_angle_deg"]), value.inputs["area_share"]
    losses = merge_losses([0.5, 0.5], [share, share], [angle, angle])
    line = 1 + 1 / (4 * share**2) - np.cos(angle) / share
    assert losses == pytest.approx([line, line], rel=1e-12)


def test_idelchik_square_join_into_the_stem():
    """Diagram 7-29 without its factor A: 1 + 1/f^2 + 3/f^2 (q^2 - q)."""
    q, f = np.array([0.3, 0.7]), 0.8
    losses = merge_losses(q, f, np.pi / 2)
    mean = 1 + 1 / f**2 + 3 / f**2 * (q[0] ** 2 - q[0])
    assert float(mean_loss(q, losses)) == pytest.approx(mean, rel=1e-12)


def test_the_band_of_a_merge_covers_the_other_method_up_to_30_degrees():
    """What the band claims; steeper, the rows of data/published say where it does not."""
    rows = values("unified0d", ALIKE)
    assert {one.tolerance for one in values("unified0d")} == {MERGE_LOSS_SPREAD}
    gentle = [one for one in rows if one.inputs["half_angle_deg"] <= 30]
    assert len(gentle) == 9
    for one in gentle:
        assert abs(check(one).difference) < MERGE_LOSS_SPREAD
