"""How much purge gas, and how long, before the back of a weld is safe from air."""

from __future__ import annotations

import math

import attrs

from exhaust import units
from exhaust.errors import RuleError, broken, typed
from exhaust.joints import Joint
from exhaust.show import Fact, Result

AIR = 0.21  # oxygen in air, by volume


@attrs.frozen(kw_only=True, repr=False)
class Purge(Result):
    """Purge of one joint: `volume` [m^3], `changes` of it, `gas` used [m^3], `time` [s]."""

    joint: Joint
    volume: float
    oxygen: float  # share left, by volume
    changes: float
    gas: float
    time: float
    weld_length: float  # every seam of the joint [m]
    assumptions: tuple[str, ...]
    title: str = "Purge"

    def facts(self) -> tuple[Fact, ...]:
        """Return the volume, the changes, the gas, the time and the weld it is for."""
        return (
            Fact("Volume inside the joint", self.volume, "volume"),
            Fact("Changes of it", self.changes, "ratio"),
            Fact("Gas used", self.gas, "volume"),
            Fact("Time", f"{self.time / 60:.1f} min", "text"),
            Fact("Weld length", self.weld_length, "run"),
        )


def purge(joint: Joint, flow: str, oxygen: float) -> Purge:
    """Return how long to purge `joint` at `flow` [m^3/s] down to `oxygen`, a share by volume.

    Perfect mixing: n = ln(0.21 / oxygen) changes of the volume, from air. Raises `ExhaustError`
    for something that is not a joint, a flow not more than zero, or an oxygen share that is not
    between 0 and 0.21.

    >>> from exhaust import Bend, ParallelX, Tube
    >>> bend = Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")
    >>> x = ParallelX(bend, cutback=0.28, spacing="10.5 in")
    >>> round(purge(x, "0.2 L/s", oxygen=0.001).changes, 3)
    5.347
    """
    if not isinstance(joint, Joint):
        raise broken("must be a joint", typed(joint), "make one, say HPipe(…)").named("joint")
    try:
        rate = units.volume_flow(flow)
    except RuleError as error:
        raise error.named("flow") from None
    if rate <= 0:
        raise broken("must be more than zero", flow, "read it off the regulator").named("flow")
    if isinstance(oxygen, bool) or not isinstance(oxygen, (int, float)) or not 0 < oxygen < AIR:
        raise broken(f"must be a share between 0 and {AIR}", typed(oxygen), "0.001 is 0.1 %").named(
            "oxygen"
        )
    changes = math.log(AIR / oxygen)
    gas = changes * joint.inside_volume
    return Purge(
        joint=joint,
        volume=joint.inside_volume,
        oxygen=oxygen,
        changes=changes,
        gas=gas,
        time=gas / rate,
        weld_length=joint.weld_length,
        assumptions=(
            "Gas mixes perfectly with what is inside; a dead end takes longer, so measure the "
            "oxygen at the vent before striking an arc.",
            "Ends are capped with one vent, and no air leaks in.",
            "Volume is the joint's own; hoses and caps add to it.",
        ),
    )
