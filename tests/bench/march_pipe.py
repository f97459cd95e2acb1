"""How long a march of many samples takes, beside one general integration for each case."""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
from scipy.integrate import solve_ivp

from exhaust.engine.species import gas_table
from exhaust.flow.heat import Surroundings, TubeHeat
from exhaust.flow.march import TOLERANCE, March, march
from exhaust.flow.passage import Cone, Passage
from exhaust.gas.properties import Mixture

SAMPLES, CASES, REPEATS = 512, 20, 5
BORE, LENGTH, FRICTION, BENDS, DISTANCE = 0.06, 3.0, 0.02, 1.0, 0.5
AMBIENT = 101325.0
BURNT = Mixture({"N2": 0.73, "CO2": 0.13, "H2O": 0.13, "Ar": 0.01}, gas_table())
AIR = Mixture({"N2": 0.7808, "O2": 0.2095, "Ar": 0.0097}, gas_table())
AREA = np.pi / 4 * BORE**2


def tube(mass_flow: object, emissivity: object) -> TubeHeat:
    """Return the wall of the run."""
    return TubeHeat(BURNT, mass_flow, 0.0016, Surroundings(AIR, 300.0, emissivity=emissivity))


def marched(mass_flow: np.ndarray, hot: np.ndarray, emissivity: np.ndarray) -> March:
    """Return all samples at once."""
    run = Passage(Cone(BORE, BORE), LENGTH, FRICTION, BENDS, DISTANCE)
    return march(run, BURNT, mass_flow, hot, AMBIENT, tube(mass_flow, emissivity))


def integrated(m: float, hot: float, emissivity: float) -> float:
    """Return the inlet pressure of one case [Pa]: heat down, then Shapiro's dp/dx up."""
    heat, R = tube(m, emissivity), BURNT.gas_constant
    options = {"rtol": TOLERANCE, "atol": 1e-9, "dense_output": True}

    def cooling(x: float, y: np.ndarray) -> list[float]:
        T0 = BURNT.temperature_at(float(y[0]))
        return [-float(heat(DISTANCE + x, BORE, T0).loss) / m]

    down = solve_ivp(cooling, (0, LENGTH), [BURNT.enthalpy(hot)], **options)

    def pressing(x: float, y: np.ndarray) -> list[float]:
        c, h0 = m * R / (AREA * np.exp(y[0])), float(down.sol(x)[0])
        T = BURNT.temperature_at(h0)
        for _ in range(20):
            step = (BURNT.enthalpy(T) + (c * T) ** 2 / 2 - h0) / (BURNT.cp(T) + c**2 * T)
            T -= step
            if abs(step) < 1e-10 * T:
                break
        gamma = BURNT.gamma(T)
        M2 = (c * T) ** 2 / (gamma * R * T)
        rubbing = (1 + (gamma - 1) * M2) * (FRICTION / BORE + BENDS / LENGTH) / 2
        warming = cooling(x, [h0])[0] / (BURNT.cp(T) * T)
        return [-gamma * M2 / (1 - M2) * (warming + rubbing)]

    return float(np.exp(solve_ivp(pressing, (LENGTH, 0), [np.log(AMBIENT)], **options).y[0, -1]))


def seconds(work: Callable[[], object]) -> float:
    """Return the least time of a few runs of `work` [s]."""
    times = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


if __name__ == "__main__":
    rng = np.random.default_rng(20)
    flows, hot = rng.uniform(0.05, 0.25, SAMPLES), rng.uniform(800.0, 1200.0, SAMPLES)
    emissivity = rng.uniform(0.25, 0.8, SAMPLES)
    flow = marched(flows, hot, emissivity)
    together = seconds(lambda: marched(flows, hot, emissivity))
    start = time.perf_counter()
    alone = [integrated(*case) for case in zip(flows[:CASES], hot, emissivity, strict=False)]
    each = (time.perf_counter() - start) / CASES
    off = np.max(np.abs(flow.pressure[0, :CASES] / np.array(alone) - 1))
    print(f"march of {SAMPLES} samples      {together:.3f} s, {len(flow.mach) - 1} steps")
    print(f"one solve_ivp case        {each:.3f} s (mean of {CASES})")
    print(f"{SAMPLES} cases that way       {each * SAMPLES:.1f} s")
    print(f"ratio                     {each * SAMPLES / together:.0f}")
    print(f"inlet pressures differ by {off:.1e} at most; settled to {flow.error:.1e}")
