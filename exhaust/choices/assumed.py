"""What the questions of steady flow assume, in words."""

from __future__ import annotations

from exhaust.choices.doubts import (
    AIR_SPEED,
    BENDS,
    CONVECTION,
    JOINT,
    SILENCERS,
)
from exhaust.engine.flow import ExhaustFlow
from exhaust.flow.cost import EXPANSION_RATIO, MECHANICAL_EFFICIENCY
from exhaust.flow.friction import ROUGHNESS
from exhaust.flow.heat import EMISSIVITY, FAR, NEAR
from exhaust.flow.joint_pieces import merges, middle_loss
from exhaust.joints import HPipe, Joint
from exhaust.show import quantity, spread
from exhaust.system import Merge, Part, System


def service_assumptions(system: System) -> list[str]:
    """Return what is assumed of the tube, its heat and its local losses in service.

    >>> from exhaust import Run, Tube
    >>> tail = Run(name="tail", tube=Tube(od="3 in", wall="16 ga"), length="2 m")
    >>> service_assumptions(System(runs=[tail]))[0]
    'Steady flow: the mean of the pulses. Waves in the pipe are not judged.'
    """
    rough = quantity(ROUGHNESS.middle, "roughness")
    said = [
        "Steady flow: the mean of the pulses. Waves in the pipe are not judged.",
        f"Heat goes through the wall to air that moves at {quantity(AIR_SPEED, 'velocity')} "
        f"(what it takes, times {CONVECTION.low:g} to {CONVECTION.high:g}) and by radiation at "
        f"emissivity {EMISSIVITY.middle:g} ({EMISSIVITY.low:g} to {EMISSIVITY.high:g}); inside, "
        f"pulses stir it up to {NEAR.middle:g} times a steady pipe's near the engine "
        f"({NEAR.low:g} to {NEAR.high:g}) and {FAR.middle:g} far from it.",
        f"Tube in service is {rough} rough ({spread(ROUGHNESS.low, ROUGHNESS.high, 'roughness')}).",
        f"Losses of bends are a handbook's times {BENDS.low:g} to {BENDS.high:g}; those given for "
        f"silencers, times {SILENCERS.low:g} to {SILENCERS.high:g} (common practice).",
    ]
    if any(isinstance(place, Part) for place in system.places):
        said.append(
            "A silencer or catalyst neither cools nor heats the gas; from a bench rating its loss "
            "goes with the square of the flow, and one that flows more than its tube loses nothing."
        )
    if any(isinstance(place, Merge) for place in system.places):
        said.append(
            "Where runs merge or part, momentum along the way on is kept and pressure is one across"
            " the mouth; gas that turns away from its own way loses as in a handbook's branch."
        )
    if system.joint is not None:
        said.append(_joint_assumption(system.joint))
    if system.pipes > 1:
        said.append(f"The {system.pipes} pipes share the flow evenly.")
    return said


def _joint_assumption(joint: Joint) -> str:
    factor = f"times {JOINT.low:g} to {JOINT.high:g}"
    if isinstance(joint, HPipe):
        return (
            "No steady gas crosses the balance tube of alike pipes; passing its opening costs "
            f"{middle_loss(joint):.2g} of a dynamic head, {factor} (common practice)."
        )
    if merges(joint):
        return (
            f"The legs of the joint turn as bends do, {factor}; where they meet, momentum along "
            "the way on is kept and pressure is one across the mouth."
        )
    return (
        "No handbook has the joint: it counts as the turns of one stream through its own "
        f"tube and the narrowing in its middle, {factor}."
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
