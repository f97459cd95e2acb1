"""How much purge gas, and how long, before the back of a weld is safe from air."""

from __future__ import annotations

import math

import attrs

from exhaust.cutmath.supply import AIR, PurgeGas
from exhaust.describe import require
from exhaust.errors import broken, typed
from exhaust.joints import Joint
from exhaust.show import Fact, Result
from exhaust.system import System


@attrs.frozen(kw_only=True, repr=False)
class Purge(Result):
    """Purge of a joint or a whole exhaust.

    `volume` inside it [m^3], `changes` of that volume, gas `used` [m^3], `time` [s].
    """

    what: Joint | System
    gas: PurgeGas
    volume: float
    changes: float
    used: float
    time: float
    assumptions: tuple[str, ...]
    title: str = "Purge"

    def facts(self) -> tuple[Fact, ...]:
        """Return the volume, the changes of it, the gas and the time."""
        return (
            Fact("Volume inside", self.volume, "volume"),
            Fact("Oxygen to purge to", self.gas.oxygen, "oxygen"),
            Fact("Changes of the volume", self.changes, "ratio"),
            Fact("Gas used", self.used, "gas"),
            Fact("Flow", float(self.gas.flow), "gas_flow"),
            Fact("Time, at least", self.time, "duration"),
        )


def purge(what: Joint | System, gas: PurgeGas) -> Purge:
    """Return how long to purge a joint or a whole exhaust, from air.

    Perfect mixing: n = ln(0.21 / oxygen) changes of the volume. Raises `ExhaustError` for
    something that is neither, or no `PurgeGas`.

    >>> from exhaust import Bend, ParallelX, Tube
    >>> bend = Bend(Tube(od="3 in", wall="16 ga"), clr="4.5 in")
    >>> x = ParallelX(bend, cutback=0.28, spacing="10.5 in")
    >>> round(purge(x, PurgeGas(oxygen=0.001)).changes, 3)
    5.347
    """
    require(gas, PurgeGas, "gas")
    volume = _inside(what)
    changes = math.log(AIR / gas.oxygen)
    used = changes * volume
    return Purge(
        what=what,
        gas=gas,
        volume=volume,
        changes=changes,
        used=used,
        time=used / gas.flow,
        assumptions=(
            "Gas mixes perfectly with what is inside; a dead end takes longer, so measure the "
            "oxygen at the vent before striking an arc.",
            "Ends are capped with one vent, and no air leaks in.",
            "Volume is that of tube and joint; silencers, hoses and caps add to it.",
        ),
    )


def _inside(what: Joint | System) -> float:
    """Return the volume of gas inside [m^3]: of a system, its runs and its joint."""
    if isinstance(what, System):
        runs = sum(run.length * run.tube.flow_area for run in what.runs)
        return what.pipes * runs + (0.0 if what.joint is None else what.joint.inside_volume)
    if isinstance(what, Joint):
        return what.inside_volume
    raise broken("must be a joint or a System", typed(what), "make one, say HPipe(…)").named("what")
