"""The inputs that nobody knows well, drawn once for all the options of a question."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from exhaust.bands import SEED, Band, draw
from exhaust.engine.flow import ExhaustFlow
from exhaust.flow.cost import EXPANSION_RATIO, MECHANICAL_EFFICIENCY, Breathing
from exhaust.flow.friction import ROUGHNESS
from exhaust.flow.junction import MERGE_LOSS_SPREAD
from exhaust.flow.pipe import Gas

# Handbooks against each other for one bend; makers against a flow bench for a silencer: common
# practice, no source. Factors on the loss coefficients.
BENDS = Band(0.75, 1.0, 1.35)
SILENCERS = Band(0.75, 1.0, 1.30)
# Legs run parallel to the outlet as cut; in the car they come in at up to 30 degrees.
MERGE_ANGLE = Band(0.0, 0.0, math.radians(30.0))
_RATIOS = ("mass_flow", "roughness", "bends", "silencers", "expansion_ratio")

Samples = NDArray[np.float64]


class Doubts(NamedTuple):
    """Each input at its middle (arrays of one) or sampled jointly (arrays of one length)."""

    mass_flow: Samples  # of the engine [kg/s]
    gas_temperature: Samples  # [K]
    roughness: Samples  # [m]
    bends: Samples  # factor on the loss of bends and of the joint
    silencers: Samples  # factor on the losses given
    expansion_ratio: Samples  # of the turbine
    merge_angle: Samples  # of the legs to the outlet [rad]
    merge_loss: Samples  # added to the loss coefficient of a merge


def doubts(flow: ExhaustFlow, seed: int = SEED) -> tuple[Doubts, Doubts]:
    """Return the inputs at their middle, and the same inputs sampled jointly.

    Flow varies with volumetric efficiency; the other inputs are independent of each other.
    """
    filling = flow.volumetric_efficiency_band
    per_filling = flow.mass_flow / filling.middle
    inputs = {
        "mass_flow": Band(*(per_filling * share for share in filling)),
        "gas_temperature": flow.gas_temperature_band,
        "roughness": ROUGHNESS,
        "bends": BENDS,
        "silencers": SILENCERS,
        "expansion_ratio": EXPANSION_RATIO if flow.duty.has_turbine else Band(1.0, 1.0, 1.0),
        "merge_angle": MERGE_ANGLE,
        "merge_loss": Band(-MERGE_LOSS_SPREAD, 0.0, MERGE_LOSS_SPREAD),
    }
    middle = Doubts(**{name: np.array([band.middle]) for name, band in inputs.items()})
    return middle, Doubts(**draw(inputs, ratios=_RATIOS, seed=seed))


def burnt_gas_at(flow: ExhaustFlow, inputs: Doubts) -> Gas:
    """Return gamma and gas constant of the exhaust at its sampled temperature."""
    return Gas(flow.gas.gamma(inputs.gas_temperature), flow.gas.gas_constant)


def breathing(flow: ExhaustFlow, inputs: Doubts) -> Breathing:
    """Return what decides the price of back pressure, sample by sample.

    Where power was not given it was reckoned from the flow, and goes with it.
    """
    pressure = np.full_like(inputs.mass_flow, flow.mean_effective_pressure)
    if flow.duty.power is None:
        pressure = pressure * inputs.mass_flow / flow.mass_flow
    return Breathing(
        mean_effective_pressure=pressure,
        intake_pressure=flow.intake_pressure,
        compression_ratio=flow.engine.compression_ratio,
        expansion_ratio=inputs.expansion_ratio,
    )


def cost_assumptions(flow: ExhaustFlow) -> list[str]:
    """Return what the price of back pressure assumes, in words."""
    said = [
        "Power cost is first order: total pressure against the pistons, and burnt gas held back "
        f"at compression ratio {flow.engine.compression_ratio:g}, gross work being brake work "
        f"over {MECHANICAL_EFFICIENCY:g}; no wave, knock or mixture effect. Beyond a tenth of "
        "the power it only says far too much."
    ]
    if flow.duty.has_turbine:
        low, middle, high = EXPANSION_RATIO
        said.append(
            f"Pressures stand at the turbine outlet. Ahead of the turbine they are {middle:g} "
            f"times as much ({low:g} to {high:g}, its expansion ratio; common practice), and "
            "power cost is reckoned there."
        )
    return said
