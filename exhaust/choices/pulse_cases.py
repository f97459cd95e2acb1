"""Designs simulated over engine speeds and over what is not known well, side by side."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from exhaust.bands import SEED, Band, Verdict, draw, verdict
from exhaust.choices.doubts import Doubts, doubts
from exhaust.choices.headers import Headed, with_headers
from exhaust.choices.pulses import CONSTANT_PRESSURE, MOMENTUM, STOCK_CAM, Pulses
from exhaust.choices.repeating import Aim, grid_of, manned, repeated, steady_gas
from exhaust.choices.speeds import duties_at, over_speeds
from exhaust.choices.steady import band_about
from exhaust.choices.sweeping import swept
from exhaust.engine import Cam, exhaust_flow
from exhaust.engine.cam import DISCHARGE
from exhaust.engine.flow import ExhaustFlow
from exhaust.flow.cost import MECHANICAL_EFFICIENCY
from exhaust.joints import HPipe
from exhaust.pulse.crossing import side_name
from exhaust.pulse.cycle import UNSETTLED
from exhaust.pulse.laid import Found, Laid, picked
from exhaust.pulse.segments import is_crossover
from exhaust.system import System
from exhaust.units import SI

FloatArray = NDArray[np.float64]

RPM = math.pi / 30
SPEEDS = 5  # of a comparison where none are given
SLOWEST, FASTEST = 0.4, 1.1  # of the duty's speed
ROUND = 100  # [rpm]
WINDOW_LOSSES = Band(1.0, 1.7, 2.7)  # a jet's own head to a sharp hole's; common practice
CAM_SPREAD = math.radians(6.0)  # of a cam that nobody has asked for, each way
# Flow through its valves over the curtain's area of one: a poor port, the usual one, and two valves
# to a cylinder, which let half as much again through; common practice.
VALVE_FLOW = Band(0.6, DISCHARGE, 1.0)
MODELS = (MOMENTUM, CONSTANT_PRESSURE)
FLAT = 0.03  # of the pulsation: half orders closer than that sound alike; common practice
HARMONICS = 40  # of the cycle that are counted: up to order 20


class Judged(NamedTuple):
    """What one simulation says of one design.

    `pumping` gauge pressure on the pistons [Pa]; mass left in a cylinder [kg]; share of the swing
    of the flow at the tips that is of `half_orders`; root mean square `difference` of pressure
    between the two sides where they cross, or would [Pa]; fastest gas `across` a balance tube
    [m/s], nought without; whether the cycle `repeats`.
    """

    pumping: float
    left: float
    half_orders: float
    difference: float
    across: float
    repeats: bool


class Draw(NamedTuple):
    """What a simulation assumes that is not known well: `model`, `cam`, loss of a `window`."""

    model: str
    cam: Cam
    window: float


class Over(NamedTuple):
    """Designs simulated, arrays (designs, speeds, draws).

    Draws: the middle with either junction model, then samples with each in turn. `speeds` of the
    engine [rad/s], `flows` at each, `mean_effective_pressure` [Pa] (speeds, draws).
    """

    judged: dict[str, FloatArray]
    speeds: tuple[float, ...]
    flows: tuple[ExhaustFlow, ...]
    mean_effective_pressure: FloatArray

    @property
    def simulations(self) -> int:
        """How many there were."""
        return self.judged["repeats"].size

    @property
    def unsettled(self) -> int:
        """How many of them did not come to a cycle that repeats."""
        return int(np.sum(self.judged["repeats"] == 0))

    def gain(self, over: int) -> FloatArray:
        """Return the share of power that each design gains over one, the mean of the speeds.

        Pumping: less pressure on the pistons, over mean effective pressure. Filling: gas left
        behind takes the room of fresh charge, d ln(m)/(r - 1), as `flow.cost.filling_cost` has it
        for gas that is left at the pressure it is pushed out against; (designs, draws).
        """
        return np.asarray(self.gain_at(over).mean(axis=1))

    def gain_at(self, over: int) -> FloatArray:
        """Return the same at each speed, (designs, speeds, draws)."""
        ratio = self.flows[0].engine.compression_ratio
        cost = self.judged["pumping"] / self.mean_effective_pressure
        cost = cost + np.log(self.judged["left"]) / (ratio - 1) / MECHANICAL_EFFICIENCY
        return np.asarray(cost[over] - cost)


def about_first(draws: FloatArray) -> Band:
    """Return the band of `draws` about the first, which is the middle by momentum.

    >>> [round(end, 2) for end in about_first(np.array([0.2, 0.1, 0.4]))]
    [0.11, 0.2, 0.38]
    """
    return band_about(draws[:1], draws)


def judged_gain(draws: FloatArray, worth: float) -> Verdict:
    """Return what can be said of a gain in `draws`, its band about the first of them.

    >>> judged_gain(np.array([0.02, 0.015, 0.03]), worth=0.01).word
    'better'
    """
    return Verdict(verdict(draws, worth).word, about_first(draws))


class _Case(NamedTuple):
    headed: Headed
    place: str
    flow: ExhaustFlow
    found: Found
    pulses: Pulses
    window: float


def comparison_speeds(flow: ExhaustFlow, pulses: Pulses) -> list[float]:
    """Return the engine speeds of a comparison, slow to fast [rad/s].

    >>> from exhaust.engine import Engine, OperatingPoint
    >>> duty = OperatingPoint(speed="6200 rpm", volumetric_efficiency=0.9)
    >>> flow = exhaust_flow(Engine(displacement="2 L", cylinders=4), duty)
    >>> [round(speed / RPM) for speed in comparison_speeds(flow, Pulses())]
    [2500, 3600, 4600, 5700, 6800]
    """
    if pulses.speeds:
        return list(pulses.speeds)
    fastest = flow.duty.speed / RPM
    even = np.linspace(SLOWEST * fastest, FASTEST * fastest, SPEEDS)
    return [SI(ROUND * round(rpm / ROUND) * RPM, "speed", "rpm", RPM) for rpm in even]


def over_designs(
    systems: Sequence[System], places: Sequence[str], flow: ExhaustFlow, pulses: Pulses
) -> Over:
    """Return designs simulated over speeds and draws; `places` are where their sides meet."""
    engine, ambient = flow.engine, flow.ambient
    speeds = comparison_speeds(flow, pulses)
    flows = [exhaust_flow(engine, at, ambient) for at in duties_at(flow, speeds)]
    middle, samples = doubts(flow, samples=pulses.samples)
    pairs = zip(middle, samples, strict=True)
    twice = Doubts(*(np.concatenate([one, one, many]) for one, many in pairs))
    inputs = over_speeds(flow, flows, twice)
    draws = _draws(pulses)
    cases = []
    for system, place in zip(systems, places, strict=True):
        headed = _watched(with_headers(system, engine, pulses.primary), place)
        found = steady_gas(headed, flow, _flat(inputs, len(flows), len(draws)))
        for n, at in enumerate(flows):
            for k, one in enumerate(draws):
                gas, how = picked(found, n * len(draws) + k), _as(pulses, one)
                cases.append(_Case(headed, place, at, gas, how, one.window))
    answers = np.array(swept(judged, cases, pulses), float)
    shape = (len(systems), len(flows), len(draws))
    mass = twice.mass_flow / flow.mass_flow
    given = np.array([at.mean_effective_pressure for at in flows])[:, None]
    return Over(
        judged={name: answers[:, n].reshape(shape) for n, name in enumerate(Judged._fields)},
        speeds=tuple(speeds),
        flows=tuple(flows),
        mean_effective_pressure=given * (mass if flow.duty.power is None else np.ones_like(mass)),
    )


def _draws(pulses: Pulses) -> list[Draw]:
    """Return the middle with both models, then samples with each in turn."""
    bands = {
        "window": WINDOW_LOSSES,
        "opens": Band(-CAM_SPREAD, 0.0, CAM_SPREAD),
        "closes": Band(-CAM_SPREAD, 0.0, CAM_SPREAD),
        "discharge": VALVE_FLOW,
    }
    drawn = draw(bands, ratios=("window", "discharge"), samples=pulses.samples, seed=SEED + 1)
    found = [Draw(model, pulses.cam, WINDOW_LOSSES.middle) for model in MODELS]
    for n, window in enumerate(drawn["window"]):
        cam = pulses.cam
        if cam == STOCK_CAM:
            cam = cam.with_(
                opens=SI(cam.opens + float(drawn["opens"][n]), "angle"),
                closes=SI(cam.closes + float(drawn["closes"][n]), "angle"),
                discharge=min(float(drawn["discharge"][n]), 1.0),  # a valve loses something
            )
        found.append(Draw(MODELS[n % len(MODELS)], cam, float(window)))
    return found


def _as(pulses: Pulses, one: Draw) -> Pulses:
    return pulses.with_(cam=one.cam, junction=one.model, progress=False, executor=None)


def _flat(inputs: Doubts, speeds: int, draws: int) -> Doubts:
    """Return inputs (speeds, draws) or (draws,) in one row, speed after speed."""
    return Doubts(*(np.broadcast_to(one, (speeds, draws)).ravel() for one in inputs))


def _watched(headed: Headed, place: str) -> Headed:
    """Return a system whose pipes also end where straight sides would cross."""
    ends = (line.end for line in headed.system.graph.lines)
    straight = [end for end in ends if end.endswith((f"{place} 1", f"{place} 2"))]
    return headed._replace(watched=tuple(dict.fromkeys(straight)))


def judged(case: _Case) -> Judged:
    """Return what one simulation says of its design."""
    grid = grid_of(case.pulses, case.window)
    one = manned(case.headed, case.flow, case.found, case.pulses, grid)
    tips = [one.cell(pipe, 1.0) for pipe in one.outlets]
    sides = _sides(case, one)
    across = _across(case, one)
    aim = Aim(float(np.asarray(case.found.temperature)), case.headed.collectors)
    cells = [*tips, *sides, *across]
    found = repeated(one, case.flow.duty.speed, aim, case.pulses, cells)
    rho, u, p = np.moveaxis(found.last.trace.values[:-1], 2, 0)
    swept_volume = one.network.cylinders.swept
    first, second = (p[:, len(tips) + n] for n in range(2))
    return Judged(
        pumping=float(np.mean(-found.last.stroke / swept_volume)) - case.flow.ambient_pressure,
        left=float(np.mean(found.last.residual)),
        half_orders=half_orders((rho * u)[:, : len(tips)]),
        difference=float(np.sqrt(np.mean((first - second) ** 2))),
        across=float(np.max(np.abs(u[:, -1]))) if across else 0.0,
        repeats=found.cycle.outcome != UNSETTLED,
    )


def half_orders(flows: FloatArray) -> float:
    """Return the share of the swing of flows (720, places) that is of half orders, their mean.

    Root mean square of the odd harmonics of the two-turn cycle over that of all.

    >>> angle = np.radians(np.arange(720.0))[:, None]
    >>> round(half_orders(3 * np.cos(angle / 2) + 4 * np.cos(angle)), 3)
    0.6
    """
    size = np.abs(np.fft.rfft(flows, axis=0))[1 : HARMONICS + 1] ** 2
    return float(np.mean(np.sqrt(size[0::2].sum(axis=0) / size.sum(axis=0))))


def _sides(case: _Case, one: Laid) -> list[int]:
    """Return the cells of both sides where they cross or merge, or would."""
    joint, place = case.headed.system.joint, case.place
    names = [segment.name for segment in one.segments]
    if is_crossover(joint):
        return [one.cell(names.index(side_name(place, n)), 0.5) for n in range(2)]
    if len(one.arriving(place)) == 2:  # a merge
        return [one.cell(pipe, 1.0) for pipe in one.arriving(place)]
    if joint is not None:
        return [
            one.cell(pipe, 1.0)
            for n in range(2)
            for pipe in one.arriving(f"{place} | side {n + 1}")
            if not names[pipe].endswith("balance tube")
        ]
    return [one.cell(pipe, 1.0) for end in case.headed.watched for pipe in one.arriving(end)]


def _across(case: _Case, one: Laid) -> list[int]:
    """Return the cell in the middle of a balance tube, if there is one."""
    if not isinstance(case.headed.system.joint, HPipe):
        return []
    names = [segment.name for segment in one.segments]
    return [one.cell(names.index(f"{case.place} | balance tube"), 0.5)]
