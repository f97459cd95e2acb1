"""The inputs that nobody knows well, drawn once for all the options of a question."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from exhaust.bands import SAMPLES, SEED, Band, draw
from exhaust.engine.flow import ExhaustFlow
from exhaust.engine.species import gas_table
from exhaust.flow.cost import EXPANSION_RATIO, Breathing
from exhaust.flow.friction import ROUGHNESS
from exhaust.flow.heat import COOLING_POWER, DECAY, EMISSIVITY, FAR, NEAR, Stirring, Surroundings
from exhaust.flow.junction import MERGE_LOSS_SPREAD
from exhaust.flow.system_pieces import Service
from exhaust.gas.properties import Mixture

# Handbooks against each other for one bend; makers against a flow bench for a silencer: common
# practice, no source. Factors on the loss coefficients.
BENDS = Band(0.75, 1.0, 1.35)
SILENCERS = Band(0.75, 1.0, 1.30)
# No handbook has a crossover. Its turns and its narrowest place are taken as those of one stream
# that keeps to its own tube; gas that cuts across turns less, gas that is torn loses more.
JOINT = Band(0.5, 1.0, 1.7)
# Air under a car, and how far the laws for a tube in free air hold there; common practice.
AIR_SPEED = 5.0  # [m/s]
CONVECTION = Band(0.5, 1.0, 2.0)
# Legs run parallel to the outlet as cut; in the car they come in at up to 30 degrees.
MERGE_ANGLE = Band(0.0, 0.0, math.radians(30.0))
RATIOS = (
    *("mass_flow", "roughness", "bends", "silencers", "joint", "emissivity", "convection"),
    *("near", "far", "decay", "expansion_ratio"),
)

AIR = {"N2": 0.7808, "O2": 0.2095, "Ar": 0.0097}  # dry, by mole

Samples = NDArray[np.float64]


class Doubts(NamedTuple):
    """Each input at its middle (arrays of one) or sampled jointly (arrays of one length)."""

    mass_flow: Samples  # of the engine [kg/s]
    gas_temperature: Samples  # [K]
    roughness: Samples  # [m]
    bends: Samples  # factor on the loss of bends
    silencers: Samples  # factor on the losses of parts
    joint: Samples  # factor on the loss of the joint
    emissivity: Samples  # of the tube outside
    convection: Samples  # factor on the heat that the air takes
    near: Samples  # augmentation of heat inside, near the engine
    far: Samples  # and far from it
    decay: Samples  # [m]
    cooling_power: Samples  # of bulk over wall temperature
    expansion_ratio: Samples  # of the turbine
    merge_angle: Samples  # of the legs to the outlet [rad]
    merge_loss: Samples  # added to the loss coefficient of a merge


NAMES = {
    "mass_flow": "volumetric efficiency",
    "gas_temperature": "gas temperature",
    "roughness": "roughness of the tube",
    "bends": "losses of bends",
    "silencers": "losses of silencers",
    "joint": "loss of the joint",
    "emissivity": "emissivity of the tube",
    "convection": "air around the tube",
    "near": "heat near the engine",
    "far": "heat far from the engine",
    "decay": "how far pulses stir",
    "cooling_power": "law of cooling inside",
    "expansion_ratio": "expansion ratio of the turbine",
    "merge_angle": "angle of the merge",
    "merge_loss": "loss of the merge",
}

MERGES = ("merge_angle", "merge_loss")  # play a part only where merges are compared


def doubts(
    flow: ExhaustFlow, seed: int = SEED, samples: int | None = None
) -> tuple[Doubts, Doubts]:
    """Return the inputs at their middle, and the same inputs sampled jointly.

    Flow varies with volumetric efficiency; the other inputs are independent of each other.
    """
    inputs = input_bands(flow)
    middle = Doubts(**{name: np.array([band.middle]) for name, band in inputs.items()})
    drawn = draw(inputs, ratios=RATIOS, seed=seed, samples=samples or SAMPLES)
    return middle, Doubts(**possible(drawn))


def input_bands(flow: ExhaustFlow) -> dict[str, Band]:
    """Return the band of every input, by name; those in `RATIOS` vary by factors.

    >>> from exhaust.engine import Engine, OperatingPoint, exhaust_flow
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9)
    >>> flow = exhaust_flow(Engine(displacement="2 L", cylinders=4), duty)
    >>> input_bands(flow)["silencers"]
    Band(low=0.75, middle=1.0, high=1.3)
    """
    filling = flow.volumetric_efficiency_band
    per_filling = flow.mass_flow / filling.middle
    return {
        "mass_flow": Band(*(per_filling * share for share in filling)),
        "gas_temperature": flow.gas_temperature_band,
        "roughness": ROUGHNESS,
        "bends": BENDS,
        "silencers": SILENCERS,
        "joint": JOINT,
        "emissivity": EMISSIVITY,
        "convection": CONVECTION,
        "near": NEAR,
        "far": FAR,
        "decay": DECAY,
        "cooling_power": COOLING_POWER,
        "expansion_ratio": EXPANSION_RATIO if flow.duty.has_turbine else Band(1.0, 1.0, 1.0),
        "merge_angle": MERGE_ANGLE,
        "merge_loss": Band(-MERGE_LOSS_SPREAD, 0.0, MERGE_LOSS_SPREAD),
    }


def possible(drawn: dict[str, Samples]) -> dict[str, Samples]:
    """Return values of the inputs, those that no tube can have moved to the nearest that it can.

    >>> possible({"emissivity": np.array([0.4, 1.3]), "cooling_power": np.array([-0.1, 0.2])})
    {'emissivity': array([0.4, 1. ]), 'cooling_power': array([0. , 0.2])}
    """
    most = {"emissivity": 1.0, "cooling_power": 1.0}  # nothing shines more than black
    return drawn | {name: np.clip(drawn[name], 0.0, high) for name, high in most.items()}


def service(flow: ExhaustFlow, inputs: Doubts) -> Service:
    """Return what tube, bends, parts and air are like, sample by sample.

    >>> from exhaust.engine import Engine, OperatingPoint, exhaust_flow
    >>> duty = OperatingPoint(speed="6000 rpm", volumetric_efficiency=0.9)
    >>> flow = exhaust_flow(Engine(displacement="2 L", cylinders=4), duty)
    >>> service(flow, doubts(flow)[0]).bends
    array([1.])
    """
    return Service(
        roughness=inputs.roughness,
        bends=inputs.bends,
        parts=inputs.silencers,
        joint=inputs.joint,
        around=Surroundings(
            air=Mixture(AIR, gas_table()),
            temperature=flow.ambient_temperature,
            pressure=flow.ambient_pressure,
            speed=AIR_SPEED,
            emissivity=inputs.emissivity,
            convection=inputs.convection,
        ),
        stirring=Stirring(inputs.near, inputs.far, inputs.decay, inputs.cooling_power),
    )


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
