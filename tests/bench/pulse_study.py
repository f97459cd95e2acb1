"""What the pulses say of merges, cutbacks and balance tubes: the study, repeated by one command.

Prints; never fails. About ten minutes on two cores; name a part of it for that alone:

    python tests/bench/pulse_study.py merges cutbacks balance grid
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

from exhaust import (
    Engine,
    Inlet,
    Merge,
    OperatingPoint,
    ParallelX,
    Pulses,
    Run,
    System,
    Tube,
    compare_balance_tubes,
    compare_crossovers,
    compare_merges,
    compare_merges_in_pulses,
    load_job,
    simulate,
)

SPEEDS = [f"{rpm} rpm" for rpm in (1500, 3000, 4500, 6000, 7500)]
PULSES = Pulses(cell="20 mm", speeds=SPEEDS, samples=4)
JOBS = Path(__file__).parents[2] / "data" / "jobs"
DUTY = OperatingPoint(speed="6500 rpm", volumetric_efficiency=0.92, lambda_=0.88)
# Invented engines; of each: itself, its inlets if it has no banks, legs, larger outlets.
ENGINES = {
    "cross-plane V8": (
        Engine(displacement="5 L", cylinders=8, firing_order=(1, 8, 4, 3, 6, 5, 7, 2),
               left_bank=(1, 3, 5, 7)), None, "2.5 in", ("3 in", "3.5 in")),
    "flat-plane V8": (
        Engine(displacement="5 L", cylinders=8, firing_order=(1, 8, 3, 6, 4, 5, 2, 7),
               left_bank=(1, 2, 3, 4)), None, "2.5 in", ("3 in", "3.5 in")),
    "even-fire V6": (
        Engine(displacement="3.5 L", cylinders=6, firing_order=(1, 4, 2, 5, 3, 6),
               left_bank=(1, 2, 3)), None, "2.25 in", ("2.5 in", "3 in")),
    "inline four": (
        Engine(displacement="2 L", cylinders=4, firing_order=(1, 3, 4, 2)),
        ((1, 4), (2, 3)), "1.75 in", ("2 in", "2.25 in", "2.5 in")),
}  # fmt: skip


def two_pipes(tube: Tube, inlets: tuple[tuple[int, ...], ...] | None) -> System:
    """Return two pipes of 3.5 m that could meet after the first metre, or legs that meet there."""
    tail = Run(name="tail", tube=tube, length="2.5 m")
    if inlets is None:
        return System(runs=[Run(name="head", tube=tube, length="1 m"), tail], pipes=2)
    given = [Inlet(name=" and ".join(map(str, who)), cylinders=who) for who in inlets]
    heads = [
        Run(name=f"head {one.name}", tube=tube, length="1 m", from_=one.name, to="meet")
        for one in given
    ]
    runs = [*heads, tail.with_(from_="meet")]
    return System(runs=runs, inlets=given, places=[Merge(name="meet")])


def print_merges() -> None:
    """Print the verdict on merges for each engine: pulses, parts, both models, steady flow."""
    for name, (engine, inlets, legs, larger) in ENGINES.items():
        tube, *outlets = (Tube(od=od, wall="16 ga") for od in (legs, *larger))
        steady = compare_merges(two_pipes(tube, inlets), engine, DUTY, outlets=outlets)
        answer = compare_merges_in_pulses(steady, PULSES)
        print(f"\n{name}, legs {tube.name}\n  {answer.reason}")
        print(f"  steady flow at the duty: {steady.reason}")
        for one in answer.options[1:]:
            parts = one.parted and [f"{100 * part.difference.middle:.2f}" for part in one.parted]
            print(
                f"  {one.outlet.name}: saves {100 * one.gain.difference.middle:.2f} % "
                f"({100 * one.gain.difference.low:.2f} to {100 * one.gain.difference.high:.2f}), "
                f"joint and pipe {parts}, one pressure {100 * one.other_model:.2f}, "
                f"steady {100 * one.steady:.2f}; "
                f"by speed {[round(100 * gain, 2) for gain in one.by_speed]}"
            )


def print_cutbacks() -> None:
    """Print what an X gains by its cutback, on the demo V8."""
    job = load_job(JOBS / "v8-parallel-x.toml")
    assert isinstance(job.system.joint, ParallelX)
    found = [job.system.joint.with_(cutback=cutback) for cutback in (0.25, 0.30, 0.33, 0.50)]
    answer = compare_crossovers(job.system, job.engine, job.duty, job.ambient, found, PULSES)
    print(f"\nX by cutback, {job.name}\n  {answer.reason}")
    print(answer.table.to_string())


def print_balance() -> None:
    """Print the balance tubes of the demo V6."""
    job = load_job(JOBS / "v6-h-pipe.toml")
    answer = compare_balance_tubes(
        job.system, job.engine, job.duty, job.ambient, pulses=PULSES.with_(samples=2)
    )
    print(f"\nbalance tubes, {job.name}\n  {answer.reason}")
    print(answer.table.to_string())


def print_grid() -> None:
    """Print how far the answer on the demo V8 moves as cells get finer."""
    job = load_job(JOBS / "v8-parallel-x.toml")
    print(f"\ncells, {job.name}")
    for cell in ("40 mm", "20 mm", "10 mm", "5 mm"):
        start = time.perf_counter()
        one = simulate(job.engine, job.system, job.duty, job.ambient, Pulses(cell=cell))
        print(
            f"  {cell:>5}: pumping {one.pumping_pressure / 1e3:.3f} kPa, "
            f"ports {one.port_pressure / 1e3:.3f} kPa, left behind {100 * one.residual:.3f} %, "
            f"overlap {one.overlap:.3f}, Mach {one.fastest.peak_mach:.3f}; "
            f"{one.cycles} cycles, {time.perf_counter() - start:.1f} s"
        )


PARTS = {
    "merges": print_merges,
    "cutbacks": print_cutbacks,
    "balance": print_balance,
    "grid": print_grid,
}

if __name__ == "__main__":
    begun = time.perf_counter()
    for part in sys.argv[1:] or PARTS:
        PARTS[part]()
    print(f"\n{time.perf_counter() - begun:.0f} s")
