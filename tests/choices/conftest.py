"""An invented V8 with two pipes, an invented four: no real engine, maker or customer."""

import pytest

from exhaust.choices import compare_merges, compare_tubes
from exhaust.engine import Ambient, Engine, OperatingPoint
from exhaust.job import load_job
from exhaust.stock import Bend, Tube
from exhaust.system import Run, System
from exhaust.tables import shipped


@pytest.fixture(scope="session")
def engine():
    return Engine(
        displacement="5.1 L",
        cylinders=8,
        firing_order=(1, 8, 4, 3, 6, 5, 7, 2),
        left_bank=(1, 3, 5, 7),
        compression_ratio=10.0,
    )


@pytest.fixture(scope="session")
def four():
    return Engine(displacement="2 L", cylinders=4, firing_order=(1, 3, 4, 2))


@pytest.fixture(scope="session")
def duty():
    return OperatingPoint(speed="6200 rpm", volumetric_efficiency=0.92, lambda_=0.88)


@pytest.fixture(scope="session")
def ambient():
    return Ambient(altitude="300 m")


@pytest.fixture(scope="session")
def job():
    """The shipped demo job: a V8 with a parallel X."""
    return load_job(shipped("data") / "jobs" / "v8-parallel-x.toml")


@pytest.fixture(scope="session")
def duals():
    tube = Tube(od="3 in", wall="16 ga")
    bends = [Bend(tube, clr="4.5 in", angle=angle) for angle in ("45 deg", "45 deg", "90 deg")]
    runs = [
        Run(name="collector to silencer", tube=tube, length="2.1 m", bends=bends[:1], loss=1.8),
        Run(name="tail", tube=tube, length="2 m", bends=bends[1:]),
    ]
    return System(runs=runs, pipes=2)


def tubes(*ods, wall="16 ga", material="304"):
    return [Tube(od=f"{od} in", wall=wall, material=material) for od in ods]


@pytest.fixture(scope="session")
def sizes():
    return tubes(2.25, 2.5, 2.75, 3, 3.5)


@pytest.fixture(scope="session")
def asked_tubes(duals, engine, duty, ambient, sizes):
    """The question of tubes as most tests ask it, asked once."""
    return compare_tubes(duals, engine, duty, ambient, sizes)


@pytest.fixture(scope="session")
def legs(duals):
    return duals.with_tube(tubes(2.5)[0])


@pytest.fixture(scope="session")
def asked_merges(legs, engine, duty, ambient):
    """The question of merges as most tests ask it, asked once."""
    return compare_merges(legs, engine, duty, ambient, tubes(2.5, 2.75, 3, 3.5))
