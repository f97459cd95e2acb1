"""Tubes by speeds by samples through the demo V8: time, the quick march's error, beside solve_ivp.

Prints how long the table takes, how far the quick march lies from the full one as a share of back
pressure and of half of its band, and how long a plain integration of each case would take.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from exhaust.bands import band_of
from exhaust.choices.doubts import Doubts, doubts, service
from exhaust.choices.steady import steady_flow
from exhaust.engine.flow import ExhaustFlow, exhaust_flow
from exhaust.flow.installed import installed
from exhaust.flow.passage import bore
from exhaust.flow.piece import Piece
from exhaust.job import load_job
from exhaust.stock import Tube
from exhaust.system import System
from exhaust.tables import shipped

SAMPLES, SUBSET, CASES, REPEATS = 512, 256, 24, 3
TUBES = [Tube(od=f"{60 + 3 * number} mm", wall="1.5 mm") for number in range(12)]
SPEEDS = np.linspace(0.2, 1.1, 10)  # of the duty's
TOLERANCE = {"rtol": 1e-7, "atol": 1e-9, "dense_output": True}


def over_speeds(inputs: Doubts) -> Doubts:
    """Return the inputs at each speed, mass flow in proportion (speeds, samples)."""
    return inputs._replace(mass_flow=SPEEDS[:, None] * inputs.mass_flow)


def one_of(inputs: Doubts, number: int) -> Doubts:
    """Return one sample of the inputs."""
    return Doubts(*(values[number : number + 1] for values in inputs))


def seconds(work: Callable[[], object]) -> float:
    """Return the least time of a few runs of `work` [s]."""
    times = []
    for _ in range(REPEATS):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def number_of(value: object) -> float:
    """Return the one number of an array."""
    return float(np.ravel(np.asarray(value))[0])


def integrated(system: System, flow: ExhaustFlow, inputs: Doubts) -> float:
    """Return the static pressure at the inlet of one case [Pa], piece by piece with solve_ivp."""
    (link,) = installed([system], flow.gas, service(flow, inputs), 1).network.links
    m = number_of(inputs.mass_flow) / system.pipes
    hot = number_of(inputs.gas_temperature)
    cooled = []
    for piece in link.pieces:
        heated = cooling(piece, flow, m, hot)
        cooled.append((piece, heated, hot))
        if heated is not None:
            hot = flow.gas.temperature_at(float(heated(number_of(piece.length))[0]))
    pressure = flow.ambient_pressure
    for piece, heated, start in reversed(cooled):
        pressure = pressed(piece, heated, flow, m, start, pressure)
    return pressure


def cooling(piece: Piece, flow: ExhaustFlow, m: float, hot: float) -> Callable | None:
    """Return total enthalpy along a piece of tube [J/kg]; None at one place."""
    length = number_of(piece.length)
    if length == 0:
        return None
    D, distance = number_of(bore(piece.start)), number_of(piece.distance)
    heat = piece.heat.carrying(m)

    def fall(x: float, h0: np.ndarray) -> list[float]:
        T0 = flow.gas.temperature_at(float(h0[0]))
        return [-number_of(heat(distance + x, D, T0).loss) / m]

    return solve_ivp(fall, (0, length), [flow.gas.enthalpy(hot)], **TOLERANCE).sol


def pressed(
    piece: Piece, heated: Callable | None, flow: ExhaustFlow, m: float, hot: float, end: float
) -> float:
    """Return the pressure at the start of a piece, Shapiro's dp/dx stepped up from its end [Pa]."""
    gas, R, area = flow.gas, flow.gas.gas_constant, number_of(piece.start)
    length, D = number_of(piece.length) or 1.0, number_of(bore(piece.start))
    enthalpy = (lambda x: gas.enthalpy(hot)) if heated is None else lambda x: float(heated(x)[0])
    leaving = gas.temperature_at(enthalpy(length))
    f = darcy(
        4 * m / (math.pi * D * gas.viscosity((hot + leaving) / 2)), number_of(piece.roughness) / D
    )
    lost = number_of(piece.loss) + number_of(piece.loss_per_friction) * f
    rub = (f / D if heated is not None else 0.0) + lost / length

    def rise(x: float, y: np.ndarray) -> list[float]:
        c, h0, d = m * R / (area * math.exp(y[0])), enthalpy(x), 1e-4 * length
        T = gas.temperature_at(h0)
        for _ in range(20):
            step = (gas.enthalpy(T) + (c * T) ** 2 / 2 - h0) / (gas.cp(T) + c**2 * T)
            T -= step
            if abs(step) < 1e-10 * T:
                break
        gamma = gas.gamma(T)
        M2 = (c * T) ** 2 / (gamma * R * T)
        ends = (max(x - d, 0.0), min(x + d, length))
        warming = (enthalpy(ends[1]) - enthalpy(ends[0])) / (ends[1] - ends[0]) / (gas.cp(T) * T)
        rubbing = (1 + (gamma - 1) * M2) * rub / 2
        return [-gamma * M2 / (1 - M2) * (warming + rubbing)]

    return float(np.exp(solve_ivp(rise, (length, 0), [math.log(end)], **TOLERANCE).y[0, -1]))


def darcy(Re: float, rough: float) -> float:
    """Return Colebrook's friction factor by bracketing."""
    return brentq(lambda y: y + 2 * math.log10(rough / 3.7 + 2.51 * y / Re), 1.0, 40.0) ** -2


if __name__ == "__main__":
    job = load_job(shipped("data") / "jobs" / "v8-parallel-x.toml")
    gas_flow = exhaust_flow(job.engine, job.duty, job.ambient)
    systems = [job.system.with_tube(tube) for tube in TUBES]
    middle, drawn = doubts(gas_flow, samples=SAMPLES)
    table = over_speeds(drawn)
    sampled = seconds(lambda: steady_flow(systems, gas_flow, table, "quick"))
    marched = seconds(lambda: steady_flow(systems, gas_flow, over_speeds(middle)))
    size = f"{len(TUBES)} tubes x {len(SPEEDS)} speeds"
    print(f"{size} x {SAMPLES} samples  {sampled:.2f} s quick")
    print(f"{size} at the middle    {marched:.2f} s by the full march")
    print(f"together                        {sampled + marched:.2f} s")

    few = Doubts(*(values[:SUBSET] for values in drawn))
    full = steady_flow([job.system], gas_flow, few).back_pressure[0]
    off = steady_flow([job.system], gas_flow, few, "quick").back_pressure[0] - full
    band = band_of(full)
    for name, whole in (("back pressure", full), ("half of its band", (band.high - band.low) / 2)):
        most, mean = np.max(np.abs(off / whole)), np.sqrt(np.mean((off / whole) ** 2))
        print(f"quick against full, {SUBSET} samples: {most:.2%} of {name} at most, {mean:.2%} rms")

    start = time.perf_counter()
    alone = [integrated(job.system, gas_flow, one_of(drawn, number)) for number in range(CASES)]
    each = (time.perf_counter() - start) / CASES
    differ = np.max(np.abs((np.array(alone) - gas_flow.ambient_pressure) / full[:CASES] - 1))
    per_case = sampled / (len(TUBES) * len(SPEEDS) * SAMPLES)
    print(f"one case by solve_ivp           {each:.3f} s (mean of {CASES})")
    print(
        f"one case in the table           {per_case * 1e6:.1f} us, "
        f"{each / per_case:,.0f} times less"
    )
    print(f"they differ by {differ:.1e} of back pressure at most (full march)")
