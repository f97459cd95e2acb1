"""Engines and exhausts at random: simulated, or refused in words."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from exhaust import (
    Bend,
    Cam,
    Cone,
    Engine,
    ExhaustError,
    HPipe,
    Inlet,
    Merge,
    OperatingPoint,
    ParallelX,
    Part,
    Pulses,
    Run,
    SplayedX,
    System,
    Tube,
    simulate,
)
from exhaust.choices import Simulation

Rng = np.random.Generator
ODS = ["1.5 in", "1-3/4 in", "2 in", "2.5 in", "3 in", "4 in"]


def _engine(rng: Rng) -> Engine:
    """Return an engine of 1 to 12 cylinders that fire in any order, every other one on the left."""
    n = int(rng.choice([1, 2, 3, 4, 5, 6, 8, 10, 12]))
    order = tuple(int(one) + 1 for one in rng.permutation(n))
    left = order[::2] if n % 2 == 0 and rng.random() < 0.7 else ()
    each = rng.uniform(0.2, 0.9)
    return Engine(displacement=f"{n * each} L", cylinders=n, firing_order=order, left_bank=left)


def _joint(rng: Rng, tube: Tube) -> Any:
    """Return a crossover for two pipes of a tube, or none."""
    which = int(rng.integers(4))
    if which == 1:
        return HPipe(tube, spacing=f"{rng.uniform(2, 5) * tube.od} m")
    if which == 2:
        bend = Bend(tube, clr=f"{rng.uniform(1.2, 2.5) * tube.od} m")
        return ParallelX(bend, cutback=float(rng.uniform(0.1, 0.45)))
    if which == 3:
        return SplayedX(tube, included_angle=f"{rng.uniform(20, 80)} deg", cutback=0.3,
                        leg_length=f"{3 * tube.od} m")  # fmt: skip
    return None


def _length(rng: Rng) -> str:
    return f"{np.exp(rng.uniform(np.log(0.02), np.log(3.0)))} m"


def _system(rng: Rng, engine: Engine) -> System:
    """Return one pipe, two alike with or without a crossover, or two that merge into a third."""
    tube, other = (Tube(od=str(rng.choice(ODS)), wall="16 ga") for _ in range(2))
    if engine.left_bank and rng.random() < 0.3:
        left = engine.left_bank
        right = [n for n in range(1, engine.cylinders + 1) if n not in left]
        runs = [
            Run(name=name, tube=tube, length=_length(rng), from_=name, to="Y")
            for name in ("left", "right")
        ]
        tail = Run(name="tail", tube=other, length=_length(rng), from_="Y")
        inlets = [Inlet(name="left", cylinders=left), Inlet(name="right", cylinders=right)]
        return System(runs=[*runs, tail], inlets=inlets, places=[Merge(name="Y")])
    pipes = 2 if engine.left_bank and rng.random() < 0.7 else 1
    runs = [
        Run(name="head", tube=tube, length=_length(rng)),
        Run(name="middle", tube=tube, length=_length(rng), to="step"),
        Run(name="over", tube=other, length=_length(rng), loss=rng.uniform(0, 3), to="box"),
        Run(name="tail", tube=other, length=_length(rng)),
    ]
    places = [
        Cone(name="step", length=f"{rng.uniform(0.02, 0.3)} m"),
        Part(name="box", loss=rng.uniform(0, 5)),
    ]
    joint = _joint(rng, tube) if pipes == 2 else None
    return System(runs=runs, places=places, pipes=pipes, joint=joint)


def _pulses(rng: Rng) -> Pulses:
    cam = Cam(opens=f"{rng.uniform(10, 110)} deg", closes=f"{rng.uniform(5, 85)} deg")
    model = "momentum" if rng.random() < 0.7 else "constant pressure"
    return Pulses(cell=f"{rng.uniform(30, 90)} mm", cam=cam, junction=model, most_cycles=6)


def _answer(rng: Rng) -> Simulation | str:
    """Return what the pulses of some engine do in some system, or why that cannot be said."""
    try:
        engine = _engine(rng)
        duty = OperatingPoint(
            speed=f"{rng.uniform(800, 9000)} rpm",
            volumetric_efficiency=float(rng.uniform(0.3, 1.1)),
            lambda_=float(rng.uniform(0.8, 1.1)),
        )
        return simulate(engine, _system(rng, engine), duty, pulses=_pulses(rng))
    except ExhaustError as error:
        return str(error)


@pytest.mark.parametrize("seed", range(40))
def test_whatever_can_be_described_is_simulated_or_refused_in_words(seed: int):
    """800 to 9000 rpm, filled from 30 to 110 %: no NaN, no pressure used up, nothing lost."""
    found = _answer(np.random.default_rng(seed))
    if isinstance(found, str):
        assert "; " in found or "(got" in found  # what is wrong, what to do
        return
    for wave in found.waves:
        assert np.all(np.isfinite([wave.pressure, wave.velocity, wave.density]))
        assert min(wave.pressure.min(), wave.density.min()) > 0
    assert abs(found.balance.mass) < 1e-12
    assert abs(found.balance.energy) < 1e-10
    assert found.unsolved == 0
    assert np.isfinite([found.pumping_pressure, found.port_pressure, found.residual]).all()
    assert found.reason.endswith(".")
