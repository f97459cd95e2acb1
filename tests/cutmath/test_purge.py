"""Purge volume changes and time, by hand and by marching the mixing."""

from __future__ import annotations

import math

import pytest

from exhaust import Bend, ParallelX, PurgeGas, Run, System, Tube
from exhaust.cutmath.purge import purge
from exhaust.errors import ExhaustError

BEND = Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")
X = ParallelX(BEND, cutback=0.28, spacing="10.5 in")


def test_time_is_the_changes_of_the_volume_at_the_flow() -> None:
    """Exact: 0.21 to 0.21 / e^3 is three changes."""
    found = purge(X, PurgeGas(flow="0.2 L/s", oxygen=0.21 / math.e**3))
    assert found.changes == pytest.approx(3.0, rel=1e-12)
    assert found.used == pytest.approx(3 * X.inside_volume, rel=1e-12)
    assert found.time == pytest.approx(3 * X.inside_volume / 0.2e-3, rel=1e-12)


def test_mixing_marched_in_small_steps_ends_at_the_oxygen_asked_for() -> None:
    """Independent: dx/dt = -flow x / volume by Euler; 20000 steps err by n^2 / 40000 (0.07 %)."""
    steps, oxygen = 20_000, 0.21
    found = purge(X, PurgeGas(flow="0.2 L/s", oxygen=0.001))
    for _ in range(steps):
        oxygen -= 0.2e-3 * oxygen / found.volume * found.time / steps
    assert oxygen == pytest.approx(0.001, rel=1e-3)


def test_four_changes_leave_0_4_percent_and_50_ppm_needs_more_than_eight() -> None:
    """Common practice, as said in the shop: both follow from perfect mixing."""
    assert purge(X, PurgeGas(oxygen=0.0038)).changes == pytest.approx(4.0, abs=0.02)
    assert 8.0 < purge(X, PurgeGas(oxygen=50e-6)).changes < 8.5


def test_flow_in_litres_a_minute_and_in_cubic_feet_an_hour() -> None:
    """Exact: a cubic foot is 28.316846592 L, so 30 cfh is 14.158 L/min."""
    assert PurgeGas(flow="30 cfh").flow * 60e3 == pytest.approx(30 * 28.316846592 / 60, rel=1e-9)
    assert PurgeGas().flow == pytest.approx(15 / 60e3, rel=1e-12)


def test_a_system_holds_its_runs_and_its_joint() -> None:
    tube = BEND.tube
    runs = [Run(name=name, tube=tube, length="1 m") for name in ("in", "out")]
    found = purge(System(runs=runs, pipes=2, joint=X), PurgeGas())
    assert found.volume == pytest.approx(4 * tube.flow_area + X.inside_volume, rel=1e-12)


@pytest.mark.parametrize("oxygen", [0.0, 0.21, -1.0, math.nan, True, "low"])
def test_oxygen_out_of_range_is_refused(oxygen: float) -> None:
    with pytest.raises(ExhaustError, match="oxygen must be a"):
        PurgeGas(oxygen=oxygen)


@pytest.mark.parametrize("flow", ["0 L/s", "-1 L/s", "3 in", 5, None])
def test_a_flow_that_is_none_is_refused(flow: str) -> None:
    with pytest.raises(ExhaustError, match="flow "):
        PurgeGas(flow=flow)


def test_something_else_is_refused() -> None:
    with pytest.raises(ExhaustError, match="what must be a joint or a System"):
        purge("X", PurgeGas())  # type: ignore[arg-type]
    with pytest.raises(ExhaustError, match="gas must be a PurgeGas"):
        purge(X, "0.2 L/s")  # type: ignore[arg-type]
