"""Steady pressure at the test port over engine speeds, for any value of what is assumed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from exhaust.bands import SAMPLES, SEED, Band, draw
from exhaust.choices.doubts import RATIOS, Doubts, Samples, input_bands, possible
from exhaust.choices.ports import PressureTap, pressure_tap
from exhaust.choices.speeds import over_speeds
from exhaust.choices.steady import FloatArray, Steady, steady_flow
from exhaust.engine.flow import ExhaustFlow
from exhaust.system import System
from exhaust.system.graph import SEAM
from exhaust.units import SI

# How much better or worse the engine may fill at half the duty's speed than at the duty, by a
# slope and by a bow, each; common practice, no source. Gas temperature over speed is in it, and
# is what is left where volumetric efficiency was measured at every speed.
AWAY, AWAY_MEASURED, NOWHERE = (Band(-share, 0.0, share) for share in (0.10, 0.03, 0.0))
SHORTEST = 1e-3  # piece of a run on either side of the port [m]


class Tapped(NamedTuple):
    """A system divided where its test port stands."""

    system: System
    run: int  # that starts at the port
    tap: PressureTap


def tapped(system: System) -> Tapped:
    """Return `system` with the run of its test port divided there.

    >>> from exhaust import Run, Tube
    >>> tube = Tube(od="3 in", wall="16 ga")
    >>> found = tapped(System(runs=[Run(name="all", tube=tube, length="4 m")]))
    >>> [round(run.length, 3) for run in found.system.runs], found.run
    ([0.364, 3.636], 1)
    """
    tap = pressure_tap(system)
    run, lines = tap.run, system.graph.lines
    if min(tap.distance, run.length - tap.distance) < SHORTEST:
        return Tapped(system, tap.number, tap)
    here = f"{run.name}{SEAM}test port"
    share = tap.distance / run.length
    runs = [
        one.with_(from_=line.start, to=line.end)
        for one, line in zip(system.runs, lines, strict=True)
    ]
    whole = runs[tap.number]
    ahead, behind = whole.bends[: tap.bends], whole.bends[tap.bends :]
    runs[tap.number : tap.number + 1] = [
        whole.with_(
            name=f"{run.name}, ahead of the port",
            length=SI(tap.distance, "length"),
            **{"to": here, "bends": ahead, "straights": (), "loss": share * run.loss},
        ),
        whole.with_(
            name=f"{run.name}, behind the port",
            length=SI(run.length - tap.distance, "length"),
            **{"from_": here, "bends": behind, "straights": (), "loss": (1 - share) * run.loss},
        ),
    ]
    return Tapped(system.with_(runs=runs, sensors=()), tap.number + 1, tap)


class AtSpeeds(NamedTuple):
    """A tapped system and the gas of its engine at several speeds; what is not known, by name."""

    port: Tapped
    flow: ExhaustFlow  # that the inputs are doubted at
    flows: tuple[ExhaustFlow, ...]  # at each speed
    below: FloatArray  # how far each speed lies below the duty's: one at half of it
    bands: Mapping[str, Band]

    def middle(self) -> dict[str, Samples]:
        """Return every input at its middle, arrays of one."""
        return {name: np.array([band.middle]) for name, band in self.bands.items()}

    def sampled(self, samples: int = SAMPLES, seed: int = SEED) -> dict[str, Samples]:
        """Return every input sampled jointly."""
        return draw(self.bands, RATIOS, samples, seed)

    def pressure(self, inputs: Mapping[str, Samples]) -> FloatArray:
        """Return the gauge pressure at the port [Pa], an array (speeds, samples)."""
        at = self._steady(inputs)
        link, place = self._place(at)
        start = at.flow.chains[link].pieces[place].start
        return np.asarray(start.pressure[0] - self.flow.ambient_pressure)

    def temperature(self, inputs: Mapping[str, Samples]) -> FloatArray:
        """Return the total temperature at the port [K], an array (speeds, samples)."""
        at = self._steady(inputs)
        link, place = self._place(at)
        return np.asarray(at.flow.chains[link].pieces[place].start.total_temperature[0])

    def choked(self) -> FloatArray:
        """Return whether the gas reaches Mach 1 at each speed, all inputs at their middle."""
        return np.asarray(self._steady(self.middle()).choked[0, :, 0])

    def _steady(self, inputs: Mapping[str, Samples]) -> Steady:
        values = dict(inputs)
        slope, bow = values.pop("slope"), values.pop("bow")
        away = self.below[:, None]
        filled = np.exp(slope * away + bow * away**2)
        spread = over_speeds(self.flow, self.flows, Doubts(**possible(values)))
        spread = spread._replace(mass_flow=spread.mass_flow * filled)
        return steady_flow([self.port.system], self.flow, spread, "quick")

    def _place(self, at: Steady) -> tuple[str, int]:
        """Return the link that the port stands in, and which of its pieces starts there."""
        for link, owners in at.installed.owners.items():
            if self.port.run in owners:
                return link, owners.index(self.port.run)
        raise AssertionError(self.port.run)


def at_speeds(
    system: System, flow: ExhaustFlow, flows: Sequence[ExhaustFlow], away: Band = AWAY
) -> AtSpeeds:
    """Return the port of `system` with the gas `flows` at several speeds.

    `flow` is the duty's; `away` how the engine may fill away from its speed.
    """
    speeds = np.array([float(at.duty.speed) for at in flows])
    bands = input_bands(flow) | {"slope": away, "bow": away}
    below = 2 * (1 - speeds / float(flow.duty.speed))
    return AtSpeeds(tapped(system), flow, tuple(flows), below, bands)
