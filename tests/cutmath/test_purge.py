"""Purge volume changes and time, by hand and by marching the mixing."""

from __future__ import annotations

import math

import pytest

from exhaust import Bend, ParallelX, Tube
from exhaust.cutmath.purge import purge
from exhaust.errors import ExhaustError
from exhaust.units import length

BEND = Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")
X = ParallelX(BEND, cutback=0.28, spacing=length("10.5 in"))


def test_time_is_the_changes_of_the_volume_at_the_flow() -> None:
    """Exact: 0.21 to 0.21 / e^3 is three changes."""
    found = purge(X, "0.2 L/s", oxygen=0.21 / math.e**3)
    assert found.changes == pytest.approx(3.0, rel=1e-12)
    assert found.gas == pytest.approx(3 * X.inside_volume, rel=1e-12)
    assert found.time == pytest.approx(3 * X.inside_volume / 0.2e-3, rel=1e-12)
    assert found.weld_length == X.weld_length


def test_mixing_marched_in_small_steps_ends_at_the_oxygen_asked_for() -> None:
    """Independent: dx/dt = -flow x / volume by Euler; 20000 steps err by n^2 / 40000 (0.07 %)."""
    steps, oxygen = 20_000, 0.21
    found = purge(X, "0.2 L/s", oxygen=0.001)
    for _ in range(steps):
        oxygen -= 0.2e-3 * oxygen / found.volume * found.time / steps
    assert oxygen == pytest.approx(0.001, rel=1e-3)


@pytest.mark.parametrize("oxygen", [0.0, 0.21, -1.0, math.nan, True, "low"])
def test_oxygen_out_of_range_is_refused(oxygen: float) -> None:
    with pytest.raises(ExhaustError, match="oxygen must be a share between 0 and"):
        purge(X, "0.2 L/s", oxygen=oxygen)


@pytest.mark.parametrize("flow", ["0 L/s", "-1 L/s", "3 in", 5, None])
def test_a_flow_that_is_none_is_refused(flow: str) -> None:
    with pytest.raises(ExhaustError, match="flow "):
        purge(X, flow, oxygen=0.001)


def test_something_else_is_refused() -> None:
    with pytest.raises(ExhaustError, match="joint must be a joint"):
        purge("X", "0.2 L/s", oxygen=0.001)  # type: ignore[arg-type]
